"""A plan in whole bales within moments: place by place in time, the cheapest ration of what the stacks still hold.

It follows the cheapest plan of any amounts: each place looks at the hays that it has there and at a few others.
So there is always a plan, whatever time is left; the search that follows (`rolling`) makes it cheaper.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.winter.bales import counts
from hayfuncs.winter.ease import Place, place_of
from hayfuncs.winter.gather import candidates
from hayfuncs.winter.linear import Answer
from hayfuncs.winter.model import Floats, Model
from hayfuncs.winter.rations import Ease, rations

FEW = 3  # hays of the cheapest plan or the next best
MOST_LEFT = 2  # own lots of which most is left

Fed = dict[int, tuple[Place, list[int]]]  # of each place its rations, and feedings of each


def used_by(model: Model, fed: Fed, fixed: Mapping[int, Floats]) -> Floats:
    """Tons of each source that are decided on, by the larger of the two counts."""
    used = np.zeros((2, len(model.sources)))
    for tons in fixed.values():
        used += tons
    for place, feedings in fed.values():
        for count in range(2):
            used[count] += np.array(feedings) @ place.tons(model, bool(count)) / place.feedings
    found: Floats = used.max(axis=0)
    return found


def filled(
    model: Model, answer: Answer, ease: Ease, every: tuple[int, ...], fixed: Mapping[int, Floats], begun: Fed
) -> Fed:
    """A ration for every place that is not in `begun`, one of two hays and two feeds at most."""
    fed = dict(begun)
    left = np.maximum(model.stock - used_by(model, fed, fixed), 0.0)
    may = candidates(model, answer, FEW)
    price = model.cost + answer.stock_prices
    few = replace(ease, feeds=min(ease.feeds, 1))
    order = sorted(range(len(model.places)), key=lambda k: (model.places[k][1], model.places[k][0]))
    order = [k for k in order if k not in fed and k not in fixed]
    owed = model.lower[:, order].sum(axis=1)  # what later places have pinned
    for k in order:
        owed = owed - model.lower[:, k]
        g, p = model.places[k]
        own = len(model.farm.lots)
        look = sorted({*may[k], *map(int, np.argsort(-left[:own], kind="stable")[:MOST_LEFT])})
        needs = [model.needs[j] for j, (group, _) in enumerate(model.places) if group == g]
        drawn = model.farm.groups[g].head * every[g] * counts(model.farm.periods(), needs, every[g])[p] / LB_PER_TON
        share = min(1.0, float(model.per_head[k]) / drawn) if drawn else 1.0
        reduced = None if answer.reduced is None else answer.reduced[:, k]
        held = replace(model, stock=np.where(np.isfinite(left), np.maximum(left - owed, 0) * share, np.inf))
        place: Place | None = None
        for tried in (few, ease):  # two feeds only where one does not do
            place = place_of(model, ease, k, every[g], rations(held, tried, k, every[g], look, price, reduced))
            worth = place.worth(answer.stock_prices, 0 * answer.stock_prices)
            row = int(np.argmin(worth))
            if place.rations.short[row] <= 0:
                break
        assert place is not None
        fed[k] = place.picked(np.array([row])), [place.feedings]
        left = np.maximum(left - np.maximum(*(fed[k][0].tons(model, by)[0] for by in (False, True))), 0.0)
    return fed


def spent(fed: Fed) -> float:
    """$ of a plan with what stays short and what ease is worth."""
    return sum(float(np.array(n) @ (place.own + place.aside)) / place.feedings for place, n in fed.values())
