"""What the winter plan starts from: hay on hand, hay for sale, feeds, groups of cows, and the dates.

Everything is given; nothing is looked up and no clock is read.  Tons are short tons as fed,
`_pct` is % of the dry matter unless its name says otherwise, pounds are a head and a day.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from hayfuncs.contract.units import DAYS_PER_YEAR
from hayfuncs.cow.classes import COW, GROWING

WHO = "the winter plan"
OPEN = 100.0  # a percentage that limits nothing
USUAL_SHRINK_PCT = 4.0  # see SHRUNK_WEIGHT
USUAL_SEASON_DAYS = 60.0  # from the first calf to the last (common practice, no source)
MOST_GRAIN_PCT_BW = 0.5  # as fed, all grain together: University of Illinois (see GRAIN_CAUTION)
MOST_PROTEIN_PCT = 100.0  # % DM: by definition; a feed with more holds nitrogen that is no protein
FULL_PCT = 95.0  # of what she eats to appetite: fed less, cattle are hungry, and all must eat at once (our choice)
MOST_MINERAL_LB = 0.5  # of one mineral source: more is not eaten beside the rest (common practice, no source)
LONGEST_DAYS = 366  # a plan longer than a year is a typing error in a date
HALF_DAY = 16  # of a month: its second half begins
LEAST_HALF = 7  # days fed in each half: a change of feed for less is not worth it (our choice)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Lot:
    """Hay on hand.  `tons` is what was stored; `value_per_ton` what it would bring if it were not fed.

    The most shares are of the dry matter that a group eats in a month, hay and supplement together:
    for a group that may hold cows in calf (see `in_calf`) and for any other.  Nitrate is what asks
    for them (`winter.nitrate.most_shares`); a lot that was not tested has none, which does not make
    it safe.  A share is a share of a mixed diet: hay that has one is fed only where `Farm.hay_is_mixed`,
    since bales put out beside others are not mixed.  Hays with a share count together: each uses up
    its part of what is allowed, so that of two hays held to a quarter each may be an eighth of the diet.
    """

    name: str
    tons: float
    dm_pct: float
    tdn_pct: float
    cp_pct: float
    storage_loss_pct: float
    value_per_ton: float = 0.0  # own hay counts as paid for unless a value is given
    ndf_pct: float | None = None  # needed only where Farm.ndf_capacity_pct_bw counts
    fat_pct: float | None = None  # needed only where Farm.max_fat_pct counts
    s_pct: float | None = None  # needed only where Farm.max_s_pct counts
    max_pct_pregnant: float = OPEN  # % of the diet's dry matter
    max_pct_others: float = OPEN
    ca_pct: float | None = None  # needed only where Farm.min_ca_p counts
    p_pct: float | None = None
    feeding_loss_pct: float | None = None  # by the lot's own feeder; needed where a group names none
    bale_lb: float | None = None  # as stored; None: it is not in bales that are fed whole
    forage: str = ""  # grass, legume, mixed: lots of one forage are used up one after another
    outdoors: bool = False  # fed before hay of like TDN under a roof


@dataclass(frozen=True)
class HayForSale:
    """Hay that can be bought.  `tons` is the most there is; losses and most shares as for a lot."""

    name: str
    price_per_ton: float
    dm_pct: float
    tdn_pct: float
    cp_pct: float
    storage_loss_pct: float = 0.0  # bought as it is fed
    tons: float = math.inf
    ndf_pct: float | None = None
    fat_pct: float | None = None
    s_pct: float | None = None
    max_pct_pregnant: float = OPEN
    max_pct_others: float = OPEN
    ca_pct: float | None = None
    p_pct: float | None = None
    feeding_loss_pct: float | None = None
    bale_lb: float | None = None


@dataclass(frozen=True)
class Feed:
    """A supplement.  Limits are as fed a head and a day; `max_pct_diet` is of the diet's dry matter."""

    name: str
    price_per_ton: float
    dm_pct: float
    tdn_pct: float
    cp_pct: float
    max_lb: float = math.inf
    max_pct_bw: float = OPEN
    max_pct_diet: float = OPEN
    tons: float = math.inf
    waste_pct: float = 0.0  # fed from a bunk or trough
    grain: bool = False  # starchy grain (corn, barley, oats): all of it together has a limit too
    ndf_pct: float | None = None
    fat_pct: float | None = None
    s_pct: float | None = None
    ca_pct: float | None = None
    p_pct: float | None = None


@dataclass(frozen=True)
class Mineral:
    """A mineral source fed beside the feeds.  Contents are % as fed, the most is lb a head and a day.

    It is some ounces: it counts neither as dry matter, nor among the feeds and their least amounts.
    """

    name: str
    price_per_ton: float
    ca_pct: float
    p_pct: float
    max_lb: float = MOST_MINERAL_LB
    tons: float = math.inf
    dm_pct: ClassVar[float] = 0.0  # as the model reads it: none of a diet's dry matter and of what is in that
    tdn_pct: ClassVar[float] = 0.0
    cp_pct: ClassVar[float] = 0.0
    ndf_pct: ClassVar[float] = 0.0
    fat_pct: ClassVar[float] = 0.0
    s_pct: ClassVar[float] = 0.0
    waste_pct: ClassVar[float] = 0.0


@dataclass(frozen=True)
class Need:
    """A head's need a day: dry matter eaten when fed to appetite, TDN and crude protein, lb; minerals, g."""

    dm_lb: float
    tdn_lb: float
    cp_lb: float
    ca_g: float = 0.0
    p_g: float = 0.0


