"""A table, declared once: a class whose attributes are its columns, in the order they stand on the sheet.

    class Waste(Table[str]):
        feeder = computed("Feeder", "name", lambda row: row.item, "label", 18)
        loss = computed("Wasted of the hay put out", "% DM", calling("FEEDING_LOSS", "{feeder}"))
        tons = computed("The same in tons", "tons as fed", "={wasted}/lb_per_ton")
        bales = asked("Bales in it", "bales", number("Bales", "Bales in the lot", 0, 100_000))

        @column("What to look at", "words", "small")
        def says(self) -> Content:
            return Formula(f'=IF({self.loss}>10,"much","")')

    waste = Waste(sheet, feeders).place()

In a formula `{tons}`, in a function `self.tons` refers to the cell of that column in the row; `self.item` is what the
row is made from, `self.number` its place from 1.  On the placed table the same attribute is the whole column's range:
another sheet writes `book.find(Waste).loss` and never an address, and a wrong name is an error in the editor and in mypy.
`row.same(Herd).head` is the cell of the same place in another table of the same length.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import Any, ClassVar, Generic, TypeVar, overload

from hayfuncs.workbook.keyed import Made, Making, blank_where, filled, keys, known
from hayfuncs.workbook.model import FIRST as FIRST
from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, a1, quoted

NOTHING = object()  # what a column's function hands back for a row where it has no cell

Item = TypeVar("Item")
Row = TypeVar("Row", bound="Table[Any]")
Other = TypeVar("Other", bound="Table[Any]")
Style = str | Callable[[Any], str]  # a look, or a function of the row that says which
Asking = Callable[[str], Input | None]  # from the key of an input to the input; None: no input in this row


class Column:
    """One column: what it is called, its unit and look, and what each row holds."""

    owner: type[Table[Any]] | None = None
    attribute = ""

    def __init__(
        self,
        head: str,
        unit: str,
        style: Style,
        width: float,
        band: str,
        make: Made,
        asking: Callable[[Any, str], Input | None] | None = None,
        key: str = "",
    ) -> None:
        self.key = key  # the attribute's name, where that is not taken
        self.head, self.unit, self.style, self.width, self.band = head, unit, style, width, band
        self.make, self.asking = make, asking

    def __set_name__(self, owner: type[Table[Any]], name: str) -> None:
        if hasattr(Table, name) or name in ("sheet", "items", "columns", "first_row", "at"):
            raise AttributeError(
                f"{owner.__name__}.{name}: every table has a {name} of its own; call the column otherwise"
            )
        self.owner, self.attribute, self.key = owner, name, self.key or name

    def __reduce__(self) -> tuple[Callable[..., Column], tuple[Any, ...]]:
        """A pickled book knows its columns by their classes, and of the columns that a farm decides the words."""
        if self.owner is not None:
            return getattr, (self.owner, self.attribute)
        return Column, (self.head, self.unit, "", self.width, self.band, Made(""), None, self.key)

    @overload
    def __get__(self, table: None, owner: type) -> Column: ...
    @overload
    def __get__(self, table: Table[Any], owner: type) -> str: ...
    def __get__(self, table: Table[Any] | None, owner: type) -> Column | str:
        return self if table is None else table.ref(self)


def column(
    head: str, unit: str, style: str = "number1", width: float = 12, band: str = ""
) -> Callable[[Callable[[Any], Content]], Column]:
    """A computed column; the function below it says what a row holds.  `band` begins a group of columns."""
    return lambda make: Column(head, unit, style, width, band, Made(make))


def computed(
    head: str,
    unit: str,
    make: Making | Made,
    style: Style = "number1",
    width: float = 12,
    band: str = "",
    key: str = "",
) -> Column:
    """The same in one line: a formula or call by key, or a function that columns share."""
    return Column(head, unit, style, width, band, make if isinstance(make, Made) else Made(make), None, key)


def asked(
    head: str,
    unit: str,
    asking: Asking | None = None,
    style: str = "input",
    width: float = 12,
    *,
    of: str | Callable[[Any], Content] = "",
    by_row: Callable[[Any, str], Input | None] | None = None,
    band: str = "",
    key: str = "",
) -> Column:
    """A column of inputs.  `of` says where the first values come from: an attribute of the row's item (the
    column's own key unless given) or a function of the row; `by_row` gives the input where it differs by row."""

    def held(row: Table[Any]) -> Content:
        content: Content = None
        if callable(of):
            content = of(row)
        elif isinstance(row.item, Mapping):
            content = row.item.get(of or made.key)
        elif row.item is not None:
            content = attrgetter(of or made.key)(row.item)
        return None if content == "" else content

    once = by_row or (lambda row, key: asking(key) if asking else None)
    made = Column(head, unit, style, width, band, Made(held), once, key=key)
    return made


