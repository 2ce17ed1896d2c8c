"""Lot picture: what each lot covers of the chosen cattle's own need, so that it says what Which hay says."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Words
from hayfuncs.workbook.keyed import another, calling, nearby
from hayfuncs.workbook.label_placement import AUTO
from hayfuncs.workbook.model import Book, Picture, Series
from hayfuncs.workbook.page import TOP, Line, Page, sentence, worked
from hayfuncs.workbook.sheets.closecalls import CLOSE, ENOUGH, UNSURE, Calls
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.styles import BLUE, GREEN, PURPLE
from hayfuncs.workbook.table import Column, Table, computed

MARKERS = (("grass", "circle", BLUE), ("legume", "triangle", GREEN), ("mixed", "diamond", PURPLE))
SHOWN = 40  # lots drawn with names; beyond that names cover one another
LOW, HIGH = 40, 220  # ends of both axes, % of need; what lies beyond is drawn at the edge
NEED = 100  # % of need: the corner
TABLES = 34  # the first row of heads under the picture


def _covered(nutrient: str, mark: str) -> Column:
    share = f"100*INDEX({{match.{mark}_gives}},{{pair}})/INDEX({{match.{mark}_need}},{{pair}})"
    return computed(f"{nutrient} covered", "% of need", f'=IF({{name}}="","",{share})')


def _drawn(nutrient: str, mark: str) -> Column:
    return computed(f"Drawn at: {nutrient}", "% of need", f'=IF({{name}}="",-{HIGH},MAX({LOW},MIN({HIGH},{{{mark}}})))')


class Drawn(Table[str]):
    """One row a lot, from its forage as built, of which only the mark's shape and color follow."""

    heads_height = units_height = 0
    lot = computed("Lot number", "row of Lots", lambda row: row.number, "number0")
    name = computed("Hay lot", "name", "=INDEX({lots.counted},{lot})", "text")
    cp, tdn = _covered("Protein", "cp"), _covered("Energy", "tdn")
    drawn_cp = _drawn("protein", "cp")
    named = computed("Name in the picture", "text", f'=IF({{name:free}}="","",{{name:free}}&" ("&IF({{says}}="{CLOSE}","too close",INDEX({{lots.forage}},{{lot}}))&")")', "wrap")  # fmt: skip
    drawn_tdn = _drawn("energy", "tdn")
    says = computed("Pounds and words", "words", "=INDEX({calls.says},{pair})", "verdict")
    pair = "({lot}-1)*group_count+{corner.group}"
    lots, match, calls = another(lambda: Lots), another(lambda: Match), another(lambda: Calls)
    corner = another(lambda: Corner)


def _end(which: int) -> Column:
    head = ("Protein", "Energy")[which]
    return computed(head, "% of need", lambda row: row.item[1][which], "number0")


class CornerLine(Table[tuple[str, tuple[int, int]]]):
    """The line of their need: down to the corner, and to the right."""

    heads_height = units_height = 0
    from_column = 1
    line = computed("Line", "words", lambda row: row.item[0], "label")
    cp, tdn = _end(0), _end(1)


class Corner(Page):
    """Whose need it is, and what the picture says."""

    column = 1
    of_whom = Line("", "", '="what "&chosen_group&" need"', "label", look="", left=column)
    group = worked("The chosen group", "row of Herd", "=MATCH(chosen_group,{herd.name},0)", "number0")
    inside = worked("Lots inside the corner", "lots", f'=COUNTIF({{drawn.says}},"{ENOUGH}")+COUNTIF({{drawn.says}},"{UNSURE}")', "number0")  # fmt: skip
    unsure = f'IF(COUNTIF({{drawn.says}},"{UNSURE}")=0,""," as grown cows; they need more")'
    close = f'IF(COUNTIF({{drawn.says}},"{CLOSE}")=0,"","; "&COUNTIF({{drawn.says}},"{CLOSE}")&" too close to call")'
    finding = sentence('={inside}&" of "&SUMPRODUCT(--({drawn.name}<>""))&" lots are enough for "&chosen_group&{unsure}&{close}', "text", after=1)  # fmt: skip
    herd, drawn = another(lambda: Herd), nearby(lambda: Drawn)


