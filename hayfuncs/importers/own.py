"""Reading the user's own lists (LOTS.csv, HERD.csv): headings to fields, cells to values, every fault collected."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hayfuncs.contract.errors import listing
from hayfuncs.contract.files import LONGEST_TEXT
from hayfuncs.importers.faults import Faults, quoted
from hayfuncs.importers.headings import basis_word, nearest, poison_of
from hayfuncs.importers.kinds import bale_of, class_of, cutting_of, forage_of
from hayfuncs.importers.model import (
    FIRST_YEAR,
    LAST_YEAR,
    LIMIT_OF,
    Column,
    asks_fraction,
    asks_percent,
    limits_of,
    names_of,
)
from hayfuncs.importers.sheet import Cell
from hayfuncs.importers.table import Row, Table, load_table
from hayfuncs.importers.values import (
    ORDERS,
    Doubtful,
    Unreadable,
    amount,
    date,
    day_order,
    decimal_mark,
    is_blank,
    is_silent,
    number,
)

NAME_LENGTH = 100  # characters of a name; longer ones fit no label and no sheet
RISKY = "=+-@\uff1d\uff0b\uff0d\uff20"  # a spreadsheet may run a text that begins with one of these
# units that are another spelling of the column's own
SAME_UNIT = {
    "% DM": ("%",), "% as fed": ("%",), "% of NDF": ("%", "% of NDF"), "ppm": ("ppm",), "ppb": ("ppb",), "lb": ("lb",), "lb/day": ("lb/day", "lb"),
    "$/ton as fed": ("$/ton as fed", "$"), "Mcal/lb DM": ("Mcal/lb",), "score": (), "tons": (), "months": (),
}  # fmt: skip


def unquoted(text: str) -> str:
    """The text without the apostrophe that keeps a spreadsheet from running it (see `guarded`)."""
    return text[1:] if text.startswith("'") and text.lstrip("'")[:1] in tuple(RISKY) else text


def guarded(text: str) -> str:
    """The text with an apostrophe before it when a spreadsheet could take it for a formula."""
    return f"'{text}" if text.lstrip("'")[:1] in tuple(RISKY) else text


@dataclass
class OwnFile:
    """One of the user's lists, opened: which column holds which field, and how its numbers and dates are written."""

    table: Table
    faults: Faults
    places: dict[str, int]
    columns: tuple[Column, ...]
    mark: str
    orders: dict[str, str]

    def heading(self, field: str) -> str:
        return self.table.headings[self.places[field]].text

    def rows(self) -> Iterator[tuple[Row, dict[str, Any]]]:
        for row in self.table.rows:
            broken = self.table.broken(row)
            if broken:
                self.faults.add(broken)
                continue
            found = {c.field: self.value(row, c) for c in self.columns if c.field in self.places}
            self._limits(row, found)
            yield row, found

    def _limits(self, row: Row, found: dict[str, Any]) -> None:
        """Whether a poison's number is only a limit: in the cell itself (>5000), or in words beside it."""
        for poison, name in LIMIT_OF.items():
            word = found.get(name)
            cell = row.cell(self.places[poison]) if poison in self.places else ""
            if found.get(poison) is not None:
                held = amount(cell, self.mark)
                if held is not None and held.limit:
                    if word and word != held.limit:
                        self._fault(
                            row, self._column(name), word, held.limit, f"{self.heading(poison)} says {quoted(cell)}"
                        )
                    found[name] = held.limit
            elif word and (poison not in self.places or is_silent(cell)):
                self._fault(row, self._column(name), word, "blank where there is no number beside it")

    def _column(self, name: str) -> Column:
        return next(c for c in self.columns if c.field == name)

    def value(self, row: Row, column: Column) -> Any:
        """The cell's value, or None when it is blank or a fault (which is then noted)."""
        cell = row.cell(self.places[column.field])
        if column.field in LIMIT_OF:
            return self._poison(row, column, cell)
        if is_blank(cell) and not (column.kind == "text" and cell):
            if column.required:
                self._fault(row, column, cell, self.allowed(column))
            return None
        if column.kind in ("text", "word"):
            return self._text(row, column, cell)
        try:
            if column.kind == "date":
                return date(cell, self.orders.get(column.field, "dmy"))
            found = cutting_of(cell) if column.field == "cutting" and isinstance(cell, str) else None
            value = found if found is not None else number(cell, self.mark)
        except Unreadable as why:
            self._fault(row, column, cell, self.allowed(column), str(why))
            return None
        if value is None or (column.on_basis and column.field != "dm_pct"):
            return value  # judged when its basis is known
        return self.judged(row, column, value, value)

    def _poison(self, row: Row, column: Column, cell: Cell) -> float | None:
        """A poison's number; judged when its basis is known.  Only a blank says that it was not tested."""
        try:
            held = amount(cell, self.mark)
        except Doubtful as doubt:
            self._fault(row, column, cell, poison_fix(column), f"{doubt} Write 0, or leave it blank")
        except Unreadable as why:
            self._fault(row, column, cell, poison_fix(column), str(why))
        else:
            return None if held is None else held.value
        return None

    def judged(self, row: Row, column: Column, value: float, compared: float, says: str = "") -> float | int | None:
        """The value when `compared` (on dry basis where that matters) is possible, else None and a fault."""
        asked = asks_fraction(column, value) or asks_percent(column, value)
        if asked:
            self._fault(row, column, row.cell(self.places[column.field]), self.allowed(column), asked)
            return None
        limits = limits_of(column)
        whole = column.kind != "whole" or value == int(value)
        if limits.possible(compared) and whole:
            return int(value) if column.kind == "whole" else value
        self._fault(row, column, row.cell(self.places[column.field]), self.allowed(column), says)
        return None

    def allowed(self, column: Column) -> str:
        if column.kind == "date":
            return f"a date like {FIRST_YEAR + 34}-07-15, years {FIRST_YEAR} to {LAST_YEAR}"
        if column.words or names_of(column):
            return listing(column.words or names_of(column))
        if column.kind == "text":
            return f"a name of at most {NAME_LENGTH} characters"
        return ("a whole number, " if column.kind == "whole" else "") + limits_of(column).allowed()

    def _fault(self, row: Row, column: Column, cell: Cell, allowed: str, why: str = "") -> None:
        self.faults.cell(row.number, self.heading(column.field), cell, allowed, why)

    def _text(self, row: Row, column: Column, cell: Cell) -> str | None:
        text = as_text(cell)
        if column.kind == "word" or names_of(column):
            found = word_of(column, text)
            if found is None:
                self._fault(row, column, cell, self.allowed(column))
            return found
        if column.field == "notes" and len(text) > LONGEST_TEXT:
            self._fault(
                row, column, cell, f"a text of at most {LONGEST_TEXT:,} characters", f"it has {len(text):,}; shorten it"
            )
            return None
        if column.field in ("name", "field", "storage", "feeder", "lab_tdn_equation") and len(text) > NAME_LENGTH:
            self._fault(row, column, cell, self.allowed(column))
            return None
        return text


