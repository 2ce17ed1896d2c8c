"""Herd: the groups of cattle, and what one animal of each needs in a day; Need by class: that of all but grown cows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.contract.levels import VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.contract.units import DAYS_PER_WEEK, DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.cow.classes import BRED, CALVING, CATTLE, COW, FIRST_CALF, GROWING, SECOND_CALF
from hayfuncs.cow.growth import POINTS
from hayfuncs.cow.heifer_need import CALVES
from hayfuncs.cow.requirement_model import CONCEPTION_DAY
from hayfuncs.importers.model import Group
from hayfuncs.workbook.keyed import another, calling, same_row
from hayfuncs.workbook.model import Book, Content, Flagging, Input
from hayfuncs.workbook.page import Page, worked
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin, fit_notes
from hayfuncs.workbook.sheets.grid import Asking, number, of_record, text, words
from hayfuncs.workbook.table import Column, Table, asked, computed

YOUNG = ("first-calf", "first calf", "heifer")  # in a group's name, where nothing is typed
# in a group's name: other cattle than cows, unless it speaks of cows too
OTHERS = ("bull", "steer", "stocker", "feeder", "yearling", "weaned", "weanling", "calves", "replacement", "open heifer")  # fmt: skip
COWS_TOO = ("cow", "pair")
# in two texts: the tab's name that is put behind Young cattle makes the first longer, and a text in a formula ends at 255
NOT_COWS_SAID = (
    "Caution: the name speaks of calves, growing heifers, steers or bulls. Every need here is a grown cow's and wrong for them: "
    "type what they are under Class of cattle. ",
    VETERINARIAN_AND_OFFICE,
)
NOT_COWS = "".join(NOT_COWS_SAID)
ARGUMENTS = {
    "shrunk_weight_lb": "shrunk",
    "month_since_calving": "month",
    "peak_milk_lb": "milk",
    "calf_weight_lb": "calf",
}
HER = tuple(f"{{{key}}}" for key in ARGUMENTS.values())


WAY = "{by.way}"  # 1 a grown cow, 2 a young cow, 3 growing cattle: see Need by class
CLASS_AT = "Herd", "cattle_class"
NO_CALF, NOT_GROWN = tuple(GROWING), (*CALVING, *GROWING)


def _typed(head: str, unit: str, function: str, field: str) -> Column:
    return asked(head, unit, of_record(function, field, True), width=11, key=field)


def _calving(head: str, unit: str, function: str, field: str) -> Column:
    """What is needed of all that calve, and of no other cattle."""
    return asked(head, unit, lambda key: replace(of_record(function, field)(key), needless=(*CLASS_AT, NO_CALF)), width=11, key=field)  # fmt: skip


def _of_class(head: str, unit: str, classes: tuple[str, ...], asking: Asking, style: str, key: str) -> Column:
    """What is needed of some classes of cattle only."""
    return asked(head, unit, lambda key: replace(asking(key), needed=(*CLASS_AT, classes)), style, 11, key=key)


def _need(nutrient: str, unit: str, head: str = "") -> Column:
    """A grown cow's by DAILY_NEED; of other classes what Need by class has."""
    other = f"IF({WAY}=2,{{by.young_{nutrient.lower()}}},{{by.grow_{nutrient.lower()}}})"
    return computed(head or f"{nutrient} need", unit, calling("DAILY_NEED", f'"{nutrient}"', *HER, unless=(f"{WAY}<>1", other)), "number2", 11)  # fmt: skip


def _density(nutrient: str, of_need: str) -> Column:
    call = calling("NEED_DENSITY", f'"{nutrient}"', *HER, unless=(f"{WAY}+{{by.counts}}<>1", f"100*{of_need}/{{need_dm}}"))  # fmt: skip
    return computed(f"{nutrient} the diet must hold", "% of diet DM", call, "number2", 10)


def _in_name(words: Sequence[str]) -> str:
    return ",".join(f'ISNUMBER(SEARCH("{word}",{{name}}))' for word in words)


def class_typed(group: Group) -> str | None:
    """A first-calf cow whose grown weight no list gives is counted as a grown cow, with a caution."""
    known = group.cattle_class != FIRST_CALF or group.grown_weight_lb is not None
    return group.cattle_class if known else None


