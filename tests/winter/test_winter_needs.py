"""Minerals, the floor of appetite, feeders and weaning in the winter plan, by hand and against the model written directly."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
import winterlib
from winterlib import BULLS, CORN, FARM, HAY, farm_of, with_minerals

import hayfuncs
from hayfuncs.contract.errors import BadInput
from hayfuncs.winter import solve as w
from hayfuncs.winter.requirements import weight_lb

GRAMS = 453.59237
LIME = w.Mineral("limestone", 240, 38, 0)
DICAL = w.Mineral("dicalcium phosphate", 900, 22, 18.5)
MIDDLINGS = w.Feed("middlings", 150, 90, 83, 18, ca_pct=0.15, p_pct=1.0)
CALVES = replace(BULLS, name="calves", need=None, body_weight_lb=540, cattle_class="weaned calf", gain_lb=1.25, grown_weight_lb=1250)  # fmt: skip
GRASS = replace(HAY, ca_pct=0.30, p_pct=0.20)


@pytest.mark.parametrize("seed", range(14))
def test_same_optimum_as_scipy_with_minerals_feeders_floors_and_weaning(seed: int) -> None:
    made = with_minerals(farm_of(seed, nitrate=seed % 2 == 0), seed)
    plan, wanted = w.plan(made), winterlib.direct(made)
    if wanted.status == 2:
        assert not plan.feasible
        return
    assert plan.feasible
    assert winterlib.faults(made, plan) == []
    assert plan.cost == pytest.approx(wanted.fun, rel=1e-6, abs=1e-3)
    assert plan.dual_bound == pytest.approx(wanted.fun, rel=1e-6, abs=1e-3)


def test_minerals_bind_and_limestone_is_bought_on_some_of_these_farms() -> None:
    bought = dearer = 0
    for seed in range(14):
        made = with_minerals(farm_of(seed), seed)
        plan, free = w.plan(made), w.plan(replace(made, min_ca_p=None))
        if plan.feasible:
            bought += any(p.kind == "mineral" for p in plan.purchases)
            dearer += plan.cost > free.cost + 1
    assert bought >= 3
    assert dearer >= 3


def test_calcium_beside_phosphorus_by_hand() -> None:
    """A diet of 12 lb of grass hay and 8 lb of middlings, dry: 24.5 g of calcium for 45 g of phosphorus, 0.5 to 1.

    0.090 lb of phosphorus x 1.5 = 0.156 lb of calcium; 0.048 are there; 0.108 / 0.38 = 0.284 lb of limestone.
    """
    need = w.Need(20, 12 * 0.5 + 8 * 0.83, 1.6)
    farm = replace(
        FARM,
        lots=(replace(GRASS, value_per_ton=200),),
        feeds=(MIDDLINGS,),
        groups=(replace(BULLS, need=need),),
        min_hay_pct=60,
    )
    without = w.plan(farm)
    fed = {r.name: r.lb_head_day for r in without.rows}
    assert fed == {"meadow": pytest.approx(12 / 0.64), "middlings": pytest.approx(8 / 0.9)}
    plan = w.plan(replace(farm, minerals=(LIME, DICAL), min_ca_p=1.5))
    fed = {r.name: r.lb_head_day for r in plan.rows}
    phosphorus = 12 * 0.002 + 8 * 0.01
    calcium = 12 * 0.003 + 8 * 0.0015
    assert fed["limestone"] == pytest.approx((1.5 * phosphorus - calcium) / 0.38)
    (balance,) = plan.balances
    assert balance.ca_p == pytest.approx(1.5)
    assert balance.p_g == pytest.approx(GRAMS * phosphorus)
    assert balance.dm_lb == pytest.approx(20), "the ounces of limestone are no dry matter"
    pounds = fed["limestone"] * 10 * 20
    assert plan.budget.minerals == pytest.approx(pounds / 2000 * 240)
    assert plan.cost == pytest.approx(without.cost + plan.budget.minerals)
    (purchase,) = [p for p in plan.purchases if p.kind == "mineral"]
    assert (purchase.name, purchase.tons) == ("limestone", pytest.approx(pounds / 2000))
    plain = w.plain_plan(replace(farm, minerals=(LIME, DICAL), min_ca_p=1.5))
    assert not [f for f in plain.failures if "calcium" in f.what or "phosphorus" in f.what]


def test_phosphorus_short_by_hand() -> None:
    """20 lb of dry hay with 0.1 %: 9.07 g; 15 are needed: 5.93 g / 453.6 / 0.185 = 0.0707 lb of dicalcium phosphate."""
    poor = replace(HAY, ca_pct=0.5, p_pct=0.1)
    group = replace(BULLS, need=w.Need(20, 10, 1.6, 20, 15))
    farm = replace(FARM, lots=(poor,), feeds=(), groups=(group,), minerals=(LIME, DICAL), min_ca_p=1.5)
    for plan in (w.plan(farm), w.plain_plan(farm)):
        assert plan.feasible
        fed = {r.name: r.lb_head_day for r in plan.rows}
        assert fed["dicalcium phosphate"] == pytest.approx((15 / GRAMS - 0.02) / 0.185, rel=1e-4)
        assert "limestone" not in fed
    (failure,) = w.plan(replace(farm, minerals=())).failures
    assert failure.words() == "bulls, Jan 2026: phosphorus short by 5.93 g a head a day"


def test_a_plan_changed_by_hand_says_that_calcium_is_short_beside_phosphorus() -> None:
    need = w.Need(20, 12 * 0.5 + 8 * 0.83, 1.6)
    farm = replace(
        FARM,
        lots=(GRASS,),
        feeds=(MIDDLINGS,),
        groups=(replace(BULLS, need=need),),
        minerals=(LIME,),
        min_ca_p=1.5,
        min_hay_pct=60,
    )
    rows = tuple(r for r in w.plan(farm).rows if r.kind != "mineral")
    assert [f.what for f in w.remeasure(farm, rows).failures] == ["calcium short beside phosphorus"]


def test_no_more_of_a_mineral_than_is_eaten() -> None:
    rows = w.plan(replace(FARM, lots=(GRASS,), feeds=(), minerals=(LIME,), min_ca_p=1.5)).rows
    over = (*rows, replace(rows[0], name="limestone", kind="mineral", lb_head_day=0.6))
    farm = replace(FARM, lots=(GRASS,), feeds=(), minerals=(LIME,), min_ca_p=1.5)
    assert "limestone over its limit" in {f.what for f in w.remeasure(farm, over).failures}


def test_a_feed_without_minerals_is_asked_for_them_where_they_count() -> None:
    with pytest.raises(BadInput, match='ca_pct of "corn" is blank'):
        w.plan(replace(FARM, lots=(GRASS,), feeds=(CORN,), min_ca_p=1.5))


# --- the floor of appetite


def test_cattle_are_kept_full_unless_something_else_is_said() -> None:
    """Hay at 90 %: 10 lb of TDN would be met by 11.1 lb of it; she gets 95 % of her 20 lb."""
    rich = replace(HAY, tdn_pct=90, cp_pct=15)
    farm = w.Farm((rich,), (), (), (BULLS,), FARM.start, FARM.turnout, 100)
    assert farm.min_intake_pct == 95
    assert w.plan(farm).balances[0].dm_lb == pytest.approx(19)
    assert w.plan(replace(farm, min_intake_pct=60)).balances[0].dm_lb == pytest.approx(12)
    own = replace(farm, groups=(replace(BULLS, min_intake_pct=70),))
    assert w.plan(own).balances[0].dm_lb == pytest.approx(14)


def test_limit_fed_cattle_get_no_grain_and_no_hay_that_nitrate_holds_back() -> None:
    """Both are the cheapest there is; below 95 % of appetite neither is fed, at 95 % both are."""
    held = replace(HAY, name="windrow", value_per_ton=1, max_pct_pregnant=50, max_pct_others=50)
    corn = replace(CORN, price_per_ton=1, grain=True)
    for pct, fed in ((94.9, {"meadow"}), (95, {"meadow", "windrow", "corn"})):
        farm = replace(FARM, lots=(HAY, held), feeds=(corn,), min_intake_pct=pct, max_intake_pct=110)
        for plan in (w.plan(farm),):
            assert {r.name for r in plan.rows} == fed
        assert "corn" not in {r.name for r in w.plain_plan(farm).rows}, "nothing is short"
    rows = tuple(replace(r, name="corn", kind="feed", lb_head_day=1.0) for r in w.plan(farm).rows[:1])
    assert "corn over its limit" in {f.what for f in w.remeasure(replace(farm, min_intake_pct=90), rows).failures}


# --- feeders


def test_hay_is_wasted_at_the_lots_own_feeder_unless_the_group_names_one() -> None:
    lot = replace(HAY, feeding_loss_pct=5)
    for loss, eaten in ((None, 0.8 * 0.95), (20, 0.8 * 0.8)):
        farm = replace(FARM, lots=(lot,), groups=(replace(BULLS, feeding_loss_pct=loss),))
        (row,) = w.plan(farm).rows
        assert row.lb_head_day == pytest.approx(20 / eaten)
    with pytest.raises(BadInput, match='feeding_loss_pct of "meadow" is blank'):
        w.plan(replace(FARM, groups=(replace(BULLS, feeding_loss_pct=None),)))


# --- weaning

COWS = w.Group("cows", 50, 1200, 20, dt.date(2025, 6, 1), 20, 85, 5)


def tdn(month: float, milk: float = 20) -> float:
    return float(hayfuncs.daily_need("TDN", 1152, month, milk, 85))


def needs(weaning: dt.date | None, months: int = 8) -> list[float]:
    farm = replace(FARM, groups=(replace(COWS, weaning_date=weaning),), start=dt.date(2025, 9, 1))
    farm = replace(farm, turnout=farm.start + dt.timedelta(days=30 * months))
    return [need.tdn_lb for need in w.needs_of(farm)[0]]


def test_milk_stops_on_the_weaning_date_and_not_before() -> None:
    """Calved on 1 June.  Weaned on 20 January she is in milk to the end of January, then dry."""
    found = needs(dt.date(2026, 1, 20))
    dry = [tdn((dt.date(2026, m, 15) - COWS.calving_date).days * 12 / 365) for m in (2, 3, 4)]
    assert found[5:8] == pytest.approx(dry, rel=0.01)
    for month, need in zip((12, 1), found[3:5], strict=True):
        assert need == pytest.approx(tdn(6)), month
    early = needs(dt.date(2025, 10, 1))
    assert early[0] == found[0]
    assert early[1] == pytest.approx(tdn(4.5, milk=0), rel=0.01), "weaned in the fifth month: dry from then on"
    assert early[1] < 0.9 * found[1]


def test_without_a_weaning_date_she_counts_as_in_milk_to_the_end() -> None:
    found, weaned = needs(None, 9), needs(dt.date(2025, 12, 1), 9)
    assert min(found[3:]) >= tdn(6) - 1e-9
    assert found[:3] == pytest.approx(weaned[:3])
    assert found[4] > 1.1 * weaned[4]
    assert found[-1] == pytest.approx(max(tdn(6), weaned[-1]))


def test_the_weaning_date_may_be_of_any_year() -> None:
    assert needs(dt.date(2031, 1, 20)) == pytest.approx(needs(dt.date(2026, 1, 20)), rel=2e-3)


@pytest.mark.parametrize("peak", [8, 20, 30])
def test_no_month_is_planned_below_the_mean_of_its_days_whenever_she_is_weaned(peak: int) -> None:
    start = dt.date(2026, 1, 1)
    for weaned in (100, 182, 240):
        groups = tuple(
            w.Group(f"{d}", 1, 1250, 0, start - dt.timedelta(days=d), peak, 85, 5, weaning_date=start + dt.timedelta(days=weaned - d))
            for d in range(0, 365, 5)
        )  # fmt: skip
        made = replace(FARM, groups=groups, turnout=dt.date(2026, 2, 1))
        for (need,), group in zip(w.needs_of(made), groups, strict=True):
            days = [(int(group.name) + day) % 365 or 365 for day in range(31)]
            mean = np.mean([hayfuncs.daily_need("TDN", 1200, min(d, 182) * 12 / 365 if d < weaned and d > 182 else d * 12 / 365, peak if d < weaned else 0, 85) for d in days])  # fmt: skip
            assert need.tdn_lb >= 0.989 * mean, (group.name, weaned)


def test_growing_cattle_are_fed_for_the_weight_that_they_have_by_then() -> None:
    """540 lb on Dec 1 and 1.25 lb a day: 578 lb on Jan 1, 598 lb by the middle of January; grown is grown."""
    calves = CALVES
    farm = replace(FARM, groups=(calves,), start=dt.date(2026, 12, 1), turnout=dt.date(2027, 5, 1))
    periods = farm.periods()
    first, middle = (
        [weight_lb(farm, calves, day) for day in days]
        for days in ([p.first.toordinal() for p in periods], [p.middle for p in periods])
    )
    assert first == [540, 540 + 38, 540 + 77, 540 + 112, 540 + 151]  # 31, 62, 90 and 121 days
    assert middle == [540 + 19, 540 + 58, 540 + 95, 540 + 131, 540 + 170]
    (needs,) = w.needs_of(farm)
    for need, pounds in zip(needs, middle, strict=True):
        asked = hayfuncs.growing_need(
            "TDN", "heifer calf", pounds * (1 - farm.shrink_pct / 100), 1.25, 1250 * (1 - farm.shrink_pct / 100)
        )
        assert need.tdn_lb == pytest.approx(asked)
    assert weight_lb(farm, replace(calves, grown_weight_lb=600), periods[4].middle) == 600
    assert weight_lb(farm, replace(BULLS, body_weight_lb=1900), periods[4].middle) == 1900  # it brings its own need


def test_their_grain_is_held_to_their_weight_as_a_month_begins() -> None:
    calves = CALVES
    farm = replace(
        FARM, groups=(calves,), lots=(replace(HAY, tons=200.0, tdn_pct=56.0, cp_pct=14.0),), feeds=(replace(CORN, price_per_ton=10.0, max_lb=50.0, max_pct_bw=100.0, grain=True),), max_grain_pct_bw=0.5,
        start=dt.date(2026, 12, 1), turnout=dt.date(2027, 2, 1),
    )  # fmt: skip
    plan = w.plan(farm)
    fed = {r.period: r.lb_head_day for r in plan.rows if r.name == CORN.name}
    assert fed == {
        p.label: pytest.approx(0.005 * pounds, abs=1e-6) for p, pounds in zip(farm.periods(), (540, 578), strict=True)
    }
