"""Before the winter: hay to buy, lots that could be sold, and the test that could change the plan most."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hayfuncs.winter.clock import Clock
from hayfuncs.winter.evaluate import BOUGHT, evaluate
from hayfuncs.winter.linear import Answer
from hayfuncs.winter.model import Model, Progress
from hayfuncs.winter.worth import LEFT_TONS, cost_of_less, lots_worth

MOST_TRIED = 12  # untested lots whose loss is planned for, those of which most is fed


def lines(
    model: Model, answer: Answer, untested: Sequence[str], clock: Clock, progress: Progress | None = None
) -> Iterator[str]:
    """In amounts of any kind.  `untested`: lots that were not tested for nitrate."""
    if answer.short:
        yield "Not every need can be met, so there is nothing to sell: buy hay or allow more feeds first."
        return
    plan = evaluate(model, answer.tons)
    hay = [p for p in plan.purchases if p.kind == BOUGHT]
    if hay:
        said = " and ".join(f"{p.tons:,.1f} tons of {p.name} for ${p.dollars:,.0f}" for p in hay)
        yield f"Hay to buy for the winter: {said}."
    else:
        yield "Hay to buy: none for the winter as planned."
    left = [w for w in lots_worth(model, answer) if w.tons_left > LEFT_TONS and w.a_ton_less <= 0]
    if left:
        said = ", ".join(f"{w.tons_left:,.1f} tons of {w.name}" for w in left)
        yield f"Could be sold: {said}. The plan feeds none of that; a longer winter might (--what-if)."
    else:
        yield "Could be sold: none. The plan feeds all hay that may be fed; a lot that is left out for safety or not allowed is not counted here."
    yield from _tests(model, answer, untested, clock, progress)


def _tests(
    model: Model, answer: Answer, untested: Sequence[str], clock: Clock, progress: Progress | None
) -> Iterator[str]:
    fed = {lot.name: float(answer.tons[s].sum()) for s, lot in enumerate(model.farm.lots) if answer.tons[s].sum() > 0}
    tried = sorted((name for name in untested if name in fed), key=lambda name: -fed[name])
    if not untested:
        yield "Tests: every lot was tested for nitrate."
        return
    if not tried:
        yield f"Tests: the plan feeds none of the {len(untested)} lots that were not tested for nitrate."
        return
    found: list[tuple[float, str]] = []
    for name in tried[:MOST_TRIED]:
        if clock.over():
            break
        if progress is not None:
            progress(f"the winter without {name}")
        more = cost_of_less(model, answer, name, float("inf"), clock)
        found.append((float("inf") if more is None else more, name))
    if not found:
        yield "Tests: time was up before any lot could be tried (--seconds)."
        return
    dollars, name = max(found)
    costs = "needs could not be met" if dollars == float("inf") else f"the winter would cost ${dollars:,.0f} more"
    of = f"{len(untested)} {'lot' if len(untested) == 1 else 'lots'} not tested for nitrate"
    some = "" if len(found) == len(tried) else f" ({len(found)} of them looked at)"
    yield f"Test first: {name}, of {of}{some}. If it may not be fed, {costs}."
