"""A page of single lines, declared once: a class whose attributes are its lines, from the top down.

    class Pile(Page):
        start = given("Hay feeding begins on", "date", date("...", "..."), style="input_date", name="winter_start")

        section_totals = heading("From the first day to grass")

        @line("Days of hay feeding", "days", style="number0", name="winter_days")
        def days(self) -> Content:
            return f"={self.turnout}-{self.start}"

    pile = Pile(sheet, winter).place()

`self.days` is the reference of the line's value; `pile.days` from another sheet is the same cell with the sheet's
name.  A line that has several values side by side says so by its function: it returns a tuple, and `self.short`
is then read by `self.each(Pile.short)`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, overload

from hayfuncs.workbook.model import Content, Input, Sheet, a1

TOP = 4  # the first row under the head of a sheet
Placed = TypeVar("Placed", bound="Page")


class Line:
    """One line: label, value or values, unit, a word beside it."""

    key = ""

    def __init__(
        self,
        label: str,
        unit: str,
        style: str,
        make: Callable[[Any], Content | tuple[Content, ...]],
        *,
        asking: Callable[[str], Input] | None = None,
        name: str = "",
        why: str = "",
        after: int = 0,
        height: float = 0,
        column: int = 0,
        look: str = "label",
        units: int = 2,
    ) -> None:
        self.label, self.unit, self.style, self.make, self.asking = label, unit, style, make, asking
        self.name, self.why, self.after, self.height = name, why, after, height
        self.column, self.look, self.units = column, look, units

    def __set_name__(self, owner: type, name: str) -> None:
        self.key = name

    @overload
    def __get__(self, page: None, owner: type) -> Line: ...
    @overload
    def __get__(self, page: Page, owner: type) -> str: ...
    def __get__(self, page: Page | None, owner: type) -> Line | str:
        return self if page is None else page.ref(self)


def line(label: str, unit: str = "", *, style: str = "number1", **more: Any) -> Callable[[Callable[[Any], Any]], Line]:
    """A computed line; the function below it says what it holds (a tuple: side by side)."""
    return lambda make: Line(label, unit, style, make, **more)


def worked(label: str, unit: str, make: Callable[[Any], Any], *, style: str = "number1", **more: Any) -> Line:
    """The same in one line."""
    return Line(label, unit, style, make, **more)


def given(
    label: str,
    unit: str,
    asking: Callable[[str], Input],
    of: Callable[[Any], Content],
    *,
    style: str = "input",
    **more: Any,
) -> Line:
    """A line that is typed; `of` says from the page what stands in it first."""
    return Line(label, unit, style, of, asking=asking, **more)


def heading(text: str, *, after: int = 0) -> Line:
    """The head of a part of the page; `after` blank rows stand above it."""
    return Line(text, "", "", lambda page: None, look="section", after=after)


def sentence(make: Callable[[Any], Content], *, style: str = "text", **more: Any) -> Line:
    """A line of words across the page."""
    return Line("", "", style, make, look="", **more)


class Page:
    """The lines of a class placed on a sheet."""

    top = TOP

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.lines = [x for kind in reversed(type(self).__mro__) for x in vars(kind).values() if isinstance(x, Line)]
        self.home = True  # references are to the page's own sheet
        self.at: dict[str, int] = {}
        row: dict[int, int] = {}
        for found in self.lines:
            row[found.column] = row.get(found.column, self.top) + found.after
            self.at[found.key] = row[found.column]
            row[found.column] += 1

    def ref(self, found: Line, place: int = 0) -> str:
        """The value of a line (of several, the one at a place): `$B$14`, from elsewhere with the sheet's name."""
        row, col = self.at[found.key], found.column + (1 if found.look else 0) + place
        return a1(row, col, "rc") if self.home else self.sheet.ref(row, col)

    def each(self, found: Line, count: int = 2) -> tuple[str, ...]:
        """The values of a line side by side."""
        return tuple(self.ref(found, i) for i in range(count))

    def place(self: Placed) -> Placed:
        """Write every line; from then on references carry the sheet's name."""
        sheet = self.sheet
        for found in self.lines:
            row, col = self.at[found.key], found.column
            if found.label:
                sheet.put(row, col, found.label, found.look)
            if found.height:
                sheet.heights[row] = found.height
            if found.look == "section":
                continue
            value = found.make(self)
            start = col + (1 if found.look else 0)
            if found.asking is not None:
                assert not isinstance(value, tuple)
                sheet.entry(row, start, value, found.asking(f"{sheet.name}/{found.key}"), found.style, found.unit)
            else:
                for i, content in enumerate(value if isinstance(value, tuple) else (value,)):
                    sheet.put(row, start + i, content, found.style, unit=found.unit)
            if found.look and found.unit:
                sheet.put(row, col + found.units, found.unit, "unit_cell")
            if found.why:
                sheet.put(row, col + found.units + 1, found.why, "small")
            if found.name:
                sheet.book.define(found.name, sheet.ref(row, start))
        self.home = False
        return self
