"""Lot picture: what each lot covers of the chosen cattle's own need, so that it says what Which hay says."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Words
from hayfuncs.workbook.label_placement import AUTO
from hayfuncs.workbook.model import Book, Formula, Picture, Series, Sheet, a1, call
from hayfuncs.workbook.sheets.closecalls import CLOSE, ENOUGH, UNSURE
from hayfuncs.workbook.sheets.common import begin, local, pick
from hayfuncs.workbook.styles import BLUE, GREEN, PURPLE

MARKERS = (("grass", "circle", BLUE), ("legume", "triangle", GREEN), ("mixed", "diamond", PURPLE))
SHOWN = 40  # lots drawn with names; beyond that names cover one another
LOW, HIGH = 40, 220  # ends of both axes, % of need; what lies beyond is drawn at the edge
DRAWN_CP, NAMED, DRAWN_TDN = 4, 5, 6  # columns
NEED = 100  # % of need: the corner


def fill(book: Book, forages: Sequence[str]) -> None:
    lots, match = book.marks["lots"], book.marks["match"]
    sheet = begin(
        book, "Lot picture", "Which lots are enough for the chosen cattle",
        "Each mark is a lot, fed alone to the group chosen on What to feed. Right of and above the corner it covers their own need of protein and of energy, as Which hay says.",
        "Result",
    )  # fmt: skip
    sheet.width(9, 22, 14, 14, 14, 14, 14, 14)  # the grid's columns above, no wider
    sheet.zoom = 110
    top = 34
    sheet.page_breaks.append(top - 1)  # the picture on one page, its tables on the next
    sheet.printed_rows = top - 1
    sheet.put(top - 1, 0, "Table behind the picture: what each lot covers of the chosen group's need", "section")
    heads = (
        ("Lot number", "row of Lots"), ("Hay lot", "name"), ("Protein covered", "% of need"), ("Energy covered", "% of need"),
        ("Drawn at: protein", "% of need"), ("Name in the picture", "text"), ("Drawn at: energy", "% of need"), ("Pounds and words", "words"),
    )  # fmt: skip
    for col, (head, unit) in enumerate(heads):
        sheet.put(top, col, head, "head")
        sheet.put(top + 1, col, unit, "unit")
    n = lots["n"]
    first = top + 2
    last = first + n - 1
    corner = last + 3
    group = a1(corner + 7, 2, "rc")
    for i in range(n):
        row = first + i
        place = local(row, 0)
        pair = f"({place}-1)*group_count+{group}"
        sheet.put(row, 0, i + 1, "number0")
        sheet.put(row, 1, Formula(f"={pick(lots['counted'], place)}"), "text")
        for col, nutrient, drawn in ((2, "cp", DRAWN_CP), (3, "tdn", DRAWN_TDN)):
            given, need = (pick(match[f"{nutrient}_{k}"], pair) for k in ("gives", "need"))
            share, out = f"100*{given}/{need}", f"MAX({LOW},MIN({HIGH},{local(row, col)}))"
            sheet.put(row, col, Formula(f'=IF({local(row, 1)}="","",{share})'), "number1", unit="%")
            sheet.put(row, drawn, Formula(f'=IF({local(row, 1)}="",-{HIGH},{out})'), "number1", unit="%")
        sheet.put(
            row,
            NAMED,
            Formula(
                f'=IF({a1(row, 1)}="","",{a1(row, 1)}&" ("&IF({local(row, 7)}="{CLOSE}","too close",{pick(lots["forage"], place)})&")")'
            ),
            "wrap",
        )
        sheet.put(row, 7, Formula(f"={pick(book.marks['closecalls']['says'], pair)}"), "verdict")
    sheet.put(corner - 1, 0, "Table behind the picture: their own need, the corner", "section")
    series = []
    for col, (head, unit) in enumerate((("Line", "words"), ("Protein", "% of need"), ("Energy", "% of need")), 1):
        sheet.put(corner, col, head, "head")
        sheet.put(corner + 1, col, unit, "unit")
    name = sheet.ref(corner + 6, 1)
    sheet.put(corner + 7, 1, "The chosen group", "label")
    sheet.put(
        corner + 7, 2, Formula(f"=MATCH(chosen_group,{book.marks['herd']['name']},0)"), "number0", unit="row of Herd"
    )
    sheet.put(corner + 7, 3, "row of Herd", "unit_cell")
    sheet.put(corner + 6, 1, Formula('="what "&chosen_group&" need"'), "label")
    for k, (says, cp, tdn) in enumerate(
        (("top", NEED, HIGH), ("corner", NEED, NEED), ("right end", HIGH, NEED)), corner + 2
    ):
        sheet.put(k, 1, says, "label")
        sheet.put(k, 2, cp, "number0", unit="%")
        sheet.put(k, 3, tdn, "number0", unit="%")
    span = sheet.span(corner + 2, 2, corner + 4, 2), sheet.span(corner + 2, 3, corner + 4, 3)
    series.append(
        Series(
            name, *span, "#595959", named_points=(True, False, False), marker="none", line="dash", label_position="right"
        )
    )  # fmt: skip
    look = {forage: (marker, color) for forage, marker, color in MARKERS}
    for i, forage in enumerate(forages[:SHOWN]):
        marker, color = look.get(forage, look["mixed"])  # of a free row nobody knows it
        row = first + i
        x, y = (sheet.span(row, col, row, col) for col in (DRAWN_CP, DRAWN_TDN))
        name = sheet.ref(row, NAMED)
        series.append(Series(name, x, y, color, named_points=(True,), marker=marker, size=11, label_position=AUTO))
    if n > SHOWN:  # names would cover one another
        rest = first + SHOWN
        series.append(
            Series(
                "more lots",
                sheet.span(rest, DRAWN_CP, last, DRAWN_CP),
                sheet.span(rest, DRAWN_TDN, last, DRAWN_TDN),
                BLUE,
                marker="circle",
                size=7,
            )
        )
    words = f"{a1(first, 7, 'rc')}:{a1(last, 7, 'rc')}"
    met = f'COUNTIF({words},"{ENOUGH}")+COUNTIF({words},"{UNSURE}")'
    count = a1(corner + 8, 2, "rc")
    sheet.put(corner + 8, 1, "Lots inside the corner", "label")
    sheet.put(corner + 8, 2, Formula(f"={met}"), "number0", unit="lots")
    sheet.put(corner + 8, 3, "lots", "unit_cell")
    unsure = f'IF(COUNTIF({words},"{UNSURE}")=0,""," as grown cows; they need more")'
    close = f'IF(COUNTIF({words},"{CLOSE}")=0,"","; "&COUNTIF({words},"{CLOSE}")&" too close to call")'
    named = f'SUMPRODUCT(--({a1(first, 1, "rc")}:{a1(last, 1, "rc")}<>""))'
    title = Formula(f'={count}&" of "&{named}&" lots are enough for "&chosen_group&{unsure}&{close}')
    sheet.put(corner + 10, 0, title, "text")
    sheet.draw(
        Picture(
            "scatter", 4, 0, sheet.ref(corner + 10, 0), "Protein: % of the need that this hay covers", "Energy: % of the need that this hay covers",
            "Scatter chart of hay lots: of the need of the chosen group, protein covered across and energy covered up; the lot's name and forage stand "
            "beside its mark, whose shape shows the forage as built. The corner line stands at 100 percent of both. The table is below.",
            series, width=1120, height=580, x_range=(LOW, HIGH), x_step=20, y_range=(LOW, HIGH),
        )
    )  # fmt: skip
    book.marks["landing"] = {
        "words": sheet.span(first, 7, last, 7),
        "cp": sheet.span(first, 2, last, 2),
        "tdn": sheet.span(first, 3, last, 3),
    }
    _stages(sheet, corner + 12)
    sheet.freeze = (3, 0)


def _stages(sheet: Sheet, row: int) -> None:
    """What the rule of thumb asks of a whole diet; it is not drawn, because the corner is the group's own need."""
    stages = CATALOGUE["NEED_BY_STAGE"].args["stage"]
    assert isinstance(stages, Words)
    sheet.put(row - 1, 0, "Beside it, not drawn: the rule of thumb by stage", "section")
    for col, (head, unit) in enumerate((("Stage", "name"), ("Protein asked", "% DM"), ("TDN asked", "% DM")), 1):
        sheet.put(row, col, head, "head")
        sheet.put(row + 1, col, unit, "unit")
    for i, stage in enumerate(stages.words, row + 2):
        sheet.put(i, 1, stage, "label")
        for col, nutrient in ((2, "CP"), (3, "TDN")):
            sheet.put(i, col, call("NEED_BY_STAGE", f'"{nutrient}"', f'"{stage}"'), "number1", unit="% DM")
