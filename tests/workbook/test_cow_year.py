"""Cow year: the functions' own needs, months in words, and sentences that follow the inputs."""

from __future__ import annotations

import pytest
from workbook.choosing import choose, marked, no_errors
from workbook.opened import Open

import hayfuncs
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def in_words(nutrient, short):
    """The sentence of one nutrient, from the months that are short, written anew."""
    months = [m for m in range(1, 13) if short[m - 1] > 0]
    if len(months) in (0, 12):
        return f"{nutrient} is short in {'every' if months else 'no'} month"
    begins = [m for m in months if (m - 2) % 12 + 1 not in months]
    ends = [m for m in months if m % 12 + 1 not in months]
    if len(months) == 1:
        return f"{nutrient} is short in month {months[0]}"
    if len(begins) > 1:
        return f"{nutrient} is short in {len(months)} months"
    ring = " through calving" if begins[0] > ends[0] else ""
    return f"{nutrient} is short from month {begins[0]}{ring} to month {ends[0]}"


@pytest.mark.parametrize("edition", build.EDITIONS)
def test_needs_of_each_month_are_the_functions_own(editions, edition):
    book, values, _ = editions[edition]
    cow = DEMO.groups[0]
    shrunk = hayfuncs.shrunk_weight(cow.body_weight_lb, 4)
    for nutrient in ("TDN", "CP"):
        sheet, row, col, last, _ = place_of(book.marks["cowyear"][f"{nutrient.lower()}_need"])
        assert last - row == 11
        for month in range(1, 13):
            need = hayfuncs.daily_need(nutrient, shrunk, month, cow.peak_milk_lb, cow.calf_weight_lb)
            assert values[sheet, row + month - 1, col] == pytest.approx(need, rel=1e-9)


def test_the_month_she_is_in_shows_what_ration_shows(opened):
    for lot in ("Heron Flat 1", "Section Ten", "Mill Bottom 3"):  # the last has less fiber than the rule holds for
        for group in DEMO.groups:
            choose(opened, lot, group.name)
            if group.month_since_calving is None or group.condition_wanted is not None:
                continue  # no year, or condition on top: the banner says so
            at = group.month_since_calving - 1
            assert "now" in marked(opened, "cowyear", "event")[at].split()
            assert marked(opened, "cowyear", "tdn_short")[at] == pytest.approx(opened.name("energy_short"), abs=1e-9)
            assert marked(opened, "cowyear", "cp_short")[at] == pytest.approx(opened.name("protein_short"), abs=1e-9)
            assert marked(opened, "cowyear", "hay")[at] == pytest.approx(opened.name("chosen_hay_eaten"), rel=1e-12)


def test_months_are_named(opened):
    event = marked(opened, "cowyear", "event")
    assert (event[0], event[1], event[6]) == ("calving", "now", "weaned")
    assert not any(event[2:6] + event[7:])


def test_the_sentence_follows_lot_and_group(opened):
    said = set()
    for lot in DEMO.lots:
        choose(opened, lot.name, DEMO.groups[len(said) % len(DEMO.groups)].name)
        tdn, cp = (marked(opened, "cowyear", f"{k}_short") for k in ("tdn", "cp"))
        carried = sum(t == c == 0 for t, c in zip(tdn, cp, strict=True))
        assert opened.at(opened.book.marks["cowyear"]["carried"]) == carried
        banner = opened.at(opened.book.marks["cowyear"]["banner"])
        group = opened.name("chosen_group")
        told = f"{lot.name} is enough for {group} by itself in {carried} of 12 months"
        if group == "First-calf mothers":  # thin ones
            told += "; gaining condition takes more"
        if group == "Weaned calves":
            told = f"{group} do not calve: the need is the same in each month. See Young cattle (this tab)."
        assert banner == told
        which = opened.at(opened.book.marks["cowyear"]["which"])
        assert which == f"{in_words('TDN', tdn)}; {in_words('CP', cp)}."
        said.add(which)
        no_errors(opened)
    assert len(said) >= 4


@pytest.mark.parametrize(
    ("short", "words"),
    [
        ({3}, "in month 3"),
        ({12}, "in month 12"),
        ({1, 2, 3}, "from month 1 to month 3"),
        ({11, 12, 1}, "from month 11 through calving to month 1"),
        ({2, 5, 6}, "in 3 months"),
        (set(range(1, 13)), "in every month"),
        (set(), "in no month"),
    ],
)
def test_months_in_words(opened, short, words):
    sheet, row, col, _, _ = place_of(opened.book.marks["cowyear"]["tdn_need"])
    for month in range(1, 13):
        opened.made.set_value(sheet, row + month, col + 1, 99 if month in short else 1)
    opened.made.evaluate_all()
    assert opened.at(opened.book.marks["cowyear"]["TDN"]) == f"TDN is short {words}"
