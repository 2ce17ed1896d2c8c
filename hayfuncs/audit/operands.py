"""Which single cells the formulas calculate with: operands of arithmetic, numbers for functions."""

from __future__ import annotations

from collections.abc import Iterable

from hayfuncs.audit.graph import Formulas, Pattern, hay_name
from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.parser import Area, Binary, FunctionCall, NameRef, Text, Tree, Unary, plain_name

TESTS = {
    "ISBLANK", "ISNUMBER", "ISTEXT", "COUNT", "COUNTA", "COUNTBLANK", "N", "T", "ISLOGICAL", "COUNTIF", "ISERROR", "IFERROR", "LEN",
}  # fmt: skip


MOST = 8  # formula cells remembered for one operand


def operands(formulas: Formulas) -> dict[Node, list[Node]]:
    """Each cell that is calculated with -> formula cells that do so without asking first."""
    found: dict[Node, list[Node]] = {}
    for pattern in formulas.patterns.values():
        spared = tested(pattern)
        for tree in dict.fromkeys(operand_trees(pattern)):
            if tree in spared:
                continue
            fixed = isinstance(tree, NameRef) or (isinstance(tree, Area) and tree.ref.fixed == 15)
            for at in pattern.cells[:1] if fixed else pattern.cells:
                to = meant(formulas, tree, pattern, at)
                if to is not None:
                    users = found.setdefault(to, [])
                    if len(users) < MOST:
                        users.append(at)
    return found


def operand_trees(pattern: Pattern) -> list[Tree]:
    """The references that a pattern calculates with."""
    return used(pattern.parts)


def used(parts: Iterable[Tree]) -> list[Tree]:
    """The references that a tree's parts calculate with."""
    found: list[Tree] = []
    for part in parts:
        if isinstance(part, Binary) and part.op in ("+", "-", "*", "/", "^"):
            found += [side for side in (part.left, part.right) if isinstance(side, (Area, NameRef))]
        elif isinstance(part, Unary) and isinstance(part.inner, (Area, NameRef)):
            found.append(part.inner)
        elif isinstance(part, FunctionCall) and hay_name(part.name) in CATALOGUE:
            pairs = zip(part.args, CATALOGUE[hay_name(part.name)].args.values(), strict=False)
            found += [given for given, arg in pairs if isinstance(arg, Arg) and isinstance(given, (Area, NameRef))]
    return found


def tested(pattern: Pattern) -> set[Tree]:
    """References that the formula asks about before it calculates: ISNUMBER(x), x=\"\"."""
    found: set[Tree] = set()
    if pattern.tree is None:
        return found
    for part in pattern.parts:
        if isinstance(part, FunctionCall) and plain_name(part.name) in TESTS:
            found |= {arg for arg in part.args if isinstance(arg, (Area, NameRef))}
        elif isinstance(part, Binary) and part.op in ("=", "<>"):
            for side, other in ((part.left, part.right), (part.right, part.left)):
                if isinstance(side, (Area, NameRef)) and isinstance(other, Text):
                    found.add(side)
    return found


def meant(formulas: Formulas, tree: Tree, pattern: Pattern, at: Node) -> Node | None:
    """The one cell that a reference or a name means at a copy of the pattern."""
    ref = None
    if isinstance(tree, NameRef):
        areas = formulas.name_areas.get(tree.name.casefold(), ())
        ref = areas[0] if len(areas) == 1 else None
    elif isinstance(tree, Area):
        _, head_row, head_col = place(pattern.head)
        _, row, col = place(at)
        ref = tree.ref.moved(row - head_row, col - head_col)
    if ref is None or not ref.single or ref.row < 0 or ref.col < 0:
        return None
    sheet = formulas.sheet_number(ref, pattern.sheet)
    return None if sheet is None else node(sheet, ref.row, ref.col)
