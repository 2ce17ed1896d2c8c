"""The winter plan in whole bales from the workbook's cells: what is asked of it, and how the terminal tells it."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from hayfuncs.winter import feeding, sentences
from hayfuncs.winter import solve as winter
from hayfuncs.winter.model import Needs, Progress, Source
from hayfuncs.winter.pins import read
from hayfuncs.winter.rations import Ease

UNDER_A_ROOF = "barn"  # of the ways to store hay
HURRIED = "No plan in whole bales that meets every need was found in the time given; this is the best so far."
STEADY_STEPS = 12  # times that places are opened again: little is found after them
SOLVED = "Planned by hayfuncs in whole bales; the bound is that of amounts of any kind."


@dataclass
class Asked:
    """How easy the plan must be and how long it may take; the plan that was found is kept here too."""

    ease: Ease = field(default_factory=Ease)
    seconds: float = feeding.SECONDS
    pins: tuple[str, ...] = ()  # as they are typed
    stopped: Callable[[], bool] = lambda: False  # asked by a person who does not want to wait
    steps: int | None = None  # in place of time: the same plan on every machine
    found: feeding.EasyPlan | None = None

    def plan(self, farm: winter.Farm, needs: Needs, progress: Progress | None) -> winter.WinterPlan:
        sources: tuple[Source, ...] = (*farm.lots, *farm.for_sale, *farm.feeds, *farm.minerals)
        names = [s.name for s in sources]
        groups, periods = [g.name for g in farm.groups], [p.label for p in farm.periods()]
        amounts = [read(text, groups, periods, names) for text in self.pins]
        self.found = feeding.easy_plan(
            farm, self.ease, self.seconds, needs, progress, self.stopped, (), amounts, self.steps
        )
        return self.found.plan


def steady() -> Asked:
    """Held by the search's own steps: the plan of the committed workbooks, the same on every machine."""
    return Asked(steps=STEADY_STEPS)


def in_bales(table: Callable[[str, str], list[dict[str, Any]]], farm: winter.Farm) -> winter.Farm:
    """The farm with the weights of its bales, its forages, and what lies outdoors; hay to buy in bales like its own."""
    lots, register = table("Lots", "lots"), table("Register", "register")
    of = {str(lot["name"]): (lot, kept) for lot, kept in zip(lots, register, strict=True)}
    weights = [float(kept["weight"]) for _, kept in of.values() if isinstance(kept["weight"], (int, float))]
    usual = sum(weights) / len(weights) if weights else None
    own: list[winter.Lot] = []
    for lot in farm.lots:
        typed, kept = of[lot.name]
        weight = float(kept["weight"]) if isinstance(kept["weight"], (int, float)) else None
        where = str(kept["storage"] or "")
        own.append(replace(lot, bale_lb=weight, forage=str(typed["forage"] or ""), outdoors=where not in ("", UNDER_A_ROOF)))  # fmt: skip
    return replace(farm, lots=tuple(own), for_sale=tuple(replace(hay, bale_lb=usual) for hay in farm.for_sale))


def lines(plan: feeding.EasyPlan) -> Iterator[str]:
    """Who is fed what from when to when, and what it costs."""
    yield from sentences.lines(plan)
    yield ""
    yield sentences.cost_words(plan)
    yield from (pinned.words() for pinned in plan.pins)
    yield from sentences.weighed_words(plan)


def as_json(plan: feeding.EasyPlan | None, more: Mapping[str, Any] | None = None) -> str:
    """The plan, where there is one in whole bales, and what was asked beside it."""
    data = {} if plan is None else sentences.data(plan)
    return json.dumps({**data, **(more or {})}, indent=2, allow_nan=False) + "\n"


def only_hurried(plan: feeding.EasyPlan | None) -> bool:
    """Whether what stays short could be met by amounts of any kind: it is the search that fell short, not the farm."""
    return plan is not None and bool(plan.plan.failures) and not math.isnan(plan.bound)
