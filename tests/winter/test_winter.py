"""The winter plan against scipy on a directly written model, by hand, and in its refusals."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from itertools import pairwise

import pytest
import winterlib
from hypothesis import given, settings
from hypothesis import strategies as st
from winterlib import BULLS, FARM, HAY, farm_of

from hayfuncs.contract.errors import BadInput
from hayfuncs.winter import solve as w

AGREE = 1e-6  # of the cost


# --- the same optimum as scipy on the model written down directly


@pytest.mark.parametrize("seed", range(16))
def test_same_optimum_as_scipy(seed: int) -> None:
    made = farm_of(seed)
    plan, wanted = w.plan(made), winterlib.direct(made)
    if wanted.status == 2:
        assert not plan.feasible
        assert winterlib.faults(made, plan)
        return
    assert wanted.status == 0
    assert plan.feasible
    assert winterlib.faults(made, plan) == []
    assert plan.cost == pytest.approx(wanted.fun, rel=AGREE, abs=1e-3)
    assert plan.dual_bound == pytest.approx(wanted.fun, rel=AGREE, abs=1e-3)


def test_the_random_farms_hold_both_kinds() -> None:
    feasible = [w.plan(farm_of(seed)).feasible for seed in range(16)]
    assert 8 <= sum(feasible) <= 15


def test_same_optimum_as_scipy_on_a_larger_farm() -> None:
    made = farm_of(7, lots=25, groups=8, months=4, limits=True)
    plan = w.plan(made)
    assert plan.cost == pytest.approx(winterlib.direct(made).fun, rel=AGREE)
    assert winterlib.faults(made, plan) == []


@settings(max_examples=25)
@given(seed=st.integers(0, 2**32 - 1), limits=st.booleans())
def test_best_plan_never_costs_more_than_the_plain_rule(seed: int, limits: bool) -> None:
    made = farm_of(seed, limits=limits)
    best, plain = w.plan(made), w.plain_plan(made)
    assert [bool(winterlib.faults(made, p)) for p in (best, plain)] == [not best.feasible, not plain.feasible]
    if plain.feasible:
        assert best.feasible
        assert best.cost <= plain.cost * (1 + AGREE) + 1e-3


def test_same_farm_same_plan() -> None:
    made = farm_of(5)
    assert w.plan(made) == w.plan(made)


# --- by hand


def test_hay_alone_by_hand() -> None:
    """20 lb DM eaten = 20 / 0.8 DM / 0.8 not wasted = 31.25 lb put out; x 200 / 2000 = 3.125 tons.

    As stored 3.125 / 0.9 = 3.4722 tons at $54 = $187.50; 90 tons net of storage less 3.125 = 86.875 left.
    """
    plan = w.plan(FARM)
    (row,) = plan.rows
    assert (row.period, row.group, row.kind, row.name) == ("Jan 2026", "bulls", "own hay", "meadow")
    assert row.lb_head_day == pytest.approx(31.25)
    assert row.tons == pytest.approx(3.125)
    assert plan.cost == pytest.approx(187.5)
    assert plan.stocks[0] == w.Stock("Jan 2026", "meadow", 90, pytest.approx(3.125), pytest.approx(86.875))
    assert plan.purchases == ()
    assert plan.budget.per_head == pytest.approx(18.75)
    assert plan.budget.per_head_day == pytest.approx(18.75 / 20)
    (balance,) = plan.balances
    assert (balance.dm_lb, balance.tdn_lb, balance.cp_lb) == pytest.approx((20, 10, 1.6))
    assert balance.hay_pct == pytest.approx(100)


def test_corn_beside_poor_hay_by_hand() -> None:
    """hay + corn = 20, 0.45 hay + 0.90 corn = 10: corn 2.2222 lb, hay 17.7778 lb DM = 27.7778 lb put out.

    Corn 2.2222 x 200 / 2000 = 0.22222 tons = $44.444; hay 2.77778 / 0.9 x 54 = $166.667.
    """
    made = replace(FARM, lots=(replace(HAY, tdn_pct=45),))
    plan = w.plan(made)
    fed = {r.name: r.lb_head_day for r in plan.rows}
    assert fed == {"meadow": pytest.approx(27.77778), "corn": pytest.approx(2.222222)}
    assert plan.budget.feeds == pytest.approx(44.4444, abs=1e-4)
    assert plan.budget.own_hay == pytest.approx(166.6667, abs=1e-4)
    (bought,) = plan.purchases
    assert (bought.name, bought.tons, bought.price_per_ton) == ("corn", pytest.approx(0.2222222), 200)
    assert "Buy 0.2 tons of corn for $44" in plan.words()
    # with intake fixed, a pound of TDN comes from 1/0.45 lb of corn in the place of as much hay
    per_lb = 0.10 / 0.45 - 27.77778 / 17.77778 * 54 / 0.9 / 2000 / 0.45
    assert plan.balances[0].tdn_price == pytest.approx(per_lb, rel=1e-5)


def test_free_hay_is_not_fed_beyond_need() -> None:
    """With hay of no value and no least intake only what TDN asks for is fed: 10 / 0.5 = 20 lb DM."""
    made = replace(FARM, lots=(replace(HAY, value_per_ton=0),), min_intake_pct=0, max_intake_pct=150)
    assert w.plan(made).balances[0].dm_lb == pytest.approx(20)


def test_short_of_everything_by_hand() -> None:
    """Half a ton net feeds 3.2 lb DM a head: 1.6 lb TDN, 0.256 lb protein; the rest is said to be short."""
    made = replace(FARM, lots=(replace(HAY, tons=0.5 / 0.9),), feeds=(), min_intake_pct=0)
    plan = w.plan(made)
    assert not plan.feasible
    assert math.isnan(plan.dual_bound)
    assert [(f.what, f.unit) for f in plan.failures] == [
        ("TDN short", "lb a head a day"),
        ("crude protein short", "lb a head a day"),
    ]
    assert [f.amount for f in plan.failures] == pytest.approx([8.4, 1.344], abs=1e-4)
    assert "bulls, Jan 2026: TDN short by 8.4 lb a head a day" in plan.words()


def test_hay_that_does_not_reach_lasts_as_long_as_it_can() -> None:
    made = replace(FARM, turnout=dt.date(2026, 5, 1), lots=(replace(HAY, tons=8),), feeds=(), min_intake_pct=0)
    plan = w.plan(made)
    assert {f.period for f in plan.failures} == {"Feb 2026", "Mar 2026", "Apr 2026"}


def test_hay_is_bought_if_it_pays_and_only_then() -> None:
    """Bought hay at $90 a ton with no loss against own at $54 / 0.9 = $60 a ton fed."""
    offer = w.HayForSale("offered", 90, 80, 50, 8, 10)
    both = replace(FARM, for_sale=(offer,))
    assert w.plan(both).purchases == ()
    few = replace(both, lots=(replace(HAY, tons=2),))
    plan = w.plan(few)
    (bought,) = plan.purchases
    # 3.125 tons put out, 1.8 from the lot, 1.325 bought as 1.325 / 0.9 = 1.47222 tons
    assert (bought.kind, bought.tons, bought.dollars) == ("bought hay", pytest.approx(1.472222), pytest.approx(132.5))
    value = {v.name: v for v in plan.lot_values}
    assert value["meadow"].tons_left == pytest.approx(0, abs=1e-9)
    # a ton more of own hay as stored puts out 0.9 tons: saves 0.9 x (100 - 60) beyond its own value
    assert value["meadow"].saves_per_ton == pytest.approx(36)
    dear = replace(few, lots=(replace(HAY, tons=2, value_per_ton=120),))
    assert w.plan(dear).budget.own_hay == 0, "own hay that would bring more than bought hay costs is left to sell"


# --- the pieces hang together


@pytest.mark.parametrize("seed", range(6))
def test_totals_agree(seed: int) -> None:
    made = farm_of(seed)
    for plan in (w.plan(made), w.plain_plan(made)):
        assert sum(r.cost for r in plan.rows) == pytest.approx(plan.cost)
        bought = sum(p.dollars for p in plan.purchases)
        assert bought == pytest.approx(plan.budget.cash, abs=1e-6)
        for p in plan.purchases:
            assert p.tons * p.price_per_ton == pytest.approx(p.dollars)
        days = sum(period.days for period in made.periods())
        assert plan.budget.days == days == (made.turnout - made.start).days
        heads = sum(g.head for g in made.groups)
        daily = sum(b.cost_head_day * b.head * b.days for b in plan.balances)
        assert daily == pytest.approx(plan.budget.per_head * heads)
        for lot in made.lots:
            steps = [s for s in plan.stocks if s.name == lot.name]
            assert steps[0].start == pytest.approx(lot.tons * (1 - lot.storage_loss_pct / 100))
            assert all(a.left == pytest.approx(b.start) for a, b in pairwise(steps))
            assert sum(s.fed for s in steps) == pytest.approx(sum(r.tons for r in plan.rows if r.name == lot.name))
        again = w.remeasure(made, plan.rows)
        assert again.cost == pytest.approx(plan.cost, rel=1e-12)
        assert [f.words() for f in again.failures] == [f.words() for f in plan.failures]


def test_saving_of_another_ton_is_what_solving_again_saves() -> None:
    checked = 0
    for seed in (2, 5, 6, 7, 9, 11):
        made = farm_of(seed)
        plan = w.plan(made)
        assert plan.feasible
        for i, value in enumerate(plan.lot_values[: len(made.lots)]):
            step = 1e-3
            lots = list(made.lots)
            lots[i] = replace(lots[i], tons=lots[i].tons + step)
            again = w.plan(replace(made, lots=tuple(lots)))
            assert (plan.cost - again.cost) / step == pytest.approx(value.saves_per_ton, rel=0.01, abs=0.02)
            checked += value.saves_per_ton > 0
    assert checked > 5


def test_a_plan_changed_by_hand_is_measured_anew() -> None:
    made = replace(FARM, lots=(replace(HAY, tdn_pct=45),))
    rows = w.plan(made).rows
    less = tuple(replace(r, lb_head_day=1.0) if r.name == "corn" else r for r in rows)
    changed = w.remeasure(made, less)
    assert [f.what for f in changed.failures] == ["TDN short", "crude protein short", "dry matter under the least"]
    assert changed.failures[0].amount == pytest.approx(1.222222 * 0.9, abs=1e-5)
    assert changed.budget.feeds == pytest.approx(20)
    much = tuple(replace(r, lb_head_day=2000.0) for r in rows if r.name == "meadow")
    assert "meadow overdrawn by 110 tons" in [f.words() for f in w.remeasure(made, much).failures]
    with pytest.raises(BadInput, match='name of a row is "straw"'):
        w.remeasure(made, (replace(rows[0], name="straw"),))


def test_plain_rule_gives_the_best_hay_to_the_neediest() -> None:
    poor, good = w.Lot("poor", 500, 85, 50, 8, 0), w.Lot("good", 100 / 34, 85, 60, 12, 0)
    dry, milking = replace(BULLS, name="dry"), replace(BULLS, name="milking", need=w.Need(20, 12, 2))
    plan = w.plain_plan(replace(FARM, lots=(poor, good), groups=(dry, milking)))
    assert {(r.group, r.name) for r in plan.rows} == {("dry", "poor"), ("milking", "good")}
    # 20 lb DM / 0.85 / 0.8 = 29.41 lb x 200 / 2000 = 2.941 = 100 / 34 tons, all of the good lot
    assert plan.rows[1].tons == pytest.approx(2.941176)
    assert plan.feasible


def test_plain_rule_swaps_hay_for_feed_when_the_cow_is_full() -> None:
    """Same arithmetic as the corn beside poor hay: full at 20 lb, corn takes the place of hay."""
    plan = w.plain_plan(replace(FARM, lots=(replace(HAY, tdn_pct=45),)))
    fed = {r.name: r.lb_head_day for r in plan.rows}
    assert fed == {"meadow": pytest.approx(27.77778, rel=1e-6), "corn": pytest.approx(2.222222, rel=1e-6)}
