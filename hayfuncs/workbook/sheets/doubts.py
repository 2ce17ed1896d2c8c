"""What is typed and cannot be, or is odd: a word in its row, and a check that names the row.

What cannot be must be corrected.  What is odd is asked about: one word beside it accepts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hayfuncs.cow.classes import BRED, CATTLE, GROWING
from hayfuncs.forage import plausibility
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.grid import text
from hayfuncs.workbook.table import Column, asked, computed

ACCEPTED = "accepted"
ODD_BUT_RIGHT = "Odd but right"
ACCEPTS = (
    "Leave it empty. Where an odd value of this row is right, type the word in brackets: baleage, young, same, sure ..."
)
EMPTY = "a needed value is empty"
TWICE = "name used twice"
SURE = "sure"


@dataclass(frozen=True)
class Doubt:
    """One rule: its words, its test by keys of the row, and the word that accepts it, empty where nothing does.

    `lacks`: tests of cells that are needed, and what each is called: those that are empty are named behind the words.
    """

    says: str
    test: str
    word: str = ""
    lacks: tuple[tuple[str, str], ...] = ()

    @property
    def words(self) -> str:
        return f"{self.says} ({self.word})" if self.word else self.says


def _of_lab(key: str, says: str) -> Doubt:
    """A rule of the lab sheet, over the row's values of the dry matter."""
    rule = next(rule for rule in plausibility.RULES if rule.key == key)
    test = rule.expression
    for name in rule.fields:
        test = test.replace(f"{{{name}}}", DRY[name])
    given = ",".join(DRY[name] for name in rule.fields)
    test = f"IF(COUNT({given})={len(rule.fields)},{test},FALSE)"
    typed = ",".join(TYPED.get(name, DRY[name]) for name in rule.fields)
    if typed != given:  # nothing is worked out of an empty cell
        test = f"IF(COUNT({typed})={typed.count(',') + 1},{test},FALSE)"
    return Doubt(says, test, rule.word)


