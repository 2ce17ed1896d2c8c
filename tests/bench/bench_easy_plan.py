"""The plan in whole bales: cost over the linear bound, time, and beside it the plain rule and a plain integer model.

Run: python tests/bench/bench_easy_plan.py [--all] [--lots N] [--alone] [--carry N]
By itself 10 lots x 4 groups and 25 x 6; --all adds 40 x 8 (7 months) and 200 x 20; --lots 40 runs that size only,
--alone leaves the plain integer model out, which takes as long again.  The plain integer model is the
linear program with a yes or no for each hay and feed (at most two hays of 4 lb or more, two feeds of 1 lb or more),
without bales or order of stacks, by scipy.milp in the time that the plan took.  --carry N carries N small random
plans out day by day (tests/bunklib.py) and counts those with a fault.  Fails where a need is short, a stack is
overdrawn, or a plan carried out has a fault; times and costs are told, not judged.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

import bunklib
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

from hayfuncs.winter import feeding, linear
from hayfuncs.winter import model as wintermodel
from hayfuncs.winter import solve as winter

SIZES = ((10, 4, 5, 5.0), (25, 6, 5, 20.0), (40, 8, 6, 60.0), (200, 20, 6, 300.0))  # lots, groups, months, seconds
USUALLY = 2  # sizes without --all
HAY_LB, FEED_LB = 4.0, 1.0


def plain_model(farm: winter.Farm, seconds: float) -> float:
    """Cost by scipy.milp; NaN where it finds no plan in the time."""
    model = wintermodel.build(farm, winter.needs_of(farm))
    matrix, sides, _ = linear.matrix_of(model)
    count, places = model.eaten.shape
    n = count * places
    fed = model.feeds().stop
    most = np.minimum(model.caps, 60 * model.per_head).ravel()
    least = np.where(np.arange(count)[:, None] < model.hays, HAY_LB, FEED_LB) * model.per_head
    least[fed:] = 0
    at = np.arange(n)
    rows = [coo_matrix((matrix.value, (matrix.row, matrix.column)), (matrix.rows, 2 * n))]
    upper = [sides]
    one = np.ones(n)
    rows += [coo_matrix((np.r_[one, -most], (np.r_[at, at], np.r_[at, at + n])), (n, 2 * n))]
    rows += [coo_matrix((np.r_[-one, least.ravel()], (np.r_[at, at], np.r_[at, at + n])), (n, 2 * n))]
    upper += [np.zeros(n), np.zeros(n)]
    for first, last in ((0, model.hays), (model.hays, fed)):
        picked = np.array([s * places + k for k in range(places) for s in range(first, last)])
        place = np.repeat(np.arange(places), last - first)
        rows.append(coo_matrix((np.ones(len(picked)), (place, picked + n)), (places, 2 * n)))
        upper.append(np.full(places, 2.0))
    whole = [LinearConstraint(part.tocsr(), -np.inf, side) for part, side in zip(rows, upper, strict=True)]
    cost = np.r_[linear.costs_of(model), np.zeros(n)]
    found = milp(cost, integrality=np.r_[np.zeros(n), np.ones(n)], bounds=Bounds(0, np.r_[most, np.ones(n)]), constraints=whole, options={"time_limit": seconds})  # fmt: skip
    return float("nan") if found.x is None else float(np.repeat(model.cost, places) @ found.x[:n])


def main() -> int:
    good = True
    sizes = SIZES if "--all" in sys.argv else SIZES[:USUALLY]
    if "--lots" in sys.argv:
        only = int(sys.argv[sys.argv.index("--lots") + 1])
        sizes = tuple(size for size in SIZES if size[0] == only)
    for lots, groups, months, seconds in sizes:
        farm = bunklib.baled_farm(1, lots, groups, months, limits=True)
        began = time.perf_counter()
        plan = feeding.easy_plan(farm, seconds=seconds)
        taken = time.perf_counter() - began
        plain = winter.plain_plan(farm)
        other = float("nan") if "--alone" in sys.argv else plain_model(farm, taken)
        faults = bunklib.faults(farm, plan)
        good &= not plan.plan.failures and not faults
        print(
            f"{lots:4} lots x {groups} groups x {len(farm.periods())} months: {taken:6.1f} s ({seconds:g} asked), ${plan.plan.cost:,.0f}, "
            f"{100 * (plan.plan.cost / plan.bound - 1):+.1f} % over the bound ${plan.bound:,.0f}; best hay first ${plain.cost:,.0f}, "
            f"{len(plain.failures)} not met; plain integer model in that time {100 * (other / plan.bound - 1):+.1f} %; "
            f"short {len(plan.plan.failures)}, faults {len(faults)}",
            flush=True,
        )
    if "--carry" in sys.argv:
        count, bad = int(sys.argv[sys.argv.index("--carry") + 1]), 0
        for seed in range(count):
            farm = bunklib.baled_farm(seed, 3 + seed % 5, 1 + seed % 3, 2 + seed % 4, limits=seed % 2 == 0)
            plan = feeding.easy_plan(farm, seconds=2.0)
            if faults := bunklib.faults(farm, plan):
                bad += 1
                print(f"  farm {seed}: {len(faults)} faults, the first: {faults[0]}", flush=True)
        print(f"{count} plans carried out day by day: {bad} with a fault")
        good &= not bad
    print("PASS" if good else "FAIL")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
