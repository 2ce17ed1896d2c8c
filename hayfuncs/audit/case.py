"""One audit from the file to the findings: read, recompute, compare, judge."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from hayfuncs.audit import headline, limits
from hayfuncs.audit.container import read_bytes
from hayfuncs.audit.direct import Direct, direct
from hayfuncs.audit.figures import figure
from hayfuncs.audit.finding import RULES, Finding
from hayfuncs.audit.graph import Columns, Formulas, feeding, read_cells
from hayfuncs.audit.grid import Node, place
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.model import Value, Workbook
from hayfuncs.audit.operands import operands
from hayfuncs.audit.reader import read
from hayfuncs.audit.recompute import Change, Engine, EngineFailed, Recomputed, as_is, change, recompute, same

NOTABLE = 5e-4  # a relative change of a headline number that is worth a "high"


@dataclass
class Case:
    """Everything an audit knows of one workbook."""

    book: Workbook
    formulas: Formulas
    labels: Labels
    recomputed: Recomputed
    direct: Direct
    heads: list[Node]
    findings: list[Finding] = field(default_factory=list)
    tried: int = 0
    seconds: float = 0.0

    @cached_property
    def fed(self) -> set[Node]:
        """Every cell that some headline number depends on."""
        return feeding(self.formulas, self.heads)

    @cached_property
    def read(self) -> set[Node]:
        """Every cell that some formula reads."""
        return read_cells(self.formulas)

    @cached_property
    def operands(self) -> dict[Node, Node]:
        """Cells that formulas calculate with, each with one such formula's cell."""
        return operands(self.formulas)

    @cached_property
    def differing(self) -> set[Node]:
        values = self.book.values
        return {at for at, value in self.recomputed.values.items() if not same(values.get(at), value)}

    @cached_property
    def roots(self) -> set[Node]:
        """Differing cells that read no other differing cell: where a difference starts."""
        if not self.differing:
            return set()
        columns = Columns(self.differing)
        at_start: set[Node] = set()
        for at in self.differing:
            if at in self.direct.values and same(self.book.values.get(at), self.direct.values[at]):
                continue
            if not any(columns.any_in(area, but=at) for area in self.formulas.reads(at)):
                at_start.add(at)
        return at_start

    def address(self, at: Node) -> str:
        return self.book.address(at)

    def text(self, value: Value) -> str:
        return figure(value)

    def with_unit(self, at: Node, value: Value) -> str:
        unit = self.labels.shown_unit(at)
        return f"{figure(value)} {unit}" if unit and isinstance(value, float) else figure(value)

    def area(self, cells: Iterable[Node], most: int = 6) -> str:
        """Cells in words: a column's run as one range, the rest counted."""
        return spans(self.book, list(cells), most)


def spans(book: Workbook, cells: list[Node], most: int = 6) -> str:
    from hayfuncs.audit.grid import a1_area, quoted

    found: list[str] = []
    cells = sorted(set(cells), key=lambda at: (place(at)[0], place(at)[2], place(at)[1]))
    i = 0
    while i < len(cells):
        sheet, row, col = place(cells[i])
        last = row
        while i + 1 < len(cells) and place(cells[i + 1]) == (sheet, last + 1, col):
            i, last = i + 1, last + 1
        found.append(f"{quoted(book.sheets[sheet].name)}!{a1_area(row, col, last, col)}")
        i += 1
    rest = f" and {len(found) - most} more" if len(found) > most else ""
    return ", ".join(found[:most]) + rest


def audit(path: Path, heads: Iterable[str] = (), after: Callable[[Case, Engine], None] | None = None) -> Case:
    """Audit a workbook file; `after` may ask the engine more before it is closed."""
    from hayfuncs.audit.rules import ALL

    started = time.monotonic()
    data = read_bytes(path)
    book = read(path, data)
    formulas = Formulas(book)
    labels = Labels(book)
    with Engine() as engine:
        recomputed = recompute(engine, data, book, formulas)
        del data
        case = Case(book, formulas, labels, recomputed, direct(formulas), [])
        case.heads = headline.named(book, heads) or headline.find(case.book, formulas, labels)
        for rule in ALL:
            case.findings += rule(case)
        case.findings = once(case.findings)
        judge(case, engine)
        if after is not None:
            after(case, engine)
    case.findings.sort(key=Finding.order)
    case.seconds = time.monotonic() - started
    return case


def once(findings: list[Finding]) -> list[Finding]:
    """A cell that a general rule has found is not told again because it differs from the layout."""
    told = {
        f.cell
        for f in findings
        if f.rule in ("pattern", "typed-over", "table-value", "text-number") and not f.by_layout
    }
    return [f for f in findings if not (f.by_layout and f.cell in told)]


def watched(case: Case) -> list[tuple[str, int, int]]:
    return [(case.book.sheets[s].name, row, col) for s, row, col in map(place, case.heads)]


def judge(case: Case, engine: Engine) -> None:
    """Each finding's gravity: the rule's own, else by what it does to the headline numbers."""
    base = [case.recomputed.values.get(at, case.book.values.get(at)) for at in case.heads]
    for finding in sorted(case.findings, key=lambda f: (list(RULES).index(f.rule), f.at or 0)):
        finding.level = finding.level or RULES[finding.rule].level
        if finding.level:
            continue
        fed = finding.at is not None and finding.at in case.fed
        finding.level = "medium" if fed else "low"
        if finding.rule in ("stored-value", "function-value") and fed:
            _by_stored(case, finding, base)
        elif finding.rule == "error-value" and fed:
            finding.level = "high"
        elif finding.repair and case.tried < limits.EXPERIMENTS and not case.recomputed.failure:
            case.tried += 1
            _by_trial(case, engine, finding, base)


def _by_stored(case: Case, finding: Finding, base: list[Value]) -> None:
    told = list(_moves(case, [case.book.values.get(at) for at in case.heads], base))
    if told:
        finding.level = "high"
        finding.effect = "stored, then recomputed: " + "; ".join(told[:4])


def _by_trial(case: Case, engine: Engine, finding: Finding, base: list[Value]) -> None:
    skipped = case.recomputed.skipped
    cells = [c for c in finding.repair if c[0] not in skipped]
    changes: list[Change] = [change(case.book, at, formula, value) for at, formula, value in cells]
    undo = [as_is(case.book, at, skipped) for at, _, _ in cells]
    try:
        answers = engine.ask("trial", changes, undo, watched(case))
    except EngineFailed as error:
        finding.effect = f"not worked out: {error}"
        return
    from hayfuncs.audit.recompute import as_value

    mended = [as_value(value) for value in answers]
    told = list(_moves(case, base, mended))
    if told:
        finding.level = "high"
        finding.effect = "now, then mended: " + "; ".join(told[:4])
    elif finding.level == "medium":
        finding.effect = "no headline number moves with today's inputs"


def _moves(case: Case, old: list[Value], new: list[Value]) -> Iterator[str]:
    for at, before, after in zip(case.heads, old, new, strict=True):
        if moved(before, after):
            label = case.labels.label(at)
            yield f"{label} ({case.address(at)}) {case.with_unit(at, before)} -> {case.with_unit(at, after)}"


def moved(before: Value, after: Value) -> bool:
    if isinstance(before, float) and isinstance(after, float):
        return abs(before - after) > NOTABLE * max(abs(before), abs(after), 1e-6)
    return not same(before, after)


def copies(count: int) -> str:
    """`, and 3 copies` behind the name of the first of several cells; nothing for a single one."""
    return "" if count < 2 else f", and {count - 1:,} {'copy' if count == 2 else 'copies'}"
