"""What stands inside formulas: literals, masked errors, answers that change by themselves."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from hayfuncs.audit.case import Case
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import VOLATILE, Pattern
from hayfuncs.audit.parse import CallOf, Number, Text, plain_name, walk
from hayfuncs.hosts.longhand import lines
from hayfuncs.record import CATALOGUE, Arg, Words

PLAIN = {0.0, 1.0, 2.0, 12.0, 7.0, 24.0, 100.0}  # and the small places of CHOOSE and INDEX
NUMERAL = re.compile(r"(?<![A-Za-z_.\d])(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
MASKS = {"IFERROR", "IFNA"}
ASKS = {"ISERROR", "ISERR", "ISNA"}


@cache
def library_numbers() -> frozenset[float]:
    """Every number that a record states: constants, limits, fitted ranges, places of words."""
    found = set(PLAIN)
    for record in CATALOGUE.values():
        texts = [*(lines(record.longhand) if record.longhand else ()), *(rule.formula for rule in record.rules)]
        for text in texts:
            found |= {float(n) for n in NUMERAL.findall(re.sub(r"\{[^}]*\}", "", text))}
        for arg in record.args.values():
            if isinstance(arg, Arg):
                found |= {abs(arg.lo), abs(arg.hi), *(abs(v) for v in arg.fit or ())}
            elif isinstance(arg, Words):
                found |= {float(i) for i in range(1, len(arg.words) + 1)}
    return frozenset(found)


def literals(case: Case) -> Iterator[Finding]:
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
        yield Finding("literal", case.address(where), words, where, level="" if fed is not None else "note")


def _counts(pattern: Pattern) -> set[str]:
    """Numbers that say which, not how much: places in CHOOSE and INDEX, digits of ROUND, flags of MATCH."""
    found: set[str] = set()
    if pattern.tree is None:
        return found
    for part in walk(pattern.tree):
        if isinstance(part, CallOf):
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
            found |= {part.args[i].text for i in places if i < len(part.args) and isinstance(part.args[i], Number)}  # type: ignore[union-attr]
    return found


def masking(case: Case) -> Iterator[Finding]:
    for pattern in case.formulas.patterns.values():
        if pattern.tree is None:
            continue
        for part in walk(pattern.tree):
            if not isinstance(part, CallOf):
                continue
            name = plain_name(part.name)
            if (name in MASKS and len(part.args) == 2) or (
                name == "IF"
                and len(part.args) > 1
                and isinstance(part.args[0], CallOf)
                and plain_name(part.args[0].name) in ASKS
            ):
                shows = part.args[1]
            else:
                continue
            if isinstance(shows, Text) and shows.value.strip():
                continue  # it says in words what is missing
            at = pattern.cells[0]
            words = f"{case.labels.label(at)}: {name} hides every error behind a plain value in ={case.book.formulas[at][:160]}"
            yield Finding("masking", case.address(at), words, at)
            break


def volatile(case: Case) -> Iterator[Finding]:
    for pattern in case.formulas.patterns.values():
        found = sorted({plain_name(c) for c in pattern.calls} & VOLATILE)
        if found:
            at = pattern.cells[0]
            yield Finding("volatile", case.address(at), f"{case.labels.label(at)} calls {', '.join(found)}", at)
