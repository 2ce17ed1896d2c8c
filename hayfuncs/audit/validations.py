"""Validations read: what a cell may hold, as a test and in words."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.audit.context import AuditContext
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import node
from hayfuncs.spreadsheet.contents import Validation, Value
from hayfuncs.spreadsheet.tokens import Malformed, reference

LONGEST = 200_000  # cells of a list that are read
NUMBERS = ("decimal", "whole", "date", "time")


def says(rule: Validation) -> str:
    if rule.kind == "list":
        return f"one of {rule.first[:120]}"
    between = {"between": f"{rule.first} to {rule.second}", "notBetween": f"what is not {rule.first} to {rule.second}"}
    named = {"greaterThan": "more than", "lessThan": "less than", "greaterThanOrEqual": "at least", "lessThanOrEqual": "at most",
             "equal": "exactly", "notEqual": "other than"}  # fmt: skip
    kind = {"textLength": "a text of length ", "whole": "a whole number, "}.get(rule.kind, "")
    return kind + (between.get(rule.operator) or f"{named.get(rule.operator, rule.operator)} {rule.first}")


def allowed(case: AuditContext, rule: Validation, sheet: int) -> Callable[[Value], bool] | None:
    """A test of a value, where the validation is one that can be read."""
    if rule.kind == "list":
        words = listed(case, rule.first, sheet)
        if words is None:
            return None
        folded = {_folded(word) for word in words}
        return lambda v: _folded(v) in folded
    if rule.kind not in ("decimal", "whole", "date", "time", "textLength"):
        return None
    try:
        low = float(rule.first)
        high = float(rule.second) if rule.second else low
    except ValueError:
        return None
    tests: dict[str, Callable[[float], bool]] = {
        "between": lambda n: low <= n <= high, "notBetween": lambda n: not low <= n <= high, "equal": lambda n: n == low,
        "notEqual": lambda n: n != low, "greaterThan": lambda n: n > low, "lessThan": lambda n: n < low,
        "greaterThanOrEqual": lambda n: n >= low, "lessThanOrEqual": lambda n: n <= low,
    }  # fmt: skip
    test = tests.get(rule.operator)
    if test is None:
        return None

    def fits(value: Value) -> bool:
        if rule.kind == "textLength":
            return bool(test(len(figure(value)) if isinstance(value, float) else len(str(value))))
        if not isinstance(value, (float, bool)):
            return False
        return bool(test(float(value))) and (rule.kind != "whole" or float(value).is_integer())

    return fits


def listed(case: AuditContext, text: str, sheet: int) -> list[Value] | None:
    """What a list validation offers, in its order; None where it cannot be read."""
    if text.startswith('"') and text.endswith('"'):
        return [word.strip() for word in text[1:-1].split(",")]
    try:
        ref = reference(text)
    except (Malformed, ValueError):
        return None
    number = case.formulas.sheet_number(ref, sheet)
    if number is None or (ref.last_row - ref.row + 1) * (ref.last_col - ref.col + 1) > LONGEST:
        return None
    rows, columns = range(ref.row, ref.last_row + 1), range(ref.col, ref.last_col + 1)
    values = (case.book.values.get(node(number, r, c)) for r in rows for c in columns)
    return [value for value in values if value not in (None, "")]


def _folded(value: Value) -> Value:
    return value.strip().casefold() if isinstance(value, str) else value