@dataclass(frozen=True)
class Group:
    """Cattle fed together.  The calving date is the middle of the season, last year's or the next.

    Without a weaning date its cows count as in milk all year.  Hay is wasted as at the group's own
    feeder where its loss is given, else as at each hay's.  A group whose least intake is below
    FULL_PCT is limit-fed: grain and hay held back by nitrate are then kept from it.
    The class is one of `cow.classes.CATTLE`.  All that still grow have a grown weight, growing cattle and bulls a
    gain too, and no calving date; a young cow's gain may be left to the usual one.  Milk at the peak is a grown
    cow's.  Condition to be put on is fed for from the first day of feeding, for so many days.  A group that brings
    its own `need` has that all winter.  The body weight is that of the first day of feeding.
    """

    name: str
    head: float
    body_weight_lb: float
    feeding_loss_pct: float | None = None  # of the hay put out; by the feeder
    calving_date: dt.date | None = None
    peak_milk_lb: float = 0.0
    calf_weight_lb: float = 85.0  # used only with a calving date; 85 lb is a usual birth weight
    condition_score: float = 5.0
    need: Need | None = None
    in_calf: bool | None = None  # where it is known for the whole winter; None: see `in_calf` below
    weaning_date: dt.date | None = None  # of any year, as the calving date
    min_intake_pct: float | None = None  # None: the farm's
    cattle_class: str = COW
    grown_weight_lb: float | None = None  # full
    gain_lb: float | None = None  # a day
    condition_wanted: float | None = None
    condition_days: float | None = None

    def turns(self) -> tuple[dt.date, ...]:
        """The dates on which what its cows need changes: calving, and weaning where both are known."""
        if self.cattle_class in GROWING or self.need is not None or self.calving_date is None:
            return ()
        return (self.calving_date,) if self.weaning_date is None else (self.calving_date, self.weaning_date)


@dataclass(frozen=True)
class Period:
    """A calendar month or a half of one, or the part of it that is fed."""

    label: str
    first: dt.date
    days: int
    month: int

    @property
    def middle(self) -> float:
        """Day number of the middle: the day on which the stage of a group is read (see `month_read`)."""
        return self.first.toordinal() + self.days / 2


@dataclass(frozen=True)
class Farm:
    """The whole problem.  Limits at their open values (100, 0, None) do not count."""

    lots: tuple[Lot, ...]
    for_sale: tuple[HayForSale, ...]
    feeds: tuple[Feed, ...]
    groups: tuple[Group, ...]
    start: dt.date
    turnout: dt.date  # the first day on grass
    max_intake_pct: float  # most dry matter, % of what DAILY_NEED says is eaten
    min_intake_pct: float = FULL_PCT  # least dry matter, same measure: cows kept full
    min_hay_pct: float = 0.0  # least hay in the diet's dry matter
    ndf_capacity_pct_bw: float | None = None  # most NDF eaten a day, % of body weight
    max_fat_pct: float = OPEN  # of the diet's dry matter
    max_s_pct: float = OPEN
    hay_is_mixed: bool = False  # ground and mixed before it is fed; else a hay with a most share is not fed at all
    max_grain_pct_bw: float = MOST_GRAIN_PCT_BW  # most of all feeds marked as grain, as fed, % of body weight
    calving_season_days: float = USUAL_SEASON_DAYS  # from the first calf to the last, half before the calving date
    shrink_pct: float = USUAL_SHRINK_PCT
    more_energy_pct: Mapping[int, float] = field(default_factory=dict)  # calendar month -> % more TDN (cold, mud)
    minerals: tuple[Mineral, ...] = ()
    min_ca_p: float | None = None  # least calcium for each part of phosphorus; None: minerals are not counted at all
    in_halves: bool = False  # a month in which some group calves or is weaned is planned in two halves

    def periods(self) -> tuple[Period, ...]:
        """The months from start to turnout, the first and last cut to the days fed; some of them in two halves."""
        turns = [day for group in self.groups for day in group.turns()] if self.in_halves else []
        return periods_between(self.start, self.turnout, turns)


def periods_between(start: dt.date, turnout: dt.date, turns: Iterable[dt.date] = ()) -> tuple[Period, ...]:
    """The months; one in which one of the dates falls, whatever their year, in two halves unless one is short."""
    found: list[Period] = []
    first, numbers = start, [day.toordinal() for day in turns]
    while first < turnout:
        following = (first.replace(day=1) + dt.timedelta(days=LONGEST_MONTH)).replace(day=1)
        last, half = min(following, turnout), first.replace(day=HALF_DAY)
        days, before, behind = (last - first).days, (half - first).days, (last - half).days
        if min(before, behind) >= LEAST_HALF and any(
            (day - first.toordinal()) % DAYS_PER_YEAR < days for day in numbers
        ):
            found += [_period(first, half, halved=True), _period(half, last, halved=True)]
        else:
            found.append(_period(first, last))
        first = last
    return tuple(found)


def _period(first: dt.date, end: dt.date, halved: bool = False) -> Period:
    days = f" {first.day}-{(end - dt.timedelta(days=1)).day}" if halved else ""
    return Period(f"{MONTHS[first.month - 1]}{days} {first.year}", first, (end - first).days, first.month)


def least_intake_pct(farm: Farm, group: Group) -> float:
    return farm.min_intake_pct if group.min_intake_pct is None else group.min_intake_pct


def hay_wasted_pct(hay: Lot | HayForSale, group: Group) -> float:
    """Of the hay put out: at the group's own feeder, else at the hay's."""
    loss = hay.feeding_loss_pct if group.feeding_loss_pct is None else group.feeding_loss_pct
    assert loss is not None  # check_farm refuses
    return loss


LONGEST_MONTH = 32  # days after the first of a month: always in the next one
