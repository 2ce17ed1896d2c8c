"""More routes over the same cases: the names put into a workbook of one's own, its calls answered, and tables."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

from hosts import casebook
from hosts.caselib import Case
from hosts.routes import Route, excel_value, longhand_design
from hosts.table_routes import (
    dask_parts,
    duckdb_calls,
    function_design,
    macro_design,
    pandas_columns,
    polars_design,
    polars_lazy,
    table_design,
    typed_design,
)  # fmt: skip

from hayfuncs.hosts.own_workbook.answer import answered
from hayfuncs.hosts.own_workbook.into import added


class WithoutNames(casebook.Casebook):
    """The calls as the LAMBDA edition holds them, in a workbook that does not know the names."""

    def build(self, cases: Any) -> bytes:
        for case in cases:
            self.case(case)
        self.file.close()
        return self.stream.getvalue()


def own_workbook(cases: list[Case]) -> dict[str, Any]:
    import formulon

    book = WithoutNames("lambdas")
    made = added(Path("OWN.xlsx"), book.build(cases), [], False).data
    with formulon.Workbook.load(made) as running:
        running.recalc()
        width = range(casebook.ARGUMENTS_AT)
        rows = [[excel_value(running.get_value(0, r, c)) for c in width] for r in range(book.row)]
    return casebook.answers(rows, book.places)


def answered_workbook(cases: list[Case]) -> dict[str, Any]:
    """`hayfuncs answer`: the values that it stores in a workbook that holds the calls and no functions."""
    from openpyxl import load_workbook

    book = casebook.Casebook("calls")
    made = answered(Path("OWN.xlsx"), book.build(cases)).data
    sheet = load_workbook(io.BytesIO(made), data_only=True, read_only=True)[casebook.SHEET]
    rows = [list(row) for row in sheet.iter_rows(max_row=book.row, max_col=casebook.ARGUMENTS_AT, values_only=True)]
    return casebook.answers(rows, book.places)


FURTHER = (
    Route(
        "LAMBDA names put into a workbook by `into` (formulon)",
        own_workbook,
        longhand_design,
        by=("formulon",),
        for_excel="functions",
    ),
    Route("values put into a workbook by `answer`", answered_workbook, by=("formualizer",)),
    Route("pandas column", pandas_columns, table_design, by=("pandas",)),
    Route("polars column, lazy", polars_lazy, polars_design, by=("polars",)),
    Route("dask column, in parts", dask_parts, typed_design, by=("dask",)),
    Route("DuckDB, function in Python", duckdb_calls(in_python=True), function_design, by=("duckdb",)),
    Route("DuckDB, macro", duckdb_calls(in_python=False), macro_design, by=("duckdb",)),
)
