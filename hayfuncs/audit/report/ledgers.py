"""The two ledgers: every cell, and every distinct formula once."""

from __future__ import annotations

from collections.abc import Iterable

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.graph import Rectangle
from hayfuncs.audit.recompute import TOLERANCE
from hayfuncs.audit.report.letters import broken_cells, letter
from hayfuncs.audit.report.page import Looks, Page, plain
from hayfuncs.spreadsheet.a1 import Node, a1, a1_area, node, place, quoted
from hayfuncs.spreadsheet.contents import Value
from hayfuncs.spreadsheet.parser import Binary

CELL_HEADS = (
    "Sheet", "Cell", "Label", "Map letter", "Formula", "Formula, relative (R1C1)", "Stored", "Recomputed", "Difference", "Tolerance",
    "Unit", "Reads", "Read by, cells", "Lock", "Findings",
)  # fmt: skip
CELL_WIDTHS = (14, 9, 36, 7, 44, 44, 16, 16, 12, 10, 16, 50, 9, 10, 30)
BLOCK_HEADS = (
    "Sheet", "Cells", "Count", "Label of the first", "Formula of the first", "Formula, relative (R1C1)", "Functions", "Numbers in it",
    "Length", "Operators", "References", "Feeds a headline?",
)  # fmt: skip
BLOCK_WIDTHS = (14, 26, 8, 36, 60, 60, 26, 20, 8, 10, 10, 10)
PRINTED_COLS = 7  # of the cell ledger: up to what is stored
MOST_READS = 6
MOST_CELLS = 400_000  # rows of the cell ledger; a larger workbook has its formula cells only


def cells(file: object, looks: Looks, case: AuditContext) -> None:
    book = case.book
    every = [at for at in sorted({*book.values, *book.formulas}) if book.filled(at)]
    only = len(every) > MOST_CELLS
    if only:
        every = [at for at in every if at in book.formulas][:MOST_CELLS]
    says = f"{len(every):,} {'formula cells; constants are left out for their number' if only else 'filled cells'}, sheet by sheet, row by row. Printed is this head alone: filter, then choose a print area."
    page = Page(file, looks, "Cells", "Cell ledger: every cell with what it reads and who reads it", says, CELL_WIDTHS)
    page.heads(CELL_HEADS, freeze=True)
    first = page.row
    page.sheet.print_area(0, 0, first - 1, PRINTED_COLS - 1)
    broken = broken_cells(case)
    told: dict[Node, list[str]] = {}
    for finding in case.findings:
        if finding.at is not None:
            told.setdefault(finding.at, []).append(f"{finding.rule} ({finding.level})")
    readers = read_by(case)
    kinds = (*["flat"] * 6, "number", "number", "tiny", "tiny", "flat", "flat", "count", "flat", "flat")
    for at in every:
        page.line(_cell(case, at, broken, told, readers), kinds)
    if every:
        page.sheet.autofilter(first - 1, 0, page.row - 1, len(CELL_HEADS) - 1)


def _cell(
    case: AuditContext, at: Node, broken: set[Node], told: dict[Node, list[str]], readers: dict[Node, int]
) -> list[Value]:
    book = case.book
    sheet, row, col = place(at)
    formula = book.formulas.get(at)
    stored, again = book.values.get(at), case.recomputed.values.get(at)
    difference: Value = None
    if formula is not None and isinstance(stored, float) and isinstance(again, float):
        difference = abs(stored - again)
    return [
        book.sheets[sheet].name, a1(row, col), case.labels.label(at), letter(case, at, broken),
        "" if formula is None else "=" + formula, "" if formula is None else case.formulas.of[at].text, plain(stored),
        plain(again) if formula is not None else None, difference, TOLERANCE if formula is not None else None,
        case.labels.unit(at), _reads(case, at), float(readers.get(at, 0)), "locked" if book.look(at).locked else "open",
        "; ".join(told.get(at, ())),
    ]  # fmt: skip


def _reads(case: AuditContext, at: Node) -> str:
    """The areas that a formula reads, single cells with label and value."""
    parts: list[str] = []
    for area in case.formulas.reads(at):
        if len(parts) == MOST_READS:
            parts.append("...")
            break
        sheet, row, col, last_row, last_col = area
        name = f"{quoted(case.book.sheets[sheet].name)}!{a1_area(row, col, last_row, last_col)}"
        if (row, col) == (last_row, last_col):
            to = node(sheet, row, col)
            name += f" ({case.labels.label(to)}: {case.with_unit(to, case.book.values.get(to))})"
        parts.append(name)
    return "; ".join(parts)


