"""A workbook of another version, or one too large to lay out anew, against the marks that it carries.

What this version would write there says nothing of it; its own builder left a mark of each formula.  So what was
changed by hand is told from what that version wrote, and the workbook itself is no fault.
"""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.own import Own, recognise
from hayfuncs.audit.places import Part, places
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet import marks
from hayfuncs.spreadsheet.a1 import Node, column, node, place

FAR = 0.2  # share of formulas without their mark from which on the marks are not this workbook's
FEW = 40
SHOWN = 120


def differences(case: AuditContext, own: Own) -> list[Finding] | None:
    """What is not as it was built; None where the workbook carries no marks, or marks of another."""
    parts = {name: part for name, part in places(case.book).parts.items() if any(marks.read(part.marks))}
    if not parts:
        return None
    by_sheet: dict[int, list[Node]] = {}
    for at in case.book.formulas:
        by_sheet.setdefault(place(at)[0], []).append(at)
    found: list[Finding] = []
    as_built: set[Node] = set()
    total = 0
    for part in parts.values():
        here = [at for at in by_sheet.get(part.sheet, ()) if part.first <= place(at)[1] <= part.last]
        for at, finding in _of_part(case, own, part, here):
            total += 1
            if finding is None:
                as_built.add(at)
            else:
                found.append(finding)
    if len(found) > FEW and len(found) > FAR * total:
        return None
    case.as_written |= as_built
    case.by_marks = total
    return found[:SHOWN]


def _of_part(case: AuditContext, own: Own, part: Part, here: list[Node]) -> Iterator[tuple[Node, Finding | None]]:
    """Each formula cell of a part, with what is wrong with it."""
    runs = list(marks.read(part.marks))
    want = {(run.row + i, run.col): run.mark for run in runs for i in range(run.length)}
    every: dict[int, set[str]] = {}
    for run in runs:
        every.setdefault(run.col, set()).add(run.mark)
    whole = part.whole  # no row was taken out, and those put in are known
    ways = places(case.book)
    marked: dict[int, str] = {}  # copies have one mark, where nothing was moved
    left = dict(want) if whole else {}
    for at in here:
        sheet, row, col = place(at)
        inside = part.row_built(row) - part.top, col - part.col
        left.pop(inside, None)
        known = {want[inside]} if whole and inside in want else set() if whole else every.get(col - part.col, set())
        formula = case.book.formulas[at]
        if not known:
            yield (
                at,
                Finding(
                    "added", case.address(at), f"a formula where hayfuncs {own.version} put none: ={formula[:160]}", at
                ),
            )
            continue
        copies = id(case.formulas.of[at])
        now = marked.get(copies, "") if ways.same else ""
        if not now:
            now = marks.mark(marks.spelled(formula, case.book.sheets[sheet].name, row, col, ways.built))
            marked[copies] = now
        if now in known:
            yield at, None
            continue
        words = f"{case.labels.label(at)}: not the formula that hayfuncs {own.version} wrote there; here stands ={formula[:200]}"
        yield at, Finding("formula-changed", case.address(at), words, at)
    for row, col in left:
        at = node(part.sheet, part.row_now(row + part.top), col + part.col)
        stands = f"{figure(case.book.values.get(at))} is typed" if case.book.filled(at) else "nothing stands"
        words = f"{case.labels.label(at)}: hayfuncs {own.version} wrote a formula there; here {stands}"
        yield at, Finding("typed-over", case.address(at), words, at)


def defined(case: AuditContext, name: str, text: str) -> bool:
    """Whether a function's definition is the one that the workbook was built with."""
    carried = {word for part in places(case.book).parts.values() for word in part.marks.split() if "=" in word}
    return f"{name}={marks.mark(marks.spelled(text, '', 0, 0))}" in carried


def solved(case: AuditContext) -> Iterator[Finding]:
    """Answers that a solver wrote and no cell can work out: each row and column of them has its mark."""
    if recognise(case.book) is None:
        return
    for part in places(case.book).parts.values():
        want = dict(marks.LINE.findall(part.marks))
        if not want or not part.whole:
            continue
        values: dict[tuple[int, int], float] = {}
        for at, value in case.book.values.items():
            sheet, row, col = place(at)
            here = sheet == part.sheet and part.first <= row <= part.last
            if here and isinstance(value, float) and at not in case.book.formulas and case.book.look(at).locked:
                values[part.row_built(row) - part.top, col - part.col] = value
        now = marks.lines(values)
        rows = {int(line) - 1 for line, text in want.items() if line.isdigit() and now.get(line) != text}
        cols = [column(line) for line, text in want.items() if not line.isdigit() and now.get(line) != text]
        for row in sorted(rows)[:SHOWN]:
            for col in cols:
                at = node(part.sheet, part.row_now(row + part.top), col + part.col)
                words = f"{case.labels.label(at)}: {case.with_unit(at, case.book.values.get(at))} stands among answers that were solved, and is not what was solved"
                yield Finding("fixed-changed", case.address(at), words, at, suggestion="solve again, or put it back")
