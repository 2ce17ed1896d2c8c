"""Longhand laid out in a sheet of the embedded engine: arguments, helper cells for the steps, the guarded result."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hayfuncs.contract import tables
from hayfuncs.contract.catalogue import Record
from hayfuncs.formulas.template import fill, guard, one_formula, tables_used
from hayfuncs.hosts import engine
from hayfuncs.ration import feeds

SHEET = "Points"
TABLES = "Tables"


def letter(index: int) -> str:
    """0 -> A, 26 -> AA."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(65 + rest) + text
    return text


# tables kept one row a value are laid out one row a feed, as the longhand refers to them
LAID_OUT: dict[str, Callable[[], tables.Table]] = {"supplements": feeds.table, "feeding_limits": feeds.limits_table}


def table_column(table: str, column: str) -> list[tables.Cell]:
    return LAID_OUT.get(table, lambda: tables.load(table))().column(column)


def table_layout(columns: set[tuple[str, str]]) -> tuple[list[list[Any]], dict[tuple[str, str], str]]:
    """Table columns side by side as cells, and the sheet range of each."""
    cells: list[list[Any]] = []
    places: dict[tuple[str, str], str] = {}
    order = sorted(columns)
    filled = [table_column(table, column) for table, column in order]
    for at, key in enumerate(order):
        places[key] = f"{TABLES}!${letter(at)}$1:${letter(at)}${len(filled[at])}"
    for row in range(max(map(len, filled), default=0)):
        cells.append([column[row] if row < len(column) else None for column in filled])
    return cells, places


def longhand_values(record: Record, rows: list[list[Any]]) -> list[Any]:
    """The guarded longhand over each row of arguments, evaluated once: numbers, texts, or an error's text."""
    assert record.longhand is not None
    cells, places = table_layout(tables_used(record))
    book = engine.new_book()
    sheet = book.add_sheet(SHEET) or book.sheet(SHEET)
    if cells:
        side = book.add_sheet(TABLES) or book.sheet(TABLES)
        side.set_values_batch(1, 1, len(cells), len(cells[0]), cells)
    sheet.set_values_batch(1, 1, len(rows), len(record.args), rows)
    formulas = [formulas_of_row(record, row, places) for row in range(1, len(rows) + 1)]
    width = len(formulas[0])
    first = len(record.args) + 1
    sheet.set_formulas_batch(1, first, len(rows), width, formulas)
    book.evaluate_all()
    found = engine.values(book, SHEET, len(rows), len(record.args) + width)
    return [row[-1] for row in found]


def formulas_of_row(record: Record, row: int, places: dict[tuple[str, str], str]) -> list[str]:
    assert record.longhand is not None

    def place(table: str, column: str) -> str:
        return places[table, column]

    refs = {name: f"{letter(i)}{row}" for i, name in enumerate(record.args)}
    known = dict(refs)
    formulas: list[str] = []
    for step in record.longhand.steps:
        formulas.append("=" + fill(record, step.formula, known, place))
        known[step.name] = f"{letter(len(record.args) + len(formulas) - 1)}{row}"
    body = fill(record, record.longhand.result, known, place)
    formulas.append("=" + guard(record, refs, body))
    return formulas


__all__ = ["formulas_of_row", "letter", "longhand_values", "one_formula", "table_layout"]
