"""How a sheet stands on paper: one page wide where that stays readable, else as few pages as do.

A sheet that is shrunk to one page however wide it is ends in print that nobody can read.  So the
scale never goes below `LEAST`; a wider sheet is cut between columns, and its first column and its
heading rows come again on every page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap

from hayfuncs.workbook.fit import USUAL_HEIGHT
from hayfuncs.workbook.model import Sheet

SMALLEST_PRINT = 7.5  # points, as printed
SMALLEST_FONT = 11  # points, of the styles
LEAST = 69  # percent: 11 points print as 7.6
SHORT_SIDE, LONG_SIDE = 8.5, 11.0  # inches, US letter
SIDE = 0.4  # inches, the margin at the left and at the right
DOTS = 96  # pixels in an inch
TOP, BOTTOM = 0.7, 0.7  # inches
TOP_WITH_HEAD = 1.0  # inches, where title and sentence stand above the page
HEAD_ROWS = 2  # title and sentence
HEAD_LINE, LONGEST_HEAD = 140, 255  # characters of a line, and of all that a page's head may hold
POINTS = 72  # in an inch
SHORT = 0.4  # of a page: a section of less stays on one page
WITH_HEADING = 6  # rows that stay with the heading of a longer section
SLACK = 0.97  # printers measure columns a little differently


@dataclass(frozen=True)
class Paper:
    """The scale in percent (None: one page wide, whatever scale that takes) and the cuts between columns."""

    scale: int | None
    cuts: tuple[int, ...] = ()  # the first column of each further page


def last_column(sheet: Sheet) -> int:
    last = sheet.last_col if sheet.printed_cols is None else sheet.printed_cols - 1
    shown = [p for p in sheet.pictures if sheet.printed_rows is None or p.row < sheet.printed_rows]
    last = max(last, max((sheet.picture_right(p) for p in shown), default=1))
    if sheet.one_wide:  # what does not fit the page stays on the screen
        while (
            last > max(1, sheet.needed_cols - 1)
            and sum(map(sheet.pixels, range(last + 1))) > _page(sheet) * SLACK / LEAST * 100
        ):
            last -= 1
    return last


def last_row(sheet: Sheet) -> int:
    """The last row that is printed: of the cells, or that a picture covers."""
    if sheet.printed_rows is not None:
        return sheet.printed_rows - 1
    return max(sheet.last_row, max((p.row + p.height // 20 + 1 for p in sheet.pictures), default=0))


def paper(sheet: Sheet, breaks: bool) -> Paper:
    """How a sheet is printed; where rows have page breaks the scale is given, since breaks count only then."""
    widths = [sheet.pixels(col) for col in range(last_column(sheet) + 1)]
    page = _page(sheet)
    if 100 * page / sum(widths) >= LEAST:
        return Paper(max(LEAST, min(100, int(100 * page * SLACK / sum(widths)))) if breaks else None)
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


def _page(sheet: Sheet) -> float:
    """The width of a page between its margins, in pixels."""
    return ((SHORT_SIDE if sheet.portrait else LONG_SIDE) - 2 * SIDE) * DOTS


def breaks(sheet: Sheet, heights: Mapping[int, float], on_paper: Paper) -> list[int]:
    """The layout's page breaks, and one before each section or picture that would be cut by the foot of a page.

    A section that takes less than `SHORT` of a page stays whole; of a longer one the first rows
    stay with its heading.
    """
    given = {row for row in sheet.page_breaks if row != sheet.printed_from}
    sections = sorted({row for (row, _), cell in sheet.cells.items() if cell.style == "section"})
    side = LONG_SIDE if sheet.portrait else SHORT_SIDE
    room = (side - top_margin(on_paper) - BOTTOM) * POINTS * 100 / (on_paper.scale or 100) * SLACK
    again = sum(heights.get(row, USUAL_HEIGHT) for row in range(*_span(sheet.repeat_rows)))
    found: list[int] = []
    used = 0.0
    last = last_row(sheet)
    for row in range(first_row(on_paper, sheet), last + 1):
        tall = heights.get(row, USUAL_HEIGHT)
        if row in sections and used > again:
            end = next((s for s in sorted({*sections, *given}) if s > row), last + 1)
            block = [heights.get(r, USUAL_HEIGHT) for r in range(row, end)]
            need = sum(block) if sum(block) < SHORT * room else sum(block[:WITH_HEADING])
            if used + need > room:
                given.add(row)
        tops = [p.height * POINTS / DOTS for p in sheet.pictures if p.row == row]
        if tops and used > again and used + max(tops) > room:
            given.add(row)
        if row in given or used + tall > room:
            used = again
            if row in given:
                found.append(row)
        used += tall
    return found


def _span(rows: tuple[int, int] | None) -> tuple[int, int]:
    return (rows[0], rows[1] + 1) if rows else (0, 0)


def first_row(on_paper: Paper, sheet: Sheet) -> int:
    """Of a sheet that is cut, title and sentence stand in the pages' head: column A would cut them off."""
    if sheet.printed_from is not None:
        return sheet.printed_from
    return HEAD_ROWS if on_paper.cuts else 0


def top_margin(on_paper: Paper) -> float:
    return TOP_WITH_HEAD if on_paper.cuts else TOP


def page_head(sheet: Sheet) -> str:
    """Title and sentence for the head of every page."""
    title, sentence = (text.replace("&", "&&") for text in (sheet.title, sheet.sentence))
    head = f'&L&16&"Arial,Bold"{title}\n&10&"Arial,Regular"' + "\n".join(wrap(sentence, HEAD_LINE))
    return head if len(head) <= LONGEST_HEAD else f'&L&16&"Arial,Bold"{title}'


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
