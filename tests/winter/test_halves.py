"""Months in two halves: which months, by hand, and the plan of such a winter against the model written directly."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
import winterlib
from winterlib import BULLS, FARM

from hayfuncs.winter import solve as w
from hayfuncs.winter.problem import periods_between
from hayfuncs.winter.requirements import months_since_calving, needs_of

START, TURNOUT = dt.date(2026, 11, 3), dt.date(2027, 4, 20)
COWS = replace(BULLS, name="cows", need=None, body_weight_lb=1250, peak_milk_lb=20, calving_date=dt.date(2027, 3, 22))


def labels(*turns: dt.date, start: dt.date = START, turnout: dt.date = TURNOUT) -> list[str]:
    return [period.label for period in periods_between(start, turnout, turns)]


def test_a_month_in_which_a_date_of_any_year_falls_is_halved() -> None:
    whole = ["Nov 2026", "Dec 2026", "Jan 2027", "Feb 2027", "Mar 2027", "Apr 2027"]
    halved = [*whole[:4], "Mar 1-15 2027", "Mar 16-31 2027", "Apr 2027"]
    assert labels() == whole
    for year in (2019, 2026, 2027, 2030):
        assert labels(dt.date(year, 3, 22)) == halved
    assert labels(dt.date(2027, 3, 31), dt.date(2027, 3, 2)) == halved
    assert labels(dt.date(2027, 6, 5)) == whole  # on grass
    assert labels(dt.date(2026, 11, 20))[:2] == ["Nov 3-15 2026", "Nov 16-30 2026"]


@pytest.mark.parametrize(
    ("start", "turnout", "wanted"),
    [
        (dt.date(2027, 3, 9), TURNOUT, "Mar 9-15 2027"),  # seven days
        (dt.date(2027, 3, 10), TURNOUT, "Mar 2027"),  # six
        (dt.date(2027, 3, 1), dt.date(2027, 3, 23), "Mar 1-15 2027"),
        (dt.date(2027, 3, 1), dt.date(2027, 3, 22), "Mar 2027"),
        (dt.date(2027, 3, 16), TURNOUT, "Mar 2027"),
    ],
)
def test_a_half_of_less_than_seven_days_is_none(start: dt.date, turnout: dt.date, wanted: str) -> None:
    assert labels(dt.date(2027, 3, 20), start=start, turnout=turnout)[0] == wanted


def test_the_halves_are_the_same_days_as_the_whole_months() -> None:
    rng = np.random.default_rng(16)
    for _ in range(200):
        start = dt.date(2026, 9, 1) + dt.timedelta(days=int(rng.integers(0, 120)))
        turnout = start + dt.timedelta(days=int(rng.integers(1, 300)))
        turns = [dt.date(2026, 1, 1) + dt.timedelta(days=int(day)) for day in rng.integers(0, 1000, 3)]
        found = periods_between(start, turnout, turns)
        assert found[0].first == start
        assert sum(period.days for period in found) == (turnout - start).days
        ends = [period.first + dt.timedelta(days=period.days) for period in found]
        assert ends == [*(period.first for period in found[1:]), turnout]
        assert len({period.label for period in found}) == len(found)


def test_only_groups_that_calve_have_dates_that_count() -> None:
    weaned = replace(COWS, weaning_date=dt.date(2026, 12, 10))
    calves = replace(COWS, cattle_class="weaned calf", gain_lb=1.2, grown_weight_lb=1250)
    assert [cows.turns() for cows in (COWS, weaned)] == [(COWS.calving_date,), (COWS.calving_date, weaned.weaning_date)]
    assert [cows.turns() for cows in (calves, BULLS, replace(weaned, calving_date=None))] == [(), (), ()]
    farm = replace(FARM, groups=(weaned,), start=START, turnout=TURNOUT)
    assert len(farm.periods()) == 6
    assert len(replace(farm, in_halves=True).periods()) == 8


def test_each_half_has_the_need_of_its_own_stage() -> None:
    farm = replace(FARM, groups=(COWS,), start=START, turnout=TURNOUT, in_halves=True)
    before, after = (period for period in farm.periods() if period.label.startswith("Mar"))
    assert months_since_calving(dt.date(2027, 3, 22), before) > 11
    assert months_since_calving(dt.date(2027, 3, 22), after) < 1
    need = dict(zip((period.label for period in farm.periods()), needs_of(farm)[0], strict=True))
    whole = needs_of(replace(farm, in_halves=False))[0][4]
    assert need[before.label].tdn_lb <= whole.tdn_lb < need[after.label].tdn_lb


@pytest.mark.parametrize("seed", [5, 8, 11])
def test_same_optimum_as_scipy_where_months_are_halved(seed: int) -> None:
    made = replace(winterlib.farm_of(seed, months=5, plenty=2.0), in_halves=True)
    assert len(made.periods()) > len(replace(made, in_halves=False).periods())
    plan, wanted = w.plan(made), winterlib.direct(made)
    assert plan.feasible
    assert wanted.status == 0
    assert winterlib.faults(made, plan) == []
    assert plan.cost == pytest.approx(wanted.fun, rel=1e-6, abs=1e-3)
