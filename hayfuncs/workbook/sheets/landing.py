"""Lot picture: where each lot lands, protein across and energy up, with the stages' needs as lines."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Words
from hayfuncs.workbook.label_placement import AUTO
from hayfuncs.workbook.model import Book, Content, Formula, Picture, Series, a1, call
from hayfuncs.workbook.sheets.common import begin, local, pick
from hayfuncs.workbook.styles import BLUE, GREEN, PURPLE

MARKERS = (("grass", "circle", BLUE), ("legume", "triangle", GREEN), ("mixed", "diamond", PURPLE))
NAME_STEP = 1.8  # % TDN from the top of one stage's line to the next, so that their names stand apart
SHOWN = 40  # lots drawn with names; beyond that names cover one another


def fill(book: Book, forages: Sequence[str]) -> None:
    lots = book.marks["lots"]
    sheet = begin(
        book, "Lot picture", "Where each lot lands",
        "Each mark is a lot. Right of and above a stage's corner line the hay meets that stage's rule of thumb in protein and in energy.",
        "Result",
    )  # fmt: skip
    sheet.width(9, 26, 12, 12, 30, 12, 40)
    sheet.zoom = 130
    top = 34
    sheet.page_breaks.append(top - 1)  # the picture on one page, its tables on the next
    stages = CATALOGUE["NEED_BY_STAGE"].args["stage"]
    assert isinstance(stages, Words)
    sheet.put(top - 1, 0, "Table behind the picture: lots", "section")
    heads = (
        ("Lot number", "row of Lots"),
        ("Hay lot", "name"),
        ("CP", "% DM"),
        ("TDN", "% DM"),
        ("Name in the picture", "text"),
    )
    for col, (head, unit) in enumerate(heads):
        sheet.put(top, col, head, "head")
        sheet.put(top + 1, col, unit, "unit")
    n = lots["n"]
    first = top + 2
    for i in range(n):
        row = first + i
        place = local(row, 0)
        sheet.put(row, 0, i + 1, "number0")
        sheet.put(row, 1, Formula(f"={pick(lots['name'], place)}"), "text")
        sheet.put(row, 2, Formula(f"={pick(lots['cp'], place)}"), "number1", unit="% DM")
        sheet.put(row, 3, Formula(f"={pick(lots['tdn'], place)}"), "number1", unit="% DM")
        sheet.put(row, 4, Formula(f'={a1(row, 1)}&" ("&{pick(lots["forage"], place)}&")"'), "text")
    last = first + n - 1
    corner = last + 3
    sheet.put(corner - 1, 0, "Table behind the picture: what each stage asks of the hay (rule of thumb)", "section")
    series = []
    y_low, x_high, y_high, x_low = 40, 26, 72, 4
    corner_heads = (
        ("Stage", "name"), ("CP asked", "% DM"), ("TDN asked", "% DM"), ("Corner line: CP", "% DM"),
        ("Corner line: TDN", "% DM"), ("Point of the line", "words"),
    )  # fmt: skip
    for col, (head, unit) in enumerate(corner_heads, 1):
        sheet.put(corner, col, head, "head")
        sheet.put(corner + 1, col, unit, "unit")
    corner += 2
    for s, stage in enumerate(stages.words):
        at = corner + 3 * s
        name = sheet.put(at, 1, stage, "label")
        cp = sheet.put(at, 2, call("NEED_BY_STAGE", '"CP"', f'"{stage}"'), "number1", unit="% DM")
        tdn = sheet.put(at, 3, call("NEED_BY_STAGE", '"TDN"', f'"{stage}"'), "number1", unit="% DM")
        cp_ref, tdn_ref = cp.split("!")[1], tdn.split("!")[1]
        # the names of the stages stand at the tops of their lines, one lower than the other
        corners: list[tuple[Content, Content, str]] = [
            (Formula(f"={cp_ref}"), y_high - NAME_STEP * s, "top, where the stage's name stands"),
            (Formula(f"={cp_ref}"), Formula(f"={tdn_ref}"), "corner: what the stage asks"),
            (x_high, Formula(f"={tdn_ref}"), "right end"),
        ]
        for k, (x, y, says) in enumerate(corners):
            sheet.put(at + k, 4, x, "number1", unit="% DM")
            sheet.put(at + k, 5, y, "number1", unit="% DM")
            sheet.put(at + k, 6, says, "text")
        span = sheet.span(at, 4, at + 2, 4), sheet.span(at, 5, at + 2, 5)
        dash = ("round_dot", "dash", "solid")[s % 3]
        series.append(
            Series(
                name,
                *span,
                "#595959",
                named_points=(True, False, False),
                marker="none",
                line=dash,
                label_position="right",
            )
        )
    look = {forage: (marker, colour) for forage, marker, colour in MARKERS}
    for i, forage in enumerate(forages[:SHOWN]):
        marker, colour = look[forage]
        row = first + i
        x, y = sheet.span(row, 2, row, 2), sheet.span(row, 3, row, 3)
        name = sheet.ref(row, 4)
        series.append(Series(name, x, y, colour, named_points=(True,), marker=marker, size=11, label_position=AUTO))
    if n > SHOWN:  # names would cover one another
        rest = first + SHOWN
        series.append(
            Series(
                "more lots", sheet.span(rest, 2, last, 2), sheet.span(rest, 3, last, 3), BLUE, marker="circle", size=7
            )
        )
    verdict = book.marks["verdict"]
    title = Formula(
        f'=TEXT(COUNTIF({verdict},"carries"),"0")&" of "&TEXT(ROWS({verdict})*COLUMNS({verdict}),"0")&" pairs of lot and group need no supplement"'
    )
    sheet.put(corner + 10, 0, title, "text")
    sheet.pictures.append(
        Picture(
            "scatter", 4, 0, sheet.ref(corner + 10, 0), "Crude protein, % of dry matter", "TDN, % of dry matter",
            "Scatter chart of hay lots, crude protein across and TDN up; the lot's name and forage stand "
            "beside its mark, whose shape shows the forage as built. Three corner lines mark the rule-of-thumb needs of mid pregnancy, late pregnancy and lactation. The table is below.",
            series, width=1120, height=580, x_range=(x_low, x_high), x_step=2, y_range=(y_low, y_high),
        )
    )  # fmt: skip
    sheet.freeze = (3, 0)
