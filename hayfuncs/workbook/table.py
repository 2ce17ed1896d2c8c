"""A table, declared once: a class whose attributes are its columns, in the order they stand on the sheet.

    class Waste(Table[str]):
        mark = "waste"

        @column("Feeder", "name", style="label", width=18)
        def feeder(self) -> Content:
            return self.item

        @column("Wasted of the hay put out", "% DM")
        def loss(self) -> Content:
            return call("FEEDING_LOSS", self.feeder)

        bales = asked("Bales in it", "bales", number("Bales", "Bales in the lot", 0, 100_000))

    waste = Waste(sheet, feeders).place()

In a column's function `self` is one row: `self.feeder` refers to that row's cell, `self.item` is what the row is
made from, `self.number` its place from 1.  On the placed table the same attribute is the whole column's range:
another sheet writes `waste.loss` and never an address, and a wrong name is an error in the editor and in mypy.
`herd.beside(row).head` is the cell of the same place in another table of the same length.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from typing import Any, ClassVar, Generic, TypeVar, overload

from hayfuncs.workbook.model import Content, Input, Sheet, a1, quoted

FIRST = 7  # the first data row of a table (row 8 on the sheet): band, heads and units stand above

Item = TypeVar("Item")
Row = TypeVar("Row", bound="Table[Any]")
Asking = Callable[[str], Input | None]  # from the key of an input to the input; None: no input in this row


class Column:
    """One column: what it is called, its unit and look, and what each row holds."""

    key = ""

    def __init__(
        self,
        head: str,
        unit: str,
        style: str,
        width: float,
        band: str,
        make: Callable[[Any], Content],
        asking: Callable[[Any, str], Input | None] | None,
    ) -> None:
        self.head, self.unit, self.style, self.width, self.band = head, unit, style, width, band
        self.make, self.asking = make, asking

    def __set_name__(self, owner: type, name: str) -> None:
        if hasattr(Table, name):
            raise AttributeError(
                f"{owner.__name__}.{name}: every table has a {name} of its own; call the column otherwise"
            )
        self.key = name

    @overload
    def __get__(self, table: None, owner: type) -> Column: ...
    @overload
    def __get__(self, table: Table[Any], owner: type) -> str: ...
    def __get__(self, table: Table[Any] | None, owner: type) -> Column | str:
        return self if table is None else table.ref(self)


def column(
    head: str, unit: str, *, style: str = "number1", width: float = 12, band: str = ""
) -> Callable[[Callable[[Any], Content]], Column]:
    """A computed column; the function below it says what a row holds.  `band` begins a group of columns."""
    return lambda make: Column(head, unit, style, width, band, make, None)


def computed(
    head: str, unit: str, make: Callable[[Any], Content], *, style: str = "number1", width: float = 12, band: str = ""
) -> Column:
    """The same in one line, for columns that share a function."""
    return Column(head, unit, style, width, band, make, None)


def asked(
    head: str,
    unit: str,
    asking: Asking | None = None,
    *,
    of: str | Callable[[Any], Content] = "",
    by_row: Callable[[Any, str], Input | None] | None = None,
    style: str = "input",
    width: float = 12,
    band: str = "",
) -> Column:
    """A column of inputs.  `of` says where the first values come from: an attribute of the row's item (the
    column's own key unless given) or a function of the row; `by_row` gives the input where it differs by row."""
    made = Column(head, unit, style, width, band, lambda row: None, by_row or (lambda row, key: asking and asking(key)))

    def held(row: Table[Any]) -> Content:
        if callable(of):
            return of(row)
        return None if row.item is None else getattr(row.item, of or made.key)

    made.make = held
    return made


class Table(Generic[Item]):
    """The columns of a class placed on a sheet, one row an item."""

    mark: ClassVar[str] = ""  # the table's word in the keys of its inputs, where it is not the sheet's name
    first_row: ClassVar[int] = FIRST
    heads_height: ClassVar[float] = 66
    frozen: ClassVar[int] = 1  # columns that stay when the sheet is moved sideways

    def __init__(self, sheet: Sheet, items: Sequence[Item]) -> None:
        self.sheet, self.items = sheet, items
        self.columns = [
            c for kind in reversed(type(self).__mro__) for c in vars(kind).values() if isinstance(c, Column)
        ]
        self.at: int | None = None
        self.abroad = False  # seen from another sheet: the sheet's name stands before the cell

    @property
    def n(self) -> int:
        return len(self.items)

    @property
    def number(self) -> int:
        assert self.at is not None
        return self.at - self.first_row + 1

    @property
    def item(self) -> Item:
        return self.items[self.number - 1]

    def col(self, column: Column) -> int:
        return self.columns.index(column)

    def ref(self, column: Column) -> str:
        """One row's cell in it, or the whole column's range."""
        col = self.col(column)
        if self.at is None:
            return self.sheet.span(self.first_row, col, self.first_row + self.n - 1, col)
        cell = a1(self.at, col, "c")
        return f"{quoted(self.sheet.name)}!{cell}" if self.abroad else cell

    def row(self: Row, at: int) -> Row:
        """One row, by its place on the sheet."""
        made = copy.copy(self)
        made.at = at
        return made

    def rows(self: Row) -> list[Row]:
        return [self.row(self.first_row + i) for i in range(self.n)]

    def beside(self: Row, other: Table[Any]) -> Row:
        """The row of the same place as a row of another table, seen from there."""
        assert other.at is not None
        made = self.row(self.first_row + other.number - 1)
        made.abroad = True
        return made

    def area(self, first: Column, last: Column | None = None) -> tuple[int, int, int, int]:
        """The cells of one or several neighbouring columns, as flags take them."""
        return self.first_row, self.col(first), self.first_row + self.n - 1, self.col(last or first)

    @property
    def row_below(self) -> int:
        """The first row under the table."""
        return self.first_row + self.n

    def add(self, column: Column, key: str) -> Column:
        """A column that the farm decides (one a group, one a month)."""
        column.key = key
        self.columns.append(column)
        return column

    def place(self: Row, height: float = 0) -> Row:
        """Write heads and rows."""
        sheet = self.sheet
        for col, column in enumerate(self.columns):
            if column.band:
                sheet.put(self.first_row - 3, col, column.band, "section")
            sheet.put(self.first_row - 2, col, column.head, "head")
            sheet.put(self.first_row - 1, col, column.unit, "unit")
            sheet.widths[col] = column.width
        sheet.heights[self.first_row - 2] = self.heads_height
        sheet.heights[self.first_row - 1] = 32
        sheet.freeze = (self.first_row, self.frozen)
        sheet.repeat_rows = (self.first_row - 2, self.first_row - 1)
        for row in self.rows():
            assert row.at is not None
            if height:
                sheet.heights[row.at] = height
            for col, column in enumerate(self.columns):
                if column.asking is None:
                    sheet.put(row.at, col, column.make(row), column.style, unit=column.unit)
                    continue
                entry = column.asking(row, f"{self.mark or sheet.name}/{row.number}/{column.key}")
                if entry is None:
                    sheet.put(row.at, col, None, "text")
                else:
                    sheet.entry(row.at, col, column.make(row), entry, column.style, column.unit)
        return self

    def filed(self: Row, name: str) -> Row:
        """The ranges under a word of the book too, for sheets that still ask by words."""
        marks = {
            c.key: self.sheet.span(self.first_row, k, self.first_row + self.n - 1, k)
            for k, c in enumerate(self.columns)
        }
        self.sheet.book.marks[name] = {"n": self.n, **marks}
        self.sheet.book.marks[f"{name}_at"] = {c.key: k for k, c in enumerate(self.columns)}
        return self
