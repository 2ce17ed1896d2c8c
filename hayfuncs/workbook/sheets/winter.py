"""Winter, Winter herd: what the plan starts from, and the months it covers."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from hayfuncs.contract.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.cow.classes import BRED
from hayfuncs.cow.requirement_model import CONCEPTION_DAY
from hayfuncs.importers.model import Group
from hayfuncs.ration.minerals import CA_P_LOW
from hayfuncs.winter.problem import FULL_PCT, HALF_DAY, LEAST_HALF, MONTHS, periods_between
from hayfuncs.winter.requirements import FIRST_MONTH, LAST_MONTH
from hayfuncs.workbook.keep import Keeper
from hayfuncs.workbook.keyed import another, calling, same_row
from hayfuncs.workbook.model import Book, Formula, Input
from hayfuncs.workbook.page import Line, Page, given, heading, sentence, worked
from hayfuncs.workbook.season import Season, calving
from hayfuncs.workbook.sheets import haytobuy
from hayfuncs.workbook.sheets.common import begin, typed_names
from hayfuncs.workbook.sheets.grid import date, listed, number
from hayfuncs.workbook.sheets.herd import AS_COW, AS_GROWING, AS_YOUNG, CLASS_AT, NO_CALF, Herd, NeedByClass
from hayfuncs.workbook.table import Column, Table, asked, computed

# growing cattle at the weight that their gain brings, from the first day of feeding until they are grown
# a month's need is read for its middle, its limits for its first day, when they weigh least
MIDDLE, FIRST_DAY = (
    f"MIN(INDEX({{herd.tops}},{{g}}),INDEX({{herd.weight}},{{g}})+INT(INDEX({{herd.grows}},{{g}})*MAX(0,INDEX({{months.{day}}},{{m}})-winter_start)))"
    for day in ("middle", "first")
)
SPARE_MONTHS = 1  # rows beyond the winter as built, so that a date can be moved
MOST_MONTHS = 14
BESIDE = 3  # the column of words beside a heading
HALVES = "Winter/plan_halves"
TURNS = re.compile(r"Winter herd/\d+/(calving|weaning)")
PRINTED = 15  # columns: the words beside a setting run on over empty ones
MONTH_NAMES = ",".join(f'"{month}"' for month in MONTHS)


def months_needed(book: Book, season: Season) -> int:
    """How many months and halves of months the typed dates ask for; 0 when turnout is not after the start.

    Where a file is read as it stands, whatever its dates, its own rows count.
    """
    kept: int | None = getattr(book.keeper, "month_rows", None)
    if kept:
        return kept - SPARE_MONTHS
    start, turnout = typed_day(book, "Hay pile/start"), typed_day(book, "Hay pile/turnout")
    if start is None or turnout is None:
        return 0
    held = book.keeper.old.values.get(HALVES) if isinstance(book.keeper, Keeper) else None
    halved = season.in_halves if held is None else held.value == 1
    dated = [typed_day(book, key) for key in book.inputs if TURNS.fullmatch(key)] if halved else []
    found = periods_between(start, turnout, [day for day in dated if day is not None])
    return min(len(found), MOST_MONTHS * (2 if halved else 1))


def typed_day(book: Book, key: str) -> dt.date | None:
    """The date that stands in an input."""
    sheet, row, col = book.inputs[key]
    day = book.by_name(sheet).cells[row, col].content
    return day if isinstance(day, dt.date) else None


def _setting(label: str, unit: str, value: Any, lo: float, hi: float, why: str) -> Line:
    """A setting whose key is its name in formulas."""
    kind = "whole" if unit == "yes/no" else "number"
    says = f"{label}: {lo:g} to {hi:g} {unit}"
    return given(label, unit, lambda key: Input(key, label, says, lo=lo, hi=hi, kind=kind), value, name=None, why=why, why_look="sentence")  # fmt: skip


def _more(number: int, month: str) -> Line:
    """More energy for cold and mud in a month of the year."""
    says = "More TDN for cold and mud, 0 to 100 % of the need"
    return given(
        month, "% of the need", lambda key: Input(key, f"More energy in {month}", says, lo=0, hi=100),
        lambda page: page.of.more_energy.get(number, 0),
    )  # fmt: skip


class Settings(Page):
    """How the plan is made."""

    made = heading("How the plan is made")
    plan_most_pct = _setting("Most dry matter a cow eats", "%", 100, 50, 150, "Of the dry matter that the requirement equations say she eats (sheet Group months).")  # fmt: skip
    plan_least_pct = _setting("Least dry matter, to keep her full", "%", FULL_PCT, 0, 150,
        "Of the same. Below 95 a group is limit-fed, and only where all of it can eat at once (bunk space on Winter herd); its grain and nitrate hay are then left out.")  # fmt: skip
    plan_bunk_in = _setting("Bunk space at which all eat at once", "inches a head", 30, 0, 60,
        "Once a day, limited: 24 to 30 for cows of 1,000 lb, 26 to 30 for 1,300 lb (FASS 2020, second hand); the upper end.")  # fmt: skip
    plan_min_ca_p = _setting("Least calcium for each part of phosphorus", "ratio", CA_P_LOW, 0, 7,
        "Of the whole diet, limestone counted. Alberta Agriculture: 1.5 to 7; below 1 is a danger (Auburn).")  # fmt: skip
    plan_hay_pct = _setting("Least hay, of the dry matter", "%", 65, 0, 100,
        "So that supplement stays near 0.7 % of body weight (see Assumptions; the figure here is our choice).")  # fmt: skip
    plan_fiber_pct_bw = _setting("Most hay fiber (NDF) a cow eats", "% of body weight", 1.3, 0.5, 3,
        "University of Missouri 1.2 %, Ohio State 1.2 to 1.5 %. Fiber of supplements is not counted.")  # fmt: skip
    plan_grain_pct_bw = _setting("Most starchy grain, all together", "% of body weight", 0.5, 0, 3,
        "As fed. University of Illinois: best at 0.25 %, harm above 0.5 %. Each grain's own limit is on Winter feeds.")  # fmt: skip
    plan_calving_days = _setting("Days from the first calf to the last", "days", 60, 0, 300,
        "Half before and half after the calving date (common practice, no source). While any cow may be in calf, nitrate's lower shares hold.")  # fmt: skip
    plan_halves = _setting("Months of calving and weaning in two halves? 1 yes, 0 no", "yes/no", lambda page: int(page.of.in_halves), 0, 1,
        "To the 15th and from the 16th: feed follows the need more closely, with one more change for the one who feeds. See it after hayfuncs rebuild.")  # fmt: skip
    plan_mixed = _setting("Is hay ground and mixed? 1 yes, 0 no", "yes/no", lambda page: int(page.of.hay_is_mixed), 0, 1,
        "Bales put out side by side are not mixed: 0 leaves out hay whose nitrate is not safe as the whole diet (University of Nebraska).")  # fmt: skip
    plan_nitrate_below_pct = _setting("Nitrate kept below its limit by", "%", 10, 0, 50,
        "Of each line of the scales, and of each share that they allow a mixed-in hay: a test has an error of its own (common practice, no source).")  # fmt: skip
    plan_heat_pct = _setting("Heat-bound protein from which available protein counts", "% of CP", 10, 0, 100,
        "Above it a lot's protein is CP less ADICP (sheet Hazards). University of Nebraska: flagged above 10 %.")  # fmt: skip
    plan_storage_unsaid = _setting("Hay lost in store where none is typed", "% of what is stored", 15, 0, 95,
        "Between hay in a barn and hay on the ground uncovered (our choice; see STORAGE_LOSS).")  # fmt: skip
    plan_feeding_unsaid = _setting("Hay wasted where neither group nor lot names a feeder", "% of what is put out", 20.5, 0, 95, "As in an open ring (see FEEDING_LOSS).")  # fmt: skip
    plan_own_value_pct = _setting("Own hay counts at this share of its price", "%", 60, 0, 100,
        "What it would bring if it were not fed (our choice; prices on Stock). 0: it is paid for, and only buying counts.")  # fmt: skip
    weather = heading("More energy for cold and mud, by month of the year", after=1)
    (more_jan, more_feb, more_mar, more_apr, more_may, more_jun, more_jul, more_aug, more_sep, more_oct, more_nov, more_dec) = (_more(number, month) for number, month in enumerate(MONTHS, 1))  # fmt: skip
    fixed = heading("Fixed, shown here to be read", after=1)
    days_per_year = worked("Days from calving to calving", "days", DAYS_PER_YEAR, "number0", name=None)
    months_per_year = worked("Months in a year", "months", MONTHS_PER_YEAR, "number0", name=None)
    conception_day = worked("Days from calving until she is in calf again", "days", CONCEPTION_DAY, "number0", name=None)  # fmt: skip
    month_first = worked("First month after calving ends at month", "months", FIRST_MONTH, "number0", name=None)
    month_last = worked("Day before calving: month", "months", LAST_MONTH, "number0", name=None)


def _into(date: str, none: str) -> str:
    """The date's day of a winter, whatever its year."""
    since = f"({{{date}}}-winter_start)"
    return f'=IF({none},"",{since}-days_per_year*INT({since}/days_per_year))'


