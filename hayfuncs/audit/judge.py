"""How grave a finding is: by the rule, or by what it does to the headline numbers."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import RULES, SEVERITIES, Finding
from hayfuncs.audit.graph import feeding, using
from hayfuncs.audit.recompute import Change, Engine, EngineFailed, as_is, as_value, change, same
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.a1 import place
from hayfuncs.spreadsheet.contents import Value

NOTABLE = 5e-4  # a relative change of a headline number that is worth a "high"
# what changes a value: where only a check depends on it, the check says less than it did
CHANGES = {
    "stored-value", "function-value", "error-value", "pattern", "typed-over", "formula-changed", "fixed-changed", "range-short",
    "text-number", "blank-precedent", "unit", "masking", "name", "implausible", "impossible-input", "basis", "printed-constant",
}  # fmt: skip
EFFECTS = {"error-value", "failed-check", "blank-precedent"}  # may well be what something else does
CAUSES = {
    "stored-value", "pattern", "typed-over", "formula-changed", "fixed-changed", "text-number", "implausible", "impossible-input",
}  # fmt: skip


def watched(case: AuditContext) -> list[tuple[str, int, int]]:
    return [(case.book.sheets[s].name, row, col) for s, row, col in map(place, case.heads)]


def judge(case: AuditContext, engine: Engine) -> None:
    """Each finding's gravity: the rule's own, else by what it does to the headline numbers."""
    base = [case.recomputed.values.get(at, case.book.values.get(at)) for at in case.heads]
    for finding in sorted(case.findings, key=lambda f: (list(RULES).index(f.rule), f.at or 0)):
        finding.level = finding.level or RULES[finding.rule].level
        if finding.level:
            continue
        fed = finding.at is not None and finding.at in case.fed
        finding.level = "medium" if fed else "low"
        if not fed and finding.at in case.checked and finding.rule in CHANGES:
            finding.level, finding.effect = (
                "medium",
                finding.effect or "no headline number depends on it, but a check does",
            )
        if finding.rule in ("stored-value", "function-value") and fed:
            _by_stored(case, finding, base)
        elif finding.rule == "error-value" and fed:
            finding.level = "high"
        elif finding.repair and case.tried < limits.EXPERIMENTS and not case.recomputed.failure:
            case.tried += 1
            _by_trial(case, engine, finding, base)


def causes_first(case: AuditContext) -> None:
    """What another finding explains comes after it, and the cause is as grave as what it does."""
    seen = [f for f in case.findings if f.above_note and f.at is not None]
    effects = [f for f in seen if f.rule in EFFECTS]
    names = (f for f in case.findings if f.above_note and f.rule == "name")
    causes = {at: f for f in names for at in using(case.formulas, f.cell)}
    causes |= {f.at: f for f in seen if f.rule in CAUSES and f.at is not None}
    rows = [f for f in case.findings if f.rule == "layout" and f.at is not None]  # put in by hand
    if not effects or not (causes or rows):
        return
    for level in SEVERITIES[:-1]:
        told = [f for f in effects if f.level == level]
        behind = feeding(case.formulas, [f.at for f in told if f.at is not None])
        for at in behind & causes.keys():
            causes[at].level = min(causes[at].level, level, key=SEVERITIES.index)
        for finding in told:
            finding.follows = bool(rows) or not behind.isdisjoint(causes)
        for finding in rows if told else ():
            finding.level = min(finding.level, level, key=SEVERITIES.index)


def _by_stored(case: AuditContext, finding: Finding, base: list[Value]) -> None:
    told = list(_moves(case, [case.book.values.get(at) for at in case.heads], base))
    if told:
        finding.level = "high"
        finding.effect = "stored, then recomputed: " + "; ".join(told[:4])


def _by_trial(case: AuditContext, engine: Engine, finding: Finding, base: list[Value]) -> None:
    skipped = case.recomputed.skipped
    cells = [c for c in finding.repair if c[0] not in skipped]
    changes: list[Change] = [change(case.book, at, formula, value) for at, formula, value in cells]
    undo = [as_is(case.book, at, skipped) for at, _, _ in cells]
    try:
        answers = engine.ask("trial", changes, undo, watched(case))
    except EngineFailed as error:
        finding.effect = f"not worked out: {error}"
        return
    mended = [as_value(value) for value in answers]
    told = list(_moves(case, base, mended))
    if told:
        finding.level = "high"
        finding.effect = "now, then mended: " + "; ".join(told[:4])
    elif finding.level == "medium":
        finding.effect = finding.effect or "no headline number moves with today's inputs"


def _moves(case: AuditContext, old: list[Value], new: list[Value]) -> Iterator[str]:
    for at, before, after in zip(case.heads, old, new, strict=True):
        if moved(before, after):
            label = case.labels.label(at)
            yield f"{label} ({case.address(at)}) {case.with_unit(at, before)} -> {case.with_unit(at, after)}"


def moved(before: Value, after: Value) -> bool:
    if isinstance(before, float) and isinstance(after, float):
        return abs(before - after) > NOTABLE * max(abs(before), abs(after), 1e-6)
    return not same(before, after)
