"""One row of a lab's file made into one scan: every value in our unit and on dry basis, the impossible refused by name."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from hayfuncs.contract.units import KG_TO_LB, LB_PER_TON
from hayfuncs.forage.dry_matter import protein_from_nitrogen, to_dry_basis
from hayfuncs.forage.plausibility import RULES, told
from hayfuncs.hazards.toxins import nitrate_as
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.headings import RESIDUE, basis_word, stands_on_basis
from hayfuncs.importers.labmap import MCAL_PER_LB, OF_NDF, OF_PROTEIN, PER_PERCENT, Plan, Use
from hayfuncs.importers.model import AS_FED, CORE, DRY, LIMIT_OF, LIMIT_WORDS, asks_fraction, asks_percent, limits_of
from hayfuncs.importers.own import as_text, poison_fix
from hayfuncs.importers.sheet import Cell
from hayfuncs.importers.table import Row
from hayfuncs.importers.values import ND_MEANS, Doubtful, Unreadable, amount, is_blank, number

KG_PER_TONNE = 1000.0
NITRATE_FORMS = ("NO3", "KNO3")
NO_WARNING = frozenset(
    ["no", "none", "ok", "0", "false", "passed", "pass", "no warning", "no warnings", "n", "not an outlier"]
)
# headings under which the text speaks for itself; under another the heading goes before it (Outlier: yes)
PLAIN_NOTES = re.compile(r"note|remark|comment|message|warning", re.IGNORECASE)


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
    limits: dict[str, str] = field(default_factory=dict)  # poison -> at least, at most
    poison_faults: list[str] = field(default_factory=list)  # never left out: the lot would count as not tested
    poison_lost: list[str] = field(default_factory=list)  # there, but without the dry matter that it needs
    basis: str = ""  # as the row states it
    blank: set[str] = field(default_factory=set)  # fields refused in this scan
    twice: bool = False  # made of one analysis that was given on both bases


def scan_of(row: Row, plan: Plan, mark: str, dm: float | None = None, nd: str = "") -> Scan | None:
    """The row as a scan; None for a row without any lab value (a footer, a blank line).

    `dm` is the dry matter that the user gives for a file without one, `nd` what ND means there.
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
            text = as_text(cell)
            scan.remarks.append(text if PLAIN_NOTES.search(use.heading) else f"{use.heading}: {text}")
    row_basis = scan.basis = _row_basis(scan)
    for use in plan.numbers:
        basis = use.basis or row_basis
        if use.column.field in LIMIT_OF:
            value = _poison(scan, row, use, mark, basis, dm, nd)
        elif use.column.field == "dm_pct" and _dried(row.cell(use.place), row_basis, mark):
            continue  # a dry column says 100: the sample's own dry matter stands in its other column
        else:
            value = _value(scan, row, use, mark, basis, dm)
        if value is not None:
            scan.values[use.column.field] = value
        if use.column.field == "dm_pct":
            dm = value
    _limits_beside(scan, row, plan)
    for rule in RULES:
        if (
            not rule.word
            and all(f in scan.values for f in rule.fields)
            and rule.breaks(*map(scan.values.get, rule.fields))
        ):
            scan.core_faults.append(
                f"row {row.number}, sample {quoted(scan.name)}: {told(rule, scan.values)}; {rule.fix}"
            )
    return scan


def _dried(cell: Cell, row_basis: str, mark: str) -> bool:
    """Whether a row on dry basis gives, where dry matter stands, only the 100 % (or moisture 0) that dry means."""
    if row_basis != DRY:
        return False
    try:
        return is_blank(cell) or number(cell, mark) in (0, 100)
    except Unreadable:
        return False


