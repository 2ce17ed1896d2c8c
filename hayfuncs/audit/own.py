"""Our own workbook recognised, and its layout made anew around the values that are typed in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from hayfuncs.audit.places import FIRST, Part, places
from hayfuncs.spreadsheet.a1 import BadAddress, Node, a1, area, node, place
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.tokens import Malformed, reference

MONTH_OF_PLAN = "Plan/#/month"  # the key of the plan's column of months in the list of inputs
MOST_MONTHS = 40
ABOUT, INPUTS = (
    ("Start", "About"),
    "Input list",
)  # the first sheet, today and before, and the part that lists the inputs
TAKEN = "Taken"  # the label of a line on Start
VERSION = re.compile(r"hayfuncs (\d+\.\d+[\w.]*)")
EDITIONS = ("functions", "plain", "classic")
MOST = 30_000  # formula cells up to which the layout is made anew: it is built in full and takes its time


@dataclass(frozen=True)
class Own:
    version: str
    edition: str
    what: str  # the sentence on the data
    taken: tuple[str, ...]  # the sentences on what the user's files did not say, and what was taken instead


def recognise(book: WorkbookData) -> Own | None:
    """What the first sheet says; None for a workbook that is not ours."""
    if "own" not in book.worked_out:
        book.worked_out["own"] = _recognise(book)
    found = book.worked_out["own"]
    return found if isinstance(found, Own) else None


def _recognise(book: WorkbookData) -> Own | None:
    if INPUTS not in parts(book):
        return None
    about = next((number for name in ABOUT if (number := book.index(name)) is not None), None)
    if about is None:  # under another name
        start = places(book).parts.get(ABOUT[0])
        about = None if start is None else start.sheet
    said: dict[str, str] = {}
    taken: dict[int, str] = {}  # by row
    for at, value in book.values.items():
        sheet, row, col = place(at)
        if sheet == about and col == 0 and isinstance(value, str):
            beside = book.values.get(node(sheet, row, 1))
            if isinstance(beside, str):
                said.setdefault(value, beside)
                if value == TAKEN:
                    taken[row] = beside
    version = VERSION.search(said.get("Version", ""))
    edition = said.get("Edition", "").partition(" ")[0].lower()
    if version is None or edition not in EDITIONS:
        return None
    return Own(version.group(1), edition, said.get("Data", ""), tuple(taken[row] for row in sorted(taken)))


def any_row(key: str) -> str:
    """A key as the list of inputs has it: one for all rows of a column."""
    from hayfuncs.workbook.sheets.inputlist import any_row

    return any_row(key)


def parts(book: WorkbookData) -> dict[str, Part]:
    """The parts by their names, as the list of parts says; every sheet is a part too, unless a part has its name."""
    found = {info.name: Part(i, 0, info.last_row) for i, info in enumerate(book.sheets)}
    return found | places(book).parts


def model(book: WorkbookData, own: Own) -> Any:
    """The layout of this version for the values typed in the file; nothing is solved or computed.

    It is only read: workbooks with the same values typed in them, as an older file and its copy
    with a changed formula, share one.
    """
    from hayfuncs.workbook.oldbales import BALES_KEY
    from hayfuncs.workbook.season import SPARE_OFFERS
    from hayfuncs.workbook.sheets.baleplan import SPARE_TURNS
    from hayfuncs.workbook.sheets.feeds import SPARE
    from hayfuncs.workbook.sheets.plansheet import SPARE_ROWS

    old = _typed(book, own)
    # the layout adds its free rows itself
    of_plan = SPARE_TURNS if BALES_KEY in old.known else SPARE_ROWS
    for table, free in (("Feeds", SPARE), ("Hay to buy", SPARE_OFFERS), ("Plan", of_plan)):
        old.rows[table] = max(0, old.rows.get(table, 0) - free)
    for table in ("Plain rule", "Asked beside the plan", "Solved from"):
        old.rows[table] = _filled_rows(book, table)
    return _laid_out(
        own,
        len(month_labels(book)),
        tuple((key, type(held.value), held) for key, held in old.values.items()),  # 1 and TRUE are not the same
        tuple(old.rows.items()),
        frozenset(old.known),
    )


@lru_cache(maxsize=2)
def _laid_out(
    own: Own, months: int, values: tuple[tuple[str, type, Any], ...], rows: tuple[tuple[str, int], ...],
    known: frozenset[str],
) -> Any:  # fmt: skip
    from hayfuncs.workbook.build import build
    from hayfuncs.workbook.farm import is_told
    from hayfuncs.workbook.keep import CannotKeep, Keeper, fit
    from hayfuncs.workbook.oldfile import Old
    from hayfuncs.workbook.rebuild import farm_of, kind_of
    from hayfuncs.workbook.stack import stacked

    begins: dict[str, Any] = {}  # what stands in an input before anything is typed there, by its key

    class Typed(Keeper):
        """Hands each input the file's value, without a judgment on it."""

        def __call__(self, made: Any, entry: Any, default: Any) -> Any:
            begins[entry.key] = default
            held = self.old.values.get(entry.key)
            if held is None or held.value is None:
                return None
            try:
                return fit(entry, held.value)[0]
            except CannotKeep:
                return held.value

        def refuse(self) -> None:
            """An input that cannot be is found by other rules."""

    old = Old(Path(), own.version, own.edition, {key: held for key, _, held in values}, dict(rows), set(known))
    # what the user's lists left out cannot be told from the sheets; a sentence of another wording is not ours
    farm = replace(farm_of(old), what=own.what, told=tuple(text for text in own.taken if is_told(text)))
    # a date moved across a month changes no row of the file
    made = build(farm, own.edition, Typed(old, month_rows=months or None), solved=False, kind=kind_of(old.known))
    laid: Any = stacked(made)
    laid.begins = begins
    return laid


