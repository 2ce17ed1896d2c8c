"""A text file of cells: which encoding, which separator, then the rows.

Nothing is guessed past what the bytes say: a mark at the start of the file decides first,
then strict UTF-8, and only then the reader charset-normalizer.  The separator is the one
under which the most headings are known words and the most rows are as wide as the headings.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Callable
from itertools import islice
from pathlib import Path

from charset_normalizer import from_bytes

from hayfuncs.contract.files import UserError
from hayfuncs.importers.faults import quoted

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
SAMPLE_ROWS = 200  # rows looked at to tell the separator
SAMPLE_CHARS = 200_000
ENCODING_SAMPLE = 100_000  # bytes that the encoding is told from
MAX_ROWS = 100_000
MAX_COLUMNS = 500
MAX_CELL = 32_767  # characters that a spreadsheet cell can hold
# everything a terminal or a workbook cannot carry; tab, newline and page feed are only spaces
CONTROL = re.compile("[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
CSV_ERRORS = {  # what Python's reader says -> what a user can look for
    "unexpected end": "a quotation mark is opened and never closed",
    "expected after": "more text follows a closing quotation mark",
    "field limit": "a cell is far too long",
}
HIGH = re.compile("[^\x00-\x7f]")
HIGH_RUN = re.compile("[^\x00-\x7f]{3}")
SPACES = re.compile(r"\s+")


def decode(data: bytes, path: Path) -> tuple[str, str]:
    """The text and the name of its encoding."""
    for mark, codec, name in MARKS:
        if data.startswith(mark):
            try:
                return data.decode(codec).lstrip("\ufeff"), name
            except UnicodeDecodeError:
                raise UserError(
                    f"{path.name} begins as {name} text but is cut off or damaged; export it again"
                ) from None
    half = len(data) // 2
    if half and data.count(0) > half // 2:  # UTF-16 without its mark: every second byte of plain text is 0
        codec = "utf-16-le" if data[1::2].count(0) >= data[0::2].count(0) else "utf-16-be"
        try:
            return data.decode(codec), "UTF-16"
        except UnicodeDecodeError:
            pass
    if b"\x00" in data:
        raise UserError(f"{path.name} holds NUL bytes, so it is no text table; export it as .csv or .xlsx")
    try:
        return data.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        pass
    try:  # western European text first: it is by far the commonest, and short files fool any detector
        western = data.decode("cp1252")
        if not CONTROL.search(western) and _reads_western(western):
            return western, "Windows-1252"
    except UnicodeDecodeError:
        pass
    best = from_bytes(data[:ENCODING_SAMPLE]).best()
    if best is not None:
        try:
            return data.decode(best.encoding), best.encoding.replace("_", "-")
        except (UnicodeDecodeError, LookupError):
            pass
    raise UserError(f"{path.name} is in no text encoding that can be told; save it as UTF-8 .csv or as .xlsx")


def _reads_western(text: str) -> bool:
    """Whether the characters above ASCII stand as in western words: few, and never three in a row."""
    return len(HIGH.findall(text)) <= max(2, len(text) // 20) and not HIGH_RUN.search(text)


def separator(text: str, knows: Callable[[str], bool]) -> str:
    """The separator under which the file reads as a table."""
    sample = text[:SAMPLE_CHARS]
    best = (",", (0, 0.0, 0))
    for mark in SEPARATORS:
        if mark not in sample:
            continue
        try:
            rows = [
                r for r in islice(csv.reader(io.StringIO(sample, newline=""), delimiter=mark), SAMPLE_ROWS) if any(r)
            ]
        except csv.Error:
            continue
        if not rows:
            continue
        known = [sum(knows(cell) for cell in row) for row in rows[:30]]
        head = rows[known.index(max(known))]
        wide = len(head)
        alike = sum(len(row) == wide for row in rows) / len(rows) if wide > 1 else 0.0
        score = (max(known), alike, wide)
        if score > best[1]:
            best = (mark, score)
    return best[0]


def rows_of(data: bytes, path: Path, knows: Callable[[str], bool]) -> tuple[list[list[str]], str, bool]:
    """The cells by row, how the file was read, and whether its last line is ended."""
    text, encoding = decode(data, path)
    text = text.rstrip("\x1a")
    if not text.strip():
        raise UserError(f"{path.name} is empty; export it again")
    declared = re.match(r"sep=([,;\t|])(\r\n|\r|\n)", text)  # a line for spreadsheets, which do not count it as a row
    if declared:
        text = text[declared.end() :]
    mark = declared.group(1) if declared else separator(text, knows)
    rows: list[list[str]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    try:
        for cells in reader:
            rows.append([tidy(cell, path, len(rows) + 1, place) for place, cell in enumerate(cells, start=1)])
            if len(rows) > MAX_ROWS:
                raise UserError(f"{path.name} has more than {MAX_ROWS:,} rows; split it")
            if len(cells) > MAX_COLUMNS:
                raise UserError(
                    f"{path.name}: row {len(rows)} has more than {MAX_COLUMNS} cells; is it the right file?"
                )
    except csv.Error as error:
        why = next(
            (words for sign, words in CSV_ERRORS.items() if sign in str(error)), "its quotation marks do not match"
        )
        raise UserError(
            f"{path.name}: row {len(rows) + 1} cannot be read: {why}; mend it or export the file again"
        ) from None
    return rows, f"{encoding} text, separated by {SEPARATORS[mark]}", text.endswith(("\n", "\r"))


def tidy(cell: str, path: Path, row: int, place: int) -> str:
    """One cell on one line; characters that no name or number holds are refused."""
    if len(cell) > MAX_CELL:
        raise UserError(
            f"{path.name}: row {row}, cell {place} holds {len(cell):,} characters; at most {MAX_CELL:,} are allowed"
        )
    bad = CONTROL.search(cell)
    if bad:
        raise UserError(
            f"{path.name}: row {row}, cell {place} ({quoted(cell)}) holds the control character number {ord(bad.group())}; "
            "remove it or export the file again"
        )
    if not cell.isascii():  # soft hyphens and the like, which nobody sees: two names that look alike are one
        cell = "".join(c for c in cell if c.isprintable() or c.isspace())
    return SPACES.sub(" ", cell).strip()
