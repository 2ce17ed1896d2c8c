"""Our own workbook recognised: its version, its edition, how many lots, groups and feeds it holds."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hayfuncs.audit.grid import node, place
from hayfuncs.audit.model import Workbook

ABOUT = "About"
VERSION = re.compile(r"hayfuncs (\d+\.\d+[\w.]*)")
LISTS = ("Lots", "Herd", "Feeds")
MOST = 50_000


@dataclass(frozen=True)
class Own:
    version: str
    edition: str
    what: str  # the sentence on the data
    counts: tuple[int, int, int]  # rows of lots, groups, feeds


def recognise(book: Workbook) -> Own | None:
    """What the About sheet says and the lists show; None for a workbook that is not ours."""
    about = book.index(ABOUT)
    if about is None or any(book.index(name) is None for name in LISTS):
        return None
    said: dict[str, str] = {}
    for at, value in book.values.items():
        sheet, row, col = place(at)
        if sheet == about and col == 0 and isinstance(value, str):
            beside = book.values.get(node(about, row, 1))
            if isinstance(beside, str):
                said.setdefault(value, beside)
    version = VERSION.search(said.get("Version", ""))
    edition = said.get("Edition", "").partition(" ")[0].lower()
    if version is None or edition not in ("functions", "plain", "classic"):
        return None
    lots, groups, feeds = (_rows(book, name) for name in LISTS)
    return Own(version.group(1), edition, said.get("Data", ""), (lots, groups, feeds))


def _rows(book: Workbook, sheet: str) -> int:
    """Rows of input cells from the first data row on."""
    from hayfuncs.workbook.sheets.common import FIRST

    number = book.index(sheet)
    assert number is not None
    open_rows: set[int] = set()
    for at in book.styles:
        s, row, col = place(at)
        if s == number and col < 4 and row >= FIRST and not book.look(at).locked:
            open_rows.add(row)
    count = 0
    while FIRST + count in open_rows and count < MOST:
        count += 1
    return count
