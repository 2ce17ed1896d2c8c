"""Defined names: whole, defined, and pointing where the sheet says they point."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import hay_name, using
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.parser import ErrorLiteral, walk
from hayfuncs.spreadsheet.tokens import Malformed, pieces

SLICER = "Slicer_"  # a program's own names for its filters, which lead nowhere by design


def broken(case: AuditContext) -> Iterator[Finding]:
    for name in case.book.names:
        if hay_name(name.name) or name.name.startswith(("_xlnm.", SLICER)):
            continue
        tree = case.formulas.name_trees.get(name.name.casefold())
        if tree is None and _union(name.text):
            continue
        if tree is None:
            yield Finding(
                "name",
                name.name,
                f"the name {name.name} is {name.text[:80]!r}, which cannot be read",
                _user(case, name.name),
            )
        elif name.name.casefold() in case.formulas.name_circles:
            words = f"the name {name.name} is {name.text[:80]}, which leads back to itself"
            yield Finding("name", name.name, words, _user(case, name.name), level="high")
        elif any(isinstance(part, ErrorLiteral) for part in walk(tree)):
            yield Finding(
                "name", name.name, f"the name {name.name} is {name.text[:80]}, which is broken", _user(case, name.name)
            )
    for pattern in case.formulas.patterns.values():
        missing = [
            n for n in pattern.names if n.casefold() not in case.formulas.name_trees and not n.startswith(("[", "'["))
        ]
        if missing:
            at = next((c for c in pattern.cells if c in case.fed), pattern.cells[0])
            level = "high" if at in case.fed else ""
            words = f"{case.labels.label(at)} uses {', '.join(missing[:4])}, which the workbook does not define"
            yield Finding("name", case.address(at), words, at, level=level)


def _union(text: str) -> bool:
    """Several areas under one name, as a print area may have."""
    try:
        found = pieces(text.removeprefix("="))
    except Malformed:
        return False
    kinds = [p.kind for p in found if p.kind != "space"]
    return len(kinds) > 1 and kinds[::2] == ["ref"] * len(kinds[::2]) and {p.text for p in found[1::2]} == {","}


def shadowing(case: AuditContext) -> Iterator[Finding]:
    """Names of one sheet that stand before the workbook's name of the same spelling in that sheet's formulas."""
    of_all = {n.name.casefold(): n for n in case.book.names if n.sheet is None}
    for name in case.book.names:
        whole = of_all.get(name.name.casefold())
        if name.sheet is None or whole is None or name.name.startswith("_xlnm.") or name.sheet >= len(case.book.sheets):
            continue
        users = [
            at
            for pattern in case.formulas.patterns.values()
            if pattern.sheet == name.sheet
            and name.name.casefold() in (n.casefold() for n in (*pattern.names, *pattern.calls))
            for at in pattern.cells
        ]
        at = next((cell for cell in users if cell in case.fed), users[0] if users else None)
        words = (
            f"on the sheet {case.book.sheets[name.sheet].name} the name {name.name} is {name.text[:80]}, everywhere else {whole.text[:80]}; "
            + (f"{len(users):,} formulas there use it" if users else "no formula there uses it")
        )
        level = "note" if not users else "" if name.text == whole.text else "high"
        yield Finding("name", name.name, words, at, level=level)


def _user(case: AuditContext, name: str) -> Node | None:
    """A cell that uses the name: one with a headline number behind it, if any."""
    found: Node | None = None
    for at in using(case.formulas, name):
        if at in case.fed:
            return at
        found = found or at
    return found


def beside(case: AuditContext) -> Iterator[Finding]:
    """Where a sheet prints a name in the row of its value, the name must lead to that row."""
    printed: dict[str, list[Node]] = {}
    wanted = {n.name.casefold() for n in case.book.names if not hay_name(n.name)}
    for at, value in case.book.values.items():
        if isinstance(value, str) and at not in case.book.formulas and value.casefold() in wanted:
            printed.setdefault(value.casefold(), []).append(at)
    for key, cells in printed.items():
        areas = case.formulas.name_areas.get(key, ())
        number = case.formulas.sheet_number(areas[0], 0) if len(areas) == 1 and areas[0].single else None
        printed_there = [at for at in cells if place(at)[0] == number]
        if number is None or len(printed_there) != 1:
            continue
        at, to = printed_there[0], node(number, areas[0].row, areas[0].col)
        if place(at)[1] != areas[0].row:
            words = (
                f"{case.address(at)} prints the name {figure(case.book.values[at])} in its row, "
                f"but the name leads to {case.address(to)} ({case.labels.label(to)})"
            )
            yield Finding("name", case.address(at), words, _user(case, key))
