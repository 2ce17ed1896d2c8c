"""Random calls for any function of the catalogue, made from its record alone and always the same."""

from __future__ import annotations

import math
import zlib
from functools import cache
from typing import Any

import checklib
import numpy as np

import hayfuncs
from hayfuncs.contract import tables
from hayfuncs.contract.catalogue import CATALOGUE, AnyArg, Arg, Block, Flag, Name, Record, Words
from hayfuncs.contract.errors import HayError

TRIES = 20  # calls tried for each answered one wanted, before giving up


def generator(record: Record, salt: int = 0) -> np.random.Generator:
    return np.random.default_rng([zlib.crc32(record.name.encode()), salt])


def names_for(arg: Name) -> list[str]:
    if "Functions list" in arg.table:
        return list(CATALOGUE)
    return tables.load(arg.table).names()


def number(arg: Arg, rng: np.random.Generator) -> float:
    """A possible number: mostly from the fitted range where there is one, some from the far ends."""
    way = rng.random()
    if arg.fit and way < 0.7:
        return float(rng.uniform(*arg.fit))
    low = max(arg.lo, -1e9)
    high = min(arg.hi, 1e9)
    if way > 0.97 and not arg.above:
        return low
    if way > 0.94:
        return high
    if low < 0 or way > 0.5:
        value = float(rng.uniform(low, high))
    else:  # many sizes between the two ends
        value = float(np.exp(rng.uniform(math.log(max(low, high * 1e-4)), math.log(high))))
    return high if arg.above and value <= low else min(max(value, low), high)


def value(arg: AnyArg, rng: np.random.Generator) -> Any:
    if isinstance(arg, Arg):
        return number(arg, rng)
    if isinstance(arg, Words):
        return str(rng.choice(arg.words))
    if isinstance(arg, Flag):
        return bool(rng.random() < 0.5)
    if isinstance(arg, Name):
        return str(rng.choice(names_for(arg)))
    assert isinstance(arg, Block)
    if arg.columns:  # one row fits every layout, also where blocks must agree in their rows
        return [[number(inner, rng) for _, inner in arg.columns]]
    return [[float(x)] for x in rng.uniform(0.1, 50, 4)]


def candidates(record: Record, count: int, salt: int = 0) -> list[list[Any]]:
    """Calls whose arguments are each possible; joined rules may still refuse some."""
    rng = generator(record, salt)
    return [[value(arg, rng) for arg in record.args.values()] for _ in range(count)]


def public(record: Record) -> Any:
    return getattr(hayfuncs, record.python_name)


def answer(record: Record, values: list[Any]) -> Any:
    """The answer of a scalar call, or None where it is refused."""
    try:
        found = public(record)(*values)
    except HayError:
        return None
    return None if isinstance(found, float) and math.isnan(found) else found


def near(arg: AnyArg, old: Any, rng: np.random.Generator) -> Any:
    """A value somewhat off an old one."""
    if isinstance(arg, Block) or rng.random() < 0.3:
        return old
    if not isinstance(arg, Arg) or rng.random() < 0.1:
        return value(arg, rng)
    moved = float(old) * math.exp(rng.normal(0, 0.4)) if rng.random() < 0.8 else float(old) + rng.normal(0, 2)
    moved = min(max(moved, arg.lo), arg.hi)
    return float(old) if arg.above and moved <= arg.lo else moved


def outcome(record: Record, values: list[Any]) -> Any:
    """What a cell shows for a call: a number, a text, or an error's text."""
    try:
        found = public(record)(*values)
    except HayError as error:
        return error.excel
    return "#NUM!" if isinstance(found, float) and math.isnan(found) else found


@cache
def _good(name: str, count: int) -> tuple[tuple[Any, ...], ...]:
    """Answered calls: random ones, and where rules make those rare, walks that start from answered ones."""
    record = CATALOGUE[name]
    rng = generator(record, salt=1)
    kept = [tuple(c.arguments) for c in checklib.every() if c.function == name and answerable(record, c.arguments)]
    checked = len(kept)
    tries = candidates(record, count + 50, salt=1)
    kept += [tuple(values) for values in tries if answer(record, values) is not None]
    for _ in range(count * TRIES):
        if len(kept) >= checked + count:
            break
        assert kept, f"{name}: no check row and none of {len(tries)} random calls is answered"
        start = kept[int(rng.integers(len(kept)))]
        values = [near(arg, old, rng) for arg, old in zip(record.args.values(), start, strict=True)]
        if answer(record, values) is not None:
            kept.append(tuple(values))
    return tuple(kept[checked : checked + count])


def answerable(record: Record, values: list[Any]) -> bool:
    scalars = not any(isinstance(v, list) for v in values) or takes_blocks(record)
    return scalars and len(values) == len(record.args) and answer(record, values) is not None


def good(record: Record, count: int = 20) -> list[list[Any]]:
    """Calls that are answered."""
    kept = [list(values) for values in _good(record.name, count)]
    assert kept, f"{record.name}: no call found that is answered"
    return kept


def takes_blocks(record: Record) -> bool:
    return any(isinstance(arg, Block) for arg in record.args.values())


def plain_records() -> list[Record]:
    """The functions that answer element by element: no whole blocks, no open argument list."""
    return [r for r in CATALOGUE.values() if not takes_blocks(r) and not r.variadic]


def outside(arg: Arg) -> list[float]:
    """Impossible numbers, just outside each end and far outside."""
    bad = [math.inf, -math.inf]
    if arg.lo > -math.inf:
        bad += [arg.lo if arg.above else math.nextafter(arg.lo, -math.inf), arg.lo - 1, arg.lo - 1e12]
    if arg.hi < math.inf:
        bad += [math.nextafter(arg.hi, math.inf), arg.hi * 2 + 1]
    return bad


def same(a: Any, b: Any, tolerance: float = 1e-12) -> bool:
    if isinstance(a, str) or isinstance(b, str):
        return bool(a == b)
    return bool(a == b or (a != a and b != b) or abs(a - b) <= tolerance * max(1.0, abs(a), abs(b)))


def sound(record: Record, found: Any) -> bool:
    """A finite number within the result's range, NaN, or text: nothing else may come back."""
    if isinstance(found, np.ndarray):
        return found.dtype.kind in "fO" and all(sound(record, x) for x in found.ravel().tolist())
    if isinstance(found, str):
        return not record.numeric or record.result.unit == "as the column says"
    if type(found) is not float:
        return False
    if math.isnan(found):
        return True
    return record.numeric and math.isfinite(found) and record.result.lo <= found <= record.result.hi
