"""The cheapest mix for many lots of hay at once, as arrays, and why a lot has none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hayfuncs.contract.errors import BadInput
from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost.dual_simplex import Flags
from hayfuncs.leastcost.model import Floats, RowKind
from hayfuncs.leastcost.solver import solve_rows

NAME = "CHEAPEST_MIX"
SHORT = 1e-6  # a shortfall below this, lb or g a day, is none
CHEAP = 1e-6  # weight of the cost beside the shortfall: among mixes equally short the cheaper one


@dataclass(frozen=True)
class MixTable:
    """Many lots (rows) at once.  Where a lot has no mix its amounts are NaN and `short` says why.

    `prices` (a column for each of `rows`) and `cap_prices` (a column a feed) are what one unit
    more of a limit, or one unit less of a need, saves: the dual values.  `bound` is the cost
    that they prove to be the least possible; it equals `cost`.
    """

    rows: tuple[RowKind, ...]
    feasible: Flags
    pounds: Floats
    cost: Floats
    prices: Floats
    cap_prices: Floats
    bound: Floats
    sides: Floats
    caps: Floats
    short: Floats  # the least possible shortfall in each of the needs; 0 where there is a mix
    over: Floats  # by how much each limit is broken whatever is fed; 0 where none is
    stops: Flags  # the limits (a column for each of `rows`, then each feed's own) that keep it short
    bases: int  # how many different bases answered them
    feeds: Floats
    limits: Floats

    def matrix(self, lot: int) -> Floats:
        """The coefficient of each feed in each row, in the row's own sense."""
        return mixmodel.matrix(self.feeds, *self.limits[lot, mixmodel.MATRIX_LIMITS])


def solve_table(feeds: Floats, needs: Floats, limits: Floats, explain: bool) -> MixTable:
    if len(limits) not in (1, len(needs)):
        wanted = f"1 row for all lots, or {len(needs)}: one for each row of needs"
        raise BadInput(NAME, "limits", f"a block of {len(limits)} rows", wanted, "give one row, or a row for each lot")
    limits = np.broadcast_to(limits, (len(needs), limits.shape[1]))
    rows = mixmodel.row_kinds(feeds)
    sense, cost = mixmodel.senses(rows), mixmodel.price_per_lb(feeds)
    sides, caps = mixmodel.sides(feeds, needs, limits), mixmodel.caps(feeds, limits)
    lots, n, m = len(needs), len(feeds), len(rows)
    feasible, bases = np.zeros(lots, dtype=bool), 0
    pounds, total = np.full((lots, n), np.nan), np.full(lots, np.nan)
    prices, cap_prices, bound = np.full((lots, m), np.nan), np.full((lots, n), np.nan), np.full(lots, np.nan)
    short, over = np.zeros((lots, mixmodel.NEED_ROWS)), np.zeros((lots, m))
    stops = np.zeros((lots, m + n), dtype=bool)
    usable = ~(np.isnan(needs).any(axis=1) | np.isnan(limits).any(axis=1)) & (not np.isnan(feeds).any())
    short[~usable] = over[~usable] = np.nan
    keys, group = np.unique(limits[:, mixmodel.MATRIX_LIMITS], axis=0, return_inverse=True)
    for at, key in enumerate(keys):
        here = np.flatnonzero(usable & (group.ravel() == at))
        if not here.size:
            continue
        a, b = mixmodel.matrix(feeds, *key) * sense[:, None], sides[here] * sense
        found = solve_rows(cost, a, b, caps[here])
        feasible[here], pounds[here], total[here] = found.feasible, found.amounts, found.cost
        prices[here], cap_prices[here] = found.prices, found.cap_prices
        bound[here] = found.bound(b, caps[here])
        bases += found.bases
        without = np.flatnonzero(~found.feasible)
        if explain and without.size:
            lost = here[without]
            short[lost], over[lost], stops[lost] = _shortfall(cost, a, b[without], caps[lost])
    return MixTable(
        rows, feasible, pounds, total, prices, cap_prices, bound, sides, caps, short, over, stops, bases, feeds, limits
    )


def _shortfall(cost: Floats, a: Floats, b: Floats, caps: Floats) -> tuple[Floats, Floats, Flags]:
    """The least that needs must stay short of, or limits be exceeded by, where no mix exists.

    First the needs may be short, at the least counted shortfall.  Where even then nothing fits
    (the hay alone breaks a limit) the limits may give, and the needs do not count.
    """
    rows, columns = a.shape
    needs = mixmodel.NEED_ROWS
    mean = cost.mean() or 1.0
    short, over = np.zeros((len(b), needs)), np.zeros((len(b), rows))
    stops = np.zeros((len(b), rows + columns), dtype=bool)
    give = -np.eye(rows)
    counted = np.concatenate([CHEAP * cost / mean, mixmodel.SHORT_COUNTS])
    open_caps = np.hstack([caps, np.full((len(b), needs), np.inf)])
    found = solve_rows(counted, np.hstack([a, give[:, :needs]]), b, open_caps)
    short[found.feasible] = found.amounts[found.feasible, columns:]
    stops[found.feasible, needs:rows] = found.prices[found.feasible, needs:] > 0
    stops[found.feasible, rows:] = found.cap_prices[found.feasible, :columns] > 0
    broken = np.flatnonzero(~found.feasible)
    if broken.size:
        counted = np.concatenate([CHEAP * cost / mean, np.ones(rows - needs)])
        open_caps = np.hstack([caps[broken], np.full((len(broken), rows - needs), np.inf)])
        found = solve_rows(counted, np.hstack([a[needs:], give[needs:, needs:]]), b[broken, needs:], open_caps)
        over[broken, needs:] = found.amounts[:, columns:]
    return short, over, stops


def why_not(table: MixTable, lot: int, feed_names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Which needs cannot be met, or limits kept, by how much, and what stops it; empty with a mix."""
    said = [
        f"{short:.3g} {kind.unit} of the {kind.name} ({side:.3g}) cannot be covered"
        for kind, short, side in zip(table.rows, table.short[lot], table.sides[lot], strict=False)
        if short > SHORT
    ]
    said += [
        f"the {kind.name} is broken by {over:.3g} {kind.unit} whatever is fed"
        for kind, over in zip(table.rows, table.over[lot], strict=True)
        if over > SHORT
    ]
    names = feed_names or tuple(f"feed {i + 1}" for i in range(len(table.feeds)))
    held = [kind.title(names) for kind in table.rows] + [f"the own limit of {name}" for name in names]
    stopping = [what for what, stops in zip(held, table.stops[lot], strict=True) if stops]
    return (*said, f"held back by {', '.join(stopping)}") if said and stopping else tuple(said)
