"""What is typed and cannot be, or is odd: a word in its row, and a check that names the row.

What cannot be must be corrected.  What is odd is asked about: one word beside it accepts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from hayfuncs.forage import plausibility
from hayfuncs.workbook.model import Book, Flagging, Formula, Input, Sheet, a1
from hayfuncs.workbook.sheets import common
from hayfuncs.workbook.sheets.common import FIRST, local
from hayfuncs.workbook.sheets.grid import text
from hayfuncs.workbook.table import Column, Table, asked, computed

ACCEPTED = "accepted"
COLUMNS = (
    common.Column("Cannot be: correct it", "words", "small", 34),
    common.Column("Odd: correct it, or say the word in brackets", "words", "small", 34),
    common.Column("Odd and right: the word in brackets", "word", "input_text", 16),
)
ODD_BUT_RIGHT = "Odd but right"
ACCEPTS = (
    "Leave it empty. Where an odd value of this row is right, type the word in brackets: baleage, young, same, sure ..."
)
EMPTY = "a needed value is empty"
TWICE = "name used twice"
SURE = "sure"


@dataclass(frozen=True)
class Doubt:
    """One rule: its words, its test over the row, where {mark} is the row's cell and [mark] the column,

    and the word that accepts it, empty where nothing does.
    """

    says: str
    test: str
    word: str = ""

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
        test = f"IF(COUNT({typed})={len(rule.fields)},{test},FALSE)"
    return Doubt(says, test, rule.word)


DRY = {
    "dm_pct": "{lab_dm_pct}",
    "cp_pct": "{cp}",
    "adf_pct": "{adf}",
    "ndf_pct": "{ndf}",
    "p_pct": "({lab_p_pct}*100/{divisor})",
}
TYPED = {"p_pct": "{lab_p_pct}"}  # where the value of the dry matter is worked out in the rule itself
CORE = ("lab_dm_pct", "lab_cp_pct", "lab_adf_pct", "lab_ndf_pct")
# thresholds: common practice, no source, wide enough that sound hay and cows pass without a question
LOTS = (
    (
        Doubt(EMPTY, f"COUNT({','.join(f'{{{mark}}}' for mark in CORE)})<{len(CORE)}"),
        Doubt(TWICE, "SUMPRODUCT(--([name]={name}))>1"),
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
            "lab values of another lot", f"COUNTIFS({','.join(f'[{mark}],{{{mark}}}' for mark in CORE)})>1",
            plausibility.SAME_ROWS,
        ),
    ),
)  # fmt: skip
HERD = (
    (
        Doubt(EMPTY, "COUNT({head},{weight},{month},{milk},{calf},{score})<6"),
        Doubt(TWICE, "SUMPRODUCT(--([name]={name}))>1"),
    ),
    (
        Doubt("weight under 800 lb, typed in kg", "AND(ISNUMBER({weight}),{weight}<800)", SURE),
        Doubt("weight above 2,200 lb", "N({weight})>2200", SURE),
        Doubt("calf under 50 lb, typed in kg", "AND(ISNUMBER({calf}),{calf}<50)", SURE),
        Doubt("calf above 140 lb", "N({calf})>140", SURE),
    ),
)
FEEDS = (
    (Doubt(TWICE, 'AND({name}<>"",SUMPRODUCT(--([name]={name}))>1)'),),
    (
        Doubt("dry matter of 1 % or less, typed as a fraction", "AND(N({dm_pct})>0,{dm_pct}<=1)", SURE),
        Doubt("TDN of 1 % or less, typed as a fraction", "AND(N({tdn_pct})>0,{tdn_pct}<=1)", SURE),
        Doubt("protein under 1 %, typed as a fraction", "AND(N({cp_pct})>0,{cp_pct}<1)", SURE),
        Doubt("price under $30 a ton, a bag's", "AND(N({price})>0,{price}<30)", SURE),
    ),
)
TABLES = {"lots": ("Lots", LOTS), "herd": ("Herd", HERD), "feeds": ("Feeds", FEEDS)}


def add(book: Book, sheet: Sheet, table: str, at: dict[str, int], col: int, words: Sequence[str]) -> None:
    """Three columns from `col` on, at the end of a table whose columns stand at `at`.

    `words` are those by which each row's odd values were accepted already.
    """
    name, (cannot, odd) = TABLES[table]
    places = {**at, "wrong": col, "odd": col + 1, ACCEPTED: col + 2}
    last = FIRST + len(words) - 1
    for row in range(FIRST, last + 1):
        sheet.put(row, col, _words(cannot, row, places, last), "small")
        sheet.put(row, col + 1, _words(odd, row, places, last), "small")
        entry = Input(
            f"{name}/{row - FIRST + 1}/{ACCEPTED}", ODD_BUT_RIGHT, ACCEPTS, kind="text", required=False,
        )  # fmt: skip
        sheet.entry(row, col + 2, words[row - FIRST] or None, entry, "input_text")
    sheet.flags.append(Flagging((FIRST, col, last, col + 1), ".", "flag_bad"))
    book.marks[table] |= {
        mark: sheet.span(FIRST, places[mark], last, places[mark]) for mark in ("wrong", "odd", ACCEPTED)
    }
    book.marks[f"{table}_at"] |= {mark: places[mark] for mark in ("wrong", "odd", ACCEPTED)}


def columns(table: str) -> tuple[Column, Column, Column]:
    """The same three as columns of a declared table, keyed wrong, odd and accepted."""
    cannot, odd = TABLES[table][1]
    typed = text(ODD_BUT_RIGHT, ACCEPTS)
    return (
        computed(COLUMNS[0].head, "words", lambda row: _of_row(cannot, row), "small", 34),
        computed(COLUMNS[1].head, "words", lambda row: _of_row(odd, row), "small", 34),
        asked(COLUMNS[2].head, "word", typed, "input_text", 16),
    )


def _of_row(doubts: Sequence[Doubt], row: Table[Any]) -> Formula:
    at = {c.key: row.col(c) for c in row.columns}
    return _words(doubts, row.first_row + row.number - 1, at, row.row_below - 1)


def _words(doubts: Sequence[Doubt], row: int, at: dict[str, int], last: int) -> Formula:
    parts = []
    for doubt in doubts:
        test = _spelled(doubt.test, row, at, last)
        if doubt.word:
            test = f'AND({test},NOT(ISNUMBER(SEARCH("{doubt.word}",{local(row, at[ACCEPTED])}))))'
        parts.append(f'IF({test},"{doubt.words}. ","")')
    return Formula(f"=TRIM({'&'.join(parts)})")


def _spelled(test: str, row: int, at: dict[str, int], last: int) -> str:
    for mark, col in at.items():
        test = test.replace(f"{{{mark}}}", local(row, col))
        test = test.replace(f"[{mark}]", f"{a1(FIRST, col, 'rc')}:{a1(last, col, 'rc')}")
    return test


def says(book: Book, table: str, place: str) -> str:
    """An expression: what is wrong or odd in one row of a table; empty where nothing is."""
    return f"INDEX({book.marks[table]['wrong']},{place})&INDEX({book.marks[table]['odd']},{place})"
