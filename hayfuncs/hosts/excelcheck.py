"""The ten-minute check list for a person with Excel: a workbook of named checks that must all be TRUE.

Two editions: `functions` carries the functions as LAMBDA names and needs nothing
installed; `classic` calls `HAY_NAME`, for Excel with Python.  The calls are check rows of the
library (`excelcheck.tsv`), each with the value its source prints, and the refusals of the contract.
"""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import hayfuncs
from hayfuncs import __version__
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Name, Record
from hayfuncs.contract.errors import HayError
from hayfuncs.contract.files import replacing
from hayfuncs.formulas.lambdas import has_lambda, lambda_text, needs
from hayfuncs.formulas.lookup_tables import table
from hayfuncs.hosts import exceludf
from hayfuncs.hosts.excelsteps import (
    ABOUT_ROW,
    ABOUT_YOU,
    ANSWER_AT,
    ANSWERS,
    CHECKS,
    EDITION_ROW,
    REMARK_AT,
    SEND,
    SHEET,
    STEPS,
    TEXT_AT,
)
from hayfuncs.hosts.excelsteps import FIRST_ROW as STEP_ROW
from hayfuncs.spreadsheet.a1 import a1, letters

EDITIONS = ("functions", "classic")
ERROR_TYPES = {"#VALUE!": 3, "#NUM!": 6, "#N/A": 7}  # what ERROR.TYPE gives
FIRST_ROW, CALL_AT, ARGUMENTS_AT = 5, 1, 6  # rows and columns from 0
BLANK_REFUSED, TEXT_REFUSED, RANGE_REFUSED = "a blank cell", "a text for a number", "an impossible number"


@dataclass(frozen=True)
class Check:
    """One row: the call, what it must give, and in words why."""

    name: str
    record: Record
    arguments: list[Any]
    wanted: Any
    why: str


def calls() -> list[tuple[str, list[Any], str]]:
    """(function, arguments, what its source prints) of the shipped check rows."""
    lines = (files("hayfuncs.hosts") / "excelcheck.tsv").read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return [(function, json.loads(arguments), printed) for function, arguments, printed in rows[1:]]


def carried(record: Record, edition: str) -> bool:
    return edition == "classic" or has_lambda(record)


def checks(edition: str) -> list[Check]:
    found: list[Check] = []

    def add(record: Record, arguments: list[Any], wanted: Any, why: str) -> None:
        number = sum(c.record is record for c in found) + 1
        found.append(Check(f"test_{record.python_name}_{number}", record, arguments, wanted, why))

    for function, arguments, printed in calls():
        record = CATALOGUE[function]
        if carried(record, edition):
            answer = getattr(hayfuncs, record.python_name)(*arguments)
            add(record, arguments, answer, f"a check row; its source prints {printed or 'nothing to say'}")
    firsts = {check.record.name: check for check in reversed(found)}
    for first in firsts.values():
        for arguments, why in refused(first.record, first.arguments):
            try:
                getattr(hayfuncs, first.record.python_name)(*arguments)
            except HayError as error:
                add(first.record, arguments, error.excel, f"{why} is refused with {error.excel}")
    return sorted(found, key=lambda c: list(CATALOGUE).index(c.record.name))


def refused(record: Record, arguments: list[Any]) -> list[tuple[list[Any], str]]:
    """The call with one argument that the contract refuses, for the first number and the first name."""
    found: list[tuple[list[Any], str]] = []
    number = next((i for i, a in enumerate(record.args.values()) if isinstance(a, Arg)), None)
    if number is not None:
        arg = list(record.args.values())[number]
        assert isinstance(arg, Arg)
        for value, why in ((None, BLANK_REFUSED), ("wet", TEXT_REFUSED), (arg.hi * 2 + 1, RANGE_REFUSED)):
            found.append(([value if i == number else a for i, a in enumerate(arguments)], why))
    name = next((i for i, a in enumerate(record.args.values()) if isinstance(a, Name)), None)
    if name is not None:
        found.append((["no such name" if i == name else a for i, a in enumerate(arguments)], "an unknown name"))
    return found


def save(path: Path, edition: str = "functions", force: bool = False) -> int:
    """Writes the workbook; gives the number of checks in it."""
    listed = checks(edition)
    content = workbook(listed, edition)
    with replacing(path, force) as beside:
        beside.write_bytes(content)
    return len(listed)


def workbook(listed: list[Check], edition: str) -> bytes:
    import xlsxwriter

    stream = io.BytesIO()
    file = xlsxwriter.Workbook(stream, {"in_memory": True, "strings_to_formulas": False})
    looks = {
        "title": file.add_format({"bold": True, "font_size": 15}),
        "head": file.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "text": file.add_format({"text_wrap": True, "valign": "top"}),
        "input": file.add_format({"bg_color": "#FFF8DC", "border": 1, "border_color": "#BBBBBB"}),
        "wrong": file.add_format({"bg_color": "#B00020", "font_color": "#FFFFFF", "bold": True}),
    }
    _steps(file.add_worksheet(SHEET), looks, edition)
    sheet = file.add_worksheet(CHECKS)
    if edition == "functions":
        ranges = _tables(file, [c.record for c in listed])
        for record in {c.record.name: c.record for c in listed}.values():
            file.define_name(record.sheet_name, "=" + lambda_text(record, lambda t, c: ranges[t, c]))
    last = FIRST_ROW + len(listed) - 1
    sheet.write(0, 0, "Checks: every cell in column D must be TRUE", looks["title"])
    area = f"$D${FIRST_ROW + 1}:$D${last + 1}"
    banner = f'=IF(COUNTIF({area},TRUE)={len(listed)},"all TRUE",{len(listed)}-COUNTIF({area},TRUE)&" not TRUE")'
    sheet.write_formula(1, 0, banner, looks["title"], "all TRUE")
    file.define_name("test_all", "=Checks!$A$2")
    heads = ("check", "call", "must give", "TRUE?", "why", "function", "arguments (change them and see)")
    for col, head in enumerate(heads):
        sheet.write(FIRST_ROW - 1, col, head, looks["head"])
    for row, check in enumerate(listed, FIRST_ROW):
        _check(sheet, row, check, edition, looks)
        file.define_name(check.name, f"=Checks!$D${row + 1}")
    for col, width in enumerate((34, 16, 16, 8, 46, 30)):
        sheet.set_column(col, col, width)
    sheet.set_column(ARGUMENTS_AT, ARGUMENTS_AT + 12, 14)
    rule = {"type": "cell", "criteria": "!=", "value": "TRUE", "format": looks["wrong"]}
    sheet.conditional_format(FIRST_ROW, 3, last, 3, rule)
    sheet.freeze_panes(FIRST_ROW, 2)
    for page in file.worksheets():
        page.set_landscape()
        page.fit_to_pages(1, 0)
    file.close()
    return stream.getvalue()


