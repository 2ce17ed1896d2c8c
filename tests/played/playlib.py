"""A workbook as a person has it open, in the real program, and the same file in Python to compare with."""

from __future__ import annotations

import datetime
import math
import random
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hosts.officelib import Office, column
from where import Running

from hayfuncs.hosts import engine
from hayfuncs.spreadsheet.engine_values import DAY_ZERO, plain_value
from hayfuncs.workbook.model import Book, Input, a1, is_formula, place_of
from hayfuncs.workbook.write import SPELLING

NEAR = 1e-9
Place = tuple[str, int, int]  # sheet, row and column from 0
Change = tuple[Place, Any]
Cells = dict[Place, Any]


def same(found: Any, wanted: Any) -> bool:
    """Numbers to one part in a thousand million, texts and errors to the letter; an empty cell reads as no text."""
    if isinstance(found, (int, float)) and isinstance(wanted, (int, float)):
        return math.isclose(found, wanted, rel_tol=NEAR, abs_tol=NEAR)
    return bool((found or "") == (wanted or "")) and isinstance(found or "", type(wanted or ""))


def differences(found: Cells, wanted: Cells) -> dict[str, tuple[Any, Any]]:
    """`Sheet!A1` -> (found, wanted) of each cell that differs."""
    return {
        f"{sheet}!{a1(row, col)}": (found.get((sheet, row, col)), value)
        for (sheet, row, col), value in wanted.items()
        if not same(found.get((sheet, row, col)), value)
    }


@dataclass
class Opened:
    """One document in the office."""

    office: Office
    book: Book
    path: Path
    key: str = field(init=False)

    def __post_init__(self) -> None:
        self.key = self.office.open(str(self.path))

    def type(self, place: Place, value: Any) -> None:
        sheet, row, col = self.book.at(*place)
        self.office.put_data(self.key, sheet, f"{column(col)}{row + 1}", [[value]])

    def every_cell(self) -> Cells:
        found: Cells = {}
        read: dict[str, Any] = {}  # by tab
        for sheet in self.book.sheets:
            tab, down, _ = self.book.at(sheet.name, 0, 0)
            if tab not in read:
                read[tab] = self.office.read(self.key, tab)
            rows = read[tab][down:]
            for row, col in sheet.cells:
                inside = row < len(rows) and col < len(rows[row])
                found[sheet.name, row, col] = rows[row][col] if inside else ""
        return found

    def calculated_whole(self) -> Cells:
        self.office.calculate(self.key)
        return self.every_cell()

    def close(self) -> None:
        self.office.close(self.key)


class InPython:
    """The same file in the embedded engine, which calls the Python functions."""

    def __init__(self, book: Book, path: Path) -> None:
        self.book = book
        self.running = Running(book, engine.load(path.read_bytes(), SPELLING[book.edition] or "HAY."))
        self.running.evaluate_all()

    def type(self, place: Place, value: Any) -> None:
        sheet, row, col = place
        self.running.set_value(sheet, row + 1, col + 1, value)
        self.running.evaluate_all()

    def words(self, ref: str) -> list[Any]:
        """What a range holds, blanks left out: the words of a pick list."""
        sheet, row, col, last_row, last_col = place_of(self.book.names.get(ref, ref))
        cells = [(r, c) for r in range(row, last_row + 1) for c in range(col, last_col + 1)]
        found = [plain_value(self.running.get_value(sheet, r + 1, c + 1)) for r, c in cells]
        return [value for value in found if value not in (None, "")]

    def formula_cells(self) -> Cells:
        found: Cells = {}
        for sheet in self.book.sheets:
            rows = self.running.values(sheet.name, sheet.last_row + 1, sheet.last_col + 1)
            for (row, col), cell in sheet.cells.items():
                if is_formula(cell):
                    found[sheet.name, row, col] = rows[row][col]
        return found


def entry_of(book: Book, place: Place) -> Input:
    entry = book.by_name(place[0]).cells[place[1:]].entry
    assert entry is not None
    return entry


def choosers(book: Book) -> list[Place]:
    """The named inputs that are picked from a list: lot, group, feed and how things are counted."""
    named = {place_of(ref)[:3] for ref in book.names.values()}
    inputs = [place for place in book.inputs.values() if place in named]
    return [place for place in inputs if entry_of(book, place).source or entry_of(book, place).words]


def another(rng: random.Random, running: InPython, place: Place) -> Any:
    """Another value that the input takes, or None where there is none."""
    entry, content = entry_of(running.book, place), running.book.by_name(place[0]).cells[place[1:]].content
    if entry.source or entry.words:
        listed = entry.words or running.words(entry.source)
        others = [word for word in listed if word != content]
        return rng.choice(others) if others else None
    if isinstance(content, datetime.date):
        return float((content - DAY_ZERO).days + rng.randint(1, 40))
    if isinstance(content, str):
        return f"{content} again"
    if not isinstance(content, (int, float)):
        return None
    if entry.kind == "whole":
        return float(content + 1 if entry.hi is None or content + 1 <= entry.hi else content - 1)
    moved = content * rng.uniform(0.8, 1.2) if content else rng.uniform(0.5, 2)
    lo, hi = entry.lo, entry.hi
    moved = max(moved, lo) if lo is not None and not entry.above else moved
    moved = min(moved, hi) if hi is not None else moved
    return float(moved) if moved != content else None


def some_inputs(rng: random.Random, running: InPython, count: int, left_out: list[Place]) -> list[Change]:
    """Changes of inputs taken at random, from every sheet alike."""
    by_sheet: dict[str, list[Place]] = {}
    for place in running.book.inputs.values():
        if place not in left_out:
            by_sheet.setdefault(place[0], []).append(place)
    changes: list[Change] = []
    while len(changes) < count and any(by_sheet.values()):
        sheet = rng.choice([name for name, places in by_sheet.items() if places])
        place = by_sheet[sheet].pop(rng.randrange(len(by_sheet[sheet])))
        value = another(rng, running, place)
        if value is not None:
            changes.append((place, value))
    return changes
