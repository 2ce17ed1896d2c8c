"""Routes of tables over the same cases: a column of pandas, polars or dask, a function and a macro of DuckDB.

A case's arguments are the columns of one small table, its elements the rows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from hosts import casebook, caselib
from hosts.caselib import Case
from hosts.routes import Design

from hayfuncs.contract.catalogue import Arg, Flag
from hayfuncs.contract.errors import WrongCall
from hayfuncs.hosts.frames.calls import by_row
from hayfuncs.hosts.frames.duckdb_functions import macros

WHOLE_BLOCK = "takes a whole block, which is no row of a table"
NO_ERROR_CELLS = "a table has no error cells"
ONE_COLUMN = "an argument of a table is one column"
ONE_KIND = "a column of this table holds one kind of value"
MISSING = "a table holds what is refused as missing; a column of reasons says why"
LEFT_OUT = "SQL hands every argument over to a function in Python"
NO_MACRO = "no macro: a text, a table to look up, or no plain arithmetic"
PANDAS_KINDS = {"DOUBLE": "float64", "VARCHAR": "object"}


def columns(case: Case) -> dict[str, list[Any]]:
    high, _ = casebook.shape(case.reference)
    names = list(case.record.args)[: len(case.arguments)]
    return {
        name: [casebook.element(argument, r, 0) for r in range(high)]
        for name, argument in zip(names, case.arguments, strict=True)
    }


def laid_out(case: Case, values: list[Any]) -> Any:
    """A column's answer as the case has it: rows, or one value."""
    plain = [None if v is None or v != v else v for v in values]
    return [[v] for v in plain] if isinstance(case.reference, list) else plain[0]


@dataclass
class Stack:
    """Cases of one function whose columns are of the same kinds, below one another in one table."""

    kinds: tuple[str, ...]
    cases: list[Case] = field(default_factory=list)
    rows: list[list[Any]] = field(default_factory=list)

    @property
    def call(self) -> tuple[str, list[str]]:
        """The function and the names of its columns."""
        record = self.cases[0].record
        return record.python_name, list(record.args)[: len(self.kinds)]

    def add(self, case: Case) -> None:
        self.cases.append(case)
        self.rows += map(list, zip(*columns(case).values(), strict=True))

    def apart(self, answers: list[Any]) -> dict[str, Any]:
        """Each case's own rows of the answer."""
        found: dict[str, Any] = {}
        rest = iter(answers)
        for case in self.cases:
            found[case.case] = laid_out(case, [next(rest) for _ in range(casebook.shape(case.reference)[0])])
        assert next(rest, None) is None
        return found


def stacks(cases: list[Case], kinds: Callable[[Case], list[str] | None]) -> Iterable[Stack]:
    made: dict[Any, Stack] = {}
    for case in cases:
        own = kinds(case)
        assert own is not None
        refused = case.case if len(case.arguments) < len(case.record.args) else ""  # told at once, of the whole table
        made.setdefault((case.function, *own, refused), Stack(tuple(own))).add(case)
    return made.values()


def pandas_columns(cases: list[Case]) -> dict[str, Any]:
    """Columns that hold whatever a person typed."""
    import pandas as pd

    import hayfuncs.frames  # noqa: F401  # gives the frames their methods

    found: dict[str, Any] = {}
    for case in cases:
        frame = pd.DataFrame({name: pd.Series(values, dtype=object) for name, values in columns(case).items()})
        try:
            answer = getattr(frame.hay, case.record.python_name)(*frame.columns)
            found[case.case] = laid_out(case, list(answer))
        except WrongCall as error:
            found[case.case] = error.excel
    return found


def polars_frame(given: dict[str, list[Any]]) -> Any:
    import polars as pl

    return pl.DataFrame([pl.Series(name, one_kind(values)) for name, values in given.items()])


def dask_parts(cases: list[Case]) -> dict[str, Any]:
    """Columns in parts, of the kinds that a file of columns has."""
    import dask
    import dask.dataframe as dd
    import pandas as pd

    import hayfuncs.frames  # noqa: F401  # gives the frames their methods

    found: dict[str, Any] = {}
    for stack in stacks(cases, table_kinds):
        name, names = stack.call
        frame = pd.DataFrame(stack.rows, columns=names).astype(
            dict(zip(names, map(PANDAS_KINDS.get, stack.kinds), strict=True))
        )
        try:
            answer = getattr(dd.from_pandas(frame, npartitions=2).hay, name)(*names)
        except WrongCall as error:
            found |= {case.case: error.excel for case in stack.cases}
            continue
        with dask.config.set(scheduler="synchronous"):
            found |= stack.apart(list(answer.compute()))
    return found


