"""Where a number that is no formula comes from, in the workbook's own words and the library's."""

from __future__ import annotations

from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.library import PLAIN, numbers_of
from hayfuncs.contract.catalogue import CATALOGUE, Record, Ref
from hayfuncs.contract.tables import citation
from hayfuncs.contract.units import DAYS_PER_YEAR, GRAMS_PER_KG, LB_PER_TON, LB_TO_KG
from hayfuncs.formulas.figures import number
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import Validation, WorkbookData
from hayfuncs.spreadsheet.parser import Number, Tree, walk

SOURCE_WORDS = ("source", "where it comes from", "how known", "evidence")
EXACT = {
    LB_TO_KG: "kilograms in a pound, exact by definition", LB_PER_TON: "pounds in a short ton, by definition",
    GRAMS_PER_KG: "grams in a kilogram", DAYS_PER_YEAR: "days in a year",
}  # fmt: skip
FAR = 40  # columns to the right in which a source is looked for


class Origins:
    """Answers "who says so?" for cells of one workbook."""

    def __init__(self, book: WorkbookData, formulas: Formulas, labels: Labels) -> None:
        self.book, self.formulas, self.labels = book, formulas, labels

    def of(self, at: Node, kind: str) -> str:
        if kind == "empty":
            return "empty"
        if kind == "input":
            rule = self._rule(at)
            words = "typed in" + (f"; possible: {allowed(rule)}" if rule and allowed(rule) else "")
            source = self._beside(at)
            return f"{words}; {source}" if source else words
        return self._beside(at) or self._above(at) or "a fixed value"

    def _rule(self, at: Node) -> Validation | None:
        sheet, row, col = place(at)
        return next((r for r in self.book.sheets[sheet].validations if r.covers(row, col)), None)

    def _beside(self, at: Node) -> str:
        """The text right of the cell under a heading that promises a source."""
        sheet, row, col = place(at)
        own = self.labels.heading(at)
        found = ""
        for other in self.labels.texts.get((sheet, row), []):
            if not col < other <= col + FAR:
                continue
            head = self._head(sheet, row, other).casefold()
            if any(word in head for word in SOURCE_WORDS):
                text = str(self.book.values[node(sheet, row, other)]).strip()
                if own and head.startswith(own.casefold()):
                    return text  # the evidence class of this very column
                found = found or text
        return found

    def _head(self, sheet: int, row: int, col: int) -> str:
        table = self.labels.unit_row(node(sheet, row, col))
        rows = [table - 1] if table is not None else range(row - 1, max(row - 30, -1), -1)
        for above in rows:
            value = self.book.values.get(node(sheet, above, col))
            if isinstance(value, str) and any(word in value.casefold() for word in SOURCE_WORDS):
                return value
        return ""

    def _above(self, at: Node) -> str:
        """The words over a table that say where it is from."""
        sheet, _, _ = place(at)
        table = self.labels.unit_row(at)
        if table is None:
            return ""
        of_table = str(self.book.values.get(node(sheet, 2, 0))).casefold() == "table"
        for row in (table - 2, 1):
            value = self.book.values.get(node(sheet, row, 0))
            if isinstance(value, str) and ("source" in value.casefold() or (row == 1 and of_table)):
                return value[:300]
        return ""

    def constants(self, at: Node, root: Tree) -> str:
        """The sources of the numbers inside a spelled-out formula, found by the numbers themselves."""
        texts = {part.value: part.text for part in walk(root) if isinstance(part, Number)}
        odd = set(texts) - PLAIN
        told = [f"{texts[value]}: {EXACT[value]}" for value in sorted(odd & set(EXACT))]
        odd -= set(EXACT)
        if odd:
            owner = self._owner(at, odd)
            if owner is not None:
                values = ", ".join(texts[v] for v in sorted(odd)[:8])
                weakest = f"; weakest link: {owner.evidence}" if len(owner.refs) > 1 else ""
                told.append(f"{values}: {owner.sheet_name}, {self.cite(owner.refs[0])}{weakest}")
        return "; ".join(told)

    def _owner(self, at: Node, odd: set[float]) -> Record | None:
        """The function whose record states all these numbers; a sheet of steps names it itself."""
        sheet, _, col = place(at)
        table = self.labels.unit_row(at)
        if table is not None and table > 1:
            named = str(self.book.values.get(node(sheet, table - 2, col)) or "").upper().replace(" ", "_")
            if named in CATALOGUE and odd <= numbers_of(named):
                return CATALOGUE[named]
        owners = [r for r in CATALOGUE.values() if odd <= numbers_of(r.name)]
        unit = self.labels.unit(at)
        return min(owners, key=lambda r: (r.result.unit != unit, len(numbers_of(r.name))), default=None)

    @staticmethod
    def cite(ref: Ref) -> str:
        return f"{citation(ref.key)}, {ref.where} [{ref.evidence}]"


SIGNS = {
    "greaterThan": "above", "lessThan": "below", "greaterThanOrEqual": "at least", "lessThanOrEqual": "at most",
    "equal": "exactly",
}  # fmt: skip


def allowed(rule: Validation) -> str:
    """What a validation lets in, in a few words; empty where it says little."""
    if rule.kind == "list":
        return rule.first.strip('"').replace(",", ", ")[:120]
    if rule.kind not in ("decimal", "whole", "date"):
        return ""
    if rule.operator == "between":
        return f"{_tidy(rule.first)} to {_tidy(rule.second)}"
    return f"{SIGNS.get(rule.operator, rule.operator)} {_tidy(rule.first)}"


def _tidy(text: str) -> str:
    try:
        return number(float(text))
    except ValueError:
        return text
