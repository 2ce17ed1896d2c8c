"""Register, coring sheet, sampling margin and bench: published and hand values through the sheets themselves."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from workbook.choosing import column
from workbook.opened import Open

from hayfuncs.workbook import build, write
from hayfuncs.workbook.farm import DEMO, Farm
from hayfuncs.workbook.sheets.coring import Cores
from hayfuncs.workbook.sheets.howsure import Finding, Sure


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def test_the_reference_bale_of_texas_weighs_1100_lb(opened):
    # Texas A&M AgriLife E-319 (2012): 5 x 5 ft, 1,100 lb; 98.17 ft3 x 11.2045 lb/ft3
    for mark, value in (("height", 5), ("width", 5), ("density", 11.2045)):
        opened.put("register", mark, value)
    assert opened.get("register", "weight") == pytest.approx(1100, abs=0.5)
    # 124 bales x 1,100 lb / 2,000 = 68.2 tons; Lots says 64: 6.6 % more, which is within 10 %
    assert opened.get("register", "by_bales") == pytest.approx(68.2, abs=0.05)
    assert opened.get("register", "apart") == pytest.approx(6.56, abs=0.05)
    assert opened.get("register", "relation") == "agree"
    assert opened.get("register", "tons") == 64  # what is typed on Lots counts


def test_tons_come_from_bales_where_lots_has_none_and_a_wrong_count_is_seen(opened):
    opened.put("register", "bales", 200)
    assert opened.get("register", "relation") == "differ: correct one"
    opened.made.set_value("Lots", 8, opened.book.marks["lots_at"]["tons"] + 1, None)
    opened.made.evaluate_all()
    assert opened.get("register", "relation") == "one of them only"
    assert opened.get("register", "tons") == pytest.approx(200 * opened.get("register", "weight") / 2000)


def test_a_weighed_bale_goes_before_its_size(opened):
    opened.put("register", "weighed", 950)
    assert opened.get("register", "weight") == 950


@pytest.mark.parametrize(
    ("mark", "value", "word"), [("hours", 49, "48 hours"), ("cores", 14, "15 cores"), ("cores", None, "15 cores")]
)
def test_notes_on_a_lot(opened, mark, value, word):
    assert opened.get("register", "notes") == ""
    opened.put("register", mark, value)
    assert word in opened.get("register", "notes")


def test_over_200_tons_is_noted_though_hours_are_not_entered(opened):
    opened.put("register", "hours", None)
    opened.made.set_value("Lots", 8, opened.book.marks["lots_at"]["tons"] + 1, 201)
    opened.made.evaluate_all()
    assert "200 tons" in opened.get("register", "notes")
    assert "hours" in opened.get("register", "missing")


def bales_listed(opened):
    cores = opened.book.find(Cores)
    spans = (cores.bale, cores.bale_right)
    values = [value for span in spans for value in column(opened, span)]
    return [v for v in values if v != ""]


def test_coring_list_is_spread_through_the_stack_and_repeats(opened):
    # 124 bales, 20 cores: the middle of each run of 6.2 bales; 3.1 -> bale 4, 9.3 -> bale 10
    listed = bales_listed(opened)
    assert len(listed) == 20
    assert listed[:3] == [4, 10, 16]
    assert listed[-1] == 121
    gaps = {b - a for a, b in itertools.pairwise(listed)}
    assert gaps <= {6, 7}


def test_coring_list_follows_lot_and_cores(opened):
    opened.set_name("coring_cores", 25)
    assert len(bales_listed(opened)) == 25
    opened.set_name("coring_lot", "Creek Strip")
    assert opened.name("coring_bales") == 46
    assert max(bales_listed(opened)) <= 46
    opened.put("register", "bales", None, number=9)
    assert opened.name("coring_bales") == "not entered"
    assert bales_listed(opened) == []


def test_bench_two_step_worked_by_hand(opened):
    # (412 - 12) / (462 - 12) = 88.889 %, (59.30 - 50) / (60 - 50) = 93.000 %, together 82.667 %
    for mark, value in zip(
        ("bag", "wet", "dry", "dish", "ground", "ground_dry"), (12, 462, 412, 50, 60, 59.3), strict=True
    ):
        opened.put("bench", mark, value)
    assert opened.get("bench", "first") == pytest.approx(88.889, abs=0.0005)
    assert opened.get("bench", "second") == pytest.approx(93.0, abs=0.0005)
    assert opened.get("bench", "dm") == pytest.approx(82.667, abs=0.0005)
    assert opened.get("bench", "moisture") == pytest.approx(17.333, abs=0.0005)


def test_bench_one_step_and_weights_that_cannot_be(opened):
    assert opened.get("bench", "two_step", 5) == "one step"
    assert opened.get("bench", "dm", 5) == opened.get("bench", "first", 5)
    assert opened.get("bench", "dm", 6) == "not weighed"
    opened.put("bench", "dry", 470)
    assert opened.get("bench", "first") == "weigh again"
    assert "weigh again" in opened.get("bench", "says")
    assert opened.get("bench", "moisture") == ""


def test_margin_of_twenty_cores_by_hand(opened):
    # s = 2.0: 1.96 x 2 / sqrt(20) = 0.877; cores for 0.5: (1.96 x 2 / 0.5)^2 = 61.47 -> 62
    opened.set_name("core_sd", 2.0)
    opened.set_name("margin_wanted", 0.5)
    sure = opened.book.find(Sure)
    assert opened.at(sure.of_taught) == pytest.approx(0.877, abs=0.0005)
    assert opened.at(sure.cores) == 62
    assert opened.at(sure.reached) <= 0.5


def test_no_spread_no_margin(opened):
    opened.set_name("core_sd", None)
    sure = opened.book.find(Sure)
    assert opened.at(sure.of_taught) == "not entered"
    assert opened.at(sure.cores) == "not entered"
    assert opened.at(opened.book.find(Finding).says).startswith("Type your own spread")


EXTRA = ("tons", "bales", "bale", "bale_weight_lb", "harvest_date", "sample_date", "cores", "storage", "price_per_ton",
         "ndfd48_pct", "ash_pct", "fat_pct", "ca_pct", "p_pct", "mg_pct", "k_pct", "s_pct", "nitrate_n_ppm", "adicp_pct", "cutting")  # fmt: skip


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_a_farm_with_nothing_but_the_core_of_each_test_has_no_error(edition):
    bare = tuple(replace(lot, field="", **dict.fromkeys(EXTRA)) for lot in DEMO.lots)
    book = build.build(Farm(bare, DEMO.groups, DEMO.prices), edition)
    values = write.compute(book)
    assert write.faults(values) == []
    zero = {k: v for k, v in values.items() if k[0] in ("Register", "Bench") and v == 0}
    assert zero == {}  # what is not entered is never 0
