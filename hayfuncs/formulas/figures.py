"""Arithmetic in figures: a formula's tree written with the values and units of what it reads."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.spreadsheet.parser import (
    POWER,
    Apply,
    Area,
    Binary,
    ErrorLiteral,
    FunctionCall,
    Missing,
    NameRef,
    Number,
    Other,
    Text,
    Tree,
    Truth,
    Unary,
    plain_name,
)

SIGNS = {"*": " x ", "/": " / ", "+": " + ", "-": " - ", "&": " & "}
HUNDRED = 100.0
Leaf = Callable[[Tree], str | None]  # what stands for a part of the formula; None: it is written out


def number(value: float) -> str:
    """Six figures, thousands marked, no needless zeros."""
    if value == int(value) and abs(value) < 1e15:
        return f"{int(value):,}"
    if abs(value) >= 1e6:
        return f"{value:,.1f}"
    return f"{value:,.6g}"


def figure(value: Value, unit: str = "") -> str:
    """A value as a person reads it, with its unit."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (int, float)):  # a bound may be a whole number
        return f"{number(value)} {unit}".strip()
    if isinstance(value, ErrorValue):
        return str(value)
    clean = "".join(c if c.isprintable() else " " for c in value)
    return f'"{clean if len(clean) <= 60 else clean[:57] + "..."}"'


def written(tree: Tree, leaf: Leaf, floor: int = 0) -> str:
    """The tree in figures; percent needs no division by 100 written behind it."""
    told = leaf(tree)
    if told is not None:
        return told
    if isinstance(tree, Binary):
        if tree.op == "/" and isinstance(tree.right, Number) and tree.right.value == HUNDRED:
            inner = written(tree.left, leaf, POWER["*"])
            if _ends_in_percent(tree.left, leaf):
                return inner if floor <= POWER["*"] else f"({inner})"
        power = POWER[tree.op]
        left, right = written(tree.left, leaf, power), written(tree.right, leaf, power + (tree.op in "-/^"))
        text = f"{left}{SIGNS.get(tree.op, '^' if tree.op == '^' else f' {tree.op} ')}{right}"
        return f"({text})" if power < floor else text
    if isinstance(tree, Unary):
        inner = written(tree.inner, leaf, 6)
        return f"{inner} %" if tree.op == "%" else f"{tree.op}{inner}"
    if isinstance(tree, FunctionCall):
        args = ", ".join(written(arg, leaf) for arg in tree.args)
        return f"{plain_name(tree.name)}({args})"
    return formula(tree)


def _ends_in_percent(tree: Tree, leaf: Leaf) -> bool:
    """Whether the last factor of a product is a value in percent."""
    last = tree
    while isinstance(last, Binary) and last.op == "*":
        last = last.right
    return " %" in (leaf(last) or "") and isinstance(tree, Binary)


def formula(tree: Tree) -> str:
    """The tree as a formula again."""
    if isinstance(tree, Number):
        return tree.text
    if isinstance(tree, Text):
        return '"' + tree.value.replace('"', '""') + '"'
    if isinstance(tree, Truth):
        return "TRUE" if tree.value else "FALSE"
    if isinstance(tree, (ErrorLiteral, Other)):
        return tree.value if isinstance(tree, ErrorLiteral) else tree.text
    if isinstance(tree, Area):
        return tree.ref.text()
    if isinstance(tree, NameRef):
        return tree.name
    if isinstance(tree, Missing):
        return ""
    if isinstance(tree, Unary):
        inner = formula(tree.inner)
        return f"({inner})%" if tree.op == "%" else f"{tree.op}({inner})"
    if isinstance(tree, Binary):
        return f"({formula(tree.left)}{tree.op}{formula(tree.right)})"
    if isinstance(tree, Apply):
        return f"{formula(tree.function)}({','.join(map(formula, tree.args))})"
    return f"{tree.name}({','.join(map(formula, tree.args))})"
