"""What a group of cows needs in each period of the winter, and whether it may be in calf then."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from hayfuncs.contract.units import DAYS_PER_YEAR, LB_PER_TON, MONTHS_PER_YEAR
from hayfuncs.cow.requirement_model import CONCEPTION_DAY, WEANING_MONTH, daily_need
from hayfuncs.cow.requirements import shrunk_weight
from hayfuncs.winter.problem import Farm, Group, Need, Period

FIRST_MONTH, LAST_MONTH = 1, 12  # the ends of the first month after calving, and of the cow's year


def months_since_calving(calving: dt.date, period: Period) -> float:
    """Months from calving to the middle of the period, above 0 to 12; a cow calves every 365 days."""
    days = (period.middle - calving.toordinal()) % DAYS_PER_YEAR
    return (days or DAYS_PER_YEAR) * MONTHS_PER_YEAR / DAYS_PER_YEAR


def month_read(months: float, nursing: bool, tdn_of: Callable[[float], float]) -> float:
    """The month since calving that a period's need is read for, where its middle is at `months`.

    The need jumps down at calving (the calf is gone, milk only begins), and a month read just behind
    would be planned for at its lowest day.  So the first month after calving is read as its end or as
    the day before calving, by which TDN need is the larger.  The tables end milk after month 6: a cow
    that still nurses then is read as on that last day in milk, or as at her own month, whichever asks
    for more.  The need of TDN and protein is then not below the mean of the period's days (in the month
    of conception up to 1.1 % below, 2.6 % for a cow without milk, where the intake equation steps).
    """
    if months < FIRST_MONTH:
        return max((LAST_MONTH, FIRST_MONTH), key=tdn_of)
    return max((WEANING_MONTH, months), key=tdn_of) if nursing and months > WEANING_MONTH else months


def is_nursing(group: Group, period: Period) -> bool:
    """Whether the calves are on their mothers on the first day of the period; all year without a weaning date."""
    if group.weaning_date is None or group.calving_date is None:
        return True
    calving = group.calving_date.toordinal()
    weaned = (group.weaning_date.toordinal() - calving) % DAYS_PER_YEAR or DAYS_PER_YEAR
    return (period.first.toordinal() - calving) % DAYS_PER_YEAR < weaned


def in_calf(farm: Farm, group: Group, period: Period) -> bool:
    """Whether some cow of the group may be in calf on some day of the period.

    By the requirement equations a cow is in calf until she calves, and again after day 85.  The
    calving date is the middle of the season, so the last cow calves half a season later and the
    first one conceives half a season sooner: only a period that lies wholly between the two counts
    as open.  A group without a calving date counts as in calf unless it says that it is not.
    """
    if group.in_calf is not None:
        return group.in_calf
    if group.calving_date is None:
        return True
    first = (period.first.toordinal() - group.calving_date.toordinal()) % DAYS_PER_YEAR
    half = farm.calving_season_days / 2
    return not (first > half and first + period.days - 1 <= CONCEPTION_DAY - half)


def needs_of(farm: Farm) -> tuple[tuple[Need, ...], ...]:
    """The need of every group (rows) in every period (columns), a head and a day, by DAILY_NEED."""
    table: list[tuple[Need, ...]] = []
    for group in farm.groups:
        row: list[Need] = []
        for period in farm.periods():
            need = group.need or _cows_need(group, period, farm.shrink_pct)
            more = 1 + farm.more_energy_pct.get(period.month, 0.0) / 100
            row.append(replace(need, tdn_lb=need.tdn_lb * more))
        table.append(tuple(row))
    return tuple(table)


def _cows_need(group: Group, period: Period, shrink_pct: float) -> Need:
    assert group.calving_date is not None
    weight = shrunk_weight(group.body_weight_lb, shrink_pct)

    months, nursing = months_since_calving(group.calving_date, period), is_nursing(group, period)
    milk = group.peak_milk_lb if nursing or months < FIRST_MONTH else 0.0

    def a_day(nutrient: str, month: float) -> float:
        return float(daily_need(nutrient, weight, month, milk, group.calf_weight_lb))

    month = month_read(months, nursing, lambda month: a_day("TDN", month))
    return Need(*(a_day(nutrient, month) for nutrient in ("DM", "TDN", "CP", "Ca", "P")))


def head_tons(group: Group, period: Period) -> float:
    """Tons for the whole group and period in 1 lb a head and a day."""
    return group.head * period.days / LB_PER_TON
