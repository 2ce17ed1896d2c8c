"""Ranges that stop before their data, and the same calculation done twice."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Pattern
from hayfuncs.spreadsheet.a1 import Node, a1_area, node, place, quoted
from hayfuncs.spreadsheet.contents import ErrorValue
from hayfuncs.spreadsheet.parser import Area, NameRef, Number
from hayfuncs.spreadsheet.tokens import LAST_ROW_FIXED, ROW_FIXED, CellRef

MOST_COLUMNS = 50
LEAST = 3  # cells of a range that make it a column of data


def short_ranges(case: AuditContext) -> Iterator[Finding]:
    told: set[tuple[int, CellRef, str]] = set()
    for pattern in case.formulas.patterns.values():
        for ref in pattern.refs:
            fixed = ref.fixed & ROW_FIXED and ref.fixed & LAST_ROW_FIXED
            if ref.single or ref.last_row - ref.row + 1 < LEAST or not (fixed or len(pattern.cells) == 1):
                continue
            missing = _left_outside(case, pattern.sheet, ref, pattern.cells)
            if missing is not None and not _reads_alone(case, pattern, missing):
                key = (pattern.sheet, ref, pattern.text)
                if key not in told:
                    told.add(key)
                    yield _short(case, pattern.cells, ref, missing)
    for name, areas in case.formulas.name_areas.items():
        for ref in areas:
            if (
                not ref.single
                and ref.last_row - ref.row + 1 >= LEAST
                and ref.sheet is not None
                and not name.startswith("hay.")
            ):
                missing = _left_outside(case, -1, ref, [])
                if missing is not None:
                    words = f"the name {name} is {ref.text()}, but {case.address(missing)} beside it holds data of the same kind"
                    yield Finding("range-short", case.address(missing), words, missing)


def _short(case: AuditContext, cells: list[Node], ref: CellRef, missing: Node) -> Finding:
    sheet, row, _ = place(missing)
    here = f"{quoted(case.book.sheets[sheet].name)}!{a1_area(ref.row, ref.col, ref.last_row, ref.last_col)}"
    side = "below" if row > ref.last_row else "above"
    more = f" (and in {len(cells) - 1:,} copies)" if len(cells) > 1 else ""
    words = f"{case.labels.label(cells[0])}{more} reads {here}; {case.address(missing)} just {side} it holds data of the same kind"
    return Finding("range-short", case.address(cells[0]), words, cells[0])


def _left_outside(case: AuditContext, home: int, ref: CellRef, readers: list[Node]) -> Node | None:
    """A neighbor just below or above the range that looks like its last or first cell."""
    sheet = case.formulas.sheet_number(ref, home)
    if sheet is None or ref.last_row - ref.row > 1_000_000:
        return None
    for edge, beyond in ((ref.last_row, ref.last_row + 1), (ref.row, ref.row - 1)):
        if beyond < 0:
            continue
        inside, outside = node(sheet, edge, ref.col), node(sheet, beyond, ref.col)
        if outside in readers or not case.book.filled(inside) or not case.book.filled(outside):
            continue
        if _kind(case, inside) == _kind(case, outside) and not _headings(case, sheet, ref, beyond):
            return outside
    return None


def _headings(case: AuditContext, sheet: int, ref: CellRef, above: int) -> bool:
    """Whether the line above a table of words and numbers has words over the numbers."""
    if above != ref.row - 1:
        return False
    pairs = [[case.book.values.get(node(sheet, r, c)) for r in (above, ref.row)] for c in _columns(ref)]
    return any(isinstance(head, str) and isinstance(value, float) for head, value in pairs)


def _columns(ref: CellRef) -> range:
    return range(ref.col, min(ref.last_col, ref.col + MOST_COLUMNS) + 1)


def _reads_alone(case: AuditContext, pattern: Pattern, at: Node) -> bool:
    """Whether the formula reads the cell beside the range by itself, as a sum at the start does."""
    homes = (pattern.head, *pattern.cells[:1])
    _, head_row, head_col = place(pattern.head)
    for home in homes:
        _, row, col = place(home)
        for ref in pattern.refs:
            to = ref.moved(row - head_row, col - head_col)
            number = case.formulas.sheet_number(to, pattern.sheet)
            if ref.single and number is not None and node(number, to.row, to.col) == at:
                return True
    return False


def _kind(case: AuditContext, at: Node) -> tuple[object, ...]:
    """Formula by pattern, constant by type; and the style, which tells data from headings."""
    style = case.book.styles.get(at, 0)
    pattern = case.formulas.of.get(at)
    if pattern is not None:
        return ("formula", id(pattern), style)
    value = case.book.values.get(at)
    return ("error" if isinstance(value, ErrorValue) else type(value).__name__, style)


def duplicates(case: AuditContext) -> Iterator[Finding]:
    for pattern in case.formulas.patterns.values():
        if pattern.tree is None or isinstance(pattern.tree, (Area, NameRef, Number)) or len(pattern.cells) < 2:
            continue
        if not pattern.refs and not pattern.names:
            continue
        if all(ref.fixed == 15 for ref in pattern.refs):
            yield _same(case, pattern.cells)
        elif all(ref.fixed & 2 and ref.fixed & 8 for ref in pattern.refs):
            by_row: dict[int, list[Node]] = {}
            for at in pattern.cells:
                by_row.setdefault(place(at)[1], []).append(at)
            twice = [cells for cells in by_row.values() if len(cells) > 1]
            if twice:
                yield _same(case, twice[0], len(twice))


def _same(case: AuditContext, cells: list[Node], rows: int = 1) -> Finding:
    more = f", and so in {rows - 1:,} further rows" if rows > 1 else ""
    formula = case.book.formulas[cells[0]][:160]
    return Finding("duplicate", case.address(cells[0]), f"={formula} stands in {case.area(cells)}{more}", cells[0])
