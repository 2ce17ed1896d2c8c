"""The embedded engine: formualizer with every function registered, nothing but pip needed.

It evaluates a whole workbook file in this process and hands back every cell's value.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.errors import HayError
from hayfuncs.record import CATALOGUE, Record

ERROR_KINDS = {"#VALUE!": "Value", "#NUM!": "Num", "#N/A": "Na", "#DIV/0!": "Div", "#NAME?": "Name", "#REF!": "Ref"}
DAY_ZERO = datetime.date(1899, 12, 30)  # day numbers of spreadsheets count from here for dates since March 1900
LEAP_ERROR = datetime.date(1900, 3, 1)  # spreadsheets hold 1900 for a leap year
KIND_ERRORS = {kind: text for text, kind in ERROR_KINDS.items()}


def error_value(text: str) -> dict[str, str]:
    """An error as the engine carries it."""
    return {"type": "Error", "kind": ERROR_KINDS.get(text, "Value")}


def is_error(value: object) -> bool:
    return isinstance(value, dict) and value.get("type") == "Error"


def plain_value(value: Any) -> Any:
    """An engine value as Python: numbers (dates too), text, True/False, None, or an error's text `#NUM!`."""
    if isinstance(
        value, datetime.date
    ):  # a number that the engine took for a date: its day number, as a sheet stores it
        return day_number(value)
    if is_error(value):
        return KIND_ERRORS.get(str(value.get("kind")), "#" + str(value.get("kind")).upper())
    return value


def day_number(value: datetime.date) -> float:
    """Days as spreadsheets count them: 1 is 1 January 1900, and before March 1900 a day that never was is missing."""
    days = (datetime.date(value.year, value.month, value.day) - DAY_ZERO).days
    days -= value < LEAP_ERROR if not isinstance(value, datetime.datetime) else value.date() < LEAP_ERROR
    if not isinstance(value, datetime.datetime):
        return days
    midnight = datetime.datetime(value.year, value.month, value.day, tzinfo=value.tzinfo)
    return days + (value - midnight) / datetime.timedelta(days=1)


def adapter(record: Record) -> Callable[..., Any]:
    """The checked function, with errors in cells passed through and ours turned into values."""
    function = getattr(hayfuncs, record.python_name)

    def call(*args: Any) -> Any:
        for arg in args:
            if isinstance(arg, dict) and is_error(arg):
                return arg
        try:
            return cell_value(function(*args))
        except HayError as error:
            return error_value(error.excel)

    return call


def cell_value(value: Any) -> Any:
    if isinstance(value, float):
        return error_value("#NUM!") if math.isnan(value) else value
    if isinstance(value, np.ndarray):
        block = value if value.ndim == 2 else value.reshape(-1, 1)
        return [[cell_value(v) for v in row] for row in block.tolist()]
    if value is None:
        return error_value("#N/A")
    return value


def register(book: Any, spelling: str = "HAY.") -> Any:
    """Every function of the catalogue, under `HAY.NAME` or another spelling, in a workbook."""
    for record in CATALOGUE.values():
        book.register_function(spelling + record.name, adapter(record), min_args=0, max_args=None)
    return book


def new_book(spelling: str = "HAY.") -> Any:
    import formualizer

    return register(formualizer.Workbook(), spelling)


def load(source: Path | bytes, spelling: str = "HAY.") -> Any:
    """A workbook file in the engine, functions registered, not yet evaluated."""
    import formualizer

    if isinstance(source, bytes):
        book = formualizer.Workbook.from_bytes(source)
    else:
        book = formualizer.Workbook.from_path(str(source))
    return register(book, spelling)


def values(book: Any, sheet: str, rows: int, columns: int) -> Sequence[Sequence[Any]]:
    """The evaluated values of a sheet's first rows and columns."""
    import formualizer

    area = formualizer.RangeAddress(sheet, 1, 1, rows, columns)
    return [[plain_value(v) for v in row] for row in book.sheet(sheet).get_values(area)]
