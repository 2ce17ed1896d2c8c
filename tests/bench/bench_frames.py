"""What a table costs: RELATIVE_FEED_VALUE on a column by every library, numpy's bare arithmetic as 1; in one run.

    python tests/bench/bench_frames.py [rows] [--stream ROWS] [--archive ROWS]

One thread each, so that a figure is a figure per core; the least of several takes.  --stream writes a Parquet file of so
many rows into a folder of its own, works the function out over it in a stream, and says the most memory it took.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("POLARS_MAX_THREADS", "1")
sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1])]

import dask  # noqa: E402  # after the threads are set
import dask.dataframe as dd  # noqa: E402
import duckdb  # noqa: E402
import numpy as np  # noqa: E402
import pandas as pd  # noqa: E402
import polars as pl  # noqa: E402

import hayfuncs.frames  # noqa: E402
from hayfuncs import relative_feed_value  # noqa: E402

ROWS = 1_000_000
REPEATS = 5
BY_HAND = "(88.9 - 0.779 * adf) * (120 / ndf) / 1.29"
TESTED = f"CASE WHEN adf > 1 AND adf <= 75 AND ndf > 1 AND ndf <= 100 AND ndf >= adf THEN {BY_HAND} END"
STREAM_CHUNK = 1_000_000
MEGABYTE = 1_000_000


def seconds(work: Callable[[], Any]) -> float:
    found = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def ways(rows: int) -> dict[str, Callable[[], Any]]:
    rng = np.random.default_rng(1)
    adf, ndf = rng.uniform(25, 50, rows), rng.uniform(40, 70, rows)
    frame = pd.DataFrame({"adf": adf, "ndf": ndf})
    table, parted = pl.DataFrame({"adf": adf, "ndf": ndf}), dd.from_pandas(frame, npartitions=8)
    arrow = table.to_arrow()
    calls, in_python = (duckdb.connect(config={"threads": 1}) for _ in range(2))
    hayfuncs.frames.register(calls)
    hayfuncs.frames.register(in_python, in_python=True)
    for connection in (calls, in_python):
        connection.register("given", arrow)
        connection.execute("CREATE TABLE lots AS SELECT * FROM given")

    def ask(connection: Any, what: str) -> Callable[[], Any]:
        return lambda: connection.execute(f"SELECT sum({what}) FROM lots").fetchone()

    def in_parts() -> Any:
        with dask.config.set(scheduler="synchronous"):
            return parted.hay.relative_feed_value("adf", "ndf").sum().compute()

    method = pl.col("adf").hay.relative_feed_value(pl.col("ndf"))
    return {
        "numpy, bare arithmetic": lambda: ((88.9 - 0.779 * adf) * (120 / ndf) / 1.29).sum(),
        "hayfuncs on numpy": lambda: relative_feed_value(adf, ndf).sum(),
        "pandas": lambda: frame.hay.relative_feed_value("adf", "ndf").sum(),
        "polars": lambda: table.lazy().select(method.sum()).collect(),
        "polars, streamed": lambda: table.lazy().select(method.sum()).collect(engine="streaming"),
        "dask": in_parts,
        "DuckDB, SQL by hand, no test": ask(calls, BY_HAND),
        "DuckDB, SQL by hand, same tests": ask(calls, TESTED),
        "DuckDB, our macro": ask(calls, "hay_relative_feed_value(adf, ndf)"),
        "DuckDB, Python by Arrow": ask(in_python, "hay_relative_feed_value(adf, ndf)"),
    }


def stream(rows: int) -> None:
    """Each engine in a process of its own, since the most memory of a process is never given back."""
    with tempfile.TemporaryDirectory(prefix="hayfuncs-") as folder:
        path = Path(folder, "archive.parquet")
        writer = duckdb.connect(config={"threads": 2, "memory_limit": "1GB"})
        made = f"SELECT round(25 + 25 * random(), 1)::FLOAT AS adf, round(40 + 30 * random(), 1)::FLOAT AS ndf FROM range({rows})"
        writer.execute(f"COPY ({made}) TO '{path}' (FORMAT parquet)")
        print(f"{rows:,} rows in Parquet: {path.stat().st_size / MEGABYTE:,.0f} MB")
        for engine in ("duckdb", "polars"):
            subprocess.run([sys.executable, __file__, "--from", engine, str(path)], check=True)


def streamed(engine: str, path: str) -> None:
    start = time.perf_counter()
    if engine == "duckdb":
        connection = duckdb.connect(config={"threads": 2, "memory_limit": "1GB"})
        hayfuncs.frames.register(connection)
        query = f"SELECT avg(hay_relative_feed_value(adf, ndf)) FROM '{path}'"
        mean = connection.execute(query).fetchall()[0][0]
    else:
        method = pl.col("adf").hay.relative_feed_value(pl.col("ndf"))
        mean = pl.scan_parquet(path).select(method.mean()).collect(engine="streaming").item()
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / MEGABYTE
    print(f"  {engine:<8} {time.perf_counter() - start:6.1f} s, at most {most:,.0f} MB, mean {mean:.6f}")


def archived(rows: int) -> None:
    """The laboratory's archive of the hosts' tests, in one query."""
    from hosts import archive

    connection = duckdb.connect(config={"threads": 2})
    hayfuncs.frames.register(connection)
    start = time.perf_counter()
    archive.make(connection, rows)
    made = time.perf_counter()
    table = connection.execute(archive.QUERY).fetchall()
    taken = time.perf_counter() - made
    print(f"archive of {rows:,} lots: made in {made - start:.1f} s, {len(table):,} lines of the table in {taken:.1f} s")
    print(*table[:: len(table) // 4][:4], sep="\n")


def main() -> int:
    given = sys.argv[1:]
    if "--from" in given:
        streamed(*given[given.index("--from") + 1 :])
        return 0
    if "--stream" in given:
        stream(int(given[given.index("--stream") + 1]))
        return 0
    if "--archive" in given:
        archived(int(given[given.index("--archive") + 1]))
        return 0
    rows = int(given[0]) if given else ROWS
    found = {name: seconds(work) for name, work in ways(rows).items()}
    one, by_hand = found["numpy, bare arithmetic"], found["DuckDB, SQL by hand, same tests"]
    print(f"RELATIVE_FEED_VALUE, {rows:,} rows, sum of the answers: numpy {1000 * one:.1f} ms; times that")
    for name, taken in found.items():
        print(f"  {name:<32} {taken / one:6.2f}")
    print(f"our macro against SQL by hand with the same tests: {found['DuckDB, our macro'] / by_hand:.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
