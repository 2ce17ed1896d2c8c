"""A worksheet function as Python calls it: the plain one behind the contract, with help made from its record."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any, Generic, ParamSpec, TypeVar, cast

from hayfuncs.contract.blocks import called
from hayfuncs.contract.fields import Record

P = ParamSpec("P")
R = TypeVar("R", covariant=True)


class Function(Generic[P, R]):  # no docstring here: each function has its own
    record: Record
    plain: Callable[P, R]  # the bare arithmetic, without any test of what it is given

    def __init__(self, record: Record) -> None:
        self.record = record
        self.plain = self.__wrapped__ = record.plain
        self.__name__ = self.__qualname__ = record.python_name
        self.__module__ = record.plain.__module__

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        return cast(R, called(self.record, args, kwargs))

    def __get__(self, instance: object, owner: Any = None) -> Function[P, R]:
        return self  # this makes it a routine, which help() shows as a function

    def __reduce__(self) -> str:
        return self.__qualname__  # found again by its name, in any process

    def __repr__(self) -> str:
        return f"<worksheet function {self.record.python_name}{self.__signature__}>"

    @property
    def __doc__(self) -> str:  # type: ignore[override]  # each function's own, made when somebody asks for it
        from hayfuncs.contract.help import docstring

        return docstring(self.record)

    @property
    def __signature__(self) -> inspect.Signature:
        kind = inspect.Parameter.POSITIONAL_OR_KEYWORD
        parameters = [
            inspect.Parameter(name, kind, default=self.record.defaults.get(name, inspect.Parameter.empty))
            for name in self.record.args
        ]
        if self.record.variadic:
            parameters.append(inspect.Parameter("arguments", inspect.Parameter.VAR_POSITIONAL))
        return inspect.Signature(parameters)
