"""The embedded engine: formualizer with every function registered, nothing but pip needed.

It evaluates a whole workbook file in this process and hands back every cell's value.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.errors import HayError, WrongCall
from hayfuncs.spreadsheet.engine_values import error_value, is_error, plain_value


def adapter(record: Record) -> Callable[..., Any]:
    """The checked function, with errors in cells passed through and ours turned into values."""
    function = getattr(hayfuncs, record.python_name)

    def call(*args: Any) -> Any:
        for arg in args:
            if isinstance(arg, dict) and is_error(arg):
                return arg
        try:
            return cell_value(function(*args))
        except (HayError, WrongCall) as error:
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


def values(book: Any, sheet: str, rows: int, columns: int, first: int = 1) -> Sequence[Sequence[Any]]:
    """The evaluated values of a sheet's rows, from the first or the given one, and of its first columns."""
    return [[plain_value(v) for v in row] for row in raw(book, sheet, rows, columns, first)]


def raw(book: Any, sheet: str, rows: int, columns: int, first: int = 1) -> Sequence[Sequence[Any]]:
    """The same as the engine has them, for who wants few of them."""
    import formualizer

    found: Sequence[Sequence[Any]] = book.sheet(sheet).get_values(
        formualizer.RangeAddress(sheet, first, 1, first + rows - 1, columns)
    )
    return found
