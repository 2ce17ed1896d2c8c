"""Days between feedings for each group, and the rations of whole bales that its plan may choose from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hayfuncs.winter.clock import Clock
from hayfuncs.winter.ease import Place, place_of
from hayfuncs.winter.linear import Answer
from hayfuncs.winter.model import Floats, Model, Progress
from hayfuncs.winter.rations import Ease, rations

CANDIDATES = 10  # hays that a group and period may choose from, beside those of the cheapest plan and those for sale
FEW_CANDIDATES = 4  # by which the days between feedings are chosen
LISTING = 0.4  # part of the time that is left for listing rations; beyond it fewer hays and one feed are looked at


def candidates(model: Model, answer: Answer, most: int = CANDIDATES) -> list[list[int]]:
    """The hays that each place may choose from: those it has in the cheapest plan, the next best, those for sale."""
    found: list[list[int]] = []
    hay = model.sources[: model.hays]
    dm = np.array([max(s.dm_pct, 1.0) for s in hay])
    bought = list(range(len(model.farm.lots), model.hays))
    for k in range(len(model.places)):
        used = answer.tons[: model.hays, k] > 0
        price = -np.array([s.tdn_pct for s in hay]) if answer.reduced is None else answer.reduced[: model.hays, k] / dm
        order = np.lexsort((price, ~used))
        found.append(sorted({*map(int, order[: max(most, int(used.sum()))]), *bought}))
    return found


def days_between(
    model: Model, answer: Answer, ease: Ease, fixed: Mapping[int, Floats], clock: Clock
) -> tuple[int, ...]:
    """Days between feedings, by group: those with which a few rations are cheapest; one day where time is up."""
    may = candidates(model, answer, FEW_CANDIDATES)
    price, few = model.cost + answer.stock_prices, replace(ease, feeds=min(ease.feeds, 1))
    every: list[int] = []
    for g in range(len(model.farm.groups)):
        mine = [k for k, place in enumerate(model.places) if place[0] == g and k not in fixed]
        some = [mine[i] for i in sorted({0, len(mine) // 2, len(mine) - 1})] if mine else []
        best = float("inf"), 1
        for days in range(ease.ring_days, 0, -1):
            if clock.over():
                break
            spent = 0.0
            for k in some:
                reduced = None if answer.reduced is None else answer.reduced[:, k]
                place = place_of(model, few, k, days, rations(model, few, k, days, may[k], price, reduced))
                spent += float(place.worth(answer.stock_prices, 0 * answer.stock_prices).min())
            best = min(best, (spent, -days))
        every.append(abs(best[1]))
    return tuple(every)


def gathered(
    model: Model, answer: Answer, ease: Ease, every: tuple[int, ...], fixed: Mapping[int, Floats], clock: Clock, tell: Progress
) -> list[Place] | None:  # fmt: skip
    """All rations that are worth looking at, by place; None where time is up before all are listed."""
    may, looked = candidates(model, answer), ease
    price = model.cost + answer.stock_prices
    groups = model.farm.groups
    pool: list[Place] = []
    whole = clock.left
    for k, (g, p) in enumerate(model.places):
        if k in fixed:
            continue
        if p == 0:
            tell(f"rations of whole bales for {groups[g].name}, {g + 1} of {len(groups)}")
        if clock.over():
            return None
        reduced = None if answer.reduced is None else answer.reduced[:, k]
        pool.append(place_of(model, ease, k, every[g], rations(model, looked, k, every[g], may[k], price, reduced)))
        if (
            looked is ease
            and math.isfinite(whole)
            and (whole - clock.left) * len(model.places) > LISTING * len(pool) * whole
        ):
            may = candidates(model, answer, FEW_CANDIDATES)  # a plan of fewer rations is better than none
            looked = replace(ease, feeds=min(ease.feeds, 1))
    return pool
