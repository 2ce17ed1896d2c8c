"""One row of a lab's file made into one scan: every value in our unit and on dry basis, the impossible refused by name."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from hayfuncs.contract.units import KG_TO_LB, LB_PER_TON
from hayfuncs.forage.dry_matter import protein_from_nitrogen, to_dry_basis
from hayfuncs.hazards.toxins import nitrate_as
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.headings import basis_word
from hayfuncs.importers.labmap import OF_PROTEIN, PER_PERCENT, Plan, Use
from hayfuncs.importers.model import AS_FED, CORE, asks_fraction, limits_of
from hayfuncs.importers.own import as_text
from hayfuncs.importers.sheet import Cell
from hayfuncs.importers.table import Row
from hayfuncs.importers.values import Unreadable, is_blank, number

KG_PER_TONNE = 1000.0
NO_WARNING = frozenset(["no", "none", "ok", "0", "false", "passed", "pass", "no warning", "no warnings"])


@dataclass(frozen=True)
class Refused:
    """One cell that cannot be: where, what, and what would be allowed."""

    row: int
    name: str
    heading: str
    cell: Cell
    allowed: str
    why: str = ""

    def __str__(self) -> str:
        why = f"; {self.why}" if self.why else ""
        return (
            f"row {self.row}, sample {quoted(self.name)}, column {quoted(self.heading)}: {quoted(self.cell)}; "
            f"allowed: {self.allowed}{why}"
        )

    def short(self) -> str:
        """As the lot's notes carry it."""
        return f"left blank (row {self.row}): {self.heading} {quoted(self.cell)}"


@dataclass
class Scan:
    """One measured row: dry-basis values by field, texts by field, remarks, and what had to be refused."""

    row: int
    name: str
    values: dict[str, float] = field(default_factory=dict)
    cells: dict[str, Cell] = field(default_factory=dict)  # text, word and date cells, judged with the lot
    remarks: list[str] = field(default_factory=list)
    core_faults: list[str] = field(default_factory=list)  # the scan cannot be used
    left_blank: list[Refused] = field(default_factory=list)  # one value cannot be used


def scan_of(row: Row, plan: Plan, mark: str, dm: float | None = None) -> Scan | None:
    """The row as a scan; None for a row without any lab value (a footer, a blank line).

    `dm` is the dry matter that the user gives for a file without one.
    """
    if all(is_blank(row.cell(u.place)) for u in plan.numbers if u.column.on_basis or u.column.field in CORE):
        return None
    named = plan.of("name")
    name = as_text(row.cell(named[0].place)) if named else ""
    scan = Scan(row.number, name.strip())
    if not scan.name:
        scan.core_faults.append(f"row {row.number} has values but no sample name")
    if len(scan.name) > 100:
        scan.core_faults.append(
            f"row {row.number}: the sample name has {len(scan.name)} characters; at most 100 are allowed"
        )
    for use in plan.texts:
        cell = row.cell(use.place)
        if use.column.field != "notes":
            scan.cells[use.column.field] = cell
        elif not is_blank(cell) and as_text(cell).casefold() not in NO_WARNING:
            scan.remarks.append(as_text(cell))
    row_basis = _row_basis(scan)
    for use in plan.numbers:
        value = _value(scan, row, use, mark, use.basis or row_basis, dm)
        if value is not None:
            scan.values[use.column.field] = value
        if use.column.field == "dm_pct":
            dm = value
    adf, ndf = scan.values.get("adf_pct"), scan.values.get("ndf_pct")
    if adf is not None and ndf is not None and adf > ndf:
        scan.core_faults.append(
            f"row {row.number}, sample {quoted(scan.name)}: ADF {adf:.4g} is above NDF {ndf:.4g} % DM; ADF is a part of NDF"
        )
    return scan


def _row_basis(scan: Scan) -> str:
    cell = scan.cells.get("basis")
    if cell is None:
        return ""
    found = basis_word(as_text(cell)) if not is_blank(cell) else None
    if found is None:
        scan.core_faults.append(
            f"row {scan.row}, sample {quoted(scan.name)}: basis {quoted(cell)}; allowed: dry, as fed"
        )
    return found or ""


def _value(scan: Scan, row: Row, use: Use, mark: str, basis: str, dm: float | None) -> float | None:
    """The number of one cell, converted; None when blank or refused (and then noted)."""
    cell = row.cell(use.place)
    core = use.column.field in CORE
    try:
        raw = number(cell, mark)
    except Unreadable as why:
        return _refuse(scan, use, cell, str(why), core)
    if raw is None:
        return _refuse(scan, use, cell, "", core) if core else None
    cp = scan.values.get("cp_pct")
    if use.column.on_basis and basis == AS_FED and dm is None:
        return None  # its dry matter is refused already, and with it the scan
    if use.unit == OF_PROTEIN and cp is None:
        return None  # its protein is refused already
    value = converted(raw, use, basis, dm, cp)
    limits = limits_of(use.column)
    asked = "" if value is None else asks_fraction(use.column, value)
    if asked:
        return _refuse(scan, use, cell, asked, core)
    if value is None or not limits.possible(value) or (use.column.kind == "whole" and value != int(value)):
        shown = "" if value is None or math.isclose(value, raw) else f"this is {value:.4g} {limits.unit}"
        return _refuse(scan, use, cell, shown, core)
    return value


def _refuse(scan: Scan, use: Use, cell: Cell, why: str, core: bool) -> float | None:
    """The refusal noted; there is no value to give back."""
    refused = Refused(scan.row, scan.name, use.heading, cell, limits_of(use.column).allowed(), why)
    if core:
        scan.core_faults.append(str(refused))
    else:
        scan.left_blank.append(refused)
    return None


def converted(raw: float, use: Use, basis: str, dm: float | None, cp: float | None = None) -> float | None:
    """A lab's number in the field's unit and on dry basis; None where it is impossible before any conversion.

    `cp` is the scan's own protein, % DM, for a value given as a share of it.
    """
    if not -1e9 < raw < 1e9:
        return None
    if use.unit == OF_PROTEIN:
        assert cp is not None
        return raw / 100 * cp
    value = in_unit(raw, use)
    if use.form == "moisture":
        return 100 - value
    if value < 0:
        return value  # impossible, and refused by the range of its field
    if use.form == "nitrogen":
        value = float(protein_from_nitrogen(value))
    elif use.form in ("NO3", "KNO3"):
        value = float(nitrate_as(value, use.form, "NO3-N"))
    if use.column.on_basis and basis == AS_FED:
        assert dm is not None
        value = float(to_dry_basis(value, dm))
    return value


def in_unit(raw: float, use: Use) -> float:
    """The number in the field's own unit."""
    if use.column.unit in ("ppm", "ppb"):
        return raw if use.unit == use.column.unit else raw / PER_PERCENT[use.unit] * PER_PERCENT[use.column.unit]
    if use.unit in PER_PERCENT and use.column.unit.startswith("%"):
        return raw / PER_PERCENT[use.unit]
    if use.column.unit == "lb" and use.unit == "kg":
        return raw * KG_TO_LB
    if use.column.field == "tons" and use.unit == "tonnes":
        return raw * KG_PER_TONNE * KG_TO_LB / LB_PER_TON
    if use.column.field == "tons" and use.unit == "lb":
        return raw / LB_PER_TON
    return raw
