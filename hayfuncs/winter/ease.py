"""The winter plan as a person carries it out: for each group and period one ration of whole bales is chosen.

    least cost of the rations   with   one ration a place, no stack overdrawn, stacks used one after another

Rations (`rations`) hold needs, limits, bales, and the numbers of hays and feeds; what is left to choose
couples them only through the stacks, so that the program is large but easy.  What a person would rather
not do has a price in dollars beside the plan's own cost, so that it is done only where it must be:
weighing out hay, opening a stack out of turn, dropping a feed before the season ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.leastcost import highs
from hayfuncs.winter.bales import bale_put_out_lb, counts
from hayfuncs.winter.model import THRIFT, Floats, Model
from hayfuncs.winter.problem import Lot
from hayfuncs.winter.rations import Ease, Ints, Rations

FEW_BALES, FEW_PCT = 3.0, 10.0  # a stack down to so many bales, or such a part of it, counts as used up
ROOM_TONS = 1e-6
MORE_CHANGES_COST = 15.0  # times what a change is worth: a ration of one feeding is for nobody to carry out
NEARLY = 1e-4  # of a feeding: nearer to a whole one is whole
OVERDRAWN_DOLLARS = 20_000.0  # a ton that is not there: never chosen where anything else can be


@dataclass
class Place:
    """One group in one period, and the rations that may be chosen there."""

    k: int
    rations: Rations
    per_lb: float  # tons in 1 lb a head and a day, by pounds and days
    drawn_per_lb: float  # of hay, by whole feedings
    own: Floats  # $, the plan's own cost
    aside: Floats  # $, what stays short and what ease is worth
    feedings: int  # of hay in the period; a ration holds for whole feedings

    def picked(self, rows: Ints) -> Place:
        of = self.rations.picked(rows)
        return Place(self.k, of, self.per_lb, self.drawn_per_lb, self.own[rows], self.aside[rows], self.feedings)

    def worth(self, by_tons: Floats, by_feedings: Floats) -> Floats:
        """$ with what the stacks are worth, by source for each ton in either count."""
        r = self.rations
        of_hay = np.append(by_tons * self.per_lb + by_feedings * self.drawn_per_lb, 0.0)
        of_feed = np.append((by_tons + by_feedings) * self.per_lb, 0.0)
        found: Floats = (
            self.own + self.aside + (of_hay[r.hay] * r.hay_lb).sum(axis=1) + (of_feed[r.feed] * r.feed_lb).sum(axis=1)
        )
        return found

    def tons(self, model: Model, by_feedings: bool = False) -> Floats:
        """Ration x source."""
        found = self.rations.pounds(len(model.sources), model.feeds().stop) * self.per_lb
        if by_feedings:
            found[:, : model.hays] *= self.drawn_per_lb / self.per_lb
        return found


def place_of(model: Model, ease: Ease, k: int, every: int, found: Rations) -> Place:
    g, p = model.places[k]
    periods = model.farm.periods()
    needs = [model.needs[j] for j, (group, _) in enumerate(model.places) if group == g]
    given = counts(periods, needs, every)[p]
    per_lb = float(model.per_head[k])
    price = np.append(model.cost + THRIFT * (np.arange(len(model.sources)) < model.hays), 0.0)
    own = (price[found.hay] * found.hay_lb).sum(axis=1) + (price[found.feed] * found.feed_lb).sum(axis=1)
    own = (own + found.mineral_lb @ model.cost[model.feeds().stop :]) * per_lb
    baled = np.array([bale_put_out_lb(s) is not None for s in model.sources] + [False])
    weighed = found.weighed & baled[found.hay].any(axis=1)  # hay that is in no bales is weighed anyway
    drawn = model.farm.groups[g].head * every * given / LB_PER_TON
    aside = found.short + weighed * ease.weighing_dollars * periods[p].days
    return Place(k, found, per_lb, drawn, own, aside, max(given, 1))


@dataclass
class Program:
    """Columns: feedings of each ration of a place, whether it is fed at all, then what the order of stacks asks for."""

    model: Model
    places: list[Place]
    fixed: Floats  # tons of what a person has pinned, source x place
    first: list[int] = field(default_factory=list)  # column of the first ration of each place
    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    period: list[int] = field(default_factory=list)  # -1: of the whole winter
    row: list[Ints] = field(default_factory=list)
    column: list[Ints] = field(default_factory=list)
    value: list[Floats] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    row_period: list[int] = field(default_factory=list)  # of a row that counts once its period is whole; -1: always
    of_stock: list[tuple[int, int]] = field(default_factory=list)  # row, source: what a ton more is worth

    def add(self, period: int, upper: float, cost: float, whole: bool) -> int:
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        self.period.append(period)
        return len(self.cost) - 1

    def at_most(
        self, columns: Sequence[int] | Ints, values: Sequence[float] | Floats, most: float, period: int = -1, low: float = -np.inf
    ) -> int:  # fmt: skip
        at = len(self.most)
        self.row.append(np.full(len(columns), at, dtype=np.intp))
        self.column.append(np.asarray(columns, dtype=np.intp))
        self.value.append(np.asarray(values, dtype=float))
        self.low.append(low)
        self.most.append(most)
        self.row_period.append(period)
        return at

    def told(self, whole: Floats, live: Floats, lower: Floats, upper: Floats) -> highs.Program:
        matrix = highs.Matrix(
            len(self.most), len(self.cost), np.concatenate(self.row), np.concatenate(self.column), np.concatenate(self.value)
        )  # fmt: skip
        most, low = np.where(live, self.most, np.inf), np.where(live, self.low, -np.inf)
        kinds = whole.astype(bool) if whole.any() else None
        return highs.Program(np.array(self.cost), matrix, low, most, lower, upper, kinds)

    def chosen(self, x: Floats) -> list[dict[int, int]]:
        """Feedings of each ration that is fed, by place; where they are not whole, all to the one with the most."""
        found: list[dict[int, int]] = []
        for place, at in zip(self.places, self.first, strict=True):
            n = x[at : at + len(place.own)]
            whole = np.round(n).astype(int)
            if whole.sum() != place.feedings or np.abs(n - whole).max() > NEARLY:
                found.append({int(np.argmax(n)): place.feedings})
            else:
                found.append({int(r): int(whole[r]) for r in np.flatnonzero(whole)})
        return found


def build(
    model: Model, ease: Ease, places: list[Place], season: Floats, pinned: Mapping[int, Floats], order: bool = True
) -> Program:
    """`season`: each group's cost in the cheapest plan.  Without `order` only the stacks themselves count."""
    fixed = np.zeros(model.eaten.shape)
    for k, tons in pinned.items():
        fixed[:, k] = tons
    program = Program(model, places, fixed)
    for place in places:
        program.first.append(len(program.cost))
        p = model.places[place.k][1]
        for dollars in (place.own + place.aside) / place.feedings:
            program.add(p, place.feedings, float(dollars), True)
        at = np.arange(program.first[-1], len(program.cost))
        program.at_most(at, np.ones(len(at)), place.feedings, low=place.feedings)
    _stocks(program)
    if order:
        _changes(program, ease)
        _kept(program, ease, season)
        _turns(program, ease)
    return program


