"""Findings: the rules, what each means, and how grave a finding is."""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.spreadsheet.a1 import Node
from hayfuncs.spreadsheet.contents import Value

SEVERITIES = ("high", "medium", "low", "note")
LEVELS = {
    "high": "changes a headline number, or the workbook cannot be trusted",
    "medium": "stands in the way to a headline number, its effect is none or cannot be told",
    "low": "no headline number depends on it",
    "note": "to be known; nothing is wrong by itself",
}


@dataclass(frozen=True)
class RuleCard:
    """One rule: what it looks for and what to do about it.

    `level` is the gravity of every finding of the rule; empty where the effect on the headline
    numbers decides.
    """

    rule: str
    looks_for: str
    do: str
    level: str = ""


def _cards(*cards: RuleCard) -> dict[str, RuleCard]:
    return {card.rule: card for card in cards}


RULES = _cards(
    RuleCard("stored-value", "a stored value that its own formula does not give", "recalculate in the spreadsheet program and save; if it stays, ask who typed it"),
    RuleCard("function-value", "a function's stored value that Python does not give for the same arguments", "recalculate and save; compare the function's definition"),
    RuleCard("no-value", "a formula without a stored value", "open in a spreadsheet program, recalculate and save", "low"),
    RuleCard("saved-elsewhere", "a habit of the program that saved the workbook", "nothing, or open it in a spreadsheet program, recalculate and save", "note"),
    RuleCard("error-value", "a cell that shows an error", "follow the error to the cell it starts from"),
    RuleCard("circular", "a cell that depends on itself", "break the circle; a circular workbook has no answer", "high"),
    RuleCard("not-recomputed", "a formula that was not recomputed", "work it out by hand, or spell it in plain operators", "low"),
    RuleCard("pattern", "a formula unlike all others of its column", "copy the column's formula over it, or say beside it why it differs"),
    RuleCard("typed-over", "a number or nothing where the column has a formula", "put the formula back, or make the value an input with its source"),
    RuleCard("formula-changed", "a formula that is not the one this version writes there", "put the formula back, or note the change and its reason"),
    RuleCard("fixed-changed", "a label, unit or fixed number that is not the one this version writes there", "put it back, or note the change and its reason"),
    RuleCard("layout", "a workbook whose layout is not that of this version", "compare by hand what cannot be compared here", "note"),
    RuleCard("added", "a cell outside the layout of this version", "check that no result depends on it", "note"),
    RuleCard("literal", "a number inside a formula that belongs in a cell", "give it a cell with unit and source, and refer to that"),
    RuleCard("text-number", "a number stored as text", "type it again as a number; sums leave texts out"),
    RuleCard("blank-precedent", "a formula that calculates with an empty or a text cell", "fill the cell, or let the formula say what a blank means"),
    RuleCard("range-short", "a range that stops before its data does", "extend the range to the last row"),
    RuleCard("impossible-input", "an input that its validation or its function does not allow", "correct the input"),
    RuleCard("implausible", "a number that cannot be what its heading says", "look at the lab sheet: another unit, another basis, or a slip"),
    RuleCard("basis", "as fed and dry matter taken for one another", "divide what is as fed by the dry matter to bring it on dry basis; multiply to go back"),
    RuleCard("printed-constant", "an equation whose constant is not the printed one, or that is given something else than it takes", "put the printed constant, or say beside it whose it is"),
    RuleCard("equation", "what a formula is", "nothing; compare it with the source", "note"),
    RuleCard("outside-fit", "an input outside the range its equation was fitted to", "take the result as an extrapolation", "note"),
    RuleCard("unit", "units or bases that do not go together", "convert, or correct the unit that stands there"),
    RuleCard("unused-input", "an input that nothing depends on", "use it or take it away", "note"),
    RuleCard("dead-working", "a formula that feeds no result, check or picture", "use it or take it away", "note"),
    RuleCard("duplicate", "the same calculation in two places", "calculate once and refer to it", "note"),
    RuleCard("masking", "a formula that hides an error", "show the error or say in words what is missing"),
    RuleCard("hidden-sheet", "a sheet that is hidden", "show it, or declare it on the first sheet"),
    RuleCard("hidden-line", "a hidden row or column with content", "show it; a hidden number cannot be audited by eye"),
    RuleCard("hidden-name", "a defined name that is hidden", "show it in the list of names", "low"),
    RuleCard("unseen", "a value that the eye does not see, or a formula that is hidden", "show it"),
    RuleCard("look", "what the eye sees, otherwise than this version draws it", "put it back, or note the change and its reason"),
    RuleCard("covered", "a shape or picture that lies over filled cells", "move it aside", "low"),
    RuleCard("external", "a link to something outside the workbook", "put the value in, with its source; nothing was fetched", "medium"),
    RuleCard("outward", "a formula or link that runs a program, fetches something or opens a place outside the workbook", "take it out, and ask who put it there; nothing was run, fetched or opened", "high"),
    RuleCard("failed-check", "a check of the workbook that does not hold", "correct what it names; no answer that rests on it may be used", "high"),
    RuleCard("macro", "program code in the workbook", "read it before you enable it; nothing was run", "medium"),
    RuleCard("volatile", "a function whose answer changes by itself", "make the date or the number an input", "low"),
    RuleCard("unlocked", "a formula that anyone can type over", "lock the cell", "low"),
    RuleCard("unvalidated", "an input without a rule of what may be typed", "give it a validation", "low"),
    RuleCard("unprotected", "a sheet of formulas without protection", "protect it (no password is needed)", "low"),
    RuleCard("unknown-function", "a function that this version does not have", "update hayfuncs or the workbook", "medium"),
    RuleCard("definition", "a function's definition in the workbook that is not the library's", "build the workbook anew, or put the definition back", "high"),
    RuleCard("table-value", "a constant in a shipped table that is not the shipped one", "put it back, or note it as your own figure with its source"),
    RuleCard("name", "a defined name that is broken, missing or points elsewhere", "correct the name's reference"),
    RuleCard("calculation", "a calculation setting that changes or withholds results", "set calculation to automatic, no iteration, full precision", "medium"),
    RuleCard("formula-like-text", "a text that begins like a formula", "make sure it is meant as text", "note"),
    RuleCard("merged", "merged cells among data", "unmerge; sorting and reading by row break on them", "note"),
    RuleCard("strange", "a cell whose stored form is not as it should be", "open in a spreadsheet program, look and save again", "medium"),
    RuleCard("no-effect", "an input that moves no headline number", "check whether it ought to", "note"),
)  # fmt: skip


@dataclass
class Finding:
    rule: str
    cell: str  # Sheet!A1, or a name, or the workbook
    evidence: str
    at: Node | None = None
    level: str = ""
    effect: str = ""
    suggestion: str = ""
    repair: tuple[tuple[Node, str | None, Value], ...] = ()  # what the cells should hold, for the effect
    by_layout: bool = False  # found by comparison with this version's own layout
    follows: bool = False  # it is what another finding, as grave, does

    @property
    def above_note(self) -> bool:
        return self.level != "note"

    def advice(self) -> str:
        return self.suggestion or RULES[self.rule].do

    def order(self) -> tuple[int, bool, int, str, Node]:
        level = SEVERITIES.index(self.level or "low")
        return level, self.follows, list(RULES).index(self.rule), self.cell, self.at or 0
