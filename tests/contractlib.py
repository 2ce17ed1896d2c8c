"""What the tests of the contract share: pairs of function and argument, blocks, and the grammar of a refusal."""

from __future__ import annotations

from typing import Any

import numpy as np
import points
import pytest

from hayfuncs import HayError
from hayfuncs.contract.catalogue import CATALOGUE, Record

ELEMENTWISE = points.plain_records()
each_elementwise = pytest.mark.parametrize("record", ELEMENTWISE, ids=lambda r: r.name)
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)
BLANKS = (None, "", "   ")


def slots(kind: type) -> Any:
    """(record, argument) pairs of one kind of argument, as test parameters."""
    pairs = [(r, n) for r in CATALOGUE.values() if not r.variadic for n, a in r.args.items() if isinstance(a, kind)]
    return pytest.mark.parametrize(("record", "name"), pairs, ids=[f"{r.name}-{n}" for r, n in pairs])


def with_one(record: Record, name: str, value: Any, base: list[Any] | None = None) -> list[Any]:
    values = list(base or points.good(record)[0])
    values[list(record.args).index(name)] = value
    return values


def refused(record: Record, values: list[Any], kind: type[HayError], name: str) -> HayError:
    with pytest.raises(kind) as caught:
        points.public(record)(*values)
    error = caught.value
    assert type(error) is kind
    assert error.argument == name
    keeps_grammar(record, error)
    return error


def keeps_grammar(record: Record, error: HayError) -> None:
    assert str(error) == f"{error.function}: {error.argument} is {error.given}; allowed: {error.allowed}; {error.fix}."
    assert error.function == record.name
    assert error.argument in record.args or error.argument == "the call"
    for part in (error.given, error.allowed, error.fix):
        assert part.strip() == part != ""
        assert not part.endswith("."), "the grammar puts the full stop"
    assert "\n" not in str(error)


def column(record: Record, rows: list[list[Any]], name: str) -> list[Any]:
    at = list(record.args).index(name)
    return [row[at] for row in rows]


def as_blocks(record: Record, rows: list[list[Any]], shape: tuple[int, ...] | None = None) -> list[Any]:
    """Each argument as one block, of `shape` or a plain list."""
    columns = [column(record, rows, name) for name in record.args]
    if shape is None:
        return columns
    return [np.array(c, dtype=object).reshape(shape).tolist() for c in columns]
