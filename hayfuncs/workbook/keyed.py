"""Formulas written by key: `"={head}*{intake}"` over the row or the page that they stand in.

A key is an attribute of the table or page: another column, a property, a part of a formula that several formulas
share, `{lot.tdn}` for the cell of another table.
`{table[storage_loss.method]}` is a column of a published table, `{marks[lots][tdn]}` a range that a sheet filed.  A key that is not there is an error when the module
is read, so that no sheet is filled with it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from string import Formatter
from typing import Any, Generic, TypeAlias, TypeVar

from hayfuncs.workbook.model import Book, Call, Content, Formula, call

Other = TypeVar("Other")
NOT_ENTERED, NOT_TESTED = '"not entered"', '"not tested"'
CELL = re.compile(r"^\$?([A-Z]+)\$?([0-9]+)$")
SIGNS = {"fixed": r"$\1$\2", "sideways": r"$\1\2", "free": r"\1\2"}  # `{need:fixed}` is $B$14 where `{need}` is B14
WORDS = {"not_entered": NOT_ENTERED, "not_tested": NOT_TESTED}
TABLE, MARKS = "table", "marks"
Making: TypeAlias = "str | float | Callable[[Any], Any]"  # a formula by key, a number, or a function of the row or page
Otherwise: TypeAlias = "tuple[str, str] | None"  # a condition, and what is shown while it holds


class _Published:
    def __init__(self, book: Book) -> None:
        self.book = book

    def __getitem__(self, name: str) -> str:
        table, _, column = name.partition(".")
        return self.book.table_range(table, column)


class _Keys(dict[str, Any]):
    """What the keys of a formula stand for."""

    def __init__(self, owner: Any) -> None:
        super().__init__(WORDS)
        self.owner = owner

    def __missing__(self, key: str) -> Any:
        if key == MARKS:
            return self.owner.sheet.book.marks
        if key == TABLE:
            return _Published(self.owner.sheet.book)
        part = getattr(type(self.owner), key, None)
        return filled(part, self.owner) if isinstance(part, str) else getattr(self.owner, key)


class _Filler(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        if not isinstance(value, (str, int, float)):
            raise TypeError(f"{type(value).__name__} is no cell: a column or line of it is wanted")
        parts = str(value).split(":")
        return ":".join(CELL.sub(SIGNS[format_spec], part) for part in parts) if format_spec else str(value)


def filled(text: str, owner: Any) -> str:
    return _Filler().vformat(text, (), _Keys(owner))


def keys(text: str) -> Iterator[str]:
    """The first words of the keys in a text."""
    for _, name, _, _ in Formatter().parse(text):
        if name is not None:
            yield name.split(".")[0].split("[")[0]


def known(owner: type, texts: tuple[str, ...], of: str) -> None:
    """Refuses a key that the table or page does not have."""
    for text in texts:
        for key in keys(text):
            if key not in (*WORDS, TABLE, MARKS) and not hasattr(owner, key):
                raise AttributeError(f"{owner.__name__}.{of}: {{{key}}} is no column, line or property of it")


class Made:
    """What a column or line holds: a formula by key, a call by key, or what a function of the row hands back."""

    def __init__(self, make: Making, args: tuple[str, ...] = (), otherwise: Otherwise = None) -> None:
        self.make, self.args, self.otherwise = make, args, otherwise
        self.texts = (make, *args, *(otherwise or ())) if isinstance(make, str) else ()

    def __call__(self, owner: Any) -> Any:
        if callable(self.make):
            return self.make(owner)
        if not isinstance(self.make, str):
            return self.make
        if self.make.startswith("="):
            return Formula(filled(self.make, owner))
        if not self.args:
            return filled(self.make, owner)
        args = (filled(x, owner) for x in self.args)
        unless = (filled(self.otherwise[0], owner), filled(self.otherwise[1], owner)) if self.otherwise else None
        return call(self.make, *args, unless=unless)


def calling(name: str, *args: str, unless: Otherwise = None) -> Made:
    """A call of a worksheet function, its arguments by key."""
    return Made(name, args, unless)


def unknown(*refs: str, shown: str = NOT_ENTERED) -> tuple[str, str]:
    """The condition that not all of them hold a number, and what is shown then."""
    count = f"COUNT({','.join(refs)})"
    return (f"{count}=0" if len(refs) == 1 else f"{count}<{len(refs)}"), shown


def where(condition: tuple[str, str], formula: str) -> str:
    """A formula that shows something else while a condition holds."""
    return f"=IF({condition[0]},{condition[1]},{formula})"


def blank_where(condition: str, content: Content) -> Content:
    """A formula or a call that shows nothing while a condition holds; what is no formula stays."""
    if isinstance(content, Formula):
        return replace(content, text=f'=IF({condition},"",{content.text[1:]})')
    if not isinstance(content, Call):
        return content
    if content.unless is None:
        return replace(content, unless=(condition, '""'))
    when, shown = content.unless
    return replace(content, unless=(f"IF({condition},TRUE,{when})", f'IF({condition},"",{shown})'))


class Seen(Generic[Other]):
    """Another table or page as this one's keys and functions see it: `{stock.net}`, `self.stock.net`."""

    def __init__(self, kind: Callable[[], type[Other]], how: Callable[[Any, type[Other]], Other]) -> None:
        self.kind, self.how = kind, how  # the class is asked for late, since it may stand below or in a later module

    def __get__(self, owner: Any, of: type) -> Other:
        return self if owner is None else self.how(owner, self.kind())  # type: ignore[return-value]  # on the class itself, for the test of keys alone


def another(kind: Callable[[], type[Other]]) -> Seen[Other]:
    """A page, or whole columns of a table."""
    return Seen(kind, lambda owner, of: owner.book.find(of))


def nearby(kind: Callable[[], type[Other]]) -> Seen[Other]:
    """Whole columns of a table of the same sheet."""
    return Seen(kind, lambda owner, of: owner.book.find(of).local)


def same_row(kind: Callable[[], type[Other]]) -> Seen[Other]:
    """The row of the same place in another table."""
    return Seen(kind, lambda owner, of: owner.same(of))