def poison_fix(column: Column) -> str:
    """What a cell of a poison may hold."""
    return f"{limits_of(column).allowed()}, >5000 or <50 where the test gave only a limit, not detected, or blank where it was not tested"


def as_text(cell: Cell) -> str:
    """Any cell as the text it shows: 220045.0 is the sample 220045."""
    if isinstance(cell, float):
        return f"{cell:.15g}"
    return cell.isoformat() if isinstance(cell, dt.date) else unquoted(cell)


def word_of(column: Column, text: str) -> str | None:
    """The word of the closed list, or the name of the table, that the text stands for."""
    plain = " ".join(text.casefold().replace("-", " ").split())
    for word in column.words or names_of(column):
        if word.casefold().replace("-", " ") == plain:
            return word
    if column.field == "forage":
        return forage_of(text)
    if column.field == "basis":
        return basis_word(text)
    if column.field == "cattle_class":
        return class_of(text)
    return bale_of(text) if column.field == "bale" else None


def open_own(path: Path, columns: tuple[Column, ...], told: list[str] | None = None) -> OwnFile:
    """The list opened and its headings checked; `told` receives what is read past (columns not known)."""
    table = load_table(path, columns)
    faults = Faults(path, table.remark)
    places: dict[str, int] = {}
    for place, heading in enumerate(table.headings):
        if heading.form:
            faults.heading(
                table.heading_row, heading.text, f"this is {heading.form}; run `hayfuncs lots` on it, which converts"
            )
        elif heading.field in places:
            other = table.headings[places[heading.field]].text
            faults.heading(table.heading_row, heading.text, f"means the same as {quoted(other)}; keep one of the two")
        elif heading.field:
            column = next(c for c in columns if c.field == heading.field)
            if heading.unit and heading.unit not in SAME_UNIT.get(column.unit, (heading.unit,)):
                if not (column.field == "tons" and heading.unit == "lb"):
                    fix = (
                        "; `hayfuncs lots` converts a lab's file" if column.on_basis or column.field == "dm_pct" else ""
                    )
                    faults.heading(
                        table.heading_row, heading.text, f"the unit is {heading.unit}; needed is {column.heading}{fix}"
                    )
            places[heading.field] = place
        elif heading.text:
            near = nearest(heading.text, columns)
            if near and not heading.doubt:
                faults.heading(table.heading_row, heading.text, f"is not known; did you mean {near}?")
            elif heading.doubt:
                faults.heading(table.heading_row, heading.text, f"is not certain: {heading.doubt}")
            elif (poison := poison_of(heading.text)) and any(not is_silent(r.cell(place)) for r in table.rows):
                faults.heading(
                    table.heading_row, heading.text,
                    f"speaks of {poison[0]} and is not used here; give it the heading of one of the columns that "
                    "`hayfuncs lots --columns` lists, or take the column out",
                )  # fmt: skip
            elif told is not None:
                told.append(f"{path.name}: the column {quoted(heading.text)} is not used")
    for column in columns:
        if column.required and column.field not in places:
            faults.add(f"row {table.heading_row} has no heading for {column.heading}; add the column")
    if not table.rows:
        faults.add(f"there is no row under the headings in row {table.heading_row}")
    numbers = [places[c.field] for c in columns if c.kind in ("number", "whole") and c.field in places]
    mark = decimal_mark(row.cell(i) for row in table.rows for i in numbers)
    if mark in ("both", "unsure"):
        why = (
            "some numbers have a decimal comma, some a point"
            if mark == "both"
            else "a number like 1,234 could be 1234 or 1.234"
        )
        faults.add(f"{why}; write numbers with a decimal point and nothing between thousands")
        mark = "."
    orders = {}
    for column in columns:
        if column.kind == "date" and column.field in places:
            place = places[column.field]
            orders[column.field] = day_order(row.cell(place) for row in table.rows)
            if orders[column.field] not in ORDERS:
                why = (
                    "some dates are day first, some month first"
                    if orders[column.field] == "both"
                    else "day or month first is not certain"
                )
                faults.heading(table.heading_row, table.headings[place].text, f"{why}; write dates like 2024-07-15")
                orders[column.field] = "dmy"
    return OwnFile(table, faults, places, columns, mark, orders)
