"""How long a workbook takes to build, compute and store, by number of lots; peak memory beside it.

Run: python tests/bench/bench_workbook.py [lots ...]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO, Farm


def farm_of(lots: int) -> Farm:
    """The demo's lots over and over, each a little different, so that nothing is the same twice."""
    many = []
    for i in range(lots):
        base = DEMO.lots[i % len(DEMO.lots)]
        shift = (i % 97) / 97
        many.append(
            replace(
                base,
                name=f"Lot {i + 1}",
                cp_pct=base.cp_pct + shift,
                adf_pct=base.adf_pct - shift,
                ndf_pct=base.ndf_pct + shift,
            )
        )
    return replace(DEMO, lots=tuple(many), choice=("Lot 1", *DEMO.choice[1:]))


def main(sizes: list[int]) -> None:
    print(
        f"{'lots':>7} {'edition':>10} {'formulas':>9} {'seconds':>8} {'per lot, ms':>12} {'file, MB':>9} {'peak, MB':>9}"
    )
    with tempfile.TemporaryDirectory() as folder:
        for edition in ("functions", "plain"):
            for lots in sizes:
                farm = DEMO if lots == len(DEMO.lots) else farm_of(lots)
                path = Path(folder) / f"{edition}-{lots}.xlsx"
                start = time.perf_counter()
                _, values = build.save(farm, path, edition)
                took = time.perf_counter() - start
                peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
                size = path.stat().st_size / 1e6
                print(
                    f"{lots:>7} {edition:>10} {len(values):>9} {took:>8.2f} {1000 * took / lots:>12.2f} {size:>9.2f} {peak:>9.0f}"
                )


if __name__ == "__main__":
    main([int(a) for a in sys.argv[1:]] or [10, 500, 1000, 2000])
