"""The map of a sheet: one letter for what each cell is."""

from __future__ import annotations

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.report.page import Looks, Page
from hayfuncs.spreadsheet.a1 import Node, letters, node, place
from hayfuncs.spreadsheet.contents import ErrorValue

LEGEND = (
    ("I", "input: unlocked, typed"),
    ("C", "constant number"),
    ("F", "formula, the first of its block"),
    ("f", "the same formula as the cell above or left"),
    ("X", "breaks the pattern: found by the audit"),
    ("E", "shows an error"),
    ("H", "hidden, or unseen"),
    ("T", "text"),
)
MOST_ROWS, MOST_COLUMNS = 2_000, 120
BROKEN = ("pattern", "typed-over", "formula-changed", "stored-value", "function-value", "circular")


def letter(case: AuditContext, at: Node, broken: set[Node]) -> str:
    """What a cell is, in one letter; empty for an empty cell."""
    book, of = case.book, case.formulas.of
    value = book.values.get(at)
    if at in broken:
        return "X"
    if not book.filled(at):
        return ""
    if book.hidden(at) or book.look(at).unseen:
        return "H"
    if isinstance(value, ErrorValue):
        return "E"
    if at in of:
        sheet, row, col = place(at)
        above = of.get(node(sheet, row - 1, col)) if row else None
        left = of.get(node(sheet, row, col - 1)) if col else None
        return "f" if of[at] in (above, left) else "F"
    if not book.look(at).locked:
        return "I"
    return "T" if isinstance(value, str) else "C"


def broken_cells(case: AuditContext) -> set[Node]:
    return {f.at for f in case.findings if f.at is not None and f.rule in BROKEN and f.above_note}


def write(file: object, looks: Looks, case: AuditContext, names: list[str]) -> None:
    """One map sheet for each sheet of the workbook."""
    broken = broken_cells(case)
    for number, info in enumerate(case.book.sheets):
        rows, cols = min(info.last_row + 1, MOST_ROWS), min(info.last_col + 1, MOST_COLUMNS)
        cut = "" if rows > info.last_row and cols > info.last_col else f" The first {rows:,} rows and {cols} columns."
        key = "; ".join(f"{mark} {says}" for mark, says in LEGEND)
        page = Page(file, looks, names[number], f"Map of the sheet {info.name}", f"{key}.{cut}", [6, *[3.3] * cols])
        page.put(0, "row", "head")
        for col in range(cols):
            page.put(col + 1, letters(col), "head")
        page.sheet.freeze_panes(page.row + 1, 1)
        page.sheet.repeat_rows(page.row)
        page.next()
        for row in range(rows):
            page.put(0, row + 1, "map")
            for col in range(cols):
                mark = letter(case, node(number, row, col), broken)
                if mark:
                    page.put(col + 1, mark, f"map_{mark}")
            page.next()


def sheet_names(case: AuditContext) -> list[str]:
    """Names of the map sheets: short, one of a kind, free of what a sheet's name may not hold."""
    taken: set[str] = set()
    found = []
    for info in case.book.sheets:
        clean = "".join(c for c in info.name if c not in "[]:*?/\\'" and c.isprintable()).strip() or "sheet"
        name, i = f"Map {clean}"[:31], 1
        while name.casefold() in taken:
            i += 1
            name = f"Map {clean}"[: 30 - len(str(i))] + f" {i}"
        taken.add(name.casefold())
        found.append(name)
    return found
