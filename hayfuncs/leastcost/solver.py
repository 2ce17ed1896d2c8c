"""Many small linear programs that share costs and matrix, solved together and exactly.

    least cost . x   with   matrix x <= limits[k],   0 <= x <= caps[k]      for every case k

HiGHS solves the first case.  Whether its basis is dual feasible does not depend on the limits,
so it is best for every case whose own solution from it lies within the bounds: one basis
answers many cases by one matrix product.  For the first case that is left, the dual simplex
method walks from the last basis to the next one, and so on.  Likewise one proof that a case
has no solution (a weighing of its rows that cannot hold) is tried on all that are left.

Every answer comes with its dual values and is held to them: where an amount breaks a limit, or
the bound the dual values prove is not the cost, HiGHS solves that case by itself.

Why not HiGHS for every case, warm-started by highspy: for 5,000 lots x 12 feeds this takes 0.37 s
of processor time, highspy 1.16 from case to case 1.2 s without reading amounts and dual values
back, a loop of scipy's linprog 15 s; its costs and this method's agree to 1e-13 $ a day
(tests/bench/bench_mix.py --highspy).  And it runs on numpy alone, which is all that an office's own Python has.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hayfuncs.contract.errors import OutOfRange
from hayfuncs.leastcost import highs
from hayfuncs.leastcost.dual_simplex import Basis, Flags, Floats, Places, feeding_nothing, walk

TINY = 1e-9  # an amount, a slack or a gap below this is 0
SOLVER_TOLERANCE = 2e-9  # asked of HiGHS, on rows scaled to 1 and costs scaled to LIFT
LIFT = 1000.0  # mean cost as the solvers see it, so that their tolerance lies far below TIE
TIE = 1e-8  # share of the mean cost by which, at equal cost, the column named first is taken
FREE = 1e-7  # a reduced cost, lifted, below this is 0
NOISE = 1e-12  # share of the mean cost below which a price is rounding


def _gave_up(message: str) -> OutOfRange:
    """A numerical failure of the solvers, not a case without a solution."""
    fix = "look for needs or contents that are out of all proportion"
    return OutOfRange(
        "the cheapest mix", "the table", f"more than the solver can do ({message})", "amounts of usual size", fix
    )


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
    bases: int = 0  # how many different bases were needed

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
class _Batch:
    """The shared part of the cases, scaled, and the answers so far."""

    cost: Floats
    tied: Floats  # the cost lifted, with ties broken
    matrix: Floats
    limits: Floats
    caps: Floats
    scale: Floats
    out: Solved

    def accept(self, basis: Basis, todo: Places) -> Places:
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
        self.out.bases += 1
        return todo[~fits]

    def store(self, places: Places, amounts: Floats, prices: Floats) -> None:
        amounts = np.clip(amounts, 0, self.caps[places])
        amounts[amounts < TINY] = 0
        noise = NOISE * (self.cost.mean() or 1)
        prices = np.where(prices > noise, prices, 0)
        of_caps = -(self.cost + self.matrix.T @ prices)
        self.out.feasible[places] = True
        self.out.amounts[places] = amounts
        self.out.cost[places] = amounts @ self.cost
        self.out.prices[places] = prices / self.scale
        self.out.cap_prices[places] = np.where(of_caps > noise, of_caps, 0)

    def ruled_out(self, weights: Floats, todo: Places) -> Flags:
        """Which cases have no solution because, with the rows so weighed, even the amounts that

        weigh least weigh more than the limits do.
        """
        lifting = np.minimum(weights @ self.matrix, 0)
        least = np.where(lifting < 0, self.caps[todo], 0) @ lifting
        return np.asarray(least > self.limits[todo] @ weights + TINY)

    def doubtful(self) -> Places:
        """Answered cases that their own dual values do not prove, or that break a limit."""
        out, done = self.out, np.flatnonzero(self.out.feasible)
        broken = (out.amounts[done] @ self.matrix.T - self.limits[done]).max(axis=1, initial=0)
        gap = np.abs(out.cost[done] - out.bound(self.limits * self.scale, self.caps)[done])
        doubts: Places = done[(broken > FREE) | (gap > FREE * (1 + out.cost[done]))]
        return doubts


def solve_rows(cost: Floats, matrix: Floats, limits: Floats, caps: Floats) -> Solved:
    """The least cost and its proof for every row of `limits` and `caps`; no cost may be below 0."""
    rows, columns = matrix.shape
    scale = np.abs(matrix).max(axis=1, initial=0)
    scale[scale == 0] = 1
    mean = float(cost[cost > 0].mean()) if (cost > 0).any() else 1.0
    tied = LIFT * (cost / mean + TIE * np.sqrt(np.arange(1, columns + 1)))
    out = Solved.empty(len(limits), rows, columns)
    batch = _Batch(cost, tied, matrix / scale[:, None], limits / scale, caps, scale, out)
    basis = feeding_nothing(rows, columns)  # best where nothing is short
    todo = batch.accept(basis, np.arange(len(limits)))
    if todo.size and (found := _highs(batch, int(todo[0]))) is not None:
        basis = _basis_of(batch, int(todo[0]), *found) or basis
        todo = batch.accept(basis, todo)
    while todo.size:
        case = int(todo[0])
        try:
            reached, weights = walk(tied, batch.matrix, batch.limits[case], caps[case], basis)
        except ArithmeticError:
            _by_highs(batch, case, mean)
            todo = todo[1:]
            continue
        if reached is None:
            gone = batch.ruled_out(weights, todo)
            if not gone[0]:  # too near to call by the proof alone
                _by_highs(batch, case, mean)
                gone[0] = True
            todo = todo[~gone]
            continue
        basis = reached
        left = batch.accept(basis, todo)
        if left.size and left[0] == case:
            _by_highs(batch, case, mean)
            left = left[1:]
        todo = left
    for case in batch.doubtful():
        _by_highs(batch, int(case), mean)
    return out


def _by_highs(batch: _Batch, case: int, mean: float) -> None:
    """HiGHS's own word on one case."""
    found = _highs(batch, case)
    batch.out.feasible[case] = False
    if found is not None:
        amounts, duals = found
        batch.store(np.array([case]), amounts[None, :], duals * mean / LIFT)


def _highs(batch: _Batch, case: int) -> tuple[Floats, Floats] | None:
    """HiGHS's best vertex and what each row's limit is worth (0 or more); None without a solution."""
    caps = batch.caps[case]
    program = highs.Program.at_most(batch.tied, highs.Matrix.of(batch.matrix), batch.limits[case], caps)
    options: dict[str, highs.Option] = {
        "solver": "simplex",
        "primal_feasibility_tolerance": SOLVER_TOLERANCE,
        "dual_feasibility_tolerance": SOLVER_TOLERANCE,
    }
    for presolve in ("on", "off"):
        try:
            result = highs.solved(program, {**options, "presolve": presolve})
        except ImportError:  # an office's own Python may have numpy alone
            return None
        except Exception as error:  # of any kind: a user is told in words
            raise _gave_up(f"{type(error).__name__}: {error}".strip(": ")) from error
        if result.status == highs.OPTIMAL:
            assert result.x is not None
            assert result.prices is not None
            return np.clip(result.x, 0, caps), np.maximum(-result.prices, 0)
        if result.status == highs.INFEASIBLE:
            return None
    raise _gave_up(result.message)


def _basis_of(batch: _Batch, case: int, amounts: Floats, duals: Floats) -> Basis | None:
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
    return Basis(order, at_cap, inverse)
