"""Thin and first-calf cows: their need is not lowered, and is nowhere shown without its caution."""

from __future__ import annotations

import inspect
from dataclasses import replace

import building
import pytest
from workbook.choosing import choose
from workbook.opened import Open

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.report import table
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.herd import NOT_COWS, class_typed, first_calf_typed

FIRST_CALF = 4  # row of the demo's herd
NO_CLASS = {
    "cattle_class": None,
    "grown_weight_lb": None,
    "condition_score": 5,
    "condition_wanted": None,
    "condition_days": None,
}
# the demo's young cows as a list without classes has them: by their name alone
UNCLASSED = replace(DEMO, groups=(*DEMO.groups[: FIRST_CALF - 1], replace(DEMO.groups[FIRST_CALF - 1], **NO_CLASS)))


@pytest.fixture(scope="module")
def unclassed():
    return building.built(UNCLASSED, "functions", build.FARM)


@pytest.fixture
def opened(unclassed):
    book, _, path = unclassed
    return Open(book, path)


def verdicts(opened, group):
    sheet, row, col, last, _ = place_of(opened.book.marks["verdict"])
    place = f"{sheet}!{{}}{{}}"
    letter = chr(ord("A") + col + group - 1)
    shown = [opened.at(place.format(letter, r + 1)) for r in range(row, last + 1)]
    return [word.removeprefix("Best: ").removeprefix("Best, but ") for word in shown]


def test_no_need_asks_for_condition():
    for name in ("NEM_FOR_MAINTENANCE", "DAILY_NEED", "NEED_DENSITY"):
        assert "condition_score" not in CATALOGUE[name].args
    assert list(inspect.signature(CATALOGUE["DAILY_NEED"].plain).parameters) == [
        "nutrient", "shrunk_weight_lb", "month_since_calving", "peak_milk_lb", "calf_weight_lb",
    ]  # fmt: skip


def test_a_thin_cow_needs_no_less_and_says_so(opened):
    before = opened.get("herd", "need_tdn", 3)
    assert opened.get("herd", "caution", 3) == ""
    assert "enough" in verdicts(opened, 3)
    opened.put("herd", "score", 3, 3)
    assert opened.get("herd", "need_tdn", 3) == before
    assert opened.get("herd", "caution", 3) == hayfuncs.need_note(3, 0)
    assert "enough" not in verdicts(opened, 3)
    assert "not sure" in verdicts(opened, 3)
    opened.put("herd", "score", 5, 3)
    assert "enough" in verdicts(opened, 3)


def test_the_first_calf_group_is_not_the_easier_one(opened):
    """The demo's lighter young cows had more lots that are enough for them than the grown cows beside them."""
    assert opened.get("herd", "first_calf", FIRST_CALF) == 1
    assert "enough" not in verdicts(opened, FIRST_CALF)
    opened.made.set_value("Herd", 7 + FIRST_CALF, opened.book.marks["herd_at"]["first_calf_typed"] + 1, 0)
    opened.made.evaluate_all()
    assert opened.get("herd", "caution", FIRST_CALF) == ""
    assert "enough" in verdicts(opened, FIRST_CALF)


@pytest.mark.parametrize(
    ("lot", "said"), [("Mill Bottom 2", "meets a grown cow; these cattle need more."), ("Section Ten", "at least")]
)
def test_the_ration_tells_it_where_its_numbers_stand(opened, lot, said):
    choose(opened, lot, DEMO.groups[FIRST_CALF - 1].name)
    banners = [opened.at(f"Ration!A{row}") for row in (8, 9)]
    assert said in " ".join(banners)
    assert opened.at("Ration!A14") == "Need, too low for these cattle"
    assert opened.at("Ration!F38").endswith(hayfuncs.need_note(5, 1))
    choose(opened, lot, DEMO.groups[0].name)
    assert opened.at("Ration!A14") == "Need"
    assert "first-calf" not in opened.at("Ration!F38")
    assert "at least" not in opened.at("Ration!A9")


def test_the_terminal_says_it_too(unclassed):
    book, values, _ = unclassed
    lines = table(book, values)
    assert f"First-calf mothers: {hayfuncs.need_note(5, 1)}" in lines
    best = next(line for line in lines if line.startswith("Mill Bottom 2"))
    assert best.count("enough") == len(UNCLASSED.groups) - 1
    assert best.count("not sure") == 1


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("Weaned calves", True), ("Yearling steers", True), ("Herd bulls", True), ("Replacement heifers", True),
        ("Cows with calves", False), ("Spring pairs, calves at side", False), ("Late calvers", False),
    ],
)  # fmt: skip
def test_a_group_named_as_other_cattle_is_told_that_the_need_is_a_cows(opened, name, told):
    choose(opened, "Mill Bottom 2", DEMO.groups[2].name)
    opened.made.set_value("Herd", 8 + 2, 1, name)
    choose(opened, "Mill Bottom 2", name)
    assert opened.get("herd", "not_cows", 3) == (1 if told else 0)
    assert (opened.get("herd", "caution", 3) == NOT_COWS) is told
    assert ("enough" in verdicts(opened, 3)) is not told
    assert ("no cows" in opened.at(opened.book.find(Working).third_line)) is told
    opened.made.set_value("Herd", 8 + 2, opened.book.marks["herd_at"]["first_calf_typed"] + 1, 0)  # they are cows
    opened.made.evaluate_all()
    assert opened.get("herd", "caution", 3) == ""


def test_a_herd_list_that_says_the_class_answers_for_the_name():
    """A first-calf cow without the weight she grows to counts as before: as a grown cow, with the caution."""
    said = [
        (class_typed(group), first_calf_typed(group))
        for group in (
            replace(DEMO.groups[0], cattle_class=word, grown_weight_lb=grown)
            for word in ("cow", "first-calf cow", None)
            for grown in (None, 1250.0)
        )
    ]
    assert said == [("cow", None), ("cow", None), (None, 1), ("first-calf cow", None), (None, None), (None, None)]
