"""The one place that owns shapes: a scalar in gives a float out, a block in a block out.

Blocks broadcast as numpy's do.  Wrong or impossible values raise on a scalar call and turn one
element of a block call into NaN; NaN in is NaN out; a blank is never 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise, repeat
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.cells import number_block, size_text
from hayfuncs.contract.columns import AT_ONCE, Cells, Floats, Labels, as_it_came, floats, is_block, labels, objects
from hayfuncs.contract.errors import BadInput, HayError, OutOfRange, shown
from hayfuncs.contract.fields import AnyArg, Arg, Block, Record
from hayfuncs.contract.scalars import NAN, bind, clean

Mask: TypeAlias = npt.NDArray[np.bool_]
Column: TypeAlias = Any  # a scalar made ready, an array of floats, or Labels
FEW_GROUPS = 16  # with more groups than that, looking at few rows together would cost more than it saves


def called(record: Record, args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
    """What a function answers to a call as Python makes it."""
    count = len(record.args)
    if record.variadic:  # the open end is the plain function's own matter
        return record.plain(*bind(record, args[:count], kwargs), *args[count:])
    return answer(record, args if len(args) == count and not kwargs else bind(record, args, kwargs))


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


# --- a call with columns


def _block(record: Record, values: Sequence[Any]) -> Any:
    back = as_it_came(record, values, list(record.args))
    columns, shape, ok = _columns(record, values)
    if any(isinstance(c, float) and c != c for c in columns):  # a scalar of the call is NaN
        found: Cells = np.full(shape, NAN, dtype=np.float64 if record.numeric else object)
    elif record.elementwise:
        found = _one_by_one(record, columns, shape, ok)
    else:
        found = _within(record, _groups(record, columns, shape, ok), ok)
    return back(found) if back else found


def _columns(record: Record, values: Sequence[Any]) -> tuple[list[Column], tuple[int, ...], Mask | None]:
    """Every argument made ready, the shape of the answer, and where its elements are good (None: everywhere)."""
    columns: list[Column] = []
    masks: list[Mask] = []
    shape: tuple[int, ...] = ()
    for (name, arg), value in zip(record.args.items(), values, strict=True):
        if not is_block(value):
            columns.append(clean(record, name, arg, value))
            continue
        if isinstance(arg, Arg):
            numbers, good = _numbers(arg, objects(record, name, value))
            shape = joined(record, name, shape, numbers.shape)
            columns.append(numbers)
        else:
            words, good = _words(record, name, arg, value)
            shape = joined(record, name, shape, words.codes.shape)
            columns.append(words)
        if good is not None:
            masks.append(good)
    ok: Mask | None = None
    for mask in masks:
        ok = np.broadcast_to(mask, shape) if ok is None else ok & mask
    return [_spread(column, shape) for column in columns], shape, ok


def joined(record: Record, name: str, shape: tuple[int, ...], size: tuple[int, ...]) -> tuple[int, ...]:
    try:
        return np.broadcast_shapes(shape, size)
    except ValueError:
        raise BadInput(
            record.name, name, f"a block of {size_text(size)}", f"a block of {size_text(shape)}, like the others",
            "give blocks of one size",
        ) from None  # fmt: skip


def _spread(column: Column, shape: tuple[int, ...]) -> Column:
    if isinstance(column, Labels):
        return Labels(np.broadcast_to(column.codes, shape), column.words)
    return np.broadcast_to(column, shape) if isinstance(column, np.ndarray) and column.shape != shape else column


def _numbers(arg: Arg, cells: Cells) -> tuple[Floats, Mask | None]:
    """The column as floats, and a mask where an element is bad: its answer will be NaN, whatever it holds."""
    x = floats(cells)
    if x is None:
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


def _words(record: Record, name: str, arg: AnyArg, value: Any) -> tuple[Labels, Mask | None]:
    """The column as places among its words, and a mask where one is no word of the list."""
    found = labels(record, name, value, lambda word: clean(record, name, arg, word))
    bad = found.codes == len(found.words)
    return found, ~bad if bad.any() else None


def _groups(record: Record, columns: list[Column], shape: tuple[int, ...], ok: Mask | None) -> Cells:
    """The plain function's answers, asked for once for each set of words that occurs."""
    split = [i for i, column in enumerate(columns) if isinstance(column, Labels)]
    if not split:
        return _arrays(record, columns, shape)
    sizes = [len(columns[i].words) + 1 for i in split]
    refused = math.prod(sizes)
    small = np.int8 if refused <= np.iinfo(np.int8).max else np.int16 if refused <= np.iinfo(np.int16).max else np.intp
    joint = columns[split[0]].codes.ravel().astype(small, copy=False)  # small ones sort in one sweep
    for i, size in zip(split[1:], sizes[1:], strict=True):
        joint = joint * small(size) + columns[i].codes.ravel().astype(small, copy=False)
    if ok is not None:
        joint = np.where(ok.ravel(), joint, small(refused))
    flat = [c.ravel() if isinstance(c, np.ndarray) else c for c in columns]
    result = _blank(record, (joint.size,))
    for piece, where, code in _rows_of_groups(joint, refused):
        part = [c[piece][where] if isinstance(c, np.ndarray) else c for c in flat]
        for i, size in zip(reversed(split), reversed(sizes), strict=True):
            code, word = divmod(code, size)
            part[i] = columns[i].words[word]
        shapes = [c.shape for c in part if isinstance(c, np.ndarray)]
        with np.errstate(all="ignore"):
            found = _arrays(record, part, shapes[0]) if shapes else _one_row(record, part)
        result[piece][where] = found
    return result.reshape(shape)


