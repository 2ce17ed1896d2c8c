"""Printing to a stream that has fewer signs than the text: a plain spelling takes the place of what it cannot show.

A file, a pipe or an old console on Windows takes cp1252 or cp437, a bare system takes ASCII.
"""

from __future__ import annotations

import codecs
import io
import unicodedata
from typing import TextIO

import typer

SPELLED = {
    "✓": "ok", "✗": "x", "×": "x", "·": "*", "–": "-", "—": "-", "−": "-", "…": "...", "≥": ">=", "≤": "<=", "±": "+-",
    "→": "->", "°": " deg ", "‘": "'", "’": "'", "“": '"', "”": '"', "µ": "u", "½": "1/2", "¼": "1/4", "¾": "3/4", "ß": "ss",
    "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "Ł": "L", "ł": "l", "€": "EUR", "\u00a0": " ", "\u202f": " ",
}  # fmt: skip
UNKNOWN = "?"  # what has no plain spelling, one for each sign
ERRORS = "hayfuncs.plain"
BARE = "hayfuncs-ascii"


def spelled(sign: str) -> str:
    """The sign in ASCII: its spelling, else its letter without the accent, else a question mark."""
    if sign in SPELLED:
        return SPELLED[sign]
    bare = "".join(c for c in unicodedata.normalize("NFKD", sign) if c.isascii())
    return bare or ("" if unicodedata.combining(sign) else UNKNOWN)


def _replaced(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(spelled, error.object[error.start : error.end])), error.end


def _bare(name: str) -> codecs.CodecInfo | None:
    """ASCII by another name: the command line's library writes UTF-8 to a stream that calls itself ASCII."""
    if name.replace("_", "-") != BARE:
        return None
    ascii_ = codecs.lookup("ascii")
    return codecs.CodecInfo(
        ascii_.encode, ascii_.decode, ascii_.streamreader, ascii_.streamwriter, ascii_.incrementalencoder,
        ascii_.incrementaldecoder, name=BARE,
    )  # fmt: skip


codecs.register_error(ERRORS, _replaced)
codecs.register(_bare)


def never_fail(*streams: TextIO | None) -> None:
    """Let each stream replace what it cannot show; whatever is no ordinary text stream stays as it is."""
    for stream in streams:
        if isinstance(stream, io.TextIOWrapper):
            bare = codecs.lookup(stream.encoding).name == "ascii"
            stream.reconfigure(encoding=BARE if bare else None, errors=ERRORS)


def register(app: typer.Typer) -> None:
    """No verb of its own."""
