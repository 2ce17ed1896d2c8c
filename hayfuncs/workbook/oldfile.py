"""Read the inputs of a workbook of ours: found by its Input list, wherever hands have moved them.

Typed rows under a table, inserted rows and columns, and sheets with a new name are followed by
the words that head a column or stand left of a value.  Nothing is computed here.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hayfuncs.contract.files import UserError
from hayfuncs.importers.sheet import MAX_UNPACKED
from hayfuncs.spreadsheet.a1 import BadAddress, a1, area
from hayfuncs.spreadsheet.tokens import Malformed, reference
from hayfuncs.workbook.model import Content
from hayfuncs.workbook.sheets.inputlist import ANY_ROW, HEADS, TITLE
from hayfuncs.workbook.signposts import on_tab

MADE = re.compile(r"hayfuncs (\S+), (\w+) edition")
MOST_ROWS, MOST_COLUMNS = 50_000, 400  # a sheet of ours is smaller by far
# inputs that stood elsewhere in an older version
MOVED = {f"Ration/{key}": f"What to feed/{key}" for key in ("lot", "group", "feed")} | {
    "How sure/confidence_pct": "Assumptions/confidence_pct"
}
SPELLED = ("fibre", "fiber")  # in keys and choices of an older version, and today
TYPED_LATER = ("Lots", "Herd")  # tables with free rows, any of which may be cleared
Place = tuple[int, int]


@dataclass(frozen=True)
class Held:
    """One value as the old workbook holds it.  `why` says why it cannot be read, `note` what was done to it."""

    value: Content
    sheet: str
    cell: str
    why: str = ""
    note: str = ""


@dataclass
class Old:
    """Everything typed into a workbook, by key."""

    path: Path
    version: str
    edition: str
    values: dict[str, Held] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)  # table -> its rows
    known: set[str] = field(default_factory=set)  # keys, of a table's columns too, that its version had
    lost: list[tuple[str, Held]] = field(default_factory=list)  # cells that belong to no row
    free: dict[str, int] = field(default_factory=dict)  # table -> rows that are left free in it

    def get(self, key: str) -> Content:
        held = self.values.get(key)
        return None if held is None or held.why else held.value


@dataclass
class Page:
    """The cells of one sheet: what is typed or stored in each, and the formulas behind."""

    name: str
    values: dict[Place, Any]
    formulas: dict[Place, str]

    def typed(self, at: Place) -> bool:
        return at not in self.formulas and self.values.get(at) not in (None, "")

    def find(self, words: str, at: Place | None) -> Place | None:
        """Where the words stand now: where they stood, or else the nearest place that has them."""
        if at is not None and self.values.get(at) == words:
            return at
        found = [place for place, value in self.values.items() if value == words]
        if at is None:
            return found[0] if len(found) == 1 else None
        return min(found, key=lambda p: abs(p[0] - at[0]) + abs(p[1] - at[1]), default=None)


def read_old(path: Path) -> Old:
    """Every input of a workbook made by hayfuncs; one UserError in a sentence for any other file."""
    return _Reader(path).read()


class _Reader:
    def __init__(self, path: Path) -> None:
        self.path = path
        self.pages = _pages(path)
        self.old = Old(path, "", "")

    def read(self) -> Old:
        titled = (p for p in self.pages.values() if any(v == TITLE and col == 0 for (_, col), v in p.values.items()))
        listing = next(titled, None)
        top = None if listing is None else _head_row(listing)
        if listing is None or top is None:
            raise UserError(
                f"{self.path.name} has no sheet that lists its inputs; give a workbook that hayfuncs made and that still has "
                f"its list of inputs: {on_tab('Input list')}"
            )
        for value in listing.values.values():
            if isinstance(value, str) and (match := MADE.fullmatch(value)):
                self.old.version, self.old.edition = match.groups()
        lines = [line for line in _lines(listing, top) if _area(line["Cells"])]
        for line in lines:
            line["Key"] = line["Key"].replace(*SPELLED)
        self.old.known = {line["Key"] for line in lines}
        self.names = self._renamed(lines)
        tables: dict[str, list[dict[str, str]]] = {}
        for line in lines:
            if f"/{ANY_ROW}/" in line["Key"]:
                tables.setdefault(line["Key"].split(f"/{ANY_ROW}/")[0], []).append(line)
            else:
                self._single(line)
        self.at_row: dict[str, dict[int, int]] = {}  # sheet -> row (from 0) -> row of its table (from 1)
        for table, columns in tables.items():
            self._table(table, columns)
        for stood, stands in MOVED.items():
            if stood in self.old.values:
                self.old.values[stands] = self.old.values.pop(stood)
                self.old.known = self.old.known - {stood} | {stands}
        return self.old

    def _renamed(self, lines: list[dict[str, str]]) -> dict[str, Page | None]:
        """Each sheet named in the list; one that is not there is looked for by its headings."""
        listed = {line["Sheet"] for line in lines}
        free = [page for name, page in self.pages.items() if name not in listed]
        found: dict[str, Page | None] = {}
        for name in listed:
            page = self.pages.get(name)
            if page is None:
                words = {line["Heading"] for line in lines if line["Sheet"] == name and line["Heading"]}
                fits = [(len(words & {v for v in p.values.values() if isinstance(v, str)}), p) for p in free]
                best = max(fits, key=lambda pair: pair[0], default=(0, None))
                page = best[1] if best[0] * 2 > len(words) else None
            found[name] = page
        return found

    def _where(self, line: dict[str, str]) -> tuple[Page, Place, int] | str:
        """The page, the first cell and the number of rows, or why they are not to be found."""
        page = self.names[line["Sheet"]]
        if page is None:
            return f"the sheet {line['Sheet']} is not in the file"
        listed = _area(line["Cells"])
        assert listed
        row, col, last_row, _ = listed
        rows = last_row - row + 1
        if line["Heading"]:
            stood = _area(line["Heading at"])
            stands = page.find(line["Heading"], stood and stood[:2])
            if stands is None or stood is None:
                return f'its heading "{line["Heading"]}" is not on the sheet'
            row, col = row + stands[0] - stood[0], col + stands[1] - stood[1]
        return page, (row, col), rows

    def _single(self, line: dict[str, str]) -> None:
        where = self._where(line)
        if isinstance(where, str):
            self.old.values[line["Key"]] = Held(None, line["Sheet"], line["Cells"], why=where)
        else:
            self.old.values[line["Key"]] = held(where[0], where[1])

    def _table(self, table: str, lines: list[dict[str, str]]) -> None:
        """All rows down to the last that is used: the listed ones, and those typed right under them."""
        columns: list[tuple[str, Page, int]] = []
        first, last = None, -1
        for line in lines:
            where = self._where(line)
            if isinstance(where, str):
                self.old.lost.append((line["Key"], Held(None, line["Sheet"], line["Cells"], why=where)))
                continue
            page, (row, col), rows = where
            columns.append((line["Key"].split(f"/{ANY_ROW}/")[1], page, col))
            if first is None:
                first, last = row, row + rows - 1
        if first is None:
            return
        page, lead = columns[0][1], columns[0][2]
        below = [col for _, _, col in columns[1:]]
        while page.typed((last + 1, lead)) and any(page.typed((last + 1, col)) for col in below):
            last += 1
        numbers = self._numbers(page, first, last, lead)
        if table in TYPED_LATER:
            numbers = self._without_cleared(page, numbers, [col for _, _, col in columns])
            self.old.free[table] = last - first + 1 - len(numbers)
        for row in range(first, last + 1):
            for name, _, col in columns:
                one = held(page, (row, col))
                if row in numbers:
                    self.old.values[f"{table}/{numbers[row]}/{name}"] = one
                elif isinstance(one.value, (int, float, dt.date)):
                    why = "the row it belongs to is not there" if _owner(page, row) else "its row has no name"
                    self.old.lost.append(
                        (f"{table}/{row - first + 1}/{name}", Held(one.value, one.sheet, one.cell, why=why))
                    )
        self.old.rows[table] = max(numbers.values(), default=0)
        if not any(_owner(page, row) for row in range(first, last + 1)):
            for name in {page.name, lines[0]["Sheet"]}:
                self.at_row.setdefault(name, {}).update(numbers)

    @staticmethod
    def _without_cleared(page: Page, numbers: dict[int, int], cols: list[int]) -> dict[int, int]:
        """A row in which nothing is typed any more is no row: those below it move up."""
        kept = [row for row in sorted(numbers) if any(page.typed((row, col)) for col in cols)]
        return {row: number for number, row in enumerate(kept, 1)}

    def _numbers(self, page: Page, first: int, last: int, lead: int) -> dict[int, int]:
        """Which row of the table each row of the sheet is: by its owner's row, or counted to the last named one."""
        owners = {row: owner for row in range(first, last + 1) if (owner := _owner(page, row))}
        if owners:
            found = {row: self.at_row.get(sheet, {}).get(at) for row, (sheet, at) in owners.items()}
            return {row: number for row, number in found.items() if number is not None}
        used = [row for row in range(first, last + 1) if page.values.get((row, lead)) is not None]
        return {row: row - first + 1 for row in range(first, max(used, default=first - 1) + 1)}


