"""One value made ready for a plain function, or refused with one of our errors.

Shapes are not known here; `hayfuncs.contract.blocks` goes through a block with these.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from hayfuncs.contract.catalogue import AnyArg, Arg, Flag, Record, Words
from hayfuncs.contract.errors import BadInput, OutOfRange, shown

NAN = math.nan
NUMPY_SCALARS = (np.integer, np.floating, np.bool_, np.str_)


def is_number(value: object) -> bool:
    """A number of Python or numpy; TRUE and FALSE are none."""
    return isinstance(value, (float, int, np.integer, np.floating)) and not isinstance(value, bool)


def as_float(number: Any) -> float:
    """The number as a float; a whole number too large for one is infinite."""
    try:
        return float(number)
    except OverflowError:
        return math.inf if number > 0 else -math.inf


def clean(record: Record, name: str, arg: AnyArg, value: Any) -> Any:
    """One value made ready for the plain function, or one of our errors."""
    if isinstance(value, NUMPY_SCALARS) or (isinstance(value, np.ndarray) and value.ndim == 0):
        value = value.item()
    if isinstance(arg, Arg):
        if type(value) is float or (isinstance(value, (int, float)) and not isinstance(value, bool)):
            return _possible(record, name, arg, value)
        fix = arg.fix or "type a number in the cell"
        raise BadInput(record.name, name, shown(value, arg.unit), arg.allowed(), fix)
    if isinstance(arg, Flag):
        if isinstance(value, (bool, int, float)):
            if value != value:
                return NAN
            if value in (0, 1):
                return bool(value)
        raise BadInput(record.name, name, shown(value), arg.allowed(), arg.fix)
    if not isinstance(value, str) or not value.strip():
        if isinstance(value, float) and math.isnan(value):
            return NAN
        raise BadInput(record.name, name, shown(value), arg.allowed(), arg.fix)
    if isinstance(arg, Words):
        wanted = value.strip().casefold()
        for word in arg.words:
            if word.casefold() == wanted:
                return word
        raise BadInput(record.name, name, shown(value), arg.allowed(), arg.fix)
    return value.strip()


def _possible(record: Record, name: str, arg: Arg, value: float) -> float:
    number = as_float(value)
    if (number > arg.lo or (number == arg.lo and not arg.above)) and number <= arg.hi and number != math.inf:
        if number != -math.inf:
            return number
    if number != number:
        return NAN
    fix = arg.fix or "check the lab sheet or the cell it comes from"
    raise OutOfRange(record.name, name, shown(number, arg.unit), arg.allowed(), fix)


def bind(record: Record, args: Sequence[Any], kwargs: dict[str, Any]) -> list[Any]:
    """The arguments in the order of the record, defaults filled in."""
    names = list(record.args)
    if len(args) > len(names):
        raise BadInput(
            record.name,
            "the call",
            f"{len(args)} arguments",
            f"{len(names)}: {', '.join(names)}",
            "drop the extra ones",
        )
    found = dict(zip(names, args, strict=False))
    for key, value in kwargs.items():
        if key not in record.args or key in found:
            raise BadInput(record.name, key, "not an argument here or given twice", ", ".join(names), "check the name")
        found[key] = value
    for name in names:
        if name not in found:
            if name not in record.defaults:
                raise BadInput(record.name, name, "missing", record.args[name].allowed(), "give every argument")
            found[name] = record.defaults[name]
    return [found[name] for name in names]
