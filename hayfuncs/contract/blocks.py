"""The one place that owns shapes: a scalar in gives a float out, a block in a block out.

`checked(record)` wraps the plain function with the contract every caller relies on:
wrong or impossible values raise on a scalar call and turn one element of a block call
into NaN; NaN in is NaN out; a blank is never 0.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.catalogue import AnyArg, Arg, Block, Record
from hayfuncs.contract.cells import Floats, is_block, number_block, objects, size_text
from hayfuncs.contract.errors import BadInput, HayError, OutOfRange, shown
from hayfuncs.contract.scalars import NAN, as_float, bind, clean, is_number


def checked(record: Record) -> Callable[..., Any]:
    """The public function: the plain one behind the contract."""
    count = len(record.args)

    def call(*args: Any, **kwargs: Any) -> Any:
        if record.variadic:  # the open end is the plain function's own matter
            return record.plain(*bind(record, args[:count], kwargs), *args[count:])
        return answer(record, args if len(args) == count and not kwargs else bind(record, args, kwargs))

    call.__name__ = record.python_name
    call.__qualname__ = record.python_name
    call.__doc__ = record.plain.__doc__
    call.__wrapped__ = record.plain  # type: ignore[attr-defined]  # functions take attributes
    call.record = record  # type: ignore[attr-defined]  # the same
    return call


def answer(record: Record, values: Sequence[Any]) -> Any:
    """The function's answer to one call, behind the contract."""
    for arg in record.args.values():
        if isinstance(arg, Block):
            return _whole(record, values)
    for value in values:
        if is_block(value):
            return _block(record, values)
    return _scalar(record, values)


def _scalar(record: Record, values: Sequence[Any]) -> Any:
    ready = [clean(record, n, a, v) for (n, a), v in zip(record.args.items(), values, strict=True)]
    for value in ready:
        if value != value:
            return NAN
    with np.errstate(all="ignore"):  # what comes out of it is looked at instead
        _obey_rules(record, ready)
        return _one_answer(record, ready)


def _one_answer(record: Record, ready: list[Any]) -> Any:
    """The plain function's answer to good arguments: a number in the result's range, or a text."""
    try:
        result = record.plain(*ready)
    except ArithmeticError:
        result = NAN
    if not record.numeric or isinstance(result, str):
        return result
    if isinstance(result, np.ndarray) and result.ndim:
        return result
    number = NAN if isinstance(result, complex) else float(result)
    if not math.isfinite(number) or not record.result.lo <= number <= record.result.hi:
        raise _no_answer(record, ready)
    return number


def _obey_rules(record: Record, ready: list[Any]) -> None:
    for rule in record.rules:
        if not rule.ok(*ready):
            value = dict(zip(record.args, ready, strict=True))[rule.blame]
            given = shown(value, record.args[rule.blame].unit)
            raise OutOfRange(record.name, rule.blame, given, rule.allowed, rule.fix)


def _no_answer(record: Record, ready: list[Any]) -> OutOfRange:
    name = next(iter(record.args))
    given = ", ".join(f"{n} = {shown(v, a.unit)}" for (n, a), v in zip(record.args.items(), ready, strict=True))
    limits = f"a result of {record.result.lo:g} to {record.result.hi:g} {record.result.unit}"
    return OutOfRange(record.name, name, f"given with {given}", limits, "these values together have no such answer")


def _whole(record: Record, values: Sequence[Any]) -> Any:
    """A function that takes whole blocks (`Block` arguments) and answers once.

    Where rows are cases of their own, NaN is left to the function: it spoils its row only.
    """
    ready: list[Any] = []
    by_row = False
    for (name, arg), value in zip(record.args.items(), values, strict=True):
        if isinstance(arg, Block):
            by_row = by_row or arg.by_row
            ready.append(number_block(record, name, arg, value))
        else:
            ready.append(clean(record, name, arg, value))
    for value in ready:
        if isinstance(value, float) and math.isnan(value):
            return NAN
        if isinstance(value, np.ndarray) and not by_row and np.isnan(value).any():
            return NAN
    with np.errstate(all="ignore"):
        return _one_answer(record, ready)


