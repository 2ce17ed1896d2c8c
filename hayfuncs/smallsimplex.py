"""A dual simplex method of a few lines, for hosts whose Python has no scipy (an office's own, say).

    least cost . x   with   matrix x <= limits,   0 <= x <= caps,   no cost below 0

As no cost is below 0, feeding nothing is dual feasible from the start and no first phase is
needed: while an amount or a slack lies outside its bounds it leaves the basis, and the
column that costs least for its effect comes in.  Meant for some tens of rows and columns.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

INSIDE = 1e-10  # an amount this little outside its bounds is inside
PIVOT = 1e-9  # an effect smaller than this is none
ROUNDS = 50  # pivots allowed for each row and column before it gives up


def vertex(cost: Floats, matrix: Floats, limits: Floats, caps: Floats) -> tuple[Floats, Floats] | None:
    """The best amounts, and what each row's limit is worth (0 or more); None where nothing fits."""
    rows, columns = matrix.shape
    whole = np.hstack([matrix, np.eye(rows)])
    costs = np.concatenate([cost, np.zeros(rows)])
    most = np.concatenate([caps, np.full(rows, np.inf)])
    members = np.arange(columns, columns + rows)
    at_cap = np.zeros(columns + rows, dtype=bool)
    for _ in range(ROUNDS * (rows + columns)):
        inverse = np.linalg.inv(whole[:, members])
        amounts = np.where(at_cap, most, 0.0)
        amounts[members] = inverse @ (limits - whole @ amounts)
        prices = costs[members] @ inverse
        below, above = -amounts[members], amounts[members] - most[members]
        row = int(np.argmax(np.maximum(below, above)))
        too_low = bool(below[row] > above[row])
        if max(below[row], above[row]) <= INSIDE:
            return np.clip(amounts[:columns], 0, caps), np.maximum(-prices, 0)
        effect = (inverse[row] @ whole) * (-1 if too_low else 1)
        helps = np.where(at_cap, effect < -PIVOT, effect > PIVOT)
        helps[members] = False
        if not helps.any():
            return None
        candidates = np.flatnonzero(helps)
        ratio = np.abs(costs[candidates] - prices @ whole[:, candidates]) / np.abs(effect[candidates])
        near = candidates[ratio <= ratio.min() + INSIDE]
        enters = int(near[np.argmax(np.abs(effect[near]))])
        at_cap[members[row]] = not too_low
        at_cap[enters] = False
        members[row] = enters
    raise ArithmeticError("the small simplex method did not end")