def first_calf_typed(group: Group) -> int | None:
    return 1 if group.cattle_class is not None and class_typed(group) is None else None


def _within(row: Herd, ways: str, function: str, argument: str, ref: str) -> tuple[str, str, str]:
    """A value of the classes that a function is asked for; of others one that is no note."""
    arg = CATALOGUE[function].args[argument]
    assert isinstance(arg, Arg)
    assert arg.fit is not None
    return function, argument, f"IF({row.by.way}{ways},{ref},{arg.fit[0]:g})"


def _fitted(row: Herd) -> Content:
    args = CATALOGUE["DAILY_NEED"].args
    fitted = [
        (name, key) for name, key in ARGUMENTS.items() if isinstance(arg := args[name], Arg) and arg.fit is not None
    ]
    notes = [_within(row, "<3", "DAILY_NEED", name, getattr(row, key)) for name, key in fitted]
    for function, ways in (("HEIFER_NEED", "=2"), ("GROWING_NEED", "=3")):
        notes += [
            _within(row, ways, function, "shrunk_weight_lb", row.shrunk),
            _within(row, ways, function, "gain_lb", row.by.gain),
        ]
    notes.append(_within(row, ">1", "GROWING_NEED", "mature_shrunk_lb", row.by.grown))
    return fit_notes(notes)


class Herd(Table[Group]):
    """One row a group of like cows."""

    blank, as_ever = '{counted}=""', ("wrong", "odd")
    name = asked("Cow group", "name", text("Cow group", "A name of your own", True), "input_text", 26, band="Typed in")
    head = asked("Head", "head", lambda key: Input(key, "Head", "Number of cows, 1 to 100,000", lo=1, hi=100000, kind="whole"), "input0", 8)  # fmt: skip
    weight = _typed("Body weight, full", "lb", "SHRUNK_WEIGHT", "body_weight_lb")
    month = _calving("Month since calving", "months", "DAILY_NEED", "month_since_calving")
    milk = _calving("Milk at peak; of young cows the grown cows'", "lb/day", "DAILY_NEED", "peak_milk_lb")
    calf = _calving("Calf weight at birth", "lb", "DAILY_NEED", "calf_weight_lb")
    score = _calving("Body condition score, 1 thin to 9 fat", "score", "NEED_NOTE", "condition_score")
    cattle_class = asked("Class of cattle; empty is cow", "word", words("Class of cattle", "What they are; empty is read as cow", CATTLE), "input_text", 16, of=lambda row: class_typed(row.item))  # fmt: skip
    first_calf_typed = asked("First calf? 1 yes, 0 no", "yes/no",
        lambda key: Input(key, "First calf?", "1 where these cows have their first calf, or are bred heifers; 0 for other cows. Left empty, the group's name answers",
                          lo=0, hi=1, kind="whole", required=False),
        "input0", 9, key="first_calf", of=lambda row: first_calf_typed(row.item))  # fmt: skip
    grown = _of_class("Weight when grown, full; not of cows", "lb", NOT_GROWN,
        number("Weight when grown", "Full pounds of the cow a heifer becomes, of a grown bull, of a steer fat enough to sell", 450, 3500), "input0", "grown_weight_lb")  # fmt: skip
    gain = _of_class("Gain wanted: growing cattle and bulls", "lb/day", NO_CALF,
        number("Gain wanted", "Growing cattle and bulls: needed. Young cows: empty takes the usual gain to their next target weight. Pounds a day", 0, 6), "input2", "gain_wanted_lb")  # fmt: skip
    wanted = asked("Condition score wanted", "score", number("Condition score wanted", "Empty where condition is only to be held", 1, 9), "input", 11, key="condition_wanted")  # fmt: skip
    days = asked("Days to reach it", "days", number("Days to reach it", "From the start of feeding", 1, 730), "input0", 9, key="condition_days")  # fmt: skip
    shrunk = computed("Shrunk weight", "lb", calling("SHRUNK_WEIGHT", "{weight}", "shrink_pct"), "number0", 11, "Computed")  # fmt: skip
    lactating = computed("Giving milk?", "yes/no", "=IF(AND({month}<=weaned_after,{by.milk_now}>0),1,0)", "number0", 9)
    need_dm = _need("DM", "lb DM/day", "Dry matter eaten")
    need_tdn = computed("TDN need", "lb/day", "={hold_tdn}+{by.condition_tdn}", "number2", 11)
    need_cp = _need("CP", "lb/day")
    need_nem = computed("NEm need", "Mcal/day", "={hold_nem}+{by.condition_nem}", "number2", 11)
    need_ca, need_p = _need("Ca", "g/day"), _need("P", "g/day")
    density_tdn, density_cp = _density("TDN", "{need_tdn}"), _density("CP", "{need_cp}")
    density_ca, density_p = _density("Ca", "{need_ca}/grams_per_lb"), _density("P", "{need_p}/grams_per_lb")
    notes = computed("Outside a fitted range?", "words", _fitted, "small", 40)
    first_calf = computed("Counts as first-calf?", "yes/no",
        '=IF({cattle_class}<>"",0,IF(COUNT({first_calf_typed})=0,IF(OR(' + _in_name(YOUNG) + "),1,0),{first_calf_typed}))",
        "number0", 10)  # fmt: skip
    caution = computed("Before you rely on this need", "text",
        calling("NEED_NOTE", "IF({by.counts}=1,{wanted},{score})", "{first_calf}",
            unless=(f"OR({{not_cows}}=1,{WAY}=3)", "IF({not_cows}=1," + "&".join(map(quoted, NOT_COWS_SAID)) + ',"")')), "note", 60)  # fmt: skip
    not_cows = computed("No cows, by the name?", "yes/no",
        '=IF(OR({cattle_class}<>"",COUNT({first_calf_typed})=1),0,IF(AND(OR(' + _in_name(OTHERS) + "),NOT(OR(" + _in_name(COWS_TOO) + "))),1,0))", "number0", 10)  # fmt: skip
    wrong, odd, accepted = doubts.columns("herd")
    counted = computed("Name, where all that is needed is there", "name",
        f'=IF(OR({{name}}="",COUNT({{head}},{{weight}})<2,AND(NOT({doubts.GROWS}),COUNT({{month}},{{milk}},{{calf}},{{score}})<4)),"",{{name}})', "text", 26)  # fmt: skip
    hold_tdn, hold_nem = _need("TDN", "lb/day", "TDN need, condition held"), _need("NEm", "Mcal/day", "NEm need, condition held")  # fmt: skip
    by = same_row(lambda: NeedByClass)


