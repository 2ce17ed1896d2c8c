"""The one place that speaks to the solver HiGHS: a program in arrays goes in, its best answer comes out.

    least cost . x   with   row_lower <= matrix x <= row_upper,   lower <= x <= upper,   x whole where asked

The matrix is kept as triplets (row, column, value), since numpy alone must do for the rest of the package.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
Places: TypeAlias = npt.NDArray[np.intp]
Flags: TypeAlias = npt.NDArray[np.bool_]
Option: TypeAlias = bool | int | float | str

OPTIMAL, INFEASIBLE, STOPPED, GAVE_UP = "optimal", "infeasible", "stopped", "gave up"


@dataclass(frozen=True)
class Matrix:
    """A sparse matrix as triplets; a place named twice counts the sum."""

    rows: int
    columns: int
    row: Places
    column: Places
    value: Floats

    @classmethod
    def of(cls, dense: Floats) -> Matrix:
        row, column = np.nonzero(dense)
        return cls(dense.shape[0], dense.shape[1], row, column, dense[row, column])

    @classmethod
    def stacked(cls, parts: list[Matrix], columns: int) -> Matrix:
        """One below the other; each part's columns are the first ones."""
        first = np.cumsum([0, *(part.rows for part in parts)])
        return cls(
            int(first[-1]),
            columns,
            np.concatenate([part.row + at for part, at in zip(parts, first, strict=False)]),
            np.concatenate([part.column for part in parts]),
            np.concatenate([part.value for part in parts]),
        )

    def times(self, x: Floats) -> Floats:
        found: Floats = np.bincount(self.row, self.value * x[self.column], self.rows).astype(float)
        return found

    def by_rows(self) -> tuple[Places, Places, Floats]:
        """Starts, columns and values row by row, without zeros and with each place once."""
        place, inverse = np.unique(self.row * self.columns + self.column, return_inverse=True)
        value = np.bincount(inverse.ravel(), self.value, len(place))
        kept = value != 0
        row, column = np.divmod(place[kept], self.columns)
        return np.searchsorted(row, np.arange(self.rows + 1)), column, value[kept]


@dataclass(frozen=True)
class Program:
    cost: Floats
    matrix: Matrix
    row_lower: Floats
    row_upper: Floats
    lower: Floats
    upper: Floats
    whole: Flags | None = None  # columns that are whole numbers

    @classmethod
    def at_most(cls, cost: Floats, matrix: Matrix, sides: Floats, upper: Floats) -> Program:
        return cls(cost, matrix, np.full(len(sides), -np.inf), sides, np.zeros(len(cost)), upper)


@dataclass(frozen=True)
class Outcome:
    """`prices` and `column_prices` are HiGHS's duals: what one unit more of a side or bound adds to the cost."""

    status: str
    message: str
    x: Floats | None = None
    prices: Floats | None = None
    column_prices: Floats | None = None
    bound: float = float("-inf")  # of a program with whole numbers


def solved(
    program: Program,
    options: Mapping[str, Option] | None = None,
    start: tuple[Places, Floats] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Outcome:
    """HiGHS's answer.  `start` gives some columns' values in a plan that is known.  `stop` is asked while it works; the best so far then comes back."""
    import highspy

    highs: Any = highspy.Highs()  # type: ignore[no-untyped-call]  # its stubs leave out the types
    highs.setOptionValue("output_flag", False)
    for name, value in (options or {}).items():
        highs.setOptionValue(name, value)
    if highs.passModel(_told(highspy, program)) == highspy.HighsStatus.kError:
        return Outcome(GAVE_UP, "the solver refuses the numbers it was given")
    if start is not None:
        highs.setSolution(len(start[0]), start[0].astype(np.int32), start[1])
    if stop is not None:
        for asks in (highs.cbMipInterrupt, highs.cbSimplexInterrupt, highs.cbIpmInterrupt):
            asks.subscribe(lambda event: setattr(event.data_in, "user_interrupt", stop()))
    highs.run()
    return _read(highspy, highs, program)


def _told(highspy: Any, program: Program) -> Any:
    lp = highspy.HighsLp()
    starts, index, value = program.matrix.by_rows()
    lp.num_col_, lp.num_row_ = len(program.cost), program.matrix.rows
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = program.cost, program.lower, program.upper
    lp.row_lower_, lp.row_upper_ = program.row_lower, program.row_upper
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = starts.astype(np.int32)
    lp.a_matrix_.index_ = index.astype(np.int32)
    lp.a_matrix_.value_ = value
    if program.whole is not None:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[bool(flag)] for flag in program.whole]
    return lp


def _read(highspy: Any, highs: Any, program: Program) -> Outcome:
    kinds, status = highspy.HighsModelStatus, highs.getModelStatus()
    message = highs.modelStatusToString(status)
    if status in (kinds.kInfeasible, kinds.kUnboundedOrInfeasible):
        return Outcome(INFEASIBLE, message)
    info, answer = highs.getInfo(), highs.getSolution()
    held = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    kind = OPTIMAL if status in (kinds.kOptimal, kinds.kModelEmpty) else STOPPED if held else GAVE_UP
    bound = float(info.mip_dual_bound) if program.whole is not None else float("-inf")
    if kind == GAVE_UP or not (held or kind == OPTIMAL):
        return Outcome(GAVE_UP, message, bound=bound)
    x = np.array(answer.col_value, dtype=float)
    if program.whole is not None:
        return Outcome(kind, message, x, bound=bound)
    return Outcome(kind, message, x, np.array(answer.row_dual, dtype=float), np.array(answer.col_dual, dtype=float))
