"""From a lab's or an instrument's file to hay lots: map, convert, refuse, average; nothing silent.

The lots that come out stand on dry basis, whatever basis the lab used; every conversion,
every value left blank and every scan left out is in `Imported`, for the report.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

from hayfuncs.contract.files import UserError
from hayfuncs.forage.plausibility import WORDS, is_summary
from hayfuncs.importers.accepted import is_lab, keep_same, same_rows
from hayfuncs.importers.faults import Faults, quoted
from hayfuncs.importers.headings import Heading
from hayfuncs.importers.labmap import Plan, parse_choice, plan_of
from hayfuncs.importers.labmean import FileRead, Spread, farm_value, fill_hint, highest, lot_of
from hayfuncs.importers.labscan import Scan, scan_of
from hayfuncs.importers.model import LIMIT_OF, LOT_COLUMNS, Column, Lot
from hayfuncs.importers.register import read_register
from hayfuncs.importers.table import KEY_MARK, Table, joined, load_table, parse_join
from hayfuncs.importers.values import ND_MEANS, ORDERS, Unreadable, day_order, decimal_mark

FILLABLE = tuple(
    c
    for c in LOT_COLUMNS
    if c.field == "dm_pct" or not (is_lab(c) or c.field in ("name", "basis", "accepted", *LIMIT_OF.values()))
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
    nd: str = ""  # what ND means for a poison: not detected, or not tested
    accept: tuple[str, ...] = ()  # words that accept values seldom seen


@dataclass
class Imported:
    files: list[FileRead] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)
    spreads: dict[str, Spread] = field(default_factory=dict)
    left_blank: list[str] = field(default_factory=list)  # single values that could not be
    told: list[str] = field(default_factory=list)  # what does not match between files
    left_out: list[str] = field(default_factory=list)  # what is wrong with the scans that could not be used
    rows_left_out: int = 0


Tick: TypeAlias = Callable[[str], None]
TICK_ROWS = 1000


def still(where: str) -> None:
    """No sign of progress."""


def import_lab(paths: Sequence[Path], options: Options, register: Path | None = None, tick: Tick = still) -> Imported:
    """The lots of one or more files; one UserError names all that stands in the way."""
    for name, given, allowed in (("--decimal", options.decimal, MARKS), ("--dates", options.dates, ORDERS)):
        if given is not None and given not in allowed:
            raise UserError(f"{name} {quoted(given)} is not known; allowed: {', '.join(allowed)}")
    if options.nd not in ("", *ND_MEANS):
        raise UserError(f"--nd {quoted(options.nd)} is not known; allowed: {', '.join(ND_MEANS)}")
    for word in options.accept:
        if word not in WORDS:
            raise UserError(f"--accept {quoted(word)} is not known; allowed: {', '.join(WORDS)}")
    joins = [join for join in map(parse_join, options.columns) if join]
    choices = [parse_choice(text) for text in options.columns if parse_join(text) is None]
    fill = _fill(options.fill)
    extra = frozenset([c.text.casefold() for c in choices] + [part.casefold() for join in joins for part in join])
    tables = [joined(load_table(p, LOT_COLUMNS, extra, options.sheet), joins) for p in paths]
    _all_met([*choices, *(Heading(part) for join in joins for part in join)], tables)
    choices += [Heading(KEY_MARK.join(join), "name") for join in joins]
    done = Imported()
    refusals: list[str] = []
    kept: dict[str, dict[str, Any]] = {}
    if register is not None:
        with gathering(refusals):
            kept = read_register(register, done.told)
    unasked = {*fill, *(("forage",) if register is not None else ())}  # what a file need not say
    owner: dict[str, Table] = {}
    rows: dict[str, str] = {}  # lot -> where it stands, for a message
    for table in tables:
        faults = Faults(table.path, table.remark)
        file, certain = _understood(table, choices, options, unasked, faults)
        scans = _scans(file, options, fill.get("dm_pct"), faults, done, tick) if certain else []
        done.files.append(file)
        for group in _by_name(scans):
            name = group[0].name
            first = owner.setdefault(name.casefold(), table)
            if first is not table:
                faults.add(f"sample {quoted(name)} is also in {first.path.name}; give one of them another name")
                continue
            known = kept.get(name.casefold(), {})
            made = lot_of(group, file, known, fill, faults, options.accept)
            if made is not None:
                lot, spread = made
                done.lots.append(lot)
                rows[lot.name] = f"{table.path.name} row {group[0].row}"
                if spread is not None:
                    done.spreads[lot.name] = spread
                if register is not None and not known:
                    done.told.append(f"sample {quoted(name)} of {table.path.name} is not in {register.name}")
        with gathering(refusals):
            faults.refuse()
    done.told += [
        f"{quoted(lot['name'])} is in {register.name if register else ''} but no file has its sample"
        for key, lot in kept.items()
        if key not in owner
    ]
    with gathering(refusals):
        _one_lot_a_name(done.lots)
    refusals += same_rows(done.lots, rows, "add --accept {}", options.accept)
    if refusals:
        raise UserError("\n".join(refusals))
    done.lots = keep_same(done.lots, options.accept)
    if not done.lots:
        raise UserError("no usable scan is left, so there is no lot; mend the values or ask the lab for a new file")
    return done


@contextmanager
def gathering(refusals: list[str]) -> Iterator[None]:
    """A refusal is kept for later, so that one pass names the faults of every file."""
    try:
        yield
    except UserError as why:
        refusals.append(str(why))


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


def _understood(
    table: Table, choices: list[Heading], options: Options, unasked: set[str], faults: Faults
) -> tuple[FileRead, bool]:
    """How the file writes its numbers and dates, and which column is which; what is not certain goes to `faults`.

    The second tells whether its numbers can be read at all, so that its rows can be looked at in the same pass.
    """
    chosen = {c.text.casefold(): c.field for c in choices}
    fields = [chosen.get(h.text.casefold(), h.field) for h in table.headings]
    kinds = {c.field: c.kind for c in LOT_COLUMNS}
    places = [i for i, f in enumerate(fields) if kinds.get(f) in ("number", "whole")]
    mark = MARKS.get(options.decimal or "") or decimal_mark(row.cell(i) for row in table.rows for i in places)
    certain = mark in MARKS.values()
    if not certain:
        why = (
            "some have a decimal comma and some a point" if mark == "both" else "one like 1,234 could be 1234 or 1.234"
        )
        faults.add(f"its numbers are not certain: {why}; say which: --decimal point or --decimal comma")
        mark = "."
    absent: set[str] = set()
    plan = plan_of(table, choices, options.basis, options.unit, mark, faults)
    for column in LOT_COLUMNS:
        sure = plan.of(column.field) or any(u.column is column for u in plan.asked)
        if column.required and not sure and column.field not in unasked:
            faults.add(_absent(column, table, plan))
            absent.add(column.field)
    orders: dict[str, str] = {}
    for use in list(plan.uses):
        if use.column.kind == "date":
            order = options.dates or day_order(row.cell(use.place) for row in table.rows)
            if order not in ORDERS:
                why = (
                    "some dates are day first, some month first"
                    if order == "both"
                    else "day or month first is not certain"
                )
                faults.heading(table.heading_row, use.heading, f"{why}; say which: --dates dmy or --dates mdy")
                plan.uses.remove(use)
                plan.asked.append(use)
            orders[use.column.field] = order
    if not table.rows:
        faults.add(f"there is no row under the headings in row {table.heading_row}")
    return FileRead(table, plan, mark, orders, absent), certain


def _absent(column: Column, table: Table, plan: Plan) -> str:
    head = f"row {table.heading_row} has no heading for {column.heading}"
    if column.field == "forage":
        return f"{head}; {fill_hint(column)}"
    unused = ", ".join(quoted(text) + (f" ({why})" if why else "") for text, why in plan.unused[:12])
    more = " or give it for all: --fill dm_pct=..." if column.field == "dm_pct" else ""
    said = f"; not used are: {unused}" if unused else ""
    return f'{head}; name it: --column "Their heading={column.field}"{more}{said}'


def _scans(
    file: FileRead, options: Options, dm: float | None, faults: Faults, done: Imported, tick: Tick
) -> list[Scan]:
    """The usable scans; the others are refused by name, or left out when the user says so.

    A poison that cannot be read is refused either way: without it the lot would count as not tested.
    """
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
        scan = scan_of(row, file.plan, file.mark, dm, options.nd)
        if scan is None or is_summary(scan.name):
            file.passed_over.append((row.number, scan.name if scan else ""))
            continue
        (bad if scan.core_faults else scans).append(scan)
        for line in scan.poison_faults:
            faults.add(line)
        done.left_blank.extend(f"{name}: {refused}" for refused in scan.left_blank)
    lines = [line for scan in bad for line in scan.core_faults]
    if options.skip_bad:
        done.left_out.extend(f"{name}: {line}" for line in lines)
        done.rows_left_out += len(bad)
        _poisons_stay(scans, bad, faults)
    elif bad:
        count = f"{len(bad)} of {len(bad) + len(scans)} rows cannot be used"
        for line in [f"{count}; mend them, or add --skip-bad to leave them out", *lines]:
            faults.add(line)
    file.first = scans[0] if scans else None
    return scans


def _poisons_stay(scans: Sequence[Scan], bad: Sequence[Scan], faults: Faults) -> None:
    """A poison found in a scan that is left out still counts for its sample: the highest of all scans does."""
    by_name = {scan.name.casefold(): scan for scan in scans}
    for scan in bad:
        kept = by_name.get(scan.name.casefold())
        for lost in scan.poison_lost if kept is not None else ():
            faults.add(
                f"row {scan.row}, sample {quoted(scan.name)}, {lost}; the row is left out, but its poison counts: give its dry matter"
            )
        for poison in LIMIT_OF if kept is not None else ():
            if poison in scan.values:
                assert kept is not None
                both = [kept, scan]
                kept.values[poison], limit = highest(poison, both)
                kept.limits.pop(poison, None)
                if limit:
                    kept.limits[poison] = limit


def _by_name(scans: list[Scan]) -> list[list[Scan]]:
    groups: dict[str, list[Scan]] = {}
    for scan in scans:
        groups.setdefault(scan.name.casefold(), []).append(scan)
    return list(groups.values())
