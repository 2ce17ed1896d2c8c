"""A line of a page with two values side by side, and the heads above such lines.

    need, need_cp = pair("Cow needs", "lb/day", "={herd_tdn}", "={herd_cp}", "number2")

Either value has a name of its own: `{need}` is the left one, `{need_cp}` the right one.
"""

from __future__ import annotations

from typing import overload

from hayfuncs.workbook.keyed import Made, Making
from hayfuncs.workbook.model import a1
from hayfuncs.workbook.page import Line, Page

UNIT_AT = 3  # columns from label to unit


class Heads(Line):
    """Headings over lines of two values."""

    def __init__(self, *texts: str) -> None:
        super().__init__("", "", "", "", look="section", left=0)
        self.heads = texts

    def beside(self, page: Page, row: int) -> None:
        page.sheet.heads(row, 0, list(self.heads))


def cell(line: Line, page: Page, right: int) -> str:
    """Without dollar signs on its own sheet: the two columns of such lines are the same formula, copied to the right."""
    row, col = page.at[line.key], page.column + right
    return a1(row, col, "") if page.home else page.sheet.ref(row, col)


class Left(Line):
    """The line, and the first of its values."""

    def __init__(self, label: str | Made, unit: str, left: Making | Made, right: Making | Made, style: str) -> None:
        super().__init__(label, None, left, style)
        self.right = right if isinstance(right, Made) else Made(right)
        self.both_unit = unit

    @overload
    def __get__(self, page: None, owner: type) -> Line: ...
    @overload
    def __get__(self, page: Page, owner: type) -> str: ...
    def __get__(self, page: Page | None, owner: type) -> Line | str:
        return self if page is None else cell(self, page, 1)

    def beside(self, page: Page, row: int) -> None:
        page.sheet.put(row, page.column + 2, self.right(page), self.style)
        page.sheet.put(row, page.column + UNIT_AT, self.both_unit, "unit_cell")


class Right:
    """The second value of a line."""

    def __init__(self, left: Left) -> None:
        self.left = left

    @overload
    def __get__(self, page: None, owner: type) -> Right: ...
    @overload
    def __get__(self, page: Page, owner: type) -> str: ...
    def __get__(self, page: Page | None, owner: type) -> Right | str:
        return self if page is None else cell(self.left, page, 2)


def pair(
    label: str | Made, unit: str, left: Making | Made, right: Making | Made, style: str
) -> tuple[Left, Right]:  # fmt: skip
    line = Left(label, unit, left, right, style)
    return line, Right(line)
