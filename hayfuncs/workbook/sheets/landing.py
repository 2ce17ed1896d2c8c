"""Lot picture: where each lot lands, protein across and energy up, with the stages' needs as lines."""

from __future__ import annotations

from hayfuncs.record import CATALOGUE, Words
from hayfuncs.workbook.book import Book, Picture, Series, call
from hayfuncs.workbook.sheets.common import begin, local, pick
from hayfuncs.workbook.styles import BLUE, GREEN, PURPLE

MARKERS = (("grass", "circle", BLUE), ("legume", "triangle", GREEN), ("mixed", "diamond", PURPLE))
SHOWN = 40  # lots drawn with names; beyond that names cover one another


def fill(book: Book) -> None:
    lots = book.marks["lots"]
    sheet = begin(
        book, "Lot picture", "Where each lot lands",
        "Each mark is a lot. Right of and above a stage's corner line the hay meets that stage's rule of thumb in protein and in energy.",
        "Result",
    )  # fmt: skip
    sheet.width(9, 26, 12, 12, 12, 12, 26)
    sheet.zoom = 130
    top = 34
    stages = CATALOGUE["NEED_BY_STAGE"].args["stage"]
    assert isinstance(stages, Words)
    sheet.put(top - 1, 0, "Table behind the picture: lots", "section")
    for col, (head, unit) in enumerate((("Lot number", "row of Lots"), ("Hay lot", "name"), ("CP", "% DM"), *((f"TDN, {f}", "% DM") for f, _, _ in MARKERS))):
        sheet.put(top, col, head, "head")
        sheet.put(top + 1, col, unit, "unit")
    n = lots["n"]
    first = top + 2
    for i in range(n):
        row = first + i
        place = local(row, 0)
        sheet.put(row, 0, i + 1, "number0")
        sheet.put(row, 1, f"={pick(lots['name'], place)}", "text")
        sheet.put(row, 2, f"={pick(lots['cp'], place)}", "number1", unit="% DM")
        for k, (forage, _, _) in enumerate(MARKERS, 3):
            # below the axis where the lot is of another kind: the picture starts at 40 %
            sheet.put(row, k, f'=IF({pick(lots["forage"], place)}="{forage}",{pick(lots["tdn"], place)},-1)', "number1", unit="% DM")
    last = first + n - 1
    corner = last + 3
    sheet.put(corner - 1, 0, "Table behind the picture: what each stage asks of the hay (rule of thumb)", "section")
    series = []
    y_low, x_high, y_high, x_low = 40, 26, 72, 4
    for s, stage in enumerate(stages.words):
        at = corner + 4 * s
        sheet.put(at, 1, stage, "label")
        cp = sheet.put(at, 2, call("NEED_BY_STAGE", '"CP"', f'"{stage}"'), "number1", unit="% DM")
        tdn = sheet.put(at, 3, call("NEED_BY_STAGE", '"TDN"', f'"{stage}"'), "number1", unit="% DM")
        cp_ref, tdn_ref = cp.split("!")[1], tdn.split("!")[1]
        sheet.put(at, 6, f'="{stage}: "&TEXT({cp_ref},"0")&" % CP, "&TEXT({tdn_ref},"0")&" % TDN"', "text")
        for k, (x, y) in enumerate(((f"={cp_ref}", y_high), (f"={cp_ref}", f"={tdn_ref}"), (x_high, f"={tdn_ref}"))):
            sheet.put(at + k, 4, x, "number1", unit="% DM")
            sheet.put(at + k, 5, y, "number1", unit="% DM")
        span = sheet.span(at, 4, at + 2, 4), sheet.span(at, 5, at + 2, 5)
        labels = ("", "", sheet.ref(at, 6))
        dash = ("round_dot", "dash", "solid")[s % 3]
        series.append(Series(stage, *span, "#595959", labels=labels, marker="none", line=dash, label_position="above"))
    names = tuple(sheet.ref(first + i, 1) for i in range(n)) if n <= SHOWN else ()
    for k, (forage, marker, colour) in enumerate(MARKERS, 3):
        x, y = sheet.span(first, 2, last, 2), sheet.span(first, k, last, k)
        series.append(Series(forage, x, y, colour, labels=names, marker=marker, size=12, label_position="right"))
    verdict = book.marks["verdict"]
    title = f'=TEXT(COUNTIF({verdict},"carries"),"0")&" of "&TEXT(ROWS({verdict})*COLUMNS({verdict}),"0")&" pairs of lot and group need no supplement"'
    sheet.put(corner + 13, 0, title, "text")
    sheet.pictures.append(
        Picture(
            "scatter", 4, 0, sheet.ref(corner + 13, 0), "Crude protein, % of dry matter", "TDN, % of dry matter",
            "Scatter chart of hay lots, crude protein across and TDN up; marker shape shows grass, legume or mixed, the lot's name stands "
            "beside it. Three corner lines mark the rule-of-thumb needs of mid pregnancy, late pregnancy and lactation. The table is below.",
            series, width=1120, height=580, x_range=(x_low, x_high), y_range=(y_low, y_high), legend=True,
        )
    )  # fmt: skip
    sheet.freeze = (3, 0)
