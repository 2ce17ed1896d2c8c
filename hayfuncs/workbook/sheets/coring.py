"""Coring: one page to print and take to the stack - which bales, where on the bale, what goes on the label."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another, calling
from hayfuncs.workbook.model import Book, Input
from hayfuncs.workbook.page import Line, Page, given, heading, sentence, worked
from hayfuncs.workbook.sheets.common import begin, found
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.table import Column, Table, computed, gap

CORES_USUAL = 20  # Oregon State University: 20 cores a lot, one to a bale
MOST = 40  # Oregon State University: 40 cubes a lot of cubes
HALF = MOST // 2

SIDE = "Go in at the curved side of the bale, level, 12 to 18 inches deep."
END = "Go in at the middle of the butt end, level, 12 to 18 inches deep."
EITHER = "Round bales: curved side. Rectangular bales: butt end. 12 to 18 inches deep, level."


def _of(column: str) -> str:
    """The chosen lot's value in a column of the register; nothing when the lot is not there."""
    return f'IF(COUNT(coring_place)=0,"",INDEX({{register.{column}}},coring_place))'


def _day(column: str) -> str:
    return f'IF(N({_of(column)})>0,TEXT({_of(column)},"d mmm yyyy"),"________")'


def _step(text: str) -> Line:
    return sentence(text, "text")


def _label(text: str) -> Line:
    return sentence(text, "label_line", across=8)


class Coring(Page):
    """The lot, how to core it, and the label of its bag."""

    lot = given("Hay lot", "name", lambda key: Input(key, "Hay lot", "Pick one lot of the sheet Lots", source="{lots.name}", kind="word"),
        lambda page: page.of, "input_big", name="coring_lot")  # fmt: skip
    cores = given("Cores to take", "cores",
        lambda key: Input(key, "Cores to take", f"How many cores to take, 1 to {MOST}; 15 to 20 for a lot", lo=1, hi=MOST, kind="whole"),
        CORES_USUAL, "input0", name="coring_cores")  # fmt: skip
    bale = worked("Bale", "word", f'={_of("bale")}&""', "text", name="coring_bale")
    bales = worked("Bales in the lot", "bales", f'=IF(N({_of("bales")})>0,{_of("bales")},{{not_entered}})', "number0", name="coring_bales")  # fmt: skip
    storage = worked("Where stored", "name", f'={_of("storage")}&""', "text")
    each_core = worked("One core for", "bales", "=IF(ISNUMBER(coring_bales),coring_bales/coring_cores,{not_entered})")
    place_of = worked("Row of the lot", "row of Lots", lambda page: found("coring_lot", page.register.name), "number0", name="coring_place")  # fmt: skip
    how = heading("How to core", after=1)
    step_1 = _step("1  Count bales along the stack; take one core from each bale of the list below.")
    step_1b = _step("    Where a bale cannot be reached, take its neighbor.")
    step_2 = _step(f'="2  "&IF(coring_bale="round","{SIDE}",IF(coring_bale="","{EITHER}","{END}"))')
    step_3 = _step("3  Use a sharp probe, 3/8 to 5/8 inch wide inside. 15 to 20 cores: 1/3 to 1/2 lb.")
    step_4 = _step("4  Put every core into one clean bag and send the whole of it.")
    step_4b = _step("    Never split the sample before it is ground: the laboratory grinds all of it.")
    step_5 = _step("5  Close the bag at once, keep it cool and dark, label it, send it the same day.")
    one_lot = _step("One field, one cutting, baled within 48 hours, under 200 tons: one lot.")
    notes = _step(f"={_of('notes')}")
    bag = heading("Label for the bag", after=1)
    label_1 = _label(f'=TRIM("Lot: "&coring_lot&"; field: "&{_of("field")}&"; cutting: "&{_of("cutting")})')
    label_2 = _label(
        f'="Baled: "&{_day("harvest")}&"; sampled: "&{_day("sampled")}&"; cores: "&coring_cores&" of "&coring_bales&" bales"'
    )
    label_3 = _label("Sender: ____________________; tests: DM, CP, ADF, NDF, minerals, nitrate")
    source_1 = sentence(
        "Cores a lot, place, depth: Oregon State University. Probe: Utah Hay and Forage Symposium.", after=1
    )
    source_2 = sentence("15 to 20 cores, composite: University of Idaho. Lot: NFTA; Hay & Forage Grower (48 hours).")
    source_3 = sentence(
        "Bales: the middle one of each equal run, so anyone can repeat it (common practice, no source)."
    )
    bales_listed = heading("Bales to core, counted along the stack")
    lots = another(lambda: Lots)
    register = another(lambda: Register)


def _bale(part: str = "") -> Column:
    core = f"{{core{part}}}"
    none = f"COUNT({core},coring_bales)*({core}<=coring_cores)<2", '""'
    asked = calling("BALE_TO_CORE", core, "coring_cores", "coring_bales", unless=none)
    return computed(f"Bale{', right half' if part else ''}", "number", asked, "result_whole", 0)


class Cores(Table[None]):
    """Two columns of cores side by side, so that the page holds forty."""

    heads_height = units_height = 0
    core = computed("Core", "number", lambda row: row.number, "number0", 0)
    bale = _bale()
    cored = computed("Cored", "tick", lambda row: None, "tick", 0)
    between, halves = gap(), gap()
    core_right = computed("Core, right half", "number", '=IF({core}+ROWS({local.core})<=coring_cores,{core}+ROWS({local.core}),"")', "number0", 0)  # fmt: skip
    bale_right = _bale("_right")
    cored_right = computed("Cored, right half", "tick", lambda row: None, "tick", 0)


def fill(book: Book, lot: str) -> None:
    sheet = begin(book, "Coring", "Coring sheet for one lot",
        "Choose the lot, print this page, tick each bale as it is cored.", "Result")  # fmt: skip
    sheet.width(17, 17, 11, 11, 3, 10, 14, 11)
    sheet.portrait = True
    page = Coring(sheet, of=lot).place()
    Cores(sheet, [None] * HALF, heads_at=page.row_below).place()
