"""A second engine, before a stored value is called wrong.

The embedded engine has gaps, and a gap is never the user's fault.  A cell that differs at its own place is
worked out again by the audit's own reading over the stored values, and where that cannot read the formula,
by another engine if one is installed; LibreOffice too, where that is asked for.  Where no second engine agrees
with the first, the cell counts as not recomputed.
"""

from __future__ import annotations

from importlib.util import find_spec

from hayfuncs.audit import office
from hayfuncs.audit.context import starts
from hayfuncs.audit.evaluate import Evaluator
from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.own import recognise
from hayfuncs.audit.recompute import ROUNDS, Engine, EngineFailed, Recomputed, as_value, same, set_aside
from hayfuncs.audit.taken import own_pattern
from hayfuncs.audit.values import Unsupported
from hayfuncs.spreadsheet.a1 import Node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData

OTHER = "formulon"
CIRCLE = "#CIRC"
MOST = 2_000  # cells that are asked about
SECONDS = 30.0


def confirm(
    engine: Engine, data: bytes, book: WorkbookData, formulas: Formulas, recomputed: Recomputed, by_office: bool = False
) -> None:  # fmt: skip
    """Cells where the first engine stands alone are moved to what was not recomputed, as gaps of the engine."""
    if recomputed.failure or recognise(book) is not None:  # ours were held against other engines when they were made
        return
    sure: set[Node] = set()
    for _ in range(ROUNDS):
        differing = {at for at, value in recomputed.values.items() if not same(book.values.get(at), value)}
        roots = starts(formulas, differing) - sure
        if not roots or len(roots) > MOST:
            return
        alone = _alone(data, book, formulas, recomputed, sorted(roots))
        if alone and by_office:
            told = office.answers(book, formulas, alone)
            alone = [at for at in alone if at not in told or not _agree(recomputed.values[at], told[at])]
        if not alone:
            return
        sure |= roots - set(alone)
        by_call: dict[str, list[Node]] = {}
        for at in alone:
            by_call.setdefault(", ".join(formulas.of[at].calls[:3]) or "a construction", []).append(at)
        for calls, cells in by_call.items():
            set_aside(engine, book, recomputed, cells, f"no second engine gives the first one's answer for {calls}")


def _alone(
    data: bytes, book: WorkbookData, formulas: Formulas, recomputed: Recomputed, roots: list[Node]
) -> list[Node]:
    """The cells of which no second engine says what the first says."""
    evaluator = Evaluator(formulas)
    alone: list[Node] = []
    left: list[Node] = []
    for at in roots:
        if str(recomputed.values[at]).startswith(CIRCLE):
            continue  # a circle has no answer in any engine
        again = _by_hand(evaluator, at)
        if again is None:
            if not formulas.of[at].hay:  # of a function of ours the engine's answer is Python's
                left.append(at)
        elif not _agree(recomputed.values[at], again[0]):
            alone.append(at)
    other = _by_other(data, left)
    return alone + [at for at in left if at not in other or not _agree(recomputed.values[at], other[at])]


def _agree(first: Value, second: Value) -> bool:
    if isinstance(first, ErrorValue) and isinstance(second, ErrorValue):
        return True
    return same(first, second) or {str(first).upper(), str(second).upper()} in ({"TRUE", "1.0"}, {"FALSE", "0.0"})


def _by_hand(evaluator: Evaluator, at: Node) -> tuple[Value] | None:
    """By the audit's own reading, over the stored values."""
    pattern = own_pattern(evaluator.book.formulas[at], at)
    if pattern is None or pattern.tree is None or at in evaluator.book.arrays:
        return None
    try:
        value = evaluator.pattern(pattern)[0]
    except Unsupported:
        return None
    return (as_value(value),)


def _by_other(data: bytes, cells: list[Node]) -> dict[Node, Value]:
    if not cells or find_spec(OTHER) is None:
        return {}
    wanted = [place(at) for at in cells]
    try:
        with Engine(SECONDS) as engine:
            found = engine.ask("other", data, wanted)
    except EngineFailed:
        return {}
    return {at: as_value(value) for at, value in zip(cells, found, strict=True)}
