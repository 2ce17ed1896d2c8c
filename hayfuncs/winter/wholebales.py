"""The plan in whole bales: a first one at once, then the search for a cheaper one for as long as there is time.

1. Each group's days between feedings: the cheapest rations at the prices that the cheapest plan gives the stacks.
2. A first plan, place by place (`quick`); the rations that may be chosen (`gather`); the search (`rolling`).
The best plan so far is at hand whenever time is up or a person stops it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hayfuncs.winter import improving
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.gather import days_between, gathered
from hayfuncs.winter.linear import Answer
from hayfuncs.winter.model import Floats, Model, Progress
from hayfuncs.winter.quick import Fed, filled, spent
from hayfuncs.winter.rations import Ease
from hayfuncs.winter.rolling import Search


@dataclass
class Found:
    """The best so far."""

    tons: Floats  # source x place
    every: tuple[int, ...]  # days between feedings, a group
    fed: Fed  # of each place that is not pinned
    ended: bool  # False: time was up, or it was stopped, before all was tried


def easy(
    model: Model,
    answer: Answer,
    ease: Ease,
    clock: Clock,
    progress: Progress | None = None,
    pinned: Mapping[int, Floats] | None = None,
) -> Found:
    tell, fixed = progress or (lambda line: None), dict(pinned or {})
    every = days_between(model, answer, ease, fixed, clock)
    tell("a first plan")
    fed, ended = filled(model, answer, ease, every, fixed, {}), False
    pool = gathered(model, answer, ease, every, fixed, clock, tell)
    if pool:
        search = Search(model, ease, answer, every, pool, fixed, clock, tell)
        whole = search.first_round()
        ended = whole and improving.again(search)
        found = search.fed()
        if not whole:  # time was up: the rest in a moment, where that is better than the first plan
            found = filled(model, answer, ease, every, fixed, found)
        if whole or spent(found) < spent(fed):
            fed = found
    tons = np.zeros(model.eaten.shape)
    for k, amounts in fixed.items():
        tons[:, k] = amounts
    for k, (place, feedings) in fed.items():
        tons[:, k] = np.array(feedings) @ place.tons(model) / place.feedings
    return Found(tons, every, fed, ended or not fed)
