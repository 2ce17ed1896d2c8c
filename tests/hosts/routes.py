"""The routes by which a call is worked out, each run over the same cases.

A route's `design` says where it cannot give what Python gives, why, and what it gives
instead; those answers are checked too, and counted apart.
"""

from __future__ import annotations

import contextlib
import math
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib.metadata import version
from pathlib import Path
from typing import Any

from hosts import casebook, caselib, officelib
from hosts.caselib import Case

from hayfuncs.contract.catalogue import Block, Flag
from hayfuncs.hosts import engine
from hayfuncs.hosts.calc.build import extension
from hayfuncs.hosts.exceludf import name as classic_name

NOT_COMPUTABLE = "not computable on this route"
CLOSE = 1e-9

EXCEL_ERRORS = {
    "Div0": "#DIV/0!", "Na": "#N/A", "Value": "#VALUE!", "Num": "#NUM!", "Name": "#NAME?", "Ref": "#REF!",
}  # fmt: skip

CLOSED = "no closed longhand: needs Python"
OWN_ERROR = "each row is a call of its own, so a refused row keeps its own kind of error"
ALL_ARGUMENTS = "this edition passes every argument"
ZERO_FOR_BLANK = "Calc hands 0 over for a blank cell"
ONE_FOR_TRUE = "Calc hands 1 over for TRUE"
TEXT_BY_ROW = "Calc takes text answers for one row at a time"
ERROR_IN_BLOCK = "Calc answers a block that holds an error cell with Err:504"
DEFAULT_FOR_BLANK = "Excel hands a blank cell over as an argument left out, so its default holds"
NO_ERROR_CELLS = "Python itself has no error cells"


@dataclass(frozen=True)
class Design:
    """By design this route gives `wanted` (or nothing, NOT_COMPUTABLE) and not what Python gives."""

    reason: str
    wanted: Any = NOT_COMPUTABLE


@dataclass(frozen=True)
class Route:
    name: str
    run: Callable[[list[Case]], dict[str, Any]]
    design: Callable[[Case], Design | None] = field(default=lambda case: None)
    needs_office: bool = False
    by: tuple[str, ...] = ()  # the packages that work the calls out
    for_excel: str = ""  # the edition whose check list, filled in with real Excel, speaks for it

    @property
    def seen_in(self) -> str:
        """What the route was run in, by its version; answers of a person with Excel are put beside it."""
        parts = [f"{name} {version(name)}" for name in self.by]
        return ", ".join([officelib.version()] if self.needs_office else parts)


def python_core(cases: list[Case]) -> dict[str, Any]:
    return {case.case: case.core for case in cases}


def core_design(case: Case) -> Design | None:
    return Design(NO_ERROR_CELLS) if case.sort == "error cell" else None


def embedded(way: str) -> Callable[[list[Case]], dict[str, Any]]:
    """formualizer, with the functions registered (`calls`) or with plain operators only (`spelled`)."""

    def run(cases: list[Case]) -> dict[str, Any]:
        book = casebook.Casebook(way, spills=True)
        running = engine.load(book.build(cases))
        running.evaluate_all()
        rows = engine.values(running, casebook.SHEET, book.row, casebook.ARGUMENTS_AT)
        return casebook.answers([list(row) for row in rows], book.places)

    return run


def excel_engine(way: str) -> Callable[[list[Case]], dict[str, Any]]:
    """formulon, which follows Excel 365: LAMBDA names as the file carries them, or plain operators."""

    def run(cases: list[Case]) -> dict[str, Any]:
        import formulon

        book = casebook.Casebook(way)
        with formulon.Workbook.load(book.build(cases)) as running:
            running.recalc()
            width = range(casebook.ARGUMENTS_AT)
            rows = [[excel_value(running.get_value(0, r, c)) for c in width] for r in range(book.row)]
        return casebook.answers(rows, book.places)

    return run


def excel_value(value: Any) -> Any:
    import formulon

    if value.kind == formulon.ValueKind.ERROR:
        name = formulon.ErrorCode(value.error_code).name
        return EXCEL_ERRORS.get(name.title().replace("_", ""), name)
    return value.to_python()


def longhand_design(case: Case) -> Design | None:
    if case.record.longhand is None:
        return Design(CLOSED)
    if len(case.arguments) < len(case.record.args):
        return Design(ALL_ARGUMENTS)
    if isinstance(case.reference, list):
        wanted = one_by_one(case)
        return Design(OWN_ERROR, wanted) if wanted != case.reference else None
    return None


def one_by_one(case: Case) -> list[list[Any]]:
    """The case's elements, each as a call of its own."""
    high, wide = casebook.shape(case.reference)
    found: list[list[Any]] = []
    for r in range(high):
        line: list[Any] = []
        for c in range(wide):
            arguments = [
                casebook.element(a, r, c) if not isinstance(arg, Block) else a
                for a, arg in zip(case.arguments, case.record.args.values(), strict=True)
            ]
            error = next((a["error"] for a in arguments if isinstance(a, dict)), "")
            line.append(error or caselib.core(case.record, arguments))
        found.append(line)
    return found


