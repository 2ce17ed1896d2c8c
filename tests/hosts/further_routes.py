"""Two more routes over the same cases: the names put into a workbook of one's own, and a pandas column."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hosts import casebook, caselib
from hosts.caselib import Case
from hosts.routes import Design, Route, excel_value, longhand_design

from hayfuncs.contract.errors import WrongCall
from hayfuncs.hosts.frames.calls import by_row
from hayfuncs.hosts.own_workbook.into import added

WHOLE_BLOCK = "takes a whole block, which is no row of a table"
NO_ERROR_CELLS = "a table has no error cells"
ONE_COLUMN = "an argument of a table is one column"
MISSING = "a table holds what is refused as missing; a column of reasons says why"


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


def pandas_column(cases: list[Case]) -> dict[str, Any]:
    return {case.case: one_frame(case) for case in cases}


def one_frame(case: Case) -> Any:
    import pandas as pd

    import hayfuncs.frames  # noqa: F401  # gives the frame its method

    high, _ = casebook.shape(case.reference)
    names = list(case.record.args)[: len(case.arguments)]
    columns = {
        name: pd.Series([casebook.element(argument, r, 0) for r in range(high)], dtype=object)
        for name, argument in zip(names, case.arguments, strict=True)
    }
    try:
        answer = getattr(pd.DataFrame(columns).hay, case.record.python_name)(*names)
    except WrongCall as error:
        return error.excel
    values = [None if pd.isna(v) else v for v in answer.tolist()]
    return [[v] for v in values] if isinstance(case.reference, list) else values[0]


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


def missing(value: Any) -> Any:
    if isinstance(value, list):
        return [missing(v) for v in value]
    return None if value in caselib.ERRORS else value


FURTHER = (
    Route("LAMBDA names put into a workbook (formulon)", own_workbook, longhand_design),
    Route("pandas column", pandas_column, table_design),
)
