"""The cheapest mix against scipy on a directly written model, its proofs, its reasons, its contract."""

from __future__ import annotations

import builtins
import math
from dataclasses import fields, replace

import mixlib
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import hayfuncs
from hayfuncs import mix, mixmodel, mixsolve, smallsimplex
from hayfuncs.errors import BadInput, OutOfRange

AGREE = 1e-6
CORN = mix.MixFeed("corn", 200, 88, 90, 9.8, 0.03, 0.32, 4.1, 0.11, 72, max_pct_bw=0.25)
MEAL = mix.MixFeed("soybean meal", 400, 89, 84, 49.9, 0.4, 0.71, 1.6, 0.46, 1)
GRAINS = mix.MixFeed("distillers grains", 220, 90, 89, 29.5, 0.05, 0.83, 10.3, 0.69, 5, max_pct_diet=15)
LIME = mix.MixFeed("limestone", 150, 100, 0, 0, 38, 0, 0, 0, 0, max_lb=0.5)
NEED = mix.MixNeed(2.9, 0.78, 5, 2, 23, 7.0, 2.0, 0.18)
LIMITS = mix.MixLimits(1200, 8, 5, 0.3, 0.3, 30, 0)
PROBLEM = mix.MixProblem((CORN, MEAL, GRAINS, LIME), NEED, LIMITS)


# --- the same optimum as scipy on the model written down directly


@pytest.mark.parametrize("rounded", [False, True])
@pytest.mark.parametrize("seed", range(8))
def test_same_optimum_as_scipy(seed: int, rounded: bool) -> None:
    rng = np.random.default_rng(seed)
    f, n, m = mixlib.random_blocks(rng, int(rng.integers(1, 15)), 40, rounded)
    table = mix.solve_many(f, n, m)
    for lot in range(len(n)):
        wanted = mixlib.direct(f, n[lot], m[lot])
        if wanted.status == 2:
            assert not table.feasible[lot]
            assert table.short[lot].max() > 0 or table.over[lot].max() > 0
            continue
        assert wanted.status == 0
        assert table.feasible[lot]
        assert table.cost[lot] == pytest.approx(wanted.fun, abs=AGREE)
        assert mixlib.broken(f, n[lot], m[lot], table.pounds[lot]) < AGREE
        assert table.cost[lot] == pytest.approx(table.pounds[lot] @ f[:, 0] / mixlib.LB, abs=1e-12)


def test_the_random_cases_hold_every_kind() -> None:
    """The comparison above is worth something: lots with and without a mix, needing feed or not."""
    found = [
        mix.solve_many(*mixlib.random_blocks(np.random.default_rng(seed), 8, 40, rounded))
        for seed in range(8)
        for rounded in (False, True)
    ]
    feasible = np.concatenate([t.feasible for t in found])
    cost = np.concatenate([t.cost for t in found])
    over = np.concatenate([t.over.max(axis=1) for t in found])
    assert 0.2 < feasible.mean() < 0.95
    assert (cost[feasible] == 0).any()
    assert (cost[feasible] > 0.1).sum() > 100
    assert (over > 0).any()
    tight = [(t.prices[t.feasible] > 0).any(axis=0) for t in found]
    assert np.any([row[: len(mixmodel.ROWS)] for row in tight], axis=0).all(), "some kind of limit never binds"


@pytest.mark.parametrize("seed", range(4))
def test_duals_prove_the_optimum(seed: int) -> None:
    """Weak duality by hand: the prices are allowed, so no mix can cost less than their bound."""
    f, n, m = mixlib.random_blocks(np.random.default_rng(100 + seed), 10, 60, seed % 2 == 1)
    table = mix.solve_many(f, n, m)
    sense = mixmodel.senses(table.rows)
    for lot in np.flatnonzero(table.feasible):
        prices, of_caps = table.prices[lot], table.cap_prices[lot]
        assert (prices >= 0).all()
        assert (of_caps >= 0).all()
        worth = f[:, 0] / mixlib.LB + of_caps + (prices * sense) @ table.matrix(lot)
        assert worth.min() > -1e-9, "a feed would pay for itself at these prices"
        bound = -(prices * sense) @ table.sides[lot] - of_caps @ table.caps[lot]
        assert bound == pytest.approx(table.cost[lot], abs=1e-9)
        assert bound == pytest.approx(table.bound[lot], abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), feeds=st.integers(1, 8), rounded=st.booleans())
def test_a_lot_has_one_answer_in_any_company(seed: int, feeds: int, rounded: bool) -> None:
    f, n, m = mixlib.random_blocks(np.random.default_rng(seed), feeds, 12, rounded)
    together = mix.solve_many(f, n, m)
    for lot in range(len(n)):
        alone = mix.solve_many(f, n[[lot]], m[[lot]])
        assert alone.feasible[0] == together.feasible[lot]
        np.testing.assert_allclose(alone.pounds[0], together.pounds[lot], atol=1e-7)
        np.testing.assert_allclose(alone.cost[0], together.cost[lot], atol=1e-9)
        np.testing.assert_allclose(alone.short[0], together.short[lot], atol=1e-5)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), factor=st.floats(0.25, 4))
def test_prices_scale_and_more_feeds_never_cost_more(seed: int, factor: float) -> None:
    f, n, m = mixlib.random_blocks(np.random.default_rng(seed), 6, 10, False)
    base = mix.solve_many(f, n, m)
    dearer = f.copy()
    dearer[:, 0] *= factor
    np.testing.assert_allclose(mix.solve_many(dearer, n, m).cost, base.cost * factor, rtol=1e-7)
    fewer = mix.solve_many(f[:-1], n, m)
    assert (base.feasible >= fewer.feasible).all()
    both = fewer.feasible
    assert (base.cost[both] <= fewer.cost[both] + 1e-9).all()