def _dates(what: str) -> str:
    """How many of the groups' dates fall in a month."""
    day = f"{{herd.{what}}}"
    return f'COUNTIFS({day},">="&{{first}}-winter_start,{day},"<"&{{over}}-winter_start)'


class Months(Table[None]):
    """One row a month of the winter, or a half of one."""

    label = computed("Month of the winter", "name",
        f'=IF({{days}}=0,"",CHOOSE(MONTH({{first}}),{MONTH_NAMES})&IF({{halved}}=1," "&DAY({{first}})&"-"&DAY({{end}}-1),"")&" "&YEAR({{first}}))', "label", 44)  # fmt: skip
    first = computed("First day of feeding", "date", lambda row: row.begins(), "date", 16)
    days = computed("Days fed", "days", "={end}-{first}", "number0", 18)
    middle = computed("Middle: the day that the need is read for", "date", "={first}+{days}/2", "date", 22)
    more = computed("More energy for cold and mud", "% of the need", "=INDEX({set.more_jan}:{set.more_dec},MONTH({first}))", width=16)  # fmt: skip
    count = computed("Number of the month", "1", lambda row: row.number, "number0", 12, key="number")
    end = computed("First day after it", "date", f"=IF(AND({{turns}}>0,{{half}}-{{first}}>={LEAST_HALF},{{over}}-{{half}}>={LEAST_HALF}),{{half}},{{over}})", "date", 16)  # fmt: skip
    half = computed("Second half begins", "date", f"=DATE(YEAR({{first}}),MONTH({{first}}),{HALF_DAY})", "date", 16)
    over = computed("Month or winter is over", "date", "=MAX({first},MIN(DATE(YEAR({first}),MONTH({first})+1,1),turnout))", "date", 16)  # fmt: skip
    turns = computed("Dates of calving and weaning in it; 0 where months are whole", "dates", f"=IF(plan_halves=1,{_dates('calves')}+{_dates('weans')},0)", "number0", 16)  # fmt: skip
    halved = computed("Half a month? 1 yes, 0 no", "yes/no", "=IF(OR({end}<{over},AND({first}={half},{first}>winter_start)),1,0)", "number0", 14)  # fmt: skip
    set, herd = another(lambda: Settings), another(lambda: WinterHerd)

    def begins(self) -> Formula:
        """Where the row above ends; that is the unit above the first row, which has the start of winter."""
        assert self.at is not None
        return Formula(f"=IF({self.count}=1,winter_start,{self.row(self.at - 1).end})")


