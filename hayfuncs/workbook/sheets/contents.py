"""Contents: on which tab and in which rows each part of the workbook stands."""

from __future__ import annotations

from hayfuncs.spreadsheet.a1 import quoted
from hayfuncs.workbook.marking import MARKS
from hayfuncs.workbook.model import Address, Book, Formula, Sheet
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.table import Table, computed
from hayfuncs.workbook.tabs import arrange, bottom

NAME = "Contents"


class Contents(Table[Sheet]):
    """One line a part; its rows are counted once all stand."""

    part_of = computed("Part", "", lambda row: row.item.name, "label", 28)
    on_tab = computed("Tab", "", lambda row: Address(row.item.ref(0, 0), "tab"), "text", 20)
    first_shown = computed("First row", "", lambda row: 0, "number0", 10)
    last_shown = computed("Last row", "", lambda row: 0, "number0", 10)
    # a formula, so that it follows the part to wherever somebody moves it, and its tab to another name
    rows_now = computed("Rows now", "", lambda row: 0, "number0", 10)
    marks = computed("Marks of its formulas", "", lambda row: "", MARKS, 24)


def fill(book: Book) -> None:
    """After every other sheet is made: one line a sheet, and each gets its place."""
    sheet = begin(
        book, NAME, "Where every part stands",
        "One line is one part of the workbook: its tab, its first and last row there, and a short mark of each formula that "
        "was built in it. By these the audit knows the part again, wherever it is moved to.", "Reference",
    )  # fmt: skip
    Contents(sheet, list(book.sheets)).place()
    arrange(book)


def settle(book: Book) -> None:
    """The rows of each part, once nothing is added to any."""
    placed = book.find(Contents)
    sheet = placed.sheet
    for row, other in zip(placed.rows(), book.sheets, strict=True):
        assert row.at is not None
        down = book.places[other.name].down
        sheet.cells[row.at, placed.col(Contents.first_shown)].content = down + 1
        sheet.cells[row.at, placed.col(Contents.last_shown)].content = down + bottom(other) + 1
        sheet.cells[row.at, placed.col(Contents.rows_now)].content = Formula(
            f"=ROWS({quoted(other.name)}!$A$1:$A${bottom(other) + 1})"
        )
