"""A workbook (.xlsx) read as values: formulas are never run, only their stored results are taken."""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, TypeAlias

from hayfuncs.contract.files import UserError
from hayfuncs.importers.text import MAX_COLUMNS, MAX_ROWS, tidy

Cell: TypeAlias = str | float | dt.date
MAX_UNPACKED = 300_000_000  # bytes; a small archive that unpacks to more is no lab sheet
LITERAL = re.compile(r'"[^"]*"|\\.')  # text in a number format: 0.0"%" writes a sign, it does not multiply by 100
DIGITS = 12  # 0.112 shown as 11.2 % is 11.200000000000001 in binary


def sheets_of(data: bytes, path: Path, wanted: str = "") -> Iterator[tuple[str, list[list[Cell]], set[int]]]:
    """Each visible sheet: its name, its cells, and the columns (from 0) shown in Excel's percent format."""
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(item.file_size for item in archive.infolist()) > MAX_UNPACKED:
                raise UserError(
                    f"{path.name} unpacks to more than {MAX_UNPACKED // 1_000_000} MB; export only the table you need"
                )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl warns of styles it leaves out; only values matter here
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            names = [s.title for s in book.worksheets if s.sheet_state == "visible"]
            if wanted and wanted not in names:
                raise UserError(f'{path.name} has no sheet "{wanted}"; its sheets are: {", ".join(names)}')
            for sheet in book.worksheets:
                if sheet.title == wanted or (not wanted and sheet.title in names):
                    sheet.reset_dimensions()  # the stored size may be wrong; read what is there
                    yield (sheet.title, *_cells(sheet.iter_rows(), path))
    except (UserError, GeneratorExit):
        raise
    except Exception:  # a damaged archive can fail anywhere inside the reader
        raise UserError(
            f"{path.name} cannot be read as a workbook: it is damaged, has a password, or is not really an .xlsx file; "
            "open it in a spreadsheet program and save it again as .xlsx or .csv"
        ) from None


def _cells(rows: Iterable[Any], path: Path) -> tuple[list[list[Cell]], set[int]]:
    grid: list[list[Cell]] = []
    percents: set[int] = set()
    for number, row in enumerate(rows, start=1):
        if number > MAX_ROWS:
            raise UserError(f"{path.name} has more than {MAX_ROWS:,} rows; split it")
        if len(row) > MAX_COLUMNS and any(c.value is not None for c in row[MAX_COLUMNS:]):
            raise UserError(f"{path.name}: row {number} has more than {MAX_COLUMNS} cells; is it the right file?")
        line: list[Cell] = []
        for place, cell in enumerate(row[:MAX_COLUMNS]):
            value = cell.value
            if isinstance(value, (int, float)) and not isinstance(value, bool):
                try:
                    value = float(value)
                except OverflowError:
                    value = str(value)
                if isinstance(value, float) and "%" in LITERAL.sub("", str(cell.number_format or "")):
                    percents.add(place)
                    value = round(value * 100, DIGITS)
            line.append(_plain(value, path, number, place + 1))
        while line and line[-1] == "":
            line.pop()
        grid.append(line)
    return grid, percents


def _plain(value: Any, path: Path, row: int, place: int) -> Cell:
    if value is None:
        return ""
    if isinstance(value, float):
        return value
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, dt.date):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    return tidy(str(value), path, row, place)
