"""How sure: the margin of a hay test against the number of cores, with the user's own spread."""

from __future__ import annotations

from hayfuncs.workbook.barn import Spread
from hayfuncs.workbook.keyed import another, calling
from hayfuncs.workbook.model import Book, Input, Picture, Series, Sheet, input_for
from hayfuncs.workbook.page import TOP, Line, Page, given, sentence, worked
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import text
from hayfuncs.workbook.styles import BLUE, GRAY, VERMILLION
from hayfuncs.workbook.table import Table, computed

CORES = (1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 40)
RIGHT = 5  # column of the picture
TAUGHT = 20  # Oregon State University: 20 cores a lot
UNTYPED = '"not entered"'
NO_SPREAD = ('core_sd=""', UNTYPED)


def _asked(label: str, function: str, argument: str, name: str, of: str) -> Line:
    def asking(key: str) -> Input:
        return input_for(key, function, argument, required=False)

    return given(label, "any", asking, lambda page: getattr(page.of, of), name=name)


class Sure(Page):
    """The spread that is typed, and the margin that follows."""

    measure = given("What was measured", "text", text("What was measured", "The value the spread is of, with its unit"), lambda page: page.of.measure or None, "input_text", name="core_measure")  # fmt: skip
    core_sd = _asked("Spread from core to core (SD)", "SAMPLING_MARGIN", "core_sd", "core_sd", "core_sd")
    margin = _asked("Margin you would be content with", "CORES_FOR_MARGIN", "margin", "margin_wanted", "margin")
    confidence = worked("Confidence, from Assumptions", "%", "=confidence_pct", "number0")
    lab_sd = _asked("Spread of the laboratory (SD)", "MARGIN_WITH_LAB_ERROR", "lab_sd", "lab_sd", "lab_sd")
    analyses = given("Analyses of the same bag", "1", lambda key: input_for(key, "MARGIN_WITH_LAB_ERROR", "analyses"), 1, "input0", name="lab_analyses")  # fmt: skip
    no_spread = sentence("No typical spread of hay is published, so none is filled in for you.")
    own_spread = sentence("Have 8 or more single cores of one lot tested one by one, and type")
    its_sd = sentence("the standard deviation they show.")
    demo = sentence("Spreads and margin of the demo workbook are invented: of no real hay.")
    of_taught = worked(f"Margin of {TAUGHT} cores, on each side", "any", calling("SAMPLING_MARGIN", "core_sd", str(TAUGHT), "confidence_pct", unless=NO_SPREAD), "result2", after=1)  # fmt: skip
    cores = worked("Cores for the margin you want", "cores",
        calling("CORES_FOR_MARGIN", "core_sd", "margin_wanted", "confidence_pct", unless=("COUNT(core_sd,margin_wanted)<2", UNTYPED)), "result1")  # fmt: skip
    reached = worked("Margin of that many cores", "any", calling("SAMPLING_MARGIN", "core_sd", "{cores}", "confidence_pct", unless=("COUNT({cores})=0", UNTYPED)), "number3")  # fmt: skip


class Margins(Table[int]):
    """What the picture draws."""

    heads_height, units_height = 50, 0
    cores = computed("Cores", "cores", lambda row: row.item, "number0")
    alone = computed("Margin, sampling alone", "unit of the value", calling("SAMPLING_MARGIN", "core_sd", "{cores}", "confidence_pct", unless=NO_SPREAD), "number3")  # fmt: skip
    with_lab = computed("Margin, with the laboratory", "unit of the value",
        calling("MARGIN_WITH_LAB_ERROR", "core_sd", "{cores}", "lab_sd", "lab_analyses", "confidence_pct", unless=("COUNT(core_sd,lab_sd)<2", UNTYPED)), "number3")  # fmt: skip
    wanted = computed("Margin wanted", "unit of the value", f'=IF(margin_wanted="",{UNTYPED},margin_wanted)', "number3")


class Finding(Page):
    says = sentence(
        '=IF(COUNT({sure.of_taught})=0,"Type your own spread from core to core to see the margin",'
        f'"{TAUGHT} cores: within "&TEXT({{sure.of_taught}},"0.00")&" of the lot, "&confidence_pct&" times in 100 ("&core_measure&")")', "text")  # fmt: skip
    sure = another(lambda: Sure)


def fill(book: Book, spread: Spread) -> None:
    sheet = begin(
        book, "How sure", "How sure is this hay test?",
        "More cores bring the test nearer to the lot's true value. Type the spread your own single cores have shown; the margin follows.", "Result",
    )  # fmt: skip
    sheet.width(37, 19, 14, 12, 2, 60)
    sheet.zoom = 190
    sure = Sure(sheet, of=spread)
    margins = Margins(sheet, CORES, sure.row_below + 1).place(title="Table behind the picture")
    finding = Finding(sheet, margins.row_below + 1).place()
    sure.place()
    _picture(sheet, margins, finding)


def _picture(sheet: Sheet, margins: Margins, finding: Finding) -> None:
    ends = tuple(i == len(CORES) - 1 for i in range(len(CORES)))
    x = margins.cores
    sheet.draw(
        Picture(
            "scatter", TOP, RIGHT, finding.says, "Cores taken, one to a bale", "Margin on each side, unit of the value",
            "Line chart of the margin of a hay test against the number of cores, from 1 to 40: a solid line for sampling alone, a dashed one with the laboratory's "
            "error, and a dotted level line for the margin wanted. The table is on this sheet.",
            [
                Series("sampling alone", x, margins.alone, BLUE, ends, marker="circle", size=7, line="solid", label_position="below"),
                Series("with the laboratory", x, margins.with_lab, VERMILLION, ends, marker="diamond", size=7, line="dash", label_position="above"),
                Series("margin wanted", x, margins.wanted, GRAY, ends, marker="none", line="round_dot", label_position="above"),
            ],
            width=540, height=470, x_range=(0, 45), y_range=(0, None), x_step=5,
        )
    )  # fmt: skip