def _owner(page: Page, row: int) -> tuple[str, int] | None:
    """The sheet and row that the first cell of a row repeats, as `=Lots!$A8` does, or `=$A8` on a tab that both share."""
    formula = page.formulas.get((row, 0), "")
    try:
        owner = reference(formula.removeprefix("=").removesuffix('&""'))
    except Malformed:
        return ("", -1) if "#REF!" in formula else None
    return (owner.sheet or page.name, owner.row) if owner.single else None


def held(page: Page, at: Place) -> Held:
    cell = a1(*at)
    formula = page.formulas.get(at)
    value = page.values.get(at)
    if isinstance(value, dt.datetime):
        value = value.date()
    if formula is None:
        return Held(SPELLED[1] if value == SPELLED[0] else value, page.name, cell)
    if value is None or (isinstance(value, str) and value.startswith("#")):
        return Held(None, page.name, cell, why=f"it is a formula, {formula}, without a value")
    return Held(value, page.name, cell, note=f"the formula {formula} became its value")


def _head_row(page: Page) -> int | None:
    rows = (row for (row, col), value in page.values.items() if col == 0 and value == HEADS[0])
    return next((r for r in rows if all(page.values.get((r, c)) == head for c, head in enumerate(HEADS[:5]))), None)


def _lines(page: Page, top: int) -> Iterator[dict[str, str]]:
    filled = sorted({row for row, col in page.values if row > top and col == 0})
    for before, row in zip([filled[0] - 1, *filled] if filled else [], filled, strict=False):
        if row - before > 2:
            return  # two blank rows end the list; a single one is a line that someone emptied
        line = {head: str(page.values.get((row, col)) or "") for col, head in enumerate(HEADS)}
        yield line


