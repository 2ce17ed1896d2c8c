"""What a group of cattle needs in each period of the winter, by its class, and whether it may be in calf then."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import replace

from hayfuncs.contract.units import DAYS_PER_YEAR, LB_PER_TON, MONTHS_PER_YEAR
from hayfuncs.cow.body_condition import condition_weight, need_for_condition
from hayfuncs.cow.classes import BRED, CALVING, COW, FIRST_CALF, GROWING, own_milk_lb, usual_gain_lb
from hayfuncs.cow.growth_need import growing_need
from hayfuncs.cow.heifer_need import heifer_need
from hayfuncs.cow.requirement_model import CONCEPTION_DAY, WEANING_MONTH, daily_need
from hayfuncs.cow.requirements import shrunk_weight
from hayfuncs.winter.problem import Farm, Group, Need, Period

NEEDED = ("DM", "TDN", "CP", "Ca", "P")  # in the order of Need
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
    if group.cattle_class in GROWING:
        return False
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
    if group.cattle_class in GROWING:
        return False
    if group.calving_date is None:
        return True
    first = (period.first.toordinal() - group.calving_date.toordinal()) % DAYS_PER_YEAR
    half = farm.calving_season_days / 2
    return not (first > half and first + period.days - 1 <= CONCEPTION_DAY - half)


def needs_of(farm: Farm) -> tuple[tuple[Need, ...], ...]:
    """The need of every group (rows) in every period (columns), a head and a day, by the function of its class."""
    table: list[tuple[Need, ...]] = []
    for group in farm.groups:
        row: list[Need] = []
        for period in farm.periods():
            need = group.need or _need(farm, group, period)
            more = 1 + farm.more_energy_pct.get(period.month, 0.0) / 100
            row.append(replace(need, tdn_lb=need.tdn_lb * more + condition_tdn_lb(farm, group, period, need)))
        table.append(tuple(row))
    return tuple(table)


def weight_lb(farm: Farm, group: Group, day: float) -> float:
    """Full weight on a day, by its number: growing cattle and bulls gain from the first day of feeding until grown.

    Whole pounds gained, so that a limit of a share of body weight has few decimals.  A period's need is read for its
    middle, its limits for its first day, when they weigh least.
    """
    if group.cattle_class not in GROWING or group.gain_lb is None or group.grown_weight_lb is None:
        return group.body_weight_lb
    gained = math.floor(group.gain_lb * max(0.0, day - farm.start.toordinal()))
    return min(max(group.body_weight_lb, group.grown_weight_lb), group.body_weight_lb + gained)


def _need(farm: Farm, group: Group, period: Period) -> Need:
    weight = shrunk_weight(weight_lb(farm, group, period.middle), farm.shrink_pct)
    if group.cattle_class in GROWING:
        assert group.gain_lb is not None  # check_farm refuses
        its = GROWING[group.cattle_class], weight, group.gain_lb, _grown(farm, group)
        return Need(*(float(growing_need(nutrient, *its)) for nutrient in NEEDED))
    assert group.calving_date is not None
    kind, gain = as_in(farm, group, period)
    months, nursing = months_since_calving(group.calving_date, period), is_nursing(group, period)
    milking = nursing or months < FIRST_MONTH
    milk = own_milk_lb(kind, group.peak_milk_lb) if milking and kind != BRED else 0.0

    def a_day(nutrient: str, month: float) -> float:
        her = weight, month, milk, group.calf_weight_lb
        if kind == COW:
            return float(daily_need(nutrient, *her))
        return float(heifer_need(nutrient, _grown(farm, group), weight, gain, *her[1:]))

    month = month_read(months, nursing and kind != BRED, lambda month: a_day("TDN", month))
    return Need(*(a_day(nutrient, month) for nutrient in NEEDED))


def as_in(farm: Farm, group: Group, period: Period) -> tuple[str, float]:
    """The class that a group counts as in a period, and the gain of her own.

    A bred heifer that has calved by the middle of the period is a first-calf cow, with such a cow's usual gain.
    """
    if group.cattle_class not in CALVING:
        return group.cattle_class, 0.0
    assert group.calving_date is not None
    since = months_since_calving(group.calving_date, period) * DAYS_PER_YEAR / MONTHS_PER_YEAR
    if group.cattle_class == BRED and since <= period.middle - farm.start.toordinal():
        return FIRST_CALF, usual_gain_lb(FIRST_CALF, _grown(farm, group))
    usual = usual_gain_lb(group.cattle_class, _grown(farm, group))
    return group.cattle_class, usual if group.gain_lb is None else group.gain_lb


def condition_tdn_lb(farm: Farm, group: Group, period: Period, need: Need) -> float:
    """TDN that puts condition on, in the periods that begin before the days for it are over."""
    wanted, days = group.condition_wanted, group.condition_days
    if wanted is None or days is None or wanted <= group.condition_score or group.cattle_class in GROWING:
        return 0.0
    if (period.first - farm.start).days >= days:
        return 0.0
    weight = shrunk_weight(group.body_weight_lb, farm.shrink_pct)
    at_5 = weight * weight / float(condition_weight(weight, group.condition_score))  # her weight, were she a 5
    held = 100 * need.tdn_lb / need.dm_lb
    return float(need_for_condition(at_5, group.condition_score, wanted, days, held))


def _grown(farm: Farm, group: Group) -> float:
    assert group.grown_weight_lb is not None  # check_farm refuses
    return float(shrunk_weight(group.grown_weight_lb, farm.shrink_pct))


def head_tons(group: Group, period: Period) -> float:
    """Tons for the whole group and period in 1 lb a head and a day."""
    return group.head * period.days / LB_PER_TON
