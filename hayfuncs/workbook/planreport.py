"""The winter plan in words for the terminal: what each group gets by month, what to buy, what it costs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.cow.cold import cold_increase
from hayfuncs.winter import solve as winter
from hayfuncs.winter.evaluate import BOUGHT, OWN
from hayfuncs.winter.feeding import EasyPlan
from hayfuncs.winter.problem import MONTHS
from hayfuncs.workbook import easyplanning, plancautions
from hayfuncs.workbook.sheets.budget import COLD_COAT, COLD_F
from hayfuncs.workbook.signposts import on_tab
from hayfuncs.workbook.wintering import Solved

MOST_FAILURES = 25  # lines of what is not kept
LEAST_LB = 0.05  # a head and a day: less would show as 0.0
COLD_MONTHS = (11, 12, 1, 2, 3)  # in which the cold spell that is told of is likely
SMALL = 0.05  # tons that are not worth a line


def text(solved: Solved, easy: EasyPlan | None = None) -> str:
    farm, plan = solved.farm, solved.plan
    if farm is None or plan is None:
        return solved.solution.words
    return "\n".join(
        [
            *(_months(farm, plan) if easy is None else _bales(farm, plan, easy)),
            "",
            *_buy(plan),
            "",
            *_hay(farm, plan),
            "",
            *_calcium(farm, plan),
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
    said = f"Winter plan: ${budget.total:,.0f}, ${budget.cash:,.0f} of that is cash"
    if solved.assumed:
        said += f"; {len(solved.assumed)} own lots without a price of their own: see {on_tab('Winter feeds')}"
    if solved.plan.failures:
        return f"{said}; NOT every need is met, in {len(solved.plan.failures)} places: see the sheet Group months"
    return f"{said}; every need is met, {_counted(solved.farm)}" if solved.farm else f"{said}; every need is met"


def _months(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    heads = {g.name: g.head for g in farm.groups}
    wide = max(len(f"{name}, {head:g} head") for name, head in heads.items())
    yield f"Winter plan, {_day(farm.start)} to {_day(farm.turnout)}: pounds as fed to put out, a head and a day"
    yield from weather(farm, plan)
    for period in farm.periods():
        yield ""
        yield f"{period.label}, {period.days} days"
        for name, head in heads.items():
            given = [r for r in plan.rows if (r.period, r.group) == (period.label, name) and r.lb_head_day >= LEAST_LB]
            said = ", ".join(f"{r.lb_head_day:.1f} lb {r.name}" for r in given) or "nothing"
            yield f"  {f'{name}, {head:g} head':<{wide}}  {said}"


def _bales(farm: winter.Farm, plan: winter.WinterPlan, easy: EasyPlan) -> Iterator[str]:
    yield f"Winter plan, {_day(farm.start)} to {_day(farm.turnout)}"
    yield from weather(farm, plan)
    yield ""
    yield from easyplanning.lines(easy)


def _counted(farm: winter.Farm) -> str:
    """What weather the needs count."""
    fed = dict.fromkeys(period.month for period in farm.periods())
    more = {month: farm.more_energy_pct.get(month, 0.0) for month in fed}
    if not any(more.values()):
        return "no cold counted"
    said = ", ".join(f"{MONTHS[month - 1]} {pct:g} %" for month, pct in more.items() if pct)
    return f"counting more energy for cold and mud: {said}"


def weather(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    """What weather is counted, and what a cold spell would ask for beside that."""
    yield f"Weather: {_counted(farm)}: see {on_tab('Winter')}."
    hays = [r for r in plan.rows if r.kind in (OWN, BOUGHT)]
    if not hays:
        return
    made: tuple[winter.Lot | winter.HayForSale, ...] = (*farm.lots, *farm.for_sale)
    by_name = {hay.name: hay for hay in made}
    tons = sum(r.tons for r in hays)
    tdn = sum(r.tons * by_name[r.name].dm_pct / 100 * by_name[r.name].tdn_pct / 100 for r in hays) / tons
    pct = float(cold_increase(COLD_F, COLD_COAT))
    cold = {p.label for p in farm.periods() if p.month in COLD_MONTHS}
    rations = [b for b in plan.balances if b.period in cold] or list(plan.balances)
    most = max(rations, key=lambda b: b.need.tdn_lb / (1 + _more(farm, b.period) / 100))
    lb = most.need.tdn_lb / (1 + _more(farm, most.period) / 100) * pct / 100
    yield (
        f"At a wind chill of {COLD_F} deg F, in a dry {COLD_COAT} coat, a cow needs {pct:.0f} % more energy: up to +{lb:.1f} lb TDN, "
        f"about {lb / tdn:.0f} lb of this hay ({most.group}, {most.period})."
    )


def _more(farm: winter.Farm, period: str) -> float:
    return next(farm.more_energy_pct.get(p.month, 0.0) for p in farm.periods() if p.label == period)


def _calcium(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    """Calcium for each part of phosphorus, groups by months."""
    if farm.min_ca_p is None:
        return
    yield f"Calcium to phosphorus of the diet, at least {farm.min_ca_p:g} (calcium, phosphorus and their minerals counted)"
    found = {(b.group, b.period): b.ca_p for b in plan.balances}
    wide = max(len(g.name) for g in farm.groups)
    labels = [p.label for p in farm.periods()]
    heads = [label.rpartition(" ")[0] if "-" in label else label for label in labels]  # a half goes without its year
    yield "  " + " " * wide + "".join(f"{head:>10}" for head in heads)
    for group in farm.groups:
        values = [found.get((group.name, label)) for label in labels]
        yield f"  {group.name:<{wide}}" + "".join(f"{'-' if v is None else format(v, '.1f'):>10}" for v in values)


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
    if b.minerals > 0:
        yield f"  minerals    {_dollars(b.minerals)} (in what is to spend)"
    yield f"  own hay     {_dollars(b.own_hay)} at what it would bring if it were not fed"
    yield f"  in all      {_dollars(b.total)}, ${b.per_head:,.2f} a head, ${b.per_head_day:.2f} a head and a day ({b.head:g} head, {b.days} days)"
    if plain is None:
        return
    p = plain.budget
    yield ""
    yield "The plain rule (best hay to the neediest group, then the one feed that covers the rest)"
    yield f"  in all      {_dollars(p.total)}, ${p.cash:,.0f} to spend; {_differs(p.total - b.total)} than this plan"
    for failure in plain.failures[:3]:
        yield f"  and it fails: {failure.words()}"
    if len(plain.failures) > 3:
        yield f"  and {len(plain.failures) - 3} more"


def _assumed(solved: Solved) -> Iterator[str]:
    if not solved.assumed:
        return
    yield ""
    yield f"Assumed, as no price is typed on {on_tab('Stock')}: a ton of own hay as fed is worth, before its share on {on_tab('Winter')} is taken"
    wide = max(len(a.name) for a in solved.assumed)
    for a in solved.assumed:
        yield f"  {a.name:<{wide}}  ${a.price:,.2f}  ({a.source})"


def _day(day: dt.date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _dollars(amount: float) -> str:
    return f"{f'${amount:,.0f}':>11}"


def _differs(dollars: float) -> str:
    return f"${abs(dollars):,.0f} {'more' if dollars >= 0 else 'less'}"
