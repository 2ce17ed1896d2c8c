"""The scans of one sample made into one lot: means with their spread, one text for each field, notes carried along."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from hayfuncs.contract.errors import listing
from hayfuncs.contract.files import LONGEST_TEXT
from hayfuncs.forage.lab_repeatability import lab_difference_note
from hayfuncs.importers.faults import Faults, quoted
from hayfuncs.importers.kinds import cutting_of
from hayfuncs.importers.labmap import Plan
from hayfuncs.importers.labscan import Scan
from hayfuncs.importers.model import CORE, DRY, LOT_COLUMNS, Column, Lot, column_of, limits_of, names_of
from hayfuncs.importers.own import as_text, word_of
from hayfuncs.importers.sheet import Cell
from hayfuncs.importers.table import Table
from hayfuncs.importers.values import Unreadable, date, is_blank, number

MORE = " ..."  # stands for the rest of a note that was cut
DECIMALS = 3  # places kept of a converted or averaged value; labs print two
# values of which a laboratory's usual error is published; scans further apart than that are pointed out
MEASURES = {"cp_pct": "CP", "adf_pct": "ADF", "ndf_pct": "NDF"}
NUMBERS = tuple(c for c in LOT_COLUMNS if c.kind in ("number", "whole") and c.field != "cutting")
TEXTS = tuple(c for c in LOT_COLUMNS if c not in NUMBERS and c.field not in ("name", "basis", "notes"))


@dataclass(frozen=True)
class Spread:
    """How the scans of one lot lie: count, and of each lab value how many, the lowest and the highest."""

    scans: int
    ends: dict[str, tuple[int, float, float]]
    far: tuple[str, ...] = ()  # fields whose ends lie further apart than one lab's usual error


@dataclass
class FileRead:
    """One file as it was understood."""

    table: Table
    plan: Plan
    mark: str  # its decimal mark
    orders: dict[str, str]  # day and month order of each column of dates
    first: Scan | None = None
    passed_over: list[int] = field(default_factory=list)  # rows without values, or of averages


def is_lab(column: Column) -> bool:
    """Whether the column holds a lab value, which is averaged; all others must agree between scans."""
    return column.on_basis or column.field in (*CORE, "ndfd48_pct")


def short_name(name: str) -> str:
    """The heading without its unit: `Crude protein`."""
    return column_of(name).heading.partition(" (")[0]


def lot_of(
    group: list[Scan], file: FileRead, known: dict[str, Any], fill: dict[str, Any], faults: Faults
) -> tuple[Lot, Spread | None] | None:
    """The lot of one sample, or None when a fault was noted.

    `known` is what the register says of this lot, `fill` what the user says of all lots.
    """
    before = len(faults)
    name = one_name(group, known)
    values: dict[str, Any] = {}
    ends: dict[str, tuple[int, float, float]] = {}
    for column in NUMBERS:
        here = [s.values[column.field] for s in group if column.field in s.values]
        if not here:
            continue
        mean = sum(here) / len(here)
        values[column.field] = int(mean) if column.kind == "whole" else round(mean, DECIMALS)
        if is_lab(column):
            ends[column.field] = (len(here), min(here), max(here))
        elif len(set(here)) > 1:
            _differ(column, group, [s.row for s in group if column.field in s.values], here, faults)
    for column in LOT_COLUMNS:
        if (column.kind in ("text", "word", "date") or column.field == "cutting") and column.field not in (
            "name",
            "basis",
            "notes",
        ):
            found = _one_text(column, group, file, column.field in known or column.field in fill, faults)
            if found is not None:
                values[column.field] = found
    for key, value in known.items():
        if key not in ("name", "sample", "notes") and values.setdefault(key, value) != value:
            said = f"{quoted(values[key])} here and {quoted(value)} in the register"
            faults.add(f"sample {quoted(group[0].name)} has {column_of(key).heading} {said}; put one of them right")
    for key, value in fill.items():
        values.setdefault(key, value)
    if len(faults) > before:
        return None
    spread = None
    if len(group) > 1:
        far = [f for f, measure in MEASURES.items() if f in ends and lab_difference_note(measure, *ends[f][1:], True)]
        spread = Spread(len(group), ends, tuple(far))
    values["notes"] = shortened("; ".join(part for part in (known.get("notes"), _notes(group, spread)) if part))
    return Lot(**{"field": "", "cutting": None, **values, "name": name, "basis": DRY}), spread


def _differ(column: Column, group: list[Scan], rows: list[int], said: list[Any], faults: Faults) -> None:
    faults.add(
        f"rows {', '.join(map(str, sorted(rows)))} are all sample {quoted(group[0].name)} but differ in {column.heading} "
        f"({', '.join(dict.fromkeys(str(v) for v in said))}); give two lots two names"
    )


def _one_text(column: Column, group: list[Scan], file: FileRead, filled: bool, faults: Faults) -> Any:
    """The text, word or date that all scans of the sample agree on, or None."""
    found: dict[Any, list[int]] = {}
    uses = file.plan.of(column.field)
    unread = False
    for scan in group:
        cell = scan.cells.get(column.field, "")
        if is_blank(cell):
            continue
        try:
            value = farm_value(column, cell, file.mark, file.orders.get(column.field, "dmy"))
            found.setdefault(value, []).append(scan.row)
        except Unreadable as why:
            unread = True
            if not filled:
                fix = f'or give it for all lots whose file does not say: --fill "{column.field}=..."'
                faults.cell(scan.row, uses[0].heading, cell, str(why).removeprefix("allowed: "), fix)
    if len(found) > 1:
        _differ(column, group, [r for rows in found.values() for r in rows], list(found), faults)
    if not found and column.required and not filled and not unread:
        faults.add(
            f"nothing says the {column.heading.lower()} of sample {quoted(group[0].name)}; put it in the register or {fill_hint(column)}"
        )
    return next(iter(found), None)


def fill_hint(column: Column) -> str:
    return f"add --fill {column.field}={column.words[0]} (or {', '.join(column.words[1:])})"


def farm_value(column: Column, cell: Cell, mark: str, order: str) -> Any:
    """A cell of a column that is no lab value, or Unreadable with what is allowed."""
    if column.kind == "date":
        return date(cell, order)
    text = as_text(cell)
    if column.kind in ("number", "whole"):
        value = cutting_of(text) if column.field == "cutting" else None
        value = number(cell, mark) if value is None else value
        limits = limits_of(column)
        if value is None or not limits.possible(value) or (column.kind == "whole" and value != int(value)):
            raise Unreadable(f"allowed: {limits.allowed()}")
        return int(value) if column.kind == "whole" else value
    if column.words or names_of(column):
        word = word_of(column, text)
        if word is None:
            raise Unreadable(f"allowed: {listing(column.words or names_of(column))}")
        return word
    return text


def one_name(group: list[Scan], known: dict[str, Any]) -> str:
    """The lot's name: the register's spelling where it has the lot."""
    return str(known.get("name") or group[0].name)


def shortened(text: str) -> str:
    """A note that fits its cell: a longer one is cut after its last whole part, with "..." for the rest."""
    if len(text) <= LONGEST_TEXT:
        return text
    cut = text[: LONGEST_TEXT - len(MORE)]
    ends = [cut.rfind(mark) + 1 for mark in (". ", "; ", " ")]  # a sentence, a part of ours, a word
    end = next((place for place in ends if place > LONGEST_TEXT // 2), len(cut))
    return cut[:end].rstrip("; ") + MORE


def _notes(group: list[Scan], spread: Spread | None) -> str:
    parts = list(dict.fromkeys(remark for scan in group for remark in scan.remarks))
    parts.extend(refused.short() for scan in group for refused in scan.left_blank)
    if spread is not None:
        ends = [f"{short_name(f)} {low:.2f} to {high:.2f}" for f, (_, low, high) in spread.ends.items() if f in CORE]
        parts.append(f"mean of {spread.scans} scans ({', '.join(ends)})")
        if spread.far:
            parts.append(
                f"scans lie further apart than one lab's usual error in {', '.join(map(short_name, spread.far))}"
            )
    return "; ".join(parts)