def _changes(program: Program, ease: Ease) -> None:
    """Few rations one after another in a period."""
    for place, first in zip(program.places, program.first, strict=True):
        p = program.model.places[place.k][1]
        fed = [program.add(p, 1.0, ease.change_dollars, True) for _ in place.own]
        for r, at in enumerate(fed):
            program.at_most([first + r, at], [1.0, -place.feedings], 0.0)
        more = program.add(
            p, np.inf, MORE_CHANGES_COST * ease.change_dollars, False
        )  # where the ends of stacks are fed up
        program.at_most([*fed, more], [1.0] * len(fed) + [-1.0], 1 + ease.changes)


def _stocks(program: Program) -> None:
    """No stack is overdrawn, neither by pounds and days nor by whole feedings."""
    model = program.model
    ending = np.flatnonzero(np.isfinite(model.stock))
    if not len(ending):
        return
    sources, columns, values, drawn = (np.concatenate(part) for part in zip(*_amounts(program), strict=True))
    row = np.full(len(model.sources), -1)
    row[ending] = np.arange(len(ending))
    kept = row[sources] >= 0
    sources, columns, values, drawn = sources[kept], columns[kept], values[kept], drawn[kept]
    more = np.array([program.add(-1, np.inf, OVERDRAWN_DOLLARS, False) for _ in ending])
    first = len(program.most)
    for count, amounts in enumerate((values, drawn)):
        program.row += [first + 2 * row[sources] + count, first + 2 * np.arange(len(ending)) + count]
        program.column += [columns, more]
        program.value += [amounts, np.full(len(more), -1.0)]
    for s in map(int, ending):
        left = max(float(model.stock[s] - program.fixed[s].sum()), 0.0)
        for _ in range(2):
            program.of_stock.append((len(program.most), s))
            program.low.append(-np.inf)
            program.most.append(left)
            program.row_period.append(-1)


def _amounts(program: Program) -> Iterator[tuple[Ints, Ints, Floats, Floats]]:
    """Source, column, tons of one feeding by pounds and days, and by whole feedings."""
    minerals = program.model.feeds().stop
    for place, at in zip(program.places, program.first, strict=True):
        r, each, drawn = place.rations, place.per_lb / place.feedings, place.drawn_per_lb / place.feedings
        for names, pounds, by_feedings in ((r.hay, r.hay_lb, drawn), (r.feed, r.feed_lb, each)):
            rows, slot = np.nonzero(names >= 0)
            lb = pounds[rows, slot]
            yield names[rows, slot], at + rows, lb * each, lb * by_feedings
        rows, slot = np.nonzero(r.mineral_lb)
        lb = r.mineral_lb[rows, slot] * each
        yield slot + minerals, at + rows, lb, lb