def test_few_solves_answer_many_lots() -> None:
    f, n, m = mixlib.random_blocks(np.random.default_rng(5), 12, 3000, False)
    table = mix.solve_many(f, n, m, explain=False)
    assert table.solves < 600


# --- without scipy


def test_the_small_simplex_finds_what_highs_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    cases = [mixlib.random_blocks(np.random.default_rng(s), 9, 60, s % 2 == 1) for s in range(6)]
    with_highs = [mix.solve_many(*case) for case in cases]
    real = builtins.__import__

    def without_scipy(name: str, *args: object, **kwargs: object) -> object:
        if name.startswith("scipy"):
            raise ImportError(name)
        return real(name, *args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", without_scipy)
    used = []
    monkeypatch.setattr(
        mixsolve.smallsimplex, "vertex", lambda *a, keep=smallsimplex.vertex: used.append(1) or keep(*a)
    )
    for case, wanted in zip(cases, with_highs, strict=True):
        found = mix.solve_many(*case)
        assert (found.feasible == wanted.feasible).all()
        np.testing.assert_allclose(found.pounds, wanted.pounds, atol=1e-7)
        np.testing.assert_allclose(found.short, wanted.short, atol=1e-5)
    assert used


def test_the_small_simplex_alone() -> None:
    cost, matrix = np.array([1.0, 1.0]), np.array([[-1.0, -2.0]])
    amounts, prices = smallsimplex.vertex(cost, matrix, np.array([-4.0]), np.array([9.0, 1.0]))  # type: ignore[misc]
    assert amounts.tolist() == [2, 1]
    assert prices.tolist() == [1]
    assert smallsimplex.vertex(cost, matrix, np.array([-4.0]), np.array([1.0, 1.0])) is None


# --- where there is no mix


def test_shortfall_is_the_least_possible() -> None:
    """Against scipy on the elastic problem written directly: the counted shortfall cannot be smaller."""
    checked = 0
    for seed in range(6):
        f, n, m = mixlib.random_blocks(np.random.default_rng(200 + seed), 5, 40, False)
        table = mix.solve_many(f, n, m)
        for lot in np.flatnonzero(~table.feasible & (table.over.max(axis=1) == 0)):
            met = n[lot].copy()
            met[:4] = np.maximum(n[lot, :4] - table.short[lot] - 1e-6, 0)
            assert mixlib.direct(f, met, m[lot]).status == 0, "with the needs lowered by the shortfall a mix exists"
            lower = n[lot].copy()
            lower[:4] = np.maximum(n[lot, :4] - 0.99 * table.short[lot], 0)
            assert mixlib.direct(f, lower, m[lot]).status == 2, "a smaller shortfall of the same shape is not enough"
            checked += 1
    assert checked > 20


def test_shortfall_of_one_need_by_hand() -> None:
    """At most 3 lb of corn, 0.88 x 0.90 TDN: of 5 lb TDN 5 - 2.376 = 2.624 stays short."""
    answer = mix.solve(
        mix.MixProblem((CORN,), replace(NEED, tdn_short_lb=5, cp_short_lb=0, ca_short_g=0, p_short_g=0), LIMITS)
    )
    assert not answer.feasible
    assert answer.pounds == ()
    assert math.isnan(answer.cost)
    (name, unit, least) = answer.shortfalls[0]
    assert (name, unit) == ("TDN need", "lb/day")
    assert least == pytest.approx(2.624, abs=AGREE)
    assert "2.62 lb/day of the TDN need (5) cannot be covered" in answer.words()
    assert "the own limit of corn" in answer.words()
    assert answer.binding == ()


def test_shortfalls_are_weighed_as_shares_of_a_cows_day() -> None:
    """Room for 2 lb: a pound of either feed ends 1 lb TDN (1/14 of a day) or 0.5 lb protein (1/4 of a day)."""
    plain = mix.MixFeed("energy", 100, 100, 100, 0, 0, 0, 0, 0, 0)
    rich = mix.MixFeed("protein", 100, 100, 0, 50, 0, 0, 0, 0, 0)
    need = mix.MixNeed(4, 2, 0, 0, 20, 6, 2, 0.2)
    short = mix.solve(mix.MixProblem((plain, rich), need, mix.MixLimits(1200, 2, 100, 100, 100, 100, 0))).shortfalls
    assert [(n, round(least, 5)) for n, _, least in short] == [("TDN need", 4.0), ("crude protein need", 1.0)]
    assert (1 / mixmodel.SHORT_COUNTS).tolist() == [14, 2, 30, 20]


def test_a_limit_that_the_hay_itself_breaks_is_named() -> None:
    answer = mix.solve(replace(PROBLEM, feeds=(CORN, MEAL), need=replace(NEED, hay_s_pct=0.5)))
    assert not answer.feasible
    assert "sulfur limit of the diet is broken by" in answer.words()
    assert answer.shortfalls == ()


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
        "corn is at its limit, 0.25 % of body weight (3 lb a day): 0.1 % of body weight more would save $0.1 a day"
        in answer.words()
    )
    assert "the TDN need (4 lb/day) binds: 1 less would save $0.2 a day" in answer.words()


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


@settings(max_examples=60, deadline=None)
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