def _area(cells: str) -> tuple[int, int, int, int] | None:
    """First row, first column, last row, last column; None for a text that is no address."""
    try:
        return area(cells)
    except BadAddress:
        return None


def _pages(path: Path) -> dict[str, Page]:
    """All sheets; formulas are kept as text, and their stored values are read in a second pass."""
    import openpyxl

    try:
        data = path.read_bytes()
        if not data.startswith(b"PK"):
            raise UserError(
                f"{path} is no .xlsx workbook, whatever its name says: it does not begin as one; give an .xlsx file that hayfuncs made"
            )
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(item.file_size for item in archive.infolist()) > MAX_UNPACKED:
                raise UserError(
                    f"{path.name} unpacks to more than {MAX_UNPACKED // 1_000_000} MB; it is no workbook of ours"
                )
        pages: dict[str, Page] = {}
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # openpyxl warns of styles and charts it leaves out; only values matter here
            for stored in (False, True):
                book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=stored)
                for sheet in book.worksheets:
                    page = pages.setdefault(sheet.title, Page(sheet.title, {}, {}))
                    sheet.reset_dimensions()
                    _fill(page, sheet, stored)
                book.close()
        return pages
    except (UserError, OSError):
        raise
    except Exception:  # a damaged archive can fail anywhere inside the reader
        raise UserError(
            f"{path.name} cannot be read as a workbook: it is cut short or damaged; give an .xlsx file that hayfuncs made"
        ) from None


def _fill(page: Page, sheet: Any, stored: bool) -> None:
    from openpyxl.cell.read_only import EMPTY_CELL

    for row in sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS):
        for cell in row:
            if cell is EMPTY_CELL:
                continue  # not in the file
            at = (cell.row - 1, cell.column - 1)
            if stored:
                if at in page.formulas and cell.value is not None:
                    page.values[at] = cell.value
                continue
            if cell.data_type == "f":
                page.formulas[at] = str(cell.value)
            elif cell.value is not None:
                page.values[at] = cell.value
