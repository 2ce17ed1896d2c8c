"""What a workbook says of itself in its file: title, maker, date, and its language, version and edition."""

from __future__ import annotations

import datetime
from typing import Any

from hayfuncs import __version__
from hayfuncs.workbook.model import Book

RELEASE_DATE = datetime.datetime(2026, 11, 25)  # of this version: a file must not carry a clock
LANGUAGE = "en-US"  # of all words, for a program that reads them aloud


def tell(file: Any, book: Book) -> None:
    file.set_properties(
        {
            "title": book.title,
            "subject": "Hay lots, beef cows and supplement",
            "author": "hayfuncs",
            "keywords": f"hay, forage test, beef cow, supplement, hayfuncs {__version__}, {book.edition} edition",
            "comments": f"hayfuncs {__version__}, {book.edition} edition, {book.kind} workbook",
            "created": RELEASE_DATE,
        }
    )
    for name, text in (("Language", LANGUAGE), ("Version", __version__), ("Edition", book.edition)):
        file.set_custom_property(name, text)  # these have no place among the others