def gap() -> Column:
    """A column that stays empty."""
    return Column("", "", "", 0, "", Made(""))


class Table(Generic[Item]):
    """The columns of a class placed on a sheet, one row an item."""

    mark: ClassVar[str] = ""  # the table's word in the keys of its inputs, where it is not the sheet's name
    on: ClassVar[str] = ""  # the sheet, where a sheet that is filled before it refers to its cells
    heads_height: ClassVar[float] = 66
    units_height: ClassVar[float] = 32
    from_column: ClassVar[int] = 0  # of the sheet, where the first one stands
    frozen: ClassVar[int] = 1  # columns that stay when the sheet is moved sideways
    fixed: ClassVar[str] = "c"  # what a reference to a cell of the row holds fast: its column
    blank: ClassVar[str] = ""  # while this holds, by keys of the row, what is worked out in the row stays blank
    as_ever: ClassVar[tuple[str, ...]] = ()  # of those, the columns that do not
    of_class: ClassVar[list[Column]] = []

    def __init_subclass__(cls) -> None:
        super().__init_subclass__()
        found = {k: c for kind in reversed(cls.__mro__) for k, c in vars(kind).items() if isinstance(c, Column)}
        cls.of_class = list(found.values())  # a column that a table has otherwise keeps its place
        for c in cls.of_class:
            known(cls, c.make.texts, c.key)

    def __init__(self, sheet: Sheet, items: Sequence[Item], heads_at: int | None = None) -> None:
        """`heads_at`: the row of the heads of a table that stands below others."""
        self.sheet, self.items = sheet, items
        self.columns = list(self.of_class)
        self._alone = heads_at is None
        self.first_row = FIRST if heads_at is None else heads_at + 2
        self.at: int | None = None
        self._down = False  # a column from its first row down to this one
        self._near = False  # whole columns as a cell of the same sheet names them
        self._abroad = False  # seen from another sheet: the sheet's name stands before the cell
        self.sheet.book.placed[type(self)] = self

    def __getstate__(self) -> dict[str, Any]:
        return {**vars(self), "items": [None] * self.n}

    @property
    def book(self) -> Book:
        return self.sheet.book

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
        return self.from_column + self.columns.index(column)

    def ref(self, column: Column) -> str:
        """One row's cell in it, or the whole column's range."""
        col = self.col(column)
        if self.at is None:
            span = self.sheet.span(*self.area(column))
            return span.split("!")[1] if self._near else span
        cell = a1(self.at, col, self.fixed)
        if self._down:
            return f"{a1(self.first_row, col, 'rc')}:{cell}"
        return f"{quoted(self.sheet.name)}!{cell}" if self._abroad else cell

    @property
    def local(self: Row) -> Row:
        """The whole columns as a cell of the same sheet names them, of a row too: `{local.tdn}`."""
        made = self._again()
        made.at, made._near = None, True
        return made

    @property
    def down_to(self: Row) -> Row:
        """The columns from their first row down to this one: `{down_to.name}`."""
        made = self._again()
        made._down = True
        return made

    def some(self, column: Column, first: int, last: int = 0) -> str:
        """The cells of some rows by their numbers, or of one, from anywhere."""
        top, col = self.first_row - 1, self.col(column)
        found = self.sheet.span(top + first, col, top + last, col) if last else self.sheet.ref(top + first, col)
        return found.split("!")[1] if self._near else found

    def above(self, column: Column) -> str:
        """The cell above its heading, where a total may stand."""
        return a1(self.row_above, self.col(column), "rc")

    def head_of(self, column: Column) -> str:
        """The cell of its heading."""
        return a1(self.first_row - 2, self.col(column), "r")

    def _again(self: Row) -> Row:
        made: Row = object.__new__(type(self))
        vars(made).update(vars(self))
        return made

    def row(self: Row, at: int) -> Row:
        """One row, by its place on the sheet."""
        made = self._again()
        made.at = at
        return made

    def rows(self: Row) -> list[Row]:
        return [self.row(self.first_row + i) for i in range(self.n)]

    def beside(self: Row, other: Table[Any]) -> Row:
        """The row of the same place as a row of another table, seen from there."""
        made = self.row(self.first_row + other.number - 1)
        made._abroad = made.sheet is not other.sheet
        return made

    def same(self, kind: type[Other]) -> Other:
        """The row of the same place in another table, which may be filled later."""
        if kind in self.book.placed:
            return self.book.find(kind).beside(self)
        assert kind.on, f"{kind.__name__} is filled later and does not say on which sheet"
        made = object.__new__(kind)
        made.sheet, made.items, made.columns = Sheet(self.book, kind.on, "", "", ""), (), list(kind.of_class)
        made.first_row, made._near, made._down, made._abroad, made.at = (
            FIRST,
            False,
            False,
            True,
            FIRST + self.number - 1,
        )
        return made

    def elsewhere(self, column: Column) -> str:
        """The cell of the same place in a column of another table, whichever that turns out to be."""
        assert column.owner is not None
        return self.same(column.owner).ref(column)

    def area(self, first: Column, last: Column | None = None) -> tuple[int, int, int, int]:
        """The cells of one or several neighboring columns, as flags take them."""
        return self.first_row, self.col(first), self.first_row + self.n - 1, self.col(last or first)

    @property
    def row_above(self) -> int:
        """The row of the title, above the heads."""
        return self.first_row - 3

    @property
    def row_below(self) -> int:
        """The first row under the table."""
        return self.first_row + self.n

    def add(self, column: Column, key: str, before: Column | None = None) -> Column:
        """A column that the farm decides (one a group, one a month); its heading may be a formula."""
        column.key = key
        self.columns.insert(self.columns.index(before) if before else len(self.columns), column)
        return column

    def place(self: Row, height: float = 0, title: str = "") -> Row:
        """Write heads and rows; a table that stands alone gives its sheet widths and what stays in sight."""
        sheet, heads = self.sheet, self.first_row - 2
        if title:
            sheet.put(heads - 1, 0, title, "section")
        for col, column in enumerate(self.columns, self.from_column):
            if not column.style:
                continue
            if column.band:
                sheet.put(heads - 1, col, column.band, "section")
            sheet.put(heads, col, Formula(column.head) if column.head.startswith("=") else column.head, "head")
            sheet.put(heads + 1, col, column.unit, "unit")
            width = column.width if self._alone else sheet.widths.get(col, column.width)
            if width:
                sheet.widths[col] = width
        for at, tall in ((heads, self.heads_height), (heads + 1, self.units_height)):
            if tall:
                sheet.heights[at] = tall
        if self._alone:
            sheet.freeze = (self.first_row, self.frozen)
            sheet.repeat_rows = (heads, heads + 1)
        for row in self.rows():
            assert row.at is not None
            if height:
                sheet.heights[row.at] = height
            for col, column in enumerate(self.columns, self.from_column):
                if column.style:
                    self._fill(row, col, column)
        return self

    def _fill(self, row: Table[Any], col: int, column: Column) -> None:
        assert row.at is not None
        content = column.make(row)
        if column.asking is None:
            if content is not NOTHING:
                if self.blank and column.key not in (*keys(self.blank), *self.as_ever):
                    content = blank_where(filled(self.blank, row), content)
                style = column.style if isinstance(column.style, str) else column.style(row)
                self.sheet.put(row.at, col, content, style)
            return
        entry = column.asking(row, f"{self.mark or self.sheet.name}/{row.number}/{column.key}")
        if entry is None:
            self.sheet.put(row.at, col, None, "text")
        else:
            source = filled(entry.source, row) if entry.source else ""
            entry = replace(entry, source=source, title=entry.title or column.head)
            assert isinstance(column.style, str)
            self.sheet.entry(row.at, col, content, entry, column.style, column.unit)

    def filed(self: Row, name: str) -> Row:
        """The ranges under a word of the book too, for sheets that still ask by words."""
        words = {c.key: c for c in self.columns if c.key} | {c.attribute: c for c in self.columns if c.attribute}
        self.book.marks[name] = {"n": self.n, **{word: self.sheet.span(*self.area(c)) for word, c in words.items()}}
        self.book.marks[f"{name}_at"] = {word: self.col(c) for word, c in words.items()}
        return self
