"""One lot of hay explained by mix.solve, and CHEAPEST_MIX behind the contract of a sheet."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mixlib import CORN, GRAINS, LIME, LIMITS, MEAL, PROBLEM

import hayfuncs
from hayfuncs.contract.errors import BadInput, OutOfRange
from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost import worksheet as mix

AGREE = 1e-6


# --- one lot, explained


def test_answer_proves_itself_in_ordinary_arithmetic() -> None:
    answer = mix.solve(PROBLEM)
    pounds = dict(zip(answer.names, answer.pounds, strict=True))
    assert answer.cost == pytest.approx(sum(f.price_per_ton / 2000 * pounds[f.name] for f in PROBLEM.feeds))
    for line in answer.lines:
        assert line.supplied == pytest.approx(np.dot(line.coefficients, answer.pounds))
        assert line.slack > -AGREE
        assert line.price == 0 or line.binds
    for i, feed in enumerate(PROBLEM.feeds):
        cap = answer.caps[i]
        assert answer.pounds[i] <= cap.most_lb + AGREE
        charged = sum(x.price * x.coefficients[i] * (-1 if x.at_least else 1) for x in answer.lines)
        assert feed.price_per_ton / 2000 + cap.price + charged > -1e-9
    needs = sum(x.price * x.side for x in answer.lines if x.at_least)
    limits = sum(x.price * x.side for x in answer.lines if not x.at_least)
    capped = sum(c.price * c.most_lb for c in answer.caps)
    assert needs - limits - capped == pytest.approx(answer.cost, abs=1e-9)
    assert answer.dual_bound == pytest.approx(answer.cost, abs=1e-9)


def test_binding_limits_are_said_with_what_relaxing_them_saves() -> None:
    """Corn limited to 3 lb of a 4-lb TDN need of 3.168 lb; the rest is meal at twice the price."""
    corn, meal = replace(CORN, dm_pct=100, tdn_pct=100), replace(MEAL, dm_pct=100, tdn_pct=100)
    need = mix.MixNeed(4, 0, 0, 0, 23, 7, 2, 0.18)
    answer = mix.solve(mix.MixProblem((corn, meal), need, mix.MixLimits(1200, 8, 100, 100, 100, 100, 0)))
    assert answer.pounds == pytest.approx((3, 1))
    cap = answer.caps[0]
    assert (cap.binds, cap.rule, cap.most_lb) == (True, "0.25 % of body weight", 3)
    assert cap.price == pytest.approx(0.10)  # $0.20 a pound of meal less $0.10 a pound of corn
    assert (cap.step, cap.step_unit) == (0.1, "% of body weight")
    assert cap.saves == pytest.approx(0.10)  # 0.1 % of 1,200 lb is 1.2 lb more, of which 1 lb is used
    tdn = answer.lines[0]
    assert (tdn.binds, tdn.price, tdn.saves) == (True, pytest.approx(0.20), pytest.approx(0.20))
    assert (
        "corn is at its limit, 0.25 % of body weight (3 lb a day): 0.1 % of body weight more would save $0.100 a day"
        in answer.words()
    )
    assert "the TDN need (4 lb/day) binds: 1 lb/day less would save $0.200 a day" in answer.words()


def test_a_whole_step_that_saves_less_than_its_first_part_says_so() -> None:
    """A need of 1.2 lb: 0.9 lb of corn, which is at its limit, and 0.3 lb of meal at twice the price."""
    corn, meal = (
        replace(CORN, dm_pct=100, tdn_pct=100, max_pct_bw=100, max_lb=0.9),
        replace(MEAL, dm_pct=100, tdn_pct=100),
    )
    need = mix.MixNeed(1.2, 0, 0, 0, 23, 7, 2, 0.18)
    answer = mix.solve(mix.MixProblem((corn, meal), need, mix.MixLimits(1200, 8, 100, 100, 100, 100, 0)))
    # 0.3 lb of meal at $0.20 and 0.7 lb of corn at $0.10 are saved by 1 lb less: $0.13; the first part at $0.20
    said = "1 lb/day less would save $0.130 a day (its first part at $0.200 a lb, until another limit binds)"
    assert said in answer.words()


def test_pounds_a_day_limit_is_said_when_it_is_the_lower_one() -> None:
    answer = mix.solve(replace(PROBLEM, feeds=(replace(CORN, max_lb=1.5), MEAL, GRAINS, LIME)))
    assert answer.caps[0].rule == "1.5 lb a day"
    assert answer.caps[0].most_lb == 1.5


def test_every_step_is_the_saving_of_solving_again() -> None:
    """`saves` equals the cost difference of a problem whose cell was moved by `step`."""
    hard = replace(PROBLEM, limits=replace(LIMITS, max_s_pct=0.21, max_fat_pct=2.6, room_lb=4.2))
    answer = mix.solve(hard)
    cells = {
        "TDN need": ("need", "tdn_short_lb", -1),
        "crude protein need": ("need", "cp_short_lb", -0.1),
        "calcium need": ("need", "ca_short_g", -1),
        "room for supplement": ("limits", "room_lb", 1),
        "fat limit of the diet": ("limits", "max_fat_pct", 1),
        "sulfur limit of the diet": ("limits", "max_s_pct", 0.01),
        "starch limit": ("limits", "max_starch_pct_bw", 0.1),
        "urea limit of the diet": ("limits", "max_npn_pct", 1),
    }
    moved = 0
    for line in answer.lines:
        if line.price == 0 or line.name not in cells:
            continue
        part, cell, change = cells[line.name]
        old = getattr(hard, part)
        again = mix.solve(replace(hard, **{part: replace(old, **{cell: getattr(old, cell) + change})}))
        assert line.saves == pytest.approx(answer.cost - again.cost, abs=1e-9)
        assert line.saves <= line.price * abs(change) * 1e3
        moved += 1
    assert moved >= 3


def test_words_where_nothing_is_needed() -> None:
    fine = mix.solve(replace(PROBLEM, need=mix.MixNeed(0, 0, 0, 0, 23, 9, 2, 0.18)))
    assert fine.words() == "The hay covers the need; no feed is needed."
    assert fine.cost == 0


def test_dataclasses_follow_the_blocks() -> None:
    assert [f.name for f in fields(mix.MixFeed)][1:] == [name for name, _ in mixmodel.FEEDS]
    assert [f.name for f in fields(mix.MixNeed)] == [name for name, _ in mixmodel.NEEDS]
    assert [f.name for f in fields(mix.MixLimits)] == [name for name, _ in mixmodel.LIMITS]
    rows = mixmodel.row_kinds(np.array(PROBLEM.blocks()[0], dtype=float))
    assert [row.title(("corn", "meal", "grains", "lime")) for row in rows][-1] == "share of the diet of grains"
    for row in rows:
        columns = {"feeds": mixmodel.FEEDS, "needs": mixmodel.NEEDS, "limits": mixmodel.LIMITS}[row.block]
        assert dict(columns)[row.column].unit == row.step_unit


# --- the contract on a sheet

F, N, L = PROBLEM.blocks()


def test_worksheet_function_gives_pounds_then_cost() -> None:
    found = hayfuncs.cheapest_mix(F, N, L)
    answer = mix.solve(PROBLEM)
    assert found.shape == (1, 5)
    assert found[0].tolist() == [*answer.pounds, answer.cost]
    assert (hayfuncs.cheapest_mix(F, N[0], L[0]) == found).all(), "a single row may come flat"
    assert hayfuncs.cheapest_mix(np.array(F, dtype=float), np.array(N), np.array(L)).tolist() == found.tolist()


def test_a_bad_lot_spoils_its_own_row_only() -> None:
    good = N[0]
    for bad in (None, "six", math.nan, math.inf, -1, 1e9, True):
        found = hayfuncs.cheapest_mix(F, [good, [bad, *good[1:]], good], L)
        assert np.isnan(found[1]).all()
        assert found[0].tolist() == found[2].tolist()
        np.testing.assert_allclose(found[0], hayfuncs.cheapest_mix(F, [good], L)[0], rtol=1e-12)
    without = hayfuncs.cheapest_mix(F, [good, [50, *good[1:]]], L)
    assert np.isnan(without[1]).all()
    assert not np.isnan(without[0]).any()
    spoilt = hayfuncs.cheapest_mix(F, [good, good], [L[0], [None, *L[0][1:]]])
    assert np.isnan(spoilt[1]).all()
    assert not np.isnan(spoilt[0]).any()


@pytest.mark.parametrize(
    ("feeds", "needs", "limits", "error", "says"),
    [
        (F, [[None, *N[0][1:]]], L, BadInput, "needs is blank in row 1, column tdn_short_lb; allowed: 0 to 100 lb/day"),
        (F, [["six", *N[0][1:]]], L, BadInput, 'needs is the text "six" in row 1, column tdn_short_lb'),
        (F, [[-1, *N[0][1:]]], L, OutOfRange, "needs is -1 lb/day in row 1, column tdn_short_lb; allowed: 0 to 100 lb/day"),
        ([F[0], [200, 0, *F[1][2:]]], N, L, OutOfRange, "feeds is 0 % as fed in row 2, column dm_pct; allowed: above 0 to 100"),
        ([F[0], [None, *F[1][1:]]], N, L, BadInput, "feeds is blank in row 2, column price_per_ton"),
        ([row[:-1] for row in F], N, L, BadInput, "feeds is a block of 4 x 12 cells; allowed: rows of 13 columns: price_per_ton"),
        (F, N, [L[0], L[0]], BadInput, "limits is a block of 2 rows; allowed: 1 row"),
        (F, N, 8, BadInput, "limits is a block of 1 x 1 cells; allowed: rows of 7 columns"),
        ([], N, L, BadInput, "feeds is a block of 0 cells"),
        ([F[0], F[1][:-1]], N, L, BadInput, "rows of unlike length"),
        (F, [[50, *N[0][1:]]], L, OutOfRange, "lb/day of the TDN need (50) cannot be covered; held back by room for supplement"),
    ],
)  # fmt: skip
def test_refusals_name_the_cell(feeds: object, needs: object, limits: object, error: type, says: str) -> None:
    with pytest.raises(error) as caught:
        hayfuncs.cheapest_mix(feeds, needs, limits)
    assert says in str(caught.value)
    assert hayfuncs.reason("CHEAPEST_MIX", feeds, needs, limits) == str(caught.value)


def test_nan_in_is_nan_out() -> None:
    assert np.isnan(hayfuncs.cheapest_mix(F, [[math.nan, *N[0][1:]]], L)).all()
    assert np.isnan(hayfuncs.cheapest_mix([[math.nan, *F[0][1:]], F[1]], N, L)).all()
    assert np.isnan(hayfuncs.cheapest_mix(F, N, [[*L[0][:-1], math.nan]])).all()


@settings(max_examples=60)
@given(
    st.lists(
        st.lists(st.one_of(st.none(), st.text(max_size=3), st.floats(), st.integers(-5, 10**12)), min_size=8, max_size=8),
        min_size=1, max_size=4,
    )
)  # fmt: skip
def test_any_cells_end_in_an_answer_or_our_own_error(needs: list[list[object]]) -> None:
    try:
        found = hayfuncs.cheapest_mix(F, needs, L)
    except (BadInput, OutOfRange):
        return
    assert found.shape == (len(needs), 5)


def test_each_limit_is_relaxed_by_a_step_of_its_own() -> None:
    steps = {row.column: row.step for row in mixmodel.ROWS}
    assert steps == {
        "tdn_short_lb": 1, "cp_short_lb": 0.1, "ca_short_g": 1, "p_short_g": 1, "min_ca_p": 0.1, "room_lb": 1, "max_fat_pct": 1,
        "max_s_pct": 0.01, "max_starch_pct_bw": 0.1, "max_npn_pct": 1,
    }  # fmt: skip
