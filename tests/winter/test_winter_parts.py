"""Months, needs, progress and refusals of the winter plan."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import pytest
from winterlib import BULLS, CORN, FARM, HAY, farm_of

import hayfuncs
from hayfuncs.contract.errors import BadInput, HayError, OutOfRange
from hayfuncs.winter import linear
from hayfuncs.winter import solve as w

AGREE = 1e-6  # of the cost


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
    cows = w.Group("cows", 50, 1250, 20, dt.date(2026, 3, 1), 20, 85, 5, weaning_date=dt.date(2026, 9, 1))
    made = replace(FARM, groups=(cows, BULLS), more_energy_pct={1: 10.0})
    (need,), (bulls,) = w.needs_of(made)
    stage = (365 - 49) * 12 / 365
    cow = (1200, stage, 20, 85)  # 1,250 lb less 4 % shrink
    assert need.dm_lb == pytest.approx(hayfuncs.daily_need("DM", *cow))
    assert need.tdn_lb == pytest.approx(hayfuncs.daily_need("TDN", *cow) * 1.1)
    assert need.cp_lb == pytest.approx(hayfuncs.daily_need("CP", *cow))
    assert bulls == w.Need(20, 11, 1.6)
    table = ((w.Need(20, 10, 1.6),), (w.Need(20, 10, 1.6),))
    assert w.plan(made, needs=table).cost == pytest.approx(187.5 * 6)
    with pytest.raises(BadInput, match="needs is a table of another size"):
        w.plan(made, needs=table[:1])


@pytest.mark.parametrize(
    ("months", "peak", "read"),
    [
        (0.02, 20, 1),  # with 20 lb of milk the end of the first month asks for more than the day before calving
        (0.99, 20, 1),
        (0.5, 8, 12),  # with 8 lb of milk it is the calf that asks for more
        (0.5, 0, 12),
        (1, 20, 1),
        (1.01, 20, 1.01),
        (6, 20, 6),
        (6.01, 20, 6.01),
        (11.99, 20, 11.99),
        (12, 20, 12),
    ],
)
def test_a_month_just_behind_calving_is_not_read_at_its_lowest_day(months, peak, read) -> None:
    assert w.month_read(months, False, lambda m: hayfuncs.daily_need("TDN", 1152, m, peak, 85)) == read


@pytest.mark.parametrize(
    ("months", "peak", "read"), [(5.9, 20, 5.9), (6.01, 20, 6), (9, 20, 6), (12, 30, 6), (12, 20, 12)]
)
def test_a_cow_that_still_nurses_is_read_in_milk_or_at_her_own_month_whichever_asks_for_more(
    months, peak, read
) -> None:
    assert w.month_read(months, True, lambda m: hayfuncs.daily_need("TDN", 1152, m, peak, 85)) == read


def test_january_with_calving_on_the_16th_is_fed_no_less_than_its_days_ask_for() -> None:
    """The middle is the evening of the calving day: by it alone 11.3 lb of TDN, where the days ask for 13.2 in the mean."""
    cows = w.Group("cows", 50, 1200, 20, dt.date(2026, 1, 16), 20, 85, 5)
    made = replace(FARM, groups=(cows,), turnout=dt.date(2026, 2, 1))
    ((need,),) = w.needs_of(made)
    days = [(dt.date(2026, 1, day) - dt.date(2026, 1, 16)).days % 365 or 365 for day in range(1, 32)]
    for nutrient, given in (("TDN", need.tdn_lb), ("CP", need.cp_lb)):
        asked = [float(hayfuncs.daily_need(nutrient, 1152, day * 12 / 365, 20, 85)) for day in days]
        assert min(asked) < 0.9 * sum(asked) / 31
        assert given >= sum(asked) / 31
    assert need.tdn_lb == pytest.approx(hayfuncs.daily_need("TDN", 1152, 1, 20, 85))


@pytest.mark.parametrize("peak", [8, 15, 20, 30, 40])
def test_no_month_of_the_year_is_planned_below_the_mean_of_its_days(peak) -> None:
    """Every place of a month in the cow's year.  1 % below it is where she conceives in it: the intake equation steps."""
    start = dt.date(2026, 1, 1)
    groups = tuple(
        w.Group(
            f"{days}",
            1,
            1250,
            0,
            start - dt.timedelta(days=days),
            peak,
            85,
            5,
            weaning_date=start + dt.timedelta(days=183 - days),
        )
        for days in range(0, 365, 3)
    )
    for (need,), group in zip(
        w.needs_of(replace(FARM, groups=groups, turnout=dt.date(2026, 2, 1))), groups, strict=True
    ):
        stage = [((int(group.name) + day) % 365 or 365) * 12 / 365 for day in range(31)]
        for nutrient, given in (("TDN", need.tdn_lb), ("CP", need.cp_lb)):
            mean = hayfuncs.daily_need(nutrient, 1200, stage, peak, 85).mean()
            assert given >= 0.989 * mean, (group.name, nutrient, given, mean)


