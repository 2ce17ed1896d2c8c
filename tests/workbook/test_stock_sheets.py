"""Stock, winter need, hay pile and feeder waste: published and hand values through the sheets themselves."""

from __future__ import annotations

import re

import pytest
from workbook.opened import Open

from hayfuncs.hosts import engine
from hayfuncs.workbook.model import Call, Formula


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def test_price_of_a_bale_is_that_of_texas(opened):
    # Texas A&M AgriLife E-319: $50 for 1,100 lb is $90.91 a ton
    opened.put("register", "weighed", 1100)
    opened.put("stock", "price", None)
    opened.put("stock", "bale_price", 50)
    assert opened.get("stock", "by_bale") == pytest.approx(90.91, abs=0.005)
    assert opened.get("stock", "paid") == opened.get("stock", "by_bale")
    opened.put("stock", "price", 100)  # a price typed by the ton goes before the bale's
    assert opened.get("stock", "paid") == 100


def test_hay_on_hand_by_hand(opened):
    # Heron Flat 1: 64 tons, net wrap on ground 19 %, open ring 20.5 %: 128,000 x 0.81 x 0.795 = 82,425.6 lb
    assert opened.get("stock", "net") == pytest.approx(82425.6, abs=0.05)
    assert opened.get("stock", "lost") == pytest.approx(12.16, abs=0.005)
    # (64 - 12.16) x 20.5 % = 10.6272
    assert opened.get("stock", "wasted") == pytest.approx(10.6272, abs=0.00005)


def test_losses_of_the_whole_store_give_the_hay_that_is_eaten(opened):
    store, eaten = opened.name("hay_in_store"), opened.name("hay_eaten")
    lost, wasted = opened.name("mean_storage_loss"), opened.name("mean_feeding_loss")
    assert store * (1 - lost / 100) * (1 - wasted / 100) == pytest.approx(eaten, rel=1e-12)


def test_break_even_against_the_reference_is_that_of_pennsylvania(opened):
    # $50 hay of 38 % TDN; hay of 59 % TDN at the same dry matter is worth 50 x 59 / 38 = $77.63
    at = opened.book.marks["lots_at"]
    for row, tdn in ((8, 38), (9, 59)):
        opened.made.set_value("Lots", row, at["tdn"] + 1, tdn)
        opened.made.set_value("Lots", row, at["lab_dm_pct"] + 1, 82)
    opened.put("stock", "price", 50)
    assert opened.get("stock", "even_tdn", 1) == pytest.approx(50)
    assert opened.get("stock", "even_tdn", 2) == pytest.approx(77.63, abs=0.005)
    assert opened.get("stock", "says", 1) == "the same"
    opened.put("stock", "price", 77, number=2)
    assert opened.get("stock", "says", 2) == "cheaper"
    opened.put("stock", "price", 78, number=2)
    assert opened.get("stock", "says", 2) == "dearer"


def test_need_of_a_group_by_hand(opened):
    head, intake, days = opened.get("winter", "head"), opened.get("winter", "intake"), opened.name("winter_days")
    dm, lost, wasted = (opened.name(k) for k in ("mean_dm", "mean_storage_loss", "mean_feeding_loss"))
    assert days == 140  # 1 December to 20 April
    by_hand = head * intake * days / (dm / 100) / (1 - lost / 100) / (1 - wasted / 100)
    assert opened.get("winter", "needed") == pytest.approx(by_hand, rel=1e-12)
    bales = opened.get("winter", "bales")
    weight = opened.get("winter", "weight")
    assert (bales - 1) * weight < by_hand <= bales * weight


def test_hay_eaten_from_match_or_from_the_need(opened):
    assert opened.get("winter", "intake") == opened.get("winter", "appetite")
    opened.set_name("hay_eaten_from", "need")
    assert opened.get("winter", "intake") == opened.get("winter", "need") != opened.get("winter", "appetite")


