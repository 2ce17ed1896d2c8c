"""Each cell that calls a function, worked out straight from the Python function.

The arguments are the stored values beside the cell, so one wrong cell is found at its own place:
what follows from it is consistent with it and stays quiet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.audit.evaluate import Evaluator
from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.values import Many, Unsupported
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Block, Record
from hayfuncs.contract.errors import HayError
from hayfuncs.hosts.engine import cell_value
from hayfuncs.spreadsheet.a1 import Node
from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.spreadsheet.engine_values import plain_value


@dataclass
class Direct:
    """Function cells: what Python says of each, and why some were left to the engine alone."""

    values: dict[Node, Value] = field(default_factory=dict)
    skipped: dict[Node, str] = field(default_factory=dict)
    # (function, argument) -> cells that call it with a number outside the range the equation was fitted to
    unfitted: dict[tuple[str, str], dict[Node, float]] = field(default_factory=dict)

    @property
    def total(self) -> int:
        return len(self.values) + len(self.skipped)


def direct(formulas: Formulas) -> Direct:
    out = Direct()
    evaluator = Evaluator(formulas)

    def function(name: str, args: Sequence[Any], cells: Sequence[Node]) -> Any:
        _note_fit(out, CATALOGUE[name], args, cells)
        return call(name, args, len(cells))

    evaluator.function = function
    for pattern in formulas.patterns.values():
        if not pattern.hay or pattern.tree is None:
            continue
        unknown = [name for name in pattern.hay if name not in CATALOGUE]
        if unknown:
            out.skipped |= dict.fromkeys(pattern.cells, f"the function {unknown[0]} is not in this version")
            continue
        try:
            values = evaluator.pattern(pattern)
        except Unsupported as why:
            out.skipped |= dict.fromkeys(pattern.cells, f"an argument holds {why}")
            continue
        out.values.update(zip(pattern.cells, map(as_stored, values), strict=True))
    return out


def _note_fit(out: Direct, record: Record, args: Sequence[Any], cells: Sequence[Node]) -> None:
    for (name, arg), given in zip(record.args.items(), args, strict=False):
        if not isinstance(arg, Arg) or arg.fit is None:
            continue
        low, high = arg.fit
        values = given if isinstance(given, Many) else [given] * len(cells)
        for at, value in zip(cells, values, strict=True):
            if isinstance(value, float) and not low <= value <= high and arg.possible(value):
                out.unfitted.setdefault((record.name, name), {})[at] = value


def as_stored(value: Any) -> Value:
    return float(value) if isinstance(value, (int, np.floating)) and not isinstance(value, bool) else value


def call(name: str, args: Sequence[Any], count: int) -> Any:
    """A function over the cells of a pattern: all at once where its arguments are single values."""
    record = CATALOGUE[name]
    varying = [i for i, arg in enumerate(args) if isinstance(arg, Many)]
    if not varying:
        return one(record, args)
    if (
        record.variadic
        or any(isinstance(a, Block) for a in record.args.values())
        or any(isinstance(a, list) and not isinstance(a, Many) for a in args)
    ):
        return Many(one(record, [a[k] if isinstance(a, Many) else a for a in args]) for k in range(count))
    found = _at_once(record, args, count)
    lines = [[a[k] if isinstance(a, Many) else a for a in args] for k in range(count)]
    # a refused element comes back as NaN: the single call knows which error the cell must show
    return Many(one(record, line) if value is None else value for value, line in zip(found, lines, strict=True))


def _at_once(record: Record, args: Sequence[Any], count: int) -> list[Any]:
    ready: list[Any] = []
    for arg in args:
        if isinstance(arg, Many):
            column = np.empty((count, 1), dtype=object)
            column[:, 0] = [None if isinstance(v, ErrorValue) else v for v in arg]
            ready.append(column)
        elif isinstance(arg, ErrorValue):
            return [None] * count
        else:
            ready.append(arg)
    try:
        result = getattr(hayfuncs, record.python_name)(*ready)
    except HayError:
        return [None] * count
    if not isinstance(result, np.ndarray) or result.shape != (count, 1):
        return [None] * count
    return [None if v != v else v for v in result[:, 0].tolist()]


def one(record: Record, args: Sequence[Any]) -> Any:
    """A single call as a cell would show it."""
    for arg in args:
        if isinstance(arg, ErrorValue):
            return arg
    try:
        value = plain_value(cell_value(getattr(hayfuncs, record.python_name)(*args)))
    except HayError as error:
        return ErrorValue(error.excel)
    except TypeError:  # more or fewer arguments than the function has
        return ErrorValue("#VALUE!")
    while isinstance(value, list):
        value = plain_value(value[0]) if value else None
    return ErrorValue(value) if isinstance(value, str) and value.startswith("#") and value.isupper() else value
