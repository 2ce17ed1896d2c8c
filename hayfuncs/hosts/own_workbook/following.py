"""Which formulas of a workbook call our functions, and which follow from those that do."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.spreadsheet.a1 import BadAddress, Node, area, node, place
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.limits import BLOCK
from hayfuncs.spreadsheet.tokens import Malformed, pieces, reference, sheet_of

PREFIX = "HAY."
MARKS = ("_xlfn.", "_xlws.", "_xludf.")
Area = tuple[int, int, int, int, int]  # sheet, first row, first column, last row, last column


def function_of(call: str) -> str:
    """`HAY.X` or `SUM` of a call as it is stored, `_xlfn.SUM(`."""
    name = call.rstrip("(")
    for mark in MARKS:
        name = name.removeprefix(mark)
    return name.upper()


def ours(name: str) -> bool:
    return name.startswith(PREFIX) and name.removeprefix(PREFIX) in CATALOGUE


@dataclass
class Reads:
    """What one formula reads and calls; `unknown` names what cannot be followed here."""

    areas: list[Area] = field(default_factory=list)
    calls: set[str] = field(default_factory=set)
    unknown: str = ""


class Filled:
    """Cells by sheet and column, so that an area is asked quickly."""

    def __init__(self) -> None:
        self.columns: dict[tuple[int, int], list[int]] = defaultdict(list)
        self.nodes: set[Node] = set()

    def add(self, at: Node) -> None:
        sheet, row, col = place(at)
        rows = self.columns[sheet, col]
        rows.insert(bisect_left(rows, row), row)
        self.nodes.add(at)

    def any_in(self, area: Area) -> bool:
        sheet, row, col, last_row, last_col = area
        for (its_sheet, its_col), rows in self.columns.items():
            if its_sheet == sheet and col <= its_col <= last_col:
                at = bisect_left(rows, row)
                if at < len(rows) and rows[at] <= last_row:
                    return True
        return False


class Following:
    """The formulas of a workbook with what each reads."""

    def __init__(self, book: WorkbookData) -> None:
        self.book = book
        self.names = {(n.name.casefold(), n.sheet): n.text for n in book.names}
        self.reads = {at: self._reads(text, place(at)[0], set()) for at, text in book.formulas.items()}

    def _reads(self, formula: str, home: int, seen: set[str]) -> Reads:
        found = Reads()
        try:
            parts = pieces(formula)
        except Malformed as error:
            found.unknown = str(error)
            return found
        for part in parts:
            if part.kind == "ref":
                ref = reference(part.text)
                sheet = home if ref.sheet is None else self.book.index(ref.sheet)
                if sheet is None:
                    found.unknown = f"{part.text} lies outside the workbook"
                else:
                    found.areas.append((sheet, ref.row, ref.col, ref.last_row, ref.last_col))
            elif part.kind == "call":
                found.calls.add(function_of(part.text))
            elif part.kind == "table":
                found.unknown = f"{part.text} names a table's column"
            elif part.kind == "name":
                self._named(part.text, home, seen, found)
        return found

    def _named(self, text: str, home: int, seen: set[str], found: Reads) -> None:
        where, mark, name = text.rpartition("!")
        scope = self.book.index(sheet_of(where + mark)) if mark else home
        key = name.casefold()
        content = self.names.get((key, scope), self.names.get((key, None)))
        if content is None or key in seen:
            return
        inner = self._reads(content, home, seen | {key})
        found.areas += inner.areas
        found.calls |= inner.calls
        found.unknown = found.unknown or inner.unknown

    def callers(self) -> list[Node]:
        return [at for at, reads in self.reads.items() if any(map(ours, reads.calls))]

    def after(self, starts: Iterable[Node]) -> set[Node]:
        """The formulas that read these cells, at any distance; an array's cells count with its formula."""
        hit = Filled()
        for at in starts:
            for one in self.cells_of(at):
                hit.add(one)
        given = set(hit.nodes)
        moved = True
        while moved:
            moved = False
            for at, reads in self.reads.items():
                if at not in hit.nodes and any(map(hit.any_in, reads.areas)):
                    moved = True
                    for one in self.cells_of(at):
                        if one not in hit.nodes:
                            hit.add(one)
        return {at for at in hit.nodes - given if at in self.reads}

    def cells_of(self, at: Node) -> Iterator[Node]:
        """The cell, or every cell of the array that was entered there."""
        sheet, row, col = place(at)
        try:
            r1, c1, r2, c2 = area(self.book.arrays[at]) if self.book.arrays.get(at) else (row, col, row, col)
        except BadAddress:
            r1, c1, r2, c2 = row, col, row, col
        if (r2 - r1 + 1) * (c2 - c1 + 1) > BLOCK:
            r1, c1, r2, c2 = row, col, row, col
            self.reads[at].unknown = f"its array of {self.book.arrays[at]} is larger than is worked out here"
        for r in range(r1, r2 + 1):
            for c in range(c1, c2 + 1):
                yield node(sheet, r, c)
