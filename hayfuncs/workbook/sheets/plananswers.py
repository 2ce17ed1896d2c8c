"""Asked beside the plan: what was asked beside the winter plan (what if, worth of a ton, before the winter, pins), as solved.

No cell can work these out: each is a plan of its own, solved outside. They are solved together with the plan, so a line
says what has changed since then (`solvedfrom`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from hayfuncs.workbook.model import Book, Flagging, Formula
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.solvedfrom import SINCE
from hayfuncs.workbook.table import Column, Table, computed

NAME = "Asked beside the plan"
FITS = "They were solved from what stands in this workbook."


class Answer(NamedTuple):
    """One line of an answer."""

    about: str  # which question
    name: str = ""
    dollars: float | None = None
    beside: float | None = None
    tons: float | None = None
    words: str = ""


@dataclass(frozen=True)
class Answers:
    """What was asked and answered, and what it was solved for."""

    rows: Sequence[Answer]
    solved_for: str  # the farm's dates, and when it was solved


def _of(head: str, unit: str, part: str, style: str, width: float, band: str = "") -> Column:
    return computed(head, unit, lambda row: None if row.item is None else getattr(row.item, part), style, width, band)


class PlanAnswers(Table[Answer | None]):
    """One row a line of an answer."""

    frozen = 2
    about = _of("What was asked", "question", "about", "label", 28, "Solved")
    name = _of("Case, hay or feed", "name", "name", "label", 30)
    dollars = _of("Cost of the winter; worth of a ton; cost of a pin", "$", "dollars", "money0", 16)
    against = _of("More than as planned; price of a ton", "$", "beside", "money0", 16)
    tons = _of("Hay to buy; left or bought", "tons as fed", "tons", "number1", 13)
    words = _of("In words", "words", "words", "small", 70)


def fill(book: Book, answers: Answers | None, empty: int = 0) -> None:
    """`empty` rows are left for answers that are not solved here."""
    sheet = begin(
        book, NAME, "What was asked beside the plan, and the answers",
        "Each line is a plan of its own in amounts of any kind, solved outside the cells: it does not follow what you type.", "Solved values",
    )  # fmt: skip
    table = PlanAnswers(sheet, [None] * empty if answers is None else answers.rows)
    sheet.put(FIRST - 5, table.col(PlanAnswers.against), "Solved for", "unit_cell")
    sheet.put(FIRST - 5, table.col(PlanAnswers.tons), None if answers is None else answers.solved_for, "text")
    says = f'=IF(COUNT(plan_bound)=0,"",IF(plan_changes=0,"{FITS}",plan_changed))'
    at = (FIRST - 4, table.col(PlanAnswers.against))  # the links stand left of it
    book.marks["plan_answers_say"] = sheet.put(*at, Formula(says), "text")
    sheet.flags.append(Flagging((*at, *at), SINCE, "flag_bad"))
    table.place().filed("plan_answers")