def test_groups_change_stage_through_the_winter() -> None:
    cows = w.Group("cows", 50, 1250, 15, dt.date(2026, 2, 10), 20, 85, 5, weaning_date=dt.date(2026, 8, 10))
    made = replace(FARM, groups=(cows,), start=dt.date(2025, 12, 1), turnout=dt.date(2026, 5, 1))
    (row,) = w.needs_of(made)
    tdn = [need.tdn_lb for need in row]
    assert tdn[0] < tdn[1]  # late pregnancy
    assert max(tdn) in tdn[3:]  # the peak of milk, after calving
    assert row[-1].cp_lb > row[0].cp_lb


# --- progress and refusals


def test_progress_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(linear, "HEARTBEAT_SECONDS", 0.002)
    said: list[str] = []
    made = farm_of(3, lots=30, groups=6, months=5)
    assert w.plan(made, progress=said.append) == w.plan(made)
    assert said[0] == "working out the needs"
    assert said[1].startswith("looking for the cheapest plan: ")
    assert said[-1] == "writing the plan out"
    assert len(said) > 3, "the solver at work is heard of"


def test_progress_says_when_needs_cannot_be_met() -> None:
    said: list[str] = []
    plan = w.plan(replace(FARM, lots=(replace(HAY, tons=0.5),), feeds=(replace(CORN, tons=0.5),)), progress=said.append)
    assert not plan.feasible
    told = " ".join(said)
    assert "not every need can be met; looking for the least shortfall" in told
    assert "looking for the cheapest plan with that shortfall" in told


def test_an_error_in_the_solver_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: object, **kwargs: object) -> None:
        raise MemoryError("no room")

    monkeypatch.setattr("hayfuncs.leastcost.highs.solved", broken)
    for progress in (None, lambda line: None):
        with pytest.raises(OutOfRange, match="more than the solver can do") as told:
            w.plan(FARM, progress=progress)
        assert isinstance(told.value.__cause__, MemoryError)


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
    (
        {"feeds": (replace(CORN, name="urea 45", cp_pct=281),)},
        OutOfRange,
        'cp_pct of feed "urea 45" is 281 % DM; allowed: 0 to 100 % DM: what has more is urea',
    ),
    ({"max_intake_pct": 0}, OutOfRange, "max_intake_pct of the farm is 0 %"),
]


@pytest.mark.parametrize(("change", "error", "says"), BAD, ids=lambda v: v[:30] if isinstance(v, str) else "")
def test_refusals_name_the_value(change: dict[str, object], error: type[HayError], says: str) -> None:
    bad = replace(FARM, **change)
    for call in (w.plan, w.plain_plan):
        with pytest.raises(error) as caught:
            call(bad)
        assert str(caught.value).startswith(f"the winter plan: {says}")
