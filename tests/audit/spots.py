"""Where things stand in a workbook, found by the words on its sheets with another reader (openpyxl)."""

from __future__ import annotations

from io import BytesIO

from openpyxl.utils import get_column_letter
from where import Parts, quoted

HEADS = 6  # the row of headings of a table; units in the next, data from the row after that
FIRST = 8


class Spots:
    """`cell("Lots", "TDN")` is the cell under a heading, `line("Ration", "Short")` the one beside a label.

    Parts are named as the workbook's list of contents names them, rows as the part counts them; addresses
    that are handed back are the file's.
    """

    def __init__(self, data: bytes) -> None:
        self.book = Parts(BytesIO(data))
        self.at = self.book.where.at

    def span(self, sheet: str) -> tuple[str, int, int]:
        """The tab of a table and its first and last row there."""
        return self.tab(sheet), self.row(sheet, FIRST), self.row(sheet, self.last(sheet))

    def tab(self, sheet: str) -> str:
        return self.book.where.parts[sheet].tab

    def row(self, sheet: str, row: int) -> int:
        return self.book.where.row(sheet, row)

    def column(self, sheet: str, heading: str, heads: int = HEADS) -> str:
        """The letters of the column under a heading."""
        for cell in self.book[sheet][heads]:
            if cell.value == heading:
                return get_column_letter(cell.column)
        raise AssertionError(f"{sheet} has no heading {heading!r}")

    def cell(self, sheet: str, heading: str, row: int = FIRST) -> str:
        return self.at(f"{sheet}!{self.column(sheet, heading)}{row}")

    def line(self, sheet: str, label: str, column: str = "B", labels: str = "A", nth: int = 1) -> str:
        """The cell in a column of the row whose label is this."""
        for cell in self.book[sheet][labels]:
            if isinstance(cell.value, str) and cell.value == label:
                nth -= 1
                if not nth:
                    return f"{quoted(self.tab(sheet))}!{column}{cell.row}"
        raise AssertionError(f"{sheet} has no line {label!r}")

    def named(self, name: str) -> str:
        """The cell that a defined name stands for."""
        return str(self.book.book.defined_names[name].attr_text).replace("$", "")

    def last(self, sheet: str, column: str = "A") -> int:
        """The last row of the table: the first empty cell of a column ends it."""
        row = FIRST
        while self.book[sheet][f"{column}{row}"].value is not None:
            row += 1
        return row - 1


def split(address: str) -> tuple[str, str, int]:
    sheet, _, cell = address.rpartition("!")
    letters = cell.rstrip("0123456789")
    return sheet.strip("'"), letters, int(cell[len(letters) :])


def beside(address: str, rows: int = 0, column: str = "") -> str:
    sheet, letters, row = split(address)
    return f"{quoted(sheet)}!{column or letters}{row + rows}"
