"""The component that Calc calls: every function of the catalogue as a method.

What Calc hands over: an omitted argument as None, a blank cell as 0.0, TRUE as 1.0, a
block as rows of cells with "" for a blank.  What it shows: NaN as #NUM!, None as #N/A, any
exception as #VALUE!.  An error in a cell never gets here.

A function of numbers answers in rows of cells, one cell for a single answer.  A function
that answers in text gives the bare text, for one row at a time: a text inside a block is for
Calc never equal to another text (LibreOffice 7.4), and `=HAY.NAME(...)="CP"` would fail.
"""

from __future__ import annotations

import contextlib
import struct
from collections.abc import Callable
from itertools import chain
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.errors import HayError, NotInTable, OutOfRange
from hayfuncs.hosts.arguments import given
from hayfuncs.hosts.calc import opening
from hayfuncs.hosts.calc.typelib import INTERFACE, MODULES, SERVICE

IMPLEMENTATION = "org.hayfuncs.Functions"
NAN = float("nan")
# Calc keeps an error as a NaN with the error's number in its low half: 0x7FFF is #N/A
NOT_AVAILABLE = struct.unpack("<d", struct.pack("<Q", 0x7FF8000000007FFF))[0]
Rows = tuple[tuple[Any, ...], ...]


def cells(value: Any) -> Any:
    """An answer as Calc takes it: a number or a text as it is, an array as rows of cells."""
    if not hasattr(value, "tolist"):
        return value
    if value.size == len(value):  # one column
        return tuple(zip(value.ravel().tolist()))
    return tuple(map(tuple, value.tolist()))


def quick(value: Any) -> Any:
    """A block of numbers alone as an array at once; anything else as it came, for the contract to judge."""
    if not isinstance(value, tuple):
        return value
    flat = list(chain.from_iterable(value))
    if set(map(type, flat)) != {float}:
        return value
    return np.array(flat).reshape(len(value), -1)  # numpy takes one long list six times as fast as rows


def answer(record: Record, args: tuple[Any, ...]) -> Any:
    """The function's answer, or what Calc turns into our error value."""
    try:
        return cells(getattr(hayfuncs, record.python_name)(*map(quick, given(record, args))))
    except OutOfRange:
        return NAN
    except NotInTable:
        return None
    except HayError as error:
        raise RuntimeError(str(error)) from None


def in_cells(found: Any) -> Rows:
    """A number's answer as rows of cells; #N/A, which an empty cell would not show, as a number of its own."""
    if isinstance(found, tuple):
        return found
    return ((NOT_AVAILABLE if found is None else found,),)


def method(record: Record) -> Callable[..., Any]:
    """The method Calc calls."""

    def call(self: Any, *args: Any) -> Any:
        found = answer(record, (args[0], *args[1]) if record.variadic else args)
        if record.numeric:
            return in_cells(found)
        if isinstance(found, tuple):
            raise RuntimeError(f"{record.name} answers in text, which Calc takes for one row at a time")
        return found

    return call


def implementations() -> Any:
    """What the office's Python loader reads: the class, its name and its services."""
    import unohelper
    from com.sun.star.lang import XServiceInfo

    services = (SERVICE, "com.sun.star.sheet.AddIn")
    bases: tuple[type, ...] = (unohelper.Base, XServiceInfo)
    with contextlib.suppress(ImportError):
        # while the extension is being added, its own type library is not yet known
        bases += (getattr(__import__(".".join(MODULES), fromlist=[INTERFACE]), INTERFACE),)
    members: dict[str, Any] = {record.name: method(record) for record in CATALOGUE.values()}
    members |= {
        "__init__": lambda self, context: None,
        "getImplementationName": lambda self: IMPLEMENTATION,
        "getSupportedServiceNames": lambda self: services,
        "supportsService": lambda self, name: name in services,
    }
    helper = unohelper.ImplementationHelper()
    helper.addImplementation(type("Functions", bases, members), IMPLEMENTATION, services)
    helper.addImplementation(opening.job(f"{SERVICE}."), opening.IMPLEMENTATION, (opening.SERVICE,))
    return helper
