"""The winter plan's linear program solved by HiGHS: amounts of any kind at least cost, and what each limit is worth."""

from __future__ import annotations

import threading
from dataclasses import dataclass

import numpy as np

from hayfuncs.contract.errors import OutOfRange
from hayfuncs.leastcost import highs
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.model import AT_LEAST, COUNTS, MOST, THRIFT, Floats, Model, Progress
from hayfuncs.winter.problem import OPEN, WHO

LATE = 1e-3  # how much more a shortfall counts one period sooner: what there is lasts as long as it can
ROOM = 1e-7  # share by which the least shortfall may be exceeded when its cost is looked for
HEARTBEAT_SECONDS = 1.0
LEAST_SECONDS = 0.1  # that the solver is given
GRACE_SECONDS = 2.0  # for a first plan after a person has stopped it
# HiGHS's interior point method, ended by a crossover to a vertex, grows almost in step with the
# size; its simplex method needs 10 to 40 times as long on 200 lots (tests/bench/bench_winter.py)
# and takes over where the first cannot tell.
METHODS = ("ipm", "simplex")


@dataclass
class Answer:
    """`tons` put out, source x place.  With needs left short (tons, by name) no prices are given."""

    tons: Floats
    prices: dict[str, Floats]  # $ a ton of what the row counts, 0 or more, a place
    stock_prices: Floats  # $ that one ton more put out of a source would save
    bound: float  # the cost that the dual values prove to be the least
    short: dict[str, Floats]
    reduced: Floats | None = None  # $ a ton, source x place: what a ton of a source that is not fed there would add


def solve(model: Model, progress: Progress | None = None, clock: Clock | None = None) -> Answer:
    """The cheapest plan; where there is none, the cheapest of the plans least short."""
    matrix, sides, names = matrix_of(model)
    cost = costs_of(model)
    program = _program(cost, matrix, sides, model.lower.ravel(), model.caps.ravel())
    result = _solved(program, progress, "looking for the cheapest plan", clock)
    if result:
        return _read(model, result, sides, names)
    return _least_short(model, matrix, sides, names, cost, progress, clock)


def _program(cost: Floats, matrix: highs.Matrix, sides: Floats, lower: Floats, upper: Floats) -> highs.Program:
    return highs.Program(cost, matrix, np.full(len(sides), -np.inf), sides, lower, upper)


def costs_of(model: Model) -> Floats:
    hay = np.arange(len(model.sources)) < model.hays
    return np.repeat(model.cost + THRIFT * hay, len(model.places))


def _least_short(
    model: Model, matrix: highs.Matrix, sides: Floats, names: list[str], cost: Floats, progress: Progress | None,
    clock: Clock | None,
) -> Answer:  # fmt: skip
    """First the least counted shortfall (feeding nothing is always allowed), then its cheapest plan."""
    count, places = len(cost), len(model.places)
    may = [i for i, name in enumerate(names) if name in COUNTS]
    every = count + len(may) * places
    row = (np.array(may, dtype=np.intp)[:, None] * places + np.arange(places)).ravel()
    loosened = highs.Matrix(matrix.rows, every, row, np.arange(count, every), np.full(len(row), -1.0))
    whole = highs.Matrix(
        matrix.rows, every, *(np.concatenate([getattr(m, part) for m in (matrix, loosened)]) for part in ("row", "column", "value"))
    )  # fmt: skip
    upper = np.concatenate([model.caps.ravel(), np.full(len(may) * places, np.inf)])
    sooner = max(p for _, p in model.places) - np.array([p for _, p in model.places])
    weights = np.outer([COUNTS[names[i]] for i in may], 1 + LATE * sooner)
    counted = np.concatenate([np.zeros(count), weights.ravel()])
    lower = np.concatenate([model.lower.ravel(), np.zeros(len(may) * places)])
    least = _program(counted, whole, sides, lower, upper)
    result = _solved(least, progress, "not every need can be met; looking for the least shortfall", clock)
    if result is None:
        raise gave_up("no plan was found although every need may stay short")
    assert result.x is not None
    most = np.append(sides, (counted @ result.x) * (1 + ROOM) + ROOM)
    cheapest = _program(
        np.concatenate([cost, np.zeros(len(upper) - count)]),
        highs.Matrix.stacked([whole, highs.Matrix.of(counted[None, :])], every), most, lower, upper,
    )  # fmt: skip
    again = _solved(cheapest, progress, "looking for the cheapest plan with that shortfall", clock)
    x = (again or result).x
    assert x is not None
    loose = x[count:].reshape(len(may), places)
    tons = np.clip(x[:count].reshape(model.eaten.shape), 0, model.caps)
    none = np.zeros(len(model.sources))
    return Answer(tons, {}, none, float("nan"), {names[i]: loose[at] for at, i in enumerate(may)})


