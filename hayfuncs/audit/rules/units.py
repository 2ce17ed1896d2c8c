"""Units and bases: of each function's arguments, and carried through ordinary arithmetic."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext, copies
from hayfuncs.audit.dimensions import BASES, Clash, Known, Unit, agree, measure, times, unit, words
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Pattern, hay_name
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.parser import Area, FunctionCall, NameRef, Tree, plain_name
from hayfuncs.spreadsheet.tokens import CellRef

RATES = (" per ", " for each ")


class AtCell(Known):
    """Units as they stand beside the cells that one formula reads."""

    def __init__(self, case: AuditContext, pattern: Pattern, at: Node, said: dict[Node, str]) -> None:
        self.case, self.pattern, self.at = case, pattern, at
        self.said = said  # the unit beside each cell that was asked for

    def cell(self, tree: Tree) -> Node | None:
        """The first cell of what a reference or a name means."""
        if isinstance(tree, FunctionCall) and plain_name(tree.name) == "INDEX" and tree.args:
            return self.cell(tree.args[0])
        ref: CellRef | None = None
        if isinstance(tree, Area):
            _, head_row, head_col = place(self.pattern.head)
            _, row, col = place(self.at)
            ref = tree.ref.moved(row - head_row, col - head_col)
        elif isinstance(tree, NameRef):
            areas = self.case.formulas.name_areas.get(tree.name.casefold(), ())
            ref = areas[0] if len(areas) == 1 else None
        if ref is None or ref.row < 0 or ref.col < 0:
            return None
        sheet = self.case.formulas.sheet_number(ref, self.pattern.sheet)
        return None if sheet is None else node(sheet, ref.row, ref.col)

    def unit(self, tree: Tree) -> str:
        at = self.cell(tree)
        if at is None:
            return ""
        if at not in self.said:
            self.said[at] = self._said(at)
        return self.said[at]

    def _said(self, at: Node) -> str:
        found = self.case.labels.unit(at)
        # a heading such as "More energy for each degree" says more than its unit does
        rate = any(words in self.case.labels.heading(at) for words in RATES)
        return "" if rate and "/" not in found else found

    def of_area(self, tree: Area) -> str:
        return self.unit(tree)

    def of_name(self, tree: NameRef) -> str:
        return self.unit(tree)

    def of_call(self, tree: FunctionCall) -> str:
        record = CATALOGUE.get(hay_name(tree.name))
        return record.result.unit if record else ""

    def is_dry_matter(self, tree: Tree) -> bool:
        at = self.cell(tree)
        return at is not None and "dry matter" in self.case.labels.label(at).casefold()


def clashes(case: AuditContext) -> Iterator[Finding]:
    said: dict[Node, str] = {}
    for pattern in case.formulas.patterns.values():
        if pattern.tree is None:
            continue
        at = next((c for c in pattern.cells if c in case.fed), pattern.cells[0])
        known = AtCell(case, pattern, at, said)
        told = list(_arguments(case, pattern, known))
        found: list[Clash] = []
        result = measure(pattern.tree, known, found)
        stated = case.labels.unit(at)
        if stated != "any":  # a largest difference over many quantities says so
            told += [clash.what for clash in found]
        if result is not None and not found and stated in BASES and not _fits(case, at, stated, result):
            told.append(f"its formula gives {words(result)}, the sheet says {stated}")
        for what in dict.fromkeys(told):
            where = case.labels.unit_cell(at)
            says = f" (its unit stands in {case.address(where)})" if where is not None else ""
            yield Finding(
                "unit", case.address(at), f"{case.labels.label(at)}{copies(len(pattern.cells))}: {what}{says}", at
            )


def _fits(case: AuditContext, at: Node, stated: str, result: Unit) -> bool:
    """The unit as stated; where the label says dry matter, the unit need not say it again."""
    if BASES[stated] == result:
        return True
    return "dry matter" in case.labels.label(at).casefold() and times(BASES[stated], unit(DM=1)) == result


def _arguments(case: AuditContext, pattern: Pattern, known: AtCell) -> Iterator[str]:
    """Each argument's unit against the record's, and the result's against the sheet's."""
    assert pattern.tree is not None
    for part in pattern.parts:
        record = CATALOGUE.get(hay_name(part.name)) if isinstance(part, FunctionCall) else None
        if record is None or not isinstance(part, FunctionCall):
            continue
        odd: list[tuple[str, str, str]] = []
        for given, (name, arg) in zip(part.args, record.args.items(), strict=False):
            cell = known.cell(given)
            unit_there = known.unit(given)
            if cell is not None and not agree(arg.unit, unit_there):
                words_of = f"{record.sheet_name} takes {name} in {arg.unit}, {case.address(cell)} is in {unit_there}"
                odd.append((arg.unit, unit_there, words_of))
        if not _cancel(odd):
            yield from (words_of for _, _, words_of in odd)
        if part is pattern.tree or _only_guarded(pattern.tree, part):
            stated = case.labels.unit(known.at)
            if not agree(record.result.unit, stated):
                yield f"{record.sheet_name} gives {record.result.unit}, the sheet says {stated}"


def _cancel(odd: list[tuple[str, str, str]]) -> bool:
    """Tons and pounds in a ton for bales and pounds in a bale: other units, the same product."""
    if len(odd) < 2 or any(a not in BASES or b not in BASES for a, b, _ in odd):
        return False
    wanted = given = unit()
    for a, b, _ in odd:
        wanted, given = times(wanted, BASES[a]), times(given, BASES[b])
    return wanted == given


def _only_guarded(tree: Tree, part: Tree) -> bool:
    """Whether the call is the last branch of an IF, so that the cell shows its result."""
    return (
        isinstance(tree, FunctionCall) and plain_name(tree.name) == "IF" and bool(tree.args) and tree.args[-1] is part
    )
