"""How sure: the margin of a hay test against the number of cores, with the user's own spread."""

from __future__ import annotations

from hayfuncs.workbook.barn import Spread
from hayfuncs.workbook.model import Book, Content, Formula, Input, Picture, Series, Sheet, call, input_for
from hayfuncs.workbook.sheets.common import begin, input_row, list_row, local
from hayfuncs.workbook.styles import BLUE, GRAY, VERMILLION

CORES = (1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 40)
TAUGHT = 20  # Oregon State University: 20 cores a lot
TABLE = 19  # row of the table's headings
UNTYPED = '"not entered"'
NO_SPREAD = (
    "No typical spread of hay is published, so none is filled in for you.",
    "Have 8 or more single cores of one lot tested one by one, and type",
    "the standard deviation they show.",
)
DEMO = "Spreads and margin of the demo workbook are invented: of no real hay."


def fill(book: Book, spread: Spread) -> None:
    sheet = begin(
        book, "How sure", "How sure is this hay test?",
        "More cores bring the test nearer to the lot's true value. Type the spread your own single cores have shown; the margin follows.", "Result",
    )  # fmt: skip
    sheet.width(37, 19, 14, 12, 2, 60)
    sheet.zoom = 190
    _inputs(book, sheet, spread)
    _answers(book, sheet)
    _table(book, sheet)
    _picture(sheet)


def _inputs(book: Book, sheet: Sheet, spread: Spread) -> None:
    def ask(row: int, label: str, name: str, value: Content, entry: Input, unit: str, style: str = "input") -> None:
        book.define(name, input_row(sheet, row, label, value, entry, unit, style))

    what = Input(
        "How sure/measure",
        "What was measured",
        "The value the spread is of, with its unit",
        kind="text",
        required=False,
    )
    ask(4, "What was measured", "core_measure", spread.measure or None, what, "text", "input_text")
    ask(5, "Spread from core to core (SD)", "core_sd", spread.core_sd,
        input_for("How sure/core_sd", "SAMPLING_MARGIN", "core_sd", False), "any")  # fmt: skip
    ask(6, "Margin you would be content with", "margin_wanted", spread.margin,
        input_for("How sure/margin", "CORES_FOR_MARGIN", "margin", False), "any")  # fmt: skip
    list_row(sheet, 7, "Confidence, from Assumptions", Formula("=confidence_pct"), "%", "number0")
    ask(8, "Spread of the laboratory (SD)", "lab_sd", spread.lab_sd,
        input_for("How sure/lab_sd", "MARGIN_WITH_LAB_ERROR", "lab_sd", False), "any")  # fmt: skip
    ask(
        9,
        "Analyses of the same bag",
        "lab_analyses",
        1,
        input_for("How sure/analyses", "MARGIN_WITH_LAB_ERROR", "analyses"),
        "1",
        "input0",
    )
    for row, says in enumerate((*NO_SPREAD, DEMO), 10):
        sheet.put(row, 0, says, "sentence")


def _answers(book: Book, sheet: Sheet) -> None:
    no_sd = 'core_sd=""'
    taught = call("SAMPLING_MARGIN", "core_sd", str(TAUGHT), "confidence_pct", unless=(no_sd, UNTYPED))
    margin = list_row(sheet, 15, f"Margin of {TAUGHT} cores, on each side", taught, "any", "result2")
    wanted = call(
        "CORES_FOR_MARGIN",
        "core_sd",
        "margin_wanted",
        "confidence_pct",
        unless=("COUNT(core_sd,margin_wanted)<2", UNTYPED),
    )
    cores = list_row(sheet, 16, "Cores for the margin you want", wanted, "cores", "result1")
    reached = call("SAMPLING_MARGIN", "core_sd", cores.split("!")[1], "confidence_pct",
                   unless=(f"COUNT({cores.split('!')[1]})=0", UNTYPED))  # fmt: skip
    got = list_row(sheet, 17, "Margin of that many cores", reached, "any", "number3")
    book.marks["howsure"] = {"margin": margin, "cores": cores, "reached": got}


def _table(book: Book, sheet: Sheet) -> None:
    sheet.put(TABLE - 1, 0, "Table behind the picture", "section")
    heads = ["Cores", "Margin, sampling alone", "Margin, with the laboratory", "Margin wanted"]
    sheet.heads(TABLE, 0, heads, ["cores", "unit of the value", "unit of the value", "unit of the value"])
    sheet.heights[TABLE] = 50
    first = TABLE + 2
    for i, cores in enumerate(CORES):
        row = first + i
        at = local(row, 0)
        sheet.put(row, 0, cores, "number0", unit="cores")
        sheet.put(
            row,
            1,
            call("SAMPLING_MARGIN", "core_sd", at, "confidence_pct", unless=('core_sd=""', UNTYPED)),
            "number3",
            unit="any",
        )
        both = call("MARGIN_WITH_LAB_ERROR", "core_sd", at, "lab_sd", "lab_analyses", "confidence_pct",
                    unless=("COUNT(core_sd,lab_sd)<2", UNTYPED))  # fmt: skip
        sheet.put(row, 2, both, "number3", unit="any")
        sheet.put(row, 3, Formula(f'=IF(margin_wanted="",{UNTYPED},margin_wanted)'), "number3", unit="any")
    last = first + len(CORES) - 1
    book.marks["howsure"] |= {
        k: sheet.span(first, col, last, col) for col, k in enumerate(("table_cores", "alone", "with_lab", "wanted"))
    }
    title = last + 2
    marks = {k: book.marks["howsure"][k].split("!")[1] for k in ("margin", "cores")}
    said = f'"{TAUGHT} cores: within "&TEXT({marks["margin"]},"0.00")&" of the lot, "&confidence_pct&" times in 100 ("&core_measure&")"'
    sheet.put(
        title,
        0,
        Formula(f'=IF(COUNT({marks["margin"]})=0,"Type your own spread from core to core to see the margin",{said})'),
        "text",
    )
    book.marks["howsure"]["title"] = sheet.ref(title, 0)


def _picture(sheet: Sheet) -> None:
    marks = sheet.book.marks["howsure"]
    ends = tuple(i == len(CORES) - 1 for i in range(len(CORES)))
    x = marks["table_cores"]
    sheet.draw(
        Picture(
            "scatter", 4, 5, marks["title"], "Cores taken, one to a bale", "Margin on each side, unit of the value",
            "Line chart of the margin of a hay test against the number of cores, from 1 to 40: a solid line for sampling alone, a dashed one with the laboratory's "
            "error, and a dotted level line for the margin wanted. The table is on this sheet.",
            [
                Series("sampling alone", x, marks["alone"], BLUE, ends, marker="circle", size=7, line="solid", label_position="below"),
                Series("with the laboratory", x, marks["with_lab"], VERMILLION, ends, marker="diamond", size=7, line="dash", label_position="above"),
                Series("margin wanted", x, marks["wanted"], GRAY, ends, marker="none", line="round_dot", label_position="above"),
            ],
            width=540, height=470, x_range=(0, 45), y_range=(0, None), x_step=5,
        )
    )  # fmt: skip
