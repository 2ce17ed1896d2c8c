"""One audit from the file to the findings: read, recompute, compare, judge."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from hayfuncs.audit.direct import Direct
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Columns, Formulas, feeding, read_cells
from hayfuncs.audit.headline import roles
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.operands import operands
from hayfuncs.audit.own import recognise
from hayfuncs.audit.recompute import Recomputed, same
from hayfuncs.audit.stranger.mapfile import Told, put
from hayfuncs.audit.stranger.meanings import Sheetwise, learn
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, a1_area, place, quoted
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData

REPORT = "report"  # the role of the first sheet of an audit's own report


@dataclass
class AuditContext:
    """Everything an audit knows of one workbook."""

    book: WorkbookData
    formulas: Formulas
    labels: Labels
    recomputed: Recomputed
    direct: Direct
    heads: list[Node]
    master: list[Node] = field(default_factory=list)  # the word over all checks, where there is one
    findings: list[Finding] = field(default_factory=list)
    expected: Any = None  # the layout of this version for the file's values, where it could be laid out
    by_marks: int | None = None  # formulas held against the marks that the workbook carries, where they were
    told: list[Told] | None = None  # what the user says the cells are
    as_written: set[Node] = field(default_factory=set)  # cells that hold just what this version writes there
    saved: list[str] = field(default_factory=list)  # what the program that saved the file always does
    tried: int = 0
    seconds: float = 0.0

    @cached_property
    def meanings(self) -> Sheetwise:
        """What each cell of a workbook that is not ours is, by the words round it; nothing for ours."""
        ours = recognise(self.book) is not None or roles(self.book)[:1] == [REPORT]
        found = Sheetwise() if ours else learn(self.book)
        return found if self.told is None else put(self.book, found, self.told)

    @cached_property
    def fed(self) -> set[Node]:
        """Every cell that some headline number depends on."""
        return feeding(self.formulas, self.heads)

    @cached_property
    def checked(self) -> set[Node]:
        """Every cell that some check depends on."""
        return feeding(self.formulas, self.master)

    @cached_property
    def read(self) -> set[Node]:
        """Every cell that some formula reads."""
        return read_cells(self.formulas)

    @cached_property
    def operands(self) -> dict[Node, list[Node]]:
        """Cells that formulas calculate with, each with the first such formulas' cells."""
        return operands(self.formulas)

    @cached_property
    def differing(self) -> set[Node]:
        """Cells whose stored value is not the recomputed one; which error an engine shows is its own habit."""
        values = self.book.values
        return {
            at
            for at, value in self.recomputed.values.items()
            if not same(values.get(at), value)
            and not (isinstance(value, ErrorValue) and isinstance(values.get(at), ErrorValue))
        }

    @cached_property
    def roots(self) -> set[Node]:
        """Differing cells that read no other differing cell: where a difference starts."""
        right = {
            at for at, value in self.direct.values.items() if same(self.book.values.get(at), value)
        }  # Python says what is stored
        return starts(self.formulas, self.differing, but=right)

    def address(self, at: Node) -> str:
        return self.book.address(at)

    def text(self, value: Value) -> str:
        return figure(value)

    def with_unit(self, at: Node, value: Value) -> str:
        unit = self.labels.shown_unit(at)
        return f"{figure(value)} {unit}" if unit and isinstance(value, float) else figure(value)

    def area(self, cells: Iterable[Node], most: int = 6) -> str:
        """Cells in words: a column's run as one range, the rest counted."""
        return spans(self.book, list(cells), most)


def starts(formulas: Formulas, differing: set[Node], but: Container[Node] = ()) -> set[Node]:
    """The cells that read no other differing cell."""
    columns = Columns(differing)
    return {
        at for at in differing if at not in but and not any(columns.any_in(area, but=at) for area in formulas.reads(at))
    }


def spans(book: WorkbookData, cells: list[Node], most: int = 6) -> str:
    found: list[str] = []
    cells = sorted(set(cells), key=lambda at: (place(at)[0], place(at)[2], place(at)[1]))
    i = 0
    while i < len(cells):
        sheet, row, col = place(cells[i])
        last = row
        while i + 1 < len(cells) and place(cells[i + 1]) == (sheet, last + 1, col):
            i, last = i + 1, last + 1
        found.append(f"{quoted(book.sheets[sheet].name)}!{a1_area(row, col, last, col)}")
        i += 1
    rest = f" and {len(found) - most} more" if len(found) > most else ""
    return ", ".join(found[:most]) + rest


def copies(count: int) -> str:
    """`, and 3 copies` behind the name of the first of several cells; nothing for a single one."""
    return "" if count < 2 else f", and {count - 1:,} {'copy' if count == 2 else 'copies'}"
