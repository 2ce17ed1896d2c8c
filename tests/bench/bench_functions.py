"""What the contract costs: each numeric function on a million rows against its bare numpy expression.

    python tests/bench/bench_functions.py [rows] [--ratios]

The bare expression is the record's plain function on the same arrays, then the range tests of
its arguments and its rules, then `np.where`.  Ratios are taken within one run, alternating, so
that the machine's load falls on both.  Also the cost of `import hayfuncs` above `import numpy`.
Ends with 1 where a target is missed; with --ratios the time of the import, which depends on the
machine, is printed but does not count.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

import points  # noqa: E402  # after the path is set

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Record  # noqa: E402  # the same

ROWS = 1_000_000
REPEATS = 11
TARGET_RATIO = 1.5
IMPORTS = 11
TARGET_IMPORT_MS = 40.0


def columns(record: Record, rows: int) -> list[Any]:
    """Numbers as arrays of answered points, words and flags as the one value of the first of them."""
    good = points.good(record, 400)
    labels = [i for i, a in enumerate(record.args.values()) if not isinstance(a, Arg)]
    alike = [row for row in good if all(row[i] == good[0][i] for i in labels)]
    picked = np.random.default_rng(1).integers(len(alike), size=rows)
    found: list[Any] = []
    for i, arg in enumerate(record.args.values()):
        found.append(np.array([row[i] for row in alike])[picked] if isinstance(arg, Arg) else good[0][i])
    return found


def bare(record: Record, values: list[Any]) -> Any:
    """What a careful numpy user writes for the same answer: the equation, the range tests, NaN elsewhere."""
    with np.errstate(all="ignore"):
        ok = True
        for arg, x in zip(record.args.values(), values, strict=True):
            if isinstance(arg, Arg):
                ok &= (x > arg.lo if arg.above else x >= arg.lo) & (x <= arg.hi)
        for rule in record.rules:
            ok &= rule.ok(*values)
        return np.where(ok, record.plain(*values), np.nan)


def seconds(work: Callable[[], Any]) -> float:
    """Seconds of processor time, so that other work on the machine counts little."""
    start = time.process_time()
    work()
    return time.process_time() - start


def spoiled(record: Record, values: list[Any]) -> list[Any]:
    """The same columns with one number in a hundred impossible, NaN or below the least."""
    at = next(i for i, arg in enumerate(record.args.values()) if isinstance(arg, Arg))
    rng = np.random.default_rng(2)
    bad = rng.random(len(values[at])) < 0.01
    column = np.where(bad, np.where(rng.random(len(bad)) < 0.5, np.nan, -1e9), values[at])
    return [*values[:at], column, *values[at + 1 :]]


def compare(record: Record, values: list[Any]) -> tuple[float, float, float]:
    """(least seconds of the function, of the bare expression, their ratio): the least is the least disturbed."""
    function = points.public(record)
    assert np.allclose(function(*values), bare(record, values), equal_nan=True)
    mine, theirs = [], []
    for _ in range(REPEATS):
        mine.append(seconds(lambda: function(*values)))
        theirs.append(seconds(lambda: bare(record, values)))
    return min(mine), min(theirs), min(mine) / min(theirs)


def import_ms(module: str) -> float:
    code = f"import time; t = time.process_time(); import {module}; print(time.process_time() - t)"
    root = Path(__file__).parents[2]
    clean = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}  # compiled, as pip installs it
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root, env=clean)
    return 1000 * float(said.stdout)


def import_cost() -> tuple[float, float]:
    """Median milliseconds of `import numpy` and of `import hayfuncs`, run in turn."""
    import_ms("hayfuncs")  # the first one compiles
    both = [(import_ms("numpy"), import_ms("hayfuncs")) for _ in range(IMPORTS)]
    return statistics.median(a for a, _ in both), statistics.median(b for _, b in both)


def main() -> int:
    options = [word for word in sys.argv[1:] if word != "--ratios"]
    rows = int(options[0]) if options else ROWS
    missed = 0
    print(
        f"{rows:,} rows; ms of the function, of the bare expression, ratio; ratio where one in a hundred is impossible"
    )
    measured = 0
    for record in points.plain_records():
        if not record.numeric or not record.numbers():
            continue
        measured += not record.elementwise
        if record.elementwise:
            print(f"  {record.name:<28} answers one call at a time, not measured")
            continue
        values = columns(record, rows)
        mine, theirs, ratio = compare(record, values)
        with_bad = compare(record, spoiled(record, values))[2]
        late = max(ratio, with_bad) > TARGET_RATIO
        missed += late
        times = f"{1000 * mine:8.1f} {1000 * theirs:8.1f} {ratio:6.2f} {with_bad:6.2f}"
        print(f"  {record.name:<28} {times}{'  over' if late else ''}")
    numpy_ms, ours_ms = import_cost()
    above = ours_ms - numpy_ms
    missed += above > TARGET_IMPORT_MS and "--ratios" not in sys.argv
    print(
        f"import numpy {numpy_ms:.0f} ms, import hayfuncs {ours_ms:.0f} ms: {above:.0f} ms above (target {TARGET_IMPORT_MS:.0f})"
    )
    left = len(CATALOGUE) - measured
    print(
        f"{measured} functions measured, {missed} over target; {left} left out: no number to answer with or to take, or one call at a time"
    )
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
