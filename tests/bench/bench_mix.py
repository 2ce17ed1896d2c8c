"""5,000 lots x 12 feeds in one call of CHEAPEST_MIX against a loop of scipy.optimize.linprog.

Run: python tests/bench/bench_mix.py [--highspy]
Fails (exit code 1) where the optima differ by more than 1e-6 or the one call is not 10 times
faster.  With --highspy a loop over one warm-started model is timed too, for comparison; the
library needs only scipy.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

import mixlib
from scipy.optimize import linprog

import hayfuncs
from hayfuncs.leastcost import model as mixmodel

LOTS, FEEDS = 5000, 12
AGREE = 1e-6
FACTOR = 10


def loop_of_linprog(f: Any, n: Any, m: Any) -> Any:
    """The plain way: scipy's linprog for each lot, matrices made beforehand as far as they are shared."""
    rows = mixmodel.row_kinds(f)
    sense = mixmodel.senses(rows)
    cost, sides, caps = mixmodel.price_per_lb(f), mixmodel.sides(f, n, m) * sense, mixmodel.caps(f, m)
    matrices = {
        tuple(k): mixmodel.matrix(f, *k) * sense[:, None] for k in np.unique(m[:, mixmodel.MATRIX_LIMITS], axis=0)
    }
    found = np.full(len(n), np.nan)
    for lot in range(len(n)):
        bounds = np.column_stack([np.zeros(len(f)), caps[lot]])
        result = linprog(
            cost, matrices[tuple(m[lot, mixmodel.MATRIX_LIMITS])], sides[lot], bounds=bounds, method="highs"
        )
        if result.status == 0:
            found[lot] = result.fun
    return found


def loop_of_highspy(f: Any, n: Any, m: Any) -> Any:
    import highspy

    rows = mixmodel.row_kinds(f)
    sense = mixmodel.senses(rows)
    cost, sides, caps = mixmodel.price_per_lb(f), mixmodel.sides(f, n, m) * sense, mixmodel.caps(f, m)
    keys, group = np.unique(m[:, mixmodel.MATRIX_LIMITS], axis=0, return_inverse=True)
    found = np.full(len(n), np.nan)
    for at, key in enumerate(keys):
        a = mixmodel.matrix(f, *key) * sense[:, None]
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        lp = highspy.HighsLp()
        lp.num_row_, lp.num_col_ = a.shape
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, np.zeros(len(cost)), caps[0]
        lp.row_lower_, lp.row_upper_ = np.full(len(a), -np.inf), sides[0]
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.arange(len(a) + 1) * len(cost)
        lp.a_matrix_.index_ = np.tile(np.arange(len(cost)), len(a))
        lp.a_matrix_.value_ = a.ravel()
        solver.passModel(lp)
        r, c = np.arange(len(a), dtype=np.int32), np.arange(len(cost), dtype=np.int32)
        for lot in np.flatnonzero(group.ravel() == at):
            solver.changeRowsBounds(len(r), r, np.full(len(r), -np.inf), sides[lot])
            solver.changeColsBounds(len(c), c, np.zeros(len(c)), caps[lot])
            solver.run()
            if solver.getModelStatus() == highspy.HighsModelStatus.kOptimal:
                found[lot] = solver.getInfo().objective_function_value
    return found


def main() -> int:
    f, n, m = mixlib.random_blocks(np.random.default_rng(2024), FEEDS, LOTS, False)
    hayfuncs.cheapest_mix(f, n[:2], m[:2])  # loads scipy outside the timing
    start = time.process_time()
    block = hayfuncs.cheapest_mix(f, n, m)
    ours = time.process_time() - start
    start = time.process_time()
    theirs = loop_of_linprog(f, n, m)
    loop = time.process_time() - start
    with_mix = np.isfinite(theirs)
    same = (np.isfinite(block[:, -1]) == with_mix).all()
    off = np.abs(block[with_mix, -1] - theirs[with_mix]).max()
    print(f"{LOTS} lots x {FEEDS} feeds, {with_mix.sum()} of them with a mix")
    print(f"one call of CHEAPEST_MIX     {ours:8.3f} s")
    print(f"loop of scipy linprog        {loop:8.3f} s   {loop / ours:.0f} times as long")
    if "--highspy" in sys.argv:
        start = time.process_time()
        loop_of_highspy(f, n, m)
        warm = time.process_time() - start
        print(f"loop of warm-started highspy {warm:8.3f} s   {warm / ours:.0f} times as long")
    print(f"largest difference of cost   {off:.1e} $ a day; the same lots have a mix: {same}")
    good = same and off <= AGREE and loop >= FACTOR * ours
    print("PASS" if good else f"FAIL: wanted the same lots, a difference under {AGREE:g} and {FACTOR} times faster")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
