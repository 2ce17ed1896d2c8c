"""What if: late grass, a cold winter, dearer hay, a stack lost, more cows - each planned anew, side by side.

Every line is the cheapest plan in amounts of any kind (`linear`), so that a table takes moments; whole bales
cost more, by about as much in each line.  Each is planned twice: with hay bought as it is needed, and with no
more hay than the plan buys that knows nothing of what happens.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hayfuncs.contract.errors import BadInput, listing
from hayfuncs.cow.cold import cold_increase
from hayfuncs.winter import linear
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.differences import Difference, differences
from hayfuncs.winter.evaluate import BOUGHT, WinterPlan, evaluate
from hayfuncs.winter.linear import NoPlanYet
from hayfuncs.winter.model import Model, Progress
from hayfuncs.winter.pins import Pin, applied, possible
from hayfuncs.winter.problem import LONGEST_DAYS, MONTHS, WHO, Farm, HayForSale
from hayfuncs.winter.requirements import needs_of
from hayfuncs.winter.solve import model_of

COLD_F, COLD_COAT = 15.0, "winter"  # wind chill of a cold winter, all through its months (common practice, no source)
COLD_MONTHS = (12, 1, 2)


@dataclass(frozen=True)
class Asks:
    """How much of each; 0 or nothing leaves a line out."""

    late_days: tuple[int, ...] = (15, 30)
    cold_pct: float = float(cold_increase(COLD_F, COLD_COAT))  # more energy in the cold months
    hay_price_pct: float = 25.0  # dearer
    lost: str | None = None  # a lot's name; None: the largest stack
    more_cows: float = 10.0  # in the largest group


@dataclass(frozen=True)
class Case:
    """A farm as it may turn out, and what is pinned."""

    name: str
    farm: Farm
    pins: tuple[Pin, ...] = ()

    def model(self) -> tuple[Model, tuple[Pin, ...]]:
        """What is solved, and the pins that cannot stay in it."""
        model = model_of(self.farm, needs_of(self.farm), None)
        good = possible(model, self.pins)
        return applied(model, good), tuple(pin for pin in self.pins if pin not in good)

    def selling(self, offers: tuple[HayForSale, ...]) -> Case:
        return replace(self, farm=replace(self.farm, for_sale=offers))


@dataclass(frozen=True)
class Outcome:
    """`plan` buys hay as it is needed; `held` has the hay that was planned for and no more."""

    case: Case
    plan: WinterPlan
    held: WinterPlan
    changes: tuple[Difference, ...]  # from the plan as it is, in time
    let_go: tuple[Pin, ...] = ()  # pins that cannot stay

    @property
    def stays(self) -> Case:
        """With the pins that can stay."""
        return replace(self.case, pins=tuple(pin for pin in self.case.pins if pin not in self.let_go))

    @property
    def hay_tons(self) -> float:
        return hay_bought(self.plan)

    def reaches(self) -> str:
        """How far the hay goes that was planned for."""
        if self.plan.failures:
            return f"no: short from {self.plan.failures[0].period}, whatever hay is bought"
        if self.held.failures:
            return f"short from {self.held.failures[0].period} unless more hay is bought"
        return f"yes, {_day(self.case.farm.turnout)}"

    def first_change(self) -> str:
        gone = "".join(f"; not kept: {pin.words()}" for pin in self.let_go)
        if not self.changes:
            return f"nothing{gone}"
        first = self.changes[0]
        name, was, now = first.most()
        return f"{first.period}, {first.group}: {now:.1f} lb {name}, was {was:.1f}{gone}"


def _day(date: dt.date) -> str:
    return f"{MONTHS[date.month - 1]} {date.day}"


def hay_bought(plan: WinterPlan) -> float:
    return sum(p.tons for p in plan.purchases if p.kind == BOUGHT)


def cases(farm: Farm, asks: Asks | None = None, pins: Sequence[Pin] = ()) -> list[Case]:
    """The farm as it is, then each of what is asked; what is pinned in all of them."""
    asks = asks or Asks()
    found = [Case("as planned", farm)]
    for days in asks.late_days:
        turnout = farm.turnout + dt.timedelta(days=days)
        if not days > 0 or (turnout - farm.start).days > LONGEST_DAYS:
            raise BadInput(
                WHO, "late grass", f"{days} days", f"1 day or more, within {LONGEST_DAYS} days of the start", "check it"
            )
        found.append(Case(f"grass {days} days late", replace(farm, turnout=turnout)))
    if asks.cold_pct:
        more = {m: farm.more_energy_pct.get(m, 0.0) + (asks.cold_pct if m in COLD_MONTHS else 0.0) for m in range(1, 13)}  # fmt: skip
        found.append(Case(f"cold Dec to Feb, {asks.cold_pct:.0f} % more energy", replace(farm, more_energy_pct=more)))
    if asks.hay_price_pct and farm.for_sale:
        dearer = tuple(replace(h, price_per_ton=h.price_per_ton * (1 + asks.hay_price_pct / 100)) for h in farm.for_sale)  # fmt: skip
        found.append(Case(f"hay to buy {asks.hay_price_pct:+.0f} %", replace(farm, for_sale=dearer)))
    if farm.lots and asks.lost != "":
        name = asks.lost or max(farm.lots, key=lambda lot: lot.tons).name
        if name not in {lot.name for lot in farm.lots}:
            raise BadInput(WHO, "the stack lost", f'"{name}"', listing(lot.name for lot in farm.lots), "check the name")
        left = tuple(replace(lot, tons=0.0) if lot.name == name else lot for lot in farm.lots)
        found.append(Case(f"{name} lost", replace(farm, lots=left)))
    if asks.more_cows:
        largest = max(farm.groups, key=lambda g: g.head)
        grown = tuple(replace(g, head=g.head + asks.more_cows) if g is largest else g for g in farm.groups)
        found.append(Case(f"{asks.more_cows:g} more in {largest.name}", replace(farm, groups=grown)))
    return [replace(case, pins=tuple(pins)) for case in found]


def outcomes(found: Sequence[Case], clock: Clock, progress: Progress | None = None) -> list[Outcome]:
    """Each case planned; the first one is what the others are held against."""
    base: WinterPlan | None = None
    done: list[Outcome] = []
    for case in found:
        if progress is not None:
            progress(f"what if: {case.name}")
        try:
            plan, held, gone = _both(case, base, clock)
        except NoPlanYet:
            if base is None:
                raise
            break  # the table says that lines are missing
        base = base or plan
        done.append(Outcome(case, plan, held, tuple(differences(case.farm, base.rows, plan.rows)), gone))
    return done


def _both(case: Case, base: WinterPlan | None, clock: Clock) -> tuple[WinterPlan, WinterPlan, tuple[Pin, ...]]:
    """With hay bought as it is needed, and with no more of each hay than `base` buys; the pins that cannot stay."""
    plan, gone = _plan(case, clock)
    if base is None or hay_bought(plan) == 0:
        return plan, plan, gone
    there = {p.name: p.tons for p in base.purchases if p.kind == BOUGHT}
    no_more = tuple(replace(h, tons=min(h.tons, there.get(h.name, 0.0))) for h in case.farm.for_sale)
    return plan, _plan(case.selling(no_more), clock)[0], gone


def _plan(case: Case, clock: Clock) -> tuple[WinterPlan, tuple[Pin, ...]]:
    model, gone = case.model()
    return evaluate(model, linear.solve(model, None, clock).tons), gone
