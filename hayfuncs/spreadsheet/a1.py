"""Cell addresses, the one place that reads and writes them; and cells by number.

One integer says sheet, row and column, so that a million cells stay small.  Sheets, rows and columns count from 0 inside; addresses shown to people are `Sheet!B7`.
"""

from __future__ import annotations

import re
from functools import cache

from hayfuncs.spreadsheet.limits import COLUMNS, ROWS

Node = int
COLUMN_BITS, ROW_BITS = 14, 20
COLUMN_MASK, ROW_MASK = (1 << COLUMN_BITS) - 1, (1 << ROW_BITS) - 1
ADDRESS = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})\Z")
PLAIN_SHEET = re.compile(r"[A-Za-z_][A-Za-z0-9_.]*\Z")
LOOKS_LIKE_CELL = re.compile(r"(?:[A-Za-z]{1,3}[0-9]{1,7}|[rR][0-9]*(?:[cC][0-9]*)?|[cC][0-9]*)\Z")


class BadAddress(ValueError):
    """An address that is no cell of the grid."""


def node(sheet: int, row: int, col: int) -> Node:
    return (sheet << (ROW_BITS + COLUMN_BITS)) | (row << COLUMN_BITS) | col


def place(at: Node) -> tuple[int, int, int]:
    """Sheet, row and column of a node."""
    return at >> (ROW_BITS + COLUMN_BITS), (at >> COLUMN_BITS) & ROW_MASK, at & COLUMN_MASK


@cache
def letters(col: int) -> str:
    text = ""
    col += 1
    while col:
        col, rest = divmod(col - 1, 26)
        text = chr(65 + rest) + text
    return text


@cache
def column(text: str) -> int:
    """The number of a column's letters; beyond XFD it is no column."""
    number = 0
    for letter in text.upper():
        number = number * 26 + ord(letter) - 64
    if not 1 <= number <= COLUMNS:
        raise BadAddress(f"{text} is no column")
    return number - 1


def cell(text: str) -> tuple[int, int]:
    """Row and column of `B7` or `$B$7`."""
    match = ADDRESS.match(text)
    if match is None:
        raise BadAddress(f"{text[:40]} is no cell")
    row = int(match.group(2))
    if not 1 <= row <= ROWS:
        raise BadAddress(f"{text} is outside the grid")
    return row - 1, column(match.group(1))


def area(text: str) -> tuple[int, int, int, int]:
    """First row, first column, last row and last column of `B7` or `B7:C9`."""
    first, _, last = text.partition(":")
    row, col = cell(first)
    last_row, last_col = cell(last) if last else (row, col)
    return min(row, last_row), min(col, last_col), max(row, last_row), max(col, last_col)


def a1(row: int, col: int, absolute: str = "") -> str:
    """`B7`, or with `absolute` holding "r" and/or "c": `$B$7`, `B$7`, `$B7`."""
    return f"{'$' if 'c' in absolute else ''}{letters(col)}{'$' if 'r' in absolute else ''}{row + 1}"


def a1_area(row: int, col: int, last_row: int, last_col: int) -> str:
    first, last = a1(row, col), a1(last_row, last_col)
    return first if first == last else f"{first}:{last}"


def quoted(sheet: str) -> str:
    """A sheet's name as a formula writes it."""
    if PLAIN_SHEET.match(sheet) and not LOOKS_LIKE_CELL.match(sheet):
        return sheet
    return "'" + sheet.replace("'", "''") + "'"


def split_address(text: str) -> tuple[str, str]:
    """Sheet (empty when not said) and address of `Ration!B26` or `'Feed book'!B8`."""
    sheet, mark, rest = text.strip().rpartition("!")
    if not mark:
        return "", rest
    if len(sheet) > 1 and sheet[0] == sheet[-1] == "'":
        sheet = sheet[1:-1].replace("''", "'")
    return sheet, rest


def place_of(ref: str) -> tuple[str, int, int, int, int]:
    """Sheet, first row, first column, last row and last column of `Lots!$A$8:$A$17` or of one cell."""
    sheet, rest = split_address(ref)
    if not sheet:
        raise BadAddress(f"{ref[:40]} names no sheet")
    return sheet, *area(rest)
