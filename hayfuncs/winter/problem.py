"""What the winter plan starts from: hay on hand, hay for sale, feeds, groups of cows, and the dates.

Everything is given; nothing is looked up and no clock is read.  Tons are short tons as fed,
`_pct` is % of the dry matter unless its name says otherwise, pounds are a head and a day.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any, ClassVar

from hayfuncs.contract.catalogue import Arg
from hayfuncs.contract.errors import BadInput, OutOfRange, shown

WHO = "the winter plan"
OPEN = 100.0  # a percentage that limits nothing
USUAL_SHRINK_PCT = 4.0  # see SHRUNK_WEIGHT
USUAL_SEASON_DAYS = 60.0  # from the first calf to the last (common practice, no source)
MOST_GRAIN_PCT_BW = 0.5  # as fed, all grain together: University of Illinois (see GRAIN_CAUTION)
MOST_PROTEIN_PCT = 100.0  # % DM: by definition; a feed with more holds nitrogen that is no protein
FULL_PCT = 95.0  # of what she eats to appetite: fed less, cattle are hungry, and all must eat at once (our choice)
MOST_MINERAL_LB = 0.5  # of one mineral source: more is not eaten beside the rest (common practice, no source)
LONGEST_DAYS = 366  # a plan longer than a year is a typing error in a date
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
    A group that is not of cows (bulls, heifers) brings its own `need`, the same all winter.
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


@dataclass(frozen=True)
class Period:
    """A calendar month, or the part of it that is fed."""

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

    def periods(self) -> tuple[Period, ...]:
        """The months from start to turnout, the first and last cut to the days fed."""
        found: list[Period] = []
        first = self.start
        while first < self.turnout:
            following = (first.replace(day=1) + dt.timedelta(days=LONGEST_MONTH)).replace(day=1)
            last = min(following, self.turnout)
            label = f"{MONTHS[first.month - 1]} {first.year}"
            found.append(Period(label, first, (last - first).days, first.month))
            first = last
        return tuple(found)


def least_intake_pct(farm: Farm, group: Group) -> float:
    return farm.min_intake_pct if group.min_intake_pct is None else group.min_intake_pct


def hay_wasted_pct(hay: Lot | HayForSale, group: Group) -> float:
    """Of the hay put out: at the group's own feeder, else at the hay's."""
    loss = hay.feeding_loss_pct if group.feeding_loss_pct is None else group.feeding_loss_pct
    assert loss is not None  # check_farm refuses
    return loss


LONGEST_MONTH = 32  # days after the first of a month: always in the next one


# --- what is possible in each field

_PCT = Arg("A percentage", "%", 0, 100)
_CONTENT = Arg("A content", "% DM", 0, 100)
_LOSS = Arg("A loss", "%", 0, 95)
_PRICE = Arg("A price", "$/ton as fed", 0, 1e5)
_ALLOWED: dict[str, Arg] = {
    "tons": Arg("Tons", "tons", 0, math.inf),
    "dm_pct": Arg("Dry matter", "% as fed", 0, 100, above=True),
    "tdn_pct": Arg("TDN", "% DM", 0, 200),
    "cp_pct": Arg("Crude protein", "% DM", 0, 300),
    "storage_loss_pct": _LOSS,
    "feeding_loss_pct": _LOSS,
    "waste_pct": _LOSS,
    "value_per_ton": _PRICE,
    "price_per_ton": _PRICE,
    "ndf_pct": _CONTENT,
    "fat_pct": _CONTENT,
    "s_pct": _CONTENT,
    "ca_pct": _CONTENT,
    "p_pct": _CONTENT,
    "ca_g": Arg("Calcium", "g/day", 0, 1000),
    "p_g": Arg("Phosphorus", "g/day", 0, 1000),
    "min_ca_p": Arg("Least calcium for each part of phosphorus", "ratio", 0, 7),
    "max_lb": Arg("Most of it", "lb as fed/day", 0, math.inf),
    "max_pct_bw": Arg("Most of it", "% of body weight", 0, 100),
    "max_pct_diet": Arg("Most of it", "% DM", 0, 100),
    "max_pct_pregnant": Arg("Most of it for cows in calf", "% DM", 0, 100),
    "max_pct_others": Arg("Most of it for other cattle", "% DM", 0, 100),
    "max_grain_pct_bw": Arg("Most grain, all together", "% of body weight", 0, 100),
    "calving_season_days": Arg("Days from the first calf to the last", "days", 0, 365),
    "head": Arg("Cattle", "head", 0, 1e6, above=True),
    "body_weight_lb": Arg("Body weight", "lb", 50, 4000),
    "peak_milk_lb": Arg("Milk at the peak", "lb/day", 0, 80),
    "calf_weight_lb": Arg("Birth weight of the calf", "lb", 20, 200),
    "condition_score": Arg("Condition score", "score", 1, 9),
    "dm_lb": Arg("Dry matter", "lb DM/day", 0, 200, above=True),
    "tdn_lb": Arg("TDN", "lb/day", 0, 200),
    "cp_lb": Arg("Crude protein", "lb/day", 0, 50),
    "max_intake_pct": Arg("Most dry matter, % of the usual intake", "%", 0, 300, above=True),
    "min_intake_pct": Arg("Least dry matter, % of the usual intake", "%", 0, 300),
    "min_hay_pct": Arg("Least hay in the diet", "% DM", 0, 100),
    "ndf_capacity_pct_bw": Arg("Most NDF eaten", "% of body weight", 0, 5, above=True),
    "max_fat_pct": Arg("Most fat in the diet", "% DM", 0, 100),
    "max_s_pct": Arg("Most sulfur in the diet", "% DM", 0, 100),
    "shrink_pct": Arg("Shrink", "%", 0, 20),
}


def _check_numbers(thing: Any, what: str) -> None:
    for one in fields(thing):
        arg, value = _ALLOWED.get(one.name), getattr(thing, one.name)
        if arg is None or (value is None and one.default is None):
            continue
        place = f"{one.name} of {what}"
        if not isinstance(value, (int, float)) or isinstance(value, bool):
            raise BadInput(WHO, place, shown(value), arg.allowed(), "give a number")
        endless = value == math.inf and arg.hi == math.inf  # no limit
        if not endless and not arg.possible(float(value)):
            raise OutOfRange(WHO, place, shown(value, arg.unit), arg.allowed(), "check the value")


def check_farm(farm: Farm) -> None:
    """Refuses, in words, what cannot be planned for."""
    for place, day in (("start", farm.start), ("turnout", farm.turnout)):
        if not isinstance(day, dt.date):
            raise BadInput(WHO, place, shown(day), "a date", "give a date")
    days = (farm.turnout - farm.start).days
    if not 1 <= days <= LONGEST_DAYS:
        allowed = f"1 to {LONGEST_DAYS} days after the start, {farm.start}"
        raise OutOfRange(WHO, "turnout", str(farm.turnout), allowed, "check both dates")
    if not farm.groups:
        raise BadInput(WHO, "groups", "empty", "at least one group", "give the groups to be fed")
    if not farm.lots and not farm.for_sale:
        raise BadInput(WHO, "lots", "empty", "a lot on hand or hay for sale", "give the hay")
    _check_numbers(farm, "the farm")
    for month, more in farm.more_energy_pct.items():
        if month not in range(1, len(MONTHS) + 1) or not _PCT.possible(more):
            raise OutOfRange(
                WHO, "more_energy_pct", f"{more} in month {month}", "0 to 100 % in months 1 to 12", "check it"
            )
    _check_things(farm)
    for group in farm.groups:
        if group.need is not None:
            _check_numbers(group.need, f'the need of group "{group.name}"')
        elif not isinstance(group.calving_date, dt.date):
            place = f'calving_date of group "{group.name}"'
            raise BadInput(WHO, place, shown(group.calving_date), "a date, or a need of its own", "give one of the two")
    _check_contents(farm)
    for group in (group for group in farm.groups if group.feeding_loss_pct is None):
        hays: tuple[Lot | HayForSale, ...] = (*farm.lots, *farm.for_sale)
        for hay in (hay for hay in hays if hay.feeding_loss_pct is None):
            place = f'feeding_loss_pct of "{hay.name}"'
            fix = f'give it, or that of the group "{group.name}"'
            raise BadInput(WHO, place, "blank", "a number, as a group names no feeder", fix)


def _check_things(farm: Farm) -> None:
    """Names, each once, and the numbers of every lot, feed and group."""
    kinds: tuple[tuple[str, Sequence[Any]], ...] = (
        ("lot", farm.lots), ("hay for sale", farm.for_sale), ("feed", farm.feeds), ("mineral", farm.minerals), ("group", farm.groups),
    )  # fmt: skip
    seen: set[str] = set()
    for kind, things in kinds:
        for thing in things:
            if not isinstance(thing.name, str) or not thing.name.strip():
                raise BadInput(WHO, f"name of a {kind}", shown(thing.name), "a name", "name it")
            if (name := thing.name.strip().casefold()) in seen:
                raise BadInput(WHO, f"name of a {kind}", f'"{thing.name}" again', "each name once", "rename one")
            seen.add(name)
            _check_numbers(thing, f'{kind} "{thing.name}"')
            if kind == "feed" and thing.cp_pct > MOST_PROTEIN_PCT:
                place, fix = (
                    f'cp_pct of feed "{thing.name}"',
                    "leave urea out of the plan; a nutritionist decides on it",
                )
                allowed = "0 to 100 % DM: what has more is urea or other non-protein nitrogen"
                raise OutOfRange(WHO, place, shown(thing.cp_pct, "% DM"), allowed, fix)


def _check_contents(farm: Farm) -> None:
    """A limit of the diet needs that content of every hay and feed."""
    wanted = {
        "ndf_pct": farm.ndf_capacity_pct_bw is not None,
        "fat_pct": farm.max_fat_pct < OPEN,
        "s_pct": farm.max_s_pct < OPEN,
        "ca_pct": farm.min_ca_p is not None,
        "p_pct": farm.min_ca_p is not None,
    }
    everything: tuple[Lot | HayForSale | Feed, ...] = (*farm.lots, *farm.for_sale, *farm.feeds)
    for name in (name for name, counts in wanted.items() if counts):
        for thing in everything:
            if getattr(thing, name) is None:
                fix = "give it, or leave the diet's limit open"
                raise BadInput(
                    WHO, f'{name} of "{thing.name}"', "blank", "a number, as the diet has a limit for it", fix
                )
