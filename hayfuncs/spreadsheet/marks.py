"""Short marks of formulas: what a workbook carries of each formula that its builder wrote, to be known again by.

A mark is a sum over the formula in one spelling: references relative to the cell, each with the sheet it leads to, so
that copies have one mark and a program's own spelling changes nothing.  `where` leads from a cell of the file to
where it stood when the workbook was built, so that a renamed sheet or a moved table changes nothing either.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple

from hayfuncs.spreadsheet.a1 import a1, cell, letters
from hayfuncs.spreadsheet.tokens import Malformed, bare_truths, pieces, reference, relative

Where = Callable[[str, int, int], tuple[str, int, int]]
PREFIX = re.compile(r"_xlfn\.|_xlws\.|_xlpm\.", re.IGNORECASE)
BYTES = 3  # of the sum: one changed formula in 16 million keeps its mark
LINE = re.compile(r"#([0-9]+|[A-Z]+):(\S+)")  # of solved numbers: a row or a column, and its mark
RUN = re.compile(r"([A-Z]+[0-9]+)(?:x([0-9]+))?:(\S+)")


class Run(NamedTuple):
    """Cells below one another with copies of one formula; rows count from 0."""

    row: int
    col: int
    length: int
    mark: str


def spelled(formula: str, sheet: str, row: int, col: int, where: Where | None = None) -> str:
    """The formula of a cell in the one spelling; a text that is no formula stays as it is."""
    try:
        found = bare_truths(pieces(formula))
    except Malformed:
        return formula
    if where is not None:
        _, at_row, at_col = where(sheet, row, col)
    else:
        at_row, at_col = row, col
    out = []
    for piece in found:
        if piece.kind == "ref":
            ref = reference(piece.text)
            to = ref.sheet or sheet
            if where is not None and not ref.external:
                to, first_row, first_col = where(ref.sheet or sheet, ref.row, ref.col)
                down, right = first_row - ref.row, first_col - ref.col
                if not ref.single:
                    _, last_row, last_col = where(ref.sheet or sheet, ref.last_row, ref.last_col)
                    ref = ref._replace(last_row=last_row, last_col=last_col)
                else:
                    ref = ref._replace(last_row=ref.last_row + down, last_col=ref.last_col + right)
                ref = ref._replace(row=first_row, col=first_col)
            out.append(f"{to.casefold()}!{relative(ref, at_row, at_col)}")
        elif piece.kind == "number":
            out.append(repr(float(piece.text)))
        else:
            out.append(piece.text if piece.kind == "text" else PREFIX.sub("", piece.text).casefold())
    return " ".join(out)


def mark(text: str) -> str:
    return base64.urlsafe_b64encode(hashlib.blake2b(text.encode(), digest_size=BYTES).digest()).decode()


def of_values(given: Iterable[float]) -> str:
    """The mark of numbers one after another, to nine digits, which every program keeps."""
    return mark("|".join(f"{value:.9g}" for value in given))


def runs(cells: Iterable[tuple[int, int, str]]) -> Iterator[Run]:
    """Marks of cells, given as row, column and mark, with those that stand below one another together."""
    open_run: Run | None = None
    for row, col, text in sorted(cells, key=lambda c: (c[1], c[0])):
        if (
            open_run is not None
            and (col, text) == (open_run.col, open_run.mark)
            and row == open_run.row + open_run.length
        ):
            open_run = open_run._replace(length=open_run.length + 1)
            continue
        if open_run is not None:
            yield open_run
        open_run = Run(row, col, 1, text)
    if open_run is not None:
        yield open_run


def written(given: Iterable[Run]) -> str:
    """`B8x40:q2Xd C8:77ab`: where a run begins, how long it is, its mark."""
    return " ".join(f"{a1(r.row, r.col)}{f'x{r.length}' if r.length > 1 else ''}:{r.mark}" for r in given)


def read(text: str) -> Iterator[Run]:
    for found in RUN.finditer(text):
        row, col = cell(found.group(1))
        yield Run(row, col, int(found.group(2) or 1), found.group(3))


def lines(values: Mapping[tuple[int, int], float]) -> dict[str, str]:
    """Each row and each column of numbers with its mark: where two of them differ, a cell was changed."""
    rows: dict[int, list[float]] = {}
    cols: dict[int, list[float]] = {}
    for (row, col), value in sorted(values.items()):
        rows.setdefault(row, []).append(value)
        cols.setdefault(col, []).append(value)
    return {f"{row + 1}": of_values(v) for row, v in rows.items()} | {
        letters(col): of_values(v) for col, v in cols.items()
    }
