"""The stub `hayfuncs/__init__.pyi`, made from the records: editors complete every signature, mypy knows it."""

from __future__ import annotations

import inspect

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.fields import AnyArg, Record

HEAD = '''\
# Made from the records by `python -m hayfuncs.generate`: change the records, not this file.
# mypy: disable-error-code="overload-overlap"
# pyright: reportOverlappingOverload=false
"""{doc}"""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Literal, Protocol, TypeAlias, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from hayfuncs.contract.catalogue import CATALOGUE as CATALOGUE
{errors}

__version__: str
__all__: list[str]

class _Array(Protocol):
    """What numpy can take as an array: arrays, masked arrays, columns of data frames."""

    def __array__(self, *args: Any, **kwargs: Any) -> NDArray[Any]: ...

class _Series(Protocol):
    """A column of a data frame, which comes back as one."""

    @property
    def name(self) -> Any: ...
    def to_numpy(self, *args: Any, **kwargs: Any) -> Any: ...

_S = TypeVar("_S", bound=_Series)
_Number: TypeAlias = float | Decimal | np.integer[Any] | np.floating[Any]
_Numbers: TypeAlias = _Array | Sequence[_Number | None] | Sequence[Sequence[_Number | None]]
_Words: TypeAlias = _Array | Sequence[str | None] | Sequence[Sequence[str | None]]
_Flag: TypeAlias = bool | float | np.bool
_Flags: TypeAlias = _Array | Sequence[_Flag | None] | Sequence[Sequence[_Flag | None]]
_Block: TypeAlias = _Array | Sequence[_Number | None] | Sequence[Sequence[_Number | None]]

def explain(name: str, *args: Any) -> str:
    """{explain}"""

def reason(function_name: str, *arguments: Any) -> Any:
    """{reason}"""
'''
COLUMNS = {"number": "_Numbers", "word": "_Words", "name": "_Words", "flag": "_Flags"}


def stub() -> str:
    """The whole file."""
    errors = sorted(n for n in hayfuncs.__all__ if inspect.isclass(getattr(hayfuncs, n)))
    head = HEAD.format(
        doc=inspect.cleandoc(hayfuncs.__doc__ or "") + "\n",
        errors="\n".join(f"from hayfuncs.contract.errors import {name} as {name}" for name in errors),
        explain=first_line(hayfuncs.explain),
        reason=first_line(hayfuncs.reason),
    )
    return "\n".join([head, *(signatures(record) for record in CATALOGUE.values())])


def signatures(record: Record) -> str:
    """A function's forms: single values to one answer, series to a series, anything else to an array."""
    kinds = {arg.kind for arg in record.args.values()}
    one = "str" if record.result.unit == "text" else "float"
    many = "NDArray[np.object_]" if record.result.unit == "text" else "NDArray[np.float64]"
    if "block" in kinds:
        types = dict.fromkeys(record.args, "_Block")
        return form(record, types, many if record.result.block else one, told=True)
    single = {name: scalar(arg) for name, arg in record.args.items()}
    if record.variadic:
        return form(record, single, "Any", told=True)
    series = {name: f"_S | {kind}" for name, kind in single.items()}
    columns = {name: f"{kind} | {COLUMNS[record.args[name].kind]}" for name, kind in single.items()}
    forms = [form(record, single, one, told=True), form(record, series, "_S"), form(record, columns, many)]
    return "".join(f"@overload\n{text}" for text in forms)


def scalar(arg: AnyArg) -> str:
    words = getattr(arg, "words", ())
    return {"number": "_Number", "flag": "_Flag"}.get(
        arg.kind, f"Literal[{', '.join(map(repr, words))}] | str" if words else "str"
    )


def form(record: Record, types: dict[str, str], answer: str, told: bool = False) -> str:
    args = [f"{name}: {kind}{' = ...' if name in record.defaults else ''}" for name, kind in types.items()]
    if record.variadic:
        args.append("*arguments: Any")
    body = f'\n    """{first_line(record.plain)}"""\n' if told else " ...\n"
    return f"def {record.python_name}({', '.join(args)}) -> {answer}:{body}"


def first_line(function: object) -> str:
    return (inspect.getdoc(function) or "").partition("\n")[0]
