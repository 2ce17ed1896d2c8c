"""What is possible in each field of a winter's problem, and the refusal, in words, of what cannot be planned for."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import fields
from typing import Any

from hayfuncs.contract.catalogue import Arg
from hayfuncs.contract.errors import BadInput, OutOfRange, listing, shown
from hayfuncs.cow.classes import CATTLE, COW, GROWING
from hayfuncs.winter.problem import (
    LONGEST_DAYS,
    MONTHS,
    MOST_PROTEIN_PCT,
    OPEN,
    WHO,
    Farm,
    Feed,
    Group,
    HayForSale,
    Lot,
)

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
    "bale_lb": Arg("Weight of a bale", "lb as fed", 20, 3000),
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
    "condition_wanted": Arg("Condition score wanted", "score", 1, 9),
    "condition_days": Arg("Days to reach it", "days", 1, 730),
    "grown_weight_lb": Arg("Weight when grown", "lb", 450, 3500),
    "gain_lb": Arg("Gain", "lb/day", 0, 6),
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
        else:
            _check_class(group)
    _check_contents(farm)
    for group in (group for group in farm.groups if group.feeding_loss_pct is None):
        hays: tuple[Lot | HayForSale, ...] = (*farm.lots, *farm.for_sale)
        for hay in (hay for hay in hays if hay.feeding_loss_pct is None):
            place = f'feeding_loss_pct of "{hay.name}"'
            fix = f'give it, or that of the group "{group.name}"'
            raise BadInput(WHO, place, "blank", "a number, as a group names no feeder", fix)


def _check_class(group: Group) -> None:
    """What each class of cattle must have."""
    if group.cattle_class not in CATTLE:
        place = f'cattle_class of group "{group.name}"'
        raise BadInput(WHO, place, shown(group.cattle_class), listing(CATTLE), "give one of these classes")
    of_class = f"a number, as it is a {group.cattle_class}"
    if group.cattle_class != COW and group.grown_weight_lb is None:
        raise BadInput(
            WHO, f'grown_weight_lb of group "{group.name}"', "blank", of_class, "give what it weighs when grown"
        )
    if group.cattle_class in GROWING:
        if group.gain_lb is None:
            raise BadInput(WHO, f'gain_lb of group "{group.name}"', "blank", of_class, "give the gain wanted, lb a day")
    elif not isinstance(group.calving_date, dt.date):
        place = f'calving_date of group "{group.name}"'
        raise BadInput(WHO, place, shown(group.calving_date), "a date, or a need of its own", "give one of the two")


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