DRY = {
    "dm_pct": "{lab_dm_pct}",
    "cp_pct": "{cp}",
    "adf_pct": "{adf}",
    "ndf_pct": "{ndf}",
    "p_pct": "({lab_p_pct}*100/{divisor})",
}
TYPED = {"p_pct": "{lab_p_pct},{divisor}"}  # where the value of the dry matter is worked out in the rule itself
NEEDED = (
    ("forage", "forage"), ("basis", "basis"), ("lab_dm_pct", "dry matter"), ("lab_cp_pct", "protein"), ("lab_adf_pct", "ADF"), ("lab_ndf_pct", "NDF"),
)  # fmt: skip
CORE = ("lab_dm_pct", "lab_cp_pct", "lab_adf_pct", "lab_ndf_pct")
GROWS = "OR(" + ",".join(f'{{cattle_class}}="{word}"' for word in GROWING) + ")"
# thresholds: common practice, no source, wide enough that sound hay and cows pass without a question
LOTS = (
    (
        Doubt(EMPTY, '{counted}=""', lacks=tuple((f'{{{key}}}=""' if key in ("forage", "basis") else f"COUNT({{{key}}})=0", called) for key, called in NEEDED)),
        Doubt(TWICE, "SUMPRODUCT(--({local.name}={name}))>1"),
        _of_lab("fiber", "ADF above NDF, swapped"),
    ),
    (
        _of_lab("moisture", "dry matter under 60 %, moisture typed"),
        Doubt("dry matter above 98 %", "N({lab_dm_pct})>98", SURE),
        Doubt("protein under 2 %, 0.08 typed for 8", "AND(ISNUMBER({lab_cp_pct}),{lab_cp_pct}<2)", SURE),
        _of_lab("protein", "protein above ADF"),
        Doubt("TDN under 35 or above 80 %", "IF(ISNUMBER({tdn}),OR({tdn}<35,{tdn}>80),FALSE)", SURE),
        _of_lab("phosphorus", "phosphorus above 1 %"),
        Doubt(
            "lab values of another lot", f"COUNTIFS({','.join(f'{{local.{mark}}},{{{mark}}}' for mark in CORE)})>1",
            plausibility.SAME_ROWS,
        ),
    ),
)  # fmt: skip
_SAME = ",".join(f'{{cattle_class}}="{word}"' for word in CATTLE)
NO_CLASS = f'AND({{cattle_class}}<>"",NOT(OR({_SAME})))'
HERD = (
    (
        Doubt(
            EMPTY,
            '{counted}=""',
            lacks=(
                ("COUNT({head})=0", "head"),
                ("COUNT({weight})=0", "weight"),
                (
                    f"AND(NOT({GROWS}),COUNT({{month}},{{milk}},{{calf}},{{score}})<4)",
                    "month, milk, calf weight or score",
                ),
            ),
        ),
        Doubt(TWICE, "SUMPRODUCT(--({local.name}={name}))>1"),
        Doubt("class of cattle is not of its list", NO_CLASS),
        Doubt("weight when grown is empty", "AND(N({by.way})>1,COUNT({grown})=0)"),
        Doubt("gain wanted is empty", "AND(N({by.way})=3,COUNT({gain})=0)"),
        Doubt(
            "no diet gives this gain at this weight",
            "AND(N({by.way})>1,COUNT({by.gain},{by.grown})=2,ISERROR({hold_tdn}))",
        ),
        Doubt("score wanted or its days are empty", "COUNT({wanted},{days})=1"),
    ),
    (
        Doubt(
            "bred heifer in month 1 or 2: she has not calved",
            f'AND({{cattle_class}}="{BRED}",ISNUMBER({{month}}),N({{month}})<3)',
            SURE,
        ),
        Doubt("heavier than when grown", "AND(N({by.way})>1,ISNUMBER({grown}),N({weight})>N({grown}))", SURE),
        Doubt(
            "score wanted is not above the score: nothing is counted for it",
            "AND(ISNUMBER({wanted}),N({wanted})<=N({score}))",
            SURE,
        ),
        Doubt(
            "weight under 800 lb, typed in kg",
            "AND(ISNUMBER({by.way}),N({by.way})<3,ISNUMBER({weight}),{weight}<800)",
            SURE,
        ),
        Doubt("weight above 2,200 lb", "N({weight})>2200", SURE),
        Doubt("calf under 50 lb, typed in kg", "AND(ISNUMBER({calf}),{calf}<50)", SURE),
        Doubt("calf above 140 lb", "N({calf})>140", SURE),
    ),
)
FEEDS = (
    (Doubt(TWICE, 'AND({name}<>"",SUMPRODUCT(--({local.name}={name}))>1)'),),
    (
        Doubt("dry matter of 1 % or less, typed as a fraction", "AND(N({dm_pct})>0,{dm_pct}<=1)", SURE),
        Doubt("TDN of 1 % or less, typed as a fraction", "AND(N({tdn_pct})>0,{tdn_pct}<=1)", SURE),
        Doubt("protein under 1 %, typed as a fraction", "AND(N({cp_pct})>0,{cp_pct}<1)", SURE),
        Doubt("price under $30 a ton, a bag's", "AND(N({price})>0,{price}<30)", SURE),
    ),
)
TABLES = {"lots": ("Lots", LOTS), "herd": ("Herd", HERD), "feeds": ("Feeds", FEEDS)}


def columns(table: str) -> tuple[Column, Column, Column]:
    """What cannot be, what is odd, and the word that accepts it: the last columns of a table, keyed wrong, odd, accepted."""
    cannot, odd = TABLES[table][1]
    return (
        computed("Cannot be: correct it", "words", _words(cannot), "small", 34),
        computed("Odd: correct it, or say the word in brackets", "words", _words(odd), "small", 34),
        asked(
            "Odd and right: the word in brackets", "word", text(ODD_BUT_RIGHT, ACCEPTS), "input_text", 16,
            of=lambda row: getattr(row.item, ACCEPTED, "") or None,
        ),
    )  # fmt: skip


def _words(doubts: Sequence[Doubt]) -> str:
    parts = []
    for doubt in doubts:
        test = doubt.test
        if doubt.word:
            test = f'AND({test},NOT(ISNUMBER(SEARCH("{doubt.word}",{{{ACCEPTED}}}))))'
        empty = "&".join(f'IF({lacking},", {called}","")' for lacking, called in doubt.lacks)
        words = f'"{doubt.words}: "&MID({empty},3,99)&". "' if empty else f'"{doubt.words}. "'
        parts.append(f'IF({test},{words},"")')
    return f'=IF({{name}}="","",TRIM({"&".join(parts)}))'


def says(book: Book, table: str, place: str) -> str:
    """An expression: what is wrong or odd in one row of a table; empty where nothing is."""
    return f"INDEX({book.marks[table]['wrong']},{place})&INDEX({book.marks[table]['odd']},{place})"