def _block(record: Record, values: Sequence[Any]) -> Any:
    """Arrays through the plain function at once; words, flags and names go group by group."""
    columns: list[Any] = []
    shape: tuple[int, ...] | None = None
    for (name, arg), value in zip(record.args.items(), values, strict=True):
        if not is_block(value):
            columns.append(clean(record, name, arg, value))
            continue
        cells = objects(record, name, value)
        if shape is not None and cells.shape != shape:
            raise BadInput(
                record.name, name, f"a block of {size_text(cells.shape)}", f"a block of {size_text(shape)}, like the others",
                "give blocks of one size",
            )  # fmt: skip
        shape = cells.shape
        columns.append(cells)
    assert shape is not None
    if record.elementwise or not record.numeric:
        return _one_by_one(record, columns, shape)
    ok = np.ones(shape, dtype=bool)
    all_ok = True
    for i, (name, arg) in enumerate(record.args.items()):
        if not isinstance(columns[i], np.ndarray):
            if columns[i] != columns[i]:
                return np.full(shape, NAN)
            continue
        if isinstance(arg, Arg):
            columns[i], mask = _numbers(arg, columns[i])
        else:
            columns[i], mask = _labels(record, name, arg, columns[i])
        if mask is not None:
            ok &= mask
            all_ok = False
    return _groups(record, columns, shape, None if all_ok else ok)


def _numbers(arg: Arg, cells: npt.NDArray[Any]) -> tuple[Floats, npt.NDArray[np.bool_] | None]:
    """The column as floats, and a mask where an element is bad: its answer will be NaN, whatever it holds."""
    if cells.dtype == object:
        x = np.fromiter(
            (c if type(c) is float else as_float(c) if is_number(c) else NAN for c in cells.flat),
            dtype=np.float64, count=cells.size,
        ).reshape(cells.shape)  # fmt: skip
    elif cells.dtype.kind in "iuf":
        x = cells.astype(np.float64, copy=False)
    else:
        return np.full(cells.shape, NAN), np.zeros(cells.shape, dtype=bool)
    if x.size == 0:
        return x, None
    low, high = float(x.min()), float(x.max())
    if (low > arg.lo or (low == arg.lo and not arg.above)) and high <= arg.hi and math.isfinite(low + high):
        return x, None
    with np.errstate(invalid="ignore"):
        mask = x > arg.lo if arg.above else x >= arg.lo
        mask &= x <= arg.hi
        if not math.isfinite(arg.lo + arg.hi):
            mask &= np.isfinite(x)
    return x, mask


def _labels(record: Record, name: str, arg: AnyArg, cells: npt.NDArray[Any]) -> tuple[Any, npt.NDArray[np.bool_]]:
    ready = np.empty(cells.shape, dtype=object)
    mask = np.ones(cells.shape, dtype=bool)
    known: dict[Any, Any] = {}
    for place, cell in zip(product(*map(range, cells.shape)), cells.flat, strict=True):
        key = (type(cell), cell)
        try:
            if key not in known:
                known[key] = clean(record, name, arg, cell)
            ready[place] = known[key]
            mask[place] = known[key] == known[key]
        except (HayError, TypeError):
            mask[place] = False
    return ready, mask


def _groups(record: Record, columns: list[Any], shape: tuple[int, ...], ok: npt.NDArray[np.bool_] | None) -> Any:
    split = [i for i, c in enumerate(columns) if isinstance(c, np.ndarray) and c.dtype == object]
    if not split:
        return _arrays(record, columns, shape, ok)
    ok = np.ones(shape, dtype=bool) if ok is None else ok
    result = np.full(shape, NAN)
    places: dict[tuple[Any, ...], list[int]] = {}
    flat_ok = ok.ravel()
    labels = [columns[i].ravel() for i in split]
    for at in np.flatnonzero(flat_ok):
        places.setdefault(tuple(label[at] for label in labels), []).append(int(at))
    flat = result.ravel()
    for key, where in places.items():
        part = [c.ravel()[where] if isinstance(c, np.ndarray) else c for c in columns]
        for i, word in zip(split, key, strict=True):
            part[i] = word
        if not any(isinstance(c, np.ndarray) for c in part):
            try:
                flat[where] = _scalar(record, part)
            except HayError:
                flat[where] = NAN
        else:
            flat[where] = _arrays(record, part, (len(where),), None)
    return flat.reshape(shape)


