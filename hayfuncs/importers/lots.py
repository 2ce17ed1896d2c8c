"""LOTS.csv, the user's list of hay lots: read, check, write."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from hayfuncs.contract.files import UserError, replacing
from hayfuncs.forage.dry_matter import to_dry_basis
from hayfuncs.forage.plausibility import WORDS, LabRule, broken, is_summary, told
from hayfuncs.importers.accepted import same_rows, words_in
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.model import AS_FED, BASES, LOT_COLUMNS, Column, Lot, column_of
from hayfuncs.importers.own import OwnFile, guarded, open_own
from hayfuncs.importers.table import Row

NEEDED = tuple(c for c in LOT_COLUMNS if c.required)
MOST = 1e6  # the largest value that TO_DRY_BASIS takes
ACCEPTED = column_of("accepted").heading
ON_BASIS = tuple(c for c in LOT_COLUMNS if c.on_basis and c.field != "dm_pct")


def read_lots(path: Path, basis: str | None = None, told: list[str] | None = None) -> list[Lot]:
    """The lots of a .csv or .xlsx file, exactly as stated; one UserError names every fault.

    `basis` is for a file that does not state it (no Basis column, nothing in the headings).
    `told` receives a line for each column that is not used.
    """
    if basis is not None and basis not in BASES:
        raise UserError(f'the basis "{basis}" is not known; allowed: {", ".join(BASES)}')
    own = open_own(path, LOT_COLUMNS, told)
    stated = _stated(own, basis)
    lots: list[Lot] = []
    seen: dict[str, int] = {}
    rows: dict[str, str] = {}
    for row, found in own.rows():
        bad = len(own.faults)
        row_basis = _basis_of(own, row, found, stated)
        _judge(own, row, found, row_basis)
        name = found.get("name")
        if name is not None:
            first = seen.setdefault(name.casefold(), row.number)
            if first != row.number:
                own.faults.cell(row.number, own.heading("name"), name, "each lot once", f"row {first} has it too")
            if is_summary(name):
                own.faults.cell(
                    row.number,
                    own.heading("name"),
                    name,
                    "a lot of hay",
                    "an average or a sum of others is no lot: take the row out",
                )
        if len(own.faults) == bad and row_basis is not None and all(found.get(c.field) is not None for c in NEEDED):
            lots.append(Lot(**_filled(found, row_basis)))
            rows[lots[-1].name] = f"row {row.number}"
    for line in same_rows(lots, rows, f"write {{}} under {ACCEPTED}"):
        own.faults.add(line)
    own.faults.refuse()
    return lots


def _filled(found: dict[str, Any], basis: str) -> dict[str, Any]:
    return {
        "cutting": None, **found, "basis": basis, "field": found.get("field") or "", "notes": found.get("notes") or "",
        "accepted": found.get("accepted") or "",
    }  # fmt: skip


def _stated(own: OwnFile, option: str | None) -> str | None:
    """The basis that the headings or the option state for the whole file; None: the Basis column says it."""
    said = {f.field: own.table.headings[own.places[f.field]].basis for f in ON_BASIS if f.field in own.places}
    words = {b for b in said.values() if b}
    at = own.table.heading_row
    if len(words) > 1:
        own.faults.add(
            f"row {at}: some headings say dry, some as fed; a lot needs one basis: `hayfuncs lots` converts a lab's file"
        )
        return None
    heading = words.pop() if words else None
    silent = [own.heading(f) for f, b in said.items() if not b]
    if heading and silent and "basis" not in own.places and option is None:
        own.faults.heading(
            at, silent[0], f"does not say its basis while others say {heading}; state it in each or add a Basis column"
        )
    if option and heading and option != heading:
        own.faults.add(f"row {at}: the headings say {heading}, the option says {option}; leave out the option")
    if not heading and option is None and "basis" not in own.places:
        own.faults.add(
            f"row {at}: nothing says whether the values are dry or as fed; add a Basis column (dry, as fed), "
            "write it in the headings, or give the basis as an option"
        )
    return heading or option


def _basis_of(own: OwnFile, row: Row, found: dict[str, Any], stated: str | None) -> str | None:
    if "basis" not in own.places:
        return stated
    basis: str | None = found.get("basis")
    cell = row.cell(own.places["basis"])
    if basis is None and cell == "":
        if stated is None:
            own.faults.cell(row.number, own.heading("basis"), cell, ", ".join(BASES))
        return stated
    if basis and stated and basis != stated:
        own.faults.cell(row.number, own.heading("basis"), cell, f"{stated}, as the headings or the option say")
    return basis


def _judge(own: OwnFile, row: Row, found: dict[str, Any], basis: str | None) -> None:
    """Ranges of the values that stand on a basis, compared as dry matter, and the rules between values."""
    dm = found.get("dm_pct")
    for column in ON_BASIS:
        value = found.get(column.field)
        if value is None:
            continue
        compared, says = value, ""
        if basis == AS_FED and dm is not None and 0 < value <= MOST:
            compared = float(to_dry_basis.plain(value, dm))
            says = f"as fed, this is {round(compared, 1):,g} of the dry matter at {dm:g} % dry matter"
        found[column.field] = own.judged(row, column, value, compared, says)
    dry = _dry(found, basis)
    words = words_in(found.get("accepted") or "")
    for rule in broken(dry, words):
        if rule.word and basis is None:
            continue  # not to be judged before the basis is known
        fix = f"{rule.fix} If it is right, write {rule.word} under {ACCEPTED}" if rule.word else rule.fix
        own.faults.cell(row.number, own.heading(rule.fields[0]), found[rule.fields[0]], _wanted(rule, dry), fix)
    for word in words:
        if word not in WORDS:
            own.faults.cell(
                row.number, own.heading("accepted"), found["accepted"], ", ".join(WORDS), f"{quoted(word)} is not known"
            )


def _dry(found: dict[str, Any], basis: str | None) -> dict[str, float | None]:
    """The values that the rules read, of the dry matter where the basis and the dry matter say how."""
    dm = found.get("dm_pct")
    scale = 100 / dm if basis == AS_FED and dm else 1.0
    numbers = {c.field: found.get(c.field) for c in LOT_COLUMNS if c.kind == "number"}
    on_basis = {c.field for c in ON_BASIS}
    return {k: v * scale if k in on_basis and v is not None else v for k, v in numbers.items()}


def _wanted(rule: LabRule, dry: dict[str, float | None]) -> str:
    if rule.key == "fiber":
        return f"at most the NDF, {dry['ndf_pct']:g}"
    return f"seldom seen ({told(rule, dry)})"


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)
    return (
        value.isoformat()
        if isinstance(value, dt.date)
        else guarded(str(value))
        if isinstance(value, str)
        else str(value)
    )


def write_table(path: Path, columns: Sequence[Column], items: Iterable[object], force: bool = False) -> None:
    """Our headings, then one row an item; the file is complete or not there."""
    # the mark at the start of utf-8-sig lets Excel show accents
    with replacing(path, force) as beside, beside.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow([c.heading for c in columns])
        writer.writerows([_cell(getattr(item, c.field)) for c in columns] for item in items)


def write_lots(path: Path, lots: Sequence[Lot], force: bool = False) -> None:
    """LOTS.csv: every column that some lot fills, in the order of `LOT_COLUMNS`."""
    kept = [
        c
        for c in LOT_COLUMNS
        if c.required or c.field == "basis" or any(getattr(x, c.field) not in (None, "") for x in lots)
    ]
    write_table(path, kept, lots, force)


def write_lots_template(path: Path, force: bool = False) -> None:
    """An empty LOTS.csv: all the headings, no lot."""
    write_table(path, LOT_COLUMNS, (), force)
