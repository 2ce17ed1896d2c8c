"""A function's answer worked out line by line in figures, with its equation, limits and sources."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from hayfuncs.contract import about
from hayfuncs.contract.blocks import called
from hayfuncs.contract.catalogue import Longhand, Name, Record, Words
from hayfuncs.contract.columns import is_block
from hayfuncs.contract.errors import UNSPOKEN, HayError
from hayfuncs.contract.remarks import unfitted
from hayfuncs.contract.scalars import bind
from hayfuncs.contract.tables import citation
from hayfuncs.formulas.branches import live_steps, settled
from hayfuncs.formulas.figures import figure, formula, written
from hayfuncs.formulas.lookup_tables import shipped
from hayfuncs.formulas.template import fill
from hayfuncs.spreadsheet.a1 import letters
from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.spreadsheet.engine_values import plain_value
from hayfuncs.spreadsheet.parser import Binary, FunctionCall, NameRef, Number, Tree, plain_name, tree

MARK = "v_"  # before a name, so that an argument such as `n` is no function and no cell


@dataclass
class Line:
    """One line of the working: what it is, its value, its arithmetic in figures."""

    label: str
    value: Value
    unit: str
    arithmetic: str = ""

    def text(self) -> str:
        shown = self.value if isinstance(self.value, str) and " " in self.value else figure(self.value, self.unit)
        return f"{self.label}: {shown}" + (
            f" = {self.arithmetic}" if self.arithmetic and self.arithmetic != shown else ""
        )


@dataclass
class Worked:
    """A call worked out: its result and the lines that lead there."""

    record: Record
    result: Line
    lines: list[Line] = field(default_factory=list)

    def sources(self) -> list[str]:
        return [f"{citation(ref.key)}, {ref.where} [{ref.evidence}]" for ref in self.record.refs]


def explain(name: str, *args: Any) -> str:
    """How a function comes to its answer, in lines of words and figures.

    `explain("AS_FED_WEIGHT", 24, 70)` works the call out from its arguments to its result, with
    the equation, what is outside a fitted range, and every source with its evidence class.
    """
    record = about.find(name, "EXPLAIN")
    values = list(args) if record.variadic else list(bind(record, args, {}))
    answer = called(record, tuple(values), {})  # a refusal says what is wrong, as for any call
    lines = [f"{record.sheet_name}: {record.summary}", f"  Equation: {record.equation}", "  Given"]
    for (arg_name, arg), value in zip(record.args.items(), values, strict=False):
        lines.append(f"    {arg_name}: {_given(value, arg.unit)}  ({arg.meaning}; possible: {arg.allowed()})")
    done = work(record, values) if not any(map(is_block, values)) else None
    if done is not None:
        if done.lines:
            lines.append("  Worked")
            lines += [f"    {line.text()}" for line in done.lines]
        lines.append(f"  Result: {done.result.text()}")
    else:
        lines.append(f"  Result: {record.result.meaning}: {_given(answer, record.result.unit)}")
        if record.longhand is None and record.no_longhand:
            lines.append(f"  No arithmetic in lines: {record.no_longhand}")
    outside = unfitted(record, values)
    if outside:
        lines.append(f"  Note: {outside}")
    sources = [f"{citation(ref.key)}, {ref.where} [{ref.evidence}]" for ref in record.refs]
    return "\n".join(
        [*lines, *(f"  Source: {text}" for text in sources), f"  Evidence, weakest link: {record.evidence}"]
    )


def _given(value: Any, unit: str) -> str:
    if is_block(value):
        return "a block of cells"
    plain = float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value
    return figure(plain, spoken(unit))


def spoken(unit: str) -> str:
    return "" if unit in UNSPOKEN or unit in ("word", "name", "text", "block") else unit


def work(record: Record, values: Sequence[Any]) -> Worked | None:
    """The longhand of a call in figures; None where the function has none or refuses the call."""
    if not isinstance(record.longhand, Longhand) or record.variadic:
        return None
    try:
        answer = called(record, tuple(values), {})
    except HayError:
        return None
    refs = {name: _ref(record, name, value) for name, value in zip(record.args, values, strict=True)}
    desk = Desk(record, dict(zip(record.args, values, strict=True)))
    lines: list[Line] = []
    for step in live_steps(record, refs):
        text = settled(record, step.formula, refs)
        value, arithmetic = desk.line(text)
        if value != "":  # a caution that does not apply is no line
            lines.append(Line(step.label, value, spoken(step.unit), arithmetic))
        desk.values[step.name], desk.units[step.name] = value, spoken(step.unit)
    arithmetic = desk.line(settled(record, record.longhand.result, refs))[1] if record.numeric else ""
    result = float(answer) if isinstance(answer, (int, float)) and not isinstance(answer, bool) else answer
    return Worked(record, Line(record.result.meaning, result, spoken(record.result.unit), arithmetic), lines)


def _ref(record: Record, name: str, value: Any) -> str:
    """Words as they stand in a formula, so that their branch is known; everything else by its name."""
    if isinstance(record.args[name], Words) and isinstance(value, str):
        arg = record.args[name]
        assert isinstance(arg, Words)
        word = next((w for w in arg.words if w.casefold() == value.strip().casefold()), value)
        return f'"{word}"'
    return MARK + name


class Desk:
    """Where a longhand is worked: values by name, a small engine for the arithmetic."""

    def __init__(self, record: Record, values: dict[str, Any]) -> None:
        import formualizer

        self.record = record
        self.values: dict[str, Any] = dict(values)
        self.units = {name: spoken(arg.unit) for name, arg in record.args.items()}
        self.book = formualizer.Workbook()
        self.book.add_sheet("desk")
        self.book.add_sheet("tables")
        self.columns: dict[str, str] = {}

    def line(self, text: str) -> tuple[Value, str]:
        """The value of one formula of the longhand, and its arithmetic in figures."""
        refs = {name: self._literal(name) for name in self.values}
        value = self.evaluate(fill(self.record, text, refs, self._table))
        names = {name: refs[name] if self._worded(name) else MARK + name for name in self.values}
        root = self.chosen(tree(fill(self.record, text, names, self._table)))
        return value, written(root, self._leaf)

    def _worded(self, name: str) -> bool:
        arg = self.record.args.get(name)
        return isinstance(arg, (Words, Name))

    def _literal(self, name: str) -> str:
        value = self.values[name]
        if isinstance(value, bool):
            return "TRUE" if value else "FALSE"
        if isinstance(value, str):
            return '"' + value.replace('"', '""') + '"'
        text = repr(float(value))
        return f"({text})" if text.startswith("-") else text

    def evaluate(self, text: str) -> Value:
        self.book.set_formula("desk", 1, 1, "=" + text)
        value = plain_value(self.book.evaluate_cell("desk", 1, 1))
        if isinstance(value, str) and value.startswith("#") and value.isupper():
            return ErrorValue(value)
        return float(value) if isinstance(value, int) and not isinstance(value, bool) else value

    def _table(self, table: str, column: str) -> str:
        """A column of a shipped table on the engine's second sheet."""
        key = f"{table}.{column}"
        if key not in self.columns:
            at = len(self.columns) + 1
            cells = shipped()[table][column]
            for row, value in enumerate(cells, 1):
                self.book.set_value("tables", row, at, value)
            letter = letters(at - 1)
            self.columns[key] = f"tables!${letter}$1:${letter}${len(cells)}"
        return self.columns[key]

    def _leaf(self, part: Tree) -> str | None:
        if isinstance(part, NameRef):
            name = part.name.removeprefix(MARK)
            return figure(
                self.values[name] if not isinstance(self.values[name], int) else float(self.values[name]),
                self.units[name],
            )
        if isinstance(part, FunctionCall) and plain_name(part.name) in ("INDEX", "MATCH"):
            return figure(self.evaluate(self._filled(part)))
        return None

    def _filled(self, part: Tree) -> str:
        """A part of the formula with every name as its value."""
        return re.sub(rf"\b{MARK}(\w+)", lambda m: self._literal(m.group(1)), formula(part))

    def chosen(self, part: Tree) -> Tree:
        """The branch that the values take, wherever the formula asks."""
        if isinstance(part, FunctionCall):
            name = plain_name(part.name)
            if name == "IF" and len(part.args) >= 2:
                test = self.evaluate(self._filled(part.args[0]))
                taken = (
                    part.args[1]
                    if test not in (False, 0.0)
                    else (part.args[2] if len(part.args) > 2 else Number(0.0, "0"))
                )
                return self.chosen(taken)
            if name == "CHOOSE":
                place = self.evaluate(self._filled(part.args[0]))
                if isinstance(place, float) and 1 <= place < len(part.args):
                    return self.chosen(part.args[int(place)])
            return FunctionCall(part.name, tuple(self.chosen(arg) for arg in part.args))
        if isinstance(part, Binary):
            return Binary(part.op, self.chosen(part.left), self.chosen(part.right))
        return part
