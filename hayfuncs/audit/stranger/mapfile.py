"""Which cell is what, as a list that a person can read, mend and give back (CSV)."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from hayfuncs.audit.stranger.meanings import Sheetwise
from hayfuncs.audit.stranger.quantities import BY_NAME, Meaning
from hayfuncs.contract.errors import listing
from hayfuncs.contract.files import UserError, replacing
from hayfuncs.importers.model import AS_FED, DRY
from hayfuncs.spreadsheet.a1 import BadAddress, Node, a1_area, area, node, place
from hayfuncs.spreadsheet.contents import WorkbookData

HEADS = ("Sheet", "Cells", "Words", "Is", "Unit", "Basis")
NOTHING = "-"  # in the column Is: not a number of the trade
MOST = 4_000_000  # bytes of a list that is read


@dataclass(frozen=True)
class Told:
    sheet: str
    cells: tuple[int, int, int, int]
    meaning: Meaning | None


def write(book: WorkbookData, known: Sheetwise, path: Path) -> None:
    """A line for each run of cells under one heading (or beside one label)."""
    lines: list[tuple[str, str, str, str, str, str]] = []
    runs: dict[int, list[Node]] = {}
    for at in sorted(known.of):
        runs.setdefault(known.groups[at], []).append(at)
    for cells in runs.values():
        meaning = known.of[cells[0]]
        spots = [place(at) for at in cells]
        box = (
            min(r for _, r, _ in spots),
            min(c for _, _, c in spots),
            max(r for _, r, _ in spots),
            max(c for _, _, c in spots),
        )
        lines.append(
            (
                book.sheets[spots[0][0]].name,
                a1_area(*box),
                known.labels[cells[0]][:120],
                meaning.quantity,
                meaning.unit,
                meaning.basis,
            )
        )
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerows([HEADS, *map(_harmless, lines)])
    with replacing(path) as beside:
        beside.write_text(stream.getvalue(), encoding="utf-8")


def _harmless(line: tuple[str, ...]) -> tuple[str, ...]:
    """No text begins like a formula when the list is opened in a spreadsheet program."""
    return tuple(
        f"'{text}" if text[:1] in ("=", "+", "@", "\t") or (text[:1] == "-" and text != NOTHING) else text
        for text in line
    )


def read(path: Path) -> list[Told]:
    if path.stat().st_size > MOST:
        raise UserError(f"{path} is larger than {MOST // 1_000_000} MB; such a list is not read")
    try:
        lines = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))))
    except (UnicodeDecodeError, csv.Error):
        raise UserError(
            f"{path} is no list of cells (CSV in UTF-8); let hayfuncs write one: give a name that is not there yet"
        ) from None
    if not lines or tuple(lines[0][: len(HEADS)]) != HEADS:
        raise UserError(
            f"{path} must begin with the heads {', '.join(HEADS)}; let hayfuncs write one: give a name that is not there yet"
        )
    return [_told(path, number, line) for number, line in enumerate(lines[1:], 2) if any(line)]


def _told(path: Path, number: int, line: list[str]) -> Told:
    sheet, cells, _, name, unit, basis = (*(text.strip() for text in line), *[""] * len(HEADS))[: len(HEADS)]
    where = f"{path}, line {number}"
    try:
        box = area(cells)
    except BadAddress:
        raise UserError(f"{where}: {cells[:40]!r} is no cell or range; write it as B4 or B4:B20") from None
    if name in ("", NOTHING):
        return Told(sheet, box, None)
    if name not in BY_NAME:
        raise UserError(
            f"{where}: {name[:40]!r} is not known; one of {listing(tuple(BY_NAME))}, or {NOTHING} for nothing of these"
        )
    if basis not in ("", DRY, AS_FED):
        raise UserError(f"{where}: the basis {basis[:40]!r} must be {DRY}, {AS_FED} or empty")
    return Told(sheet, box, Meaning(name, unit or BY_NAME[name].unit, basis, "as the list says"))


def put(book: WorkbookData, known: Sheetwise, told: list[Told]) -> Sheetwise:
    """What the list says takes the place of what was read off the sheet."""
    group = max(known.groups.values(), default=0)
    for one in told:
        sheet = book.index(one.sheet)
        if sheet is None:
            raise UserError(f"the list of cells names the sheet {one.sheet[:40]!r}, which the workbook does not have")
        group += 1
        row, col, last_row, last_col = one.cells
        info = book.sheets[sheet]
        for r in range(row, min(last_row, info.last_row) + 1):
            for c in range(col, min(last_col, info.last_col) + 1):
                at = node(sheet, r, c)
                if not isinstance(book.values.get(at), float):
                    continue
                if one.meaning is None:
                    known.of.pop(at, None)
                elif (
                    known.of.get(at) is None
                    or known.of[at].quantity != one.meaning.quantity
                    or known.of[at].basis != one.meaning.basis
                    or known.of[at].unit != one.meaning.unit
                ):
                    known.of[at] = one.meaning
                    known.groups[at] = group
                    known.labels.setdefault(at, one.meaning.words)
    return known
