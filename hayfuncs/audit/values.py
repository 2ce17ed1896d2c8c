"""Values of the second reading: one for all cells of a column or one for each, and how spreadsheets take them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hayfuncs.spreadsheet.contents import ErrorValue

VALUE, NUM, NA, REF, DIV = (ErrorValue(text) for text in ("#VALUE!", "#NUM!", "#N/A", "#REF!", "#DIV/0!"))


class Unsupported(Exception):
    """A construction that the second reading leaves to the engine; its text names it."""


class Many(list[Any]):
    """One value for each cell of the column, where they differ."""


def number(value: Any) -> Any:
    """As arithmetic takes it: blank is 0, a text that reads as a number is one, else an error."""
    if isinstance(value, (ErrorValue, float)):
        return value
    if value is None:
        return 0.0
    if isinstance(value, (bool, int)):
        return float(value)
    if isinstance(value, str):
        try:
            return float(value) if value.strip() and "_" not in value else VALUE
        except ValueError:
            return VALUE
    return VALUE


def each(by: Callable[..., Any], *values: Any) -> Any:
    """`by` for every cell, or once where nothing differs between cells."""
    for value in values:
        if isinstance(value, tuple):
            raise Unsupported("arithmetic on an area")
    count = next((len(v) for v in values if isinstance(v, Many)), None)
    if count is None:
        return by(*values)
    columns = [v if isinstance(v, Many) else [v] * count for v in values]
    return Many(map(by, *columns))


def truth(value: Any) -> bool | ErrorValue:
    if isinstance(value, ErrorValue):
        return value
    if isinstance(value, str):
        return VALUE if value.upper() not in ("TRUE", "FALSE") else value.upper() == "TRUE"
    return bool(value)
