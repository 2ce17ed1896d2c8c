"""Where a reference of the model stands, as the engine counts: sheet, row and column from 1."""

from __future__ import annotations

import re


def place(ref: str) -> tuple[str, int, int]:
    match = re.fullmatch(r"'?([^'!]+)'?!\$?([A-Z]+)\$?(\d+)", ref)
    assert match, ref
    col = 0
    for letter in match.group(2):
        col = col * 26 + ord(letter) - 64
    return match.group(1), int(match.group(3)), col
