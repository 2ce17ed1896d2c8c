"""LibreOffice recalculates the longhand: a second spreadsheet program beside the embedded engine."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import openpyxl
import points
import pytest
import sheetlib
import xlsxwriter

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.formulas.template import tables_used

pytestmark = pytest.mark.libreoffice
RECORDS = [r for r in CATALOGUE.values() if r.longhand is not None and not r.variadic and not points.takes_blocks(r)]
ANSWERED = 25  # calls of each function


def calls(record: Record) -> list[list[Any]]:
    rows = points.good(record, ANSWERED) + points.candidates(record, 5, salt=8)
    base = rows[0]
    rows += [[*base[:at], bad, *base[at + 1 :]] for at in range(len(base)) for bad in (None, "no such word", -1e9)]
    return rows


def write(path: Path, rows: dict[str, list[list[Any]]]) -> None:
    """A sheet for each function: its arguments as cells, its longhand as formulas without a stored value."""
    book = xlsxwriter.Workbook(path)
    cells, places = sheetlib.table_layout(set().union(*(tables_used(r) for r in RECORDS)))
    for at, record in enumerate(RECORDS):
        sheet = book.add_worksheet(f"F{at}")
        for r, values in enumerate(rows[record.name]):
            for c, value in enumerate(values):
                if value is not None:
                    sheet.write(r, c, value)
            for c, formula in enumerate(sheetlib.formulas_of_row(record, r + 1, places)):
                sheet.write_formula(r, len(values) + c, formula, None, "")
    side = book.add_worksheet(sheetlib.TABLES)
    for r, line in enumerate(cells):
        for c, cell in enumerate(line):
            if cell is not None:
                side.write(r, c, cell)
    book.close()


@pytest.fixture(scope="module")
def recalculated(soffice: Any, tmp_path_factory: pytest.TempPathFactory) -> Any:
    rows = {record.name: calls(record) for record in RECORDS}
    path = tmp_path_factory.mktemp("longhand") / "longhand.xlsx"
    write(path, rows)
    return rows, openpyxl.load_workbook(soffice.convert(path, "xlsx", recalculate=True), data_only=True)


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: r.name)
def test_longhand_in_libreoffice_is_the_function(record: Record, recalculated: Any) -> None:
    rows, book = recalculated
    sheet = book[f"F{RECORDS.index(record)}"]
    assert record.longhand is not None
    last = len(record.args) + len(record.longhand.steps) + 1
    faults = []
    for at, values in enumerate(rows[record.name], 1):
        want = points.outcome(record, values)
        got = sheet.cell(at, last).value
        got = "" if got is None and want == "" else got
        got = float(got) if isinstance(got, int) and not isinstance(got, bool) else got
        if type(got) is not type(want) or not points.same(want, got, 1e-9):
            faults.append(f"{values}: function {want!r}, LibreOffice {got!r}")
    assert not faults, f"{len(faults)} of {len(rows[record.name])} differ:\n" + "\n".join(faults[:5])


def test_converter_keeps_to_its_own_profile(soffice: Any, tmp_path: Path) -> None:
    path = tmp_path / "one.xlsx"
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("S")
    sheet.write(0, 0, 41)
    sheet.write_formula(0, 1, "=A1+1", None, 7)  # a stored value that is wrong on purpose
    book.close()
    assert soffice.convert(path, "csv").read_text().strip() == "41,7"
    assert soffice.convert(path, "csv", recalculate=True).read_text().strip() == "41,42"
    pdf = soffice.convert(path, "pdf")
    text = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    assert "41" in text
