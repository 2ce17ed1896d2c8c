"""The functions on tables: every function a table takes, by every library, against the function called row by row."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import points
import pytest

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Flag, Record
from hayfuncs.contract.errors import HayError, WrongCall
from hayfuncs.hosts.frames import sql
from hayfuncs.hosts.frames.calls import by_row, records

pd = pytest.importorskip("pandas", reason="not run: pandas is missing")
pl = pytest.importorskip("polars", reason="not run: polars is missing")
duckdb = pytest.importorskip("duckdb", reason="not run: DuckDB is missing")
dd = pytest.importorskip("dask.dataframe", reason="not run: dask is missing")
frames = pytest.importorskip("hayfuncs.frames")

each_function = pytest.mark.parametrize("record", records().values(), ids=lambda r: r.name)
CASES = 30
ADF = [30.5, None, 140.0, 60.0]
TDN = [82.38 - 0.7515 * 30.5, None, None, 82.38 - 0.7515 * 60]  # the printed equation (tests/checks/tdn.tsv)


@cache
def table(name: str) -> tuple[list[list[Any]], list[Any]]:
    """Calls of a function, some of them refused and some with a value missing, and what Python answers to each."""
    record = CATALOGUE[name]
    rows = points.candidates(record, CASES)
    for place in range(len(record.args)):
        rows.append([None if i == place else v for i, v in enumerate(rows[place])])
    return rows, [alone(record, row) for row in rows]


def alone(record: Record, row: list[Any]) -> Any:
    if None in row:
        return None
    try:
        answer = getattr(hayfuncs, record.python_name)(*row)
    except HayError:
        return None
    return None if isinstance(answer, float) and math.isnan(answer) else answer


def columns(record: Record, rows: list[list[Any]]) -> dict[str, list[Any]]:
    flags = {n for n, a in record.args.items() if isinstance(a, Flag)}
    return {
        n: [None if row[i] is None else float(row[i]) if n in flags else row[i] for row in rows]
        for i, n in enumerate(record.args)
    }


def plain(values: Any) -> list[Any]:
    """A library's column as Python has it, None where nothing is there."""
    return [None if v is None or v is pd.NA or (isinstance(v, float) and math.isnan(v)) else v for v in values]


def agrees(found: list[Any], wanted: list[Any], record: Record, rows: list[list[Any]]) -> None:
    assert len(found) == len(wanted)
    for one, right, row in zip(found, wanted, rows, strict=True):
        if isinstance(right, float) and one is not None:
            assert one == pytest.approx(right, rel=1e-9, abs=1e-9), (record.name, row)
        else:
            assert one == right, (record.name, row)


@each_function
def test_pandas(record: Record) -> None:
    rows, wanted = table(record.name)
    frame = pd.DataFrame(columns(record, rows), index=[f"lot {i}" for i in range(len(rows))])
    answer = getattr(frame.hay, record.python_name)(*record.args)
    assert answer.name == record.python_name
    assert answer.index.equals(frame.index)
    agrees(plain(answer), wanted, record, rows)


@each_function
def test_polars_lazy_and_streamed(record: Record) -> None:
    rows, wanted = table(record.name)
    frame = pl.DataFrame(columns(record, rows), strict=False)
    method = getattr(frame.lazy().hay, record.python_name)
    for way in ("in-memory", "streaming"):
        answer = frame.lazy().select(method(*record.args)).collect(engine=way).to_series()
        assert answer.dtype == (pl.Float64 if record.numeric else pl.String)
        agrees(plain(answer), wanted, record, rows)


@each_function
@pytest.mark.parametrize("in_python", [False, True])
def test_duckdb(record: Record, in_python: bool) -> None:
    """The macro where there is one, and the function in Python: NULL where Python refuses."""
    rows, wanted = table(record.name)
    frame = pl.DataFrame(columns(record, rows), strict=False).to_arrow()
    given = ", ".join(f'"{name}"' for name in record.args)
    found = asked(f"SELECT hay_{record.python_name}({given}) FROM given", frame, in_python)
    agrees(found, wanted, record, rows)


@cache
def connection(in_python: bool) -> Any:
    made = duckdb.connect(config={"threads": 1})
    names = frames.register(made, in_python)
    assert len(names) == 2 * len(records())
    return made


def asked(query: str, given: Any = None, in_python: bool = False) -> list[Any]:
    """The one column of a query."""
    made = connection(in_python)
    if given is not None:
        made.register("given", given)
    return [row[0] for row in made.execute(query).fetchall()]


