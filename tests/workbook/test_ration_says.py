"""What Ration says beside its number: the weather that is counted, and where the hay's TDN was taken from."""

from __future__ import annotations

import pytest
from workbook.choosing import choose, column
from workbook.opened import Open

import hayfuncs
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets.closecalls import CLOSE
from hayfuncs.workbook.sheets.landing import Drawn


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def test_the_headline_says_what_weather_it_counts_and_what_cold_adds(opened):
    said = set()
    for lot, group in ((DEMO.lots[0], DEMO.groups[0]), (DEMO.lots[7], DEMO.groups[1])):
        choose(opened, lot.name, group.name)
        number = DEMO.groups.index(group) + 1
        coat = opened.get("care", "coat", number)
        shrunk, milk = opened.get("herd", "shrunk", number), opened.get("herd", "lactating", number)
        place_of_lot = DEMO.lots.index(lot) + 1
        tdn, nem = opened.get("lots", "tdn", place_of_lot), opened.get("lots", "nem", place_of_lot)
        mcal = hayfuncs.cold_increase(0, coat) / 100 * hayfuncs.nem_for_maintenance(shrunk, milk)
        more = mcal / nem * tdn / 100
        assert opened.at(opened.book.marks["ration"]["cold_tdn"]) == pytest.approx(more)
        text = opened.at(opened.book.marks["ration"]["weather"])
        assert (
            text
            == f"Mild weather is counted. At 0 deg F wind chill each head needs {more:.1f} lb more TDN: see Herd care (tab What could hurt)."
        )
        said.add(text)
    assert len(said) == 2


def lot_put(opened, number, **values):
    for field, value in values.items():
        opened.made.set_value("Lots", 7 + number, opened.book.marks["lots_at"][f"lab_{field}"] + 1, value)
    opened.made.evaluate_all()


def test_tdn_is_taken_from_the_best_that_was_measured(opened):
    """The sum by 48-hour NDF digestibility, then by lignin, then the laboratory's own, then ADF."""
    lot = DEMO.lots[0]
    parts = (lot.cp_pct, lot.fat_pct, lot.ash_pct, lot.ndf_pct)
    fiber = hayfuncs.tdn_from_ndf_digestibility(*parts, lot.ndfd48_pct, "grass")
    lignin = hayfuncs.tdn_from_lignin(*parts, 3.1, 0.9, 6.2)
    adf = hayfuncs.tdn_from_adf(lot.adf_pct)
    lot_put(opened, 1, lignin_pct=6.2, ndicp_pct=3.1, adicp_pct=0.9, lab_tdn_pct=56.5, lab_tdn_equation="summed")
    expected = [
        (fiber, "48-hour NDF digestibility"), (lignin, "lignin"), (56.5, "the laboratory (summed)"),
        (adf, "ADF, digestible dry matter"),
    ]  # fmt: skip
    for (tdn, name), gone in zip(
        expected, ({"ndfd48_pct": None}, {"ndicp_pct": None}, {"lab_tdn_pct": None}, {}), strict=True
    ):
        assert opened.get("lots", "tdn") == pytest.approx(tdn)
        assert opened.get("lots", "tdn_by") == name
        assert opened.at("Ration!B21") == name
        assert name.split(" (")[0].split(",")[0] not in opened.get("lots", "tdn_others")
        lot_put(opened, 1, **gone)
    assert len({round(tdn, 2) for tdn, _ in expected}) == 4


def test_where_another_way_to_tdn_changes_the_word_it_is_told(opened):
    """By the sum this hay leaves late-pregnant cows short of energy; by ADF it did not."""
    lot_put(opened, 1, ndfd48_pct=20)
    opened.put("lots", "lab_adf_pct", 30)
    choose(opened, DEMO.lots[0].name, DEMO.groups[1].name)
    assert opened.name("energy_short") > 0
    assert "enough energy by ADF." in opened.at("Ration!A23")
    lot_put(opened, 1, ndfd48_pct=70)
    opened.put("lots", "lab_adf_pct", 60)
    assert "needs energy by ADF." in opened.at("Ration!A23")


def test_picture_and_verdict_agree_on_every_pair(opened):
    """Each lot's mark is inside the corner of the chosen group's own need just where Which hay finds nothing short."""
    seen = set()
    for group in DEMO.groups:
        choose(opened, DEMO.lots[0].name, group.name)
        drawn = opened.book.find(Drawn)
        words, cp, tdn = (column(opened, span) for span in (drawn.says, drawn.cp, drawn.tdn))
        for word, protein, energy in zip(words, cp, tdn, strict=True):
            if word != CLOSE:  # a mark near a side of the corner, whose hay the test cannot place
                assert (protein >= 100 and energy >= 100) == (word in ("enough", "not sure")), (group.name, word)
                assert (energy < 100) == ("energy" in word) or "lb protein" in word
                assert (protein < 100) == ("protein" in word) or "lb energy" in word
            seen.add(word.split(" ")[0] if "lb" in word else word)
        number = sum(word in ("enough", "not sure") for word in words)
        sheet = opened.book.by_name("Lot picture")
        title = sheet.ref(sheet.pictures[0].row - 1, sheet.pictures[0].col)
        assert opened.at(title).startswith(f"{number} of {len(words)} lots are enough for {group.name}")
    assert {"enough", CLOSE} <= seen
    assert len(seen) > 6
