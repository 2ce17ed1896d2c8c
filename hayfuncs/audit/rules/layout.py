"""Our own workbook against the layout that this version writes, cell by cell.

The other rules know no layout.  This one lays the model out anew for as many lots, groups and
feeds as the file holds and compares formulas, labels, units, fixed numbers and names; what the
user types (the inputs) is not compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hayfuncs import __version__
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import using
from hayfuncs.audit.own import MOST, model, recognise
from hayfuncs.audit.places import Places, places
from hayfuncs.audit.recompute import same
from hayfuncs.audit.rules import carried
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, node, place, quoted
from hayfuncs.spreadsheet.contents import Value
from hayfuncs.spreadsheet.marks import spelled
from hayfuncs.spreadsheet.tokens import Malformed, bare_truths, pieces

FAR = 0.2  # share of formulas that differ from which on the layouts are not the same
FEW = 40
SHOWN = 120
MARKS = "marks"  # the style of the cells that hold them
HEADS = ("title", "sentence", "role", "master", "head", "unit", "link")


def differences(case: AuditContext) -> Iterator[Finding]:
    for finding in _differences(case):
        finding.by_layout = True
        yield finding


def _differences(case: AuditContext) -> Iterator[Finding]:
    own = recognise(case.book)
    if own is None:
        return
    ways = places(case.book)
    if not ways.same:
        yield Finding("layout", "workbook", _elsewhere(ways))
        yield from _put_in(case, ways)
    large = len(case.book.formulas) > MOST
    if own.version != __version__ or large:
        changed = carried.differences(case, own)
        why = (
            f"more than {MOST:,} formulas"
            if large
            else f"made by another version, hayfuncs {own.version}; this is {__version__}"
        )
        how = "by the columns' own pattern" if changed is None else "with the marks that it carries of its own formulas"
        yield Finding("layout", "workbook", f"{why}: compared {how}, not with the layout of this version")
        yield from changed or ()
        return
    try:
        expected = model(case.book, own)
    except (UserError, ValueError, KeyError, IndexError, TypeError, ArithmeticError) as error:
        words = f"its list of inputs does not lead to a layout ({str(error)[:120]}): not compared with this version's"
        yield Finding("layout", "workbook", words, level="medium")
        return
    book, formulas = expected, case.book.formulas
    found: list[Finding] = []
    wrong = total = 0
    seen: set[Node] = set()
    for sheet in book.sheets:
        number = ways.sheet(sheet.name)
        if number is None:
            found.append(Finding("formula-changed", quoted(sheet.name), "the sheet is missing", level="high"))
            continue
        for (row, col), cell in sheet.cells.items():
            at = node(number, row, col) if ways.same else ways.now(sheet.name, row, col)
            if at is None:
                continue
            seen.add(at)
            if cell.style == MARKS:
                continue  # what its builder wrote of it; this layout was made without
            if cell.solved and cell.style not in HEADS:
                continue  # solved values: the workbook proves them itself, or says that they are stale
            text = formula_of(cell, book.edition)
            if text is not None:
                total += 1
                finding = _formula(case, at, ways.today(text, sheet.name))
                wrong += finding is not None
                if finding is None:
                    case.as_written.add(at)
            else:
                finding = _fixed(case, at, cell) if cell.entry is None else _input(case, at)
            if finding is not None:
                found.append(finding)
    if wrong > FEW and wrong > FAR * total:
        words = f"{wrong:,} of {total:,} formulas stand otherwise than this version writes them; compared by the columns' own pattern only"
        yield Finding("layout", "workbook", words, level="medium")
        return
    case.expected = expected
    yield from found[:SHOWN]
    if len(found) > SHOWN:
        yield Finding(
            "layout", "workbook", f"{len(found) - SHOWN:,} further cells differ from the layout", level="medium"
        )
    extra = sorted(at for at in formulas if at not in seen)
    extra += sorted(
        at
        for at, value in case.book.values.items()
        if at not in seen and at not in formulas and isinstance(value, float)
    )
    if extra:
        yield Finding(
            "added", case.address(extra[0]), f"formulas and numbers outside the layout: {case.area(extra)}", extra[0]
        )
    yield from _names(case, book)


def formula_of(cell: Any, edition: str) -> str | None:
    """The formula a cell of the model holds, without its equals sign; None for fixed content and inputs."""
    from hayfuncs.workbook.model import is_formula
    from hayfuncs.workbook.write import SPELLING

    if not is_formula(cell):
        return None
    return str(cell.content.formula(SPELLING[edition])).removeprefix("=")


def equal(left: str, right: str) -> bool:
    """The same formula but for spaces and letter case outside texts."""
    if left == right:
        return True
    try:
        a, b = pieces(left), pieces(right)
    except Malformed:
        return False
    if len(a) != len(b):
        a, b = bare_truths(a), bare_truths(b)
    return len(a) == len(b) and all(_alike(p.kind, p.text) == _alike(q.kind, q.text) for p, q in zip(a, b, strict=True))


def _same_place(case: AuditContext, at: Node, have: str, text: str) -> bool:
    """The same formula where a program names the sheet of its own accord, in a workbook whose parts were moved."""
    if places(case.book).same:
        return False
    sheet, row, col = place(at)
    name = case.book.sheets[sheet].name
    return spelled(have, name, row, col) == spelled(text, name, row, col)


def _elsewhere(ways: Places) -> str:
    """What is called or stands otherwise than it was built."""
    names = [f"the sheet {old} is now called {new}" for old, new in ways.renamed.items()]
    moved = [
        f"{name} begins at {ways.book.address(node(p.sheet, p.first, p.col))}"
        for name, p in ways.parts.items()
        if name in ways.moved and not p.put_in
    ]
    shown = [*names, *moved[:6], *([f"{len(moved) - 6} more parts stand elsewhere"] if len(moved) > 6 else [])]
    return f"{'; '.join(shown)}; each was compared where it stands now"


def _put_in(case: AuditContext, ways: Places) -> Iterator[Finding]:
    for name, part in ways.parts.items():
        if part.put_in:
            at = node(part.sheet, part.first + part.put_in[0], part.col)
            count = "a row was" if len(part.put_in) == 1 else f"{len(part.put_in)} rows were"
            words = f"{count} put into {name}, from here on; its formulas count on the rows that were built"
            yield Finding("layout", case.address(at), words, at, suggestion="take them out; use the free rows below")


def _alike(kind: str, text: str) -> object:
    return float(text) if kind == "number" else text if kind == "text" else text.casefold()


def _formula(case: AuditContext, at: Node, text: str) -> Finding | None:
    have = case.book.formulas.get(at)
    if have is not None and (equal(have, text) or _same_place(case, at, have, text)):
        return None
    label = case.labels.label(at)
    repair = ((at, text, None),)
    if have is None:
        stands = f"{figure(case.book.values.get(at))} is typed" if case.book.filled(at) else "nothing stands"
        return Finding(
            "typed-over",
            case.address(at),
            f"{label}: this version writes ={text[:200]}; here {stands}",
            at,
            repair=repair,
        )
    return Finding(
        "formula-changed",
        case.address(at),
        f"{label}: this version writes ={text[:200]}; here stands ={have[:200]}",
        at,
        repair=repair,
    )


def _fixed(case: AuditContext, at: Node, cell: Any) -> Finding | None:
    want: Value = cell.content
    if isinstance(want, bool):
        pass
    elif isinstance(want, (int, float)):
        want = float(want)
    elif want is not None:
        want = str(want)
    have = case.book.values.get(at)
    if at in case.book.formulas or same(have, want):
        if at in case.book.formulas:
            return Finding(
                "added",
                case.address(at),
                f"a formula where this version has {figure(want)}: ={case.book.formulas[at][:160]}",
                at,
                level="low",
            )
        return None
    if want in (None, "") and isinstance(have, str):
        return Finding("added", case.address(at), f"a text where this version has none: {figure(have)}", at)
    words = f"{case.labels.label(at)}: this version has {figure(want)}, here stands {figure(have)}"
    number = isinstance(want, float) or isinstance(have, float)
    repair = ((at, None, want),) if number else ()
    return Finding(
        "fixed-changed", case.address(at), words, at, repair=repair, level="" if number or at in case.fed else "low"
    )


def _input(case: AuditContext, at: Node) -> Finding | None:
    """An input may hold a formula of the user's own; that is said."""
    if at not in case.book.formulas:
        return None
    return Finding(
        "added",
        case.address(at),
        f"{case.labels.label(at)} is an input and holds a formula: ={case.book.formulas[at][:160]}",
        at,
    )


def _names(case: AuditContext, book: Any) -> Iterator[Finding]:
    have = {name.name.casefold(): name.text for name in case.book.names}
    for name, ref in book.names.items():
        text = have.get(name.casefold())
        if text is None:
            yield Finding(
                "name", name, f"the name {name} is missing; this version has {ref}", _target(case, ref), level="high"
            )
        elif not equal(text, ref := places(case.book).today(ref, "")):
            at = _target(case, ref)
            fed = at in case.fed or any(cell in case.fed for cell in using(case.formulas, name))
            yield Finding(
                "name",
                name,
                f"the name {name} leads to {text[:80]}; this version has {ref}",
                at,
                level="high" if fed else "",
            )


def _target(case: AuditContext, ref: str) -> Node | None:
    from hayfuncs.spreadsheet.tokens import reference

    try:
        found = reference(ref)
    except Malformed:
        return None
    sheet = case.formulas.sheet_number(found, 0)
    return None if sheet is None else node(sheet, found.row, found.col)