def _check(sheet: Any, row: int, check: Check, edition: str, looks: dict[str, Any]) -> None:
    refs: list[str] = []
    for i, value in enumerate(check.arguments):
        at = ARGUMENTS_AT + i
        if value is None:
            sheet.write_blank(row, at, None, looks["input"])
        else:
            sheet.write(row, at, value, looks["input"])
        refs.append(a1(row, at, "rc"))
    name = check.record.sheet_name if edition == "functions" else exceludf.name(check.record)
    call = f"={name}({','.join(refs)})"
    if edition == "functions":
        sheet.write_dynamic_array_formula(row, CALL_AT, row, CALL_AT, call, None, check.wanted)
    else:
        sheet.write_formula(row, CALL_AT, call, None, check.wanted)
    here, must = f"B{row + 1}", f"C{row + 1}"
    if check.wanted in ERROR_TYPES:
        kind = ERROR_TYPES[check.wanted]
        test = f"=IF(ISERROR({here}),ERROR.TYPE({here})={kind},FALSE)"
        sheet.write_string(row, 2, check.wanted)
    elif isinstance(check.wanted, str):
        test = f"=EXACT({here},{must})"
        sheet.write_string(row, 2, check.wanted)
    else:
        test = f"=IF(ISNUMBER({here}),ABS({here}-{must})<=0.000000001*MAX(1,ABS({must})),FALSE)"
        sheet.write_number(row, 2, check.wanted)
    sheet.write_formula(row, 3, test, None, True)
    sheet.write_string(row, 0, check.name)
    sheet.write_string(row, 4, check.why)
    sheet.write_string(row, 5, name)


def _steps(sheet: Any, looks: dict[str, Any], edition: str) -> None:
    sheet.set_column(0, 0, 4)
    sheet.set_column(1, 1, 90, looks["text"])
    sheet.set_column(ANSWER_AT, ANSWER_AT, 16)
    sheet.set_column(REMARK_AT, REMARK_AT, 50)
    sheet.write(0, 0, f"hayfuncs {__version__}: does Excel agree?  Ten minutes.", looks["title"])
    kind = "the functions are in this file; nothing need be installed"
    if edition == "classic":
        kind = "import the functions first: xlwings tab, UDF Modules: hayfuncs.hosts.excel, Import Functions"
    sheet.write(EDITION_ROW, 0, f"Edition {edition}: {kind}.")
    for row, (_, asked) in enumerate(ABOUT_YOU, ABOUT_ROW):
        sheet.write_string(row, TEXT_AT, asked, looks["text"])
        sheet.write_blank(row, ANSWER_AT, None, looks["input"])
    for col, head in (
        (TEXT_AT, "do this, and look"),
        (ANSWER_AT, "does it hold?"),
        (REMARK_AT, "what you saw, if not"),
    ):
        sheet.write(STEP_ROW - 1, col, head, looks["head"])
    for row, step in enumerate(STEPS, STEP_ROW):
        sheet.write(row, 0, row - STEP_ROW + 1)
        sheet.write_string(row, TEXT_AT, step.text, looks["text"])
        sheet.write_blank(row, ANSWER_AT, None, looks["input"])
        sheet.write_blank(row, REMARK_AT, None, looks["input"])
    choice = {"validate": "list", "source": list(ANSWERS), "error_message": f"Choose {', '.join(ANSWERS)}."}
    sheet.data_validation(STEP_ROW, ANSWER_AT, STEP_ROW + len(STEPS) - 1, ANSWER_AT, choice)
    sheet.write_string(STEP_ROW + len(STEPS) + 1, TEXT_AT, SEND, looks["text"])


def _tables(file: Any, records: list[Record]) -> dict[tuple[str, str], str]:
    """The table columns that the LAMBDA names look up, on a sheet of their own."""
    pairs = sorted({pair for record in records for pair in needs(record)})
    ranges: dict[tuple[str, str], str] = {}
    if not pairs:
        return ranges
    sheet = file.add_worksheet("Tables")
    for col, (name, column) in enumerate(pairs):
        values = table(name).column(column)
        sheet.write_string(0, col, f"{name}: {column}")
        for row, value in enumerate(values, 1):
            if value not in (None, ""):
                sheet.write(row, col, value)
        letter = letters(col)
        ranges[name, column] = f"Tables!${letter}$2:${letter}${len(values) + 1}"
    return ranges
