"""Limits of the winter plan that protect the cow: a lot's most share of the diet, and all grain together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest
import winterlib
from hypothesis import given, settings
from hypothesis import strategies as st
from winterlib import BULLS, CORN, FARM, HAY, farm_of

from hayfuncs.contract.errors import OutOfRange
from hayfuncs.winter import solve as w

AGREE = 1e-6  # of the cost


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("limits", [False, True])
def test_same_optimum_as_scipy(seed: int, limits: bool) -> None:
    made = farm_of(seed, nitrate=True, limits=limits)
    plan, wanted = w.plan(made), winterlib.direct(made)
    if wanted.status == 2:
        assert not plan.feasible
        return
    assert plan.feasible
    assert winterlib.faults(made, plan) == []
    assert plan.cost == pytest.approx(wanted.fun, rel=AGREE, abs=1e-3)
    assert plan.dual_bound == pytest.approx(wanted.fun, rel=AGREE, abs=1e-3)


def test_the_limits_bind_on_some_of_these_farms() -> None:
    dearer = grain = feasible = 0
    for seed in (3, 7, 8, 13, 18):
        made = farm_of(seed, nitrate=True)
        open_lots = tuple(replace(lot, max_pct_pregnant=100.0, max_pct_others=100.0) for lot in made.lots)
        held, free = w.plan(made), w.plan(replace(made, lots=open_lots))
        feasible += held.feasible
        if held.feasible:
            assert free.feasible
            assert held.cost >= free.cost * (1 - AGREE)
            dearer += held.cost > free.cost + 1
            feeds = tuple(replace(feed, price_per_ton=60) if feed.grain else feed for feed in made.feeds)
            cheap = replace(made, feeds=feeds, max_intake_pct=120, min_intake_pct=95)
            loose = w.plan(replace(cheap, max_grain_pct_bw=100.0))
            grain += w.plan(cheap).cost > loose.cost + 1
    assert feasible == 5
    assert dearer >= 3
    assert grain >= 2


@settings(max_examples=15)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_plain_rule_keeps_the_limits_or_says_that_it_does_not(seed: int) -> None:
    made = farm_of(seed, nitrate=True)
    best, plain = w.plan(made), w.plain_plan(made)
    for plan in (best, plain):
        assert bool(winterlib.faults(made, plan)) == (not plan.feasible)
        said = {f.what for f in plan.failures}
        broken = {
            name.split("share of ")[1].rsplit(" ", 1)[0]
            for name in winterlib.faults(made, plan)
            if "share of lot" in name
        }
        assert {f"{name} over its most share of the diet" for name in broken} <= said
    if plain.feasible:
        assert best.cost <= plain.cost * (1 + AGREE) + 1e-3


NITRATE = w.Lot("windrow", 100, 80, 50, 8, 10, 30, max_pct_pregnant=25, max_pct_others=50)


def test_half_of_the_diet_by_hand() -> None:
    """20 lb DM of both hays alike; the cheaper may be half: 10 lb DM each, 10 / 0.8 / 0.8 = 15.625 lb put out."""
    both = replace(FARM, lots=(HAY, NITRATE), groups=(replace(BULLS, in_calf=False),))
    fed = {r.name: r.lb_head_day for r in w.plan(both).rows}
    assert fed == {"windrow": pytest.approx(15.625), "meadow": pytest.approx(15.625)}
    pregnant = {r.name: r.lb_head_day for r in w.plan(replace(both, groups=(BULLS,))).rows}
    assert pregnant == {"windrow": pytest.approx(7.8125), "meadow": pytest.approx(23.4375)}, "not said: in calf"
    plain = {r.name: r.lb_head_day for r in w.plain_plan(replace(both, lots=(NITRATE, HAY))).rows}
    assert plain == {"windrow": pytest.approx(15.625), "meadow": pytest.approx(15.625)}


def test_a_share_passed_by_hand_is_said() -> None:
    both = replace(FARM, lots=(HAY, NITRATE))
    rows = tuple(replace(r, lb_head_day=15.625) for r in w.plan(both).rows)
    # half where a quarter is allowed: 10 - 5 = 5 lb of dry matter a head and a day too much, twice what is allowed
    assert [failure.words() for failure in w.remeasure(both, rows).failures] == [
        "bulls, Jan 2026: windrow over its most share of the diet by 5 lb a head a day",
        "bulls, Jan 2026: nitrate of all hays together over what is allowed by 100 % of it",
    ]


def test_hay_with_a_share_is_not_fed_beside_other_hay() -> None:
    """Separate bales are not a mixed diet: the cheaper hay at a quarter is not fed at all, to open cattle neither."""
    for group in (BULLS, replace(BULLS, in_calf=False)):
        farm = replace(FARM, lots=(HAY, NITRATE), groups=(group,), hay_is_mixed=False)
        for made in (w.plan(farm), w.plain_plan(farm)):
            assert {r.name for r in made.rows} == {"meadow"}
    rows = tuple(replace(r, name="windrow", lb_head_day=1.0) for r in w.plan(farm).rows)
    assert "windrow over its most share of the diet" in {f.what for f in w.remeasure(farm, rows).failures}
    open_to_others = replace(NITRATE, max_pct_others=100)
    farm = replace(FARM, lots=(HAY, open_to_others), groups=(replace(BULLS, in_calf=False),), hay_is_mixed=False)
    assert {r.name for r in w.plan(farm).rows} == {"windrow"}, "safe as their whole diet"


WINDROWS = tuple(replace(NITRATE, name=f"windrow {i}") for i in range(4))


@pytest.mark.parametrize("solve", [w.plan, w.plain_plan])
def test_hays_with_nitrate_count_together_by_hand(solve: Callable[[w.Farm], w.WinterPlan]) -> None:
    """Four hays of one test, each at most a quarter: all of them together a quarter, 5 of 20 lb DM, not all of it."""
    better = tuple(replace(lot, tdn_pct=51) for lot in WINDROWS)  # the plain rule feeds the better hay first
    dry = {r.name: r.lb_head_day * 0.64 for r in solve(replace(FARM, lots=(HAY, *better))).rows}
    assert dry.pop("meadow") == pytest.approx(15)
    assert sum(dry.values()) == pytest.approx(5)


def test_hays_of_unlike_tests_share_what_is_allowed() -> None:
    """2.5 lb of hay held to a quarter (5 lb) use up half of what is allowed; hay held to a half (10 lb) may then be 5."""
    little = replace(
        WINDROWS[0], tons=2.5 / 0.64 / 10 / 0.9, value_per_ton=1
    )  # 2.5 lb DM, waste and storage loss in it
    half = replace(WINDROWS[1], max_pct_pregnant=50)
    for solve in (w.plan, w.plain_plan):
        lots = (replace(little, tdn_pct=52), replace(half, tdn_pct=51), HAY)
        dry = {r.name: r.lb_head_day * 0.64 for r in solve(replace(FARM, lots=lots)).rows}
        assert dry == {
            "windrow 0": pytest.approx(2.5),
            "windrow 1": pytest.approx(5),
            "meadow": pytest.approx(12.5),
        }


def test_nitrate_of_several_hays_changed_by_hand_is_said() -> None:
    """A quarter of the diet of each of four hays: each within its share, together four times what is allowed."""
    farm = replace(FARM, lots=(HAY, *WINDROWS))
    row = next(r for r in w.plan(farm).rows if r.name == "meadow")
    rows = tuple(replace(row, name=lot.name, lb_head_day=7.8125) for lot in WINDROWS)
    (failure,) = w.remeasure(farm, rows).failures
    assert failure.words() == ("bulls, Jan 2026: nitrate of all hays together over what is allowed by 300 % of it")


def test_hay_for_sale_is_held_by_its_nitrate_together_with_own_hay() -> None:
    offer = w.HayForSale("offered", 10, 80, 50, 8, max_pct_pregnant=25, max_pct_others=50)
    farm = replace(FARM, lots=(HAY, NITRATE), for_sale=(offer,))
    fed = {r.name: r.lb_head_day * 0.64 for r in w.plan(farm).rows}
    assert fed == {"meadow": pytest.approx(15), "offered": pytest.approx(5)}, "the cheapest has all of what is allowed"
    barred = replace(farm, for_sale=(replace(offer, max_pct_pregnant=0),))
    assert {r.name for r in w.plan(barred).rows} == {"meadow", "windrow"}


def test_hay_that_nobody_may_eat_is_left_and_a_winter_without_other_hay_is_short() -> None:
    barred = replace(NITRATE, max_pct_pregnant=0, max_pct_others=0)
    assert {r.name for r in w.plan(replace(FARM, lots=(HAY, barred))).rows} == {"meadow"}
    alone = w.plan(replace(FARM, lots=(barred,), feeds=()))
    assert not alone.feasible
    assert "windrow" not in {r.name for r in alone.rows}
    assert "windrow" not in {r.name for r in w.plain_plan(replace(FARM, lots=(barred,))).rows}


def test_all_grain_together_by_hand() -> None:
    """Bulls of 1,800 lb: 0.5 % is 9 lb of all grain a day, whatever each grain's own limit."""
    poor = replace(HAY, tdn_pct=30)
    grains = (replace(CORN, grain=True, max_lb=6), w.Feed("barley", 210, 100, 89, 8, max_lb=6, grain=True))
    made = replace(FARM, lots=(poor,), feeds=grains, groups=(replace(BULLS, need=w.Need(20, 12, 1.6)),))
    short = w.plan(made)
    fed = {r.name: r.lb_head_day for r in short.rows}
    assert fed["corn"] + fed["barley"] == pytest.approx(9)
    assert [f.what for f in short.failures] == ["TDN short"]
    # 6 x 0.90 + 3 x 0.89 + 11 lb of hay x 0.30 = 11.37: corn to its own limit, barley for the rest
    more = w.plan(replace(made, groups=(replace(BULLS, need=w.Need(20, 11.3699, 1.6)),)))
    assert more.feasible
    much = tuple(replace(r, lb_head_day=6.0) if r.name in ("corn", "barley") else r for r in more.rows)
    said = [f.words() for f in w.remeasure(made, much).failures]
    assert "bulls, Jan 2026: grain, all together, over its limit by 3 lb a head a day" in said


