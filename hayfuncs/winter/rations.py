"""Every ration of whole bales that one group could be fed in one period, each complete with feeds and minerals.

A ration is one hay or two, in bales a feeding (or in pounds that are weighed out), with no feed, one or two;
each is the cheapest of its kind that meets the needs.  Written down in pounds a head and a day; a row of the
linear program reads `gains @ pounds <= limits` for the place, at-least rows with their sign turned.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from itertools import combinations

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.winter.bales import bale_put_out_lb
from hayfuncs.winter.model import AT_LEAST, CA_P, CALCIUM, COUNTS, MOST, PHOSPHORUS, Floats, Model
from hayfuncs.winter.problem import OPEN

Ints = npt.NDArray[np.intp]

OF_MINERALS = (PHOSPHORUS, CALCIUM, CA_P)
QUARTER_LB, HALF_LB, STEP_LB = 0.25, 0.5, 2.0  # of a feed; of hay weighed out; of each of two hays weighed out
FIRST_FEED_LB = 8.0  # the first of two feeds is tried up to this
OF_EACH_HAY = 12
MOST_COMBINATIONS = 300  # of hays, the most promising by the linear program's prices
SHORT_DOLLARS = 20.0  # for each pound of TDN short (see COUNTS): far above any price
LEAST_FILLED = 0.45  # hay is at least this part of what she eats: less is no winter ration of hay
TINY = 1e-7


@dataclass(frozen=True)
class Ease:
    """How easy the plan must be; all of it is asked, nothing follows from the farm."""

    hays: int = 2  # most hays a group and period, 1 or 2
    least_hay_pct: float = 25.0  # of the hay put out, each of them
    feeds: int = 2  # most feeds, 0 to 2
    least_feed_lb: float = 1.0  # a head and a day, or none
    ring_days: int = 3  # most days that a bale keeps in the ring
    changes: int = 1  # most changes of a ration within a period, where a stack ends
    change_dollars: float = 15.0  # what a period without such a change is worth
    weighing_dollars: float = 10.0  # what a day without weighing out hay for a group is worth
    like_tdn: float = 2.0  # lots within so many units of TDN are alike
    turn_dollars: float = 100.0  # what it is worth to use one stack up before a like one is opened
    keep_feed_pct: float = 1.0  # of a group's cost: a feed once begun stays for the season where that costs less


@dataclass(frozen=True)
class Rations:
    """One a row.  Two places for hays and for feeds; -1 where there is none."""

    hay: Ints
    bales: Ints  # a feeding; 0 where it is weighed out
    hay_lb: Floats
    feed: Ints
    feed_lb: Floats
    mineral_lb: Floats
    short: Floats  # $ counted for what stays short
    weighed: npt.NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.short)

    def picked(self, rows: npt.NDArray[np.intp]) -> Rations:
        return Rations(*(getattr(self, f.name)[rows] for f in fields(self)))

    def pounds(self, sources: int, first_mineral: int) -> Floats:
        """Ration x source."""
        found = np.zeros((len(self), sources + 1))
        at = np.arange(len(self))
        for names, lb in ((self.hay, self.hay_lb), (self.feed, self.feed_lb)):
            for i in range(names.shape[1]):
                found[at, names[:, i]] += lb[:, i]
        found[:, first_mineral:sources] += self.mineral_lb
        return found[:, :sources]

    @classmethod
    def joined(cls, parts: list[Rations]) -> Rations:
        return cls(*(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(cls)))


@dataclass
class _Place:
    """The rows of one place, a head and a day."""

    model: Model
    k: int
    gains: Floats  # row x source, without the rows of minerals
    limits: Floats
    counted: Floats  # $ a pound short, 0 where the row must hold
    caps: Floats  # lb, a source
    mineral_gains: Floats  # calcium and phosphorus, source
    mineral_needs: dict[str, float]
    held: dict[int, float]  # pounds that a person has pinned, by source; limits and needs are what is left beside them
    held_dm: float
    held_hay_dm: float


def _place(model: Model, k: int) -> _Place:
    per_head = float(model.per_head[k])
    gains: list[Floats] = []
    limits: list[float] = []
    counted: list[float] = []
    dollars = SHORT_DOLLARS * LB_PER_TON * per_head
    for name, (coefficients, side) in model.rows.items():
        if name in OF_MINERALS:
            continue
        sign = -1.0 if name in AT_LEAST else 1.0
        gains.append(sign * coefficients[:, k])
        limits.append(sign * float(side[k]) / per_head)
        counted.append(dollars * COUNTS.get(name, 0.0))
    for source, pct in model.of_feeds():
        if pct[k] < OPEN:
            gains.append(model.rows[MOST][0][:, k] * ((np.arange(len(model.sources)) == source) - float(pct[k]) / 100))
            limits.append(0.0)
            counted.append(0.0)
    held = [n for n in OF_MINERALS if n in model.rows]
    mineral = np.array([model.rows[n][0][:, k] for n in held]) if held else np.zeros((0, len(model.sources)))
    needs = {n: float(model.rows[n][1][k]) / per_head for n in held}
    caps = np.minimum(model.caps[:, k], model.stock) / per_head
    pinned = {int(s): float(model.lower[s, k] / per_head) for s in np.flatnonzero(model.lower[:, k])}
    table, left = np.array(gains), np.array(limits)
    for s, lb in pinned.items():
        left = left - table[:, s] * lb
        needs = {n: need - float(row[s]) * lb for (n, need), row in zip(needs.items(), mineral, strict=True)}
        caps[s] = 0.0
    dm = model.rows[MOST][0][:, k]
    eaten = [(s, float(dm[s]) * lb) for s, lb in pinned.items()]
    of_hay = sum(lb for s, lb in eaten if s < model.hays)
    return _Place(
        model, k, table, left, np.array(counted), caps, mineral, needs, pinned, sum(lb for _, lb in eaten), of_hay
    )  # fmt: skip


def rations(
    model: Model, ease: Ease, k: int, every: int, may: list[int], price: Floats, reduced: Floats | None
) -> Rations:
    """All that are worth looking at, for a group fed every so many days.  `price` is $ a ton of each source."""
    place = _place(model, k)
    of_hay = sum(s < model.hays for s in place.held)
    ease = replace(ease, hays=max(ease.hays - of_hay, 0), feeds=max(ease.feeds - len(place.held) + of_hay, 0))
    hays = [s for s in may if place.caps[s] > TINY]
    parts = [_hay_parts(place, ease, hays, every, weighed) for weighed in (False, True)]
    none = np.full((1, 2), -1), np.zeros((1, 2), np.intp), np.zeros((1, 2)), np.zeros(1, bool)
    names, bales, pounds, weighed = (np.concatenate(column) for column in zip(none, *parts, strict=True))
    kept = _promising(place, names, pounds, weighed, price, reduced)
    found = _completed(place, ease, names[kept], bales[kept], pounds[kept], weighed[kept], price)
    for s, lb in place.held.items():
        _put(found.hay, found.hay_lb, s, lb) if s < model.hays else _put(found.feed, found.feed_lb, s, lb)
    return found


def _put(names: Ints, pounds: Floats, s: int, lb: float) -> None:
    """What is pinned, in the first free place of each ration."""
    rows = np.arange(len(names))
    free = np.argmax(names < 0, axis=1)
    names[rows, free], pounds[rows, free] = s, lb


def _hay_parts(
    place: _Place, ease: Ease, hays: list[int], every: int, weighed: bool
) -> tuple[Ints, Ints, Floats, npt.NDArray[np.bool_]]:
    """Bales of one hay or two, or pounds of them, that are not more than she may eat."""
    model, k = place.model, place.k
    head = model.farm.groups[model.places[k][0]].head
    dm, room = model.rows[MOST][0][:, k], float(model.rows[MOST][1][k] / model.per_head[k]) - place.held_dm
    least = LEAST_FILLED * model.needs[k].dm_lb - place.held_hay_dm
    unit: dict[int, float] = {}
    for s in hays:
        bale = bale_put_out_lb(model.sources[s])
        if weighed or bale:
            unit[s] = HALF_LB if weighed else float(bale or 0.0) / (head * every)
    found: list[tuple[int, int, int, int]] = []
    if not ease.hays:
        unit = {}
    for s, lb in unit.items():
        most = int(min(room / max(float(dm[s]) * lb, TINY), place.caps[s] / lb) + TINY)
        found += [(s, n, -1, 0) for n in range(1, most + 1) if n * lb * dm[s] >= least]
    if ease.hays > 1:
        share = ease.least_hay_pct / 100
        for s, t in combinations(unit, 2):
            one, other = unit[s], unit[t]
            jump = int(STEP_LB / HALF_LB) if weighed else 1
            for n in range(jump, int(min(room / max(float(dm[s]) * one, TINY), place.caps[s] / one) + TINY) + 1, jump):
                top = int(min((room - n * one * dm[s]) / max(float(dm[t]) * other, TINY), place.caps[t] / other) + TINY)
                lo = max(1, int(np.ceil(share / (1 - share) * n * one / other - TINY)), int(np.ceil((least - n * one * dm[s]) / max(dm[t] * other, TINY))))  # fmt: skip
                hi = min(top, int((1 - share) / share * n * one / other + TINY))
                found += [(s, n, t, m) for m in range(lo, hi + 1, jump)]
    if not found:
        return np.zeros((0, 2), np.intp), np.zeros((0, 2), np.intp), np.zeros((0, 2)), np.zeros(0, bool)
    table = np.array(found, dtype=np.intp)
    names, numbers = table[:, [0, 2]], table[:, [1, 3]]
    per = np.array([unit.get(s, 0.0) for s in range(len(model.sources))] + [0.0])[names]
    return names, numbers * (not weighed), numbers * per, np.full(len(table), weighed)


def _promising(
    place: _Place, names: Ints, pounds: Floats, weighed: npt.NDArray[np.bool_], price: Floats, reduced: Floats | None
) -> Ints:
    """The hay parts that break no limit, the best of whole bales and the best of weighed hay; nothing at all first."""
    padded = np.append(place.gains, np.zeros((len(place.gains), 1)), axis=1)
    supply = (padded[:, names] * pounds).sum(axis=2)
    slack = place.limits[:, None] - supply
    # a row that feeds can only make worse, and that is broken already
    feeds = list(place.model.feeds())
    helped = (place.gains[:, feeds] < 0).sum(axis=1) > 0
    broken = (slack < -TINY) & ~helped[:, None] & (place.counted == 0)[:, None]
    bad: npt.NDArray[np.bool_] = broken.sum(axis=0) > 0
    if reduced is not None:
        worth = np.append(np.maximum(reduced, 0.0), 0.0)[names] * pounds
    else:
        worth = np.append(price, 0.0)[names] * pounds
    rank = worth.sum(axis=1) + (0.0 if reduced is not None else 1.0) * (
        np.maximum(-slack, 0) * place.counted[:, None]
    ).sum(axis=0)
    kept = [np.zeros(1, np.intp)]
    for kind, most in ((False, MOST_COMBINATIONS), (True, MOST_COMBINATIONS // 3)):
        here = np.flatnonzero(~bad & (weighed == kind))
        here = here[np.argsort(rank[here], kind="stable")]
        kept.append(here[:most])
        for s in map(int, np.unique(names[here])):  # whatever hay is left in the end, there is a ration with it
            kept.append(here[(names[here] == s).any(axis=1)][:OF_EACH_HAY])
    return np.unique(np.concatenate(kept))


def _completed(
    place: _Place, ease: Ease, names: Ints, bales: Ints, pounds: Floats, weighed: npt.NDArray[np.bool_], price: Floats
) -> Rations:
    """Each hay part with each set of feeds that meets what it leaves short."""
    model = place.model
    padded = np.append(place.gains, np.zeros((len(place.gains), 1)), axis=1)
    slack = place.limits[:, None] - (padded[:, names] * pounds).sum(axis=2)
    feeds = [f for f in model.feeds() if place.caps[f] >= max(ease.least_feed_lb, QUARTER_LB)]
    count = len(names)
    none = np.full(count, -1)
    parts: list[Rations] = []

    def take(sets: tuple[int, ...], amounts: Floats) -> None:
        can = np.isfinite(amounts).all(axis=0)
        amounts = np.where(can, amounts, 0.0)
        left = slack - sum((place.gains[:, [f]] * amounts[i] for i, f in enumerate(sets)), np.zeros_like(slack))
        holds = ((left >= -TINY) | (place.counted > 0)[:, None]).all(axis=0) & can
        short = (np.maximum(-left, 0) * place.counted[:, None]).sum(axis=0)
        at = np.flatnonzero(holds)
        feed = np.stack([np.full(count, f) for f in sets] + [none] * (2 - len(sets)), axis=1)
        feed_lb = np.stack([*amounts, *[np.zeros(count)] * (2 - len(sets))], axis=1)
        minerals, missing = _minerals(place, names[at], pounds[at], feed[at], feed_lb[at])
        parts.append(Rations(names[at], bales[at], pounds[at], feed[at], feed_lb[at], minerals, short[at] + missing, weighed[at]))  # fmt: skip

    take((), np.zeros((0, count)))
    if ease.feeds >= 1:
        for f in feeds:
            take((f,), _least(place, ease, slack, f)[None, :])
    if ease.feeds >= 2:
        for f, g in combinations(feeds, 2):
            take((f, g), _two(place, ease, slack, f, g, price))
    return Rations.joined(parts)


def _least(place: _Place, ease: Ease, slack: Floats, f: int) -> Floats:
    """The least of a feed, in quarter pounds, that meets what is short; as much as fits where that is not enough."""
    gain = place.gains[:, f]
    lo = np.full(slack.shape[1], max(ease.least_feed_lb, QUARTER_LB))
    hi = np.full(slack.shape[1], place.caps[f])
    for row in np.flatnonzero(gain):
        at = slack[row] / gain[row]
        if gain[row] < 0:
            lo = np.maximum(lo, at)
        else:
            hi = np.minimum(hi, at)
    amount = np.minimum(np.ceil(lo / QUARTER_LB - TINY), np.floor(hi / QUARTER_LB + TINY)) * QUARTER_LB
    found: Floats = np.where(amount >= ease.least_feed_lb - TINY, amount, np.inf)
    return found


def _two(place: _Place, ease: Ease, slack: Floats, f: int, g: int, price: Floats) -> Floats:
    """The cheapest pair for each hay part: every amount of the first that is tried, with the least of the second."""
    count = slack.shape[1]
    start = max(ease.least_feed_lb, QUARTER_LB)
    first = np.arange(start, min(float(place.caps[f]), FIRST_FEED_LB) + TINY, HALF_LB)
    if not len(first):
        return np.full((2, count), np.inf)
    left = (slack[:, None, :] - place.gains[:, f, None, None] * first[:, None]).reshape(len(slack), -1)
    second = _least(place, ease, left, g)
    some = np.where(np.isfinite(second), second, 0.0)
    after = left - place.gains[:, [g]] * some
    short = (np.maximum(-after, 0) * place.counted[:, None]).sum(axis=0)
    hard = ((after < -TINY) & (place.counted == 0)[:, None]).any(axis=0) | ~np.isfinite(second)
    each = np.repeat(first, count)
    dollars = (price[f] * each + price[g] * some) * float(place.model.per_head[place.k]) + short
    cost = np.where(hard, np.inf, dollars).reshape(len(first), count)
    best = np.argmin(cost, axis=0)
    found = np.stack([first[best], second.reshape(len(first), count)[best, np.arange(count)]])
    found[:, ~np.isfinite(cost.min(axis=0))] = np.inf
    return found


def _minerals(place: _Place, hay: Ints, hay_lb: Floats, feed: Ints, feed_lb: Floats) -> tuple[Floats, Floats]:
    """Phosphorus from its cheapest source, then calcium for the need and the ratio; $ counted for what stays short."""
    model = place.model
    first = model.feeds().stop
    amounts = np.zeros((len(hay), len(model.sources) - first))
    short = np.zeros(len(hay))
    if not place.mineral_needs:
        return amounts, short
    gains = np.append(place.mineral_gains, np.zeros((len(place.mineral_gains), 1)), axis=1)
    supply = (gains[:, hay] * hay_lb).sum(axis=2) + (gains[:, feed] * feed_lb).sum(axis=2)
    dollars = SHORT_DOLLARS * LB_PER_TON * float(model.per_head[place.k])
    for row, (name, need) in enumerate(place.mineral_needs.items()):
        rich = [m for m in range(amounts.shape[1]) if place.mineral_gains[row, first + m] > 0]
        for m in sorted(rich, key=lambda m: model.cost[first + m] / place.mineral_gains[row, first + m]):
            gap = np.maximum(need - supply[row], 0)
            more = np.minimum(
                gap * (1 + TINY) / place.mineral_gains[row, first + m], place.caps[first + m] - amounts[:, m]
            )
            amounts[:, m] += more
            supply = supply + place.mineral_gains[:, [first + m]] * more
        short += np.maximum(need - supply[row], 0) * dollars * COUNTS.get(name, COUNTS[CALCIUM])
    return amounts, short
