"""A block of cells read as numbers, with the place named where it cannot be."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.columns import Floats, is_block, objects
from hayfuncs.contract.errors import BadInput, OutOfRange, shown
from hayfuncs.contract.fields import Block, Record
from hayfuncs.contract.scalars import NAN, as_float, is_number


def size_text(shape: tuple[int, ...]) -> str:
    return " x ".join(str(n) for n in shape)


def number_block(record: Record, name: str, arg: Block, value: Any) -> Floats:
    """The block as floats; a blank or a text in it is named with its place."""
    if not is_block(value):
        value = [[value]]
    cells = objects(record, name, value)
    if arg.columns:
        cells = _laid_out(record, name, arg, cells)
    lenient = arg.by_row and len(cells) > 1
    if cells.dtype.kind in "iuf":
        flat = cells.astype(np.float64).ravel()
    else:
        flat = np.empty(cells.size)
        for i, cell in enumerate(cells.flat):
            if is_number(cell):
                flat[i] = as_float(cell)
            elif lenient:
                flat[i] = NAN
            else:
                allowed = arg.columns[i % cells.shape[1]][1].allowed() if arg.columns else f"numbers in {arg.unit}"
                raise BadInput(record.name, name, f"{shown(cell)} {_place(arg, i)}", allowed, arg.fix)
    block: Floats = flat.reshape(cells.shape)
    if arg.columns:
        return _in_range(record, name, arg, block, lenient)
    if np.isinf(flat).any():
        raise OutOfRange(record.name, name, "infinite in places", f"finite numbers in {arg.unit}", arg.fix)
    return block


def _place(arg: Block, i: int) -> str:
    if not arg.columns:
        return f"at place {i + 1}"
    row, column = divmod(i, len(arg.columns))
    return f"in row {row + 1}, column {arg.columns[column][0]}"


def _laid_out(record: Record, name: str, arg: Block, cells: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """The block with one row at least and the columns of its layout; a single row may come flat."""
    if cells.ndim == 1 and cells.size:
        cells = cells.reshape(1, -1)
    if arg.optional and cells.ndim == 2 and cells.shape[1] == len(arg.columns) - arg.optional:
        cells = np.hstack([cells, np.zeros((len(cells), arg.optional), dtype=cells.dtype)])
    if cells.ndim != 2 or not len(cells) or cells.shape[1] != len(arg.columns):
        raise BadInput(
            record.name, name, f"a block of {size_text(cells.shape)} cells", f"rows of {arg.allowed()}",
            "give every column in this order",
        )  # fmt: skip
    return cells


def _in_range(record: Record, name: str, arg: Block, block: Floats, lenient: bool) -> Floats:
    """Each column against what is possible in it: a bad row becomes NaN, or is refused by name."""
    block = block.copy()
    for at, (column, inner) in enumerate(arg.columns):
        x = block[:, at]
        with np.errstate(invalid="ignore"):
            bad = ~((x > inner.lo if inner.above else x >= inner.lo) & (x <= inner.hi) & np.isfinite(x))
        bad &= ~np.isnan(x)
        if not bad.any():
            continue
        if not lenient:
            row = int(np.flatnonzero(bad)[0])
            given = f"{shown(float(x[row]), inner.unit)} in row {row + 1}, column {column}"
            raise OutOfRange(record.name, name, given, inner.allowed(), inner.fix or arg.fix)
        x[bad] = NAN
    return block
