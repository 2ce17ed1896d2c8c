"""The values of an older workbook put into a new one, input by input, and the account of it."""

from __future__ import annotations

import contextlib
import datetime as dt
import math
import re
from dataclasses import dataclass, field
from typing import Any

from hayfuncs.contract.errors import listing, shown
from hayfuncs.contract.files import LONGEST_TEXT, UserError
from hayfuncs.spreadsheet.a1 import place_of
from hayfuncs.workbook.model import Book, Content, Input, is_formula
from hayfuncs.workbook.oldfile import Held, Old
from hayfuncs.workbook.sheets.inputlist import any_row

FIRST_DAY, LAST_DAY = dt.date(1990, 1, 1), dt.date(2100, 1, 1)
DAY_ZERO = dt.date(1899, 12, 30)  # day numbers of a spreadsheet count from here
OF_THEIR_OWN = ("Lots", "Herd")  # tables for whose rows no value can stand in
MOST_FAULTS = 12  # listed in one refusal


class CannotKeep(ValueError):
    """Why a value is not possible in its input."""


@dataclass(frozen=True)
class Carried:
    key: str
    held: Held
    value: Content
    default: Content
    note: str


@dataclass
class Keeper:
    """Stands between a layout and its inputs: what the old workbook holds goes in, if it is possible."""

    old: Old
    carried: list[Carried] = field(default_factory=list)
    refused: list[tuple[str, Held, str]] = field(default_factory=list)
    fresh: list[str] = field(default_factory=list)  # inputs that the old workbook did not have
    faults: list[str] = field(default_factory=list)  # a lot or a group without a value it needs
    leave: tuple[str, ...] = ()  # tables that are not taken over
    month_rows: int | None = None  # rows of months that the layout must have; None: as the dates want them

    def __call__(self, book: Book, entry: Input, default: Content) -> Content:
        instead = None if missing(default) else default
        nothing = instead is None or entry.key.split("/")[0] in OF_THEIR_OWN
        held, required = self.old.values.get(entry.key), self._required(entry)
        if entry.key.split("/")[0] in self.leave:
            return instead
        if held is None:
            if required and nothing and not self._free(entry):
                self.faults.append(f"{entry.key} ({entry.title}) is not in the file")
            elif any_row(entry.key) not in self.old.known:
                self.fresh.append(entry.key)
            return instead
        try:
            value, note = self._fit(book, entry, held, required)
        except CannotKeep as why:
            if required and nothing:
                self.faults.append(f"{held.sheet}!{held.cell} ({entry.title}) {why}")
            else:
                self.refused.append((entry.key, held, str(why)))
            return instead
        self.carried.append(Carried(entry.key, held, value, default, note))
        return value

    def rows(self, table: str) -> int:
        """How many rows of a table are taken over."""
        return 0 if table in self.leave else self.old.rows.get(table, 0)

    def refuse(self) -> None:
        """Nothing can stand in for what a lot or a group must have."""
        if self.faults:
            more = len(self.faults) - MOST_FAULTS
            listed = "; ".join(self.faults[:MOST_FAULTS]) + (f"; and {more} more" if more > 0 else "")
            raise UserError(f"{self.old.path.name}: {listed}; correct it there and run this again; nothing was written")

    def not_used(self, book: Book) -> list[tuple[str, Held, str]]:
        """Values of the old workbook that the new one has no place for."""
        gone = [(key, held, held.why) for key, held in self.old.lost]
        for key, held in self.old.values.items():
            if key not in book.inputs and key.split("/")[0] not in self.leave and held.value is not None:
                gone.append((key, held, "this version has no such input"))
        return gone

    def _free(self, entry: Input) -> bool:
        """Whether the input stands in a row that the old workbook did not fill."""
        table, number = entry.key.split("/")[:2]
        table = "Herd" if table == "Winter herd" else table
        return table in OF_THEIR_OWN and int(number) > self.old.rows.get(table, 0)

    def _required(self, entry: Input) -> bool:
        """Whether a value is needed here: of some inputs the class of cattle in their row says so."""
        number = entry.key.split("/")[1]
        for asked, at_one in ((entry.needed, True), (entry.needless, False)):
            if asked is not None:
                other = self.old.values.get(f"{asked[0]}/{number}/{asked[1]}")
                said = "" if other is None else str(other.value or "").strip().casefold()
                return (said in asked[2]) is at_one
        return entry.required

    def _fit(self, book: Book, entry: Input, held: Held, required: bool) -> tuple[Content, str]:
        if held.why:
            raise CannotKeep(held.why)
        if held.value is None or (isinstance(held.value, str) and not held.value.strip()):
            if required:
                raise CannotKeep("is empty, and a value is needed")
            return None, held.note
        value, note = fit(entry, held.value)
        if entry.source:
            value = _listed(book, entry.source, value)
        return value, "; ".join(n for n in (held.note, note) if n)


