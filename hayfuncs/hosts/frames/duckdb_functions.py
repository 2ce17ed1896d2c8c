"""DuckDB: `hay_tdn_from_adf(adf, 'western alfalfa')` in SQL.

Where the longhand is plain arithmetic the function is a SQL macro, which the database runs itself, on every core.
Every other one runs in Python on columns by Arrow.  What is missing or refused gives NULL, and
`hay_reason_tdn_from_adf(...)` says in words why.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from hayfuncs.contract.catalogue import Arg, Flag, Record
from hayfuncs.hosts.frames.calls import reasons, records, worked
from hayfuncs.hosts.frames.sql import NotPlain, expression, named, quoted

PREFIX, REASON = "hay_", "hay_reason_"


def macros() -> Iterator[tuple[str, str]]:
    """(function's Python name, statement that makes its macro) for each that is plain arithmetic; any SQL engine of this dialect takes them."""
    for name, record in records().items():
        try:
            body = expression(record)
        except NotPlain:
            continue
        yield name, f"CREATE OR REPLACE TEMPORARY MACRO {PREFIX}{name}({_parameters(record)}) AS ({body})"


def _parameters(record: Record) -> str:
    given = [named(n) + (f" := {_literal(record.defaults[n])}" if n in record.defaults else "") for n in record.args]
    return ", ".join(given)


def _literal(value: Any) -> str:
    return quoted(value) if isinstance(value, str) else repr(float(value))


def register(connection: Any, in_python: bool = False) -> list[str]:
    """Make every function known to a DuckDB connection; gives their names in SQL.

    `in_python` leaves the macros out, so that all run in Python behind the contract, which the tests compare.
    """
    made = {} if in_python else dict(macros())
    found: list[str] = []
    for name, record in records().items():
        if name in made:
            connection.execute(made[name])
        else:
            _function(connection, PREFIX + name, record, _answers(record), record.numeric)
        _function(connection, REASON + name, record, _reasons(record), False)
        found += [PREFIX + name, REASON + name]
    return found


def _function(connection: Any, name: str, record: Record, run: Callable[..., Any], numeric: bool) -> None:
    kinds = ["DOUBLE" if isinstance(a, (Arg, Flag)) else "VARCHAR" for a in record.args.values()]
    kind = inspect.Parameter.POSITIONAL_OR_KEYWORD  # the database counts them
    run.__signature__ = inspect.Signature([inspect.Parameter(n, kind) for n in record.args])  # type: ignore[attr-defined]  # functions take attributes
    connection.create_function(
        name, run, kinds, "DOUBLE" if numeric else "VARCHAR", type="arrow", null_handling="special"
    )


def _answers(record: Record) -> Callable[..., Any]:
    import pyarrow as pa

    def run(*columns: Any) -> Any:
        answer = worked(record, [ready(c) for c in columns])
        if record.numeric:
            numbers = np.asarray(answer, dtype=np.float64)
            return pa.array(np.broadcast_to(numbers, len(columns[0])), from_pandas=True)
        texts = [answer] * len(columns[0]) if isinstance(answer, str) else list(answer)
        return pa.array([t if isinstance(t, str) else None for t in texts], pa.string())

    return run


def _reasons(record: Record) -> Callable[..., Any]:
    import pyarrow as pa

    return lambda *columns: pa.array(list(reasons(record, columns)), pa.string())


def ready(column: Any) -> Any:
    """Numbers as numpy has them; words as a dictionary, so that each word is read once."""
    import pyarrow as pa

    return column.dictionary_encode() if pa.types.is_string(column.type) else column.to_numpy()