def plan_months(book: WorkbookData) -> list[Node]:
    """The cells of the plan that say which month a row is for."""
    found = [(sheet, cells) for key, sheet, cells in _listed(book) if key == MONTH_OF_PLAN]
    return [at for at in _cells(book, *found[0]) if place(at)[1] <= book.sheets[place(at)[0]].last_row] if found else []


def _cells(book: WorkbookData, tab: str, cells: str) -> list[Node]:
    """Cells of one column as a line of the list of inputs names them, where they stand now."""
    try:
        row, col, last_row, _ = area(cells)
    except BadAddress:
        return []
    every = (places(book).now(tab, r, col) for r in range(row, min(last_row, row + MOST) + 1))
    return [at for at in every if at is not None]


def month_labels(book: WorkbookData) -> list[Node]:
    """The cells that the plan's months are picked from."""
    cells = plan_months(book)
    if not cells:
        return []
    sheet, row, col = place(cells[0])
    rule = next((r for r in book.sheets[sheet].validations if r.kind == "list" and r.covers(row, col)), None)
    try:
        ref = reference(rule.first) if rule is not None else None
    except Malformed:
        return []
    number = None if ref is None else sheet if ref.sheet is None else book.index(ref.sheet)
    if ref is None or number is None:
        return []
    return [node(number, r, ref.col) for r in range(ref.row, min(ref.last_row, ref.row + MOST_MONTHS) + 1)]


def _typed(book: WorkbookData, own: Own) -> Any:
    """Every input by its key, as the file's list of inputs says where it stands."""
    from hayfuncs.workbook.oldfile import Held, Old

    old = Old(book.path, own.version, own.edition)
    for key, sheet, cells in _listed(book):
        every = _cells(book, sheet, cells)
        if not every:
            continue
        table, mark, column = key.partition("/#/")
        for i, at in enumerate(every if mark else every[:1]):
            name = f"{table}/{i + 1}/{column}" if mark else key
            value = None if at in book.formulas else book.values.get(at)
            old.values[name] = Held(value, sheet, a1(*place(at)[1:]))
        if mark:
            old.rows[table] = max(old.rows.get(table, 0), len(every))
        old.known.add(key)
    return old


def _filled_rows(book: WorkbookData, sheet: str) -> int:
    """The rows of a table of solved values: down to the last that has something in its first column."""
    part = parts(book).get(sheet)
    if part is None:
        return 0
    top = part.first + FIRST
    rows = [row for row in range(top, part.last + 1) if book.values.get(node(part.sheet, row, 0)) is not None]
    return max(rows, default=top - 1) - top + 1


def _listed(book: WorkbookData) -> list[tuple[str, str, str]]:
    """Key, sheet and cells of each line of the list of inputs."""
    found = book.worked_out.get(INPUTS)
    if not isinstance(found, list):
        found = book.worked_out[INPUTS] = list(_lines(book))
    return found


def _lines(book: WorkbookData) -> Iterator[tuple[str, str, str]]:
    part = parts(book).get(INPUTS)
    if part is None:
        return
    number = part.sheet
    at: dict[str, int] = {}
    for row in range(part.first, part.last + 1):
        texts = {col: book.values.get(node(number, row, col)) for col in range(book.sheets[number].last_col + 1)}
        if not at:
            found = {str(text): col for col, text in texts.items() if text in ("Key", "Sheet", "Cells")}
            at = found if len(found) == 3 else {}
            continue
        key, sheet, cells = (texts.get(at[head]) for head in ("Key", "Sheet", "Cells"))
        if isinstance(key, str) and isinstance(sheet, str) and isinstance(cells, str) and key:
            yield key, sheet, cells
