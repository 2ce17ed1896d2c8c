"""The winter plan in words for the terminal: what each group gets by month, what to buy, what it costs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.winter import solve as winter
from hayfuncs.winter.problem import MONTHS
from hayfuncs.workbook import plancautions
from hayfuncs.workbook.wintering import Solved

MOST_FAILURES = 25  # lines of what is not kept
LEAST_LB = 0.05  # a head and a day: less would show as 0.0
SMALL = 0.05  # tons that are not worth a line


def text(solved: Solved) -> str:
    farm, plan = solved.farm, solved.plan
    if farm is None or plan is None:
        return solved.solution.words
    return "\n".join(
        [
            *_months(farm, plan),
            "",
            *_buy(plan),
            "",
            *_hay(farm, plan),
            "",
            *_money(farm, plan, solved.plain),
            *_assumed(solved),
            "",
            *plancautions.lines(farm, plan, solved.tested),
        ]
    )


def failures(solved: Solved) -> list[str]:
    """What cannot be met, group, month and nutrient, with how much is short."""
    assert solved.plan is not None
    found = [f"  {f.words()}" for f in solved.plan.failures]
    more = len(found) - MOST_FAILURES
    return found[:MOST_FAILURES] + ([f"  and {more} more"] if more > 0 else [])


def left_out(solved: Solved) -> list[str]:
    """The lots that are not planned with, and why."""
    return list(plancautions.left_out(solved.tested))


def short(solved: Solved) -> str:
    """The plan in one line, for the verbs that are about something else."""
    if solved.plan is None:
        return f"Winter plan: {solved.solution.words}"
    budget = solved.plan.budget
    said = f"Winter plan: ${budget.total:,.0f}, ${budget.cash:,.0f} of it to spend"
    if solved.assumed:
        said += f"; {len(solved.assumed)} own lots without a price of their own: see Winter feeds"
    if solved.plan.failures:
        return f"{said}; NOT every need is met, in {len(solved.plan.failures)} places: see the sheet Group months"
    return f"{said}; every need is met"


def _months(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    heads = {g.name: g.head for g in farm.groups}
    wide = max(len(f"{name}, {head:g} head") for name, head in heads.items())
    yield f"Winter plan, {_day(farm.start)} to {_day(farm.turnout)}: pounds as fed to put out, a head and a day"
    for period in farm.periods():
        yield ""
        yield f"{period.label}, {period.days} days"
        for name, head in heads.items():
            given = [r for r in plan.rows if (r.period, r.group) == (period.label, name) and r.lb_head_day >= LEAST_LB]
            said = ", ".join(f"{r.lb_head_day:.1f} lb {r.name}" for r in given) or "nothing"
            yield f"  {f'{name}, {head:g} head':<{wide}}  {said}"


def _buy(plan: winter.WinterPlan) -> Iterator[str]:
    yield "To buy"
    if not plan.purchases:
        yield "  nothing"
        return
    wide = max(len(p.name) for p in plan.purchases)
    for p in plan.purchases:
        much = f"{p.tons:8.1f} tons" if p.tons >= 1 else f"{p.tons * LB_PER_TON:8.1f} lb  "
        yield f"  {p.name:<{wide}}  {much} at ${p.price_per_ton:,.0f} a ton as fed  {_dollars(p.dollars)}"


def _hay(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    """Each lot: what is left of it at the start, after storage, and at turnout."""
    own = {lot.name for lot in farm.lots}
    first, last = farm.periods()[0].label, farm.periods()[-1].label
    start = {s.name: s.start for s in plan.stocks if s.period == first and s.name in own}
    left = {s.name: s.left for s in plan.stocks if s.period == last and s.name in own}
    wide = max(len(name) for name in own)
    yield "Own hay, tons as fed after loss in store"
    for name, tons in start.items():
        if tons > SMALL:
            yield f"  {name:<{wide}}  {tons:8.1f} at the start  {max(left[name], 0.0):8.1f} at turnout"


def _money(farm: winter.Farm, plan: winter.WinterPlan, plain: winter.WinterPlan | None) -> Iterator[str]:
    b = plan.budget
    yield "Budget for the winter"
    yield f"  feeds       {_dollars(b.feeds)}"
    yield f"  bought hay  {_dollars(b.bought_hay)}"
    yield f"  to spend    {_dollars(b.cash)}"
    yield f"  own hay     {_dollars(b.own_hay)} at what it would bring if it were not fed"
    yield f"  in all      {_dollars(b.total)}, ${b.per_head:,.2f} a head, ${b.per_head_day:.2f} a head and a day ({b.head:g} head, {b.days} days)"
    if plain is None:
        return
    p = plain.budget
    yield ""
    yield "The plain rule (best hay to the neediest group, then the one feed that covers the rest)"
    yield f"  in all      {_dollars(p.total)}, ${p.cash:,.0f} to spend; {_more(p.total - b.total)} than this plan"
    for failure in plain.failures[:3]:
        yield f"  and it fails: {failure.words()}"
    if len(plain.failures) > 3:
        yield f"  and {len(plain.failures) - 3} more"


def _assumed(solved: Solved) -> Iterator[str]:
    if not solved.assumed:
        return
    yield ""
    yield "Assumed, as no price is typed on Stock: a ton of own hay as fed is worth, before its share on Winter is taken"
    wide = max(len(a.name) for a in solved.assumed)
    for a in solved.assumed:
        yield f"  {a.name:<{wide}}  ${a.price:,.2f}  ({a.source})"


def _day(day: dt.date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _dollars(amount: float) -> str:
    return f"{f'${amount:,.0f}':>11}"


def _more(dollars: float) -> str:
    return f"${abs(dollars):,.0f} {'more' if dollars >= 0 else 'less'}"
