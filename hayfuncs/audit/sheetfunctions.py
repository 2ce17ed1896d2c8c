"""The spreadsheet functions that the second reading knows: those that arguments are made of."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Protocol

from hayfuncs.audit.graph import Rectangle
from hayfuncs.audit.values import NA, REF, Many, Unsupported, each, number, truth
from hayfuncs.spreadsheet.contents import ErrorValue, Value


class Evaluator(Protocol):
    """What a function asks of the reading it runs in."""

    def block(self, area: Rectangle) -> list[list[Value]]: ...

    def column(self, area: Rectangle) -> list[Value]: ...


def _index(self: Evaluator, args: list[Any]) -> Any:
    area = args[0]
    if not isinstance(area, tuple) or len(args) > 3:
        raise Unsupported("INDEX of a computed array")
    block = self.block(area) if len(args) == 3 else None
    line = self.column(area) if block is None else []

    def pick(row: Any, col: Any = None) -> Any:
        row, col = number(row), number(col)
        for place_in in (row, col):
            if isinstance(place_in, ErrorValue):
                return place_in
        try:
            if block is None:
                return line[int(row) - 1] if row >= 1 else REF
            return block[int(row) - 1][int(col) - 1] if row >= 1 and col >= 1 else REF
        except IndexError:
            return REF

    return each(pick, *args[1:])


def _match(self: Evaluator, args: list[Any]) -> Any:
    if len(args) != 3 or not isinstance(args[1], tuple) or isinstance(args[2], Many) or number(args[2]) != 0:
        raise Unsupported("MATCH that is not exact")
    places: dict[Any, int] = {}
    for i, value in enumerate(self.column(args[1]), 1):
        places.setdefault(value.casefold() if isinstance(value, str) else value, i)

    def find(wanted: Any) -> Any:
        if isinstance(wanted, ErrorValue):
            return wanted
        if isinstance(wanted, str) and any(mark in wanted for mark in "*?~"):
            raise Unsupported("MATCH with wildcards")
        place_in = places.get(wanted.casefold() if isinstance(wanted, str) else wanted)
        return NA if place_in is None or wanted is None else float(place_in)

    return each(find, args[0])


def _gather(by: Callable[[list[float]], Any], counting: bool = False) -> Callable[[Evaluator, list[Any]], Any]:
    """A function of any number of values and areas: texts and blanks in areas are left out."""

    def run(self: Evaluator, args: list[Any]) -> Any:
        fixed: list[float] = []
        fault: ErrorValue | None = None
        for arg in args:
            if isinstance(arg, tuple):
                for value in self.column(arg):
                    if isinstance(value, ErrorValue):
                        fault = fault or value
                    elif isinstance(value, float):
                        fixed.append(value)
        loose = [arg for arg in args if not isinstance(arg, tuple)]

        def one(*values: Any) -> Any:
            if counting:
                return by(fixed + [v for v in values if isinstance(v, float)])
            if fault is not None:
                return fault
            # single cells are references too: their texts and blanks are left out
            fault_here = next((v for v in values if isinstance(v, ErrorValue)), None)
            return fault_here or by(fixed + [v for v in values if isinstance(v, float)])

        return each(one, *loose)

    return run


def _all_or_any(by: Callable[[list[bool]], bool]) -> Callable[[Evaluator, list[Any]], Any]:
    def run(_: Evaluator, args: list[Any]) -> Any:
        def one(*values: Any) -> Any:
            tests = [truth(v) for v in values]
            return next((t for t in tests if isinstance(t, ErrorValue)), None) or by([bool(t) for t in tests])

        return each(one, *args)

    return run


def _simple(by: Callable[[Any], Any]) -> Callable[[Evaluator, list[Any]], Any]:
    def run(_: Evaluator, args: list[Any]) -> Any:
        if len(args) != 1:
            raise Unsupported("a call with other arguments than usual")
        return each(by, args[0])

    return run


FUNCTIONS: dict[str, Callable[[Evaluator, list[Any]], Any]] = {
    "INDEX": _index, "MATCH": _match,
    "SUM": _gather(math.fsum), "MAX": _gather(lambda v: max(v, default=0.0)), "MIN": _gather(lambda v: min(v, default=0.0)),
    "COUNT": _gather(lambda v: float(len(v)), counting=True),
    "AND": _all_or_any(all), "OR": _all_or_any(any), "NOT": _simple(lambda v: t if isinstance(t := truth(v), ErrorValue) else not t),
    "N": _simple(lambda v: v if isinstance(v, ErrorValue) else 0.0 if v is None or isinstance(v, str) else float(v)),
    "ABS": _simple(lambda v: n if isinstance(n := number(v), ErrorValue) else abs(n)),
    "ISNUMBER": _simple(lambda v: isinstance(v, float)), "ISBLANK": _simple(lambda v: v is None),
    "ROWS": lambda _, args: float(args[0][3] - args[0][1] + 1) if isinstance(args[0], tuple) else 1.0,
    "COLUMNS": lambda _, args: float(args[0][4] - args[0][2] + 1) if isinstance(args[0], tuple) else 1.0,
}  # fmt: skip
