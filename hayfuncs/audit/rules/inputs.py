"""Inputs: of the right kind, inside their limits, used; and formulas that calculate with nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hayfuncs.audit import validations
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.evaluate import Evaluator
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Columns, feeding
from hayfuncs.audit.headline import roles
from hayfuncs.audit.operands import meant, used
from hayfuncs.audit.own import recognise
from hayfuncs.audit.rules.failures import off_season
from hayfuncs.audit.taken import own_pattern, taken
from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import ErrorValue
from hayfuncs.spreadsheet.parser import walk
from hayfuncs.spreadsheet.tokens import Malformed, reference

NUMERAL = re.compile(r"\s*[-+]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d*)?(?:[eE][-+]?\d+)?\s*%?\s*\Z")
NUMBERS = ("decimal", "whole", "date", "time")
SHOWN = 100
ENDS = ("result", "answer", "check")  # how the role of a sheet begins that is there to be read


def is_numeral(text: str) -> bool:
    return NUMERAL.match(text) is not None and any(c.isdigit() for c in text)


def text_numbers(case: AuditContext) -> Iterator[Finding]:
    """Texts that read as numbers, where a number is meant."""
    book = case.book
    wanted: dict[Node, str] = {}
    for at, value in book.values.items():
        if (
            isinstance(value, str)
            and at not in book.formulas
            and not isinstance(value, ErrorValue)
            and is_numeral(value)
        ):
            wanted[at] = value
    if not wanted:
        return
    columns = Columns(wanted)
    meant: dict[Node, str] = {}
    for number, info in enumerate(book.sheets):
        for rule in info.validations:
            if rule.kind in NUMBERS:
                for r1, c1, r2, c2 in rule.areas:
                    meant |= dict.fromkeys(columns.take((number, r1, c1, r2, c2)), "its validation asks for a number")
    for at in wanted:
        if at not in meant:
            sheet, row, col = place(at)
            if row in case.labels.unit_rows.get(sheet, ()):
                continue  # the unit 1, a pure number
            near = [book.values.get(node(sheet, row + d, col)) for d in (-2, -1, 1, 2) if row + d >= 0]
            if sum(isinstance(v, float) for v in near) >= 2:
                meant[at] = "the cells above and below hold numbers"
            elif at in case.operands:
                meant[at] = "a formula calculates with it"
    for at in sorted(meant)[:SHOWN]:
        text = wanted[at].replace(",", "").strip()
        repair = ((at, None, float(text)),) if not text.endswith("%") else ()
        words = f"{case.labels.label(at)} is the text {figure(wanted[at])}; {meant[at]}"
        yield Finding("text-number", case.address(at), words, at, repair=repair)


def blanks(case: AuditContext) -> Iterator[Finding]:
    """Formulas that calculate with an empty or a text cell, in the branch that they take."""
    evaluator = Evaluator(case.formulas)
    shown = 0
    for to, users in case.operands.items():
        value = case.book.values.get(to)
        if isinstance(value, (float, bool, ErrorValue)) or (to in case.book.formulas and value is None):
            continue
        if isinstance(value, str) and is_numeral(value):
            continue  # told as a text number
        for at in users:
            if (value and isinstance(case.book.values.get(at), str)) or not _calculates(case, at, to, evaluator):
                continue  # it answers with a text itself, or does not come to this cell
            shown += 1
            if shown <= SHOWN:
                kind = f"the text {figure(value)}" if value else "empty"
                words = f"{case.labels.label(at)} calculates with {case.address(to)} ({case.labels.label(to)}), which is {kind}"
                yield Finding("blank-precedent", case.address(at), words, at)
            break


def _calculates(case: AuditContext, at: Node, to: Node, evaluator: Evaluator) -> bool:
    """Whether the branch that the formula takes with the stored values still calculates with the cell."""
    pattern = own_pattern(case.book.formulas[at], at)
    if pattern is None or pattern.tree is None:
        return False
    chosen = taken(pattern.tree, pattern, evaluator)
    return any(meant(case.formulas, tree, pattern, at) == to for tree in used(walk(chosen)))


def impossible(case: AuditContext) -> Iterator[Finding]:
    book = case.book
    shown = 0
    told = set(off_season(case)) if recognise(book) is not None else set()  # once, with the plan's checks
    columns = Columns(at for at in book.values if at not in book.formulas and at not in told)
    for number, info in enumerate(book.sheets):
        for rule in info.validations:
            allowed = validations.allowed(case, rule, number)
            if allowed is None:
                continue
            for r1, c1, r2, c2 in rule.areas:
                for at in columns.take((number, r1, c1, r2, c2)):
                    value = book.values.get(at)
                    if value in (None, "") or allowed(value):
                        continue
                    if isinstance(value, str) and rule.kind in NUMBERS and is_numeral(value):
                        continue  # told as a text number
                    shown += 1
                    if shown <= SHOWN:
                        words = f"{case.labels.label(at)} is {case.with_unit(at, value)}; its validation allows {validations.says(rule)}"
                        yield Finding("impossible-input", case.address(at), words, at)


def outside_fit(case: AuditContext) -> Iterator[Finding]:
    for (function, argument), cells in case.direct.unfitted.items():
        arg = CATALOGUE[function].args[argument]
        assert isinstance(arg, Arg)
        assert arg.fit is not None
        at = min(cells)
        low, high = min(cells.values()), max(cells.values())
        span = figure(low) if low == high else f"{figure(low)} to {figure(high)}"
        words = (
            f"HAY.{function}: {argument} is {span} {arg.unit} in {len(cells):,} cells ({case.area(cells)}); "
            f"the equation was fitted to {arg.fit[0]:g} to {arg.fit[1]:g}"
        )
        yield Finding("outside-fit", case.address(at), words, at)


def unused(case: AuditContext) -> Iterator[Finding]:
    """Inputs that no formula and no picture reads, a column at a time."""
    columns: dict[tuple[int, int], list[Node]] = {}
    for at, value in case.book.values.items():
        if (
            value not in (None, "")
            and at not in case.book.formulas
            and not case.book.look(at).locked
            and at not in case.read
        ):
            sheet, _, col = place(at)
            if case.book.sheets[sheet].protected:
                columns.setdefault((sheet, col), []).append(at)
    for cells in columns.values():
        at = min(cells)
        yield Finding(
            "unused-input",
            case.address(at),
            f"{case.labels.heading(at) or case.labels.label(at)}: no formula reads {case.area(cells)}",
            at,
        )


def dead(case: AuditContext) -> Iterator[Finding]:
    """Formulas that no result sheet, check or picture depends on."""
    ends = {number for number, role in enumerate(roles(case.book)) if role.startswith(ENDS)}
    if not ends:
        return
    starts = {at for at in case.book.formulas if place(at)[0] in ends} | set(case.heads) | set(case.master)
    starts |= pictured(case)
    alive = feeding(case.formulas, starts)
    for pattern in case.formulas.patterns.values():
        cells = [at for at in pattern.cells if at not in alive]
        if cells:
            words = f"{case.labels.label(cells[0])}: no result, check or picture depends on {case.area(cells)}"
            yield Finding("dead-working", case.address(cells[0]), words, cells[0])


def pictured(case: AuditContext) -> set[Node]:
    """Cells that charts show."""
    columns = Columns(case.book.values)
    found: set[Node] = set()
    for number, info in enumerate(case.book.sheets):
        for text in info.pictured:
            try:
                ref = reference(text)
            except (Malformed, ValueError):
                continue
            sheet = case.formulas.sheet_number(ref, number)
            if sheet is not None:
                found.update(columns.take((sheet, ref.row, ref.col, ref.last_row, ref.last_col)))
    return found
