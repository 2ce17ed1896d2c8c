"""Formulas and links that run a program, fetch something or open a place outside the workbook."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import OUTWARD
from hayfuncs.spreadsheet.parser import FunctionCall, Text, Tree, plain_name, walk

TEXTS = re.compile(r'"[^"]*(?:""[^"]*)*"')
DDE = re.compile(r"(?:'[^']+'|[\w.]+)\|(?:'[^']*'|[\w.]+)!")  # program|topic!item
LINK = "HYPERLINK"
HARMLESS = ("http://", "https://", "mailto:")  # what a person opens by a click, in a browser
SHOWN = 40


def outward(case: AuditContext) -> Iterator[Finding]:
    """In formulas, in defined names and in the parts of the file."""
    for pattern in case.formulas.patterns.values():
        why = reaches(pattern.formula, pattern.parts)
        if why:
            at = pattern.cells[0]
            words = f"{case.labels.label(at)} ({case.area(pattern.cells)}): {why}; ={pattern.formula[:120]}"
            yield Finding("outward", case.address(at), words, at)
    for name in case.book.names:
        tree = case.formulas.name_trees.get(name.name.casefold())
        why = reaches(name.text, () if tree is None else walk(tree))
        if why:
            yield Finding("outward", name.name, f"the name {name.name} is {name.text[:120]}: {why}")
    for program in case.book.programs:
        yield Finding("outward", "workbook", program)
    yield from _clicked(case)


def reaches(formula: str, parts: Iterable[Tree]) -> str:
    """What a formula does outside the workbook; empty where it stays in it."""
    if DDE.search(TEXTS.sub('""', formula)):
        return "it starts a program and asks it for a value (DDE)"
    for part in parts:
        if not isinstance(part, FunctionCall):
            continue
        name = plain_name(part.name)
        if name in OUTWARD:
            return f"it calls {name}, which runs or fetches something outside the workbook"
        if name == LINK and part.args and not _inside(part.args[0]):
            return "a click on it opens a place outside the workbook"
    return ""


def _inside(target: Tree) -> bool:
    """Whether a link's target begins as a place in this workbook does."""
    first = next((part for part in walk(target) if isinstance(part, Text)), None)
    return first is not None and first.value.startswith("#")


def _clicked(case: AuditContext) -> Iterator[Finding]:
    """Links of cells: to a page in a browser a note; to a file, a share or a program grave."""
    plain: dict[str, list[str]] = {}
    for sheet, target in case.book.clicked:
        if target.casefold().startswith(HARMLESS):
            plain.setdefault(sheet, []).append(target)
        else:
            words = f"a cell of the sheet {sheet} links to {target[:120]!r}, outside the workbook; it was not opened"
            yield Finding("outward", "workbook", words)
    for sheet, targets in plain.items():
        words = f"{len(targets):,} links of the sheet {sheet} lead to pages, the first {targets[0][:80]!r}"
        yield Finding("external", "workbook", words, level="note")
