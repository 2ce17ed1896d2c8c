"""The relations that lab values keep: in Python and as a spreadsheet's condition, the same list."""

from __future__ import annotations

import math

import formualizer
import pytest

from hayfuncs.forage import plausibility
from hayfuncs.forage.plausibility import RULES, WORDS, broken, equal_rows, is_summary, met, told

SOUND = {"dm_pct": 88.0, "cp_pct": 10.0, "adf_pct": 38.0, "ndf_pct": 61.0, "p_pct": 0.22}
# values at the line and just past it; own limits, common practice, no source
LINES = [
    ("fiber", {"adf_pct": 61.0}, {"adf_pct": 61.01}),
    ("moisture", {"dm_pct": 60.0}, {"dm_pct": 59.99}),
    ("protein", {"cp_pct": 38.0}, {"cp_pct": 38.01}),
    ("phosphorus", {"p_pct": 1.0}, {"p_pct": 1.01}),
]


@pytest.mark.parametrize(("key", "at", "past"), LINES)
def test_each_rule_breaks_past_its_line_and_not_on_it(key, at, past):
    assert broken({**SOUND, **at}) == []
    assert [rule.key for rule in broken({**SOUND, **past})] == [key]


def test_every_rule_has_its_line_here():
    assert [key for key, *_ in LINES] == [rule.key for rule in RULES]


@pytest.mark.parametrize("rule", RULES, ids=[r.key for r in RULES])
def test_the_condition_of_a_cell_says_the_same(rule):
    for _, at, past in LINES:
        for change in ({}, at, past):
            values = {**SOUND, **change}
            book = formualizer.Workbook()
            book.add_sheet("S") if "S" not in book.sheet_names else None
            text = rule.expression.format(**{name: repr(values[name]) for name in rule.fields})
            book.set_formula("S", 1, 1, f"={text}")
            assert bool(book.evaluate_cell("S", 1, 1)) == rule.breaks(*(values[f] for f in rule.fields))


def test_a_value_that_is_not_there_breaks_nothing():
    assert broken({"adf_pct": 70.0, "ndf_pct": None}) == []
    assert broken({}) == []


def test_one_word_accepts_what_is_seldom_but_never_what_cannot_be():
    wet, swapped = {**SOUND, "dm_pct": 50.0}, {**SOUND, "adf_pct": 70.0}
    assert broken(wet, ["baleage"]) == []
    assert met(wet, ["baleage", "young"]) == ["baleage"]
    assert [r.key for r in broken(swapped, [*WORDS, ""][:-1])] == ["fiber"]
    assert [r.key for r in broken(wet, ["young"])] == ["moisture"]
    assert told(broken(wet)[0], wet) == "dry matter 50 % is below 60 %"


@pytest.mark.parametrize("name", ["Mean of all", "Average", "MEAN", "Std. dev.", "std dev", "Mean of all samples", "Grand mean", "Max", "Range", "SD of scans", "Total"])  # fmt: skip
def test_footer_rows_are_known(name):
    assert is_summary(name)


@pytest.mark.parametrize("name", ["Mean Creek", "Home 1", "Median strip", "Range 4", "Maxwell", "Max 1", "North range", "All", "", "N", "Total Creek hay"])  # fmt: skip
def test_fields_with_such_words_in_their_names_stay_lots(name):
    assert not is_summary(name)


def test_rows_with_the_same_values():
    rows = [SOUND, {**SOUND, "cp_pct": 10.1}, dict(SOUND), {"dm_pct": 88.0}, {"dm_pct": 88.0}]
    assert equal_rows(rows) == [(2, 0)]


def test_a_rule_begins_just_beyond_its_limit() -> None:
    """ADF as much as NDF, protein as much as ADF, phosphorus at 1 % and dry matter at 60 % are still taken."""
    at = {"adf_pct": 40.0, "ndf_pct": 40.0, "cp_pct": 40.0, "p_pct": 1.0, "dm_pct": 60.0}
    assert plausibility.broken(at) == []
    beyond = {
        "fiber": {"ndf_pct": math.nextafter(40, 0)},
        "protein": {"cp_pct": math.nextafter(40, 99)},
        "phosphorus": {"p_pct": math.nextafter(1, 2)},
        "moisture": {"dm_pct": math.nextafter(60, 0)},
    }
    for key, change in beyond.items():
        assert [rule.key for rule in plausibility.broken(at | change)] == [key]


def test_equal_rows_of_few_values_say_nothing() -> None:
    few, many = {"dm_pct": 88.0, "cp_pct": 9.0}, {"dm_pct": 88.0, "cp_pct": 9.0, "adf_pct": 38.0}
    assert plausibility.equal_rows([few, few, many, few, dict(many), many]) == [(4, 2), (5, 2)]
    assert plausibility.equal_rows([few, few], at_least=2) == [(1, 0)]
