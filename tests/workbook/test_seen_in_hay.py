"""What somebody saw in a lot: its words where the lot is judged, where it is fed, and who decides."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workbook.opened import Open

import hayfuncs
from hayfuncs.contract.tables import load
from hayfuncs.importers.lots import read_lots, write_lots
from hayfuncs.workbook import build, write
from hayfuncs.workbook.farm import DEMO

WORDS = load("seen_in_hay").names()
WHO = ("veterinarian", "fire service", "extension office")
LAST = 10  # Windmill Forty


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def see(opened, value, field="seen", number=1):
    opened.made.set_value("Lots", 7 + number, opened.book.marks["lots_at"][f"lab_{field}"] + 1, value)
    opened.made.evaluate_all()


@pytest.mark.parametrize("word", WORDS)
def test_each_word_has_a_level_and_says_who_decides(word):
    text = hayfuncs.seen_in_hay_caution(word)
    assert text.split(":")[0] in ("Clear", "Caution", "Danger")
    assert any(who in text for who in WHO)
    assert len(word) <= 18  # stands in the sentence of the hall's sheet


def test_nobody_has_said_is_no_word_at_all(opened):
    assert opened.get("cautions", "seen") == "not noted"
    assert opened.get("hazards", "seen") == ""
    before = opened.get("cautions", "count_not")
    see(opened, "nothing")
    assert opened.get("cautions", "seen") == "Clear"
    assert opened.get("cautions", "count_not") == before  # a look is no test
    assert opened.get("cautions", "count_err") == 0


def test_what_was_seen_is_told_at_the_lot_in_the_ration_and_on_the_first_sheet(opened):
    lot = opened.name("chosen_lot")
    at = [row.name for row in DEMO.lots].index(lot) + 1
    cautions = opened.get("cautions", "count_cau", at)
    see(opened, "mold", number=at)
    see(opened, "dead animal", "seen_too", number=at)
    assert opened.get("hazards", "seen", at) == hayfuncs.seen_in_hay_caution("mold")
    assert opened.get("cautions", "seen", at) == "Caution"
    assert opened.get("cautions", "seen_too", at) == "Danger"
    assert opened.get("cautions", "count_cau", at) == cautions + 1
    assert opened.get("cautions", "dangers", at) == "Also seen."
    assert "Seen in the hay: Caution." in opened.get("cautions", "named", at)
    sheet = opened.book.marks["dietcautions"]["short"].split("!")[0].strip("'")
    told = [str(opened.made.get_value(sheet, row, col)) for row in range(1, 60) for col in range(1, 10)]
    for word in ("mold", "dead animal"):
        assert any(hayfuncs.seen_in_hay_caution(word) in text for text in told), word
    assert any("Seen in this hay: dead animal. Do not feed it; ask your vet." in text for text in told)


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_a_farm_with_flags_has_no_error_and_its_hay_at_danger_is_left_out_of_the_plan(edition):
    lots = tuple(replace(x, seen="poisonous plants") if x.name == "Section Ten" else x for x in DEMO.lots)
    book = build.build(replace(DEMO, lots=lots), edition)
    values = write.compute(book)
    assert write.faults(values) == []
    said = [str(v) for v in values.values()]
    assert hayfuncs.seen_in_hay_caution("poisonous plants") in said
    assert "left out for safety: what was seen in it" in said
    assert "Section Ten" not in {lot.name for lot in book.marks["solved"].farm.lots}
    assert not [text for text in said if text.startswith("left out for safety") and "prussic" in text]


def test_there_and_back_through_lots_csv(tmp_path):
    lots = [replace(DEMO.lots[0], seen="mold", seen_too="wire or metal")]
    write_lots(tmp_path / "OUT.csv", lots)
    (back,) = read_lots(tmp_path / "OUT.csv")
    assert (back.seen, back.seen_too) == ("mold", "wire or metal")
    head = (tmp_path / "OUT.csv").read_text("utf-8-sig").splitlines()[0]
    assert "Seen in the hay" in head.split(",")