@contextlib.contextmanager
def office(with_extension: bool) -> Iterator[officelib.Office]:
    with tempfile.TemporaryDirectory(prefix="hayfuncs-") as folder:
        profile = Path(folder, "profile")
        if with_extension:
            file = Path(folder, "hayfuncs.oxt")
            file.write_bytes(extension())
            officelib.add_extension(profile, file)
        started = officelib.Office(profile)
        try:
            yield started
        finally:
            started.end()


def calc(way: str) -> Callable[[list[Case]], dict[str, Any]]:
    """LibreOffice, with the extension (`calls`) or without it (`spelled`)."""

    def run(cases: list[Case]) -> dict[str, Any]:
        book = casebook.Casebook(way)
        with office(way == "calls") as running, tempfile.TemporaryDirectory(prefix="hayfuncs-") as folder:
            path = Path(folder, "cases.xlsx")
            path.write_bytes(book.build(cases))
            opened = running.open(str(path))
            running.calculate(opened)
            area = f"A1:{officelib.column(casebook.ARGUMENTS_AT - 1)}{book.row}"
            rows = running.read(opened, casebook.SHEET, area)
            running.close(opened)
        return casebook.answers(rows, book.places)

    return run


def calc_design(case: Case) -> Design | None:
    """A blank cell arrives as 0 and TRUE as 1; where that is possible the answer is that of 0 or 1."""
    if isinstance(case.reference, list) and not case.record.numeric:
        refused = "Err:504" if case.has_error_cell else "#VALUE!"
        return Design(TEXT_BY_ROW, fill(case.reference, refused))
    if case.has_error_cell and case.sort != "error cell":
        return Design(ERROR_IN_BLOCK, fill(case.reference, "Err:504"))
    arguments = list(case.arguments)
    reason = ""
    for place, (value, arg) in enumerate(zip(arguments, case.record.args.values(), strict=False)):
        if value is None:
            arguments[place], reason = 0.0, ZERO_FOR_BLANK
        elif isinstance(value, bool) and not isinstance(arg, Flag):
            arguments[place], reason = float(value), ONE_FOR_TRUE
    if not reason:
        return None
    wanted = caselib.core(case.record, arguments)
    return Design(reason, wanted) if wanted != case.reference else None


def fill(like: Any, value: Any) -> Any:
    return [[value for _ in row] for row in like] if isinstance(like, list) else value


def xlwings_calls(kind: str) -> Callable[[list[Case]], dict[str, Any]]:
    """xlwings' own call path; `kind` is classic or officejs."""

    def run(cases: list[Case]) -> dict[str, Any]:
        from hosts.xlwingslib import start

        server = start(kind)
        try:
            asked = [[classic_name(case.record), [rows(a) for a in case.arguments]] for case in cases]
            found = server.calls(asked)
        finally:
            server.end()
        return {case.case: like(case.reference, answer) for case, answer in zip(cases, found, strict=True)}

    return run


def rows(argument: Any) -> Any:
    """A column as the host hands it over: rows of cells."""
    return [[v] for v in argument] if isinstance(argument, list) and not isinstance(argument[0], list) else argument


def like(wanted: Any, answer: Any) -> Any:
    """xlwings takes a single cell and a single row out of their rows; put them back where rows are wanted."""
    if isinstance(wanted, list) and not (isinstance(answer, list) and isinstance(answer[0], list)):
        return [answer] if isinstance(answer, list) else [[answer]]
    return answer


def excel_design(case: Case) -> Design | None:
    """A blank cell cannot be told from an argument left out, so it takes the default there is."""
    arguments = list(case.arguments)
    for place, name in enumerate(case.record.args):
        if place < len(arguments) and arguments[place] is None and name in case.record.defaults:
            arguments[place] = case.record.defaults[name]
    if arguments == case.arguments:
        return None
    return Design(DEFAULT_FOR_BLANK, caselib.core(case.record, arguments))


ROUTES = (
    Route("Python", python_core, core_design, by=("numpy",)),
    Route("embedded engine", embedded("calls"), by=("formualizer",)),
    Route("LAMBDA names (formulon)", excel_engine("lambdas"), longhand_design, by=("formulon",), for_excel="functions"),
    Route("plain formulas (formulon)", excel_engine("spelled"), longhand_design, by=("formulon",), for_excel="plain"),
    Route("plain formulas (formualizer)", embedded("spelled"), longhand_design, by=("formualizer",)),
    Route("plain formulas (LibreOffice)", calc("spelled"), longhand_design, needs_office=True),
    Route("LibreOffice extension", calc("calls"), calc_design, needs_office=True),
    Route(
        "Excel for Windows, xlwings call path",
        xlwings_calls("classic"),
        excel_design,
        by=("xlwings",),
        for_excel="classic",
    ),
    Route(
        "Excel Office.js, xlwings call path",
        xlwings_calls("officejs"),
        excel_design,
        by=("xlwings",),
        for_excel="Office.js",
    ),
)


def same(found: Any, wanted: Any) -> bool:
    if isinstance(wanted, list):
        if not isinstance(found, list) or len(found) != len(wanted):
            return False
        return all(
            isinstance(f, list) and len(f) == len(w) and all(map(same, f, w))
            for f, w in zip(found, wanted, strict=True)
        )
    if isinstance(wanted, float):
        number = isinstance(found, (int, float)) and not isinstance(found, bool)
        return number and math.isclose(found, wanted, rel_tol=CLOSE, abs_tol=CLOSE)
    return type(found) is type(wanted) and found == wanted
