"""LAMBDA names: written into a workbook, recalculated by an engine that knows LAMBDA, equal to the functions."""

from __future__ import annotations

import io
import re
import zipfile
from typing import Any

import formulon
import points
import pytest
import sheetlib
import xlsxwriter

from hayfuncs.contract.catalogue import Arg, Flag, Record
from hayfuncs.contract.lint import cell_like
from hayfuncs.formulas.lambdas import FORMULA_LIMIT, all_with_lambda, lambda_text
from hayfuncs.formulas.template import tables_used

RECORDS = [r for r in all_with_lambda() if not points.takes_blocks(r)]
each_lambda = pytest.mark.parametrize("record", all_with_lambda(), ids=lambda r: r.name)
GOOD = 12  # answered calls of each function
CALLS = "Calls"


def calls(record: Record) -> list[list[Any]]:
    """Answered calls, calls that a rule may refuse, and calls with one impossible argument."""
    rows = points.good(record, GOOD) + points.candidates(record, 4, salt=7)
    base = rows[0]
    for at, arg in enumerate(record.args.values()):
        bad: list[Any] = [None, "no such word"]
        if isinstance(arg, Arg):
            # a file keeps 16 digits of a number, so the nearest impossible one is not the next float
            bad += [
                arg.hi + 1e-9 * max(1.0, abs(arg.hi)),
                arg.hi * 2 + 1,
                arg.lo - 1e-9 * max(1.0, abs(arg.lo)),
                arg.lo - 1,
            ]
            bad += [arg.lo] if arg.above else []
        if isinstance(arg, Flag):
            bad += [2]
        rows += [[*base[:at], one, *base[at + 1 :]] for one in bad]
    return rows


def workbook(rows: dict[str, list[list[Any]]]) -> bytes:
    """A workbook with every LAMBDA name, the tables they look up, and a row of cells for each call."""
    used = set().union(*(tables_used(r) for r in all_with_lambda()))
    cells, places = sheetlib.table_layout(used)
    target = io.BytesIO()
    book = xlsxwriter.Workbook(target, {"in_memory": True})
    sheet = book.add_worksheet(CALLS)
    side = book.add_worksheet(sheetlib.TABLES)
    for r, line in enumerate(cells):
        for c, cell in enumerate(line):
            if cell is not None:
                side.write(r, c, cell)
    for record in all_with_lambda():
        text = lambda_text(record, lambda table, column: places[table, column])
        assert book.define_name(record.sheet_name, "=" + text) is not False
    at = 0
    for record in RECORDS:
        width = len(record.args)
        for values in rows[record.name]:
            for c, value in enumerate(values):
                if value is not None:
                    sheet.write(at, c, value)
            refs = ",".join(f"{sheetlib.letter(c)}{at + 1}" for c in range(width))
            sheet.write_dynamic_array_formula(at, width, at, width, f"={record.sheet_name}({refs})", None, 0)
            at += 1
    book.close()
    return target.getvalue()


@pytest.fixture(scope="module")
def made() -> tuple[dict[str, list[list[Any]]], bytes, dict[str, list[Any]]]:
    """The calls of each function, the file, and what the engine makes of each call."""
    rows = {record.name: calls(record) for record in RECORDS}
    data = workbook(rows)
    book = formulon.Workbook.load(data)
    book.recalc()
    found: dict[str, list[Any]] = {}
    at = 0
    for record in RECORDS:
        found[record.name] = [plain(book.get_value(0, at + i, len(record.args))) for i in range(len(rows[record.name]))]
        at += len(rows[record.name])
    return rows, data, found


def plain(value: formulon.Value) -> Any:
    if value.kind == formulon.ValueKind.ERROR:
        return formulon.error_display_name(value.error_code)
    return value.to_python()


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: r.name)
def test_lambda_is_the_function(record: Record, made: Any) -> None:
    rows, _, found = made
    answered = 0
    for values, got in zip(rows[record.name], found[record.name], strict=True):
        want = points.outcome(record, values)
        said = f"{values}: function {want!r}, LAMBDA {got!r}"
        assert type(got) is type(want), said
        assert points.same(want, got, 1e-9), said
        answered += not (isinstance(want, str) and want.startswith("#"))
    assert answered >= min(GOOD, len(rows[record.name]))


def test_block_lambda_is_the_function() -> None:
    """A function of whole blocks takes cell ranges."""
    target = io.BytesIO()
    book = xlsxwriter.Workbook(target, {"in_memory": True})
    sheet = book.add_worksheet(CALLS)
    whole = [r for r in all_with_lambda() if points.takes_blocks(r)]
    assert [r.name for r in whole] == ["WEIGHTED_MEAN"]
    book.define_name("HAY.WEIGHTED_MEAN", "=" + lambda_text(whole[0]))
    sheet.write_column(0, 0, [10, 14, 9])
    sheet.write_column(0, 1, [30, 10, 0])
    for row, area in enumerate(("A1:A2,B1:B2", "A1:A3,B1:B3", "A1:A4,B1:B4", "A3,B3")):
        sheet.write_dynamic_array_formula(row, 3, row, 3, f"=HAY.WEIGHTED_MEAN({area})", None, 0)
    book.close()
    loaded = formulon.Workbook.load(target.getvalue())
    loaded.recalc()
    assert [plain(loaded.get_value(0, row, 3)) for row in range(4)] == [11.0, 11.0, "#VALUE!", "#NUM!"]


@each_lambda
def test_lambda_as_it_is_stored(record: Record) -> None:
    _, places = sheetlib.table_layout(tables_used(record))
    text = lambda_text(record, lambda table, column: places[table, column])
    assert len(text) <= FORMULA_LIMIT
    assert text.startswith("_xlfn.LAMBDA(")
    assert "{" not in text
    assert len(record.args) <= 253
    outside_texts = re.sub(r'"[^"]*"', '""', text)
    for name in record.args:
        assert not re.search(rf"(?<!_xlpm\.)\b{name}\b", outside_texts), f"{name} stands without its prefix"
    assert "LET(" not in outside_texts.replace("_xlfn.LET(", "")
    assert "@" not in outside_texts
    assert all(len(part) <= 255 for part in re.findall(r'"([^"]*)"', text))
    brackets = [
        outside_texts[: i + 1].count("(") - outside_texts[: i + 1].count(")") for i in range(len(outside_texts))
    ]
    assert min(brackets) >= 0
    assert brackets[-1] == 0
    assert max(brackets) <= 64, "Excel nests 64 levels"


@each_lambda
def test_lambda_name(record: Record) -> None:
    name = record.sheet_name
    assert re.fullmatch(r"HAY\.[A-Z][A-Z0-9_]*", name)
    assert len(name) <= 255
    assert not cell_like(name.replace(".", ""))


def test_file_stores_names_and_calls_as_excel_writes_them(made: Any) -> None:
    _, data, _ = made
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        book = parts.read("xl/workbook.xml").decode()
        sheet = parts.read("xl/worksheets/sheet1.xml").decode()
        assert "xl/metadata.xml" in parts.namelist()
    names = dict(re.findall(r'<definedName name="(HAY\.[A-Z_]+)">([^<]*)</definedName>', book))
    assert set(names) == {r.sheet_name for r in all_with_lambda()}
    assert all(text.startswith("_xlfn.LAMBDA(") for text in names.values())
    calls_stored = re.findall(r'<c [^>]*cm="1"[^>]*><f t="array"[^>]*>(HAY\.[A-Z_]+)\(', sheet)
    assert set(calls_stored) == {r.sheet_name for r in RECORDS}
