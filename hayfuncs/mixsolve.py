"""Many small linear programs that share costs and matrix, solved together and exactly.

    least cost . x   with   matrix x <= limits[k],   0 <= x <= caps[k]      for every case k

Whether a basis is dual feasible does not depend on the limits.  So a basis that HiGHS finds
best for one case is best for every case whose own solution from it lies within the bounds:
one factored basis answers many cases by one matrix product, and HiGHS is asked again only for
a case that no basis yet found fits.  Likewise one proof that a case has no solution (a
weighing of its rows that cannot hold) is tried on all the others.

Each answer comes with its dual values, so that anyone can check it: the bound they prove
equals the cost.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from hayfuncs import smallsimplex

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]

TINY = 1e-9  # an amount or a slack below this is 0
SOLVER_TOLERANCE = 1e-9  # asked of HiGHS, on rows scaled to 1 and costs scaled to LIFT
LIFT = 1000.0  # mean cost as HiGHS sees it, so that its tolerance lies far below TIE
TIE = 1e-8  # share of the mean cost by which, at equal cost, the column named first is taken
FREE = 1e-7  # a reduced cost, lifted, below this is 0
NOISE = 1e-12  # share of the mean cost below which a price is rounding
OPTIMAL, INFEASIBLE = 0, 2  # linprog's status codes


class NoAnswer(RuntimeError):
    """The solver gave up: a numerical failure, not a case without a solution."""


@dataclass
class Solved:
    """One row a case; NaN where it has no solution.

    `prices` is what one unit more of a limit saves (0 or more), `cap_prices` the same for a cap.
    """

    feasible: Flags
    amounts: Floats
    cost: Floats
    prices: Floats
    cap_prices: Floats
    solves: int = 0  # how often HiGHS was asked

    @classmethod
    def empty(cls, count: int, rows: int, columns: int) -> Solved:
        def nan(*shape: int) -> Floats:
            return np.full(shape, np.nan)

        none = np.zeros(count, dtype=bool)
        return cls(none, nan(count, columns), nan(count), nan(count, rows), nan(count, columns))

    def bound(self, limits: Floats, caps: Floats) -> Floats:
        """The cost that the dual values prove to be the least possible."""
        of_caps = np.where(self.cap_prices > 0, caps, 0) * self.cap_prices
        proven: Floats = -(self.prices * limits).sum(axis=1) - of_caps.sum(axis=1)
        return proven


@dataclass
class _Basis:
    """A dual feasible basis of [matrix I]: its columns, and which other columns stand at their cap."""

    members: Places
    at_cap: Flags
    inverse: Floats


@dataclass
class _Batch:
    """The shared part of the cases, scaled, and the answers so far."""

    cost: Floats
    tied: Floats  # the cost lifted, with ties broken
    matrix: Floats
    limits: Floats
    caps: Floats
    scale: Floats
    out: Solved

    def accept(self, basis: _Basis, todo: Places) -> Places:
        """Stores the answer of every case that the basis fits; the cases left over come back."""
        columns = len(self.cost)
        caps = self.caps[todo]
        held = np.where(basis.at_cap, caps, 0)
        fits = np.isfinite(held).all(axis=1)
        held[~fits] = 0
        inner = (self.limits[todo] - held @ self.matrix.T) @ basis.inverse.T
        feeds = np.flatnonzero(basis.members < columns)
        fits &= (inner >= -TINY).all(axis=1)
        fits &= (inner[:, feeds] <= caps[:, basis.members[feeds]] + TINY).all(axis=1)
        held[:, basis.members[feeds]] = inner[:, feeds]
        whole = np.concatenate([self.cost, np.zeros(len(self.scale))])
        prices = -(whole[basis.members] @ basis.inverse)
        self.store(todo[fits], held[fits], prices)
        return todo[~fits]

    def store(self, places: Places, amounts: Floats, prices: Floats) -> None:
        amounts = np.clip(amounts, 0, self.caps[places])
        amounts[amounts < TINY] = 0
        self.out.feasible[places] = True
        self.out.amounts[places] = amounts
        self.out.cost[places] = amounts @ self.cost
        noise = NOISE * (self.cost.mean() or 1)
        prices = np.where(prices > noise, prices, 0)
        of_caps = -(self.cost + self.matrix.T @ prices)
        self.out.prices[places] = prices / self.scale
        self.out.cap_prices[places] = np.where(of_caps > noise, of_caps, 0)


def solve_rows(cost: Floats, matrix: Floats, limits: Floats, caps: Floats) -> Solved:
    """The least cost and its proof for every row of `limits` and `caps`; no cost may be below 0."""
    rows, columns = matrix.shape
    scale = np.abs(matrix).max(axis=1, initial=0)
    scale[scale == 0] = 1
    mean = float(cost[cost > 0].mean()) if (cost > 0).any() else 1.0
    tied = LIFT * (cost / mean + TIE * np.sqrt(np.arange(1, columns + 1)))
    out = Solved.empty(len(limits), rows, columns)
    batch = _Batch(cost, tied, matrix / scale[:, None], limits / scale, caps, scale, out)
    nothing = _Basis(np.arange(columns, columns + rows), np.zeros(columns, dtype=bool), np.eye(rows))
    todo = batch.accept(nothing, np.arange(len(limits)))  # no feed at all is best where nothing is short
    while todo.size:
        first = todo[:1]
        out.solves += 1
        found = _vertex(tied, batch.matrix, batch.limits[todo[0]], caps[todo[0]])
        if found is None:
            out.solves += 1
            todo = todo[~_impossible(batch, todo)]
            continue
        amounts, duals = found
        basis = _basis_of(batch, int(todo[0]), amounts, duals)
        if basis is not None:
            todo = batch.accept(basis, todo)
        if todo.size and todo[0] == first[0]:  # no basis could be read off; HiGHS's own answer stands
            batch.store(first, amounts[None, :], duals * mean / LIFT)
            todo = todo[1:]
    return out


def _vertex(cost: Floats, matrix: Floats, limits: Floats, caps: Floats) -> tuple[Floats, Floats] | None:
    """HiGHS's best vertex and what each row's limit is worth (0 or more); None without a solution."""
    try:
        from scipy.optimize import linprog
    except ImportError:
        return smallsimplex.vertex(cost, matrix, limits, caps)
    bounds = np.column_stack([np.zeros(len(cost)), caps])
    options: dict[str, Any] = {
        "primal_feasibility_tolerance": SOLVER_TOLERANCE,
        "dual_feasibility_tolerance": SOLVER_TOLERANCE,
    }
    for presolve in (True, False):
        options["presolve"] = presolve
        result = linprog(cost, A_ub=matrix, b_ub=limits, bounds=bounds, method="highs-ds", options=options)
        if result.status == OPTIMAL:
            return np.clip(result.x, 0, caps), np.maximum(-result.ineqlin.marginals, 0)
        if result.status == INFEASIBLE:
            return None
    raise NoAnswer(f"the solver stopped: {result.message}")


def _impossible(batch: _Batch, todo: Places) -> Flags:
    """Which cases the proof that the first one has no solution rules out, the first among them.

    The proof is a weighing of the rows (the dual of "break the rows as little as can be"):
    where even the amounts that weigh least weigh more than the limits do, nothing fits.
    """
    rows, columns = batch.matrix.shape
    broken = _vertex(
        np.concatenate([TIE * np.sqrt(np.arange(1, columns + 1)), np.ones(rows)]),
        np.hstack([batch.matrix, -np.eye(rows)]),
        batch.limits[todo[0]],
        np.concatenate([batch.caps[todo[0]], np.full(rows, np.inf)]),
    )
    assert broken is not None  # rows that may be broken always have a solution
    weights = broken[1]
    lifting = np.minimum(weights @ batch.matrix, 0)
    least = np.where(lifting < 0, batch.caps[todo], 0) @ lifting
    ruled_out: Flags = least > batch.limits[todo] @ weights + TINY
    ruled_out[0] = True
    return ruled_out


def _basis_of(batch: _Batch, case: int, amounts: Floats, duals: Floats) -> _Basis | None:
    """The basis behind a vertex: what lies between its bounds, filled up with what is priced at 0."""
    rows, columns = batch.matrix.shape
    caps = batch.caps[case]
    whole = np.hstack([batch.matrix, np.eye(rows)])
    lifted = np.concatenate([batch.tied, np.zeros(rows)])
    slack = batch.limits[case] - batch.matrix @ amounts
    between = np.concatenate([(amounts > TINY) & (amounts < caps - TINY), slack > TINY])
    reduced = lifted + duals @ whole
    members: list[int] = []
    left = whole.copy()
    for candidates in (np.flatnonzero(between), np.flatnonzero((np.abs(reduced) <= FREE) & ~between)):
        for j in candidates:
            length = float(np.linalg.norm(left[:, j]))
            if len(members) < rows and length > FREE:
                direction = left[:, j] / length
                left -= np.outer(direction, direction @ left)
                members.append(int(j))
    if len(members) < rows:
        return None
    order = np.array(members)
    inverse = np.linalg.inv(whole[:, order])
    reduced = lifted - (lifted[order] @ inverse) @ whole
    outside = np.ones(columns + rows, dtype=bool)
    outside[order] = False
    standing = outside[:columns] & (amounts >= caps - TINY) & (caps > TINY)
    at_cap = outside[:columns] & ((reduced[:columns] < -FREE) | (standing & (reduced[:columns] <= FREE)))
    if (reduced[columns:] < -FREE).any() or not np.isfinite(inverse).all():
        return None
    return _Basis(order, at_cap, inverse)