def _need(words: str, month: str, young: str) -> Column:
    call = calling("DAILY_NEED", '"TDN"', "{herd.shrunk}", month, "{herd.milk}", "{herd.calf}", unless=(f"{{by.way}}<>{AS_COW}", f"{{{young}}}"))  # fmt: skip
    return computed(f"TDN need, {words}", "lb/day", call, "number2", 14)


def _young(words: str, month: str) -> Column:
    """Of a young cow, a bred heifer once she has calved; 0 of other cattle."""
    her = ("{by.grown}", "{herd.shrunk}", "{gain_calved}", month, "{by.milk}", "{herd.calf}")
    call = calling("HEIFER_NEED", '"TDN"', *her, unless=(f"{{by.way}}<>{AS_YOUNG}", "0"))
    return computed(f"The same of a young cow, {words}", "lb/day", call, "number2", 14)


def _calving(key: str) -> Input:
    return replace(date("Calving date", "Middle of the calving season, any year; not of growing cattle and bulls")(key), needless=(*CLASS_AT, NO_CALF))  # fmt: skip


class Wintered(NamedTuple):
    calving: dt.date | None
    weaning: dt.date | None
    feeder: str | None
    bunk: None = None


class WinterHerd(Table[Wintered]):
    """One row a group of the sheet Herd."""

    blank = '{name}=""'
    name = computed("Cow group", "name", "={herd.counted}", "label", 30)
    calving = asked("Calving date", "date", _calving, "input_date", 16, band="Typed in")
    weaning = asked("Weaning date", "date", date("Weaning date", "When the calves leave, any year; empty counts the cows as in milk all winter"), "input_date", 16)  # fmt: skip
    feeder = asked("All its hay fed in", "name of a feeder",
        listed("All its hay fed in", "What this group's hay is fed in; empty: each hay in its own feeder (Stock)", "{table[feeding_loss.feeder]}"), "input_text", 20)  # fmt: skip
    bunk = asked("Bunk space", "inches a head",
        number("Bunk space", "Inches at the bunk or ring for each head; asked only where a group is fed less than it would eat", 0, 200), "input0")  # fmt: skip
    loss = computed("Hay wasted at feeding", "% of what is put out", calling("FEEDING_LOSS", "{feeder}", unless=('{feeder}=""', '"each hay in its own"')), width=18, band="Computed")  # fmt: skip
    # below what keeps cattle full only where all of them can eat at once
    least = computed("Least dry matter", "% of what she eats", f"=IF(OR(plan_least_pct>={FULL_PCT:g},N({{bunk}})>=plan_bunk_in),plan_least_pct,{FULL_PCT:g})", "number0", 14)  # fmt: skip
    # a whole year without a weaning date
    nursed = computed("Days from calving to weaning", "days", '=IF({weaning}="",days_per_year,IF({gone}=0,days_per_year,{gone}))', "number0", 14)  # fmt: skip
    # the name that stands on Herd first, or that an older workbook put there
    made = computed("Its name when this workbook was made", "name", lambda row: typed_names(row.book, "herd")[row.number - 1], "text", 26)  # fmt: skip
    head = computed("Head", "head", "={herd.head}", "number0", 10)
    weight = computed("Body weight", "lb", "={herd.weight}", "number0")
    grows = computed("Gain all winter; 0 where the weight holds", "lb/day", f"=IF(AND({{by.way}}={AS_GROWING},COUNT({{by.gain}},{{herd.grown}})=2),{{by.gain}},0)", "number2")  # fmt: skip
    tops = computed("Weight it may grow to", "lb", "=MAX({herd.weight},N({herd.grown}))", "number0")
    need_last = _need("day before calving", "month_last", "young_last")
    need_first = _need("a month after calving", "month_first", "young_first")
    need_milk = _need("last day in milk by the tables", "weaned_after", "young_milk")
    near = computed("Month since calving read for the first month", "months", "=IF({need_last}>={need_first},month_last,month_first)", "number0", 16)  # fmt: skip
    says = computed("What is not used", "words", f'=IF(AND({{by.way}}={AS_GROWING},{{calving}}&{{weaning}}<>""),"These do not calve: the dates are not used.","")', "small", 28)  # fmt: skip
    gain_calved = computed("Gain of a young cow that has calved", "lb/day", f'=IF({{by.cattle_class}}="{BRED}",{{by.gain_calved}},{{by.gain}})', "number2")  # fmt: skip
    young_last, young_first = _young("day before calving", "month_last"), _young("a month after calving", "month_first")
    young_milk = _young("last day in milk by the tables", "weaned_after")
    calves = computed("Calving: days into the winter", "days", _into("calving", f"OR({{by.way}}={AS_GROWING},COUNT({{calving}})=0)"), "number0", 14)  # fmt: skip
    weans = computed("Weaning: days into the winter", "days", _into("weaning", 'OR({calves}="",COUNT({weaning})=0)'), "number0", 14)  # fmt: skip
    gone = "{weaning}-{calving}-days_per_year*INT(({weaning}-{calving})/days_per_year)"
    herd, by = same_row(lambda: Herd), same_row(lambda: NeedByClass)