class Stages(Table[str]):
    """What the rule of thumb asks of a whole diet; it is not drawn, because the corner is the group's own need."""

    heads_height = units_height = 0
    from_column = 1
    stage = computed("Stage", "name", lambda row: row.item, "label")
    cp = computed("Protein asked", "% DM", calling("NEED_BY_STAGE", '"CP"', '"{item}"'))
    tdn = computed("TDN asked", "% DM", calling("NEED_BY_STAGE", '"TDN"', '"{item}"'))


def fill(book: Book, forages: Sequence[str]) -> None:
    sheet = begin(
        book, "Lot picture", "Which lots are enough for the chosen cattle",
        "Each mark is a lot, fed alone to the group chosen on What to feed. Right of and above the corner it covers their own need of protein and of energy, as Which hay says.",
        "Result",
    )  # fmt: skip
    sheet.width(9, 22, 14, 14, 14, 14, 14, 14)  # the grid's columns above, no wider
    sheet.zoom = 110
    sheet.page_breaks.append(TABLES - 1)  # the picture on one page, its tables on the next
    sheet.printed_rows = TABLES - 1
    drawn = Drawn(sheet, forages, TABLES)
    ends = (("top", (NEED, HIGH)), ("corner", (NEED, NEED)), ("right end", (HIGH, NEED)))
    line = CornerLine(sheet, ends, drawn.row_below + 2).place(
        title="Table behind the picture: their own need, the corner"
    )
    corner = Corner(sheet, line.row_below + 1)
    drawn.place(title="Table behind the picture: what each lot covers of the chosen group's need")
    corner.place()
    sheet.draw(
        Picture(
            "scatter", TOP, drawn.col(Drawn.lot), corner.finding, "Protein: % of the need that this hay covers", "Energy: % of the need that this hay covers",
            "Scatter chart of hay lots: of the need of the chosen group, protein covered across and energy covered up; the lot's name and forage stand "
            "beside its mark, whose shape shows the forage as built. The corner line stands at 100 percent of both. The table is below.",
            _series(drawn, line, corner, forages), width=1120, height=580, x_range=(LOW, HIGH), x_step=20, y_range=(LOW, HIGH),
        )
    )  # fmt: skip
    stages = CATALOGUE["NEED_BY_STAGE"].args["stage"]
    assert isinstance(stages, Words)
    title = "Beside it, not drawn: the rule of thumb by stage"
    Stages(sheet, stages.words, corner.row_below + 1).place(title=title)
    sheet.freeze = (3, 0)


def _series(drawn: Drawn, line: CornerLine, corner: Corner, forages: Sequence[str]) -> list[Series]:
    """The corner, then a mark a lot; lots beyond those with names in one series."""
    bent = Series(
        corner.of_whom, line.cp, line.tdn, "#595959", named_points=(True, False, False), marker="none", line="dash", label_position="right",
    )  # fmt: skip
    series = [bent]
    look = {forage: (marker, color) for forage, marker, color in MARKERS}
    for i, forage in enumerate(forages[:SHOWN], 1):
        marker, color = look.get(forage, look["mixed"])  # of a free row nobody knows it
        x, y = (drawn.some(column, i, i) for column in (Drawn.drawn_cp, Drawn.drawn_tdn))
        name = drawn.some(Drawn.named, i)
        series.append(Series(name, x, y, color, named_points=(True,), marker=marker, size=11, label_position=AUTO))
    if drawn.n > SHOWN:  # names would cover one another
        x, y = (drawn.some(column, SHOWN + 1, drawn.n) for column in (Drawn.drawn_cp, Drawn.drawn_tdn))
        series.append(Series("more lots", x, y, BLUE, marker="circle", size=7))
    return series
