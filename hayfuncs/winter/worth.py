"""What a ton of each lot and of each feed is worth by the plan, beside what it would bring or costs.

A ton less of a lot costs its value in the plan (it is not there to be fed or sold) and what feeding without it costs
more than that: the price that the linear program puts on the stack, with losses.  A feed without an end has no such
price: what the winter costs without it says what it is worth, and for a feed that is not bought how far it is too dear.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from hayfuncs.winter import linear
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.evaluate import evaluate
from hayfuncs.winter.linear import Answer
from hayfuncs.winter.model import Model, Progress

LEFT_TONS = 0.05  # less is not worth a word
FED_TONS = 1e-3  # less of a feed is not bought


@dataclass(frozen=True)
class LotWorth:
    """Dollars a ton as stored."""

    name: str
    value: float  # what the plan counts it at
    a_ton_less: float  # what the winter would cost more without a ton of it, beyond that value
    tons_left: float  # at turnout

    @property
    def by_the_plan(self) -> float:
        return self.value + self.a_ton_less


@dataclass(frozen=True)
class FeedWorth:
    """Of a feed that the plan buys: what the winter costs more without it.  Of another: the price at which it would be bought."""

    name: str
    price: float
    tons: float
    without: float | None  # $ for the winter; None: needs cannot be met without it
    enters_at: float | None  # $ a ton; None where it is bought already


def lots_worth(model: Model, answer: Answer) -> list[LotWorth]:
    """Nothing where needs stay short: there the plan's dollars say nothing."""
    if answer.short:
        return []
    found: list[LotWorth] = []
    for s, lot in enumerate(model.farm.lots):
        if lot.tons > 0:
            kept = float(model.stock[s] / lot.tons)
            left = max(lot.tons - float(answer.tons[s].sum()) / kept, 0.0) if kept > 0 else 0.0
            found.append(LotWorth(lot.name, lot.value_per_ton, float(answer.stock_prices[s]) * kept, left))
    return found


def feeds_worth(model: Model, answer: Answer, clock: Clock, progress: Progress | None = None) -> Iterator[FeedWorth]:
    """Each feed; for one that is bought the winter is planned again without it."""
    if answer.short or answer.reduced is None:
        return
    cost = evaluate(model, answer.tons).cost
    for s in model.feeds():
        feed = model.farm.feeds[s - model.hays]
        tons = float(answer.tons[s].sum())
        if tons <= FED_TONS:
            may = model.caps[s] > 0
            yield FeedWorth(feed.name, feed.price_per_ton, 0.0, 0.0, feed.price_per_ton - float(answer.reduced[s][may].min()) if may.any() else None)  # fmt: skip
            continue
        if progress is not None:
            progress(f"the winter without {feed.name}")
        caps = model.caps.copy()
        caps[s] = 0.0
        without = replace(model, caps=caps, lower=np.minimum(model.lower, caps))
        again = linear.solve(without, None, clock)
        more = None if again.short else evaluate(without, again.tons).cost - cost
        yield FeedWorth(feed.name, feed.price_per_ton, tons, more, None)


def cost_of_less(model: Model, answer: Answer, name: str, tons: float, clock: Clock) -> float | None:
    """$ that the winter costs more with so many tons less of a lot, planned again; None where needs stay short."""
    s = [lot.name for lot in model.farm.lots].index(name)
    share = 1 - min(1.0, tons / model.farm.lots[s].tons) if model.farm.lots[s].tons > 0 else 0.0
    stock, lower = model.stock.copy(), model.lower.copy()
    stock[s] *= share
    if lower[s].sum() > stock[s]:
        lower[s] = 0.0  # what was pinned of it is not there
    less = replace(model, stock=stock, lower=lower)
    again = linear.solve(less, None, clock)
    if again.short or answer.short:
        return None
    return evaluate(less, again.tons).cost - evaluate(model, answer.tons).cost
