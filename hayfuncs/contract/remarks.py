"""Words about a call: why it is refused, and what lies outside a fitted range; row by row for columns."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import repeat
from typing import Any

import numpy as np

from hayfuncs.contract.blocks import called, joined
from hayfuncs.contract.columns import as_it_came, is_block, objects
from hayfuncs.contract.errors import HayError, WrongCall
from hayfuncs.contract.fields import Arg, Block, Record
from hayfuncs.contract.scalars import is_number


def reason(record: Record, values: Sequence[Any]) -> str:
    """Why a scalar call with these values is refused, in one sentence; empty when it is not."""
    try:
        called(record, tuple(values), {})
    except (HayError, WrongCall) as error:
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
    if any(isinstance(a, Block) for a in record.args.values()) or not any(map(is_block, values)):
        return say(values)
    back = as_it_came(record, values, list(record.args))
    columns = [objects(record, "the call", v) if is_block(v) else v for v in values]
    shape: tuple[int, ...] = ()
    for column, value in zip(columns, values, strict=True):
        if is_block(value):
            shape = joined(record, "the call", shape, column.shape)
    cells = [
        np.broadcast_to(c, shape).ravel().tolist() if is_block(v) else repeat(c, math.prod(shape))
        for c, v in zip(columns, values, strict=True)
    ]
    result = np.empty(math.prod(shape), dtype=object)
    result[:] = [say(row) for row in zip(*cells, strict=True)]
    found = result.reshape(shape)
    return back(found) if back else found
