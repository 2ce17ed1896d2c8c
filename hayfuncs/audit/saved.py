"""Who saved the workbook last, and what that program always does: said once, and no fault of anyone.

A program that does not calculate stores nothing or 0 behind every formula; one without our functions stores
errors; one has no yes and no, or trims blanks.  Such stored values say nothing, so what the formulas give
takes their place before anything is judged.  A value that differs by none of these habits stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable

from hayfuncs.audit.graph import Columns, Formulas
from hayfuncs.audit.recompute import Recomputed, same
from hayfuncs.spreadsheet.a1 import Node
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData

MOST = 0.5  # share of the formulas from which on it is the program, not one cell
NEARLY_ALL = 0.9
FEW = 3  # formulas from which on zeros behind all of them are a habit
TRIMMERS = ("libreoffice", "gnumeric", "openoffice")


def settle(book: WorkbookData, formulas: Formulas, recomputed: Recomputed) -> list[str]:
    """What the program's habits changed is set right in `book.values`; each habit in a sentence."""
    if recomputed.failure:
        return []
    program = book.program or "the program that saved it"
    said: list[str] = []
    given = {at: value for at, value in recomputed.values.items() if not isinstance(value, ErrorValue)}
    told = [at for at, value in given.items() if value not in (None, "")]
    missing = [at for at in told if book.values.get(at) is None]
    if len(missing) > MOST * len(told):
        _take(book, recomputed, (at for at in recomputed.values if book.values.get(at) is None))
        said.append(
            f"{program} stored no value behind {len(missing):,} of {len(told):,} formulas; what they give was worked out here"
        )
    zeros = [at for at in told if book.values.get(at) == 0.0 and not same(0.0, given[at])]
    if zeros and len(told) >= FEW and all(book.values.get(at) in (0.0, "", None) for at in told):
        _take(book, recomputed, told)
        said.append(
            f"{program} stored 0 behind every formula, as a program does that does not calculate; what they give was worked out here"
        )
    count = _without_functions(book, formulas, recomputed)
    if count:
        said.append(
            f"{program} does not have the functions of hayfuncs: errors stood in their cells and in what rests on them, "
            f"{count:,} cells; what they give was worked out here"
        )
    words = [at for at, value in given.items() if isinstance(value, bool)]
    if words and not any(isinstance(book.values.get(at), bool) for at in words):
        _take(book, recomputed, (at for at in words if book.values.get(at) == float(bool(given[at]))))
    if any(name in book.program.casefold() for name in TRIMMERS):
        _take(book, recomputed, (at for at, value in given.items() if _trimmed(book.values.get(at), value)))
    return said


def _take(book: WorkbookData, recomputed: Recomputed, cells: Iterable[Node]) -> None:
    for at in cells:
        book.values[at] = recomputed.values[at]


def _trimmed(stored: Value, given: Value) -> bool:
    return isinstance(stored, str) and isinstance(given, str) and stored != given and stored == given.strip()


def _without_functions(book: WorkbookData, formulas: Formulas, recomputed: Recomputed) -> int:
    """Cells that call our functions and store errors, with all that differs because of them."""
    calling = {
        at
        for pattern in formulas.patterns.values()
        if pattern.hay
        for at in pattern.cells
        if not isinstance(recomputed.values.get(at, ErrorValue()), ErrorValue)
    }
    faulty = {at for at in calling if isinstance(book.values.get(at), ErrorValue)}
    if len(faulty) < FEW or len(faulty) < NEARLY_ALL * len(calling):
        return 0
    waiting = {at for at, value in recomputed.values.items() if not same(book.values.get(at), value)}
    settled = waiting & calling
    waiting -= settled
    count = 0
    while settled:
        count += len(settled)
        _take(book, recomputed, settled)
        columns = Columns(settled)
        settled = {at for at in waiting if any(columns.any_in(area) for area in formulas.reads(at))}
        waiting -= settled
    return count
