"""What is asked beside a plan that is being written: answered once the plan is solved, for the terminal and for its sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any

from hayfuncs.winter.model import Progress
from hayfuncs.workbook import planquestions
from hayfuncs.workbook.sheets.plananswers import Answer, Answers
from hayfuncs.workbook.wintering import Solved

WHAT_IF, ROBUST, WORTH, BEFORE, PIN = "What if", "Robust choice", "Worth of a ton", "Before the winter", "Pin"


class Answering:
    """Called with what was solved; afterwards the lines for the terminal and the data are at hand."""

    def __init__(self, questions: planquestions.Questions, progress: Progress | None) -> None:
        self.questions, self.progress = questions, progress
        self.lines: list[str] = []
        self.data: dict[str, Any] = {}

    def __call__(self, solved: Solved) -> Answers | None:
        if solved.farm is None or solved.plan is None:
            return None
        self.lines, self.data = planquestions.answers(solved, self.questions, self.progress)
        rows = [*_what_if(self.data), *_worth(self.data), *_before(self.data), *_pins(solved)]
        if not rows:
            return None
        farm = solved.farm
        dates = f"feeding from {farm.start:%Y-%m-%d} to {farm.turnout:%Y-%m-%d}, solved on {dt.date.today():%Y-%m-%d}"
        return Answers(rows, dates)


def _what_if(data: Mapping[str, Any]) -> Iterator[Answer]:
    cases = data.get("what_if", [])
    for case in cases:
        more = None if case is cases[0] else case["cost"] - cases[0]["cost"]
        words = ". ".join(filter(None, (case["words"], case["first_change"])))
        yield Answer(WHAT_IF, case["case"], case["cost"], more, case["hay_to_buy_tons"], words)
    if "robust" in data:
        choice = data["robust"]
        yield Answer(ROBUST, "", choice.get("cost"), choice.get("premium"), sum(choice.get("tons", {}).values()) or None, choice["words"])  # fmt: skip


def _worth(data: Mapping[str, Any]) -> Iterator[Answer]:
    worth = data.get("worth_by_the_plan", {"lots": [], "feeds": []})
    for lot in worth["lots"]:
        yield Answer(WORTH, lot["name"], lot["dollars_a_ton"], lot["market"], lot["tons_left"], lot["words"])
    for feed in worth["feeds"]:
        yield Answer(WORTH, feed["name"], None, feed["price"], feed["tons"], feed["words"])


def _before(data: Mapping[str, Any]) -> Iterator[Answer]:
    for text in data.get("before_winter", []):
        yield Answer(BEFORE, words=text)


def _pins(solved: Solved) -> Iterator[Answer]:
    for pinned in () if solved.easy is None else solved.easy.pins:
        yield Answer(PIN, pinned.pin.name, None if pinned.why else pinned.dollars, words=pinned.words())
