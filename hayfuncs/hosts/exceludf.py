"""The catalogue as Python functions that an Excel host registers: `HAY_NAME`, made from the records.

What classic Excel hands over through xlwings: a number as float (a currency cell as
Decimal), a blank or omitted argument as None, a date as datetime, an error cell as its
text because it is asked for so, a range as rows of cells.  Every argument is asked for as
rows of cells, since xlwings would otherwise hand a row and a column over alike.
"""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.errors import HayError
from hayfuncs.hosts import wizard
from hayfuncs.hosts.arguments import given

NAMESPACE = "HAY"
ERRORS = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!")
OPTIONS: dict[str, Any] = {"ndim": 2, "err_to_str": True}  # rows of cells; errors as their text
ErrorValue = Callable[[str], Any]


def name(record: Record) -> str:
    """VBA allows no period in a function's name."""
    return f"{NAMESPACE}_{record.name}"


def received(value: Any) -> Any:
    """One argument as the checked functions take it: a single cell as a scalar."""
    if isinstance(value, (list, tuple)) and len(value) == 1 and isinstance(value[0], (list, tuple)):
        row = value[0]
        if len(row) == 1:
            return received(row[0])
    if isinstance(value, (list, tuple)):
        return [received(v) for v in value]
    return float(value) if isinstance(value, Decimal) else value


def answer(record: Record, args: tuple[Any, ...], error: ErrorValue) -> Any:
    """The function's answer, each refusal as the host's error value; an error cell passes through."""
    values = [received(value) for value in args]
    for value in values:
        if isinstance(value, str) and value in ERRORS:
            return error(value)
    try:
        return returned(getattr(hayfuncs, record.python_name)(*given(record, values)), error)
    except HayError as refusal:
        return error(refusal.excel)
    except Exception:  # a fault of ours: xlwings would put the whole traceback into the user's cell
        return error("#VALUE!")


def returned(value: Any, error: ErrorValue) -> Any:
    value = value.tolist() if hasattr(value, "tolist") else value
    if isinstance(value, list):
        rows = value if value and isinstance(value[0], list) else [[v] for v in value]
        return [[returned(v, error) for v in row] for row in rows]
    if isinstance(value, float) and math.isnan(value):
        return error("#NUM!")
    return value


def udf(record: Record, error: ErrorValue) -> Callable[..., Any]:
    """A function with the record's signature and help, ready for a host's decorator."""

    def call(*args: Any) -> Any:
        return answer(record, args, error)

    parameters: list[inspect.Parameter] = []
    for argument in wizard.argument_names(record):
        open_end = record.variadic and argument == wizard.REST
        parameters.append(
            inspect.Parameter(
                argument,
                inspect.Parameter.VAR_POSITIONAL if open_end else inspect.Parameter.POSITIONAL_OR_KEYWORD,
                default=record.defaults.get(argument, inspect.Parameter.empty),
            )
        )
        help_text = wizard.argument_help(record, argument)
        call.__annotations__[argument] = Annotated[list, {"doc": help_text, **OPTIONS}]
    call.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]  # functions take attributes
    for shown in ("args", "return"):
        call.__annotations__.pop(shown, None)
    call.__name__ = call.__qualname__ = name(record)
    call.__doc__ = wizard.function_help(record)
    return call


def every(decorate: Callable[..., Any], error: ErrorValue) -> dict[str, Callable[..., Any]]:
    """`HAY_NAME` -> registered function; `decorate` is the host's decorator with options."""
    return {
        name(record): decorate(
            category=wizard.category(record), call_in_wizard=True, name=record.name, namespace=NAMESPACE
        )(udf(record, error))
        for record in CATALOGUE.values()
    }
