"""Each input moved a little, and what the headline numbers make of it.

A number goes 10 % down and up (inside what its validation allows), a word to every other word of
its list.  An input that moves nothing is named, since it may be dead.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.judge import moved, watched
from hayfuncs.audit.recompute import Engine, EngineFailed, as_is, as_value, change
from hayfuncs.audit.validations import listed
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Validation, Value

STEP = 0.1
MOST = 1_000  # inputs that are tried
MOST_WORDS = 8  # other words of one list that are tried


@dataclass
class Moved:
    """One input at another value, and the headline numbers then."""

    at: Node
    label: str
    was: Value
    tried: Value
    unit: str
    answers: list[Value]
    largest: float  # the largest relative move of a headline number; infinite where one changed its kind


@dataclass
class Sensitivity:
    heads: list[Node]
    base: list[Value]
    moves: list[Moved]
    still: list[Node]  # inputs that moved nothing
    apart: int = 0  # inputs that no headline number depends on
    left_out: int = 0


def work(case: AuditContext, engine: Engine) -> Sensitivity:
    """Try every input that a headline number depends on."""
    base = [case.recomputed.values.get(at, case.book.values.get(at)) for at in case.heads]
    made = Sensitivity(case.heads, base, [], [])
    inputs = [at for at in sorted(case.book.values) if _is_input(case, at)]
    fed = [at for at in inputs if at in case.fed]
    made.apart = len(inputs) - len(fed)
    made.left_out = max(0, len(fed) - MOST)
    if case.recomputed.failure:
        return made
    for at in fed[:MOST]:
        any_move = False
        for value in _others(case, at):
            answers = _ask(case, engine, at, value)
            if answers is None:
                continue
            largest = max((_size(x, y) for x, y in zip(base, answers, strict=True)), default=0.0)
            if largest > 0:
                any_move = True
                unit = case.labels.shown_unit(at)
                made.moves.append(
                    Moved(at, case.labels.label(at), case.book.values.get(at), value, unit, answers, largest)
                )
        if not any_move:
            made.still.append(at)
    made.moves.sort(key=lambda m: -m.largest)
    return made


def findings(case: AuditContext, made: Sensitivity) -> Iterator[Finding]:
    """One line for all of them: most belong to a lot or a feed that was not chosen."""
    if made.still:
        words = f"{len(made.still):,} inputs move no headline number with today's values: {case.area(made.still, 40)}"
        yield Finding("no-effect", case.address(made.still[0]), words, made.still[0], level="note")


def _is_input(case: AuditContext, at: Node) -> bool:
    value = case.book.values.get(at)
    return (
        at not in case.book.formulas
        and value not in (None, "")
        and not isinstance(value, ErrorValue)
        and not case.book.look(at).locked
    )


def _rule(case: AuditContext, at: Node) -> Validation | None:
    sheet, row, col = place(at)
    return next((r for r in case.book.sheets[sheet].validations if r.covers(row, col)), None)


def _others(case: AuditContext, at: Node) -> list[Value]:
    """Other values to try: 10 % down and up, or the other words."""
    value, rule = case.book.values.get(at), _rule(case, at)
    if isinstance(value, str):
        if rule is None or rule.kind != "list":
            return []
        words = listed(case, rule.first, place(at)[0]) or []
        others: list[Value] = [w for w in words if isinstance(w, str) and w.casefold() != value.casefold()]
        return others[:MOST_WORDS]
    if not isinstance(value, float):
        return []
    low, high = _limits(rule)
    step = abs(value) * STEP or (high - low) * STEP
    if rule is not None and rule.kind == "whole":
        step = max(1.0, float(round(step)))
    found: list[Value] = []
    for other in (value - step, value + step):
        inside = min(max(other, low), high)
        if inside != value:
            found.append(inside)
    return found


def _limits(rule: Validation | None) -> tuple[float, float]:
    low, high = float("-inf"), float("inf")
    if rule is not None and rule.kind in ("decimal", "whole", "date"):
        try:
            low = float(rule.first)
            high = float(rule.second) if rule.second else high
        except ValueError:
            return float("-inf"), float("inf")
    return low, high


def _ask(case: AuditContext, engine: Engine, at: Node, value: Value) -> list[Value] | None:
    put = [change(case.book, at, None, value)]
    undo = [as_is(case.book, at, case.recomputed.skipped)]
    try:
        return [as_value(v) for v in engine.ask("trial", put, undo, watched(case))]
    except EngineFailed:
        return None


def _size(before: Value, after: Value) -> float:
    if not moved(before, after):
        return 0.0
    if isinstance(before, float) and isinstance(after, float):
        return abs(after - before) / max(abs(before), 1e-9)
    return float("inf")


def text(case: AuditContext, made: Sensitivity, most: int = 60) -> str:
    """The table in lines, the strongest first."""
    lines = ["", "Sensitivity: each input 10 % down and up, each word to the others; the strongest first"]
    if case.recomputed.failure:
        return "\n".join([*lines, f"  not worked out: {case.recomputed.failure}"])
    for m in made.moves[:most]:
        lines.append(f"  {case.address(m.at)}  {m.label}: {figure(m.was, m.unit)} -> {figure(m.tried, m.unit)}")
        told = []
        for at, x, y in zip(made.heads, made.base, m.answers, strict=True):
            if moved(x, y):
                unit = case.labels.shown_unit(at)
                told.append(f"{case.address(at)} {figure(x)} -> {figure(y, unit)}{_percent(x, y)}")
        lines.append(f"      {'; '.join(told[:6])}{f' and {len(told) - 6} more' if len(told) > 6 else ''}")
    if len(made.moves) > most:
        lines.append(f"  and {len(made.moves) - most} more moves")
    lines.append(
        f"  {len(made.still)} inputs move nothing with today's values; {made.apart} feed no headline number as chosen"
    )
    if made.left_out:
        lines.append(f"  {made.left_out} further inputs were not tried")
    return "\n".join(lines)


def _percent(before: Value, after: Value) -> str:
    if isinstance(before, float) and isinstance(after, float) and before:
        return f" ({(after - before) / before:+.1%})"
    return ""