def _kept(program: Program, ease: Ease, season: Floats) -> None:
    """A feed once begun stays, or pays for being dropped."""
    model = program.model
    at = {model.places[place.k]: i for i, place in enumerate(program.places)}
    for (g, p), i in at.items():
        j = at.get((g, p + 1))
        if j is None:
            continue
        for f in model.feeds():
            fed = np.flatnonzero((program.places[i].rations.feed == f).any(axis=1))
            after = np.flatnonzero((program.places[j].rations.feed == f).any(axis=1))
            if len(fed) and len(after):
                dropped = program.add(p + 1, 1.0, ease.keep_feed_pct / 100 * float(season[g]), False)
                columns = np.concatenate([program.first[i] + fed, program.first[j] + after, [dropped]])
                of_i, of_j = (1 / program.places[at].feedings for at in (i, j))
                values = np.concatenate([np.full(len(fed), of_i), np.full(len(after), -of_j), [-1.0]])
                program.at_most(columns, values, 0.0, p + 1)


def alike(model: Model, ease: Ease) -> list[tuple[int, int, bool]]:
    """Pairs of own lots of like TDN: whether the first, outdoors, goes before the second, else one after the other."""
    lots = model.farm.lots
    found: list[tuple[int, int, bool]] = []
    for i, one in enumerate(lots):
        for j, other in enumerate(lots):
            if i == j or min(one.tons, other.tons) <= 0 or abs(one.tdn_pct - other.tdn_pct) > ease.like_tdn:
                continue
            if one.outdoors and not other.outdoors:
                found.append((i, j, True))
            elif i < j and one.outdoors == other.outdoors and one.forage and one.forage == other.forage:
                found.append((i, j, False))
    return found


def few_tons(model: Model, s: int) -> float:
    """So little of a stack left that it counts as used up."""
    lot = model.sources[s]
    return max(FEW_PCT / 100 * float(model.stock[s]), FEW_BALES * (bale_put_out_lb(lot) or 0.0) / LB_PER_TON)


def out_of_turn(model: Model, ease: Ease, pairs: list[tuple[int, int, bool]], used: Floats) -> Floats:
    """$ for each source that should wait until another is used up, where so many tons are gone; 0 for none at all."""
    wait = np.zeros(len(model.sources) + 1)
    for one, other, first in pairs:
        left = {s: float(model.stock[s]) - used[s] > few_tons(model, s) for s in (one, other)}
        opened = {s: used[s] > 0 for s in (one, other)}
        if left[one] and not opened[other] and (first or opened[one]):
            wait[other] += ease.turn_dollars
        elif not first and left[other] and opened[other] and not opened[one]:
            wait[one] += ease.turn_dollars
    return wait


def _turns(program: Program, ease: Ease) -> None:
    """The order of the stacks, by whether each is opened and used up at the end of each period."""
    model = program.model
    users: dict[int, list[tuple[int, Ints]]] = {}
    for i, place in enumerate(program.places):
        for s in map(int, np.unique(place.rations.hay)):
            users.setdefault(s, []).append((i, np.flatnonzero((place.rations.hay == s).any(axis=1))))
    pairs = [(i, j, first) for i, j, first in alike(model, ease) if i in users and j in users]
    periods = range(len(model.farm.periods()))
    opened: dict[tuple[int, int], int] = {}
    gone: dict[tuple[int, int], int] = {}
    for s in sorted({s for i, j, _ in pairs for s in (i, j)}):
        assert isinstance(model.sources[s], Lot)
        columns, values = np.zeros(0, np.intp), np.zeros(0)
        for p in periods:
            opened[s, p], gone[s, p] = program.add(p, 1, 0.0, True), program.add(p, 1, 0.0, True)
            if p:
                program.at_most([opened[s, p - 1], opened[s, p]], [1.0, -1.0], 0.0, p)
            for i, rows in users[s]:
                place = program.places[i]
                if model.places[place.k][1] != p:
                    continue
                at = program.first[i] + rows
                program.at_most([*at, opened[s, p]], [1.0] * len(at) + [-place.feedings], 0.0, p)
                tons = (place.rations.hay_lb[rows] * (place.rations.hay[rows] == s)).sum(axis=1)
                tons = tons * place.per_lb / place.feedings
                columns, values = np.append(columns, at), np.append(values, -tons)
            before = float(program.fixed[s, [place[1] <= p for place in model.places]].sum())
            enough = max(float(model.stock[s]) - few_tons(model, s), ROOM_TONS)
            program.at_most([*columns, gone[s, p]], [*values, enough], before, p)
    for i, j, first in pairs:
        broken = program.add(-1, 1.0, ease.turn_dollars, False)
        for p in periods:
            if first:
                program.at_most([opened[j, p], gone[i, p], broken], [1.0, -1.0, -1.0], 0.0, p)
            else:
                both = [opened[i, p], opened[j, p], gone[i, p], gone[j, p], broken]
                program.at_most(both, [1.0, 1.0, -1.0, -1.0, -1.0], 1.0, p)
