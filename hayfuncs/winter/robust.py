"""How much hay to buy before the winter so that it reaches grass whatever comes, and what that costs too much if nothing does.

    least cost of the winter as planned   with   the hay that is bought at the start, in every case:  no more hay later

One linear program: the plan of each case beside the others, and the tons bought, which all of them share.  Feeds
are bought as they are needed.  Hay that is left over at grass counts as lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hayfuncs.leastcost import highs
from hayfuncs.winter import linear
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.model import Floats
from hayfuncs.winter.problem import HayForSale
from hayfuncs.winter.whatif import Outcome, hay_bought

LEAST_TONS = 1e-3  # less is not bought
AFTERWARDS = 1e-4  # how much a dollar counts in a case that may come: only between plans that cost the same


@dataclass(frozen=True)
class Robust:
    """`tons` to buy of each hay for sale, as bought; `cost` of the winter if it turns out as planned."""

    tons: dict[str, float]
    cost: float
    premium: float
    more_tons: float  # than the cheapest plan buys
    covered: tuple[str, ...]  # names of the cases in which it reaches grass without another load of hay
    not_covered: tuple[str, ...]  # cases in which no hay that can be bought would do

    def words(self) -> str:
        if not self.tons and self.more_tons <= 0:
            said = "Robust choice: no hay to buy; with more feed bought then, the farm's own hay reaches grass in every line above."
        elif self.premium < 1:
            said = "Robust choice: the plan as it is. Its hay reaches grass in every line above, with more feed bought then."
        else:
            parts = " and ".join(f"{tons:,.1f} tons of {name}" for name, tons in self.tons.items())
            said = (
                f"Robust choice: buy {parts} now ({self.more_tons:,.1f} tons more than planned). With feed bought as needed that reaches grass "
                f"in every line above; its premium is ${self.premium:,.0f} if the winter turns out as planned and the rest is worth nothing then."
            )
        if self.not_covered:
            said = said.replace("every line above", "every other line above")
            said += f" No hay that can be bought is enough for: {', '.join(self.not_covered)}."
        return said


def robust(found: Sequence[Outcome], clock: Clock) -> Robust | str:
    """The safest purchase and its premium, or in words why there is none.  The first outcome is the winter as planned."""
    base = found[0]
    if base.plan.failures:
        return "No robust choice: the plan itself leaves needs short."
    can = [o for o in found if not o.plan.failures]
    names, out = tuple(o.case.name for o in can[1:]), tuple(o.case.name for o in found if o.plan.failures)
    offers = base.case.farm.for_sale
    if not offers:
        held = "the farm's own hay reaches grass in" if names else "its own hay is not enough for"
        return f"No hay is offered for sale, so there is nothing to buy ahead; {held} {', '.join(names or out)}."
    program, cost, sizes = _together(can, offers)
    options: dict[str, highs.Option] = {"solver": "ipm", "time_limit": max(clock.left, linear.LEAST_SECONDS)}
    result = highs.solved(program, options, stop=clock.stopped)
    if result.status != highs.OPTIMAL or result.x is None:
        return "The robust choice was not found in the time given (--seconds)."
    bought = result.x[sum(sizes) :]
    spent = float(cost @ result.x)
    return Robust(
        {h.name: float(tons) for h, tons in zip(offers, bought, strict=True) if tons > LEAST_TONS},
        spent, max(spent - base.plan.cost, 0.0), float(bought.sum()) - hay_bought(base.plan), names, out,
    )  # fmt: skip


def _together(can: Sequence[Outcome], offers: Sequence[HayForSale]) -> tuple[highs.Program, Floats, list[int]]:
    """All cases side by side and the tons bought, which they share; what counts in dollars; the columns of each case."""
    endless = tuple(replace(h, tons=float("inf")) for h in offers)  # the tons bought are their stock
    models = [o.stays.selling(endless).model()[0] for o in can]
    sizes = [model.eaten.size for model in models]
    starts = np.cumsum([0, *sizes])
    n, own, every = len(offers), len(models[0].farm.lots), int(starts[-1]) + len(offers)
    kept = np.array([1 - h.storage_loss_pct / 100 for h in offers])
    parts: list[highs.Matrix] = []
    sides: list[Floats] = []
    costs: list[Floats] = []
    for model, start in zip(models, starts[:-1], strict=True):
        matrix, side, _ = linear.matrix_of(model)
        parts.append(highs.Matrix(matrix.rows, every, matrix.row, matrix.column + start, matrix.value))
        places = len(model.places)
        fed = start + own * places + np.arange(n * places)
        row = np.append(np.repeat(np.arange(n), places), np.arange(n))
        column = np.append(fed, starts[-1] + np.arange(n))
        parts.append(highs.Matrix(n, every, row, column, np.append(np.ones(n * places), -kept)))
        sides += [side, np.zeros(n)]
        price = model.cost.copy()
        price[own : model.hays] = 0.0  # paid for when it is bought
        costs.append(np.repeat(price, places))
    prices = np.array([h.price_per_ton for h in offers])
    paid = np.concatenate([costs[0], *(0 * other for other in costs[1:]), prices])
    counted = paid + AFTERWARDS * np.concatenate([0 * costs[0], *costs[1:], 0 * prices])
    lower = np.concatenate([*(m.lower.ravel() for m in models), np.zeros(n)])
    upper = np.concatenate([*(m.caps.ravel() for m in models), np.array([h.tons for h in offers])])
    most = np.concatenate(sides)
    matrix = highs.Matrix.stacked(parts, every)
    return highs.Program(counted, matrix, np.full(len(most), -np.inf), most, lower, upper), paid, sizes
