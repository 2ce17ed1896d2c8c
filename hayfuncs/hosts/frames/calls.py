"""Which functions a table takes, what each argument may be, and the call on columns of any library."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.contract import about, remarks
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Block, Flag, Record
from hayfuncs.contract.errors import WrongCall
from hayfuncs.contract.help import docstring
from hayfuncs.contract.scalars import bind

NAMESPACE = "hay"
REASON = "reason"


def by_row(record: Record) -> bool:
    """Whether the function answers each row by itself, in one cell."""
    return not (record.variadic or record.result.block or any(isinstance(a, Block) for a in record.args.values()))


@cache
def records() -> dict[str, Record]:
    """Python name -> record, of every function that a table takes."""
    return {record.python_name: record for record in CATALOGUE.values() if by_row(record)}


def names() -> list[str]:
    """The functions that work on columns, by their Python names."""
    return list(records())


def record_of(name: str) -> Record:
    """The function in any spelling of its name; a refusal says why one has no columns."""
    record = about.find(name, REASON)
    if not by_row(record):
        raise WrongCall(
            f"{record.name} takes a whole block or gives one; call it from Python, not on the rows of a table"
        )
    return record


def bound(record: Record, args: Sequence[Any], kwargs: dict[str, Any]) -> list[Any]:
    """Every argument in the record's order, defaults filled in."""
    return list(bind(record, args, kwargs))


def resolved(record: Record, values: Iterable[Any], columns: Sequence[str], column: Callable[[str], Any]) -> list[Any]:
    """Texts that name a column become that column; a text for a number must be one."""
    found: list[Any] = []
    for (name, arg), value in zip(record.args.items(), values, strict=True):
        if isinstance(value, str) and value in columns:
            found.append(column(value))
        elif isinstance(value, str) and isinstance(arg, (Arg, Flag)):
            raise WrongCall(
                f'{record.name}: {name} is the text "{value}", and no column has that name; the columns are: {", ".join(columns[:20])}'
            )
        else:
            found.append(value)
    return found


def worked(record: Record, values: Sequence[Any]) -> Any:
    """The function's answer on columns that are ready."""
    return getattr(hayfuncs, record.python_name)(*values)


def reasons(record: Record, values: Sequence[Any]) -> Any:
    """Why each row is refused or outside a fitted range, in words; empty where there is nothing to say."""
    return remarks.each(record, values, lambda row: remarks.reason(record, row) or remarks.unfitted(record, row))


def filled(answer: Any, rows: int, record: Record) -> Any:
    """One answer a row, where the call held no column at all."""
    return (
        answer
        if hasattr(answer, "__len__") and not isinstance(answer, str)
        else np.full(rows, answer, dtype=np.float64 if record.numeric else object)
    )


class Methods:
    """`frame.hay`: one method a function, found by its name, with its help."""

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        raise NotImplementedError

    def __getattr__(self, name: str) -> Callable[..., Any]:
        record = records().get(name)
        if record is None:
            raise AttributeError(
                f"hayfuncs has no function {name!r} for the columns of a table; hayfuncs.frames.names() lists them"
            )

        def method(*args: Any, **kwargs: Any) -> Any:
            return self._call(record, args, kwargs, worked)

        method.__name__ = method.__qualname__ = name
        method.__doc__ = docstring(record)
        return method

    def reason(self, function_name: str, *args: Any, **kwargs: Any) -> Any:
        """Why each row of a call is refused or outside a fitted range; empty where there is nothing to say."""
        return self._call(record_of(function_name), args, kwargs, reasons)

    def __dir__(self) -> list[str]:
        return [*records(), REASON]


def is_number(record: Record, name: str) -> bool:
    return isinstance(record.args[name], (Arg, Flag))
