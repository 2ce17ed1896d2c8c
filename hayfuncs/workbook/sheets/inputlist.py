"""Input list: every value that may be typed, where it stands and what is possible.

It is for the reader and for `hayfuncs rebuild`, which finds the inputs of an older workbook
by it.  One line is one input, or one column of inputs of a table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hayfuncs import __version__
from hayfuncs.workbook.model import Address, Book, Cell, Input, Sheet
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.table import Table, computed
from hayfuncs.workbook.tabs import ROW_KEY

NAME = "Input list"
TITLE = "Every value you may type"
ANY_ROW = "#"


def any_row(key: str) -> str:
    """`Lots/3/cp_pct` as the list names it, `Lots/#/cp_pct`; a key outside a table as it is."""
    match = ROW_KEY.fullmatch(key)
    return f"{match.group(1)}/{ANY_ROW}/{match.group(3)}" if match else key


@dataclass(frozen=True)
class Line:
    """One input, or the column of a table (`rows` above 0)."""

    key: str
    sheet: str
    row: int
    col: int
    rows: int
    entry: Input


class InputList(Table[Line]):
    """One line an input or column of inputs."""

    name = computed("Key", "", lambda row: row.item.key, "code", 48)
    on_sheet = computed("Sheet", "", lambda row: Address(row.cells_of, "tab"), "small", 15)
    cells = computed("Cells", "", lambda row: Address(row.cells_of, "cells"), "small", 14)
    heading = computed("Heading", "", lambda row: row.words[0], "small", 34)
    heading_at = computed("Heading at", "", lambda row: row.words[1], "small", 12)
    unit = computed("Unit", "", lambda row: row.home.cells[row.item.row, row.item.col].unit, "small", 18)
    possible = computed("What is possible", "", lambda row: row.item.entry.message, "small", 80)
    needed = computed("Needed?", "", lambda row: _needed(row.item.entry), "small", 9)
    kind = computed("Kind", "", lambda row: row.item.entry.kind, "small", 10)

    @property
    def cells_of(self) -> str:
        """The cells of the line in the model."""
        line = self.item
        return self.home.span(line.row, line.col, line.row + max(line.rows, 1) - 1, line.col)

    @property
    def home(self) -> Sheet:
        return self.book.by_name(self.item.sheet)

    @property
    def words(self) -> tuple[str, str]:
        return heading(self.home, self.item)


def _needed(entry: Input) -> str:
    if entry.needed or entry.needless:
        return "by class"
    return "yes" if entry.required else "no"


HEADS = tuple(c.head for c in InputList.of_class)


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, TITLE,
        "One line is one input or one column of inputs. hayfuncs rebuild finds your values by this list: leave it as it is.", "Reference",
    )  # fmt: skip
    placed = InputList(sheet, list(lines(book))).place()
    version = f"hayfuncs {__version__}, {book.edition} edition"
    sheet.put(placed.row_above, placed.col(InputList.name), version, "sentence")


def lines(book: Book) -> Iterator[Line]:
    """The inputs in the order of the sheets; rows of a table that stand in one column are one line."""
    columns: dict[str, list[tuple[int, int, int, str]]] = {}
    single: dict[str, Line] = {}
    for key, (sheet, row, col) in book.inputs.items():
        entry = book.by_name(sheet).cells[row, col].entry
        assert entry is not None
        match = ROW_KEY.fullmatch(key)
        if match:
            name = any_row(key)
            columns.setdefault(name, []).append((int(match.group(2)), row, col, sheet))
            single.setdefault(name, Line(name, sheet, row, col, 0, entry))
        else:
            single[key] = Line(key, sheet, row, col, 0, entry)
    for key, line in single.items():
        rows = columns.get(key)
        if rows is None:
            yield line
            continue
        wanted = [(i, line.row + i - 1, line.col, line.sheet) for i in range(1, len(rows) + 1)]
        if sorted(rows) != wanted:
            raise ValueError(f"the rows of {key} do not stand one under the other from row 1 on")
        yield Line(key, line.sheet, line.row, line.col, len(rows), line.entry)


def heading(sheet: Sheet, line: Line) -> tuple[str, str]:
    """The words an input is known by, and where they stand: above a column, left of a single one."""
    if line.rows:
        near = ((row, line.col) for row in range(line.row - 1, -1, -1))
        found = next((at for at in near if _words(sheet.cells.get(at)) and sheet.cells[at].style == "head"), None)
    else:
        near = ((line.row, col) for col in range(line.col - 1, -1, -1))
        found = next((at for at in near if _words(sheet.cells.get(at))), None)
    if found is None:
        return "", ""
    return str(sheet.cells[found].content), Address(sheet.ref(*found), "cells")


def _words(cell: Cell | None) -> bool:
    return cell is not None and isinstance(cell.content, str) and cell.content != "" and cell.entry is None
