"""Days between feedings for each group, and the rations of whole bales that its plan may choose from."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hayfuncs.winter.ease import Place, place_of
from hayfuncs.winter.model import Answer, Floats, Model, Progress
from hayfuncs.winter.rations import Ease, rations

CANDIDATES = 10  # hays that a group and period may choose from, beside those of the cheapest plan and those for sale


def candidates(model: Model, answer: Answer) -> list[list[int]]:
    """The hays that each place may choose from: those it has in the cheapest plan, the next best, those for sale."""
    found: list[list[int]] = []
    hay = model.sources[: model.hays]
    dm = np.array([max(s.dm_pct, 1.0) for s in hay])
    bought = list(range(len(model.farm.lots), model.hays))
    for k in range(len(model.places)):
        used = answer.tons[: model.hays, k] > 0
        price = -np.array([s.tdn_pct for s in hay]) if answer.reduced is None else answer.reduced[: model.hays, k] / dm
        order = np.lexsort((price, ~used))
        found.append(sorted({*map(int, order[: max(CANDIDATES, int(used.sum()))]), *bought}))
    return found


def gathered(
    model: Model, answer: Answer, ease: Ease, fixed: Mapping[int, Floats], tell: Progress
) -> tuple[tuple[int, ...], list[Place]]:
    """Days between feedings, by group, and all rations that are worth looking at, by place."""
    may = candidates(model, answer)
    price = model.cost + answer.stock_prices
    groups = model.farm.groups
    every: list[int] = []
    pool: list[Place] = []
    for g, group in enumerate(groups):
        tell(f"rations of whole bales for {group.name}, {g + 1} of {len(groups)}")
        best: tuple[float, int, list[Place]] | None = None
        mine = [k for k, place in enumerate(model.places) if place[0] == g and k not in fixed]
        for days in range(ease.ring_days, 0, -1):
            here: list[Place] = []
            spent = 0.0
            for k in mine:
                reduced = None if answer.reduced is None else answer.reduced[:, k]
                place = place_of(model, ease, k, days, rations(model, ease, k, days, may[k], price, reduced))
                spent += float(place.worth(answer.stock_prices, 0 * answer.stock_prices).min())
                here.append(place)
            if best is None or spent < best[0]:
                best = spent, days, here
        assert best is not None
        every.append(best[1])
        pool += best[2]
    return tuple(every), pool
