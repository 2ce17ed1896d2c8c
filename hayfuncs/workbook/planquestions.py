"""What is asked beside a winter plan, as lines for the terminal and as data: what if, what a ton is worth, before the winter."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

from hayfuncs.winter import beforewinter, linear, whatif, worth
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.differences import Difference, differences
from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.winter.linear import NoPlanYet
from hayfuncs.winter.model import Progress
from hayfuncs.winter.pins import Pin, applied
from hayfuncs.winter.problem import Farm
from hayfuncs.winter.robust import Robust, robust
from hayfuncs.winter.solve import model_of
from hayfuncs.workbook import oldbales
from hayfuncs.workbook.oldbales import BALES_KEY
from hayfuncs.workbook.oldfile import Old
from hayfuncs.workbook.wintering import Solved

WIDE = 100
MOST_CHANGES = 24  # lines
ANY_KIND = "in amounts of any kind; whole bales cost a few percent more"


@dataclass(frozen=True)
class Questions:
    asks: whatif.Asks | None = None
    worth: bool = False
    before: bool = False
    seconds: float = 30.0
    stopped: Callable[[], bool] = lambda: False

    def any(self) -> bool:
        return self.asks is not None or self.worth or self.before


def answers(solved: Solved, asked: Questions, progress: Progress | None) -> tuple[list[str], dict[str, Any]]:
    """Lines and data, in the order: what if, worth, before the winter."""
    farm = solved.farm
    if farm is None or not asked.any():
        return [], {}
    lines: list[str] = []
    data: dict[str, Any] = {}
    clock = Clock(asked.seconds, asked.stopped)
    try:
        if asked.asks is not None:
            _asked_what_if(farm, asked.asks, _pins(solved), clock, progress, lines, data)
        if asked.worth or asked.before:
            _asked_worth(solved, farm, asked, clock, progress, lines, data)
    except NoPlanYet:
        lines += ["", "Time was up before all questions were answered; give more of it (--seconds)."]
    return lines, data


def _asked_what_if(
    farm: Farm,
    asks: whatif.Asks,
    pins: Sequence[Pin],
    clock: Clock,
    progress: Progress | None,
    lines: list[str],
    data: dict[str, Any],
) -> None:
    cases = whatif.cases(farm, asks, pins)
    found = whatif.outcomes(cases, clock, progress)
    choice = robust(found, clock)
    lines += ["", *_what_if(found, len(cases) - len(found), choice)]
    data["what_if"] = [_case_data(o) for o in found]
    data["robust"] = _robust_data(choice)


def _asked_worth(
    solved: Solved, farm: Farm, asked: Questions, clock: Clock, progress: Progress | None, lines: list[str], data: dict[str, Any]
) -> None:  # fmt: skip
    model = applied(model_of(farm, None, progress), _pins(solved))
    answer = linear.solve(model, progress, clock)
    if asked.worth:
        lots, feeds = worth.lots_worth(model, answer), list(worth.feeds_worth(model, answer, clock, progress))
        lines += ["", *_worth(lots, feeds, solved.market)]
        data["worth_by_the_plan"] = {
            "lots": [{"name": w.name, "dollars_a_ton": w.by_the_plan, "market": solved.market.get(w.name), "tons_left": w.tons_left, "words": _beside(w, solved.market.get(w.name))} for w in lots],
            "feeds": [{"name": f.name, "tons": f.tons, "winter_without_costs_more": f.without, "price": f.price, "bought_below": f.enters_at, "words": _of_feed(f)} for f in feeds],
        }  # fmt: skip
    if asked.before:
        untested = [name for name in solved.tested.no_nitrate if name in {lot.name for lot in farm.lots}]
        said = list(beforewinter.lines(model, answer, untested, clock, progress))
        lines += ["", f"Before the winter ({ANY_KIND})", *_wrapped(said)]
        data["before_winter"] = said


def _pins(solved: Solved) -> list[Pin]:
    """What is pinned in the plan beside which it is asked."""
    return [] if solved.easy is None else [pinned.pin for pinned in solved.easy.pins if not pinned.why]


def _wrapped(said: Sequence[str]) -> Iterator[str]:
    for text in said:
        for i, line in enumerate(wrap(text, WIDE)):
            yield f"  {'  ' if i else ''}{line}"


def _what_if(found: Sequence[whatif.Outcome], missing: int, choice: Robust | str) -> Iterator[str]:
    pinned = "; what is pinned stays, where it can" if found[0].case.pins else ""
    yield f"What if ({ANY_KIND}{pinned})"
    heads = ("", "cost", "more", "hay to buy", "reaches grass on the hay planned for", "what changes first")
    base = found[0].plan.cost
    table = [heads]
    for outcome in found:
        cost = outcome.plan.cost
        more = "" if outcome is found[0] else f"${cost - base:+,.0f}".replace("$+", "+$").replace("$-", "-$")
        change = "" if outcome is found[0] else outcome.first_change()
        table.append(
            (outcome.case.name, f"${cost:,.0f}", more, f"{outcome.hay_tons:,.1f} tons", outcome.reaches(), change)
        )
    wide = [max(len(row[i]) for row in table) for i in range(len(heads))]
    for row in table:
        cells = [f"{text:>{w}}" if i in (1, 2, 3) else f"{text:<{w}}" for i, (text, w) in enumerate(zip(row, wide, strict=True))]  # fmt: skip
        yield ("  " + "  ".join(cells)).rstrip()
    if missing:
        yield f"  Time was up: {missing} more {'line is' if missing == 1 else 'lines are'} left out (--seconds)."
    lines = [o for o in found[1:] if not o.plan.failures]
    worst = max(lines, key=lambda o: o.plan.cost, default=None)
    said = choice if isinstance(choice, str) else choice.words()
    if worst is not None:
        said += f" The dearest line that reaches grass: {worst.case.name}, ${worst.plan.cost:,.0f}."
    yield from _wrapped([said])


def _case_data(outcome: whatif.Outcome) -> dict[str, Any]:
    return {
        "case": outcome.case.name, "amounts": "any kind", "cost": outcome.plan.cost, "hay_to_buy_tons": outcome.hay_tons,
        "reaches_grass": not outcome.plan.failures, "reaches_grass_on_the_hay_planned_for": not outcome.held.failures,
        "words": outcome.reaches(), "first_change": outcome.first_change() if outcome.changes else "", "changes": [_difference_data(d) for d in outcome.changes],
    }  # fmt: skip


def _robust_data(choice: Robust | str) -> dict[str, Any]:
    if isinstance(choice, str):
        return {"words": choice}
    return {
        "words": choice.words(), "tons": choice.tons, "cost": choice.cost, "premium": choice.premium,
        "covered": list(choice.covered), "not_covered": list(choice.not_covered),
    }  # fmt: skip


def _worth(
    lots: Sequence[worth.LotWorth], feeds: Sequence[worth.FeedWorth], market: Mapping[str, float]
) -> Iterator[str]:
    yield f"What a ton is worth by the plan, as fed ({ANY_KIND})"
    if not lots and not feeds:
        yield "  Not told while needs stay short: there every ton of hay is worth more than its price."
        return
    wide = max(len(name) for name in [*(lot.name for lot in lots), *(feed.name for feed in feeds)])
    for lot in lots:
        yield f"  {lot.name:<{wide}}  ${lot.by_the_plan:>5,.0f}  {_beside(lot, market.get(lot.name))}"
    for feed in feeds:
        if said := _of_feed(feed):
            yield f"  {feed.name:<{wide}}  ${feed.price:>5,.0f}  {said}"


def _of_feed(feed: worth.FeedWorth) -> str:
    if feed.tons:
        without = "needs cannot be met without it" if feed.without is None else f"without it the winter costs ${feed.without:,.0f} more, ${feed.without / feed.tons:,.0f} for each ton bought"  # fmt: skip
        return f"its price; {feed.tons:,.1f} tons bought; {without}"
    if feed.enters_at is None:
        return ""
    enters = f"would be bought below ${feed.enters_at:,.0f}" if feed.enters_at > 0 else "would not be bought at any price"  # fmt: skip
    return f"its price; not bought; {enters}"


def _beside(lot: worth.LotWorth, price: float | None) -> str:
    """What the market pays, and which of the two is more."""
    said = "no market price" if price is None else f"market ${price:,.0f}"
    if lot.tons_left > worth.LEFT_TONS and lot.a_ton_less <= 0:
        return f"{said}; {lot.tons_left:,.1f} tons are not fed, a ton less is a ton less to sell"
    if price is not None and price > lot.by_the_plan + 1:
        return f"{said}; sells for more than feeding it saves"
    return f"{said}; what the farm loses with a ton of it"


def old_rows(old: Old, farm: Farm | None) -> list[PlanRow]:
    """The amounts that stand on the sheet Plan of an older workbook; none where it has no plan."""
    if BALES_KEY in old.known:
        return [] if farm is None else oldbales.rows(old, farm)
    found: list[PlanRow] = []
    for i in range(1, old.rows.get("Plan", 0) + 1):
        month, group, feed, lb = (old.get(f"Plan/{i}/{key}") for key in ("month", "group", "feed", "lb"))
        if month and group and feed and isinstance(lb, (int, float)) and lb > 0:
            found.append(PlanRow(str(month), str(group), "", str(feed), float(lb), 0.0, 0.0))
    return found


def changes(solved: Solved, old: Old) -> list[Difference]:
    if solved.farm is None or solved.plan is None:
        return []
    was = [row for row in old_rows(old, solved.farm) if row.group in {g.name for g in solved.farm.groups}]
    return differences(solved.farm, was, solved.plan.rows)


def change_lines(found: Sequence[Difference], old: Old, farm: Farm | None) -> Iterator[str]:
    """The old plan beside the new one, in pounds put out a head and a day."""
    if not old_rows(old, farm):
        return
    yield ""
    if not found:
        yield f"Beside the plan in {old.path.name}: nothing changes in the months that both have."
        return
    yield f"Beside the plan in {old.path.name}, pounds put out a head and a day, mean of the month"
    yield from _wrapped([d.words() for d in found[:MOST_CHANGES]])
    if len(found) > MOST_CHANGES:
        yield f"  and {len(found) - MOST_CHANGES} more"


def changes_data(found: Sequence[Difference]) -> dict[str, Any]:
    return {"changes": [_difference_data(d) for d in found]} if found else {}


def _difference_data(difference: Difference) -> dict[str, Any]:
    return {"period": difference.period, "group": difference.group, "was": difference.was, "now": difference.now}
