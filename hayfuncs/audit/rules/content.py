"""What stands inside formulas: literals, masked errors, answers that change by themselves."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import VOLATILE, Pattern
from hayfuncs.audit.library import library_numbers
from hayfuncs.spreadsheet.parser import FunctionCall, Number, Text, plain_name

MASKS = {"IFERROR", "IFNA"}
ASKS = {"ISERROR", "ISERR", "ISNA"}


def literals(case: AuditContext) -> Iterator[Finding]:
    known = library_numbers()
    for pattern in case.formulas.patterns.values():
        own = _counts(pattern)
        odd = [n.text for n in pattern.numbers if n.value not in known and n.text not in own]
        if not odd:
            continue
        at = pattern.cells[0]
        fed = next((cell for cell in pattern.cells if cell in case.fed), None)
        where = fed if fed is not None else at
        words = f"{case.labels.label(where)}: {', '.join(dict.fromkeys(odd))} in ={case.book.formulas[where][:160]}"
        if len(pattern.cells) > 1:
            words += f", {len(pattern.cells):,} cells"
        alone = not pattern.refs and not pattern.names  # a number written as a sum: nothing hides in it
        yield Finding("literal", case.address(where), words, where, level="note" if fed is None or alone else "")


def _counts(pattern: Pattern) -> set[str]:
    """Numbers that say which, not how much: places in CHOOSE and INDEX, digits of ROUND, flags of MATCH."""
    found: set[str] = set()
    if pattern.tree is None:
        return found
    for part in pattern.parts:
        if isinstance(part, FunctionCall):
            name = plain_name(part.name)
            places = {
                "ROUND": [1],
                "ROUNDUP": [1],
                "ROUNDDOWN": [1],
                "MATCH": [2],
                "INDEX": [1, 2],
                "LEFT": [1],
                "MID": [1, 2],
            }.get(name, [])
            given = [part.args[i] for i in places if i < len(part.args)]
            found |= {arg.text for arg in given if isinstance(arg, Number)}
    return found


def masking(case: AuditContext) -> Iterator[Finding]:
    for pattern in case.formulas.patterns.values():
        if pattern.tree is None:
            continue
        for part in pattern.parts:
            if not isinstance(part, FunctionCall):
                continue
            name = plain_name(part.name)
            if (name in MASKS and len(part.args) == 2) or (
                name == "IF"
                and len(part.args) > 1
                and isinstance(part.args[0], FunctionCall)
                and plain_name(part.args[0].name) in ASKS
            ):
                shows = part.args[1]
            else:
                continue
            if isinstance(shows, Text) and shows.value.strip():
                continue  # it says in words what is missing
            level = "" if isinstance(shows, (Text, Number)) else "note"  # another cell's value stands in: a choice
            at = pattern.cells[0]
            words = f"{case.labels.label(at)}: {name} hides every error behind a plain value in ={case.book.formulas[at][:160]}"
            yield Finding("masking", case.address(at), words, at, level=level)
            break


def volatile(case: AuditContext) -> Iterator[Finding]:
    for pattern in case.formulas.patterns.values():
        found = sorted({plain_name(c) for c in pattern.calls} & VOLATILE)
        if found:
            at = pattern.cells[0]
            yield Finding("volatile", case.address(at), f"{case.labels.label(at)} calls {', '.join(found)}", at)
