"""HERD.csv, the user's list of herd groups: read, check, write."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from hayfuncs.farmfiles.lots import write_table
from hayfuncs.farmfiles.model import GROUP_COLUMNS, Group
from hayfuncs.farmfiles.own import open_own


def read_herd(path: Path, told: list[str] | None = None) -> list[Group]:
    """The groups of a .csv or .xlsx file; one UserError names every fault."""
    own = open_own(path, GROUP_COLUMNS, told)
    groups: list[Group] = []
    seen: dict[str, int] = {}
    for row, found in own.rows():
        bad = len(own.faults)
        name = found.get("name")
        if name is not None:
            first = seen.setdefault(name.casefold(), row.number)
            if first != row.number:
                own.faults.cell(row.number, own.heading("name"), name, "each group once", f"row {first} has it too")
        if len(own.faults) == bad and all(found.get(c.field) is not None for c in GROUP_COLUMNS if c.required):
            groups.append(Group(**found))
    own.faults.refuse()
    return groups


def write_herd(path: Path, groups: Sequence[Group], force: bool = False) -> None:
    """HERD.csv with every column."""
    write_table(path, GROUP_COLUMNS, groups, force)


def write_herd_template(path: Path, force: bool = False) -> None:
    """An empty HERD.csv: all the headings, no group."""
    write_table(path, GROUP_COLUMNS, (), force)
