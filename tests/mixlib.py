"""Random mixes, and the same mix written down directly, one lot at a time, for scipy."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.optimize import linprog

from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost import worksheet as mix

GRAMS = 453.59237  # in a pound, exact
LB = 2000  # in a ton
CORN = mix.MixFeed("corn", 200, 88, 90, 9.8, 0.03, 0.32, 4.1, 0.11, 72, max_pct_bw=0.25)
MEAL = mix.MixFeed("soybean meal", 400, 89, 84, 49.9, 0.4, 0.71, 1.6, 0.46, 1)
GRAINS = mix.MixFeed("distillers grains", 220, 90, 89, 29.5, 0.05, 0.83, 10.3, 0.69, 5, max_pct_diet=15)
LIME = mix.MixFeed("limestone", 150, 100, 0, 0, 38, 0, 0, 0, 0, max_lb=0.5)
NEED = mix.MixNeed(2.9, 0.78, 5, 2, 23, 7.0, 2.0, 0.18)
LIMITS = mix.MixLimits(1200, 8, 5, 0.3, 0.3, 30, 0)
PROBLEM = mix.MixProblem((CORN, MEAL, GRAINS, LIME), NEED, LIMITS)


def random_blocks(rng: np.random.Generator, feeds: int, lots: int, rounded: bool) -> tuple[Any, Any, Any]:
    """Feeds, needs and limits of usual size; rounded ones have ties and degenerate corners."""

    def rows(columns: Any, count: int) -> np.ndarray[Any, Any]:
        block = np.column_stack([rng.uniform(*arg.fit, count) for _, arg in columns])
        if rounded:  # to one digit
            size = 10.0 ** np.floor(np.log10(np.maximum(block, 1e-9)))
            block = np.round(block / size) * size
        return block

    f, n, m = rows(mixmodel.FEEDS, feeds), rows(mixmodel.NEEDS, lots), rows(mixmodel.LIMITS, lots)
    f[:, 1] = np.minimum(f[:, 1], 100)
    f[rng.random(feeds) < 0.5, 12] = 100  # about half the feeds are not limited to a share of the diet
    if feeds > 2:  # one feed like urea
        f[0, [2, 3, 6, 9]] = 0, 281, 0, 100
    n[:, :4] *= rng.choice([0.5, 1, 2, 3], (lots, 1))  # from easy to hardly possible
    n[:, :4][rng.random((lots, 4)) < 0.25] = 0
    n[rng.random(lots) < 0.1, :4] = 0
    kinds = min(lots, 3)  # a few sets of diet limits, as on a farm with dry cows, cows in milk and heifers
    m[:, 2:] = m[rng.integers(0, kinds, lots), 2:]
    return f, n, m


def direct(f: Any, n: Any, m: Any) -> Any:
    """One lot as a textbook would write it: the whole diet's content on one side, its limit on the other."""
    price, dm, tdn, cp, ca, p, fat, s, starch, npn, max_lb, max_bw, max_diet = f.T
    tdn_short, cp_short, ca_short, p_short, hay, hay_cp, hay_fat, hay_s, hay_ca, hay_p = n
    weight, room, max_fat, max_s, max_starch, max_npn, water_s, min_ca_p = m
    dry = dm / 100
    a, b = [], []

    def at_least(amounts: Any, need: float) -> None:
        a.append(-amounts)
        b.append(-need)

    def at_most(amounts: Any, limit: float) -> None:
        a.append(amounts)
        b.append(limit)

    at_least(dry * tdn / 100, tdn_short)
    at_least(dry * cp / 100, cp_short)
    at_least(dry * ca / 100 * GRAMS, ca_short)
    at_least(dry * p / 100 * GRAMS, p_short)
    at_least(dry * (ca - min_ca_p * p) / 100 * GRAMS, hay * (min_ca_p * hay_p - hay_ca) / 100 * GRAMS)
    at_most(dry, room)
    # content of hay and feeds together <= share x (hay + feeds)
    at_most(dry * fat / 100 - max_fat / 100 * dry, max_fat / 100 * hay - hay * hay_fat / 100)
    at_most(dry * s / 100 - max_s / 100 * dry, max_s / 100 * hay - hay * hay_s / 100 - water_s / GRAMS)
    at_most(dry * starch / 100, max_starch / 100 * weight)
    protein = dry * cp / 100
    at_most(protein * npn / 100 - max_npn / 100 * protein, max_npn / 100 * hay * hay_cp / 100)
    for i in range(len(f)):
        own = np.zeros(len(f))
        own[i] = dry[i]
        at_most(own - max_diet[i] / 100 * dry, max_diet[i] / 100 * hay)
    most = np.minimum(max_lb, max_bw / 100 * weight)
    return linprog(price / LB, A_ub=np.array(a), b_ub=b, bounds=np.column_stack([0 * most, most]), method="highs")


def broken(f: Any, n: Any, m: Any, pounds: Any) -> float:
    """By how much the amounts break a need or limit, worked from the diet itself; 0 or less: not at all."""
    _, dm, tdn, cp, ca, p, fat, s, starch, npn, max_lb, max_bw, max_diet = f.T
    tdn_short, cp_short, ca_short, p_short, hay, hay_cp, hay_fat, hay_s, hay_ca, hay_p = n
    weight, room, max_fat, max_s, max_starch, max_npn, water_s, min_ca_p = m
    eaten = pounds * dm / 100
    diet = hay + eaten.sum()
    protein = eaten * cp / 100
    faults = [
        tdn_short - (eaten * tdn).sum() / 100,
        cp_short - protein.sum(),
        (ca_short - (eaten * ca).sum() / 100 * GRAMS) / GRAMS,
        (p_short - (eaten * p).sum() / 100 * GRAMS) / GRAMS,
        (min_ca_p * (hay * hay_p + (eaten * p).sum()) - hay * hay_ca - (eaten * ca).sum()) / 100,
        eaten.sum() - room,
        (hay * hay_fat + (eaten * fat).sum() - diet * max_fat) / 100,
        (hay * hay_s + (eaten * s).sum() - diet * max_s) / 100 + water_s / GRAMS,
        (eaten * starch).sum() / 100 - weight * max_starch / 100,
        (protein * npn).sum() / 100 - max_npn / 100 * (protein.sum() + hay * hay_cp / 100),
        (eaten - diet * max_diet / 100).max(),
        (pounds - np.minimum(max_lb, max_bw / 100 * weight)).max(),
        -pounds.min(),
    ]
    return float(max(faults))
