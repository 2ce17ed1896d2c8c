"""What users bring as arguments: columns of data frames, masked arrays, missing values, other libraries' scalars."""

from __future__ import annotations

import copy
import inspect
import math
import pickle
import subprocess
import sys
from decimal import Decimal
from multiprocessing import get_context
from typing import Any

import numpy as np
import pandas as pd
import points
import polars as pl
import pyarrow as pa
import pytest
from contractlib import each_elementwise, each_record

import hayfuncs as h
from hayfuncs.contract.catalogue import Arg, Record
from hayfuncs.forage.tdn import tdn_from_adf

ADF = [40.0, None, 50.0, math.nan, 400.0]
TDN = [57.74, None, 49.95, None, None]  # 88.9 - 0.779 ADF by hand; None where there can be no answer
WORDS = ["western alfalfa", "corn silage", None, "no such line", " Western ALFALFA "]


def listed(found: Any) -> list[Any]:
    """The answers with None for what is missing, numbers to six decimals."""
    cells = found.to_list() if hasattr(found, "to_list") else list(found)
    return [None if x is None or x != x else x if isinstance(x, str) else round(float(x), 6) for x in cells]


def numbers(kind: str) -> Any:
    return {
        "list": lambda: ADF,
        "tuple": lambda: tuple(ADF),
        "object array": lambda: np.array(ADF, dtype=object),
        "masked": lambda: np.ma.array([40.0, 45.0, 50.0, 45.0, 400.0], mask=[0, 1, 0, 1, 0]),
        "masked whole numbers": lambda: np.ma.array([40, 45, 50, 45, 400], mask=[0, 1, 0, 1, 0]),
        "list of masked": lambda: list(np.ma.array([40.0, 45.0, 50.0, 45.0, 400.0], mask=[0, 1, 0, 1, 0])),
        "Decimal": lambda: [Decimal("40"), None, Decimal("50.0"), Decimal("NaN"), Decimal(400)],
        "numpy scalars": lambda: [np.float32(40), None, np.int8(50), np.float64("nan"), np.int64(400)],
        "pandas": lambda: pd.Series(ADF),
        "pandas object": lambda: pd.Series([40.0, None, 50.0, pd.NA, 400.0], dtype=object),
        "pandas Float64": lambda: pd.Series([40.0, None, 50.0, None, 400.0], dtype="Float64"),
        "pandas Int64": lambda: pd.Series([40, None, 50, None, 400], dtype="Int64"),
        "pandas arrow": lambda: pd.Series([40.0, None, 50.0, None, 400.0], dtype=pd.ArrowDtype(pa.float64())),
        "pandas array": lambda: pd.array([40.0, None, 50.0, None, 400.0], dtype="Float64"),
        "polars": lambda: pl.Series("adf", [40.0, None, 50.0, math.nan, 400.0]),
        "polars whole numbers": lambda: pl.Series("adf", [40, None, 50, None, 400]),
        "arrow": lambda: pa.array([40.0, None, 50.0, None, 400.0]),
        "arrow whole numbers": lambda: pa.array([40, None, 50, None, 400]),
        "arrow chunks": lambda: pa.chunked_array([[40.0, None], [50.0, None, 400.0]]),
    }[kind]()


NUMBER_KINDS = (
    "list", "tuple", "object array", "masked", "masked whole numbers", "list of masked", "Decimal", "numpy scalars",
    "pandas", "pandas object", "pandas Float64", "pandas Int64", "pandas arrow", "pandas array", "polars",
    "polars whole numbers", "arrow", "arrow whole numbers", "arrow chunks",
)  # fmt: skip


@pytest.mark.parametrize("kind", NUMBER_KINDS)
def test_a_column_of_numbers(kind: str) -> None:
    assert listed(tdn_from_adf(numbers(kind))) == TDN


def words(kind: str) -> Any:
    return {
        "list": lambda: WORDS,
        "object array": lambda: np.array(WORDS, dtype=object),
        "texts": lambda: np.array([w or "" for w in WORDS]),
        "masked": lambda: np.ma.array([w or "corn silage" for w in WORDS], mask=[0, 0, 1, 0, 0]),
        "pandas": lambda: pd.Series(WORDS),
        "pandas object": lambda: pd.Series(WORDS, dtype=object),
        "pandas category": lambda: pd.Series(WORDS, dtype="category"),
        "polars": lambda: pl.Series("line", WORDS),
        "polars category": lambda: pl.Series("line", WORDS, dtype=pl.Categorical),
        "arrow": lambda: pa.array(WORDS),
        "arrow chunks": lambda: pa.chunked_array([WORDS[:2], WORDS[2:]]),
        "arrow dictionary": lambda: pa.array(WORDS).dictionary_encode(),
        "unlike objects": lambda: [str(w[:1] + w[1:]) if w else w for w in WORDS],
    }[kind]()


WORD_KINDS = (
    "list", "object array", "texts", "masked", "pandas", "pandas object", "pandas category", "polars",
    "polars category", "arrow", "arrow chunks", "arrow dictionary", "unlike objects",
)  # fmt: skip


@pytest.mark.parametrize("kind", WORD_KINDS)
def test_a_column_of_words(kind: str) -> None:
    assert listed(tdn_from_adf(40.0, words(kind))) == [52.32, 59.84, None, None, 52.32]
    assert listed(tdn_from_adf(np.full(5, 40.0), words(kind))) == [52.32, 59.84, None, None, 52.32]


