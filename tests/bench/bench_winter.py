"""The winter plan at four sizes, up to 200 lots x 20 groups x 7 months, and what its growth is.

Run: python tests/bench/bench_winter.py [--methods]
Fails (exit code 1) where the largest takes 20 seconds or more, where the time grows faster than
the size to the power 1.5, or where the smallest costs more or less than scipy finds on the
model written down directly.  --methods times HiGHS's simplex method beside the interior point
method that the library uses.
"""

from __future__ import annotations

import math
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

import winterlib

from hayfuncs.winter import linear
from hayfuncs.winter import solve as winter

LOTS = (25, 50, 100, 200)
GROUPS, MONTHS = 20, 6  # from 10 November to 20 May: 7 calendar months
SECONDS = 20
POWER = 1.5
AGREE = 1e-6


def made(lots: int, groups: int = GROUPS) -> winter.Farm:
    return winterlib.random_farm(np.random.default_rng(1), lots, groups, MONTHS, limits=True)


def timed(farm: winter.Farm) -> tuple[float, winter.WinterPlan]:
    start = time.perf_counter()
    plan = winter.plan(farm)
    return time.perf_counter() - start, plan


def main() -> int:
    timed(made(3, 2))  # loads the solver outside the timing
    small = made(25, 6)
    off = abs(winter.plan(small).cost / winterlib.direct(small).fun - 1)
    print(f"25 lots x 6 groups: cost off scipy's on the direct model by {off:.1e}")
    seconds: list[float] = []
    faults = 0
    for lots in LOTS:
        farm = made(lots)
        taken, plan = timed(farm)
        seconds.append(taken)
        faults += len(winterlib.faults(farm, plan))
        start = time.perf_counter()
        plain = winter.plain_plan(farm)
        rule = time.perf_counter() - start
        print(
            f"{lots:4} lots x {GROUPS} groups x {len(farm.periods())} months: {taken:6.2f} s, ${plan.cost:,.0f}, bound off by "
            f"{abs(plan.dual_bound / plan.cost - 1):.0e}; plain rule {rule:.2f} s, ${plain.cost:,.0f}, {len(plain.failures)} not met"
        )
        if "--methods" in sys.argv:
            kept = linear.METHODS
            linear.METHODS = ("simplex",)
            print(f"     by the dual simplex method {timed(farm)[0]:6.2f} s")
            linear.METHODS = kept
    short = replace(made(LOTS[-1]), for_sale=(), feeds=())
    taken, plan = timed(short)
    print(f"{LOTS[-1]} lots without feed or hay for sale: {taken:.2f} s, {len(plan.failures)} needs short")
    power = math.log(seconds[-1] / seconds[0]) / math.log(LOTS[-1] / LOTS[0])
    print(f"time grows with the size to the power {power:.2f}")
    good = off <= AGREE and not faults and max(seconds[-1], taken) < SECONDS and power <= POWER
    print(
        "PASS"
        if good
        else f"FAIL: wanted {AGREE:g}, under {SECONDS} s, a power of {POWER} at most, no fault ({faults})"
    )
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
