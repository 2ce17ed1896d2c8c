"""polars: methods on frames, and expressions that run lazily, in streams and on every core."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import polars as pl

from hayfuncs.contract.catalogue import Record
from hayfuncs.hosts.frames.calls import NAMESPACE, Methods, bound, is_number, resolved, worked


def expression(record: Record, values: Sequence[Any], what: Callable[..., Any] = worked) -> pl.Expr:
    """The call as one expression; texts for numbers name columns, texts for words are words."""
    given: list[Any] = []
    columns: list[pl.Expr] = []
    for name, value in zip(record.args, values, strict=True):
        if isinstance(value, str) and is_number(record, name):
            value = pl.col(value)
        if isinstance(value, pl.Series):
            value = pl.lit(value)
        if isinstance(value, pl.Expr):
            columns.append(value)
            given.append(None)
        else:
            given.append(value)
    places = [i for i, value in enumerate(given) if value is None and not _was_none(values[i])]
    numeric = record.numeric and what is worked

    def run(series: Sequence[pl.Series]) -> pl.Series:
        ready = list(given)
        for place, one in zip(places, series, strict=True):
            ready[place] = one
        return column(what(record, ready), numeric)

    if not columns:
        return pl.lit(what(record, given)).alias(record.python_name)
    kind = pl.Float64 if numeric else pl.String
    return pl.map_batches(columns, run, return_dtype=kind, is_elementwise=True).alias(record.python_name)


def _was_none(value: Any) -> bool:
    return value is None


def column(answer: Any, numeric: bool) -> pl.Series:
    """An answer as polars keeps it: what is not there is null, not NaN."""
    if numeric:
        return pl.Series(np.asarray(answer, dtype=np.float64), nan_to_null=True)
    return pl.Series([v if isinstance(v, str) else None for v in answer], dtype=pl.String)


class FrameMethods(Methods):
    """On a DataFrame the answer is a Series."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        values = resolved(record, bound(record, args, kwargs), self._frame.columns, pl.col)
        return self._frame.select(expression(record, values, what)).to_series()


class LazyMethods(Methods):
    """On a LazyFrame the answer is an expression, for `with_columns` or `select`."""

    def __init__(self, frame: pl.LazyFrame) -> None:
        self._frame = frame

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        columns = self._frame.collect_schema().names()
        return expression(record, resolved(record, bound(record, args, kwargs), columns, pl.col), what)


class ExpressionMethods(Methods):
    """On an expression, which is the first argument."""

    def __init__(self, first: pl.Expr) -> None:
        self._first = first

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        return expression(record, bound(record, (self._first, *args), kwargs), what)


def install() -> None:
    pl.api.register_dataframe_namespace(NAMESPACE)(FrameMethods)
    pl.api.register_lazyframe_namespace(NAMESPACE)(LazyMethods)
    pl.api.register_expr_namespace(NAMESPACE)(ExpressionMethods)
