"""The first word of a caution as a word of its own: Clear, Caution, Danger, or not tested."""

from __future__ import annotations

from hayfuncs.workbook.model import Flagging, Formula, Sheet

WORDS = ("not tested", "Clear", "Caution", "Danger")
DANGERS = "danger "  # and how many: the words of a lot's cautions in all
UNKNOWN = "not worked out"  # and how many: hazards whose cell shows an error
UNSAID = "not noted"  # nobody has said that something was seen; a look is no test
LOOK = "Look"  # a note, which has no level


def level(text: str) -> Formula:
    """A formula for the level of the caution at `text`; anything that is no caution was not tested."""
    first = f"MID({text},1,2)"
    listed = ",".join(f'"{w}"' for w in WORDS)
    return Formula(f'=CHOOSE(1+({first}="Cl")+2*({first}="Ca")+3*({first}="Da"),{listed})')


def seen_level(text: str) -> Formula:
    """The level of what was seen; no words where nobody has said."""
    return Formula(f'=IF({text}="","{UNSAID}",{level(text).text.removeprefix("=")})')


def noted(text: str) -> Formula:
    """The same for a note: nothing said is clear."""
    return Formula(f'=IF({text}="","{WORDS[1]}",IF(MID({text},1,4)="not ","{WORDS[0]}","{LOOK}"))')


def flag(sheet: Sheet, area: tuple[int, int, int, int]) -> None:
    sheet.flags += [
        Flagging(area, "Danger", "flag_bad"), Flagging(area, "Caution", "flag_warn"), Flagging(area, LOOK, "flag_warn"),
        Flagging(area, "Clear", "flag_good"),
    ]  # fmt: skip


def flag_dangers(sheet: Sheet, area: tuple[int, int, int, int]) -> None:
    """Where dangers are counted in words ("danger 1, not tested 4"; none is not said), or a hazard shows an error."""
    sheet.flags.append(Flagging(area, DANGERS, "flag_bad"))
    sheet.flags.append(Flagging(area, UNKNOWN, "flag_bad"))
