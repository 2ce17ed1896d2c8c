"""Herd: the groups of cows, and what one cow of each needs in a day."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.contract.levels import VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.importers.model import CATTLE, Group
from hayfuncs.workbook.keyed import calling
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Input
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin, fit_notes
from hayfuncs.workbook.sheets.grid import of_record, text
from hayfuncs.workbook.table import Column, Table, asked, computed

YOUNG = ("first-calf", "first calf", "heifer")  # in a group's name, where nothing is typed
# in a group's name: other cattle than cows, unless it speaks of cows too
OTHERS = ("bull", "steer", "stocker", "feeder", "yearling", "weaned", "weanling", "calves", "replacement", "open heifer")  # fmt: skip
COWS_TOO = ("cow", "pair")
# in two texts: the tab's name that is put behind Young cattle makes the first longer, and a text in a formula ends at 255
NOT_COWS_SAID = (
    "Caution: the name speaks of calves, growing heifers, steers or bulls. Every need here is a grown cow's and wrong for them: "
    "see Young cattle. Where they are cows, type 0 under First calf. ",
    VETERINARIAN_AND_OFFICE,
)
NOT_COWS = "".join(NOT_COWS_SAID)
COW = {"shrunk_weight_lb": "shrunk", "month_since_calving": "month", "peak_milk_lb": "milk", "calf_weight_lb": "calf"}
HER = tuple(f"{{{key}}}" for key in COW.values())


def _typed(head: str, unit: str, function: str, field: str) -> Column:
    return asked(head, unit, of_record(function, field, True), width=11, key=field)


def _need(nutrient: str, unit: str, head: str = "") -> Column:
    return computed(head or f"{nutrient} need", unit, calling("DAILY_NEED", f'"{nutrient}"', *HER), "number2", 11)


def _density(nutrient: str) -> Column:
    return computed(f"{nutrient} the diet must hold", "% of diet DM", calling("NEED_DENSITY", f'"{nutrient}"', *HER), "number2", 10)  # fmt: skip


def _in_name(words: Sequence[str]) -> str:
    return ",".join(f'ISNUMBER(SEARCH("{word}",{{name}}))' for word in words)


def _said(group: Group) -> int | None:
    """What a herd list says of the class: then the name does not answer."""
    return CATTLE.index(group.cattle_class) if group.cattle_class in CATTLE else None


def _fitted(row: Herd) -> Content:
    args = CATALOGUE["DAILY_NEED"].args
    fitted = [(name, key) for name, key in COW.items() if isinstance(arg := args[name], Arg) and arg.fit is not None]
    return fit_notes([("DAILY_NEED", name, getattr(row, key)) for name, key in fitted]) if fitted else ""


class Herd(Table[Group]):
    """One row a group of like cows."""

    name = asked("Cow group", "name", text("Cow group", "A name of your own", True), "input_text", 26, band="Typed in")
    head = asked("Head", "head", lambda key: Input(key, "Head", "Number of cows, 1 to 100,000", lo=1, hi=100000, kind="whole"), "input0", 8)  # fmt: skip
    weight = _typed("Body weight, full", "lb", "SHRUNK_WEIGHT", "body_weight_lb")
    month = _typed("Month since calving", "months", "DAILY_NEED", "month_since_calving")
    milk = _typed("Milk at peak", "lb/day", "DAILY_NEED", "peak_milk_lb")
    calf = _typed("Calf weight at birth", "lb", "DAILY_NEED", "calf_weight_lb")
    score = _typed("Body condition score", "score", "NEED_NOTE", "condition_score")
    first_calf_typed = asked("First calf? 1 yes, 0 no", "yes/no",
        lambda key: Input(key, "First calf?", "1 where these cows have their first calf, or are bred heifers; 0 for other cows. Left empty, the group's name answers",
                          lo=0, hi=1, kind="whole", required=False),
        "input0", 9, key="first_calf", of=lambda row: _said(row.item))  # fmt: skip
    shrunk = computed("Shrunk weight", "lb", calling("SHRUNK_WEIGHT", "{weight}", "shrink_pct"), "number0", 11, "Computed")  # fmt: skip
    lactating = computed("Giving milk?", "yes/no", "=IF(AND({month}<=weaned_after,{milk}>0),1,0)", "number0", 9)
    need_dm, need_tdn = _need("DM", "lb DM/day", "Dry matter eaten"), _need("TDN", "lb/day")
    need_cp, need_nem = _need("CP", "lb/day"), _need("NEm", "Mcal/day")
    need_ca, need_p = _need("Ca", "g/day"), _need("P", "g/day")
    density_tdn, density_cp, density_ca, density_p = (_density(nutrient) for nutrient in ("TDN", "CP", "Ca", "P"))
    notes = computed("Outside a fitted range?", "words", _fitted, "small", 40)
    first_calf = computed("Counts as first-calf?", "yes/no",
        "=IF(COUNT({first_calf_typed})=0,IF(OR(" + _in_name(YOUNG) + "),1,0),{first_calf_typed})",
        "number0", 10)  # fmt: skip
    caution = computed("Before you rely on this need", "text",
        calling("NEED_NOTE", "{score}", "{first_calf}", unless=("{not_cows}=1", "&".join(map(quoted, NOT_COWS_SAID)))), "note", 60)  # fmt: skip
    not_cows = computed("No cows, by the name?", "yes/no",
        "=IF(COUNT({first_calf_typed})=1,0,IF(AND(OR(" + _in_name(OTHERS) + "),NOT(OR(" + _in_name(COWS_TOO) + "))),1,0))", "number0", 10)  # fmt: skip
    wrong, odd, accepted = doubts.columns("herd")


def fill(book: Book, groups: Sequence[Group]) -> None:
    sheet = begin(book, "Herd", "Cow groups and what one cow needs in a day",
        "One row is one group of like cows. Needs come from the NRC 2000 equations; the TDN need is found by inverting the NEm curve. For cows just calved type month 1: below it milk is only beginning.",
        "Inputs, then workings")  # fmt: skip
    herd = Herd(sheet, groups).place().filed("herd")
    sheet.flags.append(Flagging(herd.area(Herd.wrong, Herd.odd), ".", "flag_bad"))
    sheet.put(herd.row_below + 1, 0, "Number of groups", "label")
    book.define("group_count", sheet.put(herd.row_below + 1, 1, Formula(f"=ROWS({herd.name})"), "number0"))
