"""No headline while a check fails that it rests on: the sentence says which, and where; the rest goes on."""

from __future__ import annotations

import re

import pytest
from workbook.opened import Open

from hayfuncs.workbook import report, write
from hayfuncs.workbook.build import build
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets.whichhay import CHECK_FIRST

# (table, column, row, value): what is typed; then what the sentence names
FAULTS = {
    "0.08 for 8 %": ([("lots", "lab_cp_pct", 1, 0.08)], "Heron Flat 1: protein under 2 %"),
    "kg for lb": ([("herd", "weight", 1, 590)], "Spring calvers in milk: weight under 800 lb, typed in kg"),
    "ADF and NDF swapped": ([("lots", "lab_adf_pct", 1, 62.4), ("lots", "lab_ndf_pct", 1, 39.2)], "Heron Flat 1: ADF above NDF"),
    "moisture for dry matter": ([("lots", "lab_dm_pct", 1, 11.1)], "Heron Flat 1: dry matter under 60 %"),
    "a lot twice": ([("lots", "name", 2, "Heron Flat 1")], "Heron Flat 1: name used twice"),
    "a value left empty": ([("lots", "lab_adf_pct", 1, None)], "Heron Flat 1: a needed value is empty"),
}  # fmt: skip


@pytest.fixture(scope="module")
def opened(editions):
    book, _, path = editions["plain"]
    return lambda: Open(book, path)


def sentence(running):
    sheet = running.book.by_name("Ration")
    return " ".join(str(running.at(sheet.ref(row, 0))) for row in (7, 8))


def verdict(running, lot, group):
    return running.at(running.book.by_name("Which hay").ref(6 + lot, 4 + group))


@pytest.mark.parametrize("fault", list(FAULTS))
def test_the_sentence_names_the_fault_and_shows_no_number(opened, fault):
    running = opened()
    assert re.search(r"Feed \d", sentence(running))
    typed, named = FAULTS[fault]
    for table, mark, row, value in typed:
        running.put(table, mark, value, row)
    said = sentence(running)
    assert said.startswith("✗ No answer")
    assert named in said
    assert not re.search(r"\d lb of|Feed \d|\d lb TDN", said)
    assert verdict(running, 1, 1) == CHECK_FIRST
    assert str(running.name("verdict_withheld")).startswith("✗")
    assert running.name("plan_stop") != ""
    budget = running.at(running.book.by_name("Winter budget").ref(4, 0))
    assert "$" not in budget


def test_an_answer_that_does_not_rest_on_the_fault_is_shown(opened):
    running = opened()
    running.put("lots", "lab_dm_pct", 11.1, 3)
    assert str(running.name("master_check")).startswith("✗")
    assert re.search(r"Feed \d", sentence(running)), "another lot is chosen"
    assert verdict(running, 3, 1) == CHECK_FIRST
    assert verdict(running, 1, 1) != CHECK_FIRST
    assert "Mill Bottom 1" in running.name("plan_stop"), "the plan rests on every lot"


@pytest.mark.parametrize(
    ("mark", "value", "word"),
    [("lab_dm_pct", 55, "baleage"), ("lab_p_pct", 2, "phosphorus"), ("lab_cp_pct", 41, "Young")],
)
def test_one_word_accepts_what_is_odd_and_only_that(opened, mark, value, word):
    running = opened()
    running.put(
        "lots", "lab_ndfd48_pct", None
    )  # by ADF: protein beyond ADF is more than the parts of this hay add up to
    running.put("lots", mark, value)
    assert sentence(running).startswith("✗")
    running.put("lots", "accepted", "same")
    assert sentence(running).startswith("✗"), "the word of another rule"
    running.put("lots", "accepted", word)
    assert re.search(r"Feed \d|covers the need", sentence(running))


def test_no_word_accepts_what_cannot_be(opened):
    running = opened()
    running.put("lots", "lab_adf_pct", 70)
    running.put("lots", "accepted", "sure young baleage same")
    assert "ADF above NDF" in sentence(running)


def test_a_row_typed_under_a_table_stops_every_answer(opened):
    running = opened()
    running.made.set_value("Herd", 8 + running.book.marks["herd"]["n"], 1, "Bulls")
    running.made.evaluate_all()
    assert "sheet Herd" in sentence(running)
    assert verdict(running, 1, 1) == CHECK_FIRST
    assert "sheet Herd" in running.name("plan_stop")


def test_the_terminal_shows_no_number_either_and_names_the_checks():
    from dataclasses import replace

    farm = replace(DEMO, lots=(replace(DEMO.lots[0], dm_pct=45.0), *DEMO.lots[1:]))
    book = build(farm, solved=False)
    values = write.compute(book)
    said = report.text(book, values)
    assert "no numbers while a check fails: Heron Flat 1: dry matter under 60 %" in said
    assert "lb of corn gluten feed" not in said
    assert "FAILS  Lots: dry matter under 60 %, moisture typed (baleage), Heron Flat 1" in said
    row = next(line for line in said.splitlines() if line.startswith("Heron Flat 1 "))
    assert row.count(CHECK_FIRST) == len(DEMO.groups)


def test_words_accepted_at_import_stand_beside_the_lot():
    from dataclasses import replace

    farm = replace(DEMO, lots=(replace(DEMO.lots[0], dm_pct=55.0, accepted="baleage"), *DEMO.lots[1:]))
    book = build(farm, solved=False)
    said = report.text(book, write.compute(book))
    assert "no numbers" not in said
