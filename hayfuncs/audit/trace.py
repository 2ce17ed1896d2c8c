"""From one cell down to what it rests on: every precedent with label, value, unit and arithmetic.

The values are the stored ones.  Where a formula chooses (IF, CHOOSE, INDEX, MATCH), the branch
that the stored values take is followed, so that the tree is the derivation of this number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from hayfuncs.audit.direct import call, one
from hayfuncs.audit.evaluate import Evaluator
from hayfuncs.audit.graph import Formulas, Pattern, hay_name
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.origin import Origins
from hayfuncs.audit.taken import Tests, own_pattern, taken, value_of
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.formulas.explain import Worked, work
from hayfuncs.formulas.figures import figure, written
from hayfuncs.spreadsheet.a1 import Node, a1_area, node
from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.spreadsheet.parser import Area, FunctionCall, NameRef, Number, Text, Tree, plain_name, walk

DEEPEST, LONGEST = 40, 1_500  # levels and lines of a tree
WIDE = 12  # cells of an area that are followed one by one


@dataclass
class Step:
    """One line of the tree."""

    depth: int
    cell: str
    label: str
    value: Value
    unit: str
    kind: str  # formula, function, input, constant, empty, range, source, line
    arithmetic: str = ""
    source: str = ""

    def text(self) -> str:
        indent = "  " * self.depth
        if self.kind == "source":
            return f"{indent}{self.label}"
        head = f"{self.cell}  " if self.cell else ""
        shown = figure(self.value, self.unit)
        words = f"{indent}{head}{self.label}: {shown}"
        if self.arithmetic and self.arithmetic != shown:
            words += (
                f", {self.arithmetic}" if self.arithmetic.startswith(("since ", "not ")) else f" = {self.arithmetic}"
            )
        if self.source:
            words += f"   [{self.source}]"
        return words


class Tracer:
    """Follows cells of one workbook."""

    def __init__(self, formulas: Formulas, labels: Labels) -> None:
        self.formulas, self.labels, self.book = formulas, labels, formulas.book
        self.evaluator = Evaluator(formulas)
        self.evaluator.function = self._call
        self.origins = Origins(self.book, formulas, labels)
        self.steps: list[Step] = []
        self.seen: dict[Node, int] = {}

    @staticmethod
    def _call(name: str, args: Sequence[Any], cells: Sequence[Node]) -> Any:
        return call(name, args, len(cells)) if name in CATALOGUE else ErrorValue("#NAME?")

    def trace(self, at: Node) -> list[Step]:
        self.steps, self.seen = [], {}
        self._cell(at, 0)
        if len(self.steps) > LONGEST:
            cut = Step(0, "", f"The rest is left out after {LONGEST:,} lines: trace a cell of it", None, "", "source")
            self.steps = [*self.steps[:LONGEST], cut]
        return self.steps

    def _add(self, depth: int, at: Node, kind: str, arithmetic: str = "", source: str = "") -> None:
        value = self.book.values.get(at)
        unit = self.labels.shown_unit(at)
        self.steps.append(
            Step(depth, self.book.address(at), self.labels.label(at), value, unit, kind, arithmetic, source)
        )

    def _cell(self, at: Node, depth: int) -> None:
        if len(self.steps) > LONGEST:
            return
        if at in self.seen and at in self.book.formulas:
            self._add(depth, at, "formula", source=f"worked out above, line {self.seen[at]}")
            return
        self.seen[at] = len(self.steps) + 1
        if at not in self.book.formulas:
            kind = "empty" if not self.book.filled(at) else "constant" if self.book.look(at).locked else "input"
            self._add(depth, at, kind, source=self.origins.of(at, kind))
            return
        pattern = own_pattern(self.book.formulas[at], at)
        if pattern is None or pattern.tree is None or depth >= DEEPEST:
            why = "deeper than this tree goes" if depth >= DEEPEST else "its formula cannot be read"
            self._add(depth, at, "formula", source=why)
            return
        tests: Tests = []
        root = taken(pattern.tree, pattern, self.evaluator, tests)
        found: list[Node] = []
        arithmetic = written(root, lambda part: self._leaf(part, pattern, found))
        if tests and isinstance(root, (Text, Number)):  # a word or a number chosen: the reason is the test
            test, holds = tests[-1]
            arithmetic = f"{'since' if holds else 'not'} {written(test, lambda part: self._leaf(part, pattern, found))}"
        called = [part for part in _calls(root) if hay_name(part.name) in CATALOGUE]
        self._add(
            depth,
            at,
            "function" if called else "formula",
            arithmetic,
            "" if called else self.origins.constants(at, root),
        )
        for part in called:
            self._function(part, pattern, depth + 1)
        for to in dict.fromkeys(found):
            if to != at:
                self._cell(to, depth + 1)

    def _value(self, part: Tree, pattern: Pattern) -> Any:
        return value_of(part, pattern, self.evaluator)

    def _leaf(self, part: Tree, pattern: Pattern, found: list[Node]) -> str | None:
        """What stands for a reference in figures; the cells behind it are noted for the next level."""
        if isinstance(part, FunctionCall) and plain_name(part.name) == "INDEX":
            at = self._picked(part, pattern)
            if at is not None:
                found.append(at)
                found += self._places(part.args[1:], pattern)
                return self._shown(at)
            return None
        if isinstance(part, FunctionCall) and plain_name(part.name) == "MATCH":
            found += self._places(part.args[:1], pattern)
            area = self._area(part.args[1], pattern) if len(part.args) > 1 else None
            wanted = self._value(part.args[0], pattern)
            if area is None or wanted is None:
                return None
            return f"the place of {figure(wanted)} in {self.book.sheets[area[0]].name}, {self._span(area)}"
        if not isinstance(part, (Area, NameRef)):
            return None
        area = self._area(part, pattern)
        if area is None:
            return part.name if isinstance(part, NameRef) else None
        sheet, row, col, last_row, last_col = area
        if (row, col) == (last_row, last_col):
            found.append(node(sheet, row, col))
            return self._shown(node(sheet, row, col))
        cells = [at for at in self._filled(area) if self.book.filled(at)]
        if len(cells) <= WIDE:
            found += cells
        return f"[{len(cells):,} cells of {self.book.sheets[sheet].name}, {self._span(area)}]"

    def _filled(self, area: tuple[int, int, int, int, int]) -> list[Node]:
        sheet, row, col, last_row, last_col = area
        info = self.book.sheets[sheet]
        rows = range(row, min(last_row, info.last_row) + 1)
        return [
            at
            for r in rows
            for c in range(col, min(last_col, info.last_col) + 1)
            if (at := node(sheet, r, c)) in self.book.values
        ]

    @staticmethod
    def _span(area: tuple[int, int, int, int, int]) -> str:
        return a1_area(*area[1:])

    def _shown(self, at: Node) -> str:
        return figure(self.book.values.get(at), self.labels.shown_unit(at))

    def _area(self, part: Tree, pattern: Pattern) -> tuple[int, int, int, int, int] | None:
        if isinstance(part, NameRef):
            areas = self.formulas.name_areas.get(part.name.casefold(), ())
            ref = areas[0] if len(areas) == 1 else None
        else:
            ref = part.ref if isinstance(part, Area) else None
        sheet = None if ref is None else self.formulas.sheet_number(ref, pattern.sheet)
        return None if ref is None or sheet is None else (sheet, ref.row, ref.col, ref.last_row, ref.last_col)

    def _picked(self, part: FunctionCall, pattern: Pattern) -> Node | None:
        """The cell that INDEX picks."""
        area = self._area(part.args[0], pattern) if part.args else None
        places = [self._value(arg, pattern) for arg in part.args[1:]]
        if area is None or not places or not all(isinstance(p, float) and p >= 1 for p in places):
            return None
        sheet, row, col, last_row, last_col = area
        if len(places) == 2:
            return node(sheet, row + int(places[0]) - 1, col + int(places[1]) - 1)
        down = int(places[0]) - 1
        return node(sheet, row, col + down) if row == last_row and col != last_col else node(sheet, row + down, col)

    def _places(self, parts: Sequence[Tree], pattern: Pattern) -> list[Node]:
        """Single cells inside the part that says which row is meant."""
        found: list[Node] = []
        for part in parts:
            for piece in _every(part):
                area = self._area(piece, pattern)
                if area is not None and area[1:3] == area[3:]:
                    found.append(node(*area[:3]))
        return found

    def _function(self, part: FunctionCall, pattern: Pattern, depth: int) -> None:
        """The working of one call and the sources of its equation."""
        record = CATALOGUE[hay_name(part.name)]
        values = [self._value(arg, pattern) for arg in part.args]
        blocks = any(isinstance(v, (list, tuple)) for v in values)
        done: Worked | None = None
        if not blocks and not record.variadic and len(values) == len(record.args):
            done = work(record, values)
        if done is not None:
            for line in [*done.lines, done.result]:
                self.steps.append(Step(depth, "", line.label, line.value, line.unit, "line", line.arithmetic))
        elif not blocks:
            self.steps.append(Step(depth, "", record.result.meaning, one(record, values), "", "line", record.equation))
        for ref in record.refs:
            self.steps.append(Step(depth, "", f"{record.sheet_name}: {self.origins.cite(ref)}", None, "", "source"))


def _calls(root: Tree) -> list[FunctionCall]:
    return [part for part in _every(root) if isinstance(part, FunctionCall)]


def _every(root: Tree) -> list[Tree]:
    return list(walk(root))
