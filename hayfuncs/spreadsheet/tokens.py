"""Formulas in pieces, and the same formula in every row recognised as one.

`pieces` cuts a formula into tokens in one pass; `pattern` writes its references relative to
the cell, so that a column of copies has one text (R1C1 form).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from hayfuncs.spreadsheet.a1 import BadAddress, a1, a1_area, column, letters, quoted
from hayfuncs.spreadsheet.limits import COLUMNS, FORMULA, ROWS

SHEET = r"(?:'[^']*(?:''[^']*)*'|(?:\[[0-9]+\])?[^\W\d][\w.]*(?::[^\W\d][\w.]*)?|\[[0-9]+\])!"
CELL = r"\$?[A-Za-z]{1,3}\$?[0-9]{1,7}"
PIECE = re.compile(
    rf"""
    (?P<text>"[^"]*(?:""[^"]*)*")
  | (?P<ref>(?P<sheet>{SHEET})?(?P<area>{CELL}(?::{CELL})?
      | \$?[A-Za-z]{{1,3}}:\$?[A-Za-z]{{1,3}} | \$?[0-9]{{1,7}}:\$?[0-9]{{1,7}})(?![\w.(\[!$?]))
  | (?P<number>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)
  | (?P<call>[^\W\d][\w.]*\()
  | (?P<table>[^\W\d][\w.]*\[(?:[^\[\]]|\[[^\[\]]*\])*\])
  | (?P<error>(?:{SHEET})?\#(?:NULL!|DIV/0!|VALUE!|REF!|NAME\?|NUM!|N/A|GETTING_DATA|SPILL!|CALC!
      | FIELD!|BLOCKED!|CONNECT!|BUSY!|UNKNOWN!))
  | (?P<name>(?:{SHEET})?[^\W\d][\w.?\\]*)
  | (?P<space>[ \t\r\n]+)
  | (?P<op><>|<=|>=|[-+*/^&=<>%(),;:{{}}@\#])
    """,
    re.VERBOSE,
)
CORNER = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)([0-9]{1,7})\Z")
ROW_FIXED, COL_FIXED, LAST_ROW_FIXED, LAST_COL_FIXED = 1, 2, 4, 8


class Malformed(ValueError):
    """A text that is no formula the audit can read."""


class Piece(NamedTuple):
    kind: str
    text: str


class CellRef(NamedTuple):
    """A cell or an area as a formula at one place names it; `fixed` holds the dollar signs."""

    sheet: str | None
    row: int
    col: int
    last_row: int
    last_col: int
    fixed: int
    single: bool

    def moved(self, rows: int, cols: int) -> CellRef:
        """The same reference in a copy of the formula, so many rows and columns away."""
        fixed = self.fixed
        return CellRef(
            self.sheet,
            self.row if fixed & ROW_FIXED else self.row + rows,
            self.col if fixed & COL_FIXED else self.col + cols,
            self.last_row if fixed & LAST_ROW_FIXED else self.last_row + rows,
            self.last_col if fixed & LAST_COL_FIXED else self.last_col + cols,
            fixed,
            self.single,
        )

    @property
    def external(self) -> bool:
        return self.sheet is not None and self.sheet.startswith("[")

    def text(self) -> str:
        where = "" if self.sheet is None else quoted(self.sheet) + "!"
        return where + a1_area(self.row, self.col, self.last_row, self.last_col)


def _cut(formula: str) -> Iterator[re.Match[str]]:
    """Every piece where it stands, spaces too; Malformed at the first that is none."""
    at, end = 0, len(formula)
    match = PIECE.match
    while at < end:
        piece = match(formula, at)
        if piece is None:
            raise Malformed(f"cannot be read from {formula[at : at + 20]!r} on")
        yield piece
        at = piece.end()


def pieces(formula: str) -> list[Piece]:
    """The formula's tokens, spaces left out; Malformed where it cannot be one."""
    if len(formula) > FORMULA:
        raise Malformed(f"a formula of {len(formula):,} characters; at most {FORMULA:,} are possible")
    return [Piece(p.lastgroup or "", p.group()) for p in _cut(formula) if p.lastgroup != "space"]


def bare_truths(given: list[Piece]) -> list[Piece]:
    """TRUE() and FALSE(), as some programs spell them, as TRUE and FALSE."""
    out: list[Piece] = []
    for piece in given:
        if piece.text == ")" and out and out[-1].text.upper() in ("TRUE(", "FALSE("):
            out[-1] = Piece("name", out[-1].text[:-1])
        else:
            out.append(piece)
    return out


def sheet_of(text: str) -> str:
    """The sheet's name out of `Lots!` or `'Feed book'!`."""
    text = text[:-1]
    return text[1:-1].replace("''", "'") if text.startswith("'") else text


@lru_cache(maxsize=200_000)
def reference(text: str) -> CellRef:
    """A reference token as numbers."""
    where, mark, area = text.rpartition("!")
    sheet = sheet_of(where + mark) if mark else None
    first, _, last = area.partition(":")
    try:
        if not last:
            row, col, fixed = _corner(first)
            return CellRef(sheet, row, col, row, col, fixed | fixed << 2, True)
        if CORNER.match(first):
            row, col, fixed = _corner(first)
            last_row, last_col, last_fixed = _corner(last)
            fixed |= last_fixed << 2
        elif first.lstrip("$").isdigit():  # whole rows
            row, last_row = int(first.lstrip("$")) - 1, int(last.lstrip("$")) - 1
            col, last_col = 0, COLUMNS - 1
            fixed = (first[0] == "$") * ROW_FIXED | (last[0] == "$") * LAST_ROW_FIXED | COL_FIXED | LAST_COL_FIXED
        else:  # whole columns
            col, last_col = column(first.lstrip("$")), column(last.lstrip("$"))
            row, last_row = 0, ROWS - 1
            fixed = (first[0] == "$") * COL_FIXED | (last[0] == "$") * LAST_COL_FIXED | ROW_FIXED | LAST_ROW_FIXED
    except (BadAddress, ValueError) as error:  # BadAddress is a ValueError with its own words
        raise Malformed(str(error) if isinstance(error, BadAddress) else f"{text} is no reference") from None
    if row > last_row:  # $B$9:$B8 means the same area; each dollar sign stays with its corner
        row, last_row = last_row, row
        fixed = fixed & ~(ROW_FIXED | LAST_ROW_FIXED) | (fixed & ROW_FIXED) << 2 | (fixed & LAST_ROW_FIXED) >> 2
    if col > last_col:
        col, last_col = last_col, col
        fixed = fixed & ~(COL_FIXED | LAST_COL_FIXED) | (fixed & COL_FIXED) << 2 | (fixed & LAST_COL_FIXED) >> 2
    if row < 0 or last_row >= ROWS:
        raise Malformed(f"{text} is outside the grid")
    return CellRef(sheet, row, col, last_row, last_col, fixed, False)


def _corner(text: str) -> tuple[int, int, int]:
    match = CORNER.match(text)
    if match is None:
        raise BadAddress(f"{text} is no cell")
    row = int(match.group(4))
    if not 1 <= row <= ROWS:
        raise BadAddress(f"{text} is outside the grid")
    return row - 1, column(match.group(2)), bool(match.group(3)) * ROW_FIXED | bool(match.group(1)) * COL_FIXED


def relative(ref: CellRef, row: int, col: int) -> str:
    fixed = ref.fixed
    first = (f"R{ref.row + 1}" if fixed & ROW_FIXED else f"R[{ref.row - row}]") + (
        f"C{ref.col + 1}" if fixed & COL_FIXED else f"C[{ref.col - col}]"
    )
    if ref.single:
        return first
    last = (f"R{ref.last_row + 1}" if fixed & LAST_ROW_FIXED else f"R[{ref.last_row - row}]") + (
        f"C{ref.last_col + 1}" if fixed & LAST_COL_FIXED else f"C[{ref.last_col - col}]"
    )
    return f"{first}:{last}"


# strings and references only: a formula is cut at these, and the rest is kept as it stands
CUT = re.compile(
    rf"""("[^"]*"|(?<![\w.$'\]!?\\])(?<![0-9.][eE][+-])(?:{SHEET})?(?:{CELL}(?::{CELL})?|\$?[A-Za-z]{{1,3}}:\$?[A-Za-z]{{1,3}}|"""
    r"""\$?[0-9]{1,7}:\$?[0-9]{1,7})(?![\w.(\[!$?]))"""
)
_ABSOLUTE: dict[str, str] = {}  # references with every dollar sign read the same in every cell


def pattern(formula: str, row: int, col: int) -> str:
    """The formula in R1C1 form as it stands at a cell; what cannot be read stays as it is."""
    parts = CUT.split(formula)
    for i in range(1, len(parts), 2):
        text = parts[i]
        if text[0] == '"':
            continue
        known = _ABSOLUTE.get(text)
        if known is None:
            try:
                ref = reference(text)
            except Malformed:
                continue
            known = text[: text.rfind("!") + 1] + relative(ref, row, col)
            if ref.fixed == 15 and len(_ABSOLUTE) < 100_000:
                _ABSOLUTE[text] = known
        parts[i] = known
    for i in range(0, len(parts), 2):
        if " " in parts[i] and "'" not in parts[i]:
            parts[i] = parts[i].replace(" ", "")
    return "".join(parts)


def moved(formula: str, rows: int, cols: int) -> str:
    """The formula as a copy so many rows and columns away has it (a shared formula's other cells)."""
    try:
        cut = list(_cut(formula))
    except Malformed:
        return formula
    return "".join(
        (p.group("sheet") or "") + written(reference(p.group()).moved(rows, cols))
        if p.lastgroup == "ref"
        else p.group()
        for p in cut
    )


def on_sheet(formula: str, sheet: str) -> str:
    """The formula as another sheet has it: references that name no sheet are to this one."""
    where = quoted(sheet) + "!"
    parts = CUT.split(formula)
    parts[1::2] = [text if text[0] == '"' or "!" in text else where + text for text in parts[1::2]]
    return "".join(parts)


def written(ref: CellRef) -> str:
    """A reference with its dollar signs, without its sheet."""

    def corner(row: int, col: int, fixed: int) -> str:
        if not (0 <= row < ROWS and 0 <= col < COLUMNS):
            return "#REF!"
        return a1(row, col, "r" * bool(fixed & ROW_FIXED) + "c" * bool(fixed & COL_FIXED))

    first_col, last_col = "$" * bool(ref.fixed & COL_FIXED), "$" * bool(ref.fixed & LAST_COL_FIXED)
    first_row, last_row = "$" * bool(ref.fixed & ROW_FIXED), "$" * bool(ref.fixed & LAST_ROW_FIXED)
    whole_columns, whole_rows = ROW_FIXED | LAST_ROW_FIXED, COL_FIXED | LAST_COL_FIXED
    if ref.fixed & whole_columns == whole_columns and ref.row == 0 and ref.last_row == ROWS - 1:
        if not (ref.col >= 0 and ref.last_col < COLUMNS):
            return "#REF!"
        return f"{first_col}{letters(ref.col)}:{last_col}{letters(ref.last_col)}"
    if ref.fixed & whole_rows == whole_rows and ref.col == 0 and ref.last_col == COLUMNS - 1:
        if not (ref.row >= 0 and ref.last_row < ROWS):
            return "#REF!"
        return f"{first_row}{ref.row + 1}:{last_row}{ref.last_row + 1}"
    first = corner(ref.row, ref.col, ref.fixed)
    return first if ref.single else f"{first}:{corner(ref.last_row, ref.last_col, ref.fixed >> 2)}"
