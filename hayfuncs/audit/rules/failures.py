"""The checks that our own workbook holds: each that fails is told by its name."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.own import recognise
from hayfuncs.spreadsheet.a1 import Node, node
from hayfuncs.spreadsheet.contents import Value

SHEET, WHAT, VALUE, RESULT, WHERE = "Checks", "What must hold", "Value", "Result", "Where"
HOLDS = "holds"


def failed(case: AuditContext) -> Iterator[Finding]:
    """By the words as they are recomputed; a stored word that differs is told by another rule."""
    number = case.book.index(SHEET)
    if number is None or recognise(case.book) is None:
        return
    heads = _heads(case, number)
    if heads is None:
        return
    top, at = heads
    for row in range(top + 1, case.book.sheets[number].last_row + 1):
        cell = node(number, row, at[RESULT])
        if cell not in case.book.formulas:
            continue
        said = _now(case, cell)
        if said == HOLDS:
            continue
        what = _now(case, node(number, row, at[WHAT]))
        value = case.with_unit(node(number, row, at[VALUE]), _now(case, node(number, row, at[VALUE])))
        where = _now(case, node(number, row, at[WHERE])) if WHERE in at else None
        words = f"{what}: {case.text(said)}; its value is {value}{f', at {where}' if where else ''}"
        yield Finding("failed-check", case.address(cell), words, cell)


def _now(case: AuditContext, at: Node) -> Value:
    return case.recomputed.values.get(at, case.book.values.get(at))


def _heads(case: AuditContext, number: int) -> tuple[int, dict[str, int]] | None:
    """The row of the headings, and the column of each."""
    info = case.book.sheets[number]
    for row in range(info.last_row + 1):
        found = {str(case.book.values.get(node(number, row, col))): col for col in range(info.last_col + 1)}
        if WHAT in found and RESULT in found and VALUE in found:
            return row, found
    return None
