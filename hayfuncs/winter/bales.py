"""Whole bales on whole days: how often each group is fed, and which feedings belong to which period.

A group is fed every so many days, the same all winter, counted from the first day: a neighbor can keep to
that.  Periods end when months do, feedings do not, so a feeding that lasts across the end of a period is
given as in the period that asks for more TDN: the group is never fed by the lower need too early or too long.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from hayfuncs.winter.model import Source
from hayfuncs.winter.problem import Farm, HayForSale, Lot, Need, Period


@dataclass(frozen=True)
class Feeding:
    """Hay for `days` days, put out on `day`, as in the period of that number."""

    day: dt.date
    days: int
    period: int


def feedings(periods: Sequence[Period], needs: Sequence[Need], every: int) -> tuple[Feeding, ...]:
    """All feedings of one group that is fed every so many days; the last one may be for fewer days."""
    of_day = [p for p, period in enumerate(periods) for _ in range(period.days)]
    found: list[Feeding] = []
    for at in range(0, len(of_day), every):
        touched = of_day[at : at + every]
        period = max(touched, key=lambda p: (needs[p].tdn_lb, -p))
        found.append(Feeding(periods[0].first + dt.timedelta(days=at), len(touched), period))
    return tuple(found)


def counts(periods: Sequence[Period], needs: Sequence[Need], every: int) -> tuple[int, ...]:
    """Feedings given as in each period."""
    given = [f.period for f in feedings(periods, needs, every)]
    return tuple(given.count(p) for p in range(len(periods)))


def bale_put_out_lb(source: Source) -> float | None:
    """What a bale weighs when it is fed: as stored, less what is lost in store; None where bales are not fed whole."""
    if not isinstance(source, (Lot, HayForSale)) or source.bale_lb is None:
        return None
    return source.bale_lb * (1 - source.storage_loss_pct / 100)


def may_be_fed_thrice_a_week(
    farm: Farm, name: str, nursing: bool, condition_score: float, lb: float, weight_lb: float
) -> bool:
    """Whether a feed's week may be given on three days.

    Natural protein only, to grown cows that are neither thin nor in milk, up to what they clean up at once.
    """
    feed = next((f for f in farm.feeds if f.name == name), None)
    if feed is None or feed.grain or nursing or condition_score < THIN_BELOW or feed.cp_pct < PROTEIN_FROM_PCT:
        return False
    return lb * DAYS_A_WEEK / TIMES_A_WEEK <= min(MOST_AT_ONCE_LB, MOST_AT_ONCE_PCT_BW / 100 * weight_lb)


DAYS_A_WEEK, TIMES_A_WEEK = 7, 3
THIN_BELOW = 5.0  # condition score (common practice, no source)
PROTEIN_FROM_PCT = 20.0  # % DM: with less it is fed for energy, each day (common practice, no source)
MOST_AT_ONCE_LB = 6.0  # a head at one feeding: 5 to 6 lb, or 0.4 % of body weight (common practice, no source)
MOST_AT_ONCE_PCT_BW = 0.4