AS_COW, AS_YOUNG, AS_GROWING = 1, 2, 3
WEEKS_A_MONTH = f"{DAYS_PER_YEAR:g}/{MONTHS_PER_YEAR * DAYS_PER_WEEK:g}"
MOST_OF_HAY = 63  # % TDN of a diet: above it hay alone cannot put condition on (see NEED_FOR_CONDITION)
NOT_YOUNG = (f"OR({{way}}<>{AS_YOUNG},COUNT({{herd.grown}})=0)", '""')
NO_YOUNG = (f"OR({{way}}<>{AS_YOUNG},COUNT({{grown}},{{gain}},{{herd.month}},{{herd.milk}},{{herd.calf}})<5)", '""')
NO_GROWING = (f"OR({{way}}<>{AS_GROWING},COUNT({{grown}},{{gain}})<2)", '""')
NO_CONDITION = ("{counts}=0", "0")
YOUNG_HER = ("{grown}", "{herd.shrunk}", "{gain}", "{herd.month}", "{milk_now}", "{herd.calf}")
GROWS = ("{kind}", "{herd.shrunk}", "{gain}", "{grown}")


def _is(*classes: str) -> str:
    same = [f'{{cattle_class}}="{word}"' for word in classes]
    return f"OR({','.join(same)})"


def _chosen(words: dict[str, str]) -> str:
    """The word that belongs to the class; empty where none does."""
    formula = '""'
    for word, shown in words.items():
        formula = f'IF({{cattle_class}}="{word}","{shown}",{formula})'
    return f"={formula}"


def _target(point: str) -> Column:
    return computed(f"Target weight at {point}, shrunk", "lb", calling("TARGET_WEIGHT", "{grown}", f'"{point}"', unless=NOT_YOUNG), "number0")  # fmt: skip


def _young_need(nutrient: str, unit: str, band: str = "") -> Column:
    return computed(f"{nutrient} of a young cow", unit, calling("HEIFER_NEED", f'"{nutrient}"', *YOUNG_HER, unless=NO_YOUNG), "number2", 11, band)  # fmt: skip


