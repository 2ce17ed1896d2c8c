"""An audit in words for the terminal, and as JSON for other programs."""

from __future__ import annotations

import json
import textwrap
from collections import Counter
from typing import Any

from hayfuncs import __version__
from hayfuncs.audit import sensitivity
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import RULES, SEVERITIES, Finding
from hayfuncs.audit.graph import hay_name
from hayfuncs.audit.own import recognise
from hayfuncs.audit.recompute import TOLERANCE, engine_version, same
from hayfuncs.audit.sensitivity import Sensitivity
from hayfuncs.contract.catalogue import CATALOGUE

WIDTH = 110
HEADS_SHOWN = 24  # headline numbers printed; the report has them all


def counts(case: AuditContext) -> dict[str, Any]:
    """The figures of an audit: what there was, how much of it was covered, what came of it."""
    book, formulas = case.book, case.formulas
    wrong = sum(not same(book.values.get(at), value) for at, value in case.direct.values.items())
    defined = [name for name in book.names if hay_name(name.name) in CATALOGUE]
    off = {f.cell for f in case.findings if f.rule == "definition"}
    levels = Counter(f.level for f in case.findings)
    return {
        "sheets": len(book.sheets), "filled cells": len(book.values), "formula cells": len(book.formulas),
        "patterns": len(formulas.patterns), "recomputed": case.recomputed.done, "differ": len(case.differing),
        "left out": len(case.recomputed.skipped), "function cells": case.direct.total, "from Python": len(case.direct.values),
        "Python differs": wrong, "definitions": len(defined), "definitions differ": len(off & {n.name for n in defined}),
        "findings": {level: levels.get(level, 0) for level in SEVERITIES},
        "tolerance": TOLERANCE, "engine": engine_version(), "hayfuncs": __version__, "seconds": round(case.seconds, 2),
    }  # fmt: skip


def recognised(case: AuditContext) -> str:
    """What the workbook was held against; where nothing was, that is said before all else."""
    own = recognise(case.book)
    if own is not None and case.expected is not None:
        return f"a workbook of hayfuncs {own.version}, {own.edition} edition; every cell compared with this version's"
    if own is not None and case.by_marks is not None:
        by = f"made by another version than this one, {__version__}" if own.version != __version__ else "a large one"
        return f"a workbook of hayfuncs {own.version}, {own.edition} edition, {by}; its {case.by_marks:,} formulas compared with the marks that it carries of them"
    if own is not None:
        return f"a workbook of hayfuncs {own.version}, {own.edition} edition; NOT compared cell by cell with this version's (the notes say why)"
    ours = sum(bool(pattern.hay) for pattern in case.formulas.patterns.values())
    calls = f", {ours:,} formulas that call functions of hayfuncs" if ours else ""
    count = len(case.meanings.of)
    if count:
        return f"no workbook of hayfuncs; {count:,} numbers known by their headings (--map lists them){calls}"
    return f"nothing of hayfuncs and no heading of the trade{calls}: judged by the general rules alone"


def coverage(case: AuditContext) -> list[str]:
    """What was covered, in sentences."""
    n = counts(case)
    lines = [
        f"Recognised: {recognised(case)}",
        f"Read: {n['sheets']} sheets, {n['filled cells']:,} filled cells, {n['formula cells']:,} formula cells in {n['patterns']:,} patterns",
        f"Recomputed by {n['engine']}: {n['recomputed']:,} of {n['formula cells']:,} formula cells; "
        f"{n['differ']:,} differ by more than {TOLERANCE:g}",
    ]
    if n["function cells"]:
        lines.append(
            f"Straight from Python (hayfuncs {n['hayfuncs']}): {n['from Python']:,} of {n['function cells']:,} function cells; "
            f"{n['Python differs']:,} differ"
        )
    else:
        lines.append("Straight from Python: the workbook calls no function of hayfuncs")
    if n["definitions"]:
        lines.append(
            f"Definitions in the workbook: {n['definitions']} compared with the records; {n['definitions differ']} differ"
        )
    if case.recomputed.failure:
        lines.append(f"Not recomputed: {case.recomputed.failure}")
    elif n["left out"]:
        lines.append(f"Left out of the recomputation: {n['left out']:,} cells, each with its reason among the notes")
    lines += [f"Saved: {words}" for words in case.saved]
    return lines + [f"Note: {note}" for note in case.book.notes]


def tally(case: AuditContext) -> str:
    levels = counts(case)["findings"]
    parts = ", ".join(f"{levels[level]} {level}" for level in SEVERITIES[:-1])
    return f"Findings: {parts}; {levels['note']} notes"


def text(case: AuditContext, notes: bool = False, moved: Sensitivity | None = None) -> str:
    lines = [*coverage(case), "", "Headline numbers"]
    for at in case.heads[:HEADS_SHOWN]:
        lines.append(
            f"  {case.address(at):<14} {case.labels.label(at)}: {case.with_unit(at, case.book.values.get(at))}"
        )
    more = len(case.heads) - HEADS_SHOWN
    lines += [f"  and {more:,} more, in the report" for _ in range(more > 0)] + ["", tally(case)]
    for finding in case.findings:
        if finding.above_note or notes:
            lines += told(finding)
    quiet = Counter(f.rule for f in case.findings if not f.above_note)
    if quiet and not notes:
        lines += ["", "Notes (shown with --notes): " + ", ".join(f"{count} {rule}" for rule, count in quiet.items())]
    if moved is not None:
        lines.append(sensitivity.text(case, moved))
    return "\n".join(lines)


def told(finding: Finding) -> list[str]:
    def wrapped(words: str) -> list[str]:
        return textwrap.wrap(words, WIDTH, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False)

    lines = ["", f"{finding.level.upper():<7} {finding.cell}   {finding.rule}: {RULES[finding.rule].looks_for}"]
    lines += wrapped(finding.evidence)
    if finding.effect:
        lines += wrapped(f"Effect: {finding.effect}")
    return lines + wrapped(f"Do: {finding.advice()}")


def as_json(case: AuditContext, moved: Sensitivity | None = None) -> str:
    findings = [
        {
            "rule": f.rule,
            "severity": f.level,
            "cell": f.cell,
            "evidence": f.evidence,
            "effect": f.effect,
            "suggestion": f.advice(),
            "decision": "",
        }
        for f in case.findings
    ]
    heads = [
        {
            "cell": case.address(at),
            "label": case.labels.label(at),
            "value": case.book.values.get(at),
            "unit": case.labels.unit(at),
        }
        for at in case.heads
    ]
    whole = {
        "file": str(case.book.path),
        **counts(case),
        "headlines": heads,
        "notes": case.book.notes,
        "list": findings,
    }
    if moved is not None:
        whole["sensitivity"] = [
            {
                "cell": case.address(m.at),
                "label": m.label,
                "value": m.was,
                "tried": m.tried,
                "unit": m.unit,
                "headlines": m.answers,
            }
            for m in moved.moves
        ]
    return json.dumps(whole, indent=2)
