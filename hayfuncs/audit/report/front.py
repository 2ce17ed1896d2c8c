"""Summary, findings, derivations and sensitivity of the report."""

from __future__ import annotations

import hashlib
from collections import Counter

from hayfuncs.audit import text_report as telling
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import LEVELS, RULES, SEVERITIES
from hayfuncs.audit.judge import moved as has_moved
from hayfuncs.audit.report.page import INDEX, Looks, Page, plain
from hayfuncs.audit.sensitivity import Sensitivity
from hayfuncs.audit.trace import Tracer
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.contents import Value

DECISIONS = ("open", "confirmed", "accepted", "rejected")
DEEPEST = 7  # outline levels that a sheet has
TRACED = 12  # headline numbers whose derivation is written out


def summary(file: object, looks: Looks, case: AuditContext, others: list[tuple[str, str]]) -> None:
    page = Page(
        file, looks, INDEX, f"Audit of {case.book.path.name}", telling.tally(case) + ".", (34, 22, 50, 20, 20, 18)
    )
    page.section("What was done")
    for text in telling.coverage(case):
        head, _, rest = text.partition(": ")
        page.line([head, None, rest], "cell")
    digest = hashlib.sha256(case.book.path.read_bytes()).hexdigest() if case.book.path.exists() else ""
    page.line(["SHA-256 of the file audited", None, digest])
    page.line(
        [
            "Not done",
            None,
            "Excel itself was not run; what it would show is taken from the stored values and the engine.",
        ],
    )
    page.section("Headline numbers: what findings are weighed by")
    page.heads(("What", "Cell", "Unit", "Stored", "Recomputed"))
    for at in case.heads:
        stored, again = plain(case.book.values.get(at)), plain(case.recomputed.values.get(at))
        values: list[Value] = [case.labels.label(at), case.address(at), case.labels.unit(at), stored, again]
        page.line(values, ("cell", "cell", "cell", "number", "number"))
    page.section("Findings by severity")
    page.heads(("Severity", "Count", "Meaning"))
    levels = Counter(f.level for f in case.findings)
    for level in SEVERITIES:
        page.line([level, float(levels.get(level, 0)), LEVELS[level]], (level, "count", "cell"))
    page.section("What was looked for")
    page.heads(("Rule", "Findings", "Looks for", "Worst"))
    found = Counter(f.rule for f in case.findings)
    worst = {
        rule: min((f.level for f in case.findings if f.rule == rule), key=SEVERITIES.index, default="")
        for rule in RULES
    }
    for rule, card in RULES.items():
        page.line(
            [rule, float(found.get(rule, 0)), card.looks_for, worst[rule]],
            ("cell", "count", "cell", worst[rule] or "cell"),
        )
    page.section("Sheets of this report")
    for name, says in others:
        page.sheet.write_url(page.row, 0, f"internal:'{name}'!A1", looks("link"), name, f"Go to {name}")
        page.put(2, says)
        page.next()
    page.sheet.activate()


def findings(file: object, looks: Looks, case: AuditContext) -> None:
    widths = (10, 20, 18, 62, 46, 46, 14, 30)
    page = Page(
        file, looks, "Findings", "Findings, the gravest first",
        "Evidence for each. A finding may be a false alarm, so the last columns are yours: confirmed, accepted or rejected, and why.", widths,
    )  # fmt: skip
    page.heads(
        ("Severity", "Cell", "Rule", "Evidence", "Effect on the headline numbers", "What to do", "Decision", "Remark"),
        freeze=True,
    )
    first = page.row
    for f in case.findings:
        kinds = (f.level, "cell", "cell", "cell", "cell", "cell", "decision", "decision")
        page.line(
            [f.level, f.cell, f.rule, f.evidence, f.effect, f.advice(), "open", None],
            kinds,
        )
    last = page.row - 1
    if case.findings:
        page.sheet.data_validation(first, 6, last, 6, {
            "validate": "list", "source": list(DECISIONS), "input_title": "Decision", "input_message": "What you decided on this finding.",
            "error_title": "Decision", "error_message": f"One of: {', '.join(DECISIONS)}.",
        })  # fmt: skip
        page.sheet.data_validation(first, 7, last, 7, {"validate": "length", "criteria": "<=", "value": 2000})
        page.sheet.autofilter(first - 1, 0, last, len(widths) - 1)


def derivations(file: object, looks: Looks, case: AuditContext) -> None:
    page = Page(
        file, looks, "Derivations", "How each headline number comes about",
        "Each line is followed, one level in, by what it rests on, down to what is typed and to sourced constants. Rows can be folded.", (8, 24, 46, 18, 18, 80, 60),
    )  # fmt: skip
    page.heads(("Level", "Cell", "What", "Value", "Unit", "In figures", "Source"), freeze=True)
    tracer = Tracer(case.formulas, case.labels)
    page.sheet.outline_settings(True, False, False, False)
    for at in case.heads[:TRACED]:
        for step in tracer.trace(at):
            pad = "\u2003" * min(step.depth, 12)
            source = step.label if step.kind == "source" else step.source
            label = pad + ("source" if step.kind == "source" else step.label)
            values: list[Value] = [
                float(step.depth),
                step.cell,
                label,
                plain(step.value),
                step.unit,
                step.arithmetic,
                source,
            ]
            page.line(values, ("count", "cell", "cell", "number", "cell", "cell", "cell"), min(step.depth, DEEPEST))
        page.next()


def sensitivity(file: object, looks: Looks, case: AuditContext, made: Sensitivity) -> None:
    heads = made.heads[:10]
    page = Page(
        file, looks, "Sensitivity", "What moves the headline numbers, the strongest first",
        f"Each number 10 % down and up, each word to the others. {len(made.still)} inputs move nothing with today's values.", (14, 44, 18, 18, 16, *[17] * len(heads)),
    )  # fmt: skip
    page.heads(
        ("Cell", "Input", "Now", "Tried", "Unit", *(f"{case.address(at)} {case.labels.label(at)}" for at in heads)),
        freeze=True,
    )
    page.sheet.set_row(page.row - 1, 66)
    page.line(
        ["", "as it stands", None, None, None, *(plain(made.base[i]) for i in range(len(heads)))],
        ("cell", "cell", "cell", "cell", "cell", *["number"] * len(heads)),
    )
    for m in made.moves:
        answers = [plain(m.answers[i]) if has_moved(made.base[i], m.answers[i]) else None for i in range(len(heads))]
        page.line([case.address(m.at), m.label, plain(m.was), plain(m.tried), m.unit, *answers],
                  ("cell", "cell", "number", "number", "cell", *["number"] * len(heads)))  # fmt: skip
    if made.still:
        page.section("Inputs that move nothing with today's values")
        for at in made.still:
            page.line([case.address(at), case.labels.label(at), figure(case.book.values.get(at))], "cell")
