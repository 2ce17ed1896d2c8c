"""From a lab's or an instrument's file to hay lots: map, convert, refuse, average; nothing silent.

The lots that come out stand on dry basis, whatever basis the lab used; every conversion,
every value left blank and every scan left out is in `Imported`, for the report.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

from hayfuncs.contract.files import UserError
from hayfuncs.importers.faults import Faults, quoted
from hayfuncs.importers.headings import Heading
from hayfuncs.importers.labmap import Plan, parse_choice, plan_of
from hayfuncs.importers.labmean import FileRead, Spread, farm_value, fill_hint, is_lab, lot_of
from hayfuncs.importers.labscan import Scan, scan_of
from hayfuncs.importers.model import LOT_COLUMNS, Column, Lot
from hayfuncs.importers.register import read_register
from hayfuncs.importers.table import Table, load_table
from hayfuncs.importers.values import ORDERS, Unreadable, day_order, decimal_mark

SUMMARY_ROWS = frozenset(
    ["average", "mean", "sd", "std", "std dev", "stdev", "minimum", "maximum", "min", "max", "cv", "range", "median"]
)
FILLABLE = tuple(
    c for c in LOT_COLUMNS if c.field == "dm_pct" or not (is_lab(c) or c.field in ("name", "basis"))
)  # what may be given for a whole file; a lab value may not
MARKS = {"point": ".", "comma": ","}


@dataclass(frozen=True)
class Options:
    """What the user settles where a file does not."""

    columns: tuple[str, ...] = ()
    basis: str | None = None
    unit: str | None = None
    fill: tuple[str, ...] = ()  # `field=value` for lots whose file does not say
    dates: str | None = None
    decimal: str | None = None
    sheet: str = ""
    skip_bad: bool = False


@dataclass
class Imported:
    files: list[FileRead] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)
    spreads: dict[str, Spread] = field(default_factory=dict)
    left_blank: list[str] = field(default_factory=list)  # single values that could not be
    told: list[str] = field(default_factory=list)  # what does not match between files
    left_out: list[str] = field(default_factory=list)  # scans that could not be used


Tick: TypeAlias = Callable[[str], None]
TICK_ROWS = 1000


def still(where: str) -> None:
    """No sign of progress."""


def import_lab(paths: Sequence[Path], options: Options, register: Path | None = None, tick: Tick = still) -> Imported:
    """The lots of one or more files; one UserError names all that stands in the way."""
    for name, given, allowed in (("--decimal", options.decimal, MARKS), ("--dates", options.dates, ORDERS)):
        if given is not None and given not in allowed:
            raise UserError(f"{name} {quoted(given)} is not known; allowed: {', '.join(allowed)}")
    choices = [parse_choice(text) for text in options.columns]
    fill = _fill(options.fill)
    tables = [load_table(p, LOT_COLUMNS, frozenset(c.text.casefold() for c in choices), options.sheet) for p in paths]
    _all_met(choices, tables)
    done = Imported()
    kept = read_register(register, done.told) if register is not None else {}
    unasked = {*fill, *(("forage",) if register is not None else ())}  # what a file need not say
    owner: dict[str, Table] = {}
    for table in tables:
        faults = Faults(table.path, table.remark)
        file = _understood(table, choices, options, unasked, faults)
        scans = _scans(file, options.skip_bad, fill.get("dm_pct"), faults, done, tick)
        done.files.append(file)
        for group in _by_name(scans):
            name = group[0].name
            first = owner.setdefault(name.casefold(), table)
            if first is not table:
                faults.add(f"sample {quoted(name)} is also in {first.path.name}; give one of them another name")
                continue
            known = kept.get(name.casefold(), {})
            made = lot_of(group, file, known, fill, faults)
            if made is not None:
                lot, spread = made
                done.lots.append(lot)
                if spread is not None:
                    done.spreads[lot.name] = spread
                if register is not None and not known:
                    done.told.append(f"sample {quoted(name)} of {table.path.name} is not in {register.name}")
        faults.refuse()
    done.told += [
        f"{quoted(lot['name'])} is in {register.name if register else ''} but no file has its sample"
        for key, lot in kept.items()
        if key not in owner
    ]
    _one_lot_a_name(done.lots)
    if not done.lots:
        raise UserError("no usable scan is left, so there is no lot; mend the values or ask the lab for a new file")
    return done


def _one_lot_a_name(lots: Sequence[Lot]) -> None:
    seen: set[str] = set()
    for lot in lots:
        if lot.name.casefold() in seen:
            raise UserError(
                f"two lots have the name {quoted(lot.name)}; give each its own name in the register or the lab's file"
            )
        seen.add(lot.name.casefold())


def _all_met(choices: Sequence[Heading], tables: Sequence[Table]) -> None:
    met = {h.text.casefold() for table in tables for h in table.headings}
    for choice in choices:
        if choice.text.casefold() not in met:
            heads = "; ".join(h.text for h in tables[0].headings if h.text)
            raise UserError(
                f"--column: no file has the heading {quoted(choice.text)}; {tables[0].path.name} has: {heads[:1000]}"
            )


def _fill(texts: Sequence[str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for text in texts:
        name, sign, value = (part.strip() for part in text.partition("="))
        column = next((c for c in FILLABLE if c.field == name.casefold()), None)
        if column is None or not sign or not value:
            allowed = ", ".join(c.field for c in FILLABLE)
            raise UserError(f"--fill {quoted(text)} is not understood; write field=value, field one of: {allowed}")
        order = day_order([value])
        if column.kind == "date" and order not in ORDERS:
            raise UserError(f"--fill {quoted(text)}: day or month first is not certain; write the date like 2024-07-15")
        try:
            found[column.field] = farm_value(column, value, ".", order)
        except Unreadable as why:
            raise UserError(f"--fill {quoted(text)}: {why}") from None
    return found


def _understood(table: Table, choices: list[Heading], options: Options, unasked: set[str], faults: Faults) -> FileRead:
    """How the file writes its numbers and dates, and which column is which; refused when anything is not certain."""
    chosen = {c.text.casefold(): c.field for c in choices}
    fields = [chosen.get(h.text.casefold(), h.field) for h in table.headings]
    kinds = {c.field: c.kind for c in LOT_COLUMNS}
    places = [i for i, f in enumerate(fields) if kinds.get(f) in ("number", "whole")]
    mark = MARKS.get(options.decimal or "") or decimal_mark(row.cell(i) for row in table.rows for i in places)
    if mark not in MARKS.values():
        why = (
            "some have a decimal comma and some a point" if mark == "both" else "one like 1,234 could be 1234 or 1.234"
        )
        faults.add(f"its numbers are not certain: {why}; say which: --decimal point or --decimal comma")
        mark = "."
    plan = plan_of(table, choices, options.basis, options.unit, mark, faults)
    for column in LOT_COLUMNS:
        if column.required and not plan.of(column.field) and column.field not in unasked:
            faults.add(_absent(column, table, plan))
    orders: dict[str, str] = {}
    for use in plan.uses:
        if use.column.kind == "date":
            order = options.dates or day_order(row.cell(use.place) for row in table.rows)
            if order not in ORDERS:
                why = (
                    "some dates are day first, some month first"
                    if order == "both"
                    else "day or month first is not certain"
                )
                faults.heading(table.heading_row, use.heading, f"{why}; say which: --dates dmy or --dates mdy")
            orders[use.column.field] = order
    if not table.rows:
        faults.add(f"there is no row under the headings in row {table.heading_row}")
    faults.refuse()
    return FileRead(table, plan, mark, orders)


def _absent(column: Column, table: Table, plan: Plan) -> str:
    head = f"row {table.heading_row} has no heading for {column.heading}"
    if column.field == "forage":
        return f"{head}; {fill_hint(column)}"
    unused = ", ".join(quoted(text) + (f" ({why})" if why else "") for text, why in plan.unused[:12])
    more = " or give it for all: --fill dm_pct=..." if column.field == "dm_pct" else ""
    said = f"; not used are: {unused}" if unused else ""
    return f'{head}; name it: --column "Their heading={column.field}"{more}{said}'


def _scans(file: FileRead, skip_bad: bool, dm: float | None, faults: Faults, done: Imported, tick: Tick) -> list[Scan]:
    """The usable scans; the others are refused by name, or left out when the user says so."""
    table, name = file.table, file.table.path.name
    scans: list[Scan] = []
    bad: list[Scan] = []
    for place, row in enumerate(table.rows):
        if place % TICK_ROWS == 0:
            tick(f"{name}: {place:,} of {len(table.rows):,} rows")
        broken = table.broken(row)
        if broken:
            faults.add(broken)
            continue
        scan = scan_of(row, file.plan, file.mark, dm)
        if scan is None or scan.name.casefold() in SUMMARY_ROWS:
            file.passed_over.append(row.number)
            continue
        (bad if scan.core_faults else scans).append(scan)
        done.left_blank.extend(f"{name}: {refused}" for refused in scan.left_blank)
    lines = [line for scan in bad for line in scan.core_faults]
    if skip_bad:
        done.left_out.extend(f"{name}: {line}" for line in lines)
    elif bad:
        count = f"{len(bad)} of {len(bad) + len(scans)} rows cannot be used"
        for line in [f"{count}; mend them, or add --skip-bad to leave them out", *lines]:
            faults.add(line)
    faults.refuse()
    file.first = scans[0] if scans else None
    return scans


def _by_name(scans: list[Scan]) -> list[list[Scan]]:
    groups: dict[str, list[Scan]] = {}
    for scan in scans:
        groups.setdefault(scan.name.casefold(), []).append(scan)
    return list(groups.values())
