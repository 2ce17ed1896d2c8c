"""The winter plan: how much of which lot goes to which group in which month, with which feed.

    plan(farm)        -> WinterPlan   the cheapest plan that meets every need in every month
    plain_plan(farm)  -> WinterPlan   what the plain rule would do: best hay to the neediest
    remeasure(farm, rows)             -> WinterPlan   a plan changed by hand, measured anew
    needs_of(farm), farm.periods()    the needs and months that all of them use

`farm` is a `Farm` of `Lot`, `HayForSale`, `Feed` and `Group` (hayfuncs.winter.problem says what each
field means and in which unit).  A `WinterPlan` holds the rows to feed by, the balance of every
group and month, the stock of every lot, the purchase list, the budget, what another ton of each
lot would save, and what is not met (hayfuncs.winter.evaluate).

Each group's need is DAILY_NEED at its stage in the middle of the month; just after calving it is not
read at the trough, and milk stops at the group's weaning date, not before (`month_read`).  A month here is a calendar month, cut at the
start and at turnout.  Costs are those of feeds, of bought hay, and of own hay at its value.  A hay may have a most share of the diet, which its nitrate
asks for, one for groups that may hold cows in calf and one for others (`in_calf`): it is fed only
where hay is ground and mixed, and all such hays together are held to what is allowed; all grain
together is held under a share of body weight.
Urea is refused.  Calcium, phosphorus and the least ratio of the two are needs like the others where
`Farm.min_ca_p` is given, met by mineral sources too.  What nitrate, grain and the rest may still do
within their limits is not part of the plan: that is for the veterinarian.

`progress`, where given, is called with a line of text at each step and every second while the
solver is at work.  The result depends on the farm alone.
"""

from __future__ import annotations

from dataclasses import replace

from hayfuncs.contract.errors import BadInput
from hayfuncs.winter import baseline as plainrule
from hayfuncs.winter import linear
from hayfuncs.winter import model as wintermodel
from hayfuncs.winter.evaluate import (
    Balance,
    Budget,
    Failure,
    LotValue,
    PlanRow,
    Purchase,
    Stock,
    WinterPlan,
    evaluate,
    lot_values,
    tons_of,
)
from hayfuncs.winter.model import Model, Needs, Progress
from hayfuncs.winter.possible import check_farm
from hayfuncs.winter.problem import (
    WHO,
    Farm,
    Feed,
    Group,
    HayForSale,
    Lot,
    Mineral,
    Need,
    Period,
)
from hayfuncs.winter.requirements import in_calf, is_nursing, month_read, months_since_calving, needs_of

__all__ = [
    "Balance", "Budget", "Failure", "Farm", "Feed", "Group", "HayForSale", "Lot", "LotValue", "Mineral", "Need", "Period",
    "PlanRow", "Purchase", "Stock", "WinterPlan", "in_calf", "is_nursing", "month_read", "months_since_calving", "needs_of", "plain_plan", "plan", "remeasure",
]  # fmt: skip


def plan(farm: Farm, needs: Needs | None = None, progress: Progress | None = None) -> WinterPlan:
    """The cheapest plan.  Where not every need can be met: the cheapest of the plans least short,

    with what is short in `failures`.  `needs` (group x period) stands in for DAILY_NEED's.
    """
    model = model_of(farm, needs, progress)
    answer = linear.solve(model, progress)
    if progress is not None:
        progress("writing the plan out")
    found = evaluate(model, answer.tons, answer.prices)
    return replace(found, lot_values=lot_values(model, answer.tons, answer.stock_prices), dual_bound=answer.bound)


def plain_plan(farm: Farm, needs: Needs | None = None, progress: Progress | None = None) -> WinterPlan:
    """The plain rule's plan (hayfuncs.winter.baseline); `failures` says what it does not keep."""
    model = model_of(farm, needs, progress)
    return evaluate(model, plainrule.plain_tons(model))


def remeasure(farm: Farm, rows: tuple[PlanRow, ...], needs: Needs | None = None) -> WinterPlan:
    """A plan changed by hand: its pounds a head and a day are taken, all else is worked anew."""
    model = model_of(farm, needs, None)
    known = {
        "period": {p.label for p in farm.periods()},
        "group": {g.name for g in farm.groups},
        "name": {s.name for s in model.sources},
    }
    for row in rows:
        for part, names in known.items():
            if getattr(row, part) not in names:
                raise BadInput(
                    WHO, f"{part} of a row", f'"{getattr(row, part)}"', "one that the farm has", "check the row"
                )
    return evaluate(model, tons_of(model, rows))


def model_of(farm: Farm, needs: Needs | None, progress: Progress | None) -> Model:
    check_farm(farm)
    if progress is not None:
        progress("working out the needs")
    if needs is None:
        needs = needs_of(farm)
    elif len(needs) != len(farm.groups) or any(len(row) != len(farm.periods()) for row in needs):
        wanted = f"{len(farm.groups)} groups x {len(farm.periods())} periods"
        raise BadInput(WHO, "needs", "a table of another size", wanted, "give a need for each group and period")
    return wintermodel.build(farm, needs)
