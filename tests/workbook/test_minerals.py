"""Minerals: the hay's share of each need and what a mix must hold, against printed figures and by hand."""

from __future__ import annotations

import pytest
from workbook.opened import Open

import hayfuncs
from hayfuncs.hosts import engine
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.sheets.mineral import MINERALS, TEXT_AT

AT = {mineral.name: i for i, mineral in enumerate(MINERALS, 1)}


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def cell(opened, table, key, number):
    sheet, row, col, _, _ = place_of(opened.book.marks[table][key])
    return engine.plain_value(opened.made.get_value(sheet, row + number, col + 1))


def put(opened, mineral, value):
    sheet, row, col, _, _ = place_of(opened.book.marks["mineraltable"]["typed"])
    opened.made.set_value(sheet, row + AT[mineral], col + 1, value)
    opened.made.evaluate_all()


def said(opened, key):
    return opened.at(opened.book.marks["minerals"][key])


def test_calcium_and_phosphorus_are_the_needs_of_herd(opened):
    for i, mark in enumerate(("density_ca", "density_p"), 1):
        assert cell(opened, "mineraltable", "need", i) == pytest.approx(opened.get("herd", mark, 1))
    for mineral, printed in (("magnesium", 0.20), ("potassium", 0.70), ("copper", 10), ("manganese", 40)):
        assert cell(opened, "mineraltable", "need", AT[mineral]) == printed  # Arkansas MP391 table 1, early lactation


def test_share_and_mix_by_hand(opened):
    at = AT["magnesium"]
    holds, need, eaten = (
        opened.get("hazards", "mg", 1),
        cell(opened, "mineraltable", "need", at),
        opened.name("chosen_hay_eaten"),
    )
    assert cell(opened, "mineraltable", "share", at) == pytest.approx(100 * holds / need)
    assert cell(opened, "mineraltable", "mix", at) == pytest.approx((need - holds) * eaten / 0.25)
    assert "magnesium" in said(opened, "lacks")


def test_what_is_not_tested_is_named_and_gives_no_number(opened):
    assert "copper" in said(opened, "untested")
    for key in ("holds", "share", "mix", "says"):
        assert cell(opened, "mineraltable", key, AT["copper"]) == "not tested"
    put(opened, "copper", 6)
    assert "copper" not in said(opened, "untested")
    assert "copper" in said(opened, "lacks")
    assert cell(opened, "mineraltable", "share", AT["copper"]) == 60
    assert cell(opened, "mineraltable", "says", AT["copper"]) == hayfuncs.mineral_caution("copper", 6, "in milk")
    put(opened, "copper", 60)  # between the limits of the two books
    assert cell(opened, "mineraltable", "says", AT["copper"]) == hayfuncs.mineral_caution("copper", 60, "in milk")
    assert "copper" not in said(opened, "lacks")
    assert cell(opened, "mineraltable", "mix", AT["copper"]) == 0


def test_the_hays_own_test_on_lots_counts_before_what_is_typed_here(opened):
    """Windmill Forty's trace minerals stand on Lots; a number typed on Minerals for another hay does not come before."""
    put(opened, "copper", 30)
    opened.set_name("chosen_lot", "Windmill Forty")
    for mineral, tested in (
        ("copper", 5.2),
        ("zinc", 21),
        ("iron", 310),
        ("manganese", 85),
        ("selenium", 0.06),
        ("sodium", 0.02),
    ):
        assert cell(opened, "mineraltable", "holds", AT[mineral]) == tested
    assert cell(opened, "mineraltable", "share", AT["zinc"]) == pytest.approx(70)  # 21 of 30 ppm
    for mineral in ("copper", "zinc", "selenium", "sodium"):
        assert mineral in said(opened, "lacks")
    assert "cobalt" in said(opened, "untested")  # no column on Lots, nothing typed
    sheet, row, _, _, _ = place_of(opened.book.marks["minerals"]["copper"])
    text = engine.plain_value(opened.made.get_value(sheet, row + 1, TEXT_AT + 1))
    assert text == hayfuncs.copper_caution(5.2, 2.8, 310, 0.14)
    assert text.startswith("Danger")


def test_cost_is_what_the_bag_costs_over_the_winter(opened):
    assert said(opened, "costs") == f"0.25 lb of mix a day costs ${0.25 * 35 / 50 * 140:.2f} a head till grass."


def test_water_is_the_printed_figure_of_each_class(opened):
    """BEEF magazine from NRC 1996, 70 deg F: 16.3 gallons in milk, 10.8 dry and in calf."""
    for i, (group, gallons) in enumerate(((1, 16.3), (2, 10.8), (3, 10.8), (4, 16.3)), 1):
        assert cell(opened, "watertable", "each", i) == gallons
        head = opened.get("herd", "head", group)
        assert cell(opened, "watertable", "whole", i) == pytest.approx(gallons * head)


def test_a_group_that_is_dry_needs_less(opened):
    opened.set_name("chosen_group", "Dry cows, mid pregnancy")
    assert cell(opened, "mineraltable", "need", AT["magnesium"]) == 0.12
    assert "magnesium" not in said(opened, "lacks")
