"""Cells turned into numbers and dates, or a plain reason why not.

A decimal comma and a day-month order belong to a whole file or column, never to one cell:
`1,234` or `4/3/2023` alone could be either, so it is refused unless another cell decides.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from hayfuncs.importers.model import AT_LEAST, AT_MOST, FIRST_YEAR, LAST_YEAR
from hayfuncs.importers.sheet import Cell

BLANKS = frozenset(
    [
        "",
        "-",
        "--",
        "---",
        "–",
        "—",
        "n/a",
        "na",
        "n.a.",
        "nd",
        "n.d.",
        "none",
        "null",
        "nan",
        ".",
        "*",
        "#n/a",
        "not tested",
        "not reported",
    ]
)
# what a cell of a poison may say for "nobody has looked"; all else that is no number is asked about or refused
POISON_BLANKS = frozenset(
    ["", "-", "--", "---", "–", "—", "n/a", "na", "n.a.", "null", "nan", "not tested", "not reported"]
)
NOT_DETECTED = frozenset(
    ["not detected", "none detected", "not detectable", "undetected", "nondetect", "non-detect", "non detect"]
)
ND = frozenset(["nd", "n.d.", "n.d", "n/d", "none"])  # not detected, or not determined
SIGNS = (
    (
        AT_LEAST,
        re.compile(r"(?:>=?|≥|&gt;=?|at least|more than|greater than|over|above)\s*(.+)|(.+?)\s*(?:\+|or more)"),
    ),
    (AT_MOST, re.compile(r"(?:<=?|≤|&lt;=?|at most|less than|below|under)\s*(.+)|(.+?)\s*or less")),
)
PLAIN = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,3})?", re.ASCII)
CERTAIN_COMMA = re.compile(r"[+-]?(\d*,(\d{1,2}|\d{4,})|0,\d{3}|\d{4,},\d+|\d{1,3}(\.\d{3})+,\d+)", re.ASCII)
CERTAIN_POINT = re.compile(r"[+-]?(\d*\.(\d{1,2}|\d{4,})|0\.\d{3}|\d{4,}\.\d+|\d{1,3}(,\d{3})+\.\d+)", re.ASCII)
EITHER = re.compile(r"[+-]?\d{1,3}(,\d{3})+", re.ASCII)
GROUPED = {
    ".": re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d*)?", re.ASCII),
    ",": re.compile(r"[+-]?\d{1,3}(\.\d{3})+(,\d*)?", re.ASCII),
}
SPACED = re.compile(r"[+-]?\d{1,3}([ '\u2019]\d{3})+([.,]\d*)?")  # 1 250 and 1'250: thousands kept apart
PIVOT = 70  # two-digit years below this are 20.., the others 19..


class Unreadable(ValueError):
    """A cell that is no number or no date; the text says why."""


def is_blank(cell: Cell) -> bool:
    return isinstance(cell, str) and cell.casefold() in BLANKS


def _squeezed(cell: str) -> str:
    text = cell.replace("\u2212", "-").replace("\u00a0", " ").replace("\u202f", " ").strip()
    return text.removesuffix("%").strip().casefold()


def decimal_mark(cells: Iterable[Cell]) -> str:
    """`.` or `,`, or a reason to ask: `both` when cells contradict, `unsure` when none decides."""
    comma = point = unsure = False
    for cell in cells:
        if not isinstance(cell, str) or not ("." in cell or "," in cell):
            continue
        text = _squeezed(_signed(cell)[1])
        comma = comma or bool(CERTAIN_COMMA.fullmatch(text))
        point = point or bool(CERTAIN_POINT.fullmatch(text))
        unsure = unsure or bool(EITHER.fullmatch(text))
    if comma and point:
        return "both"
    if comma:
        return ","
    return "unsure" if unsure and not point else "."


def number(cell: Cell, mark: str = ".") -> float | None:
    """The number in a cell, None for a blank one; `mark` is the file's decimal mark."""
    if isinstance(cell, float):
        if math.isfinite(cell):
            return cell
        raise Unreadable("not a number")
    if isinstance(cell, dt.date):
        raise Unreadable("a date where a number is needed")
    if mark == "." and PLAIN.fullmatch(cell):
        value = float(cell)
        if math.isfinite(value):
            return value
    if is_blank(cell):
        return None
    text = _squeezed(cell)
    if _signed(text)[0]:
        raise Unreadable("only a limit, not a value")
    if text.startswith("#"):
        raise Unreadable("the error of a spreadsheet formula")
    if GROUPED[mark].fullmatch(text):
        text = text.replace("," if mark == "." else ".", "")
    elif SPACED.fullmatch(text):
        text = re.sub(r"[ '\u2019]", "", text)
    if mark == ",":
        if "." in text:
            raise Unreadable("not a number with a decimal comma")
        text = text.replace(",", ".")
    if not PLAIN.fullmatch(text):
        raise Unreadable("not a number")
    value = float(text)
    if not math.isfinite(value):
        raise Unreadable("too large")
    return value