def missing(default: Content) -> bool:
    """No default stands in for the value: a farm read from an old workbook has NaN or "" there."""
    return default is None or default == "" or (isinstance(default, float) and math.isnan(default))


def fit(entry: Input, value: Any) -> tuple[Content, str]:
    """The value as the input takes it, and what was done to it; CannotKeep says what is not possible."""
    if isinstance(value, bool):
        value = int(value)
    if entry.kind in ("number", "whole"):
        return _number(entry, value)
    if entry.kind == "date":
        return _date(value)
    if entry.kind == "text":
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            raise CannotKeep(f"is longer than {LONGEST_TEXT} characters")
        return (value.isoformat() if isinstance(value, dt.date) else value), ""
    if entry.words:
        plain = str(value).strip().casefold()
        for word in entry.words:
            if word.casefold() == plain:
                return word, ""
        raise CannotKeep(f'is "{value}", not one of: {listing(entry.words)}')
    return value, ""


def _number(entry: Input, value: Any) -> tuple[Content, str]:
    note = ""
    if isinstance(value, str):
        try:
            value, note = float(value.strip()), "text became a number"
        except ValueError:
            raise CannotKeep(f'is "{value}", not a number') from None
    if not isinstance(value, (int, float)) or not math.isfinite(value):
        raise CannotKeep(f"is {shown(value)}, not a number")
    lo, hi = (-math.inf if entry.lo is None else entry.lo), (math.inf if entry.hi is None else entry.hi)
    if value < lo or value > hi or (entry.above and value == lo):
        raise CannotKeep(f"is {value:g}; possible: {'above ' if entry.above else ''}{lo:g} to {hi:g}")
    if entry.kind == "whole":
        if value != int(value):
            raise CannotKeep(f"is {value:g}, not a whole number")
        value = int(value)
    return value, note


def _date(value: Any) -> tuple[Content, str]:
    note = ""
    if isinstance(value, (int, float)) and (FIRST_DAY - DAY_ZERO).days <= value <= (LAST_DAY - DAY_ZERO).days:
        value, note = DAY_ZERO + dt.timedelta(days=int(value)), "a day number became a date"
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value.strip()):
        with contextlib.suppress(ValueError):  # 2026-02-30: said below
            value, note = dt.date.fromisoformat(value.strip()), "text became a date"
    if isinstance(value, dt.datetime):
        value = value.date()
    if not isinstance(value, dt.date) or not FIRST_DAY <= value <= LAST_DAY:
        raise CannotKeep(f"is {value}, not a date of {FIRST_DAY.year} to {LAST_DAY.year}")
    return value, note


def _listed(book: Book, source: str, value: Content) -> Content:
    """The name as the list holds it."""
    sheet, row, col, last_row, last_col = place_of(source)
    cells = book.by_name(sheet).cells
    computed = False
    for r in range(row, last_row + 1):
        for c in range(col, last_col + 1):
            cell = cells.get((r, c))
            if cell is None or cell.content is None:
                continue
            if is_formula(cell):
                computed = True
            elif str(cell.content).casefold() == str(value).casefold():
                return cell.content
    if computed:  # what a formula shows is not known yet
        return value
    raise CannotKeep(f'is "{value}", which is not in the list of {sheet}')
