"""The lot register kept at home (field, cutting, bales, storage, feeder, price), joined to the lab's results.

A lab knows a sample number; the farm knows the stack.  The register says which is which:
one row a lot, with a column Sample where the lab's number differs from the lot's name.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from hayfuncs.importers.model import CORE, LOT_COLUMNS, Column
from hayfuncs.importers.own import open_own

LOT_WORDS = ("lot", "lot name", "lot id", "hay lot", "lot number", "name")
SAMPLE = Column(
    "sample", "Sample", "text", "The name or number of the sample at the lab",
    ("sample", "sample id", "sample name", "sample number", "sample no", "lab number", "lab id", "lab no", "bag", "bag number"),
)  # fmt: skip
REGISTER_COLUMNS: tuple[Column, ...] = (
    SAMPLE,
    *(
        replace(c, accepted=LOT_WORDS) if c.field == "name" else replace(c, required=False)
        for c in LOT_COLUMNS
        if not (c.on_basis or c.field in (*CORE, "ndfd48_pct", "basis"))
    ),
)


def read_register(path: Path, told: list[str] | None = None) -> dict[str, dict[str, Any]]:
    """What is known of each lot, by the name its sample has at the lab (without regard to case)."""
    own = open_own(path, REGISTER_COLUMNS, told)
    found: dict[str, dict[str, Any]] = {}
    rows: dict[str, int] = {}
    for row, cells in own.rows():
        if cells.get("name") is None:
            continue
        key = str(cells.get("sample") or cells["name"]).casefold()
        if key in found:
            field = "sample" if cells.get("sample") else "name"
            own.faults.cell(row.number, own.heading(field), key, "each sample once", f"row {rows[key]} has it too")
        rows[key] = row.number
        found[key] = {field: value for field, value in cells.items() if value is not None and field != "sample"}
    own.faults.refuse()
    return found
