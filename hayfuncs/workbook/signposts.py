"""Texts that send a reader to a part of the workbook: in the file they name its tab too.

A layout module writes "see Hazards"; only the file knows on which tab Hazards stands.  So the words are completed where the
references are: "see Hazards (tab What could hurt)".
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from hayfuncs.workbook.model import Place
from hayfuncs.workbook.tabs import TABS

LEFT_ALONE = frozenset({"head", "unit", "section", "title", "label", "link"})  # looks of words that send nobody
WAYS = ("See", "Read", "On", "In")  # words with a capital that send all the same
ROW_OF = re.compile(r"[Rr]ow of $")


class Signposts:
    """The names of all parts and tabs, and what is said of a part that is no tab itself."""

    def __init__(self, places: Mapping[str, Place]) -> None:
        self.places = places
        self.known: dict[tuple[str, str], str] = {}
        tabs = {place.tab for place in places.values()} | {tab.name for tab in TABS}
        names = sorted({*places, *tabs, *(name for tab in TABS for name in tab.sheets)}, key=len, reverse=True)
        self.parts = {name for name in places if name not in tabs}
        named = "|".join(map(re.escape, names))
        # after a word in small letters, a comma or a bracket; not where it is part of a longer name or a key
        self.sent = re.compile(
            rf"(?:(?<=[a-z] )|(?<=[a-z][,;] )|(?<=; )|(?<=\())(?P<sheet>sheets? )?(?P<name>{named})(?![\w/!]| of\b| list\b| \(tab|, tab| \(this)"
        )

    def said(self, text: str, home: str) -> str:
        """The same words, each part that they send to with its tab; `home` is the part where they stand."""
        if not self.parts:
            return text
        if (text, home) not in self.known:
            self.known[text, home] = self.sent.sub(lambda found: self._with_tab(found, home), text)
        return self.known[text, home]

    @staticmethod
    def _is_no_way(sheet: str | None, before: str, with_sheet: str) -> bool:
        """A longer name ("North Bench"), or a row of the part."""
        word = before.split()[-1].lstrip("(") if before.split() else ""
        longer = word[:1].isupper() and word[-1:].isalpha() and word not in WAYS and not sheet
        return longer or ROW_OF.search(with_sheet) is not None

    def _with_tab(self, found: re.Match[str], home: str) -> str:
        name, text = found["name"], found.string
        if name not in self.parts or self._is_no_way(
            found["sheet"], text[: found.start()], text[: found.start("name")]
        ):
            return found[0]
        tab = self.places[name].tab
        here = home in self.places and tab == self.places[home].tab
        where = "this tab" if here else f"tab {tab}"
        sheet = "part " if found["sheet"] and not found["sheet"].startswith("sheets") else found["sheet"] or ""
        before = text[: found.start()]
        inside = before.count("(") > before.count(")")
        return f"{sheet}{name}{f', {where}' if inside else f' ({where})'}"


def on_tab(part: str) -> str:
    """A part with its tab, for what the terminal says."""
    tab = next(tab.name for tab in TABS if part in tab.sheets)
    return f"{part} (tab {tab})"
