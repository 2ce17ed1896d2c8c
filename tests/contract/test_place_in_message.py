"""A block's bad cell is named with its place: the row from 1 and the column by its name, or the place in a plain list."""

from __future__ import annotations

import pytest

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Block
from hayfuncs.contract.cells import number_block
from hayfuncs.contract.errors import BadInput


@pytest.mark.parametrize("place", [1, 2, 4])
def test_the_place_in_a_list(place: int) -> None:
    values: list[object] = [10.0, 11.0, 12.0, 13.0]
    values[place - 1] = "wet"
    with pytest.raises(BadInput, match=rf'the text "wet" at place {place}\b'):
        hayfuncs.weighted_mean(values, [1, 1, 1, 1])


@pytest.mark.parametrize("row", [1, 2, 3])
@pytest.mark.parametrize("column", [0, 1, 12])
def test_the_row_and_the_column_of_a_table(row: int, column: int) -> None:
    record = CATALOGUE["CHEAPEST_MIX"]
    arg = record.args["feeds"]
    assert isinstance(arg, Block)
    feeds: list[list[object]] = [[1.0] * len(arg.columns) for _ in range(3)]
    feeds[row - 1][column] = "wet"
    with pytest.raises(BadInput, match=rf'the text "wet" in row {row}, column {arg.columns[column][0]};'):
        number_block(record, "feeds", arg, feeds)