def _grows(nutrient: str, unit: str, band: str = "") -> Column:
    return computed(f"{nutrient} for growth", unit, calling("GROWING_NEED", f'"{nutrient}"', *GROWS, unless=NO_GROWING), "number2", 11, band)  # fmt: skip


class NeedByClass(Table[Group]):
    """One row a group of Herd."""

    blank = '{name}=""'
    on = "Need by class"
    name = computed("Cow group", "name", "={herd.counted}", "label", 26)
    cattle_class = computed("Class of cattle", "word", f'=IF({{herd.cattle_class}}="","{COW}",{{herd.cattle_class}})', "text_in", 18)  # fmt: skip
    says = computed("What is counted for this class", "words",
        f'=TRIM(IF({{way}}={AS_COW},"Need of a grown cow.",IF({{way}}={AS_YOUNG},"Young cow: gain of her own "&TEXT({{gain}},"0.00")&" lb a day, milk at the peak "&TEXT({{milk}},"0.0")&" lb.",'
        '"Growing cattle: need for a gain of "&TEXT({gain},"0.00")&" lb a day; no calving, no milk."))&" "&{condition_says})', "small", 46)  # fmt: skip
    way = computed("Counted as: 1 grown cow, 2 young cow, 3 growing", "1", f"=IF({_is(*CALVING)},{AS_YOUNG},IF({_is(*GROWING)},{AS_GROWING},{AS_COW}))", "number0", band="Class")  # fmt: skip
    kind = computed("Growing cattle counted as", "word", _chosen(GROWING), "text_in", 14)
    grown = computed("Shrunk weight when grown", "lb", calling("SHRUNK_WEIGHT", "{herd.grown}", "shrink_pct", unless=(f"OR({{way}}={AS_COW},COUNT({{herd.grown}})=0)", '""')), "number0")  # fmt: skip
    nurses = computed("Calf she nurses or carries", "word",
        f'=IF({_is(FIRST_CALF, BRED)},"{CALVES[0]}",IF({_is(SECOND_CALF)},"{CALVES[1]}","{CALVES[2]}"))', "text_in")  # fmt: skip
    milk = computed("Milk at her peak", "lb/day", calling("YOUNG_COW_MILK", "{herd.milk}", "{nurses}", unless=(f"OR({{way}}={AS_GROWING},COUNT({{herd.milk}})=0)", "0")))  # fmt: skip
    milk_now = computed("The same; 0 before her first calf", "lb/day", f"=IF({_is(BRED)},0,{{milk}})")
    milk_day = computed("Milk she gives now", "lb/day",
        calling("MILK_YIELD", "{milk_now}", f"{{herd.month}}*{WEEKS_A_MONTH}", unless=(f"OR({{way}}<>{AS_YOUNG},COUNT({{herd.month}})=0,N({{herd.month}})>weaned_after)", "0")))  # fmt: skip
    in_calf = computed("Young cow in calf? 1 yes, 0 no", "yes/no", f"=IF(AND({{way}}={AS_YOUNG},N({{herd.month}})*{DAYS_PER_YEAR:g}/{MONTHS_PER_YEAR:g}>{CONCEPTION_DAY}),1,0)", "number0")  # fmt: skip
    at_breeding, at_first, at_second, at_third = (_target(point) for point in POINTS)
    gain_calved = computed("Usual gain from first to second calving", "lb/day", f'=IF({NOT_YOUNG[0]},"",({{at_second}}-{{at_first}})/{DAYS_PER_YEAR:g})', "number2")  # fmt: skip
    gain_usual = computed("Usual gain of this class", "lb/day",
        f'=IF({NOT_YOUNG[0]},"",IF({_is(BRED)},({{at_first}}-{{at_breeding}})/({DAYS_PER_YEAR:g}-{CONCEPTION_DAY:g}),IF({_is(FIRST_CALF)},{{gain_calved}},({{at_third}}-{{at_second}})/{DAYS_PER_YEAR:g})))', "number2")  # fmt: skip
    gain = computed("Gain counted", "lb/day", f'=IF({{way}}={AS_COW},"",IF(COUNT({{herd.gain}})=1,{{herd.gain}},{{gain_usual}}))', "number2")  # fmt: skip
    young_dm, young_tdn = _young_need("DM", "lb DM/day", "Need of a young cow"), _young_need("TDN", "lb/day")
    young_cp, young_nem = _young_need("CP", "lb/day"), _young_need("NEm", "Mcal/day")
    young_ca, young_p = _young_need("Ca", "g/day"), _young_need("P", "g/day")
    grow_dm, grow_tdn = _grows("DM", "lb DM/day", "Need of growing cattle"), _grows("TDN", "lb/day")
    grow_cp, grow_nem = _grows("CP", "lb/day"), _grows("NEm", "Mcal/day")
    grow_ca, grow_p = _grows("Ca", "g/day"), _grows("P", "g/day")
    counts = computed("Is condition to be put on? 1 yes, 0 no", "yes/no",
        f"=IF(AND({{way}}<{AS_GROWING},COUNT({{herd.score}},{{herd.wanted}},{{herd.days}})=3,N({{herd.wanted}})>N({{herd.score}})),1,0)", "number0", band="Condition")  # fmt: skip
    as_if_5 = computed("Shrunk weight at her score, were hers that at score 5", "lb", calling("CONDITION_WEIGHT", "{herd.shrunk}", "{herd.score}", unless=NO_CONDITION), "number0")  # fmt: skip
    at_5 = computed("Shrunk weight at score 5", "lb", "=IF({counts}=0,0,{herd.shrunk}*{herd.shrunk}/{as_if_5})", "number0")  # fmt: skip
    diet_tdn = computed("TDN of the diet that holds her condition", "% of diet DM", "=IF({counts}=0,0,100*{herd.hold_tdn}/{herd.need_dm})")  # fmt: skip
    condition_tdn = computed("TDN for it", "lb/day", calling("NEED_FOR_CONDITION", "{at_5}", "{herd.score}", "{herd.wanted}", "{herd.days}", "{diet_tdn}", unless=NO_CONDITION), "number2")  # fmt: skip
    energy = computed("Energy of the scores to be put on", "Mcal", calling("CONDITION_ENERGY", "{at_5}", "{herd.score}", "{herd.wanted}", unless=NO_CONDITION), "number0")  # fmt: skip
    condition_nem = computed("Energy for it", "Mcal/day", "=IF({counts}=0,0,{energy}/{herd.days})", "number2")
    condition_says = computed("Condition, in words", "words",
        '=IF({counts}=0,"",TRIM(" For condition "&TEXT({condition_tdn},"0.0")&" lb of TDN a day more, "&{herd.days}&" days from the start of feeding."&'
        f'IF({{herd.density_tdn}}>{MOST_OF_HAY}," The diet then needs "&TEXT({{herd.density_tdn}},"0")&" % TDN: hay alone cannot do it. Take more days, or a supplement.","")))', "small", 40)  # fmt: skip
    lacking = computed("Needed cells left empty", "cells", f"=IF({{way}}={AS_GROWING},0,COUNTBLANK({{herd.month}})+COUNTBLANK({{herd.milk}})+COUNTBLANK({{herd.calf}})+COUNTBLANK({{herd.score}}))", "number0")  # fmt: skip
    herd = same_row(lambda: Herd)


class Count(Page):
    groups = worked("Rows for groups", None, "=ROWS({herd.name})", "number0", name="group_count")
    herd = another(lambda: Herd)


def fill(book: Book, groups: Sequence[Group]) -> None:
    sheet = begin(book, "Herd", "Cow groups and what one cow needs in a day",
        "One row is one group of like cows. Needs come from the NRC 2000 equations; the TDN need is found by inverting the NEm curve. For cows just calved type month 1: below it milk is only beginning.",
        "Inputs, then workings")  # fmt: skip
    herd = Herd(sheet, groups).place().filed("herd")
    sheet.flags.append(Flagging(herd.area(Herd.wrong, Herd.odd), ".", "flag_bad"))
    Count(sheet, herd.row_below + 1).place()


def fill_classes(book: Book, groups: Sequence[Group]) -> None:
    sheet = begin(book, NeedByClass.on, "What each class of cattle needs in a day",
        "One row is one group of Herd. Young cows: the need of a cow and of her own growth. Growing cattle and bulls: for the gain wanted. Condition comes on top.",
        "Workings")  # fmt: skip
    NeedByClass(sheet, groups).place().filed("byclass")
