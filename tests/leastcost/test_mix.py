"""The cheapest mix against scipy on a directly written model, its proofs, its reasons, its contract."""

from __future__ import annotations

import builtins
import math
from dataclasses import replace
from typing import Any

import mixlib
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mixlib import CORN, LIMITS, MEAL, NEED, PROBLEM

from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost import solver as mixsolve
from hayfuncs.leastcost import worksheet as mix
from hayfuncs.leastcost.dual_simplex import Basis, feeding_nothing, walk

AGREE = 1e-6


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


@settings(max_examples=40)
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


@settings(max_examples=30)
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


def test_few_bases_answer_many_lots() -> None:
    f, n, m = mixlib.random_blocks(np.random.default_rng(5), 12, 3000, False)
    table = mix.solve_many(f, n, m, explain=False)
    assert 20 < table.bases < 600


# --- HiGHS, the walk from basis to basis, and each without the other


def cases() -> list[tuple[Any, Any, Any]]:
    return [mixlib.random_blocks(np.random.default_rng(s), 9, 60, s % 2 == 1) for s in range(6)]


def same_answers(found: list[mix.MixTable], wanted: list[mix.MixTable]) -> None:
    for one, other in zip(found, wanted, strict=True):
        assert (one.feasible == other.feasible).all()
        np.testing.assert_allclose(one.pounds, other.pounds, atol=1e-6)
        np.testing.assert_allclose(one.cost, other.cost, atol=1e-9)
        np.testing.assert_allclose(one.short, other.short, atol=1e-5)


def test_without_highs_the_answers_are_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = [mix.solve_many(*case) for case in cases()]
    real = builtins.__import__
    refused: list[str] = []

    def without_highs(name: str, *args: Any, **kwargs: Any) -> object:
        if name.startswith("highspy"):
            refused.append(name)
            raise ImportError(name)
        return real(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without_highs)
    same_answers([mix.solve_many(*case) for case in cases()], wanted)
    assert refused


def test_without_the_walk_highs_answers_every_lot(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = [mix.solve_many(*case) for case in cases()]

    def gives_up(*args: object) -> None:
        raise ArithmeticError

    monkeypatch.setattr(mixsolve, "walk", gives_up)
    same_answers([mix.solve_many(*case) for case in cases()], wanted)


def test_an_answer_that_its_duals_do_not_prove_is_solved_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wrong basis, the dearer of two feeds, is feasible and would be taken; its prices give it away."""
    dear, cheap = [300, 100, 100, *[0] * 7, 1000, 100, 100], [100, 100, 100, *[0] * 7, 1000, 100, 100]
    needs = [[0.0] * 4 + [20.0, 6.0, 2.0, 0.2], [4.0] + [0.0] * 3 + [20.0, 6.0, 2.0, 0.2]]
    blocks = [dear, cheap], needs, [[1000, 20, 100, 100, 100, 100, 0]]
    right = mix.solve_many(*blocks)
    assert right.pounds[1].tolist() == [0, 4]
    members = np.array([0, *range(3, 12)])  # the dear feed in the place of the TDN row's slack
    whole = np.hstack([mixmodel.matrix(np.array(blocks[0], float), 100, 100, 100, 0), np.eye(10)])
    whole[:5] *= -1
    whole[:5, 2:] = np.eye(10)[:5]
    wrong = Basis(members, np.zeros(2, dtype=bool), np.linalg.inv(whole[:, members]))
    monkeypatch.setattr(mixsolve, "walk", lambda *args: (wrong, np.zeros(10)))
    monkeypatch.setattr(mixsolve, "_basis_of", lambda *args: None)  # so that the walk is asked
    asked: list[int] = []
    by_highs = mixsolve._by_highs
    monkeypatch.setattr(
        mixsolve, "_by_highs", lambda batch, case, mean: asked.append(case) or by_highs(batch, case, mean)
    )
    again = mix.solve_many(*blocks)
    assert asked == [1]
    assert again.pounds.tolist() == right.pounds.tolist()


def test_the_walk_alone() -> None:
    cost, matrix = np.array([1.0, 1.0]), np.array([[-1.0, -2.0]])
    start = feeding_nothing(1, 2)
    basis, _ = walk(cost, matrix, np.array([-4.0]), np.array([9.0, 1.0]), start)
    assert basis is not None
    assert (basis.members.tolist(), basis.at_cap.tolist()) == ([0], [False, True])
    none, weights = walk(cost, matrix, np.array([-4.0]), np.array([1.0, 1.0]), start)
    assert none is None
    assert weights.tolist() == [1]


# --- where there is no mix


def test_shortfall_is_the_least_possible() -> None:
    """Against scipy on the elastic problem written directly: the counted shortfall cannot be smaller."""
    checked = 0
    for seed in range(6):
        f, n, m = mixlib.random_blocks(np.random.default_rng(200 + seed), 5, 40, False)
        table = mix.solve_many(f, n, m)
        for lot in np.flatnonzero(~table.feasible & (table.over.max(axis=1) == 0)):
            met = n[lot].copy()
            met[:4] = np.maximum(n[lot, :4] - table.short[lot, :4] - 1e-6, 0)
            met[8] += (table.short[lot, 4] + 1e-6) / n[lot, 4] / mixlib.GRAMS * 100  # as if the hay had that calcium
            assert mixlib.direct(f, met, m[lot]).status == 0, "with the needs lowered by the shortfall a mix exists"
            lower = n[lot].copy()
            lower[:4] = np.maximum(n[lot, :4] - 0.99 * table.short[lot, :4], 0)
            lower[8] += 0.99 * table.short[lot, 4] / n[lot, 4] / mixlib.GRAMS * 100
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
    assert (1 / mixmodel.SHORT_COUNTS).tolist() == [14, 2, 30, 20, 1000]


def test_a_limit_that_the_hay_itself_breaks_is_named() -> None:
    answer = mix.solve(replace(PROBLEM, feeds=(CORN, MEAL), need=replace(NEED, hay_s_pct=0.5)))
    assert not answer.feasible
    assert "sulfur limit of the diet is broken by" in answer.words()
    assert answer.shortfalls == ()
