"""Where the parts of a workbook stand in its file: a test names `Hazards` and `B7`, whatever tab that is on.

Read from the file's own list of contents, with openpyxl; a workbook without one has each part on a sheet of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils import get_column_letter

from hayfuncs.hosts import engine

TITLE, FIRST = "Where every part stands", 7
CELL = re.compile(r"(\$?[A-Z]{1,3}\$?)([0-9]+)")


@dataclass(frozen=True)
class Part:
    """The tab of a part and how many rows lower it stands there; its last row, from 1."""

    tab: str
    down: int
    last: int


def parts(book: Any) -> dict[str, Part]:
    """The parts of a workbook opened with openpyxl."""
    found = {sheet.title: Part(sheet.title, 0, sheet.max_row) for sheet in book.worksheets}
    for sheet in book.worksheets:
        column = [row[0] for row in sheet.iter_rows(max_col=1, values_only=True)]
        if TITLE not in column:
            continue
        row = column.index(TITLE) + FIRST + 1
        while name := sheet.cell(row, 1).value:
            tab, first, last = (sheet.cell(row, col).value for col in (2, 3, 4))
            found[name] = Part(tab, first - 1, last)
            row += 1
    return found


def shifted(address: str, down: int) -> str:
    """`B7:C9` so many rows lower."""
    return CELL.sub(lambda m: f"{m.group(1)}{int(m.group(2)) + down}", address)


def quoted(tab: str) -> str:
    return f"'{tab}'" if " " in tab else tab


class Where:
    """Addresses of a file: `at("Hazards!B7")` is `'What could hurt'!B68`."""

    def __init__(self, path: Any) -> None:
        self.parts = parts(path if hasattr(path, "worksheets") else openpyxl.load_workbook(path))

    def at(self, address: str) -> str:
        name, _, cell = address.rpartition("!")
        part = self.parts[name.strip("'")]
        return f"{quoted(part.tab)}!{shifted(cell, part.down)}"

    def row(self, name: str, row: int) -> int:
        """A row of a part, from 1, as the file counts it."""
        return row + self.parts[name].down


class View:
    """One part of an openpyxl workbook, its cells by the part's own rows."""

    def __init__(self, sheet: Any, part: Part) -> None:
        self.sheet, self.part = sheet, part

    def __getitem__(self, key: Any) -> Any:
        down, last = self.part.down, self.part.last
        if isinstance(key, int):
            return self.sheet[key + down]
        if str(key).isalpha():
            return tuple(self.sheet[f"{key}{row}"] for row in range(down + 1, last + 1))
        return self.sheet[shifted(str(key), down)]

    def __getattr__(self, name: str) -> Any:
        return getattr(self.sheet, name)

    @property
    def title(self) -> str:
        return str(self.sheet.title)

    @title.setter
    def title(self, name: str) -> None:
        self.sheet.title = name

    def __setitem__(self, key: str, value: Any) -> None:
        self.sheet[shifted(key, self.part.down)] = value

    def cell(self, row: int, column: int, value: Any = None) -> Any:
        found = self.sheet.cell(row + self.part.down, column)
        if value is not None:
            found.value = value
        return found

    def insert_rows(self, row: int, count: int = 1) -> None:
        self.sheet.insert_rows(row + self.part.down, count)

    def delete_rows(self, row: int, count: int = 1) -> None:
        self.sheet.delete_rows(row + self.part.down, count)

    def insert_cols(self, *args: int) -> None:
        self.sheet.insert_cols(*args)

    @property
    def max_row(self) -> int:
        return self.part.last - self.part.down

    @property
    def max_column(self) -> int:
        return int(self.sheet.max_column)

    def iter_rows(self, min_row: int = 1, max_row: int | None = None, **more: Any) -> Iterator[Any]:
        down = self.part.down
        return self.sheet.iter_rows(min_row=min_row + down, max_row=(max_row or self.max_row) + down, **more)


class Parts:
    """An openpyxl workbook by its parts: `Parts(path)["Hazards"]["B7"]`."""

    def __init__(self, path: Any, **more: Any) -> None:
        self.book = openpyxl.load_workbook(path, **more)
        self.where = Where(self.book)

    def __getitem__(self, name: str) -> View:
        part = self.where.parts[name]
        return View(self.book[part.tab], part)

    def __contains__(self, name: str) -> bool:
        return name in self.where.parts

    def __getattr__(self, name: str) -> Any:
        return getattr(self.book, name)

    def every(self) -> Iterator[View]:
        """The parts that the list of contents names."""
        names = [name for name, part in self.where.parts.items() if part.last]
        listed = {part.tab for name, part in self.where.parts.items() if name != part.tab}
        yield from (self[name] for name in names if name not in listed)

    def save(self, path: str | Path) -> None:
        self.book.save(path)


class Running:
    """The embedded engine with a built workbook in it, asked by the model's sheets; rows and columns from 1."""

    def __init__(self, book: Any, running: Any) -> None:
        self.book, self.running = book, running

    def __getattr__(self, name: str) -> Any:
        return getattr(self.running, name)

    def __getstate__(self) -> Any:
        raise TypeError("an engine is not kept")

    def _at(self, sheet: str, row: int, col: int) -> tuple[str, int, int]:
        tab, row, col = self.book.at(sheet, row - 1, col - 1)
        return tab, row + 1, col + 1

    def get_value(self, sheet: str, row: int, col: int) -> Any:
        return self.running.get_value(*self._at(sheet, row, col))

    def set_value(self, sheet: str, row: int, col: int, value: Any) -> None:
        self.running.set_value(*self._at(sheet, row, col), value)

    def set_formula(self, sheet: str, row: int, col: int, formula: str) -> None:
        self.running.set_formula(*self._at(sheet, row, col), formula)

    def get_formula(self, sheet: str, row: int, col: int) -> Any:
        return self.running.get_formula(*self._at(sheet, row, col))

    def values(self, sheet: str, rows: int, cols: int) -> list[list[Any]]:
        """A block of a sheet from its first cell."""
        tab, down, _ = self.book.at(sheet, 0, 0)
        return engine.values(self.running, tab, rows, cols, down + 1)


def column_letter(col: int) -> str:
    return str(get_column_letter(col))