def test_what_a_table_takes() -> None:
    assert {r.name for r in CATALOGUE.values() if not by_row(r)} == {"CHEAPEST_MIX", "NOTES", "WEIGHTED_MEAN"}
    assert frames.names() == list(records())
    made = dict(frames.macros())
    assert len(made) >= 60
    for name, record in records().items():
        if name not in made:
            with pytest.raises(sql.NotPlain, match=r"table to look up|no plain arithmetic|too long|neither number"):
                sql.expression(record)


def test_pandas_words_and_columns() -> None:
    frame = pd.DataFrame({"adf": ADF, "line": ["grass net energy", "western alfalfa", "corn silage", "no such"]})
    assert plain(frame.hay.tdn_from_adf("adf", "western alfalfa")) == pytest.approx(TDN)
    assert plain(frame.hay.tdn_from_adf("adf", equation="line"))[3] is None
    assert plain(frame.hay.tdn_from_adf(30.5, "western alfalfa")) == pytest.approx([TDN[0]] * 4)
    assert plain(frame.hay.stack_heat_caution("adf"))[1] is None
    with pytest.raises(
        WrongCall, match=r'adf_pct is the text "ADF", and no column has that name; the columns are: adf, line'
    ):
        frame.hay.tdn_from_adf("ADF")
    with pytest.raises(AttributeError, match="has no function 'tdn'"):
        frame.hay.tdn  # noqa: B018  # looked up for its refusal
    assert {"tdn_from_adf", "reason"} <= set(dir(frame.hay))
    assert "Purpose" in frame.hay.tdn_from_adf.__doc__ or "ADF" in frame.hay.tdn_from_adf.__doc__


def test_reasons_are_a_column() -> None:
    """A refused row says why, a row outside the fitted range too, and a good or missing one nothing."""
    frame = pd.DataFrame({"adf": ADF})
    wanted = [
        "", "", "TDN_FROM_ADF: adf_pct is 140 % DM; allowed: above 1 to 75 % DM; give percent, 40 and not 0.40, from the lab sheet.",
        "adf_pct: outside 20 to 55 % DM, the range the equation was fitted to.",
    ]  # fmt: skip
    assert frame.hay.reason("TDN_FROM_ADF", "adf", "western alfalfa").tolist() == wanted
    lazy = pl.from_pandas(frame).lazy()
    said = lazy.select(pl.col("adf").hay.reason("tdn_from_adf", "western alfalfa")).collect().to_series().to_list()
    assert said == wanted
    query = "SELECT hay_reason_tdn_from_adf(adf, 'western alfalfa') FROM given"
    assert asked(query, pl.from_pandas(frame).to_arrow()) == wanted
    parted = dd.from_pandas(frame, npartitions=2)
    assert parted.hay.reason("tdn_from_adf", "adf", "western alfalfa").compute().tolist() == wanted
    with pytest.raises(WrongCall, match="takes a whole block or gives one"):
        frame.hay.reason("CHEAPEST_MIX")


def test_polars_expressions() -> None:
    frame = pl.DataFrame({"adf": ADF, "line": ["western alfalfa"] * 4})
    assert frame.hay.tdn_from_adf("adf", "line").to_list() == pytest.approx(TDN)
    found = frame.select(
        pl.col("adf").hay.tdn_from_adf("western alfalfa").alias("word"),
        pl.col("adf").hay.tdn_from_adf(pl.col("line")).alias("column"),
        (pl.col("adf") + 0).hay.tdn_from_adf(pl.lit("western alfalfa")).alias("literal"),
    )
    for name in ("word", "column", "literal"):
        assert found[name].to_list() == pytest.approx(TDN)


def test_dask_in_parts() -> None:
    frame = pd.DataFrame({"adf": ADF, "line": ["western alfalfa"] * 4}, index=[3, 5, 7, 9])
    parted = dd.from_pandas(frame, npartitions=3)
    answer = parted.hay.tdn_from_adf("adf", "line")
    assert answer.dtype == float
    found = answer.compute()
    assert plain(found) == pytest.approx(TDN)
    assert found.index.tolist() == [3, 5, 7, 9]
    assert parted.hay.nitrate_caution("adf", 1, "clemson").compute().iloc[0].endswith("testing again.")
    with pytest.raises(WrongCall, match="no column has that name"):
        parted.hay.tdn_from_adf("ADF")


def test_duckdb_defaults_and_words() -> None:
    calls = (
        "hay_tdn_from_adf(30.5), hay_tdn_from_adf(30.5, equation := ' Western ALFALFA '), hay_tdn_from_adf(30.5, 'x')"
    )
    assert asked(f"SELECT unnest([{calls}])") == pytest.approx([88.9 - 0.779 * 30.5, TDN[0], None])
