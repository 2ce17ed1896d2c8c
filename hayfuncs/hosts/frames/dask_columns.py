"""dask: the same method as pandas has, run on each part of a frame that is larger than the memory."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import dask.dataframe as dd
import numpy as np

from hayfuncs.contract.catalogue import Record
from hayfuncs.hosts.frames import pandas_columns
from hayfuncs.hosts.frames.calls import NAMESPACE, REASON, Methods, bound, resolved, worked


class FrameMethods(Methods):
    """Our functions on the columns of one dask frame; the answer is a dask Series."""

    def __init__(self, frame: Any) -> None:
        self._frame = frame

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        values = bound(record, args, kwargs)
        resolved(record, values, list(self._frame.columns), str)  # a wrong column is told now, not when it is computed
        kind = np.float64 if record.numeric and what is worked else object
        way = record.python_name if what is worked else REASON
        return self._frame.map_partitions(_part, record.name, way, values, meta=(record.python_name, kind))


def _part(frame: Any, name: str, way: str, values: list[Any]) -> Any:
    methods = pandas_columns.FrameMethods(frame)
    return methods.reason(name, *values) if way == REASON else getattr(methods, way)(*values)


def install() -> None:
    dd.extensions.register_dataframe_accessor(NAMESPACE)(FrameMethods)  # type: ignore[no-untyped-call]  # dask comes without types
