"""One record per worksheet function, read from the function's own signature.

`@worksheet(...)` reads the `Annotated` arguments once, lints the record, files it in
`CATALOGUE` and hands back the checked function, whose `.plain` is the bare arithmetic: from
wherever it is imported, a function refuses what cannot be.  Every face of the library
(Excel, LibreOffice, LAMBDA names, the workbook, help, audit) is made from the record.
"""

from __future__ import annotations

from collections.abc import Callable
from inspect import CO_VARARGS, CO_VARKEYWORDS
from typing import Annotated, Any, ParamSpec, TypeAlias, TypeVar, get_args, get_origin

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.fields import (
    EVIDENCE,
    NAMES_LIMIT,
    TEXT_LIMIT,
    TOPICS,
    AnyArg,
    Arg,
    Block,
    Flag,
    Longhand,
    Name,
    Record,
    Ref,
    Result,
    Rule,
    Step,
    Words,
)
from hayfuncs.contract.function import Function
from hayfuncs.contract.lint import lint

__all__ = [
    "CATALOGUE", "EVIDENCE", "NAMES_LIMIT", "TEXT_LIMIT", "TOPICS", "AnyArg", "Arg", "Block", "Flag", "Longhand",
    "Name", "Number", "Record", "RecordError", "Ref", "Result", "Rule", "Step", "Words", "worksheet",
]  # fmt: skip

Number: TypeAlias = float | npt.NDArray[np.float64]
P = ParamSpec("P")
R = TypeVar("R")

CATALOGUE: dict[str, Record] = {}


class RecordError(TypeError):
    """A record that its author must mend; raised when the module is imported."""


def worksheet(
    name: str,
    topic: str,
    summary: str,
    *,
    equation: str,
    refs: tuple[Ref, ...],
    longhand: str | Longhand | None = None,
    no_longhand: str = "",
    rules: tuple[Rule, ...] = (),
    why_default: str = "",
    elementwise: bool | None = None,
    variadic: bool = False,
    remark: Callable[..., str] | None = None,
) -> Callable[[Callable[P, R]], Function[P, R]]:
    """File a function in the catalogue; `elementwise` marks one written for single values, as those are
    that answer in text unless they say otherwise."""

    def file(function: Callable[P, R]) -> Function[P, R]:
        args: dict[str, AnyArg] = {}
        code = function.__code__
        defaults: dict[str, Any] = {}
        names = code.co_varnames[: code.co_argcount]
        given = function.__defaults__ or ()
        for arg_name, default in zip(names[len(names) - len(given) :], given, strict=True):
            defaults[arg_name] = default
        for arg_name in names:
            note = _annotation(function, arg_name)
            if not isinstance(note, (Arg, Words, Flag, Name, Block)):
                raise RecordError(f"{name}: argument {arg_name} has no record")
            args[arg_name] = note
        if code.co_kwonlyargcount or bool(code.co_flags & (CO_VARARGS | CO_VARKEYWORDS)) != variadic:
            raise RecordError(f"{name}: a cell passes arguments by place, and as many as the record says")
        result = _annotation(function, "return")
        if not isinstance(result, Result):
            raise RecordError(f"{name}: the result has no record")
        lh = Longhand(longhand) if isinstance(longhand, str) else longhand
        lh = lh.filed(result) if lh else None
        record = Record(
            name, topic, summary, equation, args, result, refs, lh, no_longhand, rules,
            defaults, why_default, result.unit == "text" if elementwise is None else elementwise, variadic, function,
            remark,
        )  # fmt: skip
        faults = lint(record, CATALOGUE)
        if faults:
            raise RecordError(f"{name}: " + "; ".join(faults))
        CATALOGUE[name] = record
        return Function(record)

    return file


class _Plain:
    """Stands for `Annotated` while an annotation is read: gives the record and skips typing's own work."""

    def __getitem__(self, parts: tuple[Any, ...]) -> Any:
        return parts[1]


PLAIN = {"Annotated": _Plain()}


def _annotation(function: Callable[..., Any], name: str) -> Any:
    """The record in `Annotated[type, record]`, or behind a name that stands for one."""
    hint = function.__annotations__.get(name)
    if isinstance(hint, str):
        hint = eval(hint, function.__globals__, PLAIN)
    return get_args(hint)[1] if get_origin(hint) is Annotated else hint
