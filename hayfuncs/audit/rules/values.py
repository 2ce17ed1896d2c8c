"""Stored values against recomputed ones, errors, circles, and what could not be recomputed."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Columns
from hayfuncs.audit.recompute import same
from hayfuncs.spreadsheet.a1 import Node, place
from hayfuncs.spreadsheet.contents import ErrorValue

SHOWN = 200  # cells reported one by one; the rest is counted
CHANGING = "whose answer changes by itself or moves"
CIRCLE = "#CIRC"


def stored(case: AuditContext) -> Iterator[Finding]:
    roots = sorted(at for at in case.roots if not _circular(case, at))
    rest = len(case.differing) - len(roots)
    for at in roots[:SHOWN]:
        now, then = case.book.values.get(at), case.recomputed.values.get(at)
        if now is None:
            yield Finding("no-value", case.address(at), f"no stored value; recomputed {case.with_unit(at, then)}", at)
            continue
        words = (
            f"{case.labels.label(at)}: stored {case.with_unit(at, now)}, its formula gives {case.with_unit(at, then)}"
        )
        if at in case.direct.values:
            words += f", Python on the stored arguments {case.with_unit(at, case.direct.values[at])}"
        if rest:
            words += f"; {rest:,} other cells differ because they follow from such cells"
        yield Finding("stored-value", case.address(at), words, at)
    if len(roots) > SHOWN:
        yield Finding(
            "stored-value", "workbook", f"{len(roots) - SHOWN:,} further cells differ at their own place", roots[SHOWN]
        )


def by_function(case: AuditContext) -> Iterator[Finding]:
    """Where Python differs and the engine does not (or did not run)."""
    shown = 0
    for at, value in case.direct.values.items():
        now = case.book.values.get(at)
        if same(now, value) or at in case.roots or _circular(case, at):
            continue
        shown += 1
        if shown <= SHOWN:
            words = (
                f"{case.labels.label(at)}: stored {case.with_unit(at, now)}, Python gives {case.with_unit(at, value)}"
            )
            yield Finding("function-value", case.address(at), words, at)


def _circular(case: AuditContext, at: Node) -> bool:
    value = case.recomputed.values.get(at)
    return isinstance(value, ErrorValue) and value.startswith(CIRCLE)


def errors(case: AuditContext) -> Iterator[Finding]:
    """Errors at the cell they start from."""
    faulty: dict[Node, str] = {}
    for at, value in case.book.values.items():
        if isinstance(value, ErrorValue):
            faulty[at] = str(value)
    for at, value in case.recomputed.values.items():
        if isinstance(value, ErrorValue) and not value.startswith(CIRCLE):
            faulty.setdefault(at, str(value))
    columns = Columns(faulty)
    starts = [at for at in sorted(faulty) if not any(columns.any_in(area, but=at) for area in case.formulas.reads(at))]
    # of a column of copies that fail together one comes first, so that it leaves room for the others
    firsts: dict[object, Node] = {}
    for at in starts:
        pattern = case.formulas.of.get(at)
        firsts.setdefault(at if pattern is None else (pattern.sheet, pattern.text), at)
    leading = set(firsts.values())
    starts.sort(key=lambda at: (at not in leading, at))
    for at in starts[:SHOWN]:
        words = f"{case.labels.label(at)} shows {faulty[at]}"
        if at in case.book.formulas:
            words += f", from ={_short(case.book.formulas[at])}"
        yield Finding("error-value", case.address(at), words, at)


def _short(text: str, most: int = 120) -> str:
    return text if len(text) <= most else text[: most - 3] + "..."


def circles(case: AuditContext) -> Iterator[Finding]:
    """Cells on a circle (not those that merely follow from one)."""
    suspects = {at for at in case.recomputed.values if _circular(case, at)}
    if not suspects:
        return
    links: dict[Node, list[Node]] = {}
    for at in suspects:
        columns = Columns(suspects)
        links[at] = [to for area in case.formulas.reads(at) for to in columns.take(area)]
    on_circle = [group for group in _rings(links) if len(group) > 1 or group[0] in links[group[0]]]
    for group in on_circle:
        group.sort()
        path = " <- ".join(case.address(at) for at in group[:6]) + (" ..." if len(group) > 6 else "")
        for at in group[:20]:
            yield Finding("circular", case.address(at), f"{case.labels.label(at)} depends on itself: {path}", at)


def _rings(links: dict[Node, list[Node]]) -> list[list[Node]]:
    """Strongly connected groups (Tarjan 1972), without recursion."""
    number: dict[Node, int] = {}
    low: dict[Node, int] = {}
    stack: list[Node] = []
    on_stack: set[Node] = set()
    groups: list[list[Node]] = []
    for start in links:
        if start in number:
            continue
        work = [(start, iter(links[start]))]
        number[start] = low[start] = len(number)
        stack.append(start)
        on_stack.add(start)
        while work:
            at, following = work[-1]
            for to in following:
                if to not in number:
                    number[to] = low[to] = len(number)
                    stack.append(to)
                    on_stack.add(to)
                    work.append((to, iter(links[to])))
                    break
                if to in on_stack:
                    low[at] = min(low[at], number[to])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[at])
                if low[at] == number[at]:
                    group: list[Node] = []
                    while not group or group[-1] != at:
                        group.append(stack.pop())
                        on_stack.discard(group[-1])
                    groups.append(group)
    return groups


def left_out(case: AuditContext) -> Iterator[Finding]:
    """What was not recomputed, by reason; and cells whose XML is strange."""
    if case.recomputed.failure:
        level = "medium" if case.book.formulas else "note"
        yield Finding("not-recomputed", "workbook", f"nothing was recomputed: {case.recomputed.failure}", level=level)
    else:
        for why, cells in _by_reason(case.recomputed.skipped).items():
            # the engine's own gap is no fault of the file, and what changes by itself is told as that
            gap = cells[0] in case.recomputed.gaps or why.endswith(CHANGING)
            words = f"{len(cells):,} cells: {why}"
            yield Finding("not-recomputed", case.area(cells), words, cells[0], level="note" if gap else "")
    for words in case.saved:
        yield Finding("saved-elsewhere", "workbook", words)
    for at, what in case.book.strange[:SHOWN]:
        yield Finding("strange", case.address(at), what, at)
    for at in case.book.formulas:
        if (
            case.book.values.get(at) is None
            and at not in case.roots
            and case.recomputed.values.get(at) not in (None, "")
        ):
            if at not in case.differing:
                yield Finding("no-value", case.address(at), "no stored value", at)


def _by_reason(skipped: dict[Node, str]) -> dict[str, list[Node]]:
    found: dict[str, list[Node]] = {}
    for at in sorted(skipped, key=place):
        found.setdefault(skipped[at], []).append(at)
    return found
