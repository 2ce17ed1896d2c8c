"""A page of single lines, declared once: a class whose attributes are its lines, from the top down.

    class Pile(Page):
        start = given("Hay feeding begins on", "date", date("...", "..."), Winter.start, style="input_date", name="winter_start")

        totals = heading("From the first day to grass")
        days = worked("Days of hay feeding", "days", "={turnout}-{start}", style="number0", name="winter_days")

    pile = Pile(sheet).place()

In a formula `{days}`, in a function `self.days` refers to the line's value; `book.find(Pile).days` from another sheet
is the same cell with the sheet's name.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, ClassVar, TypeVar, overload

from hayfuncs.workbook.keyed import Made, Making, filled, known
from hayfuncs.workbook.model import Book, Input, Sheet, a1

TOP = 4  # the first row under the head of a sheet
BANNER_HEIGHT = 26
Placed = TypeVar("Placed", bound="Page")


class Line:
    """One line: label, value, unit, a word beside it."""

    key = ""

    def __init__(
        self,
        label: str | Made,
        unit: str | None,
        make: Making | Made,
        style: str,
        *,
        asking: Callable[[str], Input] | None = None,
        name: str | None = "",
        why: str = "",
        why_look: str = "small",
        why_at: int = 3,
        after: int = 0,
        across: int = 0,
        height: float = 0,
        look: str = "label",
        rows: int = 1,
        left: int | None = None,
    ) -> None:
        self.label, self.unit, self.style, self.asking = label, unit, style, asking
        self.make = make if isinstance(make, Made) else Made(make)
        self.name, self.look, self.rows = name, look, rows
        self.why, self.why_look, self.why_at = why, why_look, why_at
        self.left = left  # the column, where it is not the page's
        self.after, self.across, self.height = after, across, height  # rows above, columns of its frame, points

    def __set_name__(self, owner: type, name: str) -> None:
        if hasattr(Page, name) or name in ("sheet", "top", "home", "at", "row_below"):
            raise AttributeError(f"{owner.__name__}.{name}: every page has a {name} of its own; call the line otherwise")  # fmt: skip
        self.key = name

    def beside(self, page: Page, row: int) -> None:
        """What a kind of line has further right."""

    @overload
    def __get__(self, page: None, owner: type) -> Line: ...
    @overload
    def __get__(self, page: Page, owner: type) -> str: ...
    def __get__(self, page: Page | None, owner: type) -> Line | str:
        return self if page is None else page.ref(self)


def worked(label: str, unit: str | None, make: Making | Made, style: str = "number1", **more: Any) -> Line:
    """A computed line: a formula or call by key, a number, or a function of the page."""
    return Line(label, unit, make, style, **more)


def given(
    label: str, unit: str, asking: Callable[[str], Input], of: Any, style: str = "input", **more: Any
) -> Line:  # fmt: skip
    """A line that is typed; `of` stands in it first, or says from the page what does."""
    return Line(label, unit, of if callable(of) else lambda page: of, style, asking=asking, **more)


def heading(text: str, *, after: int = 0, made: Making | None = None) -> Line:
    """The head of a part of the page; `after` blank rows stand above it."""
    return Line(text if made is None else Made(made), "", "", "", look="section", after=after, left=0)


def list_heads() -> Line:
    """The headings above lines of one value each."""
    return Line("", "", "", "", look="heads", rows=2)


def sentence(make: Making, style: str = "sentence", **more: Any) -> Line:
    """A line of words across the page."""
    return Line("", "", make, style, look="", left=0, **more)


def banner(make: Making, **more: Any) -> Line:
    """The page's answer, with its frame over as many columns as the page says."""
    return Line("", "", make, "banner", look="", left=0, height=BANNER_HEIGHT, **more)


class Page:
    """The lines of a class placed on a sheet."""

    column: ClassVar[int] = 0  # of the labels
    unit_at: ClassVar[int] = 2  # columns from label to unit
    framed: ClassVar[int] = 4  # columns of a banner
    with_names: ClassVar[bool] = False  # each line's key is its name in formulas, shown at its end
    of_class: ClassVar[list[Line]] = []
    of: Any = None

    def __init_subclass__(cls) -> None:
        super().__init_subclass__()
        cls.of_class = [x for kind in reversed(cls.__mro__) for x in vars(kind).values() if isinstance(x, Line)]
        for x in cls.of_class:
            known(cls, x.make.texts, x.key)

    def __init__(self, sheet: Sheet, top: int = TOP, of: Any = None) -> None:
        """`of`: what the page's first values are taken from."""
        self.sheet, self.top, self.of = sheet, top, of
        self.home = True  # references are to the page's own sheet
        self.at: dict[str, int] = {}
        row = top
        for found in self.of_class:
            row += found.after
            self.at[found.key] = row
            row += found.rows
        self.row_below = row
        sheet.book.placed[type(self)] = self

    @property
    def book(self) -> Book:
        return self.sheet.book

    def ref(self, found: Line) -> str:
        """The value of a line: `$B$14`, from elsewhere with the sheet's name."""
        row, col = self.at[found.key], self._left(found) + (1 if found.look else 0)
        return a1(row, col, "rc") if self.home else self.sheet.ref(row, col)

    def _left(self, found: Line) -> int:
        return self.column if found.left is None else found.left

    def place(self: Placed) -> Placed:
        """Write every line; from then on references carry the sheet's name."""
        for found in self.of_class:
            self._write(found)
        self.home = False
        return self

    def _write(self, found: Line) -> None:
        sheet, row, col = self.sheet, self.at[found.key], self._left(found)
        if found.label:
            sheet.put(row, col, found.label(self) if isinstance(found.label, Made) else found.label, found.look)
        if found.height:
            sheet.heights[row] = found.height
        if found.look == "heads":
            sheet.heads(row, col, ["What", "Value", "Unit"], ["text", "unit at right", "word"])
        if found.look in ("section", "heads"):
            found.beside(self, row)
            return
        value, start = found.make(self), col + (1 if found.look else 0)
        if found.asking is not None:
            entry = found.asking(f"{sheet.name}/{found.key}")
            entry = replace(entry, source=filled(entry.source, self)) if entry.source else entry
            entry = replace(entry, title=entry.title or str(sheet.cells[row, col].content))
            sheet.entry(row, start, value, entry, found.style, found.unit or "")
        else:
            sheet.put(row, start, value, found.style)
        banner = found.style == "banner"
        for right in range(start + 1, col + (found.across or (self.framed if banner else 0))):
            sheet.put(row, right, None, "banner_rest" if banner else found.style)
        if found.look and found.unit is not None:
            sheet.put(row, col + self.unit_at, found.unit, "unit_cell")
        found.beside(self, row)
        if found.why:
            sheet.put(row, col + found.why_at, found.why, found.why_look)
        name = found.key if found.name is None or self.with_names else found.name
        if name:
            sheet.book.define(name, sheet.ref(row, start))
        if self.with_names:
            sheet.put(row, col + found.why_at + 1, name, "code")
