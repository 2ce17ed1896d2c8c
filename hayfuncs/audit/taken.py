"""A formula with every choice made as the stored values make it."""

from __future__ import annotations

from typing import Any

from hayfuncs.audit.evaluate import Evaluator
from hayfuncs.audit.graph import Pattern, hay_name
from hayfuncs.audit.values import Unsupported
from hayfuncs.spreadsheet.a1 import Node, place
from hayfuncs.spreadsheet.parser import Binary, FunctionCall, Text, Tree, Unary, plain_name, tree
from hayfuncs.spreadsheet.tokens import Malformed

Tests = list[tuple[Tree, bool]]


def own_pattern(text: str, at: Node) -> Pattern | None:
    """A cell's formula as a pattern of that one cell; None where it cannot be read."""
    try:
        return Pattern(place(at)[0], text, at, text, tree(text), "", [at])
    except (Malformed, RecursionError):
        return None


def value_of(part: Tree, pattern: Pattern, evaluator: Evaluator) -> Any:
    """A part's value over the stored values; None where the second reading cannot tell."""
    try:
        value = evaluator.work(part, pattern, [pattern.head])
    except Unsupported:
        return None
    return value[0] if isinstance(value, list) else value


def taken(part: Tree, pattern: Pattern, evaluator: Evaluator, tests: Tests | None = None) -> Tree:
    """The branches that IF and CHOOSE take here; the tests made on the way go into `tests`."""
    if isinstance(part, FunctionCall):
        name = plain_name(part.name)
        if name == "IF" and len(part.args) >= 2:
            test = value_of(part.args[0], pattern, evaluator)
            if isinstance(test, (bool, float)):
                if tests is not None:
                    tests.append((part.args[0], bool(test)))
                branches = (*part.args[1:], Text("FALSE"))
                return taken(branches[0] if test else branches[1], pattern, evaluator, tests)
        if name == "CHOOSE":
            which = value_of(part.args[0], pattern, evaluator)
            if isinstance(which, float) and 1 <= which < len(part.args):
                return taken(part.args[int(which)], pattern, evaluator, tests)
        if name in ("INDEX", "MATCH") or hay_name(part.name):
            return part
        return FunctionCall(part.name, tuple(taken(arg, pattern, evaluator, tests) for arg in part.args))
    if isinstance(part, Binary):
        return Binary(
            part.op, taken(part.left, pattern, evaluator, tests), taken(part.right, pattern, evaluator, tests)
        )
    if isinstance(part, Unary):
        return Unary(part.op, taken(part.inner, pattern, evaluator, tests))
    return part
