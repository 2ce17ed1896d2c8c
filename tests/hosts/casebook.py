"""The cases laid out on one sheet of a workbook, in the three ways a workbook can hold a call.

`calls`: one formula a case, a block as an array formula or (`spills`) in its first cell.  `lambdas` and `spelled`: one
formula for each element, as those editions hold it, with the functions as LAMBDA names or
spelled out in ordinary operators with a cell for each step.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import xlsxwriter
from hosts.caselib import Case
from hosts.officelib import column

from hayfuncs.contract.catalogue import CATALOGUE, Block, Record
from hayfuncs.formulas.lambdas import lambda_text
from hayfuncs.formulas.lookup_tables import table as laid_out
from hayfuncs.formulas.template import fill, guard, tables_used

SHEET, TABLES = "Cases", "Tables"
ARGUMENTS_AT = 14  # first column of arguments; the answers stand left of it
ERROR_FORMULAS = {"#N/A": "=NA()", "#DIV/0!": "=1/0"}


@dataclass(frozen=True)
class Place:
    """Where a case's answer stands."""

    row: int
    rows: int
    columns: int
    scalar: bool


def shape(value: Any) -> tuple[int, int]:
    if not isinstance(value, list):
        return 1, 1
    return (len(value), len(value[0])) if isinstance(value[0], list) else (len(value), 1)


def cell(row: int, col: int) -> str:
    return f"${column(col)}${row + 1}"


class Casebook:
    def __init__(self, way: str, spills: bool = False) -> None:
        self.way, self.spills = way, spills
        self.stream = io.BytesIO()
        self.file = xlsxwriter.Workbook(self.stream, {"in_memory": True})
        self.sheet = self.file.add_worksheet(SHEET)
        self.places: dict[str, Place] = {}
        self.row = 0
        self.ranges: dict[tuple[str, str], str] = {}

    def build(self, cases: Iterable[Case]) -> bytes:
        cases = list(cases)
        if self.way != "calls":
            self.tables([CATALOGUE[name] for name in {case.function: None for case in cases}])
        for case in cases:
            self.case(case)
        if self.way == "lambdas":
            for name in {case.function: None for case in cases}:
                record = CATALOGUE[name]
                self.file.define_name(record.sheet_name, "=" + lambda_text(record, self.table_range))
        self.file.close()
        return self.stream.getvalue()

    def tables(self, records: list[Record]) -> None:
        sheet = self.file.add_worksheet(TABLES)
        pairs = sorted({pair for record in records for pair in tables_used(record)})
        for col, (table, name) in enumerate(pairs):
            values = laid_out(table).column(name)
            for row, value in enumerate(values):
                if value not in (None, ""):
                    sheet.write(row, col, value)
            self.ranges[table, name] = f"{TABLES}!${column(col)}$1:${column(col)}${len(values)}"

    def table_range(self, table: str, name: str) -> str:
        return self.ranges[table, name]

    def case(self, case: Case) -> None:
        rows, columns = shape(case.reference)
        self.places[case.case] = Place(self.row, rows, columns, not isinstance(case.reference, list))
        refs: list[tuple[str, Any]] = []
        at, height = ARGUMENTS_AT, rows
        for argument in case.arguments:
            high, wide = shape(argument)
            for r in range(high):
                for c in range(wide):
                    self.value(self.row + r, at + c, element(argument, r, c))
            refs.append((cell(self.row, at), argument))
            at += wide
            height = max(height, high)
        if self.way == "calls":
            self.call(case, refs, rows, columns)
        else:
            for r in range(rows):
                for c in range(columns):
                    at = self.one(case.record, self.row + r, c, self.references(case, r, c), at)
        self.row += height

    def value(self, row: int, col: int, value: Any) -> None:
        if isinstance(value, dict):
            self.sheet.write_formula(row, col, ERROR_FORMULAS[value["error"]], None, value["error"])
        elif isinstance(value, str):
            self.sheet.write_string(row, col, value)
        elif value is not None:
            self.sheet.write(row, col, value)

    def call(self, case: Case, refs: list[tuple[str, Any]], rows: int, columns: int) -> None:
        texts = self.whole(case)
        formula = f"={case.record.sheet_name}({','.join(texts)})"
        if rows * columns == 1 and not isinstance(case.reference, list):
            self.sheet.write_formula(self.row, 0, formula)
        elif self.spills:
            self.sheet.write_dynamic_array_formula(self.row, 0, self.row, 0, formula)
        else:
            self.sheet.write_array_formula(self.row, 0, self.row + rows - 1, columns - 1, "{" + formula + "}")

    def whole(self, case: Case) -> list[str]:
        """Each argument as a reference to all its cells."""
        texts: list[str] = []
        at = ARGUMENTS_AT
        for argument in case.arguments:
            high, wide = shape(argument)
            first = cell(self.row, at)
            area = isinstance(argument, list)
            texts.append(f"{first}:{cell(self.row + high - 1, at + wide - 1)}" if area else first)
            at += wide
        return texts

    def references(self, case: Case, row: int, col: int) -> list[str]:
        """Each argument as the cell that belongs to one element of the answer; block arguments whole."""
        texts: list[str] = []
        at = ARGUMENTS_AT
        for text, argument, arg in zip(self.whole(case), case.arguments, case.record.args.values(), strict=False):
            _, wide = shape(argument)
            if isinstance(argument, list) and not isinstance(arg, Block):
                text = cell(self.row + row, at + (col if wide > 1 else 0))
            texts.append(text)
            at += wide
        return texts

    def one(self, record: Record, row: int, col: int, refs: list[str], at: int) -> int:
        """One element's formula; gives the next free column for its steps."""
        if self.way == "lambdas":
            formula = f"={record.sheet_name}({','.join(refs)})"
            self.sheet.write_dynamic_array_formula(row, col, row, col, formula)
            return at
        assert record.longhand is not None
        known = dict(zip(record.args, refs, strict=True))
        given = dict(known)
        for step in record.longhand.steps:
            self.sheet.write_formula(row, at, "=" + fill(record, step.formula, known, self.table_range))
            known[step.name] = cell(row, at)
            at += 1
        body = fill(record, record.longhand.result, known, self.table_range)
        self.sheet.write_formula(row, col, "=" + guard(record, given, body))
        return at


def element(argument: Any, row: int, col: int) -> Any:
    if not isinstance(argument, list):
        return argument
    return argument[row][col] if isinstance(argument[0], list) else argument[row]


def answers(rows: list[list[Any]], places: dict[str, Place]) -> dict[str, Any]:
    """Each case's answer out of the sheet's values: a scalar, or rows."""
    found: dict[str, Any] = {}
    for name, place in places.items():
        lines = [[at(rows, place.row + r, c) for c in range(place.columns)] for r in range(place.rows)]
        found[name] = lines[0][0] if place.scalar else lines
    return found


def at(rows: list[list[Any]], row: int, col: int) -> Any:
    value = rows[row][col] if row < len(rows) and col < len(rows[row]) else None
    return "" if value is None else value