@pytest.mark.parametrize(
    ("calved", "season", "in_calf"),
    [
        (dt.date(2025, 12, 31), 0, False),  # days 1 to 20 after calving
        (dt.date(2026, 1, 1), 0, True),  # the day of calving itself
        (dt.date(2026, 1, 21), 0, True),  # the last day before it
        (dt.date(2025, 10, 27), 0, False),  # days 66 to 85
        (dt.date(2025, 10, 26), 0, True),  # day 86: conceived again
        (dt.date(2025, 12, 1), 60, False),  # days 31 to 50: the last cow calved on day 30, the first conceives after 55
        (dt.date(2025, 12, 2), 60, True),  # day 30: the last cow calves
        (dt.date(2025, 11, 26), 60, False),  # days 36 to 55
        (dt.date(2025, 11, 25), 60, True),  # day 56
        (dt.date(2024, 12, 1), 60, False),  # a calf every 365 days: days 31 to 50 again, of the year before
        (dt.date(2026, 12, 1), 60, False),
    ],
)
def test_when_a_group_is_in_calf(calved: dt.date, season: float, in_calf: bool) -> None:
    """The period is 1 to 20 January 2026."""
    cows = w.Group("cows", 10, 1200, 20, calved)
    made = replace(FARM, groups=(cows,), calving_season_days=season)
    (period,) = made.periods()
    assert w.in_calf(made, cows, period) is in_calf
    assert w.in_calf(made, replace(cows, in_calf=not in_calf), period) is not in_calf
    assert winterlib.most_share(made, NITRATE, cows, period) == (25 if in_calf else 50)


def test_shares_outside_0_to_100_are_refused() -> None:
    with pytest.raises(OutOfRange, match="max_pct_pregnant of lot"):
        w.plan(replace(FARM, lots=(replace(HAY, max_pct_pregnant=120),)))
    with pytest.raises(OutOfRange, match="max_grain_pct_bw"):
        w.plan(replace(FARM, max_grain_pct_bw=-1))