def test_short_or_enough_and_its_price(opened):
    short, tons = opened.name("hay_short"), opened.name("tons_short")
    assert short == pytest.approx(opened.name("hay_needed") - opened.name("hay_in_store"))
    assert opened.name("cost_short") == pytest.approx(tons * 140)
    assert opened.at(opened.book.marks["haypile"]["banner"]).startswith(
        "Short: the hay is gone on 22 Mar 2027, 29 days"
    )
    opened.set_name("turnout", 46357 + 100)
    assert opened.name("hay_short") == 0
    assert opened.name("cost_short") == 0
    assert opened.name("days_of_hay") > opened.name("winter_days")
    assert opened.at(opened.book.marks["haypile"]["banner"]).startswith("Enough:")


def test_turnout_before_the_start_is_said_and_nothing_is_computed(opened):
    opened.set_name("turnout", 46300)
    assert opened.name("winter_days") == "turnout is not after the start"
    assert opened.name("hay_needed") == "not entered"
    assert opened.name("cost_short") == "not entered"
    assert opened.at(opened.book.marks["haypile"]["banner"]).startswith("Not enough entered")


def test_a_lot_without_storage_or_feeder_is_left_out_and_counted(opened):
    store = opened.name("hay_in_store")
    opened.put("stock", "feeder", None)
    assert opened.get("stock", "net") == "not entered"
    assert opened.name("lots_left_out") == 1
    assert opened.name("hay_in_store") == store - 64 * 2000
    opened.put("register", "storage", None, number=2)
    assert opened.name("lots_left_out") == 2


def test_waste_at_the_feeders_of_michigan(opened):
    # Michigan State 2003: 25.3 lb eaten at the cone, 0.9 lb wasted a cow and day (3.5 %)
    for name, value in (("herd_head", 1), ("herd_intake", 25.3), ("winter_days", 1), ("mean_dm", 100)):
        opened.set_name(name, value)
    names = [opened.get("waste", "name", i) for i in range(1, 10)]
    at = names.index("cone") + 1
    assert opened.get("waste", "wasted", at) == pytest.approx(0.9, abs=0.05)
    opened.set_name("bought_price", 140)
    assert opened.get("waste", "cost", at) == pytest.approx(opened.get("waste", "wasted", at) / 2000 * 140)


def test_no_price_no_cost(opened):
    opened.set_name("bought_price", None)
    assert opened.name("cost_short") == "not entered"
    assert opened.get("waste", "cost") == "not entered"
    assert opened.name("tons_short") > 0


def test_longhand_follows_the_choice_for_every_lot(editions):
    """Round, rectangular and weighed bales, priced by ton and by bale: each lot's longhand equals the functions."""
    book, _, path = editions["functions"]
    running = Open(book, path)
    sheet = "Longhand stock"
    rows = [r for r, c in book.by_name(sheet).cells if c == 2]
    for i in range(book.marks["lots"]["n"]):
        running.set_name("chosen_lot", book.by_name("Lots").cells[7 + i, 0].content)
        assert running.at(book.marks["longhand_stock_difference"]) == pytest.approx(0, abs=1e-6)
        shown = [engine.plain_value(running.made.get_value(sheet, r + 1, 3)) for r in rows]
        assert not [v for v in shown if isinstance(v, str) and v.startswith("#")]
        assert sum(isinstance(v, (int, float)) for v in shown) >= 50


TABLES = (
    ("Register", "register"),
    ("Bench", "bench"),
    ("Stock", "stock"),
    ("Winter need", "winter"),
    ("Feeder waste", "waste"),
    ("Repeat tests", "repeats"),
    ("Hazards", "hazards"),
    ("Cautions", "cautions"),
    ("Herd care", "care"),
)


@pytest.mark.parametrize("edition", ["functions", "plain"])
@pytest.mark.parametrize(("sheet", "table"), TABLES)
def test_one_formula_a_column_of_each_table(editions, edition, sheet, table):
    book, _, _ = editions[edition]
    rows = range(7, 7 + book.marks[table]["n"])
    for mark, col in book.marks[f"{table}_at"].items():
        shapes = set()
        for row in rows:
            content = book.by_name(sheet).cells[row, col].content
            text = content.formula() if isinstance(content, (Call, Formula)) else str(content)
            if text.startswith("="):
                shapes.add(re.sub(rf"(?<=[A-Z]){row + 1}(?!\d)", "#", text))
        assert len(shapes) <= 1, (mark, shapes)
        kinds = {book.by_name(sheet).cells[row, col].entry is None for row in rows}
        assert len(kinds) == 1, mark