def _arrays(record: Record, columns: list[Any], shape: tuple[int, ...], ok: npt.NDArray[np.bool_] | None) -> Floats:
    with np.errstate(all="ignore"):
        for rule in record.rules:
            mask = np.asarray(rule.ok(*columns), dtype=bool)
            if not mask.all():
                ok = np.broadcast_to(mask, shape) if ok is None else ok & mask
        try:
            found = record.plain(*columns)
        except HayError:  # the words or scalars given refuse the whole block (an unknown name, say)
            return np.full(shape, NAN)
    result: Floats = np.asarray(found, dtype=np.float64)
    if result.shape != shape:
        result = np.broadcast_to(result, shape).copy()
    elif not result.flags.owndata or any(result is column for column in columns):
        result = result.copy()  # blanked below, and an argument must stay as it was given
    if ok is not None:
        np.copyto(result, NAN, where=~ok)
    if result.size:
        low, high = float(np.fmin.reduce(result, axis=None)), float(np.fmax.reduce(result, axis=None))
        if not (low >= record.result.lo and high <= record.result.hi and math.isfinite(low + high)):
            with np.errstate(invalid="ignore"):
                fine = (result >= record.result.lo) & (result <= record.result.hi) & np.isfinite(result)
            np.copyto(result, NAN, where=~fine)
    return result


def _one_by_one(record: Record, columns: list[Any], shape: tuple[int, ...]) -> npt.NDArray[Any]:
    flat: list[Any] = []
    ravelled = [c.ravel() if isinstance(c, np.ndarray) else c for c in columns]
    for i in range(math.prod(shape)):
        row = [c[i] if isinstance(c, np.ndarray) else c for c in ravelled]
        try:
            flat.append(_scalar(record, row))
        except HayError:
            flat.append(NAN)
    result = np.empty(len(flat), dtype=np.float64 if record.numeric else object)
    result[:] = flat
    return result.reshape(shape)


def reason(record: Record, values: Sequence[Any]) -> str:
    """Why a scalar call with these values is refused, in one sentence; empty when it is not."""
    try:
        checked(record)(*values)
    except HayError as error:
        return str(error)
    return ""


def unfitted(record: Record, values: Sequence[Any]) -> str:
    """Which numbers lie outside the range their equation was fitted to; empty when none."""
    sentences: list[str] = []
    for (name, arg), value in zip(record.args.items(), values, strict=False):
        if isinstance(arg, Arg) and arg.fit and is_number(value):
            if value < arg.fit[0] or value > arg.fit[1]:
                sentences.append(fit_sentence(name, arg))
    return " ".join(sentences)


def fit_sentence(name: str, arg: Arg) -> str:
    """The words NOTES gives for one argument; the workbook spells the same words out."""
    assert arg.fit is not None
    return f"{name}: outside {arg.fit[0]:g} to {arg.fit[1]:g} {arg.unit}, the range the equation was fitted to."


def each(record: Record, values: Sequence[Any], say: Callable[[Sequence[Any]], str]) -> Any:
    """What `say` says of a scalar call, or a block of its words where an argument is a block."""
    if any(isinstance(a, Block) for a in record.args.values()):
        return say(values)
    columns = [objects(record, "the call", v) if is_block(v) else v for v in values]
    shapes = {c.shape for c, v in zip(columns, values, strict=True) if is_block(v)}
    if not shapes:
        return say(values)
    if len(shapes) > 1:
        sizes = " and ".join(sorted(size_text(shape) for shape in shapes))
        raise BadInput(record.name, "the call", f"blocks of {sizes}", "blocks of one size", "give blocks of one size")
    shape = shapes.pop()
    flat = [c.ravel() if is_block(v) else v for c, v in zip(columns, values, strict=True)]
    words = [say([c[i] if isinstance(c, np.ndarray) and c.ndim else c for c in flat]) for i in range(math.prod(shape))]
    result = np.empty(len(words), dtype=object)
    result[:] = words
    return result.reshape(shape)
