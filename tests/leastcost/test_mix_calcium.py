"""Calcium beside phosphorus in the cheapest mix: by hand, on blocks without the later columns, and in the workbook's cells."""

from __future__ import annotations

import math

import pytest

import hayfuncs
from hayfuncs.contract.errors import BadInput, OutOfRange

GRAMS = 453.59237
MIDDLINGS = [150, 100, 80, 18, 0.15, 1.0, 4, 0.2, 0, 0, 1000, 100, 100]
LIME = [240, 100, 0, 0, 38, 0, 0, 0, 0, 0, 0.5, 100, 100]
SHORT = [4.0, 0, 0, 0, 20, 8, 2, 0.2]  # 4 lb TDN: 5 lb of middlings
LIMITS = [1200, 12, 100, 100, 100, 100, 0]


def test_limestone_by_hand() -> None:
    """Hay 20 lb at 0.3 and 0.2 %, middlings 5 lb: 0.0675 lb of calcium for 0.09 of phosphorus; 0.0675 more, / 0.38."""
    lime = (1.5 * (20 * 0.002 + 5 * 0.01) - 20 * 0.003 - 5 * 0.0015) / 0.38
    assert lime == pytest.approx(0.1776, abs=1e-4)
    pounds = hayfuncs.cheapest_mix([MIDDLINGS, LIME], [[*SHORT, 0.3, 0.2]], [[*LIMITS, 1.5]])
    assert pounds[0] == pytest.approx([5, lime, 5 * 150 / 2000 + lime * 240 / 2000])


def test_a_mix_is_counted_with_the_hays_own_calcium() -> None:
    """Legume hay brings enough of it: no limestone."""
    pounds = hayfuncs.cheapest_mix([MIDDLINGS, LIME], [[*SHORT, 1.3, 0.22]], [[*LIMITS, 1.5]])
    assert pounds[0, :2] == pytest.approx([5, 0])


def test_blocks_without_the_later_columns_are_as_before() -> None:
    old = hayfuncs.cheapest_mix([MIDDLINGS, LIME], [SHORT], [LIMITS])
    assert old[0] == pytest.approx([5, 0, 0.375])
    new = hayfuncs.cheapest_mix([MIDDLINGS, LIME], [[*SHORT, 0, 0]], [[*LIMITS, 0]])
    assert (old == new).all()
    mixed = hayfuncs.cheapest_mix([MIDDLINGS, LIME], [[*SHORT, 0.3, 0.2]], [LIMITS])
    assert (mixed == old).all(), "the ratio is open"
    with pytest.raises(BadInput, match=r"8 columns: tdn_short_lb, .*; then, if wanted, hay_ca_pct, hay_p_pct"):
        hayfuncs.cheapest_mix([MIDDLINGS], [[*SHORT, 0.3]], [LIMITS])


def test_without_limestone_it_is_said_what_is_missing() -> None:
    with pytest.raises(OutOfRange, match=r"of the calcium beside phosphorus .* cannot be covered"):
        hayfuncs.cheapest_mix([MIDDLINGS], [[*SHORT, 0.3, 0.2]], [[*LIMITS, 1.5]])


def test_the_answer_names_the_ratio_where_it_costs() -> None:
    from hayfuncs.leastcost import worksheet as mix

    feeds = tuple(mix.MixFeed(n, *row) for n, row in (("middlings", MIDDLINGS), ("limestone", LIME)))
    answer = mix.solve(mix.MixProblem(feeds, mix.MixNeed(*SHORT, 0.3, 0.2), mix.MixLimits(*LIMITS, 1.5)))
    line = next(line for line in answer.lines if line.name == "calcium beside phosphorus")
    assert line.binds
    assert line.price == pytest.approx(240 / 2000 / (0.38 * GRAMS))
    # 0.1 less of calcium for each of 0.09 lb of phosphorus: 0.009 lb / 0.38 = 0.0237 lb of limestone
    assert line.saves == pytest.approx(0.1 * (20 * 0.002 + 5 * 0.01) / 0.38 * 240 / 2000)
    assert any(
        "calcium beside phosphorus (1.5 ratio) binds: 0.1 ratio less would save" in text for text in answer.binding
    )
    assert math.isclose(answer.dual_bound, answer.cost, rel_tol=1e-9)