def _poison(scan: Scan, row: Row, use: Use, mark: str, basis: str, dm: float | None, nd: str) -> float | None:
    """A poison's number on dry basis.  A cell that says something else stops the import: blank means not tested."""
    cell = row.cell(use.place)
    why = ""
    try:
        held = amount(cell, mark, nd)
    except Doubtful as doubt:
        options = " or ".join(f'--nd "{word}"' for word in ND_MEANS)
        scan.poison_faults.append(
            str(Refused(row.number, scan.name, use.heading, cell, poison_fix(use.column), f"{doubt} say {options}"))
        )
        return None
    except Unreadable as refused:
        held, why = None, str(refused)
    else:
        if held is None:
            return None
        if basis == AS_FED and dm is None:  # its dry matter is refused already, and with it the scan
            scan.poison_lost.append(f"column {quoted(use.heading)}: {quoted(cell)}")
            return None
        value = converted(held.value, use, basis, dm)
        if value is not None and limits_of(use.column).possible(value):
            if held.limit:
                scan.limits[use.column.field] = held.limit
            return value
        why = "" if value is None or math.isclose(value, held.value) else f"this is {value:.4g} {use.column.unit}"
    scan.poison_faults.append(str(Refused(row.number, scan.name, use.heading, cell, poison_fix(use.column), why)))
    return None


def _limits_beside(scan: Scan, row: Row, plan: Plan) -> None:
    """The words at least or at most in a column of their own."""
    for poison, name in LIMIT_OF.items():
        cell = scan.cells.pop(name, "")
        if is_blank(cell):
            continue
        word, heading = as_text(cell).casefold(), plan.of(name)[0].heading
        at = f"row {row.number}, sample {quoted(scan.name)}, column {quoted(heading)}: {quoted(cell)}"
        if word not in LIMIT_WORDS:
            scan.poison_faults.append(f"{at}; allowed: {', '.join(LIMIT_WORDS)}, or blank")
        elif poison not in scan.values or scan.limits.get(poison, word) != word:
            scan.poison_faults.append(f"{at}, which does not go with the number beside it")
        else:
            scan.limits[poison] = word


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
    part_of = scan.values.get("cp_pct" if use.unit == OF_PROTEIN else "ndf_pct")
    if stands_on_basis(use.column, use.form) and basis == AS_FED and dm is None:
        return None  # its dry matter is refused already, and with it the scan
    if (use.unit == OF_PROTEIN or (use.form == RESIDUE and use.unit != OF_NDF)) and part_of is None:
        return None  # its protein or NDF is refused already
    value = converted(raw, use, basis, dm, part_of)
    limits = limits_of(use.column)
    asked = "" if value is None else asks_fraction(use.column, value) or asks_percent(use.column, value)
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
        scan.blank.add(use.column.field)
    return None


def converted(raw: float, use: Use, basis: str, dm: float | None, part_of: float | None = None) -> float | None:
    """A lab's number in the field's unit and on dry basis; None where it is impossible before any conversion.

    `part_of` is the scan's own protein or NDF, % DM, for a value given as a share of it.
    """
    if not -1e9 < raw < 1e9:
        return None
    if use.unit == OF_PROTEIN:
        assert part_of is not None
        return raw / 100 * part_of
    if use.form == RESIDUE and use.unit == OF_NDF:
        return 100 - raw
    value = in_unit(raw, use)
    if use.form == "moisture":
        return 100 - value
    if value < 0:
        return value  # impossible, and refused by the range of its field
    if use.form == "nitrogen":
        value = float(protein_from_nitrogen.plain(value))
    elif use.form in NITRATE_FORMS:
        value = float(nitrate_as.plain(value, use.form, "NO3-N"))
    if stands_on_basis(use.column, use.form) and basis == AS_FED:
        assert dm is not None
        value = float(to_dry_basis.plain(value, dm))
    if use.form == RESIDUE:
        assert part_of is not None
        value = 100 - 100 * value / part_of
    return value


def in_unit(raw: float, use: Use) -> float:
    """The number in the field's own unit."""
    if use.column.unit in ("ppm", "ppb"):
        return raw if use.unit == use.column.unit else raw / PER_PERCENT[use.unit] * PER_PERCENT[use.column.unit]
    if use.unit in MCAL_PER_LB:
        return raw * MCAL_PER_LB[use.unit]
    if use.unit in PER_PERCENT and use.column.unit.startswith("%"):
        return raw / PER_PERCENT[use.unit]
    if use.column.unit == "lb" and use.unit == "kg":
        return raw * KG_TO_LB
    if use.column.field == "tons" and use.unit == "tonnes":
        return raw * KG_PER_TONNE * KG_TO_LB / LB_PER_TON
    if use.column.field == "tons" and use.unit == "lb":
        return raw / LB_PER_TON
    return raw
