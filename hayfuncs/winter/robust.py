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
from hayfuncs.winter.requirements import needs_of
from hayfuncs.winter.solve import model_of
from hayfuncs.winter.whatif import Outcome, hay_bought

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
    """The safest purchase and its premium, or in words why there is none."""
    base = found[0]
    if base.plan.failures:
        return "No robust choice: the plan itself leaves needs short."
    can = [o for o in found if not o.plan.failures]
    offers = base.case.farm.for_sale
    names = tuple(o.case.name for o in can[1:])
    out = tuple(o.case.name for o in found if o.plan.failures)
    if not offers:
        held = "the farm's own hay reaches grass in" if can[1:] else "nothing else is enough, as"
        return f"No hay is offered for sale, so there is nothing to buy ahead; {held} {', '.join(names) or 'no line'}."
    parts: list[highs.Matrix] = []
    sides, costs, lowers, uppers = [], [], [], []
    own = len(base.case.farm.lots)
    models = []
    for outcome in can:
        endless = tuple(replace(h, tons=float("inf")) for h in outcome.case.farm.for_sale)
        farm = replace(outcome.case.farm, for_sale=endless)
        models.append(model_of(farm, needs_of(farm), None))
    sizes = [m.eaten.size for m in models]
    starts = np.cumsum([0, *sizes])
    every = int(starts[-1]) + len(offers)
    kept = np.array([1 - h.storage_loss_pct / 100 for h in offers])
    for i, model in enumerate(models):
        matrix, side, _ = linear.matrix_of(model)
        parts.append(highs.Matrix(matrix.rows, every, matrix.row, matrix.column + starts[i], matrix.value))
        sides.append(side)
        places = len(model.places)
        price = model.cost.copy()
        price[own : model.hays] = 0.0
        costs.append(np.repeat(price, places) * (1.0 if i == 0 else AFTERWARDS))
        lowers.append(model.lower.ravel())
        uppers.append(model.caps.ravel())
        n = len(offers)
        row = np.repeat(np.arange(n), places)
        column = np.concatenate([starts[i] + (own + s) * places + np.arange(places) for s in range(n)])
        taken = highs.Matrix(n, every, row, column, np.ones(len(row)))
        bought = highs.Matrix(n, every, np.arange(n), starts[-1] + np.arange(n), -kept)
        parts.append(
            highs.Matrix(n, every, *(np.concatenate([getattr(m, p) for m in (taken, bought)]) for p in ("row", "column", "value")))
        )  # fmt: skip
        sides.append(np.zeros(n))
    costs.append(np.array([h.price_per_ton for h in offers]))
    lowers.append(np.zeros(len(offers)))
    uppers.append(np.array([h.tons for h in offers]))
    side = np.concatenate(sides)
    program = highs.Program(
        np.concatenate(costs), highs.Matrix.stacked(parts, every), np.full(len(side), -np.inf), side,
        np.concatenate(lowers), np.concatenate(uppers),
    )  # fmt: skip
    result = highs.solved(program, {"solver": "ipm", "time_limit": max(clock.left, linear.LEAST_SECONDS)}, stop=clock.stopped)  # fmt: skip
    if result.status != highs.OPTIMAL or result.x is None:
        return "The robust choice was not found in the time given (--seconds)."
    tons = result.x[starts[-1] :]
    first = result.x[: sizes[0]]
    cost = float(costs[0] @ first + costs[-1] @ tons)
    more = float(tons.sum()) - hay_bought(base.plan)
    return Robust(
        {h.name: float(t) for h, t in zip(offers, tons, strict=True) if t > 1e-3}, cost, max(cost - base.plan.cost, 0.0), more, names, out
    )  # fmt: skip
