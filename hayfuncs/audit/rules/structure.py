"""What a workbook can hide, leave open or bring in from outside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.own import recognise
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, letters, place, quoted
from hayfuncs.spreadsheet.contents import ErrorValue

FORMULA_MARKS = ("=", "+", "-", "@")
SHOWN = 60


def hidden(case: AuditContext) -> Iterator[Finding]:
    book = case.book
    content: dict[int, dict[str, list[Node]]] = {}
    unseen: dict[str, list[Node]] = {}
    for at in book.values:
        if not book.filled(at):
            continue
        sheet, row, col = place(at)
        info = book.sheets[sheet]
        if info.hidden_rows and row in info.hidden_rows:
            content.setdefault(sheet, {}).setdefault(f"row {row + 1}", []).append(at)
        elif any(a <= col <= b for a, b in info.hidden_columns):
            content.setdefault(sheet, {}).setdefault(f"column {letters(col)}", []).append(at)
        look = book.look(at)
        if look.unseen:
            unseen.setdefault(look.unseen, []).append(at)
        elif look.formula_hidden and at in book.formulas and info.protected:
            unseen.setdefault("its formula is hidden while the sheet is protected", []).append(at)
    for info in book.sheets:
        if info.state != "visible":
            number = book.index(info.name)
            cells = [at for at in book.values if place(at)[0] == number and book.filled(at)]
            words = f"the sheet {info.name} is {'hidden' if info.state == 'hidden' else 'hidden so that no menu shows it'}; {len(cells):,} filled cells"
            yield Finding("hidden-sheet", quoted(info.name), words, _first_fed(case, cells))
    for sheet, lines in content.items():
        for line, cells in list(lines.items())[:SHOWN]:
            numbers = [at for at in cells if isinstance(book.values[at], float)]
            words = f"{line} of {book.sheets[sheet].name} is hidden and holds {len(cells):,} filled cells, {len(numbers):,} of them numbers"
            yield Finding("hidden-line", case.address(cells[0]), words, _first_fed(case, cells))
    for why, cells in unseen.items():
        yield Finding(
            "unseen",
            case.address(cells[0]),
            f"{case.labels.label(cells[0])} ({case.area(cells)}): {why}",
            _first_fed(case, cells),
        )
    for name in book.names:
        if name.hidden and not name.name.casefold().startswith(("_xlnm.", "_xlfn.")):
            yield Finding("hidden-name", name.name, f"the name {name.name} ({name.text[:80]}) is hidden")


def _first_fed(case: AuditContext, cells: Iterable[Node]) -> Node | None:
    """The cell by which a hidden thing is weighed: one that a headline number depends on, if any."""
    cells = list(cells)
    return next((at for at in cells if at in case.fed), cells[0] if cells else None)


def outside(case: AuditContext) -> Iterator[Finding]:
    for link in case.book.links:
        yield Finding("external", "workbook", link)
    for pattern in case.formulas.patterns.values():
        if pattern.external:
            at = pattern.cells[0]
            yield Finding(
                "external",
                case.address(at),
                f"{case.labels.label(at)} reads another workbook: ={pattern.formula[:120]}",
                at,
            )
    for part in case.book.macros:
        yield Finding(
            "macro", "workbook", f"the part {part} holds program code or an embedded object; it was not run or opened"
        )


def locks(case: AuditContext) -> Iterator[Finding]:
    book = case.book
    formulas: dict[int, int] = {}
    open_cells: dict[tuple[int, int], list[Node]] = {}
    for at in book.formulas:
        sheet = place(at)[0]
        formulas[sheet] = formulas.get(sheet, 0) + 1
        if book.sheets[sheet].protected and not book.look(at).locked:
            open_cells.setdefault((sheet, place(at)[2]), []).append(at)
    for cells in open_cells.values():
        yield Finding(
            "unlocked",
            case.address(cells[0]),
            f"{case.labels.label(cells[0])}: {case.area(cells)} can be typed over",
            cells[0],
        )
    if any(info.protected for info in book.sheets):
        for sheet, count in formulas.items():
            if not book.sheets[sheet].protected:
                yield Finding(
                    "unprotected",
                    quoted(book.sheets[sheet].name),
                    f"the sheet has {count:,} formulas and no protection, unlike others",
                )
    yield from _unvalidated(case)


def _unvalidated(case: AuditContext) -> Iterator[Finding]:
    book = case.book
    free: dict[tuple[int, int], list[Node]] = {}
    ruled: list[set[tuple[int, int]]] = []
    areas: list[list[tuple[int, int, int, int]]] = []
    for info in book.sheets:
        every = [a for rule in info.validations if rule.kind != "none" for a in rule.areas]
        ruled.append({(r1, c1) for r1, c1, r2, c2 in every if r1 == r2 and c1 == c2})
        areas.append([a for a in every if a[0] != a[2] or a[1] != a[3]])
    for at, style in book.styles.items():
        if style >= len(book.looks) or book.looks[style].locked or at in book.formulas:
            continue
        sheet, row, col = place(at)
        if not book.sheets[sheet].protected or (row, col) in ruled[sheet]:
            continue
        if any(r1 <= row <= r2 and c1 <= col <= c2 for r1, c1, r2, c2 in areas[sheet]):
            continue
        if book.filled(at) or book.sheets[sheet].validations:
            free.setdefault((sheet, col), []).append(at)
    for cells in free.values():
        yield Finding(
            "unvalidated",
            case.address(cells[0]),
            f"{case.labels.label(cells[0])}: {case.area(cells)} takes any value",
            cells[0],
        )


def settings(case: AuditContext) -> Iterator[Finding]:
    given = case.book.calculation
    if given.get("calcMode", "auto") not in ("auto", "autoNoTable"):
        yield Finding("calculation", "workbook", "calculation is manual: what is shown may be older than what is typed")
    if given.get("iterate") in ("1", "true"):
        yield Finding("calculation", "workbook", "iterative calculation is on: circles are worked round, not reported")
    if given.get("date1904") in ("1", "true"):
        words = "dates count from 1904, not from 1900: a date copied from another workbook is four years and a day off"
        ours = recognise(case.book) is not None
        yield Finding("calculation", "workbook", words, level="" if ours else "note")
    if given.get("fullPrecision") in ("0", "false"):
        yield Finding(
            "calculation", "workbook", "precision as displayed is on: stored values are rounded to what is shown"
        )


def oddities(case: AuditContext) -> Iterator[Finding]:
    book = case.book
    texts: dict[tuple[int, int], list[Node]] = {}
    for at, value in book.values.items():
        if at in book.formulas or not isinstance(value, str) or isinstance(value, ErrorValue):
            continue
        text = value.lstrip()
        if text.startswith(FORMULA_MARKS) and len(text) > 1 and not _is_number(text):
            texts.setdefault((place(at)[0], place(at)[2]), []).append(at)
    for cells in texts.values():
        at = cells[0]
        words = f"{case.labels.label(at)} is the text {figure(book.values[at])}; {len(cells):,} such cells in the column; it was read as text"
        yield Finding("formula-like-text", case.address(at), words, at)
    for info in book.sheets:
        if info.merged:
            yield Finding(
                "merged", quoted(info.name), f"{len(info.merged):,} merged areas, the first {info.merged[0][:40]}"
            )


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
