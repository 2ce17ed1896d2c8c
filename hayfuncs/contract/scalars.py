"""One value made ready for a plain function, or refused with one of our errors.

Shapes are not known here; `hayfuncs.contract.blocks` goes through a block with these.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import numpy as np

from hayfuncs.contract.errors import BadInput, OutOfRange, WrongCall, shown
from hayfuncs.contract.fields import AnyArg, Arg, Flag, Record, Words

NAN = math.nan
NUMPY_SCALARS = (np.integer, np.floating, np.bool_, np.str_)
NUMBERS = (float, int, np.integer, np.floating, Decimal)
NO_VALUE = ("NAType", "NaTType", "MaskedConstant")  # the types of pandas' NA and NaT and of a masked number


def is_number(value: object) -> bool:
    """A number of Python or numpy; TRUE and FALSE are none."""
    return isinstance(value, NUMBERS) and not isinstance(value, bool)


def is_missing(value: object) -> bool:
    """None, NaN, NA or masked."""
    return value is None or type(value).__name__ in NO_VALUE or (is_number(value) and value != value)


def as_float(number: Any) -> float:
    """The number as a float; a whole number too large for one is infinite."""
    try:
        return float(number)
    except OverflowError:
        return math.inf if number > 0 else -math.inf
    except ValueError:  # Decimal's signalling NaN
        return NAN


def clean(record: Record, name: str, arg: AnyArg, value: Any) -> Any:
    """One value made ready for the plain function, or one of our errors."""
    if type(value) is not float:
        value = _single(value)
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


def _single(value: Any) -> Any:
    """A scalar of another library as Python's own: None where it stands for a missing value."""
    if type(value).__name__ in NO_VALUE:
        return None
    if isinstance(value, NUMPY_SCALARS) or (isinstance(value, np.ndarray) and value.ndim == 0):
        return value.item()
    return as_float(value) if isinstance(value, (Decimal)) else value


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
    """The arguments in the order of the record, defaults filled in; a wrong number is Python's own TypeError."""
    names = list(record.args)
    known = f"its arguments: {', '.join(names)}"
    if len(args) > len(names):
        raise WrongCall(f"{record.python_name}() takes {len(names)} arguments but {len(args)} were given; {known}")
    found = dict(zip(names, args, strict=False))
    for key, value in kwargs.items():
        if key not in record.args:
            raise WrongCall(f"{record.python_name}() has no argument {key!r}; {known}")
        if key in found:
            raise WrongCall(f"{record.python_name}() got {key!r} twice")
        found[key] = value
    missing = [name for name in names if name not in found and name not in record.defaults]
    if missing:
        raise WrongCall(f"{record.python_name}() is missing {', '.join(missing)}; {known}")
    return [found[name] if name in found else record.defaults[name] for name in names]
