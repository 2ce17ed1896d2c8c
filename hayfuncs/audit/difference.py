"""One change between two workbooks."""

from __future__ import annotations

from dataclasses import dataclass, field

from hayfuncs.spreadsheet.a1 import Node


@dataclass
class Difference:
    """One change: its kind, where, what stood there, what stands there, what it did."""

    kind: str
    where: str
    label: str
    old: str
    new: str
    effect: str = ""
    cells: list[Node] = field(default_factory=list)  # in the old workbook
