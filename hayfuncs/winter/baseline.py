"""The plain rule to compare the winter plan with: best hay to the neediest, then feed what is short.

1. Each group in each month is ranked by how dense its diet must be (TDN, then protein, in the dry
   matter it eats).
2. In that order each is fed to appetite from the best hay left (by TDN, then protein); when the
   own hay is gone, the hay for sale that is cheapest by the ton of dry matter is bought.
   A hay with a most share of the diet is fed up to that share of her appetite, less what hays before
   it have used up of what nitrate allows, and the next hay fills the rest.
3. What is then short is covered by the one feed that does it cheapest.  A feed that no longer fits
   beside the hay takes its place, pound of dry matter for pound.  Where no one feed does it,
   feeds are added in the order of their price by the pound of what is most short.
4. Phosphorus that is short comes from the mineral that gives it cheapest, then calcium for her need
   and for the least ratio likewise (the order of Purdue University, ANSC 221).
The rule looks at no other limit (NDF, fat, sulfur, a feed's share of the diet, grain all together),
and not at a share that is passed because hay or room ran out; `evaluate` then says what it fails.  Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hayfuncs.winter.model import CA_P, CALCIUM, CP, MOST, PHOSPHORUS, TDN, Floats, Model
from hayfuncs.winter.problem import OPEN

NUTRIENTS = (TDN, CP)
FED = 1e-9  # tons below this are nothing
BIG = 1e30


@dataclass
class _Place:
    """One group in one period while it is being fed; everything in tons."""

    need: dict[str, float]
    appetite: float
    room: float
    given: dict[int, float] = field(default_factory=dict)  # source -> tons put out


def plain_tons(model: Model) -> Floats:
    """The tons put out by the plain rule, source x place."""
    tons = np.zeros(model.eaten.shape)
    left = model.stock.copy()
    hays = range(model.hays)
    lots = len(model.farm.lots)
    best = sorted(range(lots), key=lambda s: (-model.sources[s].tdn_pct, -model.sources[s].cp_pct, s))
    to_buy = sorted(range(lots, model.hays), key=lambda s: (model.cost[s] / model.sources[s].dm_pct, s))
    usual = np.array([n.dm_lb for n in model.needs])
    density = [
        (-n.tdn_lb / n.dm_lb, -n.cp_lb / n.dm_lb, p, g) for n, (g, p) in zip(model.needs, model.places, strict=True)
    ]
    least, most = model.least / 100, model.farm.max_intake_pct / 100
    for k in sorted(range(len(model.places)), key=density.__getitem__):
        appetite = usual[k] * model.per_head[k] * min(max(1.0, least[k]), most)
        place = _Place(
            {name: float(model.rows[name][1][k]) for name in NUTRIENTS}, float(appetite), float(model.rows[MOST][1][k])
        )
        _feed_hay(model, k, place, [*best, *to_buy], left)
        _feed_supplement(model, k, place, left)
        _feed_minerals(model, k, place, left)
        for s, amount in place.given.items():
            tons[s, k] = amount
            left[s] -= amount
        for s in hays:  # rounding must not leave less than nothing
            left[s] = max(left[s], 0.0)
    return tons


def _feed_hay(model: Model, k: int, place: _Place, order: list[int], left: Floats) -> None:
    dm = model.rows[MOST][0][:, k]
    wanted = place.appetite
    most = {s: float(pct[k]) / 100 * place.appetite for s, pct in model.shares if pct[k] < OPEN}
    free = 1.0  # of what nitrate allows
    for s in order:
        amount = min(min(wanted, most[s] * free if s in most else wanted) / dm[s], float(left[s]))
        if amount > FED:
            place.given[s] = amount
            wanted -= amount * dm[s]
            free = max(free - amount * dm[s] / most[s], 0.0) if s in most else free
        if wanted <= FED:
            return


def _supply(model: Model, k: int, place: _Place, name: str) -> float:
    return sum(float(model.rows[name][0][s, k]) * amount for s, amount in place.given.items())


def _short(model: Model, k: int, place: _Place) -> dict[str, float]:
    return {name: place.need[name] - _supply(model, k, place, name) for name in NUTRIENTS}


def _feed_supplement(model: Model, k: int, place: _Place, left: Floats) -> None:
    if max(_short(model, k, place).values()) <= FED:
        return
    eaten = _supply(model, k, place, MOST)
    choices: list[tuple[float, int, float, float]] = []
    for s in model.feeds():
        amount = _alone(model, k, place, s, eaten)
        if amount <= min(float(model.caps[s, k]), float(left[s])):
            dm = float(model.rows[MOST][0][s, k]) * amount
            displaced = max(dm - max(place.room - eaten, 0.0), 0.0)
            choices.append((amount * float(model.cost[s]), s, amount, displaced))
    if choices:
        _, s, amount, displaced = min(choices)
        keep = 1 - displaced / eaten if eaten > 0 else 1.0
        place.given = {hay: tons * keep for hay, tons in place.given.items()}
        place.given[s] = amount
        return
    _several(model, k, place, left)


def _alone(model: Model, k: int, place: _Place, s: int, eaten: float) -> float:
    """Tons of one feed that cover both nutrients; endless where it cannot, however much is fed."""
    dm = float(model.rows[MOST][0][s, k])
    room = max(place.room - eaten, 0.0)
    most = 0.0
    for name, short in _short(model, k, place).items():
        if short <= FED:
            continue
        content = float(model.rows[name][0][s, k])
        if content <= 0:
            return BIG
        amount = short / content
        if amount * dm > room:  # beyond the room each ton of it takes the place of a ton of hay's dry matter
            hay_share = _supply(model, k, place, name) / eaten if eaten > 0 else 0.0
            gain = content / dm - hay_share
            if gain <= 0:
                return BIG
            amount = (short - room * hay_share) / gain / dm
        most = max(most, amount)
    if most * dm > room + eaten:
        return BIG
    return most * (1 + FED)


def _several(model: Model, k: int, place: _Place, left: Floats) -> None:
    """Feed by feed, each up to its limit and the room, until nothing is short or nothing more fits."""
    tried: set[int] = set()
    while True:
        short = _short(model, k, place)
        worst = max(NUTRIENTS, key=lambda name: short[name] / place.need[name] if place.need[name] > 0 else 0.0)
        room = place.room - _supply(model, k, place, MOST)
        feeds = [s for s in model.feeds() if s not in tried and model.rows[worst][0][s, k] > 0]
        if short[worst] <= FED or room <= FED or not feeds:
            return
        s = min(feeds, key=lambda s: (model.cost[s] / model.rows[worst][0][s, k], s))
        tried.add(s)
        content, dm = float(model.rows[worst][0][s, k]), float(model.rows[MOST][0][s, k])
        amount = min(short[worst] / content, room / dm, float(model.caps[s, k]), float(left[s]))
        if amount > FED:
            place.given[s] = amount


def _feed_minerals(model: Model, k: int, place: _Place, left: Floats) -> None:
    minerals = range(model.feeds().stop, len(model.sources))
    for name in (PHOSPHORUS, CALCIUM, CA_P) if CALCIUM in model.rows else ():
        coefficients, side = model.rows[name]
        short = float(side[k]) - _supply(model, k, place, name)
        rich = [s for s in minerals if coefficients[s, k] > 0]
        for s in sorted(rich, key=lambda s: (model.cost[s] / coefficients[s, k], s)):
            given = place.given.get(s, 0.0)
            room = min(float(model.caps[s, k]), float(left[s])) - given
            amount = min(short / float(coefficients[s, k]), room)
            if amount > FED:
                place.given[s] = given + amount
                short -= amount * float(coefficients[s, k])
