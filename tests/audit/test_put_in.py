"""Rows put into the middle of a part are told from those that were built."""

from __future__ import annotations

import pytest

from hayfuncs.audit.places import Part
from hayfuncs.audit.putin import put_in

A, B, NONE = frozenset({1, 2}), frozenset({3}), frozenset[int]()
BUILT = [NONE, NONE, A, A, A, NONE, B, B]


def with_rows(rows: list[int], filled: bool = False) -> tuple[list[frozenset[int]], list[bool]]:
    now, empty = list(BUILT), [False] * len(BUILT)
    for row in rows:
        now.insert(row, NONE)
        empty.insert(row, not filled)
    return now, empty


@pytest.mark.parametrize("rows", [[3], [3, 4], [4, 8], [3, 8]])
@pytest.mark.parametrize("filled", [False, True])
def test_rows_between_formulas_are_known(rows: list[int], filled: bool) -> None:
    assert put_in(BUILT, *with_rows(rows, filled)) == tuple(rows)


def test_a_formula_that_is_gone_is_no_row_put_in() -> None:
    now, empty = with_rows([3])
    now[5] = NONE  # emptied, and something else stands in its row
    assert put_in(BUILT, now, empty) == (3,)
    assert put_in(BUILT, BUILT, [False] * len(BUILT)) == ()
    assert put_in([NONE] * 3, [NONE] * 4, [True] * 4) == ()


def test_rows_lead_there_and_back() -> None:
    part = Part(0, 10, 19, top=4, end=11, put_in=(3, 4))
    assert [part.row_now(row) for row in range(4, 9)] == [10, 11, 12, 15, 16]
    assert [part.row_built(part.row_now(row)) for row in range(4, 12)] == list(range(4, 12))
    assert part.row_built(13) > part.end
    assert part.whole
