"""The easy plan as days and bales: who is fed what from when to when, and what it comes to.

    easy_plan(farm) -> EasyPlan

`plan` in it is the same as for any other plan (`evaluate`), so that every sum is worked the same way; it
holds pounds a head and a day in the mean of a period.  `turns` holds what a person does.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hayfuncs.contract.errors import BadInput
from hayfuncs.cow.classes import COW
from hayfuncs.winter import linear
from hayfuncs.winter.bales import Feeding, feedings, may_be_fed_thrice_a_week
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.ease import Place
from hayfuncs.winter.evaluate import PlanRow, WinterPlan, evaluate, lot_values, tons_of
from hayfuncs.winter.model import Floats, Model, Needs, Progress
from hayfuncs.winter.pins import Pin, Pinned, kept
from hayfuncs.winter.problem import WHO, Farm, HayForSale, Lot, hay_wasted_pct
from hayfuncs.winter.rations import Ease
from hayfuncs.winter.requirements import is_nursing, weight_lb
from hayfuncs.winter.solve import model_of
from hayfuncs.winter.wholebales import Found, easy

SECONDS = 60.0


@dataclass(frozen=True)
class Given:
    """One hay, feed or mineral of a ration; pounds a head and a day."""

    name: str
    put_out_lb: float
    eaten_lb: float
    bales: int = 0  # a feeding, of hay that is not weighed out
    thrice_a_week: bool = False  # a feed whose week may be given on three days


@dataclass(frozen=True)
class Turn:
    """What one group is fed from a day on, for so many days; hay every `every` days."""

    period: str
    group: str
    head: float
    first: dt.date
    days: int
    every: int
    hays: tuple[Given, ...]
    feeds: tuple[Given, ...]
    minerals: tuple[Given, ...]
    pinned: bool = False
    step: int = 1  # days between the feedings of the group, where its hay is weighed out each day too


@dataclass(frozen=True)
class EasyPlan:
    """`bound`: no plan of any kind costs less; `cheapest`: what the linear program costs, amounts of any kind."""

    farm: Farm
    plan: WinterPlan
    turns: tuple[Turn, ...]
    bound: float
    cheapest: float
    ended: bool  # False: time was up, or it was stopped; this is the best so far
    pins: tuple[Pinned, ...] = ()  # what became of the amounts that a person pinned

    @property
    def price_of_ease(self) -> float:
        return self.plan.cost - self.cheapest


def easy_plan(
    farm: Farm,
    ease: Ease | None = None,
    seconds: float = SECONDS,
    needs: Needs | None = None,
    progress: Progress | None = None,
    stopped: Callable[[], bool] = lambda: False,
    pins: Sequence[PlanRow] = (),
    amounts: Sequence[Pin] = (),
    steps: int | None = None,
) -> EasyPlan:
    """The plan with few hays and feeds, whole bales and whole days.

    Groups and periods in `pins` are fed just that; the `amounts` pinned are fed and the rest planned around them.
    With `steps` the search is held by its own steps and not by the clock: the same plan on every machine.
    """
    ease = ease or Ease()
    _check(ease, seconds)
    clock = Clock(seconds, stopped) if steps is None else Clock.by_steps(steps, stopped)
    model = model_of(farm, needs, progress)
    if amounts:
        model, answer, told = kept(model, amounts, clock, progress)
    else:
        answer, told = linear.solve(model, progress, clock), []
    fixed = _pinned(model, pins)
    found = easy(model, answer, ease, clock, progress, fixed)
    cheapest = evaluate(model, answer.tons)
    plan = evaluate(model, found.tons, answer.prices)
    values = lot_values(model, found.tons, answer.stock_prices)
    plan = replace(plan, lot_values=values, dual_bound=answer.bound)
    return EasyPlan(
        farm, plan, tuple(_turns(model, found, fixed)), answer.bound, cheapest.cost, found.ended, tuple(told)
    )


def _check(ease: Ease, seconds: float) -> None:
    for name, value, allowed in (
        ("hays", ease.hays, (1, 2)), ("feeds", ease.feeds, (0, 1, 2)), ("ring_days", ease.ring_days, (1, 2, 3, 4, 5, 6, 7)),
    ):  # fmt: skip
        if value not in allowed:
            raise BadInput(WHO, name, str(value), f"one of {', '.join(map(str, allowed))}", "give one of them")
    if not seconds > 0:
        raise BadInput(WHO, "seconds", str(seconds), "more than 0", "give the time that the plan may take")


def _pinned(model: Model, pins: Sequence[PlanRow]) -> dict[int, Floats]:
    periods = [p.label for p in model.farm.periods()]
    names = [g.name for g in model.farm.groups]
    sources = {s.name for s in model.sources}
    for pin in pins:
        for what, value, known in (("period", pin.period, periods), ("group", pin.group, names), ("name", pin.name, sources)):  # fmt: skip
            if value not in known:
                raise BadInput(WHO, f"{what} of a pin", f'"{value}"', "one that the farm has", "check the pin")
    tons = tons_of(model, tuple(pins))
    wanted = {(pin.group, pin.period) for pin in pins}
    return {k: tons[:, k] for k, (g, p) in enumerate(model.places) if (names[g], periods[p]) in wanted}


def _turns(model: Model, found: Found, fixed: dict[int, Floats]) -> list[Turn]:
    farm, periods = model.farm, model.farm.periods()
    turns: list[Turn] = []
    for g in range(len(farm.groups)):
        mine = {p: k for k, (group, p) in enumerate(model.places) if group == g}
        given = feedings(periods, [model.needs[mine[p]] for p in range(len(periods))], found.every[g])
        before: set[int] = set()
        for p, k in mine.items():
            here = [f for f in given if f.period == p]
            if not here:
                continue
            if k in fixed:
                turns.append(_pinned_turn(model, k, here, fixed[k], found.every[g]))
                continue
            place, numbers = found.fed[k]
            order = sorted(range(len(numbers)), key=lambda r: -len(before & set(map(int, place.rations.hay[r]))))
            at = 0
            for r in order:
                of = here[at : at + numbers[r]]
                if of:
                    turns.append(_turn(model, place, r, of, found.every[g]))
                at += numbers[r]
            before = set(map(int, place.rations.hay[order[-1]])) - {-1}
    return sorted(turns, key=lambda t: (t.first, t.group))


def _turn(model: Model, place: Place, r: int, of: list[Feeding], every: int) -> Turn:
    g, p = model.places[place.k]
    farm, group, period = model.farm, model.farm.groups[g], model.farm.periods()[p]
    one = place.rations
    hays = [
        Given(model.sources[s].name, float(lb), _eaten(model, int(s), g, float(lb)), int(n))
        for s, lb, n in zip(one.hay[r], one.hay_lb[r], one.bales[r], strict=True) if s >= 0
    ]  # fmt: skip
    nursing = group.cattle_class != COW or (group.need is None and is_nursing(group, period))  # none but grown dry cows
    feeds: list[Given] = []
    for s, lb in zip(one.feed[r], one.feed_lb[r], strict=True):
        if s >= 0:
            name, pounds = model.sources[s].name, float(lb)
            thrice = may_be_fed_thrice_a_week(
                farm, name, nursing, group.condition_score, pounds, weight_lb(farm, group, period.first.toordinal())
            )
            feeds.append(Given(name, pounds, _eaten(model, int(s), g, pounds), thrice_a_week=thrice))
    first = model.feeds().stop
    minerals = [Given(model.sources[first + m].name, float(lb), float(lb)) for m, lb in enumerate(one.mineral_lb[r]) if lb > 0]  # fmt: skip
    days = sum(f.days for f in of)
    often = 1 if one.weighed[r] else every
    return Turn(
        period.label, group.name, group.head, of[0].day, days, often, tuple(hays), tuple(feeds), tuple(minerals),
        pinned=bool(model.lower[:, place.k].any()), step=every,
    )  # fmt: skip


def _pinned_turn(model: Model, k: int, of: list[Feeding], tons: Floats, every: int) -> Turn:
    g, p = model.places[k]
    group, parts = model.farm.groups[g], []
    for s in map(int, np.flatnonzero(tons)):
        lb = float(tons[s] / model.per_head[k])
        parts.append((s, Given(model.sources[s].name, lb, _eaten(model, s, g, lb))))
    kinds = (range(model.hays), model.feeds(), range(model.feeds().stop, len(model.sources)))
    hays, feeds, minerals = (tuple(given for s, given in parts if s in kind) for kind in kinds)
    days = sum(f.days for f in of)
    period = model.farm.periods()[p].label
    return Turn(period, group.name, group.head, of[0].day, days, 1, hays, feeds, minerals, True, every)


def _eaten(model: Model, s: int, g: int, lb: float) -> float:
    source = model.sources[s]
    if isinstance(source, (Lot, HayForSale)):
        return lb * (1 - hay_wasted_pct(source, model.farm.groups[g]) / 100)
    return lb * (1 - source.waste_pct / 100)
