"""Coring: one page to print and take to the stack - which bales, where on the bale, what goes on the label."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, a1, call
from hayfuncs.workbook.sheets.common import begin, found, input_row, list_row, local

CORES_USUAL = 20  # Oregon State University: 20 cores a lot, one to a bale
MOST = 40  # Oregon State University: 40 cubes a lot of cubes
HALF = MOST // 2
LIST = 33  # the row of the list's headings

SIDE = "Go in at the curved side of the bale, level, 12 to 18 inches deep."
END = "Go in at the middle of the butt end, level, 12 to 18 inches deep."
EITHER = "Round bales: curved side. Rectangular bales: butt end. 12 to 18 inches deep, level."
STEPS: tuple[Content, ...] = (
    "1  Count bales along the stack; take one core from each bale of the list below.",
    "    Where a bale cannot be reached, take its neighbour.",
    Formula(f'="2  "&IF(coring_bale="round","{SIDE}",IF(coring_bale="","{EITHER}","{END}"))'),
    "3  Use a sharp probe, 3/8 to 5/8 inch wide inside. 15 to 20 cores: 1/3 to 1/2 lb.",
    "4  Put every core into one clean bag and send the whole of it.",
    "    Never split the sample before it is ground: the laboratory grinds all of it.",
    "5  Close the bag at once, keep it cool and dark, label it, send it the same day.",
    "One field, one cutting, baled within 48 hours, under 200 tons: one lot.",
)
SOURCES = (
    "Cores a lot, place, depth: Oregon State University. Probe: Utah Hay and Forage Symposium.",
    "15 to 20 cores, composite: University of Idaho. Lot: NFTA; Hay & Forage Grower (48 hours).",
    "Bales: the middle one of each equal run, so anyone can repeat it (common practice, no source).",
)


def fill(book: Book, lot: str) -> None:
    sheet = begin(
        book, "Coring", "Coring sheet for one lot",
        "Choose the lot, print this page, tick each bale as it is cored.", "Result",
    )  # fmt: skip
    sheet.width(17, 17, 11, 11, 3, 10, 14, 11)
    sheet.portrait = True
    register = book.marks["register"]
    pick = Input(
        "Coring/lot", "Hay lot", "Pick one lot of the sheet Lots", source=book.marks["lots"]["name"], kind="word"
    )
    book.define("coring_lot", input_row(sheet, 4, "Hay lot", lot, pick, "name", "input_big"))
    says = f"How many cores to take, 1 to {MOST}; 15 to 20 for a lot"
    cores = Input("Coring/cores", "Cores to take", says, lo=1, hi=MOST, kind="whole")
    book.define("coring_cores", input_row(sheet, 5, "Cores to take", CORES_USUAL, cores, "cores", "input0"))
    bale = list_row(sheet, 6, "Bale", Formula(f'={of(register["bale"])}&""'), "word", "text")
    book.define("coring_bale", bale)
    bales = of(register["bales"])
    book.define(
        "coring_bales",
        list_row(sheet, 7, "Bales in the lot", Formula(f'=IF(N({bales})>0,{bales},"not entered")'), "bales", "number0"),
    )
    list_row(sheet, 8, "Where stored", Formula(f'={of(register["storage"])}&""'), "name", "text")
    list_row(
        sheet,
        9,
        "One core for",
        Formula('=IF(ISNUMBER(coring_bales),coring_bales/coring_cores,"not entered")'),
        "bales",
        "number1",
    )
    book.define(
        "coring_place",
        list_row(sheet, 10, "Row of the lot", found("coring_lot", register["name"]), "row of Lots", "number0"),
    )
    _steps(sheet)
    _label(sheet, register)
    _list(sheet)


def of(column: str) -> str:
    """The chosen lot's value in a column of the register; nothing when the lot is not there."""
    return f'IF(COUNT(coring_place)=0,"",INDEX({column},coring_place))'


def _steps(sheet: Sheet) -> None:
    sheet.put(12, 0, "How to core", "section")
    for i, step in enumerate(STEPS):
        sheet.put(13 + i, 0, step, "text")
    sheet.put(13 + len(STEPS), 0, Formula(f"={of(sheet.book.marks['register']['notes'])}"), "text")


def _label(sheet: Sheet, register: dict[str, str]) -> None:
    sheet.put(23, 0, "Label for the bag", "section")

    def day(mark: str) -> str:
        return f'IF(N({of(register[mark])})>0,TEXT({of(register[mark])},"d mmm yyyy"),"________")'

    first = Formula(
        f'=TRIM("Lot: "&coring_lot&"; field: "&{of(register["field"])}&"; cutting: "&{of(register["cutting"])})'
    )
    second = Formula(
        f'="Baled: "&{day("harvest")}&"; sampled: "&{day("sampled")}&"; cores: "&coring_cores&" of "&coring_bales&" bales"'
    )
    third = "Sender: ____________________; tests: DM, CP, ADF, NDF, minerals, nitrate"
    for row, content in ((24, first), (25, second), (26, third)):
        sheet.put(row, 0, content, "label_line")
        for col in range(1, 8):
            sheet.put(row, col, None, "label_line")
    for i, source in enumerate(SOURCES):
        sheet.put(28 + i, 0, source, "sentence")


def _list(sheet: Sheet) -> None:
    """Two columns of cores side by side, so that the page holds forty."""
    sheet.put(LIST - 2, 0, "Bales to core, counted along the stack", "section")
    for col, part in ((0, ""), (5, ", right half")):
        sheet.heads(
            LIST - 1, col, [f"{head}{part}" for head in ("Core", "Bale", "Cored")], ["number", "number", "tick"]
        )
    top, bottom = LIST + 1, LIST + HALF
    half = f"ROWS({a1(top, 0, 'rc')}:{a1(bottom, 0, 'rc')})"
    for i in range(HALF):
        row = top + i
        first = local(row, 0)
        cores: tuple[tuple[int, Content], ...] = (
            (0, i + 1), (5, Formula(f'=IF({first}+{half}<=coring_cores,{first}+{half},"")'))
        )  # fmt: skip
        for col, core in cores:
            at = local(row, col)
            none = f"COUNT({at},coring_bales)*({at}<=coring_cores)<2"
            sheet.put(row, col, core, "number0")
            sheet.put(
                row,
                col + 1,
                call("BALE_TO_CORE", at, "coring_cores", "coring_bales", unless=(none, '""')),
                "result_whole",
            )
            sheet.put(row, col + 2, None, "tick")
    sheet.book.marks["coring"] = {"first": sheet.span(top, 1, bottom, 1), "second": sheet.span(top, 6, bottom, 6)}
