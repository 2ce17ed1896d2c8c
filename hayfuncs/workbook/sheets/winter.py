"""Winter, Winter herd, Hay to buy: what the plan starts from, and the months it covers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from hayfuncs.dailyneed import CONCEPTION_DAY
from hayfuncs.farmfiles.model import Group
from hayfuncs.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.winterfarm import MONTHS
from hayfuncs.workbook.book import Book, Content, Input, Sheet, call
from hayfuncs.workbook.season import SPARE_OFFERS, Season, calving
from hayfuncs.workbook.sheets.common import FIRST, begin, input_row, list_row
from hayfuncs.workbook.sheets.grid import Grid, Row, date, listed, number, of_record, text, there

SPARE_MONTHS = 1  # rows of months beyond the winter as built, so that a date can be moved
MOST_MONTHS = 14
PRINTED = 15  # columns: the words beside a setting run on over empty ones
COLUMNS = (  # of hay that can be bought: mark, heading, unit, lowest, highest
    ("dm", "Dry matter", "% as fed", 1, 100), ("tdn", "TDN", "% DM", 1, 100), ("cp", "Crude protein", "% DM", 0, 60),
    ("ndf", "NDF", "% DM", 1, 95), ("fat", "Fat", "% DM", 0, 30), ("s", "Sulfur", "% DM", 0, 3),
)  # fmt: skip
SETTINGS = (  # name, label, first value, lowest, highest, unit, words
    ("plan_most_pct", "Most dry matter a cow eats", 100, 50, 150, "%",
     "Of the dry matter that the requirement equations say she eats (sheet Group months)."),
    ("plan_least_pct", "Least dry matter, to keep her full", 85, 0, 150, "%",
     "Of the same. Cows fed less bawl and break fences (common practice, no source)."),
    ("plan_hay_pct", "Least hay, of the dry matter", 65, 0, 100, "%",
     "So that supplement stays near 0.7 % of body weight (see Assumptions; the figure here is our choice)."),
    ("plan_fibre_pct_bw", "Most hay fibre (NDF) a cow eats", 1.3, 0.5, 3, "% of body weight",
     "University of Missouri 1.2 %, Ohio State 1.2 to 1.5 %. Fibre of supplements is not counted."),
    ("plan_grain_pct_bw", "Most starchy grain, all together", 0.5, 0, 3, "% of body weight",
     "As fed. University of Illinois: best at 0.25 %, harm above 0.5 %. Each grain's own limit is on Winter feeds."),
    ("plan_calving_days", "Days from the first calf to the last", 60, 0, 300, "days",
     "Half before and half after the calving date (common practice, no source). While any cow may be in calf, nitrate's lower shares hold."),
    ("plan_heat_pct", "Heat-bound protein from which available protein counts", 10, 0, 100, "% of CP",
     "Above it a lot's protein is CP less ADICP (sheet Hazards). University of Nebraska: flagged above 10 %."),
    ("plan_storage_unsaid", "Hay lost in store where the Register does not say", 15, 0, 95, "% DM",
     "Between hay in a barn and hay on the ground uncovered (our choice; see STORAGE_LOSS)."),
    ("plan_own_value_pct", "Own hay counts at this share of its price", 60, 0, 100, "%",
     "What it would bring if it were not fed (our choice; prices on Stock). 0: it is paid for, and only buying counts."),
)  # fmt: skip


def months_needed(book: Book) -> int:
    """How many calendar months the dates on Hay pile touch; 0 when turnout is not after the start."""
    start, turnout = typed_day(book, "start"), typed_day(book, "turnout")
    if start is None or turnout is None or turnout <= start:
        return 0
    whole = (turnout.year - start.year) * len(MONTHS) + turnout.month - start.month
    return min(whole + (turnout.day > 1), MOST_MONTHS)


def typed_day(book: Book, key: str) -> dt.date | None:
    """A date of the sheet Hay pile."""
    sheet, row, col = book.inputs[f"Hay pile/{key}"]
    day = book.by_name(sheet).cells[row, col].content
    return day if isinstance(day, dt.date) else None


def fill(book: Book, groups: Sequence[Group], season: Season) -> None:
    sheet = begin(
        book, "Winter", "What the winter plan starts from",
        "Dates stand on Hay pile, hay on Lots, Register and Stock, prices on Feeds. The months follow from the dates.", "Inputs, then workings",
    )  # fmt: skip
    months = max(2, months_needed(book)) + SPARE_MONTHS
    top = FIRST + months + 1
    settings_end = top + len(SETTINGS)
    energy = sheet.span(settings_end + 3, 1, settings_end + 2 + len(MONTHS), 1)
    _months(sheet, months, energy)
    sheet.put(top, 0, "How the plan is made", "section")
    for i, (name, label, value, lo, hi, unit, why) in enumerate(SETTINGS, top + 1):
        whole = "whole" if unit == "yes/no" else "number"
        entry = Input(f"Winter/{name}", label[:32], f"{label}: {lo:g} to {hi:g} {unit}", lo=lo, hi=hi, kind=whole)
        book.define(name, input_row(sheet, i, label, value, entry, unit, "input"))
        sheet.put(i, 3, why, "sentence")
    sheet.put(settings_end + 2, 0, "More energy for cold and mud, by month of the year", "section")
    sheet.put(
        settings_end + 2,
        3,
        "Herd care works these out from coat, weather and mud. A cow may be fed more and not eat more: watch condition.",
        "sentence",
    )
    for i, month in enumerate(MONTHS, 1):
        entry = Input(
            f"Winter/more_{month.lower()}",
            f"More energy in {month}",
            "More TDN for cold and mud, 0 to 100 % of the need",
            lo=0,
            hi=100,
        )
        input_row(sheet, settings_end + 2 + i, month, season.more_energy.get(i, 0), entry, "% of the need", "input")
    row = settings_end + 4 + len(MONTHS)
    sheet.put(row, 0, "Fixed, shown here to be read", "section")
    book.define(
        "days_per_year", list_row(sheet, row + 1, "Days from calving to calving", DAYS_PER_YEAR, "days", "number0")
    )
    book.define("months_per_year", list_row(sheet, row + 2, "Months in a year", MONTHS_PER_YEAR, "months", "number0"))
    conceives = "Days from calving until she is in calf again"
    book.define("conception_day", list_row(sheet, row + 3, conceives, CONCEPTION_DAY, "days", "number0"))
    sheet.printed_cols = PRINTED
    _herd(book, groups, season)
    _to_buy(book, season)


def _months(sheet: Sheet, count: int, energy: str) -> None:
    grid = Grid(sheet, count)
    names = ",".join(f'"{month}"' for month in MONTHS)
    grid.add(
        "label",
        "Month of the winter",
        "name",
        lambda r: f'=IF({r["days"]}=0,"",CHOOSE(MONTH({r["first"]}),{names})&" "&YEAR({r["first"]}))',
        "label",
        44,
    )
    grid.add(
        "first",
        "First day of feeding",
        "date",
        lambda r: f"=MAX(winter_start,DATE(YEAR(winter_start),MONTH(winter_start)+{r['number']}-1,1))",
        "date",
        16,
    )
    grid.add(
        "days",
        "Days fed",
        "days",
        lambda r: f"=MAX(0,MIN(DATE(YEAR(winter_start),MONTH(winter_start)+{r['number']},1),turnout)-{r['first']})",
        "number0",
        18,
    )
    grid.add(
        "middle",
        "Middle: the day that the need is read for",
        "date",
        lambda r: f"={r['first']}+{r['days']}/2",
        "date",
        22,
    )
    grid.add(
        "more",
        "More energy for cold and mud",
        "% of the need",
        lambda r: f"=INDEX({energy.split('!')[1]},MONTH({r['first']}))",
        "number1",
        16,
    )
    grid.add("number", "Number of the month", "1", lambda r: r.number, "number0", 12)
    grid.done("months")


def _herd(book: Book, groups: Sequence[Group], season: Season) -> None:
    sheet = begin(
        book, "Winter herd", "When each group calves and what its hay is fed in",
        "One row is one group of the sheet Herd. The calving date is the middle of the season, last year's or the next: the stage is worked from it month by month.",
        "Inputs, then workings",
    )  # fmt: skip
    start = typed_day(book, "start") or dt.date.min
    grid = Grid(sheet, len(groups))
    name, head, weight = (there(book, "Herd", "herd", k) for k in ("name", "head", "weight"))
    grid.add("name", "Cow group", "name", lambda r: f"={name(r)}", "label", 30)
    grid.band("Typed in")
    grid.ask(
        "calving",
        "Calving date",
        "date",
        [calving(g, start) for g in groups],
        date("Calving date", "Middle of the calving season, any year", True),
        "input_date",
        16,
    )
    grid.ask("feeder", "Hay fed in", "name of a feeder", [season.feeder(g.name) for g in groups],
             listed("Hay fed in", "What this group's hay is fed in: pick one of the list", book.table_range("feeding_loss", "feeder"), True), "input_text", 20)  # fmt: skip
    grid.band("Computed")
    grid.add("loss", "Hay wasted at feeding", "% DM", lambda r: call("FEEDING_LOSS", r["feeder"]), "number1", 14)
    grid.add("eaten", "Hay eaten", "% of what is put out", lambda r: f"=100-{r['loss']}", "number1", 14)
    grid.add("head", "Head", "head", lambda r: f"={head(r)}", "number0", 10)
    grid.add("weight", "Body weight", "lb", lambda r: f"={weight(r)}", "number0", 12)
    grid.done("season_herd")
    book.marks["season_herd"]["n"] = len(groups)
    sheet.put(
        FIRST + len(groups) + 1,
        0,
        "Where the herd list gives no calving date, it was worked back from the month since calving at the start of winter: correct it.",
        "sentence",
    )
    sheet.put(
        FIRST + len(groups) + 2,
        0,
        "Bulls and growing cattle are not in this plan: the need here is a cow's.",
        "sentence",
    )


def _to_buy(book: Book, season: Season) -> None:
    sheet = begin(
        book, "Hay to buy", "Hay that can be bought",
        "Type what is on offer, from its own lab sheet, dry basis. An empty price is the one on Hay pile; empty tons mean as much as you like.",
        "Inputs, then workings",
    )  # fmt: skip
    offers = [*season.offers, *[None] * SPARE_OFFERS]
    grid = Grid(sheet, len(offers))

    def held(name: str) -> list[Content]:
        return [None if o is None else getattr(o, name) for o in offers]

    grid.band("Typed in")
    grid.ask(
        "name",
        "Hay on offer",
        "name",
        held("name"),
        text("Hay on offer", "A name of your own, unlike any lot's; empty when not used"),
        "input_text",
        30,
    )
    grid.ask(
        "typed",
        "Price, delivered",
        "$/ton as fed",
        held("price"),
        of_record("PRICE_PER_DRY_TON", "price_per_ton"),
        "input_money",
    )
    grid.ask(
        "tons",
        "Tons on offer",
        "tons as fed",
        held("tons"),
        number("Tons on offer", "Tons as fed that can be had", 0, 100000),
    )
    for mark, head, unit, lo, hi in COLUMNS:
        grid.ask(mark, head, unit, held(f"{mark}_pct"), number(head, f"{head}, {unit}", lo, hi))
    grid.ask(
        "loss",
        "Lost before it is fed",
        "% DM",
        held("storage_loss_pct"),
        number("Lost before it is fed", "Dry matter lost in your own store", 0, 95),
    )
    grid.band("Computed")
    grid.add(
        "price",
        "Price used",
        "$/ton as fed",
        lambda r: f'=IF({r["typed"]}<>"",{r["typed"]},IF(COUNT(bought_price)=0,"not entered",bought_price))',
        "result_money",
        14,
    )
    grid.add("known", "All known? 1 yes, 0 no", "yes/no", _known, "number0", 10)
    grid.done("offers")
    sheet.put(
        FIRST + len(offers) + 1,
        0,
        "The hays shown first are invented. Ask for a lab sheet before you buy, nitrate too; the veterinarian has the last word on suspect hay.",
        "sentence",
    )


def _known(r: Row) -> str:
    return f'=IF(AND({r["name"]}<>"",COUNT({r.all("price", *(mark for mark, *_ in COLUMNS))})={len(COLUMNS) + 1}),1,0)'
