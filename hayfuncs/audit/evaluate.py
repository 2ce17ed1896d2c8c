"""Formulas worked out from the *stored* values beside them, a whole column of copies at a time.

A second reading of the arithmetic, apart from the engine: only what a call's arguments are made of
(references, INDEX, MATCH, MIN, MAX, IF, plain operators); anything else is Unsupported and said so.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from typing import Any

from hayfuncs.audit.graph import Formulas, Pattern, Rectangle, hay_name
from hayfuncs.audit.sheetfunctions import FUNCTIONS
from hayfuncs.audit.values import DIV, NUM, REF, Many, Unsupported, each, number, truth
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.spreadsheet.limits import BLOCK
from hayfuncs.spreadsheet.parser import (
    Area,
    Binary,
    ErrorLiteral,
    FunctionCall,
    Missing,
    NameRef,
    Number,
    Text,
    Tree,
    Truth,
    Unary,
    plain_name,
)
from hayfuncs.spreadsheet.tokens import CellRef


def _arithmetic(op: Callable[[float, float], float]) -> Callable[[Any, Any], Any]:
    def run(left: Any, right: Any) -> Any:
        left, right = number(left), number(right)
        for side in (left, right):
            if isinstance(side, ErrorValue):
                return side
        try:
            result = op(left, right)
        except ZeroDivisionError:
            return DIV
        except (OverflowError, ValueError):
            return NUM
        return result if not isinstance(result, complex) and math.isfinite(result) else NUM

    return run


def _compare(op: Callable[[Any, Any], bool]) -> Callable[[Any, Any], Any]:
    def run(left: Any, right: Any) -> Any:
        for side in (left, right):
            if isinstance(side, ErrorValue):
                return side
        left, right = _alike(left, right), _alike(right, left)
        return op(_rank(left), _rank(right))

    return run


def _alike(value: Any, other: Any) -> Any:
    if value is None:  # a blank takes the kind of what it is compared with
        return "" if isinstance(other, str) else False if isinstance(other, bool) else 0.0
    return value


def _rank(value: Any) -> tuple[int, Any]:
    """Spreadsheets put numbers before texts before TRUE and FALSE."""
    if isinstance(value, bool):
        return 2, value
    if isinstance(value, str):
        return 1, value.casefold()
    return 0, float(value)


def _join(left: Any, right: Any) -> Any:
    for side in (left, right):
        if isinstance(side, ErrorValue):
            return side
    return shown(left) + shown(right)


def shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    return f"{value:.15g}" if isinstance(value, float) else str(value)


BINARY: dict[str, Callable[[Any, Any], Any]] = {
    "+": _arithmetic(operator.add), "-": _arithmetic(operator.sub), "*": _arithmetic(operator.mul),
    "/": _arithmetic(operator.truediv), "^": _arithmetic(operator.pow), "&": _join,
    "=": _compare(operator.eq), "<>": _compare(operator.ne), "<": _compare(operator.lt), ">": _compare(operator.gt),
    "<=": _compare(operator.le), ">=": _compare(operator.ge),
}  # fmt: skip


class Evaluator:
    """Works out trees over the stored values of one workbook."""

    def __init__(self, formulas: Formulas) -> None:
        self.formulas, self.book = formulas, formulas.book
        self.columns: dict[Rectangle, list[Value]] = {}
        self.function: Callable[[str, Sequence[Any], Sequence[Node]], Any] | None = None

    def pattern(self, pattern: Pattern) -> list[Any]:
        """The value of every cell of a pattern, in the order of its cells."""
        assert pattern.tree is not None
        return spread(self.work(pattern.tree, pattern, pattern.cells), len(pattern.cells))

    def work(self, tree: Tree, pattern: Pattern, cells: Sequence[Node]) -> Any:
        if isinstance(tree, Number):
            return tree.value
        if isinstance(tree, (Text, Truth)):
            return tree.value
        if isinstance(tree, ErrorLiteral):
            return ErrorValue(tree.value)
        if isinstance(tree, Missing):
            return None
        if isinstance(tree, Area):
            return self._area(tree.ref, pattern, cells)
        if isinstance(tree, NameRef):
            return self._name(tree.name, pattern)
        if isinstance(tree, Unary):
            inner = self.work(tree.inner, pattern, cells)
            by = {"-": lambda v: BINARY["-"](0.0, v), "+": lambda v: v, "%": lambda v: BINARY["/"](v, 100.0)}[tree.op]
            return each(by, inner)
        if isinstance(tree, Binary):
            return each(BINARY[tree.op], self.work(tree.left, pattern, cells), self.work(tree.right, pattern, cells))
        if isinstance(tree, FunctionCall):
            return self._call(tree, pattern, cells)
        raise Unsupported("an array, a union or a table reference")

    def _area(self, ref: CellRef, pattern: Pattern, cells: Sequence[Node]) -> Any:
        sheet = self.formulas.sheet_number(ref, pattern.sheet)
        if sheet is None:
            return REF
        if not ref.single:
            if ref.fixed != 15 and len(cells) > 1:
                raise Unsupported("an area that moves with its cell")
            _, row, col = place(cells[0])
            _, head_row, head_col = place(pattern.head)
            to = ref.moved(row - head_row, col - head_col)
            return (sheet, to.row, to.col, to.last_row, to.last_col)
        values = self.book.values
        if ref.fixed == 15:
            return values.get(node(sheet, ref.row, ref.col))
        _, head_row, head_col = place(pattern.head)
        out = Many()
        for at in cells:
            _, row, col = place(at)
            r = ref.row if ref.fixed & 1 else ref.row + row - head_row
            c = ref.col if ref.fixed & 2 else ref.col + col - head_col
            out.append(values.get(node(sheet, r, c)) if r >= 0 and c >= 0 else REF)
        return out

    def _name(self, name: str, pattern: Pattern) -> Any:
        found = self.formulas.name_trees.get(name.casefold())
        if isinstance(found, Area):
            return self._area(found.ref, pattern, [pattern.head])
        if isinstance(found, (Number, Text)):
            return found.value
        raise Unsupported(f"the name {name}")

    def _call(self, tree: FunctionCall, pattern: Pattern, cells: Sequence[Node]) -> Any:
        name = plain_name(tree.name)
        if hay_name(tree.name):
            if self.function is None:
                raise Unsupported("a call within a call")
            args = [self.work(arg, pattern, cells) for arg in tree.args]
            return self.function(
                hay_name(tree.name), [self.block(a) if isinstance(a, tuple) else a for a in args], cells
            )
        if name == "IF":
            return self._if(tree, pattern, cells)
        known = FUNCTIONS.get(name)
        if known is None:
            raise Unsupported(f"the function {name}")
        return known(self, [self.work(arg, pattern, cells) for arg in tree.args])

    def _if(self, tree: FunctionCall, pattern: Pattern, cells: Sequence[Node]) -> Any:
        """Only the branch that a cell takes is worked out for it."""
        test = self.work(tree.args[0], pattern, cells)
        branches = [*tree.args[1:], Truth(False)][:2]
        if not isinstance(test, Many):
            chosen = truth(test)
            return chosen if isinstance(chosen, ErrorValue) else self.work(branches[0 if chosen else 1], pattern, cells)
        out = Many(truth(t) for t in test)
        for wanted, branch in ((True, branches[0]), (False, branches[1])):
            places = [i for i, t in enumerate(out) if t is wanted]
            if places:
                part = spread(self.work(branch, pattern, [cells[i] for i in places]), len(places))
                for i, value in zip(places, part, strict=True):
                    out[i] = (value,)  # boxed, so that a FALSE that is an answer is no longer a test
        return Many(v[0] if isinstance(v, tuple) else v for v in out)

    def block(self, area: Rectangle) -> list[list[Value]]:
        sheet, row, col, last_row, last_col = area
        info = self.book.sheets[sheet]
        last_row, last_col = min(last_row, max(info.last_row, row)), min(last_col, max(info.last_col, col))
        size = (last_row - row + 1) * (last_col - col + 1)
        if size > BLOCK:
            raise Unsupported(f"an area of {size:,} cells")
        get = self.book.values.get
        return [[get(node(sheet, r, c)) for c in range(col, last_col + 1)] for r in range(row, last_row + 1)]

    def column(self, area: Rectangle) -> list[Value]:
        """The values of an area of one row or one column, kept for the next caller."""
        if area not in self.columns:
            self.columns[area] = [value for line in self.block(area) for value in line]
        return self.columns[area]


def spread(value: Any, count: int) -> list[Any]:
    if isinstance(value, Many):
        return value
    if isinstance(value, tuple):
        raise Unsupported("an area where one value must stand")
    return [value] * count
