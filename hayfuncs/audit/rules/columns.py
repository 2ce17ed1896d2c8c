"""Columns (and rows) that are one formula from end to end, and the cells that break them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Pattern
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import ErrorValue
from hayfuncs.spreadsheet.parser import Area, FunctionCall, NameRef, plain_name
from hayfuncs.spreadsheet.tokens import COL_FIXED, ROW_FIXED, Malformed, moved, pieces

LEAST = 3  # copies that make a column's formula
SHARE = 0.6  # of the run's numbers and formulas that must be copies of it
REGULAR = 0.05  # share of the run from which on a second formula, not alone in it, is a second rule


TOTALS = {"SUM", "AVERAGE", "MIN", "MAX", "COUNT", "COUNTA", "SUBTOTAL", "MEDIAN", "AGGREGATE", "STDEV"}
PAIR = 2  # equal wrong cells that are still two wrong cells


@dataclass
class Run:
    """Cells without a gap in one column (or row), under their heading."""

    cells: list[Node]
    rule: Pattern  # the formula that most of them are copies of
    kin: list[Node]  # the copies


def runs(case: AuditContext, along_rows: bool = False) -> Iterator[Run]:
    lines: dict[tuple[int, int], list[int]] = {}
    for at in case.book.values:
        if case.book.filled(at):
            sheet, row, col = place(at)
            lines.setdefault((sheet, row) if along_rows else (sheet, col), []).append(col if along_rows else row)
    for (sheet, line), places in lines.items():
        places.sort()
        heads = set() if along_rows else set(case.labels.unit_rows.get(sheet, ()))
        start = 0
        for i in range(1, len(places) + 1):
            if i == len(places) or places[i] != places[i - 1] + 1 or places[i - 1] in heads:
                if i - start >= LEAST:
                    cells = [node(sheet, line, p) if along_rows else node(sheet, p, line) for p in places[start:i]]
                    found = _run(case, cells)
                    if found is not None:
                        yield found
                start = i


def _run(case: AuditContext, cells: list[Node]) -> Run | None:
    of = case.formulas.of
    first = 0
    while first < len(cells) and cells[first] not in of and isinstance(case.book.values[cells[first]], str):
        first += 1  # the heading and the unit above the data
    cells = cells[first:]
    counted = Counter(id(of[at]) for at in cells if at in of)
    if not counted:
        return None
    most, count = counted.most_common(1)[0]
    numbers = sum(at in of or isinstance(case.book.values[at], float) for at in cells)
    if count < LEAST or count < SHARE * numbers:
        return None
    kin = [at for at in cells if at in of and id(of[at]) == most]
    return Run(cells, of[kin[0]], kin)


def breaks(case: AuditContext) -> Iterator[Finding]:
    covered: set[Node] = set()
    for found in runs(case):
        covered.update(found.cells)
        yield from _exceptions(case, found, "column")
        yield from _gaps(case, found)
    for found in runs(case, along_rows=True):
        if not covered.issuperset(found.kin) and len(found.kin) > LEAST:
            yield from _exceptions(
                case, Run([c for c in found.cells if c not in covered], found.rule, found.kin), "row"
            )


def _exceptions(case: AuditContext, run: Run, line: str) -> Iterator[Finding]:
    if len(run.kin) == len(run.cells):
        return
    first, last = min(run.kin), max(run.kin)
    kin = set(run.kin)
    others = Counter(id(case.formulas.of[at]) for at in run.cells if at in case.formulas.of)
    for at in run.cells:
        value = case.book.values.get(at)
        if at in kin or (at in case.book.arrays and case.formulas.of.get(at) is run.rule):
            continue
        if at in case.formulas.of and _total(case.formulas.of[at], at):
            continue
        should = rule_at(run.rule, at)
        if "#REF!" in should or (at < first and _begins(case, run, at)):
            continue  # the copy would reach over the sheet's edge, or for its heading: a running line begins here
        words = f"{case.labels.label(at)}: the {line} has ={should}"
        if at in case.formulas.of:
            formula = case.book.formulas[at]
            repair = ((at, should, None),)
            own = case.formulas.of[at]
            free = not own.refs and not own.names and _blank(case, run, at)
            level = "" if _misled(run, own, others) and not free else "note"
            yield Finding(
                "pattern", case.address(at), f"{words}; here stands ={formula[:200]}", at, repair=repair, level=level
            )
        elif isinstance(value, (float, bool, ErrorValue)) or (first < at < last):
            repair = ((at, should, None),)
            yield Finding("typed-over", case.address(at), f"{words}; here {figure(value)} is typed", at, repair=repair)


def _copy_reads(case: AuditContext, run: Run, at: Node) -> Iterator[Node]:
    """The single cells that a copy of the run's formula would read from its own place."""
    _, head_row, head_col = place(run.rule.head)
    sheet, row, col = place(at)
    for ref in run.rule.refs:
        to = ref.moved(row - head_row, col - head_col)
        if ref.single and ref.fixed & (ROW_FIXED | COL_FIXED) != ROW_FIXED | COL_FIXED and min(to.row, to.col) >= 0:
            number = case.formulas.sheet_number(to, sheet)
            if number is not None:
                yield node(number, to.row, to.col)


