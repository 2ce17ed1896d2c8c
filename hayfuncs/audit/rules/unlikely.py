"""Inputs of our own workbook that may be typed and can hardly be meant: a slip of 100, another unit, a share for a percent.

How far is far is common practice, no source: a real value that stands so far off is worth a second look at the lab sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.own import any_row
from hayfuncs.audit.places import places
from hayfuncs.audit.stranger.quantities import BY_NAME, read
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, node

FAR = 25.0  # times more or less than what this version begins with, or than the nearest of its column
NEAR = 8.0  # how many times the others of a column may differ, for one of them to stand out
FEWEST = 3  # others that a column must have
# what is counted or measured in any size: a farm with thirty times the cows is no slip
ANY_SIZE = ("", "1", "any", "any weight", "head", "cores", "bales", "tons", "tons as fed", "yes/no", "ppm", "ppb")
MOST_NITRATE = 10_000.0  # ppm of nitrate nitrogen, as far as hay goes; what is typed as nitrate is 4.43 times as much
BOUNDED = ("price_ton", "bale_weight", "milk", "calf_weight")  # by the words beside them, as on anybody's sheet


def unlikely(case: AuditContext) -> Iterator[Finding]:
    """One finding a cell, by the first of three ways to see it."""
    if case.expected is None:
        return
    lines: dict[str, list[tuple[Node, str]]] = {}
    for at, key in _entries(case):
        value = case.book.values.get(at)
        if isinstance(value, float) and value > 0 and at not in case.book.formulas:
            if case.labels.unit(at) not in ANY_SIZE:
                lines.setdefault(any_row(key), []).append((at, key))
            elif key.endswith("/nitrate_n_ppm") and value > MOST_NITRATE:
                yield _told(case, at, "hardly any hay holds so much nitrate nitrogen; is it nitrate (NO3), or a slip?")
    for cells in lines.values():
        for at, key in cells:
            words = _from_start(case, at, key) or _from_others(case, at, cells) or _from_words(case, at)
            if words:
                yield _told(case, at, words)


def _told(case: AuditContext, at: Node, words: str) -> Finding:
    value = case.with_unit(at, case.book.values[at])
    return Finding("implausible", case.address(at), f"{case.labels.label(at)}: {value}; {words}", at)


def _entries(case: AuditContext) -> Iterator[tuple[Node, str]]:
    """Every input cell with its key."""
    ways = places(case.book)
    for sheet in case.expected.sheets:
        number = ways.sheet(sheet.name)
        for (row, col), cell in sheet.cells.items():
            if cell.entry is not None:
                at = ways.now(sheet.name, row, col) if not ways.same or number is None else node(number, row, col)
                if at is not None:
                    yield at, cell.entry.key


def _number(case: AuditContext, at: Node) -> float:
    value = case.book.values[at]
    return value if isinstance(value, float) else 0.0


def _far(value: float, other: float) -> bool:
    return other > 0 and not 1 / FAR < value / other < FAR


def _from_start(case: AuditContext, at: Node, key: str) -> str:
    begins = case.expected.begins.get(key)
    if not isinstance(begins, (int, float)) or not _far(_number(case, at), float(begins)):
        return ""
    return (
        f"this version begins with {case.with_unit(at, float(begins))}; is it a slip of the decimal point or a share?"
    )


def _from_others(case: AuditContext, at: Node, cells: list[tuple[Node, str]]) -> str:
    """Far from all others of its column, which lie near one another."""
    others = [_number(case, to) for to, _ in cells if to != at]
    if len(others) < FEWEST or max(others) > NEAR * min(others):
        return ""
    value = _number(case, at)
    nearest = min(others, key=lambda v: abs(v - value))
    if not _far(value, nearest):
        return ""
    return f"the others of its column lie between {figure(min(others))} and {figure(max(others))}, about {figure(median(others))}"


def _from_words(case: AuditContext, at: Node) -> str:
    name = case.labels.heading(at) or case.labels.row_name(at)
    meaning = read(f"{name} {case.labels.unit(at)}")
    if meaning is None or meaning.quantity not in BOUNDED:
        return ""
    card = BY_NAME[meaning.quantity]
    if card.low <= _number(case, at) <= card.high:
        return ""
    return f"such a number lies between {figure(card.low)} and {figure(card.high)}"
