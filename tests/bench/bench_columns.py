"""What columns of words cost: TDN_FROM_ADF and LAB_NOTES with a word a row against one word for all rows.

    python tests/bench/bench_columns.py [rows]

Each line is a ratio within one run, the least of several takes of processor time, so that other work on
the machine counts little.  Columns whose words are coded already (categories, dictionaries) or are the
same objects again and again are grouped without reading a letter; texts kept letter by letter have to be
read, and that reading takes longer than the arithmetic.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa

sys.path[:0] = [str(Path(__file__).parents[2])]

import hayfuncs as h  # noqa: E402  # after the path is set
from hayfuncs.contract.catalogue import CATALOGUE  # noqa: E402  # the same

ROWS = 1_000_000
NOTES_ROWS = 100_000
REPEATS = 7
FORAGES = ("grass", "legume", "mixed")


def seconds(work: Callable[[], Any]) -> float:
    found = []
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def spellings(shared: np.ndarray) -> dict[str, Any]:
    """One column of words as its different makers keep it."""
    series, texts = pd.Series(shared), pl.Series(shared.tolist())
    return {
        "sorted by word": shared[np.argsort(shared.astype(str))],
        "array of objects": shared,
        "list": shared.tolist(),
        "array of texts": shared.astype(str),
        "pandas category": series.astype("category"),
        "pandas object": series.astype(object),
        "pandas str": series,
        "polars category": texts.cast(pl.Categorical),
        "polars text": texts,
        "arrow dictionary": pa.array(shared.tolist()).dictionary_encode(),
        "arrow text": pa.array(shared.tolist()),
    }


def main() -> int:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    rng = np.random.default_rng(1)
    lines = np.array(CATALOGUE["TDN_FROM_ADF"].args["equation"].words, dtype=object)  # type: ignore[union-attr]  # words
    adf = rng.uniform(25, 50, rows)
    one = seconds(lambda: h.tdn_from_adf(adf, "grass net energy"))
    print(f"TDN_FROM_ADF, {rows:,} rows: {1000 * one:.1f} ms with one word; with a word a row, times that")
    for name, column in spellings(lines[rng.integers(0, len(lines), rows)]).items():
        print(f"  {name:<32} {seconds(lambda column=column: h.tdn_from_adf(adf, column)) / one:6.2f}")
    ranges = ((85, 95), (5, 20), (25, 50), (40, 70), (5, 12), (1, 4))
    sheet = [rng.uniform(low, high, NOTES_ROWS) for low, high in ranges]
    forage = np.array(FORAGES, dtype=object)[rng.integers(0, len(FORAGES), NOTES_ROWS)]
    one = seconds(lambda: h.lab_notes(*sheet, "grass"))
    each = seconds(lambda: h.lab_notes(*sheet, forage))
    print(f"LAB_NOTES, {NOTES_ROWS:,} rows: {1000 * one:.1f} ms with one word; with a word a row, times that")
    print(f"  {'array of objects':<32} {each / one:6.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
