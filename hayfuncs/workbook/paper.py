"""How a sheet stands on paper: one page wide where that stays readable, else as few pages as do.

A sheet that is shrunk to one page however wide it is ends in print that nobody can read.  So the
scale never goes below `LEAST`; a wider sheet is cut between columns, and its first column and its
heading rows come again on every page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hayfuncs.workbook.book import Sheet

SMALLEST_PRINT = 7.5  # points, as printed
SMALLEST_FONT = 11  # points, of the styles
LEAST = 69  # percent: 11 points print as 7.6
SHORT_SIDE, LONG_SIDE = 8.5, 11.0  # inches, US letter
SIDE = 0.4  # inches, the margin at the left and at the right
DOTS = 96  # pixels in an inch
SLACK = 0.97  # printers measure columns a little differently


@dataclass(frozen=True)
class Paper:
    """The scale in percent (None: one page wide, whatever scale that takes) and the cuts between columns."""

    scale: int | None
    cuts: tuple[int, ...] = ()  # the first column of each further page


def last_column(sheet: Sheet) -> int:
    last = sheet.last_col if sheet.printed_cols is None else sheet.printed_cols - 1
    return max(last, max((sheet.picture_right(p) for p in sheet.pictures), default=1))


def last_row(sheet: Sheet) -> int:
    """The last row that is printed: of the cells, or that a picture covers."""
    if sheet.printed_rows is not None:
        return sheet.printed_rows - 1
    return max(sheet.last_row, max((p.row + p.height // 20 + 1 for p in sheet.pictures), default=0))


def paper(sheet: Sheet) -> Paper:
    widths = [sheet.pixels(col) for col in range(last_column(sheet) + 1)]
    page = ((SHORT_SIDE if sheet.portrait else LONG_SIDE) - 2 * SIDE) * DOTS
    if 100 * page / sum(widths) >= LEAST:
        return Paper(min(100, int(100 * page * SLACK / sum(widths))) if sheet.page_breaks else None)
    page *= SLACK
    whole = [(p.col, sheet.picture_right(p)) for p in sheet.pictures]
    low, high = max(widths), int(page / LEAST * 100)
    fewest = len(_cut(widths, high, whole))
    while low < high:  # the narrowest pages of this number print largest
        middle = (low + high) // 2
        cuts = _cut(widths, middle, whole)
        if len(cuts) <= fewest and _widest(widths, cuts) <= middle:
            high = middle
        else:
            low = middle + 1
    cuts = _cut(widths, high, whole)
    return Paper(max(LEAST, min(100, int(100 * page / _widest(widths, cuts)))), cuts)


def _widest(widths: Sequence[int], cuts: Sequence[int]) -> int:
    ends = zip((0, *cuts), (*cuts, len(widths)), strict=True)
    return max(sum(widths[a:b]) + (widths[0] if a else 0) for a, b in ends)


def _cut(widths: Sequence[int], room: float, whole: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    """Columns at which a new page starts, its first column standing again at the left; no picture is cut."""
    cuts: list[int] = []
    used = 0
    for col, width in enumerate(widths):
        if used and used + width > room:
            at = col
            while inside := [first for first, last in whole if first < at <= last]:
                at = min(inside)
            if at > (cuts[-1] if cuts else 0):
                cuts.append(at)
                used = widths[0] + sum(widths[at:col])
        used += width
    return tuple(cuts)
