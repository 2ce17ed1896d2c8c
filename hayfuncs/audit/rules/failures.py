"""The checks that our own workbook holds: each that fails is told by its name."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.own import month_labels, parts, plan_months, recognise
from hayfuncs.spreadsheet.a1 import Node, node
from hayfuncs.spreadsheet.contents import Value

SHEET, WHAT, VALUE, RESULT, WHERE = "Checks", "What must hold", "Value", "Result", "Where"
HOLDS = "holds"
PLAN = "Plan: "  # how the checks of the winter plan begin
CHANGED = "plan_changed"  # name of the cell that says what the plan was solved from and no longer stands


def failed(case: AuditContext) -> Iterator[Finding]:
    """By the words as they are recomputed; a stored word that differs is told by another rule."""
    part = parts(case.book).get(SHEET)
    number = None if part is None else part.sheet
    if number is None or recognise(case.book) is None:
        return
    heads = _heads(case, number)
    if heads is None:
        return
    top, at = heads
    changed = what_changed(case)
    stale = bool(changed) or bool(off_season(case))
    unfit: list[tuple[Node, str]] = []
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
        if str(what).startswith(PLAN) and stale:
            unfit.append((cell, str(what).removeprefix(PLAN)))
            continue
        words = f"{what}: {case.text(said)}; its value is {value}{f', at {where}' if where else ''}"
        yield Finding("failed-check", case.address(cell), words, cell)
    if unfit or (stale and off_season(case)):
        months = off_season(case)
        words = "the season no longer fits the plan: solve again"
        words += f"; {len(months):,} of its rows are for months that are no longer there" if months else ""
        words += f"; {', '.join(text for _, text in unfit)}" if unfit else ""
        words += f". {changed}" if changed else ""
        first = unfit[0][0] if unfit else months[0]
        do = "solve the winter plan again (hayfuncs plan)"
        yield Finding("failed-check", case.address(first), words, first, suggestion=do)


def off_season(case: AuditContext) -> list[Node]:
    """Months typed in the plan that the season, by its dates, no longer has."""
    offered = {_now(case, at) for at in month_labels(case.book)}
    typed = {at: case.book.values.get(at) for at in plan_months(case.book)}
    return [at for at, month in typed.items() if month not in (None, "") and month not in offered] if offered else []


def what_changed(case: AuditContext) -> str:
    """In words, what the plan was solved from and no longer stands in the workbook; empty where all of it does."""
    areas = case.formulas.name_areas.get(CHANGED, ())
    sheet = case.formulas.sheet_number(areas[0], 0) if len(areas) == 1 else None
    value = None if sheet is None else _now(case, node(sheet, areas[0].row, areas[0].col))
    return value if isinstance(value, str) else ""


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
