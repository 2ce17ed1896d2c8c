"""One audit from the file to the findings: read, recompute, compare, judge."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from pathlib import Path

from hayfuncs.audit import headline
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.direct import direct
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.judge import causes_first, judge
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.recompute import Engine, recompute
from hayfuncs.audit.rules import ALL
from hayfuncs.audit.saved import settle
from hayfuncs.audit.second import confirm
from hayfuncs.audit.stranger.mapfile import Told
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.package import read_bytes
from hayfuncs.spreadsheet.reader import read


def audit(
    path: Path,
    heads: Iterable[str] = (),
    after: Callable[[AuditContext, Engine], None] | None = None,
    seconds: float = limits.WORKER_SECONDS,
    told: list[Told] | None = None,
    office: bool = False,
) -> AuditContext:
    """Audit a workbook file; `after` may ask the engine more before it is closed, within its seconds.

    With `office`, LibreOffice is asked too before a stored value counts as not recomputed.
    """
    started = time.monotonic()
    data = read_bytes(path)
    book = read(path, data)
    formulas = Formulas(book)
    with Engine(seconds) as engine:
        recomputed = recompute(engine, data, book, formulas)
        saved = settle(book, formulas, recomputed)
        confirm(engine, data, book, formulas, recomputed, office)
        del data
        labels = Labels(book)
        case = AuditContext(book, formulas, labels, recomputed, direct(formulas), [], saved=saved)
        case.told = told
        case.heads = headline.named(book, heads) or headline.find(case.book, formulas, labels)
        case.master = headline.master(book)
        for rule in ALL:
            case.findings += rule(case)
        case.findings = once(case)
        judge(case, engine)
        causes_first(case)
        if after is not None:
            after(case, engine)
    case.findings.sort(key=Finding.order)
    case.seconds = time.monotonic() - started
    return case


COPIES = ("pattern", "typed-over")


def once(case: AuditContext) -> list[Finding]:
    """What is told once: no cell twice for one fault, and nothing of a cell that is as this version writes it.

    A cell that a general rule has found above a note is not told again because it differs from the layout.
    """
    found = [f for f in case.findings if f.by_layout or f.rule not in COPIES or f.at not in case.as_written]
    told = {
        f.cell
        for f in found
        if f.rule in ("pattern", "typed-over", "table-value", "text-number") and not f.by_layout and f.above_note
    }
    return [f for f in found if not (f.by_layout and f.cell in told)]