def test_many_distinct_words_and_values_that_are_no_words() -> None:
    """More spellings than are compared one by one, and cells that cannot be looked up at all."""
    spelled = [" " * n + "corn silage" for n in range(300)]
    assert listed(tdn_from_adf(40.0, spelled)) == [59.84] * 300
    odd: list[Any] = ["corn silage", {}, 7, object(), True, "western alfalfa"]
    assert listed(tdn_from_adf(40.0, np.array(odd, dtype=object))) == [59.84, None, None, None, None, 52.32]


def test_yes_and_no_in_columns() -> None:
    kinds = [
        [True, 0, 1.0, None],
        np.array([1, 0, 1, 5]),
        pd.Series([True, False, True, None], dtype="boolean"),
        pl.Series([True, False, True, None]),
        pa.array([True, False, True, None]),
    ]
    want = [h.nitrate_most_share(1600, flag, "clemson") for flag in (True, False, True)]
    for column in kinds:
        assert listed(h.nitrate_most_share(1600, column, "clemson")) == [*want, None]


def test_true_is_no_number_in_any_column() -> None:
    kinds = [[True], np.array([True]), pd.Series([True]), pl.Series([True]), pa.array([True])]
    assert all(listed(tdn_from_adf(column)) == [None] for column in kinds)


def test_a_series_keeps_its_index_and_name() -> None:
    lots = pd.Series([40.0, 50.0], index=["Heron", "Mill"], name="adf")
    found = tdn_from_adf(lots, pd.Series(["corn silage"] * 2, index=["Heron", "Mill"], name="line"))
    assert isinstance(found, pd.Series)
    assert found.index.equals(lots.index)
    assert found.name is None, "two names, so none, as pandas has it"
    assert tdn_from_adf(lots).name == "adf"
    assert found.tolist() == pytest.approx([59.84, 52.84])
    text = h.lab_notes(90, 10, lots, 62, 8, 2.5, "grass")
    assert list(text.index) == ["Heron", "Mill"]
    assert list(h.reason("TDN_FROM_ADF", lots * 10).index) == ["Heron", "Mill"]
    column = tdn_from_adf(pl.Series("adf", [40.0, None]))
    assert isinstance(column, pl.Series)
    assert column.name == "adf"
    assert column.null_count() == 1


def test_series_of_unlike_index_are_refused() -> None:
    with pytest.raises(h.BadInput, match="another index"):
        tdn_from_adf(pd.Series([40.0, 50.0]), pd.Series(["corn silage"] * 2, index=[1, 0]))


def test_a_frame_as_a_block() -> None:
    frame = pd.DataFrame({"value": [10.0, 14.0], "weight": [30.0, 10.0]})
    assert h.weighted_mean(frame["value"], frame["weight"]) == pytest.approx(11)
    assert h.weighted_mean(frame[["value"]], frame[["weight"]]) == pytest.approx(11)
    assert math.isnan(h.weighted_mean(np.ma.array([10, 14], mask=[0, 1]), [30, 10]))


@pytest.mark.parametrize("missing", [None, pd.NA, pd.NaT, np.ma.masked], ids=repr)
def test_one_missing_value_is_blank(missing: Any) -> None:
    with pytest.raises(h.BadInput, match="adf_pct is blank"):
        tdn_from_adf(missing)
    with pytest.raises(h.BadInput, match="equation is blank"):
        tdn_from_adf(40, missing)


def test_scalars_of_other_libraries() -> None:
    for number in (Decimal("40.0"), np.float32(40), np.int16(40), np.array(40.0), pa.scalar(40.0).as_py()):
        assert tdn_from_adf(number) == pytest.approx(57.74)
    with pytest.raises(h.OutOfRange):
        tdn_from_adf(Decimal("1e400"))


# --- the function itself


@each_record
def test_from_wherever_it_is_imported_it_is_checked(record: Record) -> None:
    function = getattr(h, record.python_name)
    assert getattr(sys.modules[record.plain.__module__], record.python_name) is function
    assert function.record is record
    assert function.plain is record.plain


@each_record
def test_functions_pickle(record: Record) -> None:
    function = getattr(h, record.python_name)
    assert pickle.loads(pickle.dumps(function)) is function
    assert copy.deepcopy(function) is function


def test_the_bare_arithmetic_is_plain() -> None:
    assert tdn_from_adf.plain(400, "digestible dry matter") == pytest.approx(-222.7)
    with pytest.raises(h.OutOfRange):
        tdn_from_adf(400)


def test_functions_cross_to_another_process() -> None:
    with get_context("spawn").Pool(1) as pool:
        assert pool.map(tdn_from_adf, [40.0, 50.0]) == pytest.approx([57.74, 49.95])


def test_it_shows_itself_as_a_function() -> None:
    assert str(inspect.signature(tdn_from_adf)) == "(adf_pct, equation='digestible dry matter')"
    assert inspect.isroutine(tdn_from_adf)
    assert repr(tdn_from_adf) == "<worksheet function tdn_from_adf(adf_pct, equation='digestible dry matter')>"


@each_elementwise
def test_columns_equal_single_calls(record: Record) -> None:
    """Every argument as a series of pandas: the same answers as one call a row, in whichever order."""
    rows = points.good(record, 40) + points.candidates(record, 40, salt=7)
    columns = [
        pd.Series([row[i] for row in rows], dtype=float if isinstance(arg, Arg) else object)
        for i, arg in enumerate(record.args.values())
    ]
    found = points.public(record)(*columns)
    for row, got in zip(rows, found.tolist(), strict=True):
        want = points.answer(record, row)
        assert points.same(math.nan if want is None else want, got), f"{row}: {want!r}, in the column {got!r}"


def test_no_data_frame_library_is_imported() -> None:
    code = "import sys, hayfuncs; hayfuncs.tdn_from_adf([40.0]); print(*{'pandas', 'polars', 'pyarrow'} & set(sys.modules))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == ""
