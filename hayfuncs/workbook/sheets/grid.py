"""A table written column by column: each column says its heading, its unit and what a row of it holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from hayfuncs.contract.errors import listing
from hayfuncs.workbook.keyed import NOT_ENTERED as NOT_ENTERED
from hayfuncs.workbook.keyed import NOT_TESTED as NOT_TESTED
from hayfuncs.workbook.model import Book, Content, Input, Sheet, input_for, quoted
from hayfuncs.workbook.sheets.common import FIRST, Column, local, table_heads

Maker = Callable[["Row"], Content]
Ref = Callable[["Row"], str]  # a reference to a cell of the row
Asking = Callable[[str], Input]  # from the key of an input to the input
AskingSome = Callable[[str], Input | None]  # the same; None: no input in this row


@dataclass(frozen=True)
class Row:
    """One row of a table: its number from 1, its place on the sheet, and where its columns stand."""

    number: int
    at: int
    places: dict[str, int]

    def __getitem__(self, mark: str) -> str:
        return local(self.at, self.places[mark])

    def all(self, *marks: str) -> str:
        """References to several columns, as a call of COUNT takes them."""
        return ",".join(self[mark] for mark in marks)


@dataclass
class Grid:
    """The columns of one table in order; `done` writes them and says where each stands."""

    sheet: Sheet
    n: int
    columns: list[Column] = field(default_factory=list)
    makers: list[tuple[str, Maker | None, Sequence[Content], AskingSome | None, str]] = field(default_factory=list)
    bands: list[tuple[int, str]] = field(default_factory=list)

    def band(self, text: str) -> None:
        self.bands.append((len(self.columns), text))

    def add(self, mark: str, head: str, unit: str, make: Maker, style: str = "number1", width: float = 12) -> None:
        """A computed column."""
        self.columns.append(Column(head, unit, style, width))
        self.makers.append((mark, make, (), None, unit))

    def ask(
        self, mark: str, head: str, unit: str, values: Sequence[Content], asking: AskingSome, style: str = "input",
        width: float = 12,
    ) -> None:  # fmt: skip
        """A column of inputs, with what stands in them first."""
        self.columns.append(Column(head, unit, style, width))
        self.makers.append((mark, None, values, asking, unit))

    def done(self, name: str, height: float = 0) -> None:
        """Write heads and rows, and keep the ranges of all columns under this name."""
        table_heads(self.sheet, self.columns, self.bands)
        places = {mark: col for col, (mark, *_) in enumerate(self.makers)}
        for number in range(1, self.n + 1):
            row = Row(number, FIRST + number - 1, places)
            if height:
                self.sheet.heights[row.at] = height
            for col, (mark, make, values, asking, unit) in enumerate(self.makers):
                style = self.columns[col].style
                if make is not None:
                    self.sheet.put(row.at, col, make(row), style, unit=unit)
                else:
                    assert asking is not None
                    entry = asking(f"{self.sheet.name}/{number}/{mark}")
                    if entry is None:
                        self.sheet.put(row.at, col, None, "text")
                    else:
                        self.sheet.entry(row.at, col, values[number - 1], entry, style, unit)
        last = FIRST + self.n - 1
        spans = {mark: self.sheet.span(FIRST, col, last, col) for mark, col in places.items()}
        self.sheet.book.marks[name] = {"n": self.n, **spans}
        self.sheet.book.marks[f"{name}_at"] = places


def there(book: Book, sheet: str, table: str, mark: str) -> Ref:
    """The cell of the same row in another table of the same length."""
    col = book.marks[f"{table}_at"][mark]
    return lambda row: f"{quoted(sheet)}!{local(row.at, col)}"


def of_record(function: str, argument: str, required: bool = False) -> Asking:
    return lambda key: input_for(key, function, argument, required)


def number(title: str, says: str, lo: float, hi: float, required: bool = False, whole: bool = False) -> Asking:
    kind = "whole" if whole else "number"
    return lambda key: Input(key, title, f"{says}, {lo:g} to {hi:g}", lo=lo, hi=hi, kind=kind, required=required)


def listed(title: str, says: str, source: str, required: bool = False) -> Asking:
    """One name out of a column of the workbook."""
    return lambda key: Input(key, title, says, source=source, kind="word", required=required)


def words(title: str, says: str, choices: Sequence[str], required: bool = False) -> Asking:
    text = f"{says}. One of: {listing(choices)}"
    return lambda key: Input(key, title, text, words=tuple(choices), kind="word", required=required)


def text(title: str, says: str, required: bool = False) -> Asking:
    return lambda key: Input(key, title, says, kind="text", required=required)


def date(title: str, says: str, required: bool = False) -> Asking:
    return lambda key: Input(key, title, f"{says}, a date from 1990 to 2100", kind="date", required=required)
