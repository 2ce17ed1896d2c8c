"""One question, one figure: what the terminal prints is what the hall reads, and so are the pages on paper."""

from __future__ import annotations

import re

import pytest
from workbook.choosing import choose, column, marked
from workbook.opened import Open

from hayfuncs.workbook import report
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets import hall, meeting

# a hay that is short, one too near to say, one that is enough, young cows, and a feed that is too poor
CASES = (
    ("Heron Flat 1", "Spring calvers in milk", "corn gluten feed"), ("Section Ten", "Late-pregnant cows", "soybean hulls"),
    ("Heron Flat 1", "Late-pregnant cows", "corn gluten feed"), ("North Bench 2", "Dry cows, mid pregnancy", "corn grain"),
    ("Section Ten", "First-calf mothers", "cottonseed meal"),
)  # fmt: skip
RATE = re.compile(r"([\d.]+) lb a head a day|At ([\d.]+) lb:")


@pytest.fixture(scope="module", params=["functions", "plain"])
def opened(request, editions):
    book, _, path = editions[request.param]
    return Open(book, path)


class Shown:
    """A running workbook, read as `report` reads the values that were written."""

    def __init__(self, running):
        self.running = running

    def __contains__(self, at):
        return at[0] in {sheet.name for sheet in self.running.book.sheets}

    def __getitem__(self, at):
        name, row, col = at
        return self.running.at(self.running.book.by_name(name).ref(row, col))

    def get(self, at, otherwise=None):
        return self[at] if self.__contains__(at) else otherwise


def cells_of_the_hall(opened):
    return [
        str(opened.at(opened.book.by_name(hall.NAME).ref(row, 0))) for row in (hall.ANSWER, hall.SECOND, hall.THIRD)
    ]


def page_one(opened):
    """The sentences of the handout's first page, above its picture."""
    sheet = opened.book.by_name(meeting.NAME)
    first = sheet.printed_from or 0
    return [str(opened.at(sheet.ref(row, 0))) for row in range(first, first + 6) if (row, 0) in sheet.cells]


def test_demo_prints_the_cells_of_the_hall(editions):
    """The words of `hayfuncs demo`, from the values that it writes."""
    for edition in ("functions", "plain"):
        book, values, _ = editions[edition]
        printed = report.text(book, values).splitlines()
        for row in (hall.ANSWER, hall.SECOND, hall.THIRD, hall.PERCENT):
            said = str(values[hall.NAME, row, 0])
            assert said
            assert f"  {said}" in printed


@pytest.mark.parametrize(("lot", "group", "feed"), CASES, ids=[" to ".join(case[:2]) for case in CASES])
def test_the_terminal_the_hall_and_the_paper_say_the_same(opened, lot, group, feed):
    choose(opened, lot, group)
    opened.set_name("chosen_feed", feed)
    said = [text for text in cells_of_the_hall(opened) if text]
    printed = report.ration(opened.book, Shown(opened))
    assert [f"  {text}" for text in said] == printed[2 : 2 + len(said)]
    assert set(said) <= set(page_one(opened))
    rate, herd, cost = (opened.name(name) for name in ("hall_rate", "hall_herd", "hall_cost"))
    number = 1 + [g.name for g in DEMO.groups].index(group)
    home = {key: opened.get("take_home_numbers", key, number) for key in ("hay", "feed", "fed", "fed_herd")}
    assert (home["hay"], home["feed"]) == (lot, feed)
    row = 1 + list(DEMO.prices).index(feed)
    offered = {key: marked(opened, "feedcost", key)[row - 1] for key in ("rate", "cost")}
    if isinstance(rate, float):
        assert (home["fed"], home["fed_herd"]) == (pytest.approx(rate), pytest.approx(herd))
        assert (offered["rate"], offered["cost"]) == (pytest.approx(rate), pytest.approx(cost))
        told = RATE.search(" ".join(said))
        assert told is None or float(told.group(1) or told.group(2)) == pytest.approx(rate)


def test_another_step_is_followed_by_all(opened):
    choose(opened, "Heron Flat 1", "Spring calvers in milk")
    opened.set_name("chosen_feed", "corn gluten feed")
    opened.set_name("feed_step_lb", 0.1)
    rate = opened.name("hall_rate")
    assert rate == pytest.approx(4.5)
    opened.set_name("feed_step_lb", 1)
    assert opened.name("hall_rate") == opened.get("take_home_numbers", "fed", 1) == 5
    assert "Feed 5 lb a head a day" in page_one(opened)
    assert "Feed 5 lb" in opened.at("Ration!A9")
    assert 5 in column(opened, opened.book.marks["feedcost"]["rate"])
    opened.set_name("feed_step_lb", 0.25)