def read_by(case: AuditContext) -> dict[Node, int]:
    """How many formula cells read each cell directly; an area counts for every cell in it."""
    single: dict[Node, int] = {}
    wide: dict[Rectangle, int] = {}
    for at in case.formulas.of:
        for area in set(case.formulas.reads(at)):
            if area[1:3] == area[3:]:
                to = node(*area[:3])
                single[to] = single.get(to, 0) + 1
            else:
                wide[area] = wide.get(area, 0) + 1
    steps: dict[tuple[int, int], dict[int, int]] = {}
    for (sheet, row, col, last_row, last_col), count in wide.items():
        for c in range(col, min(last_col, case.book.sheets[sheet].last_col) + 1):
            line = steps.setdefault((sheet, c), {})
            line[row] = line.get(row, 0) + count
            line[last_row + 1] = line.get(last_row + 1, 0) - count
    columns: dict[tuple[int, int], list[int]] = {}
    for at in case.book.values:
        sheet, row, col = place(at)
        if (sheet, col) in steps:
            columns.setdefault((sheet, col), []).append(row)
    for key, rows in columns.items():
        turns, i, running = sorted(steps[key].items()), 0, 0
        for row in sorted(rows):
            while i < len(turns) and turns[i][0] <= row:
                running += turns[i][1]
                i += 1
            if running:
                at = node(key[0], row, key[1])
                single[at] = single.get(at, 0) + running
    return single


def blocks(file: object, looks: Looks, case: AuditContext) -> None:
    patterns = sorted(case.formulas.patterns.values(), key=lambda p: p.cells[0])
    says = f"{len(patterns):,} distinct formulas stand in {len(case.book.formulas):,} cells: read these instead of every cell."
    page = Page(file, looks, "Blocks", "Block ledger: every distinct formula once", says, BLOCK_WIDTHS)
    page.heads(BLOCK_HEADS, freeze=True)
    first = page.row
    kinds = ("cell", "cell", "count", "cell", "mono", "mono", "cell", "cell", "count", "count", "count", "cell")
    for pattern in patterns:
        head = pattern.cells[0]
        operators = sum(isinstance(part, Binary) for part in pattern.parts) if pattern.tree is not None else 0
        formula, area = "=" + pattern.formula, case.area(pattern.cells, 4)
        values: list[Value] = [
            case.book.sheets[pattern.sheet].name, area, float(len(pattern.cells)), case.labels.label(head), formula, pattern.text,
            _listed(pattern.calls), _listed(n.text for n in pattern.numbers), float(len(pattern.formula)), float(operators),
            float(len(pattern.refs) + len(pattern.names)), "yes" if any(at in case.fed for at in pattern.cells) else "no",
        ]  # fmt: skip
        page.line(values, kinds)
    if patterns:
        page.sheet.autofilter(first - 1, 0, page.row - 1, len(BLOCK_HEADS) - 1)


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(texts))


def names(file: object, looks: Looks, case: AuditContext) -> None:
    page = Page(
        file, looks, "Names", "Defined names, and numbers inside formulas", "Where each name leads and how many formulas use it; then each literal that no record states.",
        (34, 70, 12, 40),
    )  # fmt: skip
    used: dict[str, int] = {}
    for pattern in case.formulas.patterns.values():
        for name in (*pattern.names, *pattern.calls):
            used[name.casefold()] = used.get(name.casefold(), 0) + len(pattern.cells)
    page.heads(("Name", "Leads to", "Used by, cells", "State"))
    for entry in case.book.names:
        tree = case.formulas.name_trees.get(entry.name.casefold())
        fault = next((f.evidence for f in case.findings if f.cell == entry.name), "")
        state = fault or (
            "hidden"
            if entry.hidden
            else "sound"
            if tree is not None or entry.name.startswith("_xlnm.")
            else "cannot be read"
        )
        page.line(
            [entry.name, entry.text[:2000], float(used.get(entry.name.casefold(), 0)), state],
            ("cell", "mono", "count", "cell"),
        )
    page.section("Numbers inside formulas that no record of the library states")
    page.heads(("Cell", "Formula", "", "What"))
    for finding in case.findings:
        if finding.rule == "literal" and finding.at is not None:
            page.line(
                [finding.cell, "=" + case.book.formulas[finding.at], None, finding.evidence],
                ("cell", "mono", "cell", "cell"),
            )
