"""A plan is open in the office, and something that it was solved from is typed anew: the page says what, and that it is to be solved again."""

from __future__ import annotations

import datetime as dt
import shutil

import building
import pytest
from hosts import officelib
from played.playlib import Opened

from hayfuncs.spreadsheet.engine_values import DAY_ZERO
from hayfuncs.workbook.model import place_of

TYPED = (  # input, what is typed, what is then said first of how many changes
    ("Feeds/1/price", 200, "1 change since it was solved: soybean hulls: price counted (was 210, now 200 $/ton as fed)."),
    ("Herd/1/head", 60, "2 changes since it was solved: Spring calvers in milk: head (was 62, now 60 head); soybean hulls: price"),
    ("Herd/1/condition_wanted", 0, "3 changes since it was solved: Spring calvers in milk: head (was 62, now 60 head); Spring calvers in milk: condition score wanted (was blank, now 0 score); and 1 more."),
    ("Hay pile/start", dt.date(2027, 2, 12), "4 changes since it was solved: Hay feeding begins on (was 10 Feb 2027, now 12 Feb 2027); Spring calvers in milk: head"),
)  # fmt: skip


@pytest.mark.libreoffice
def test_the_office_says_what_has_changed_and_takes_it_back(tmp_path, monkeypatch):
    officelib.demand_office()
    monkeypatch.setenv("PATH", "/usr/bin:/bin")  # the office must find its own Python
    book, _, kept = building.built(building.SMALL, "plain")
    path = tmp_path / "plan.xlsx"
    shutil.copy(kept, path)
    head = [("Plan", 2, 4), ("Plan", 3, 4)]  # the line under it where a check fails too
    state = place_of(book.names["plan_price"])[:3]
    office = officelib.Office(tmp_path / "profile")
    try:
        opened = Opened(office, book, path)
        before = opened.calculated_whole()
        assert before[state].startswith("It is the cheapest")
        for key, value, words in TYPED:
            day = isinstance(value, dt.date)
            opened.type(book.inputs[key], float((value - DAY_ZERO).days) if day else value)
            cells = opened.calculated_whole()
            assert any(cells[place].startswith(f"Solve it again, {words}") for place in head)
            assert cells[state].startswith(f"Solve it again, {words}")
        for key, *_ in TYPED:
            opened.type(book.inputs[key], before[book.inputs[key]])
        assert opened.calculated_whole()[state] == before[state], "typed back, nothing has changed"
        opened.close()
    finally:
        office.end()