def matrix_of(model: Model) -> tuple[highs.Matrix, Floats, list[str]]:
    """Every row as "at most": the rows of each place, name by name, then the stocks."""
    count, places = model.eaten.shape
    blocks: list[Floats] = []
    sides: list[Floats] = []
    names: list[str] = []
    for name, (coefficients, side) in model.rows.items():
        sign = -1.0 if name in AT_LEAST else 1.0
        blocks.append(sign * coefficients)
        sides.append(sign * side)
        names.append(name)
    for source, pct in model.of_feeds():
        own = (np.arange(count) == source)[:, None] - pct / 100
        blocks.append(model.rows[MOST][0] * own * (pct < OPEN))
        sides.append(np.zeros(places))
        names.append("share")
    at = np.arange(count * places)
    here = np.tile(np.arange(places), count)
    every = count * places
    parts = [highs.Matrix(places, every, here[b.ravel() != 0], at[b.ravel() != 0], b[b != 0]) for b in blocks]
    ending = np.flatnonzero(np.isfinite(model.stock))
    of_stock = (ending[:, None] * places + np.arange(places)).ravel()
    taken = np.repeat(np.arange(len(ending)), places)
    parts.append(highs.Matrix(len(ending), every, taken, of_stock, np.ones(len(of_stock))))
    return highs.Matrix.stacked(parts, every), np.concatenate([*sides, model.stock[ending]]), names


def _solved(
    program: highs.Program, progress: Progress | None, doing: str, clock: Clock | None = None
) -> highs.Outcome | None:
    """HiGHS's answer; None where there is no solution.  Says every second that it is still at work."""
    found: list[highs.Outcome | Exception] = []

    def work() -> None:
        try:
            for method in METHODS:
                options: dict[str, highs.Option] = {"solver": method}
                if clock is not None:
                    options["time_limit"] = max(clock.left, LEAST_SECONDS)
                result = highs.solved(
                    program, options, stop=None if clock is None else clock.stopped_for(GRACE_SECONDS)
                )
                if result.status in (highs.OPTIMAL, highs.INFEASIBLE) or (clock is not None and clock.over()):
                    break
            found.append(result)
        except Exception as error:  # of any kind: carried over to the thread that waits, told there in words
            found.append(error)

    if progress is None:
        work()
    else:
        progress(f"{doing}: {program.matrix.columns:,} amounts, {program.matrix.rows:,} needs and limits")
        thread = threading.Thread(target=work, daemon=True)
        thread.start()
        beats = 0
        while thread.is_alive():
            thread.join(HEARTBEAT_SECONDS)
            beats += 1
            if thread.is_alive():
                progress(f"{doing}: {beats * HEARTBEAT_SECONDS:.0f} s")
    result = found[0] if found else RuntimeError("it ended without an answer")
    if isinstance(result, Exception):
        raise gave_up(f"{type(result).__name__}: {result}".strip(": ")) from result
    if result.status == highs.INFEASIBLE:
        return None
    if result.status != highs.OPTIMAL and clock is not None and clock.over():
        raise out_of_time(clock)
    if result.status != highs.OPTIMAL:
        raise gave_up(result.message)
    return result


def gave_up(message: str) -> OutOfRange:
    """A numerical failure of the solver, not a farm without a plan."""
    fix = "look for amounts that are out of all proportion, or plan fewer groups at a time"
    return OutOfRange(WHO, "the farm", f"more than the solver can do ({message})", "amounts of usual size", fix)


class NoPlanYet(OutOfRange):
    """Time was up, or a person stopped it, before there was any plan."""

    def __str__(self) -> str:
        return f"{self.function}: there was none yet when {self.given}; {self.fix}."


def out_of_time(clock: Clock) -> NoPlanYet:
    given, fix = f"{clock.seconds:g} seconds were up", "give more time (--seconds), or plan fewer groups at a time"
    if clock.stopped():
        given, fix = "it was stopped", "let it run longer"
    return NoPlanYet(WHO, "the time", given, "time for a first plan", fix)


def _read(model: Model, result: highs.Outcome, sides: Floats, names: list[str]) -> Answer:
    count, places = model.eaten.shape
    assert result.x is not None
    assert result.prices is not None
    assert result.column_prices is not None
    tons = np.clip(result.x.reshape(count, places), 0, model.caps)
    worth = np.maximum(-result.prices, 0)
    prices = {name: worth[i * places : (i + 1) * places] for i, name in enumerate(names) if name in model.rows}
    stock_prices = np.zeros(count)
    stock_prices[np.isfinite(model.stock)] = worth[len(names) * places :]
    of_caps = np.where(np.isfinite(model.caps.ravel()), np.minimum(result.column_prices, 0), 0)
    bound = -worth @ sides + np.where(of_caps < 0, model.caps.ravel(), 0) @ of_caps
    bound += model.lower.ravel() @ np.maximum(result.column_prices, 0)
    bound = float(bound - THRIFT * tons[: model.hays].sum())
    return Answer(tons, prices, stock_prices, bound, {}, result.column_prices.reshape(count, places))
