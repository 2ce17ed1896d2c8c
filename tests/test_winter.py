"""The winter plan against scipy on a directly written model, by hand, and in its refusals."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import winterlib
from hypothesis import given, settings
from hypothesis import strategies as st

import hayfuncs
from hayfuncs import winter as w
from hayfuncs import wintermodel
from hayfuncs.errors import BadInput, HayError, OutOfRange

AGREE = 1e-6  # of the cost


def farm(seed: int, **more: object) -> w.Farm:
    rng = np.random.default_rng(seed)
    sizes = {"lots": int(rng.integers(1, 12)), "groups": int(rng.integers(1, 6)), "months": int(rng.integers(1, 6))}
    wanted: dict[str, object] = {"plenty": float(rng.uniform(0.3, 1.4)), "limits": seed % 2 == 1, **sizes, **more}
    return winterlib.random_farm(rng, **wanted)  # type: ignore[arg-type]


# --- the same optimum as scipy on the model written down directly


@pytest.mark.parametrize("seed", range(16))
def test_same_optimum_as_scipy(seed: int) -> None:
    made = farm(seed)
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
    feasible = [w.plan(farm(seed)).feasible for seed in range(16)]
    assert 8 <= sum(feasible) <= 15


def test_same_optimum_as_scipy_on_a_larger_farm() -> None:
    made = farm(7, lots=25, groups=8, months=4, limits=True)
    plan = w.plan(made)
    assert plan.cost == pytest.approx(winterlib.direct(made).fun, rel=AGREE)
    assert winterlib.faults(made, plan) == []


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), limits=st.booleans())
def test_best_plan_never_costs_more_than_the_plain_rule(seed: int, limits: bool) -> None:
    made = farm(seed, limits=limits)
    best, plain = w.plan(made), w.plain_plan(made)
    assert [bool(winterlib.faults(made, p)) for p in (best, plain)] == [not best.feasible, not plain.feasible]
    if plain.feasible:
        assert best.feasible
        assert best.cost <= plain.cost * (1 + AGREE) + 1e-3


def test_same_farm_same_plan() -> None:
    made = farm(4)
    assert w.plan(made) == w.plan(made)


# --- by hand


BULLS = w.Group("bulls", 10, 1800, 20, need=w.Need(20, 10, 1.6))
HAY = w.Lot("meadow", 100, 80, 50, 8, 10, 54)
CORN = w.Feed("corn", 200, 100, 90, 8)
FARM = w.Farm((HAY,), (), (CORN,), (BULLS,), dt.date(2026, 1, 1), dt.date(2026, 1, 21), 100, 100)


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
    made = farm(seed)
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
    for seed in (1, 4, 5, 6, 7, 9):
        made = farm(seed)
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


# --- months and needs


def test_periods_are_calendar_months_cut_at_both_ends() -> None:
    made = replace(FARM, start=dt.date(2027, 12, 10), turnout=dt.date(2028, 3, 5))
    assert [(p.label, p.days, p.month) for p in made.periods()] == [
        ("Dec 2027", 22, 12), ("Jan 2028", 31, 1), ("Feb 2028", 29, 2), ("Mar 2028", 4, 3),
    ]  # fmt: skip
    assert [p.label for p in replace(FARM, turnout=dt.date(2026, 2, 1)).periods()] == ["Jan 2026"]


@pytest.mark.parametrize(
    ("calving", "days"),
    [
        (dt.date(2025, 10, 2), 101),  # 29 + 30 + 31 days to 31 December, 11 to the middle of 1-20 January
        (dt.date(2026, 3, 1), 365 - 49),  # calves 20 + 28 + 1 days later
        (dt.date(2024, 10, 2), 101 + 365 - 365),  # an earlier calving: a calf every 365 days
        (dt.date(2026, 1, 11), 365),  # in the very middle: the end of month 12, not the beginning of month 0
    ],
)
def test_months_since_calving(calving: dt.date, days: int) -> None:
    (period,) = FARM.periods()
    assert period.middle == dt.date(2026, 1, 11).toordinal()
    assert w.months_since_calving(calving, period) == pytest.approx(days * 12 / 365)


def test_needs_are_daily_need_at_the_stage_of_the_month() -> None:
    cows = w.Group("cows", 50, 1250, 20, dt.date(2026, 3, 1), 20, 85, 5)
    made = replace(FARM, groups=(cows, BULLS), more_energy_pct={1: 10.0})
    (need,), (bulls,) = w.needs_of(made)
    stage = (365 - 49) * 12 / 365
    cow = (1200, stage, 20, 85, 5)  # 1,250 lb less 4 % shrink
    assert need.dm_lb == pytest.approx(hayfuncs.daily_need("DM", *cow))
    assert need.tdn_lb == pytest.approx(hayfuncs.daily_need("TDN", *cow) * 1.1)
    assert need.cp_lb == pytest.approx(hayfuncs.daily_need("CP", *cow))
    assert bulls == w.Need(20, 11, 1.6)
    table = ((w.Need(20, 10, 1.6),), (w.Need(20, 10, 1.6),))
    assert w.plan(made, needs=table).cost == pytest.approx(187.5 * 6)
    with pytest.raises(BadInput, match="needs is a table of another size"):
        w.plan(made, needs=table[:1])


def test_groups_change_stage_through_the_winter() -> None:
    cows = w.Group("cows", 50, 1250, 15, dt.date(2026, 2, 10), 20, 85, 5)
    made = replace(FARM, groups=(cows,), start=dt.date(2025, 12, 1), turnout=dt.date(2026, 5, 1))
    (row,) = w.needs_of(made)
    tdn = [need.tdn_lb for need in row]
    assert tdn[0] < tdn[1]  # late pregnancy
    assert max(tdn) in tdn[3:]  # the peak of milk, after calving
    assert row[-1].cp_lb > row[0].cp_lb


# --- progress and refusals


def test_progress_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wintermodel, "HEARTBEAT_SECONDS", 0.002)
    said: list[str] = []
    made = farm(3, lots=30, groups=6, months=5)
    assert w.plan(made, progress=said.append) == w.plan(made)
    assert said[0] == "working out the needs"
    assert said[1].startswith("looking for the cheapest plan: ")
    assert said[-1] == "writing the plan out"
    assert len(said) > 3, "the solver at work is heard of"


def test_an_error_in_the_solver_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: object, **kwargs: object) -> None:
        raise MemoryError("no room")

    monkeypatch.setattr("scipy.optimize.linprog", broken)
    for progress in (None, lambda line: None):
        with pytest.raises(MemoryError, match="no room"):
            w.plan(FARM, progress=progress)


LOT = HAY
BAD = [
    ({"turnout": dt.date(2026, 1, 1)}, OutOfRange, "turnout is 2026-01-01; allowed: 1 to 366 days after the start"),
    ({"turnout": dt.date(2028, 1, 1)}, OutOfRange, "turnout is 2028-01-01"),
    ({"start": "1 January"}, BadInput, 'start is the text "1 January"; allowed: a date'),
    ({"groups": ()}, BadInput, "groups is empty"),
    ({"lots": ()}, BadInput, "lots is empty"),
    ({"lots": (replace(LOT, tdn_pct=-1),)}, OutOfRange, 'tdn_pct of lot "meadow" is -1 % DM; allowed: 0 to 200 % DM'),
    ({"lots": (replace(LOT, dm_pct=0),)}, OutOfRange, 'dm_pct of lot "meadow" is 0 % as fed; allowed: above 0 to 100'),
    ({"lots": (replace(LOT, tons=None),)}, BadInput, 'tons of lot "meadow" is blank'),
    ({"lots": (replace(LOT, tons=math.nan),)}, OutOfRange, 'tons of lot "meadow" is nan tons'),
    ({"lots": (replace(LOT, tons="ten"),)}, BadInput, 'tons of lot "meadow" is the text "ten"'),
    ({"lots": (replace(LOT, name=" "),)}, BadInput, "name of a lot is blank"),
    (
        {"lots": (LOT, replace(LOT, name="Meadow"))},
        BadInput,
        'name of a lot is "Meadow" again; allowed: each name once',
    ),
    ({"feeds": (replace(CORN, price_per_ton=True),)}, BadInput, 'price_per_ton of feed "corn" is TRUE'),
    ({"groups": (replace(BULLS, head=0),)}, OutOfRange, 'head of group "bulls" is 0 head; allowed: above 0'),
    ({"groups": (replace(BULLS, need=None),)}, BadInput, 'calving_date of group "bulls" is blank'),
    ({"groups": (replace(BULLS, need=w.Need(0, 1, 1)),)}, OutOfRange, 'dm_lb of the need of group "bulls" is 0'),
    ({"max_s_pct": 0.3}, BadInput, 's_pct of "meadow" is blank; allowed: a number, as the diet has a limit for it'),
    ({"ndf_capacity_pct_bw": 1.2}, BadInput, 'ndf_pct of "meadow" is blank'),
    ({"more_energy_pct": {13: 5}}, OutOfRange, "more_energy_pct is 5 in month 13"),
    ({"max_intake_pct": 0}, OutOfRange, "max_intake_pct of the farm is 0 %"),
]


@pytest.mark.parametrize(("change", "error", "says"), BAD, ids=lambda v: v[:30] if isinstance(v, str) else "")
def test_refusals_name_the_value(change: dict[str, object], error: type[HayError], says: str) -> None:
    bad = replace(FARM, **change)
    for call in (w.plan, w.plain_plan):
        with pytest.raises(error) as caught:
            call(bad)
        assert str(caught.value).startswith(f"the winter plan: {says}")