def _rows_of_groups(joint: npt.NDArray[np.intp], refused: int) -> Iterator[tuple[slice, Any, int]]:
    """(stretch of rows, places in it, group) for every group, those refused left out.

    Few groups are taken stretch by stretch, so that the rows stay near the processor.
    """
    step = AT_ONCE if refused <= FEW_GROUPS else max(1, joint.size)
    for start in range(0, joint.size, step):
        piece = slice(start, start + step)
        codes = joint[piece]
        if codes[0] == codes[-1] and not (codes != codes[0]).any():
            if codes[0] != refused:
                yield piece, slice(None), int(codes[0])
            continue
        order = np.argsort(codes, kind="stable")
        ordered = codes[order]
        edges = [0, *(np.flatnonzero(ordered[1:] != ordered[:-1]) + 1).tolist(), codes.size]
        for begin, end in pairwise(edges):
            if ordered[begin] != refused:
                yield piece, order[begin:end], int(ordered[begin])


def _blank(record: Record, shape: tuple[int, ...]) -> Cells:
    return np.full(shape, NAN, dtype=np.float64 if record.numeric else object)


def _arrays(record: Record, columns: list[Any], shape: tuple[int, ...]) -> Cells:
    """The plain function once for the whole columns, NaN where a rule refuses; never an argument itself."""
    with np.errstate(all="ignore"):
        good = [np.asarray(rule.ok(*columns), dtype=bool) for rule in record.rules]
        try:
            found = record.plain(*columns)
        except (HayError, ArithmeticError):  # the words or scalars given refuse the whole block (an unknown name, say)
            return _blank(record, shape)
    result: Cells = np.asarray(found, dtype=np.float64 if record.numeric else object)
    if result.shape != shape:
        result = np.broadcast_to(result, shape).copy()
    elif not result.flags.owndata or any(result is column for column in columns):
        result = result.copy()  # blanked later, and an argument must stay as it was given
    for mask in good:
        if not mask.all():
            np.copyto(result, NAN, where=~mask)
    return result


def _within(record: Record, result: Cells, ok: Mask | None) -> Cells:
    """The answers, NaN where an argument is bad or the answer is outside the result's range."""
    if ok is not None:
        np.copyto(result, NAN, where=~ok)
    if result.size and record.numeric:
        low, high = float(np.fmin.reduce(result, axis=None)), float(np.fmax.reduce(result, axis=None))
        if not (low >= record.result.lo and high <= record.result.hi and math.isfinite(low + high)):
            with np.errstate(invalid="ignore"):
                fine = (result >= record.result.lo) & (result <= record.result.hi) & np.isfinite(result)
            np.copyto(result, NAN, where=~fine)
    return result


def _one_by_one(record: Record, columns: list[Column], shape: tuple[int, ...], ok: Mask | None) -> Cells:
    """Row by row, for a function that is written for single values; the columns are ready by now."""
    count = math.prod(shape)
    result = _blank(record, (count,))
    rows = zip(*(_single_values(column, count) for column in columns), strict=True)
    good = repeat(True, count) if ok is None else ok.ravel().tolist()
    with np.errstate(all="ignore"):
        for at, (row, fine) in enumerate(zip(rows, good, strict=True)):
            if fine:
                result[at] = _one_row(record, row)
    return result.reshape(shape)


def _single_values(column: Column, count: int) -> Any:
    if isinstance(column, Labels):
        words = [*column.words, None]
        return (words[code] for code in column.codes.ravel().tolist())
    return column.ravel().tolist() if isinstance(column, np.ndarray) else repeat(column, count)


def _one_row(record: Record, row: Sequence[Any]) -> Any:
    """A scalar call of values made ready; NaN where it is refused."""
    try:
        _obey_rules(record, list(row))
        return _one_answer(record, list(row))
    except HayError:
        return NAN
