"""Winter, Winter herd: what the plan starts from, and the months it covers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from hayfuncs.contract.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.cow.requirement_model import CONCEPTION_DAY
from hayfuncs.importers.model import Group
from hayfuncs.ration.minerals import CA_P_LOW
from hayfuncs.winter.problem import FULL_PCT, MONTHS
from hayfuncs.winter.requirements import FIRST_MONTH, LAST_MONTH
from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, call
from hayfuncs.workbook.season import Season, calving
from hayfuncs.workbook.sheets import haytobuy
from hayfuncs.workbook.sheets.common import FIRST, begin, input_row, list_row
from hayfuncs.workbook.sheets.grid import Grid, Ref, Row, date, listed, number, there

SPARE_MONTHS = 1  # rows of months beyond the winter as built, so that a date can be moved
MOST_MONTHS = 14
TROUGH = (
    "The need drops at calving, and a month just behind is not planned for at its lowest day:",
    "the first month after calving is read as its end or as the day before calving, whichever asks for more TDN;",
    "milk stops on the weaning date and not before: a cow that nurses past month 6 is read as in month 6, or as in her own where that asks for more.",
)
PRINTED = 15  # columns: the words beside a setting run on over empty ones
SETTINGS = (  # name, label, first value, lowest, highest, unit, words
    ("plan_most_pct", "Most dry matter a cow eats", 100, 50, 150, "%",
     "Of the dry matter that the requirement equations say she eats (sheet Group months)."),
    ("plan_least_pct", "Least dry matter, to keep her full", FULL_PCT, 0, 150, "%",
     "Of the same. Below 95 a group is limit-fed, and only where all of it can eat at once (bunk space on Winter herd); its grain and nitrate hay are then left out."),
    ("plan_bunk_in", "Bunk space at which all eat at once", 30, 0, 60, "inches a head",
     "Once a day, limited: 24 to 30 for cows of 1,000 lb, 26 to 30 for 1,300 lb (FASS 2020, second hand); the upper end."),
    ("plan_min_ca_p", "Least calcium for each part of phosphorus", CA_P_LOW, 0, 7, "ratio",
     "Of the whole diet, limestone counted. Alberta Agriculture: 1.5 to 7; below 1 is a danger (Auburn)."),
    ("plan_hay_pct", "Least hay, of the dry matter", 65, 0, 100, "%",
     "So that supplement stays near 0.7 % of body weight (see Assumptions; the figure here is our choice)."),
    ("plan_fibre_pct_bw", "Most hay fibre (NDF) a cow eats", 1.3, 0.5, 3, "% of body weight",
     "University of Missouri 1.2 %, Ohio State 1.2 to 1.5 %. Fibre of supplements is not counted."),
    ("plan_grain_pct_bw", "Most starchy grain, all together", 0.5, 0, 3, "% of body weight",
     "As fed. University of Illinois: best at 0.25 %, harm above 0.5 %. Each grain's own limit is on Winter feeds."),
    ("plan_calving_days", "Days from the first calf to the last", 60, 0, 300, "days",
     "Half before and half after the calving date (common practice, no source). While any cow may be in calf, nitrate's lower shares hold."),
    ("plan_mixed", "Is hay ground and mixed? 1 yes, 0 no", 0, 0, 1, "yes/no",
     "Bales put out side by side are not mixed: 0 leaves out hay whose nitrate is not safe as the whole diet (University of Nebraska)."),
    ("plan_nitrate_below_pct", "Nitrate kept below its limit by", 10, 0, 50, "%",
     "Of each line of the scales, and of each share that they allow a mixed-in hay: a test has an error of its own (common practice, no source)."),
    ("plan_heat_pct", "Heat-bound protein from which available protein counts", 10, 0, 100, "% of CP",
     "Above it a lot's protein is CP less ADICP (sheet Hazards). University of Nebraska: flagged above 10 %."),
    ("plan_storage_unsaid", "Hay lost in store where the Register does not say", 15, 0, 95, "% DM",
     "Between hay in a barn and hay on the ground uncovered (our choice; see STORAGE_LOSS)."),
    ("plan_feeding_unsaid", "Hay wasted where neither group nor lot names a feeder", 20.5, 0, 95, "% DM",
     "As in an open ring (see FEEDING_LOSS)."),
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
    first = {"plan_mixed": int(season.hay_is_mixed)}
    for i, (name, label, value, lo, hi, unit, why) in enumerate(SETTINGS, top + 1):
        whole = "whole" if unit == "yes/no" else "number"
        entry = Input(f"Winter/{name}", label[:32], f"{label}: {lo:g} to {hi:g} {unit}", lo=lo, hi=hi, kind=whole)
        book.define(name, input_row(sheet, i, label, first.get(name, value), entry, unit, "input"))
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
    book.define(
        "month_first",
        list_row(sheet, row + 4, "First month after calving ends at month", FIRST_MONTH, "months", "number0"),
    )
    book.define("month_last", list_row(sheet, row + 5, "Day before calving: month", LAST_MONTH, "months", "number0"))
    conceives = "Days from calving until she is in calf again"
    book.define("conception_day", list_row(sheet, row + 3, conceives, CONCEPTION_DAY, "days", "number0"))
    sheet.printed_cols = PRINTED
    _herd(book, groups, season)
    haytobuy.fill(book, season)


def _months(sheet: Sheet, count: int, energy: str) -> None:
    grid = Grid(sheet, count)
    names = ",".join(f'"{month}"' for month in MONTHS)
    grid.add(
        "label",
        "Month of the winter",
        "name",
        lambda r: Formula(f'=IF({r["days"]}=0,"",CHOOSE(MONTH({r["first"]}),{names})&" "&YEAR({r["first"]}))'),
        "label",
        44,
    )
    grid.add(
        "first",
        "First day of feeding",
        "date",
        lambda r: Formula(f"=MAX(winter_start,DATE(YEAR(winter_start),MONTH(winter_start)+{r['number']}-1,1))"),
        "date",
        16,
    )
    grid.add(
        "days",
        "Days fed",
        "days",
        lambda r: Formula(
            f"=MAX(0,MIN(DATE(YEAR(winter_start),MONTH(winter_start)+{r['number']},1),turnout)-{r['first']})"
        ),
        "number0",
        18,
    )
    grid.add(
        "middle",
        "Middle: the day that the need is read for",
        "date",
        lambda r: Formula(f"={r['first']}+{r['days']}/2"),
        "date",
        22,
    )
    grid.add(
        "more",
        "More energy for cold and mud",
        "% of the need",
        lambda r: Formula(f"=INDEX({energy.split('!')[1]},MONTH({r['first']}))"),
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
    grid.add("name", "Cow group", "name", lambda r: Formula(f"={name(r)}"), "label", 30)
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
    grid.ask("weaning", "Weaning date", "date", [season.weaned.get(g.name) for g in groups],
             date("Weaning date", "When the calves leave, any year; empty counts the cows as in milk all winter"), "input_date", 16)  # fmt: skip
    grid.ask("feeder", "All its hay fed in", "name of a feeder", [season.feeder(g.name) for g in groups],
             listed("All its hay fed in", "What this group's hay is fed in; empty: each hay in its own feeder (Stock)", book.table_range("feeding_loss", "feeder")), "input_text", 20)  # fmt: skip
    grid.ask("bunk", "Bunk space", "inches a head", [None] * len(groups),
             number("Bunk space", "Inches at the bunk or ring for each head; asked only where a group is fed less than it would eat", 0, 200), "input0", 12)  # fmt: skip
    grid.band("Computed")
    own = '"each hay in its own"'
    grid.add("loss", "Hay wasted at feeding", "% of what is put out",
             lambda r: call("FEEDING_LOSS", r["feeder"], unless=(f'{r["feeder"]}=""', own)), "number1", 18)  # fmt: skip
    grid.add("least", "Least dry matter", "% of what she eats", _least, "number0", 14)
    grid.add("nursed", "Days from calving to weaning", "days", _nursed, "number0", 14)
    grid.add("made", "Its name when this workbook was made", "name", lambda r: _held_name(book, r.number), "text", 26)  # fmt: skip
    grid.add("head", "Head", "head", lambda r: Formula(f"={head(r)}"), "number0", 10)
    grid.add("weight", "Body weight", "lb", lambda r: Formula(f"={weight(r)}"), "number0", 12)
    cow = [there(book, "Herd", "herd", k) for k in ("shrunk", "milk", "calf")]
    for mark, words, month in (
        ("need_last", "TDN need, day before calving", "month_last"),
        ("need_first", "TDN need, a month after calving", "month_first"),
        ("need_milk", "TDN need, last day in milk by the tables", "weaned_after"),
    ):
        grid.add(mark, words, "lb/day", lambda r, m=month: _tdn(r, cow, m), "number2", 14)  # type: ignore[misc]  # bound early on purpose
    larger = "Month since calving read for the first month"
    grid.add(
        "near", larger, "months", lambda r: Formula(f"=IF({r['need_last']}>={r['need_first']},month_last,month_first)"), "number0", 16
    )  # fmt: skip
    grid.done("season_herd")
    book.marks["season_herd"]["n"] = len(groups)
    sheet.put(
        FIRST + len(groups) + 1,
        0,
        "Where the herd list gives no calving date, it was worked back from the month since calving at the start of winter: correct it.",
        "sentence",
    )
    for i, line in enumerate(TROUGH, FIRST + len(groups) + 3):
        sheet.put(i, 0, line, "sentence")
    sheet.put(
        FIRST + len(groups) + 2,
        0,
        "Bulls and growing cattle are not in this plan: the need here is a cow's.",
        "sentence",
    )


def _held_name(book: Book, number: int) -> str:
    """The name that stands on Herd first, or that an older workbook put there."""
    cell = book.by_name("Herd").cells[FIRST + number - 1, book.marks["herd_at"]["name"]]
    return str(cell.content or "")


def _least(r: Row) -> Formula:
    """Below what keeps cattle full only where all of them can eat at once."""
    room = f"N({r['bunk']})>=plan_bunk_in"
    return Formula(f"=IF(OR(plan_least_pct>={FULL_PCT:g},{room}),plan_least_pct,{FULL_PCT:g})")


def _nursed(r: Row) -> Formula:
    """A whole year without a weaning date."""
    days = f"{r['weaning']}-{r['calving']}"
    gone = f"{days}-days_per_year*INT(({days})/days_per_year)"
    return Formula(f'=IF({r["weaning"]}="",days_per_year,IF({gone}=0,days_per_year,{gone}))')


def _tdn(r: Row, cow: Sequence[Ref], month: str) -> Content:
    weight, *milk_calf = (ref(r) for ref in cow)
    return call("DAILY_NEED", '"TDN"', weight, month, *milk_calf)
