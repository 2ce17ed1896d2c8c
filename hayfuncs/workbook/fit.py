"""Row heights and the headings of prompts, from what stands in them: a wrapped text is never cut, however narrow its column.

Spreadsheet programs fit rows to their text only where no height is stored, and not all do so when a
file is opened.  So each row with wrapped text gets the height that its longest text takes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from textwrap import shorten
from typing import Any

from xlsxwriter.utility import xl_pixel_width

from hayfuncs.workbook.model import Sheet, is_formula
from hayfuncs.workbook.styles import BODY, STYLES, properties

MEASURED = 11  # points, of the font that `xl_pixel_width` measures
WIDER = 1.1  # Arial's letters against those of that font
BOLD = 1.08
MONO = 8.8  # pixels of a letter of fixed width at 11 points
SIDES = 6  # pixels that the frame of a cell takes
INDENT = 9  # pixels of one step of indent
LINE = 1.3  # a line's height against the size of its letters
MOST_TITLE = 32  # letters of a prompt's heading
USUAL_HEIGHT, TALLEST = 15.0, 409.0  # points


def heights(sheet: Sheet, values: Mapping[tuple[str, int, int], Any]) -> dict[int, float]:
    """The height of each row that needs one: what the layout gives, or more where its text takes more.

    A font larger than the body's needs one too: not every program makes the row higher by itself.
    """
    found = dict(sheet.heights)
    for (row, col), cell in sheet.cells.items():
        shown = values.get((sheet.name, row, col)) if is_formula(cell) else cell.content
        size = STYLES[cell.style].get("font_size", BODY)
        if size > BODY and shown not in (None, ""):
            found[row] = max(found.get(row, USUAL_HEIGHT), round(size * LINE + 2, 1))
        if not isinstance(shown, str) or not STYLES[cell.style].get("text_wrap"):
            continue
        look = properties(cell.style, col)
        need = height(shown, sheet.pixels(col), look)
        if need > found.get(row, USUAL_HEIGHT):
            found[row] = need
    return found


def height(text: str, room: float, look: Mapping[str, Any]) -> float:
    """Points that a text takes in a column of so many pixels."""
    size = float(look["font_size"])
    inside = room - SIDES - INDENT * look.get("indent", 0)
    letters = "Mono" in str(look.get("font_name", ""))
    scale = size / MEASURED * (1 if letters else WIDER) * (BOLD if look.get("bold") else 1)
    lines = sum(_lines(part, inside / scale, letters) for part in text.split("\n"))
    return min(TALLEST, round(lines * size * LINE + 2, 1))


def _lines(text: str, room: float, mono: bool) -> int:
    """Lines of a paragraph, broken between words and inside a word that is wider than the column."""
    lines, used = 1, 0.0
    space = _width(" ", mono)
    for word in text.split(" "):
        width = _width(word, mono)
        if used and used + space + width > room:
            lines, used = lines + 1, 0.0
        used += width + (space if used else 0)
        while used > room > 0:
            lines, used = lines + 1, used - room
    return lines


@cache
def _width(word: str, mono: bool) -> float:
    return len(word) * MONO if mono else float(xl_pixel_width(word))


def heading(title: str) -> str:
    """What a prompt can be headed by: spreadsheet programs take 32 letters, and a cut word says nothing."""
    return (
        title
        if len(title) <= MOST_TITLE
        else shorten(re.split("[;,]", title)[0], MOST_TITLE, placeholder="", break_on_hyphens=False)
    )
