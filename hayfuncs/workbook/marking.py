"""The marks of a workbook's formulas, written beside the list of its parts (`spreadsheet/marks.py` says what a mark is)."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from hayfuncs.spreadsheet import marks
from hayfuncs.spreadsheet.engine_values import DAY_ZERO
from hayfuncs.spreadsheet.tokens import pattern
from hayfuncs.workbook.model import Book, Sheet, is_formula
from hayfuncs.workbook.stack import SOLVED
from hayfuncs.workbook.tabs import bottom

MARKS = "marks"  # the style of a cell that holds them
LONGEST = 32_000  # characters of a cell; a part with more than that goes without marks


def put(book: Book, file: Book, spelling: str, definitions: dict[str, str]) -> None:
    """Into the list of parts, of the model and of the file: each part's marks, and those of the functions' definitions."""
    if "Contents" not in book.places:
        return
    made = {name: text for name, text in _by_part(book, file, spelling) if len(text) <= LONGEST}
    named = " ".join(f"{name}={marks.mark(marks.spelled(text, '', 0, 0))}" for name, text in definitions.items())
    sheet, down = book.by_name("Contents"), book.places["Contents"].down
    tab = file.by_name(book.places["Contents"].tab)
    for (row, col), cell in sheet.cells.items():
        if cell.style == MARKS:
            name = str(sheet.cells[row, 0].content)
            text = " ".join(filter(None, (made.get(name, ""), named if name == sheet.name else "")))
            cell.content = tab.cells[row + down, col].content = text


def _by_part(book: Book, file: Book, spelling: str) -> Iterator[tuple[str, str]]:
    known: dict[tuple[str, str], str] = {}
    marked: dict[tuple[str, int], list[tuple[int, str]]] = {}  # of each row of each tab
    for tab in file.sheets:
        for (row, col), cell in tab.cells.items():  # the head of a tab of one part is a part of it
            if not is_formula(cell):
                continue
            text = str(cell.content.formula(spelling)).removeprefix("=")  # type: ignore[union-attr]  # a formula or a call
            key = tab.name, pattern(text, row, col)
            if key not in known:
                known[key] = marks.mark(marks.spelled(text, tab.name, row, col))
            marked.setdefault((tab.name, row), []).append((col, known[key]))
    for part in book.sheets:
        place = book.places[part.name]
        rows = range(bottom(part) + 1)
        found = [(row, col, mark) for row in rows for col, mark in marked.get((place.tab, row + place.down), ())]
        yield part.name, " ".join(filter(None, (marks.written(marks.runs(found)), _solved(part))))


def _solved(part: Sheet) -> str:
    """Of answers that no cell can work out: a mark of each row and each column of them."""
    if part.role != SOLVED:
        return ""
    fixed = {
        at: number
        for at, cell in part.cells.items()
        if cell.entry is None and not is_formula(cell) and (number := _number(cell.content)) is not None
    }
    return " ".join(f"#{line}:{text}" for line, text in marks.lines(fixed).items())


def _number(content: object) -> float | None:
    """A number as the file stores it; None for words."""
    if isinstance(content, datetime.date):
        return float((content - DAY_ZERO).days)
    return None if isinstance(content, bool) or not isinstance(content, (int, float)) else float(content)