def one_kind(values: list[Any]) -> list[Any] | None:
    """The values where one kind of column can hold them: numbers, texts, or yes and no."""
    kinds = {float if type(v) is int else type(v) for v in values if v is not None}
    if len(kinds) > 1:
        return None
    return [float(v) if type(v) is int else v for v in values]


def polars_lazy(cases: list[Case]) -> dict[str, Any]:
    """As expressions of a frame that is not worked out yet."""
    import polars as pl

    import hayfuncs.frames  # noqa: F401  # gives the expressions their methods

    found: dict[str, Any] = {}
    for case in cases:
        given = columns(case)
        first, *rest = given
        try:
            method = getattr(pl.col(first).hay, case.record.python_name)
            answer = polars_frame(given).lazy().select(method(*map(pl.col, rest)).alias("answer")).collect()
            found[case.case] = laid_out(case, answer["answer"].to_list())
        except WrongCall as error:
            found[case.case] = error.excel
    return found


def table_kinds(case: Case) -> list[str] | None:
    """The kinds of the columns as a database keeps them; None where a value has no place in its column."""
    kinds: list[str] = []
    for values, arg in zip(columns(case).values(), case.record.args.values(), strict=False):
        number = isinstance(arg, (Arg, Flag))
        for value in values:
            fits = (type(value) is str) is not number and (type(value) is not bool or isinstance(arg, Flag))
            if value is not None and not fits:
                return None
        kinds.append("DOUBLE" if number else "VARCHAR")
    return kinds


def duckdb_calls(in_python: bool) -> Callable[[list[Case]], dict[str, Any]]:
    """A query a function, on a table of the columns."""

    def run(cases: list[Case]) -> dict[str, Any]:
        import duckdb

        import hayfuncs.frames

        connection = duckdb.connect(config={"threads": 1})
        hayfuncs.frames.register(connection, in_python)
        found: dict[str, Any] = {}
        for stack in stacks(cases, table_kinds):
            name, names = stack.call
            quoted = [f'"{n}"' for n in names]
            fields = ", ".join(f"{n} {kind}" for n, kind in zip(quoted, stack.kinds, strict=True))
            connection.execute(f"CREATE OR REPLACE TEMPORARY TABLE given (row_number INTEGER, {fields})")
            marks = ", ".join("?" * (len(names) + 1))
            connection.executemany(f"INSERT INTO given VALUES ({marks})", [[i, *r] for i, r in enumerate(stack.rows)])
            query = f"SELECT hay_{name}({', '.join(quoted)}) FROM given ORDER BY row_number"
            found |= stack.apart([row[0] for row in connection.execute(query).fetchall()])
        return found

    return run


def missing(value: Any) -> Any:
    if isinstance(value, list):
        return [missing(v) for v in value]
    return None if value in caselib.ERRORS else value


def table_design(case: Case) -> Design | None:
    if not by_row(case.record):
        return Design(WHOLE_BLOCK)
    if case.has_error_cell:
        return Design(NO_ERROR_CELLS)
    if any(casebook.shape(a)[1] > 1 for a in case.arguments) or casebook.shape(case.reference)[1] > 1:
        return Design(ONE_COLUMN)
    wanted = missing(case.reference)
    if len(case.arguments) < len(case.record.args) and case.reference in caselib.ERRORS:
        return None  # an argument left out is told at once
    return Design(MISSING, wanted) if wanted != case.reference else None


def polars_design(case: Case) -> Design | None:
    design = table_design(case)
    if design is not None and design.reason != MISSING:
        return design
    return Design(ONE_KIND) if any(one_kind(values) is None for values in columns(case).values()) else design


def typed_design(case: Case) -> Design | None:
    """Where a column is a number's or a word's, and holds nothing else."""
    design = table_design(case)
    if (design is None or design.reason == MISSING) and table_kinds(case) is None:
        return Design(ONE_KIND)
    return design


def function_design(case: Case) -> Design | None:
    design = typed_design(case)
    if (design is None or design.reason == MISSING) and len(case.arguments) < len(case.record.args):
        return Design(LEFT_OUT)
    return design


@cache
def with_macro() -> frozenset[str]:
    return frozenset(name for name, _ in macros())


def macro_design(case: Case) -> Design | None:
    without = by_row(case.record) and case.record.python_name not in with_macro()
    return Design(NO_MACRO) if without else typed_design(case)