def _begins(case: AuditContext, run: Run, at: Node) -> bool:
    """Whether the copy would go on from a cell before the run that holds no number."""
    before = [to for to in _copy_reads(case, run, at) if to < at and place(to)[::2] == place(at)[::2]]
    return any(to not in run.cells and not isinstance(case.book.values.get(to), float) for to in before)


def _blank(case: AuditContext, run: Run, at: Node) -> bool:
    """Whether the copy would find nothing in any of its cells."""
    cells = list(_copy_reads(case, run, at))
    return bool(cells) and not any(case.book.filled(to) for to in cells)


def _total(pattern: Pattern, at: Node) -> bool:
    """Whether the formula sums up cells of its own column or row: the foot of a list, not a slip in it."""
    root = pattern.tree
    if not isinstance(root, FunctionCall) or plain_name(root.name) not in TOTALS:
        return False
    _, head_row, head_col = place(pattern.head)
    _, row, col = place(at)
    areas = [arg.ref.moved(row - head_row, col - head_col) for arg in root.args if isinstance(arg, Area)]
    return bool(areas) and all(
        not ref.single and ref.sheet is None and (ref.col == ref.last_col == col or ref.row == ref.last_row == row)
        for ref in areas
    )


def _misled(run: Run, pattern: Pattern, others: Counter[int]) -> bool:
    """Whether a formula unlike its column's is a fault to weigh, not a second rule of the column.

    A wrong reference or sign keeps the column's build, and one or two such are never a rule; a formula built
    otherwise may well be one where it comes again (totals within a list, links beside calculations).
    """
    count = others[id(pattern)]
    if _build(pattern) == _build(run.rule):
        return count <= PAIR or count < REGULAR * len(run.cells)
    regular = count > 1 and count >= REGULAR * len(run.cells)
    return not regular and not isinstance(run.rule.tree, (Area, NameRef))


def _build(pattern: Pattern) -> tuple[str, ...]:
    """How a formula is built, whatever it refers to."""
    try:
        found = pieces(pattern.formula)
    except Malformed:
        return (pattern.formula,)
    return tuple("to" if p.kind in ("ref", "name") else p.kind if p.kind == "number" else p.text for p in found)


def _gaps(case: AuditContext, run: Run) -> Iterator[Finding]:
    """One or two empty cells below which the same formula goes on."""
    sheet, row, col = place(run.cells[-1])
    for skip in (1, 2):
        below = case.formulas.of.get(node(sheet, row + skip + 1, col))
        if below is run.rule:
            for k in range(1, skip + 1):
                at = node(sheet, row + k, col)
                if case.book.filled(at) or not _has_formulas(case, sheet, row + k):
                    continue  # a line between the parts of a table
                should = rule_at(run.rule, at)
                words = f"{case.labels.label(at)}: the column has ={should}; here stands nothing"
                yield Finding("typed-over", case.address(at), words, at, repair=((at, should, None),))
            return


def _has_formulas(case: AuditContext, sheet: int, row: int) -> bool:
    last = case.book.sheets[sheet].last_col
    return any(node(sheet, row, col) in case.formulas.of for col in range(last + 1))


def rule_at(pattern: Pattern, at: Node) -> str:
    """The pattern's formula as a copy of it at a cell reads."""
    _, head_row, head_col = place(pattern.head)
    _, row, col = place(at)
    try:
        return moved(pattern.formula, row - head_row, col - head_col)
    except Malformed:
        return pattern.formula
