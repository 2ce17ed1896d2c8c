"""What a cell is called and in which unit it stands, read from the words around it.

The workbook's own convention comes first (a heading row with a unit row under it; in lists the
unit right of the value); a foreign workbook is read the same way and simply says less.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from hayfuncs.contract.units import UNITS, WRITTEN
from hayfuncs.spreadsheet.a1 import Node, a1, node, place
from hayfuncs.spreadsheet.contents import ErrorValue, WorkbookData

# texts that stand in the workbook's unit rows and are no unit of the closed list
EXTRA_UNITS = {
    "tons as fed", "% on the basis given", "ppm, dry basis", "% (100 when dry)", "% of diet DM", "unit at right", "words",
    "row of Lots", "row of Herd", "row of Feeds", "verdict", "relation", "evidence", "unit", "class", "lb/ton",
}  # fmt: skip
MEANT = {written: unit for unit, written in WRITTEN.items()}
KNOWN = set(UNITS) | EXTRA_UNITS | set(MEANT)
STEPS_TITLE = 6  # rows above the unit row of a table of steps
UNIT_FAR = 8  # cells to the right among which a list's unit is looked for
SILENT = {"unit at right", "words", "word", "name", "relation", "evidence", "unit", "class", "verdict", "text", "block"}


class Labels:
    """Labels and units of a workbook's cells; each is looked up when asked for."""

    def __init__(self, book: WorkbookData) -> None:
        self.book = book
        self.texts: dict[tuple[int, int], list[int]] = {}  # (sheet, row) -> columns of texts
        self.filled_rows: dict[int, set[int]] = {}
        for at, value in book.values.items():
            if value is None or value == "":
                continue
            sheet, row, col = place(at)
            self.filled_rows.setdefault(sheet, set()).add(row)
            if isinstance(value, str) and not isinstance(value, ErrorValue):
                self.texts.setdefault((sheet, row), []).append(col)
        for columns in self.texts.values():
            columns.sort()
        self.unit_rows: dict[int, list[int]] = {}
        self.blocks: dict[int, list[int]] = {}  # rows below two blank ones
        self.steps: dict[int, list[int]] = {}  # rows at which a part of steps begins
        for sheet, row in sorted(self.texts):
            if self._text(sheet, row, 0).startswith("Steps behind"):
                self.steps.setdefault(sheet, []).append(row)
            if self._is_unit_row(sheet, row):
                self.unit_rows.setdefault(sheet, []).append(row)

    def _text(self, sheet: int, row: int, col: int) -> str:
        value = self.book.values.get(node(sheet, row, col))
        return value.strip() if isinstance(value, str) and not isinstance(value, ErrorValue) else ""

    def _is_unit_row(self, sheet: int, row: int) -> bool:
        columns = self.texts[sheet, row]
        known = 0
        for col in columns:
            text = self._text(sheet, row, col)
            # a text "1" that a formula gives is a number, not the unit of pure numbers
            known += text in KNOWN and not (text == "1" and node(sheet, row, col) in self.book.formulas)
        return known >= 2 and 2 * known >= len(columns) and bool(self.texts.get((sheet, row - 1)))

    def unit_row(self, at: Node) -> int | None:
        """The unit row of the table that a cell stands in."""
        sheet, row, _ = place(at)
        rows = self.unit_rows.get(sheet, [])
        i = bisect_left(rows, row) - 1
        if i < 0:
            return None
        filled = self.filled_rows.get(sheet, set())
        first = rows[i]
        if self._gappy(sheet, first):
            titles = self.steps[sheet]
            return first if bisect_right(titles, row) == bisect_right(titles, first) else None
        if self._block(sheet, row) != self._block(sheet, first):
            return None
        if row - first > 1 and not all(r in filled for r in range(max(first + 1, row - 3), row)):
            return None  # a blank row ends a table (the last rows are looked at; a table may be long)
        return first

    def _block(self, sheet: int, row: int) -> int:
        """Two blank rows end whatever stands above them: the place among such blocks, from the top."""
        if sheet not in self.blocks:
            filled = self.filled_rows.get(sheet, set())
            self.blocks[sheet] = sorted(r for r in filled if r - 1 not in filled and r - 2 not in filled)
        return bisect_right(self.blocks[sheet], row)

    def _gappy(self, sheet: int, units: int) -> bool:
        """A part of steps keeps to the rows of the part it belongs to, so its table has gaps."""
        return units - STEPS_TITLE in self.steps.get(sheet, [])

    def unit_cell(self, at: Node) -> Node | None:
        """The cell whose text is the unit of this one."""
        sheet, row, col = place(at)
        table = self.unit_row(at)
        if table is not None:
            text = self._text(sheet, table, col)
            if text and text != "unit at right":
                return node(sheet, table, col)
        for other in self.texts.get((sheet, row), []):
            if col < other <= col + UNIT_FAR and self._text(sheet, row, other) in KNOWN:
                return node(sheet, row, other)
        return None

    def unit(self, at: Node) -> str:
        where = self.unit_cell(at)
        if where is None:
            return ""
        text = self._text(*place(where))
        return MEANT.get(text, text) if text in KNOWN else ""

    def shown_unit(self, at: Node) -> str:
        """The unit as it is printed behind a number."""
        unit = self.unit(at)
        return "" if unit in SILENT or unit in ("1", "any", "yes/no") or unit.startswith("row of") else unit

    def heading(self, at: Node) -> str:
        """The text above the cell's column."""
        sheet, row, col = place(at)
        table = self.unit_row(at)
        if table is not None:
            return self._text(sheet, table - 1, col)
        for above in range(row - 1, max(row - 60, -1), -1):
            where = node(sheet, above, col)
            if self.book.values.get(where) in (None, ""):
                return ""
            text = self._text(sheet, above, col)
            if text and where not in self.book.formulas and text not in KNOWN and self.book.look(where).locked:
                return text
        return ""

    def row_name(self, at: Node) -> str:
        """The first text of the cell's row that stands left of it and is no unit."""
        sheet, row, col = place(at)
        for other in self.texts.get((sheet, row), []):
            if other >= col:
                return ""
            text = self._text(sheet, row, other)
            if text not in KNOWN and (row, other) not in self.book.sheets[sheet].links:
                return text
        return ""

    def label(self, at: Node) -> str:
        """What a reader would call the cell."""
        name, head = self.row_name(at), self.heading(at)
        if self.unit_row(at) is not None:
            words = f"{head} of {name}" if head and name else head or name
        else:
            words = f"{name}, {head}" if head and name and head != name else name or head
        return words[:120] or f"cell {a1(*place(at)[1:])}"
