"""A user's file as a table: where its headings are, what they mean, and the rows under them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from pathlib import Path

from hayfuncs.contract.files import UserError
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.headings import Heading, basis_word, read_heading, unit_and_basis
from hayfuncs.importers.model import Column
from hayfuncs.importers.sheet import Cell, sheets_of
from hayfuncs.importers.text import MAX_COLUMNS, rows_of

MAX_BYTES = 50_000_000
HEADINGS_WITHIN = 40  # rows looked at for the headings; letterheads are shorter
KEY_MARK = "+"  # between the headings of a key made of several columns
COLUMNS_WITHIN = 3  # columns looked at for headings that stand down the page
OTHER_KINDS = (
    (b"%PDF", "a PDF"),
    (b"\xd0\xcf\x11\xe0", "an old .xls workbook"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"{\\rtf", "a word-processor file"),
)


@dataclass(frozen=True)
class Row:
    number: int  # as a spreadsheet shows it
    cells: tuple[Cell, ...]

    def cell(self, place: int) -> Cell:
        return self.cells[place] if place < len(self.cells) else ""


@dataclass(frozen=True)
class Table:
    path: Path
    how: str  # how the file was read, for the report
    heading_row: int
    headings: tuple[Heading, ...]
    rows: tuple[Row, ...]
    ends: bool = True  # the last line is complete
    percents: frozenset[int] = field(default=frozenset())  # columns that a workbook shows as percent
    turned: bool = False  # the samples stand side by side in the file

    @property
    def remark(self) -> str:
        """What a reader of row numbers must know."""
        return "its samples stand side by side: row 3 here is the file's column 3 (C)" if self.turned else ""

    def broken(self, row: Row) -> str:
        """What is wrong with the row as a row: cells past the headings, or a last line cut off."""
        if any(cell != "" for cell in row.cells[len(self.headings) :]):
            return (
                f"row {row.number} has more cells than there are headings; put a text with a comma in quotation marks"
            )
        if (
            not self.ends
            and row is self.rows[-1]
            and len(row.cells) < min((len(r.cells) for r in self.rows[:-1]), default=0)
        ):
            return f"row {row.number} stops in the middle: the file is cut off; export or copy it again"
        return ""


def read_bytes(path: Path) -> bytes:
    """The file, unless it is missing, a folder, empty or far too large."""
    if path.is_dir():
        raise UserError(f"{path} is a folder; give the name of a file")
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise UserError(
                f"{path.name} has {size / 1e6:,.0f} MB; at most {MAX_BYTES // 1_000_000} MB are read: split it"
            )
        data = path.read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name itself
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise UserError(f"{path} cannot be read: {why}") from None
    if not data:
        raise UserError(f"{path.name} is empty; export it again")
    for mark, kind in OTHER_KINDS:
        if data.startswith(mark):
            raise UserError(f"{path.name} is {kind}; export the table as .csv or .xlsx")
    return data


def parse_join(text: str) -> tuple[str, ...] | None:
    """The headings of `name=Field+Point`, whose cells together name the sample; None for any other option."""
    name, sign, rest = text.partition("=")
    parts = tuple(part.strip() for part in rest.split(KEY_MARK))
    return parts if sign and name.strip().casefold() == "name" and len(parts) > 1 and all(parts) else None


def joined(table: Table, joins: Sequence[tuple[str, ...]]) -> Table:
    """The table with a column more for each key that is made of several columns."""
    for parts in joins:
        by_text = {h.text.casefold(): place for place, h in enumerate(table.headings)}
        if not all(part.casefold() in by_text for part in parts):
            continue
        places = [by_text[part.casefold()] for part in parts]
        wide = len(table.headings)
        rows = []
        for row in table.rows:
            said = [row.cell(place) for place in places]
            key = " ".join(quoted(cell) if isinstance(cell, float) else str(cell) for cell in said if cell != "")
            padded = (*row.cells[:wide], *[""] * (wide - len(row.cells)))
            rows.append(Row(row.number, (*padded, key, *row.cells[wide:])))
        headings = (*table.headings, Heading(KEY_MARK.join(parts)))
        table = replace(table, headings=headings, rows=tuple(rows))
    return table


def load_table(path: Path, columns: tuple[Column, ...], extra: frozenset[str] = frozenset(), sheet: str = "") -> Table:
    """The table in a .csv (comma, semicolon, tab) or .xlsx file; `extra` are headings the user has named."""
    data = read_bytes(path)

    def knows(cell: object) -> bool:
        return (
            isinstance(cell, str)
            and 0 < len(cell) <= 200
            and (cell.strip().casefold() in extra or bool(read_heading(cell.strip(), columns).field))
        )

    if data.startswith(b"PK\x03\x04"):
        found = [
            (_found(grid, knows), f'sheet "{title}"', grid, True, percents)
            for title, grid, percents in sheets_of(data, path, sheet)
        ]
    elif sheet:
        raise UserError(f"{path.name} is a text file and has no sheets; leave out --sheet")
    else:
        rows, how, ends = rows_of(data, path, knows)
        grid = [list[Cell](row) for row in rows]
        found = [(_found(grid, knows), how, grid, ends, set[int]())]
    (score, at, turned), how, grid, ends, percents = max(
        found, key=lambda f: f[0][0], default=((0, 0, False), "", [], True, set())
    )
    if not score:
        raise UserError(_lost(path, columns))
    if turned:
        grid, percents = [list(line) for line in zip_longest(*grid, fillvalue="")], set()
    return _table(path, how, grid, at, columns, ends, frozenset(percents), turned)


def _found(grid: list[list[Cell]], knows: Callable[[object], bool]) -> tuple[int, int, bool]:
    """The line with the most known headings: how many, which line, and whether it is a column of the file."""
    down = [sum(knows(cell) for cell in row) for row in grid[:HEADINGS_WITHIN]]
    across = [sum(knows(row[j]) for row in grid[:MAX_COLUMNS] if j < len(row)) for j in range(COLUMNS_WITHIN)]
    if max(across) > max(down, default=0) + 2 and len(grid) <= MAX_COLUMNS:
        return max(across), across.index(max(across)), True
    return (max(down), down.index(max(down)), False) if down else (0, 0, False)


def _lost(path: Path, columns: tuple[Column, ...]) -> str:
    wanted = ", ".join(c.heading for c in columns if c.required)
    return (
        f"{path.name}: no row of known headings was found in its first {HEADINGS_WITHIN} rows; "
        f'needed are: {wanted} (one row a sample, any order); for a heading in other words say --column "Their heading=field"'
        if any(c.field == "dm_pct" for c in columns)
        else f"{path.name}: no row of known headings was found in its first {HEADINGS_WITHIN} rows; needed are: {wanted}, in any order"
    )


def _table(
    path: Path,
    how: str,
    grid: list[list[Cell]],
    at: int,
    columns: tuple[Column, ...],
    ends: bool,
    percents: frozenset[int],
    turned: bool,
) -> Table:
    texts = [cell if isinstance(cell, str) else quoted(cell) for cell in grid[at]]
    while texts and not texts[-1]:
        texts.pop()
    headings = [read_heading(text, columns) for text in texts]
    first = at + 1
    under = _units_row(grid[first] if first < len(grid) else [], len(texts))
    if under:
        first += 1
        headings = [
            Heading(h.text, h.field, h.form, h.unit or u, h.basis or (b if _takes(h, columns) else ""), h.doubt)
            for h, (u, b) in zip(headings, under, strict=True)
        ]
    rows = tuple(
        Row(number, tuple(cells))
        for number, cells in enumerate(grid[first:], start=first + 1)
        if any(cell != "" for cell in cells)
    )
    if turned:
        headings, rows = _two_bases(headings, rows, columns)
    return Table(path, how, at + 1, tuple(headings), rows, ends or turned, percents, turned)


def _two_bases(
    headings: list[Heading], rows: tuple[Row, ...], columns: tuple[Column, ...]
) -> tuple[list[Heading], tuple[Row, ...]]:
    """One sample side by side, as received and dry: the line with those words is the basis, the name stands once."""
    if not any(c.field == "basis" for c in columns):
        return headings, rows
    place = next((p for p, h in enumerate(headings) if h.field == "basis"), None)
    if place is None:
        every = [p for p, h in enumerate(headings) if not h.field and all(basis_word(str(r.cell(p))) for r in rows)]
        if not every or len(rows) < 2:
            return headings, rows
        place = every[0]
        headings[place] = Heading(headings[place].text, "basis")
    carried: list[Row] = []
    for row in rows:
        before = carried[-1] if carried else None
        cells = list(row.cells)
        if before is not None and basis_word(str(before.cell(place))) != basis_word(str(row.cell(place))):
            for p, heading in enumerate(headings):
                if heading.field and all(
                    c.kind not in ("number", "whole") for c in columns if c.field == heading.field
                ):
                    if p < len(cells) and cells[p] == "":
                        cells[p] = before.cell(p)  # as in cells that were merged
        carried.append(Row(row.number, tuple(cells)))
    return headings, tuple(carried)


def _takes(heading: Heading, columns: tuple[Column, ...]) -> bool:
    return not heading.field or any(c.on_basis for c in columns if c.field == heading.field)


def _units_row(cells: list[Cell], wide: int) -> list[tuple[str, str]]:
    """The line under the headings when it holds only units and bases."""
    filled = [c for c in cells if c != ""]
    if len(filled) < 2 or len(cells) > wide or not all(isinstance(c, str) for c in filled):
        return []
    found = [unit_and_basis(str(c)) if c != "" else ("", "") for c in cells]
    if any(pair is None for pair in found):
        return []
    return [pair or ("", "") for pair in found] + [("", "")] * (wide - len(cells))
