"""How long an audit takes, by size of the workbook, beside what one cannot do without.

For each size: the whole audit in a process of its own (`hayfuncs audit`), the embedded engine merely
loading and recomputing the same file, and openpyxl merely reading it.  Seconds are processor time, so
that other work on the machine does not count; memory is the largest of the audit's two processes.

Two kinds of workbook: lots and what they carry (the sheets Lots, Herd and Match with the tables they
look up, one group of cows), and the whole workbook with all its sheets.

Run: python tests/bench/bench_audit.py [--whole] [lots ...]
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

from bench_workbook import farm_of  # noqa: E402  # found beside this file

from hayfuncs.workbook import build, write  # noqa: E402  # the tree this file stands in
from hayfuncs.workbook.farm import DEMO  # noqa: E402  # the same
from hayfuncs.workbook.model import Book  # noqa: E402  # the same
from hayfuncs.workbook.sheets import assumptions, herd, lots, match, reference  # noqa: E402  # the same

SECONDS, MEGABYTES, CELLS = 60.0, 2000.0, 250_000  # what an audit of so many formula cells may take
SIZES = {"lots and match": [2_500, 5_000, 10_000], "whole": [340, 680, 1_360]}
LINEAR = 1.5  # time per formula cell at the largest size by that at the smallest, at most

# between this process and the measured one: what a process inherits at its start counts as its own size
BETWEEN = """
import json, resource, subprocess, sys, time
began = time.perf_counter()
done = subprocess.run(sys.argv[1:], capture_output=True, text=True)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([done.returncode, done.stdout, time.perf_counter() - began, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""
ENGINE = """
import sys
from pathlib import Path
from hayfuncs.hosts import engine
book = engine.load(Path(sys.argv[1]))
book.evaluate_all()
"""
READING = """
import sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
print(sum(1 for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type in ("f", "array")))
"""


@dataclass
class Cost:
    said: str
    wall: float
    cpu: float
    peak: float  # MB


def cost(*args: str) -> Cost:
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", BETWEEN, sys.executable, *args],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=True,
    )
    code, said, wall, cpu, peak = json.loads(done.stdout)
    if code not in (0, 1):
        raise SystemExit(f"{args} ended with {code}: {said[-400:]}")
    return Cost(said, wall, cpu, peak)


def save(kind: str, count: int, path: Path) -> int:
    """Write the workbook; hand back how many formula cells it has."""
    farm = replace(farm_of(count), groups=DEMO.groups[:1], choice=("Lot 1", DEMO.groups[0].name, *DEMO.choice[2:]))
    if kind == "whole":
        return len(build.save(farm, path, "functions", force=True)[1])
    book = Book("functions", "Lots and what they carry")
    assumptions.fill(book)
    reference.fill_tables(book)
    lots.fill(book, farm.lots)
    herd.fill(book, farm.groups)
    match.fill(book)
    return len(write.save(book, path, force=True))


def measure(kind: str, sizes: list[int]) -> bool:
    print(
        f"{kind}\n{'lots':>7} {'formula cells':>13} {'audit s':>8} {'(wall)':>7} {'engine s':>8} {'openpyxl s':>10}"
        f" {'us a cell: audit':>17} {'engine':>7} {'openpyxl':>8} {'peak MB':>8}"
    )
    each: list[float] = []
    held = True
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "lots.xlsx"
        for count in sizes:
            cells = save(kind, count, path)
            read, bare = cost("-c", READING, str(path)), cost("-c", ENGINE, str(path))
            whole = cost("-m", "hayfuncs.cli", "audit", str(path))
            if f"{cells:,} of {cells:,} formula cells" not in whole.said:
                print(f"not every formula cell was recomputed: {whole.said[:400]}")
                held = False
            us = [1e6 * one.cpu / cells for one in (whole, bare, read)]
            each.append(us[0])
            print(
                f"{count:>7,} {cells:>13,} {whole.cpu:>8.1f} {whole.wall:>7.1f} {bare.cpu:>8.1f} {read.cpu:>10.1f}"
                f" {us[0]:>17.0f} {us[1]:>7.0f} {us[2]:>8.0f} {whole.peak:>8.0f}",
                flush=True,
            )
            share = max(1.0, cells / CELLS)
            held = held and whole.cpu < SECONDS * share and whole.peak < MEGABYTES * share
    held = held and each[-1] < LINEAR * each[0]
    print(
        f"  {'within' if held else 'NOT within'} {SECONDS:.0f} s and {MEGABYTES:,.0f} MB for {CELLS:,} formula cells; "
        f"time a cell, largest by smallest: {each[-1] / each[0]:.2f}, at most {LINEAR}"
    )
    return held


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:] if a.isdecimal()]
    kinds = ["whole"] if "--whole" in sys.argv else list(SIZES)
    held = [measure(kind, numbers or SIZES[kind]) for kind in kinds]  # every kind is measured, held or not
    sys.exit(0 if all(held) else 1)
