"""What the component hands Calc back, without the office: blocks, bad elements, refusals."""

from __future__ import annotations

import math
import struct
from typing import Any

import pytest

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.hosts.calc.component import NOT_AVAILABLE, answer, in_cells, method

DRY_WEIGHT = CATALOGUE["DRY_WEIGHT"]


def column(*values: Any) -> tuple[tuple[Any, ...], ...]:
    return tuple((v,) for v in values)


def test_a_scalar_comes_back_as_it_is() -> None:
    assert answer(DRY_WEIGHT, (2000.0, 87.0)) == 1740.0


def test_a_column_gives_a_column_and_a_row_a_row() -> None:
    assert answer(DRY_WEIGHT, (column(10.0, 20.0), 50.0)) == ((5.0,), (10.0,))
    assert answer(DRY_WEIGHT, (((10.0, 20.0),), 50.0)) == ((5.0, 10.0),)


@pytest.mark.parametrize("bad", ["", "5", "wet", 0.0, 140.0])
def test_a_bad_element_is_refused_alone_even_a_text_that_reads_like_a_number(bad: Any) -> None:
    found = answer(DRY_WEIGHT, (column(10.0, 20.0), column(bad, 50.0)))
    assert math.isnan(found[0][0])
    assert found[1] == (10.0,)


def test_refusals_are_what_calc_turns_into_the_error_of_the_contract() -> None:
    assert math.isnan(answer(DRY_WEIGHT, (2000.0, 140.0)))
    with pytest.raises(RuntimeError, match="dm_pct is blank"):
        answer(DRY_WEIGHT, (2000.0, None))
    assert answer(CATALOGUE["SOURCE"], ("no such function",)) is None


def test_an_omitted_argument_takes_its_default_where_there_is_one() -> None:
    record = CATALOGUE["INTAKE_FROM_NDF"]
    assert answer(record, (60.0, 1200.0, None)) == answer(record, (60.0, 1200.0, 1.2))


def test_a_function_of_numbers_answers_in_cells() -> None:
    assert method(DRY_WEIGHT)(None, 2000.0, 87.0) == ((1740.0,),)
    assert method(DRY_WEIGHT)(None, column(10.0, 20.0), 50.0) == ((5.0,), (10.0,))
    ((not_available,),) = in_cells(None)
    assert struct.pack("<d", not_available) == struct.pack("<d", NOT_AVAILABLE)


def test_a_function_of_text_gives_the_bare_text_and_takes_one_row_at_a_time() -> None:
    assert method(CATALOGUE["NOTES"])(None, "DRY_WEIGHT", (2000.0, 87.0)) == ""
    with pytest.raises(RuntimeError, match="one row at a time"):
        method(CATALOGUE["NOTES"])(None, "DRY_WEIGHT", (column(1.0, 2.0), 87.0))