def _signed(cell: str) -> tuple[str, str]:
    """`at least` or `at most` and the rest of the cell; without a sign, nothing and the cell."""
    text = cell.casefold().strip()
    for word, pattern in SIGNS:
        found = pattern.fullmatch(text)
        if found:
            return word, found[1] or found[2]
    return "", cell


class Doubtful(Unreadable):
    """A cell that may mean two things, such as ND."""


@dataclass(frozen=True)
class Amount:
    """A poison's number, and whether it is only a limit: `at least`, `at most`, or empty."""

    value: float
    limit: str = ""


def amount(cell: Cell, mark: str = ".", nd: str = "") -> Amount | None:
    """What a cell of a poison holds; None where nobody has looked, Unreadable where that is not certain.

    `nd` is what the user says that ND stands for: `not detected` or `not tested`.
    """
    text = " ".join(cell.casefold().split()) if isinstance(cell, str) else ""
    if isinstance(cell, str) and text in POISON_BLANKS:
        return None
    if text in NOT_DETECTED or (text in ND and nd == ND_MEANS[0]):
        return Amount(0.0)
    if text in ND:
        if nd:
            return None
        raise Doubtful("not detected, or not determined?")
    if isinstance(cell, str) and text in BLANKS:
        raise Unreadable("no number")
    limit, rest = _signed(text) if isinstance(cell, str) else ("", "")
    value = number(rest if limit else cell, mark)
    if value is None:
        raise Unreadable("no number")
    return Amount(value, limit)


def is_silent(cell: Cell) -> bool:
    """Whether a cell of a poison says that nobody has looked; ND and the like do not say so."""
    return isinstance(cell, str) and " ".join(cell.casefold().split()) in POISON_BLANKS


ND_MEANS = ("not detected", "not tested")
ORDERS = {"dmy": "day first", "mdy": "month first"}
SLASHED = re.compile(r"(\d{1,2})[/.\-](\d{1,2})[/.\-](\d{4}|\d{2})", re.ASCII)
ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", re.ASCII)
PACKED = re.compile(r"(\d{4})(\d{2})(\d{2})", re.ASCII)
CLOCK = re.compile(
    r"[T ,]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*([ap]\.?m\.?)?\s*(z|utc|gmt|[+-]\d{2}:?\d{2})?$", re.IGNORECASE | re.ASCII
)
NAMED = ("%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y", "%d %b %y", "%d %B %y", "%Y %b %d", "%Y %B %d")


def _undated(cell: str) -> str:
    return CLOCK.sub("", cell).strip()


def day_order(cells: Iterable[Cell]) -> str:
    """`dmy` or `mdy` for a column of dates, `both` when they contradict, `unsure` when none decides."""
    day = month = unsure = False
    for cell in cells:
        found = SLASHED.fullmatch(_undated(cell)) if isinstance(cell, str) else None
        if found:
            first, second = int(found[1]), int(found[2])
            day = day or (first > 12 >= second)
            month = month or (second > 12 >= first)
            unsure = unsure or (first <= 12 and second <= 12 and first != second)
    if day and month:
        return "both"
    if day or month:
        return "dmy" if day else "mdy"
    return "unsure" if unsure else "dmy"


def date(cell: Cell, order: str = "dmy") -> dt.date | None:
    """The date in a cell, None for a blank one; `order` is the column's day and month order."""
    if isinstance(cell, dt.date):
        return _sane(cell)
    if isinstance(cell, float):
        raise Unreadable("a number where a date is needed")
    if is_blank(cell):
        return None
    text = _undated(cell)
    found = ISO.fullmatch(text) or PACKED.fullmatch(text)
    try:
        if found:
            return _sane(dt.date(int(found[1]), int(found[2]), int(found[3])))
        found = SLASHED.fullmatch(text)
        if found:
            year = int(found[3])
            if len(found[3]) == 2:
                year += 2000 if year < PIVOT else 1900
            day, month = (found[1], found[2]) if order == "dmy" else (found[2], found[1])
            return _sane(dt.date(year, int(month), int(day)))
    except ValueError as error:
        raise error if isinstance(error, Unreadable) else Unreadable("no such day") from None
    words = re.sub(r"(?<=\d)(st|nd|rd|th)\b", "", re.sub(r"[\s,./\-]+", " ", text.casefold())).strip()
    words = re.sub(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]* ", "", words).replace("sept ", "sep ")
    for form in NAMED:
        try:
            return _sane(dt.datetime.strptime(words, form).date())
        except Unreadable:
            raise
        except ValueError:
            continue
    raise Unreadable("not a date")


def _sane(day: dt.date) -> dt.date:
    if FIRST_YEAR <= day.year <= LAST_YEAR:
        return day
    raise Unreadable("a year that cannot be")