class Notes(Page):
    """What is worked back, left out and read otherwise."""

    calving = sentence("Where the herd list gives no calving date, it was worked back from the month since calving at the start of winter: correct it.")  # fmt: skip
    cows = sentence("Each group counts by its class on Herd: bulls and growing cattle by the gain wanted, at the weight that it brings by the middle of each month (Herd has that of the first day of feeding); a bred heifer as a first-calf cow once she has calved.")  # fmt: skip
    condition = sentence("Condition to be put on is fed for from the first day of feeding, in the months that begin before its days are over.")  # fmt: skip
    drop = sentence("The need drops at calving, and a month just behind is not planned for at its lowest day:")
    trough = sentence("the first month after calving is read as its end or as the day before calving, whichever asks for more TDN;")  # fmt: skip
    milk = sentence("milk stops on the weaning date and not before: a cow that nurses past month 6 is read as in month 6, or as in her own where that asks for more.")  # fmt: skip


def fill(book: Book, groups: Sequence[Group], season: Season) -> None:
    sheet = begin(book, "Winter", "What the winter plan starts from",
        "Dates stand on Hay pile, hay on Lots, Register and Stock, prices on Feeds. The months follow from the dates.", "Inputs, then workings")  # fmt: skip
    _herd(book, groups, season)
    months = Months(sheet, [None] * (max(2, months_needed(book, season)) + SPARE_MONTHS))
    settings = Settings(sheet, months.row_below + 1, season)
    months.place().filed("months")
    settings.place()
    worked_out = (
        "Herd care works these out from coat, weather and mud. A cow may be fed more and not eat more: watch condition."
    )
    sheet.put(settings.at["weather"], BESIDE, worked_out, "sentence")
    sheet.printed_cols = PRINTED
    haytobuy.fill(book, season)


def months_planned(book: Book) -> int:
    return book.find(Months).n - SPARE_MONTHS


def _herd(book: Book, groups: Sequence[Group], season: Season) -> None:
    sheet = begin(book, "Winter herd", "When each group calves and what its hay is fed in",
        "One row is one group of the sheet Herd. The calving date is the middle of the season, last year's or the next: the stage is worked from it month by month.",
        "Inputs, then workings")  # fmt: skip
    start = typed_day(book, "Hay pile/start") or dt.date.min
    rows = [Wintered(calving(g, start), season.weaned.get(g.name), season.feeder(g.name)) for g in groups]
    herd = WinterHerd(sheet, rows).place().filed("season_herd")
    Notes(sheet, herd.row_below + 1).place()
