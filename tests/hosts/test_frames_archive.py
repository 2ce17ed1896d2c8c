"""The example of a laboratory's archive: one query in SQL, held against the functions called on pandas' columns."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import archive

import hayfuncs

duckdb = pytest.importorskip("duckdb", reason="not run: DuckDB is missing")
pd = pytest.importorskip("pandas", reason="not run: pandas is missing")
frames = pytest.importorskip("hayfuncs.frames")

README = Path(__file__).parents[2] / "README.md"
ROWS = 200_000
SHORT = 8  # lines that a page shows


def test_the_query_is_short_enough_to_show() -> None:
    assert len(archive.QUERY.splitlines()) <= SHORT
    assert f"```sql\n{archive.QUERY}\n```" in README.read_text(encoding="utf-8")


def test_the_table_of_counties_years_and_cuttings() -> None:
    connection = duckdb.connect(config={"threads": 1})
    frames.register(connection)
    archive.make(connection, ROWS)
    found = connection.execute(archive.QUERY).df()
    lots = connection.execute("SELECT * FROM archive").df()
    lots["tdn"] = lots.hay.tdn_from_adf("adf", "legume net energy")
    lots["short"] = (lots["tdn"] < hayfuncs.need_by_stage("TDN", "lactation")).where(lots["tdn"].notna())
    nitrogen = lots.hay.nitrate_as("nitrate", "NO3", "NO3-N")
    lots["over"] = (nitrogen > archive.NITRATE_LINE).where(nitrogen.notna())
    by_hand = lots.groupby(["county", "year", "cutting"]).agg(
        lots=("adf", "size"), tdn=("tdn", "median"), short=("short", "mean"), over=("over", "mean")
    )
    wanted = by_hand.sort_index().reset_index()
    assert len(found) == len(wanted) > 900
    assert found["lots"].sum() == ROWS
    assert found["lots"].tolist() == wanted["lots"].tolist()
    for one, right in (("median_tdn", "tdn"), ("short_in_milk", "short"), ("over_nitrate_line", "over")):
        assert found[one].to_numpy() == pytest.approx(wanted[right].to_numpy(dtype=float), rel=1e-9, nan_ok=True)
    assert 0 < found["short_in_milk"].mean() < 1
    assert 0 < found["over_nitrate_line"].mean() < 1
