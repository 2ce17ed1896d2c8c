"""A user's own list of lots: bales, weights, prices, dates and storage reach the sheets that use them."""

from __future__ import annotations

import datetime as dt

import pytest
from workbook.opened import Open

from hayfuncs.importers.lots import read_lots
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO, own

HEAD = "Lot,Field,Cutting,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %,Tons on hand,Bales,Bale weight (lb),Bale type,Price ($/ton),Harvest date,Sample date,Cores,Storage,Feeder,Notes"
ROWS = (
    "North,Home place,1,grass,dry,89,9.5,38,61,,80,1100,round,95,2026-06-14,2026-08-01,20,barn,cone,rained on",
    "South,,,legume,dry,88,17,31,40,12,,,,,,,,,,",
)


@pytest.fixture(scope="module")
def mine(tmp_path_factory):
    folder = tmp_path_factory.mktemp("own")
    (folder / "lots.csv").write_text("\n".join((HEAD, *ROWS)) + "\n")
    farm = own(DEMO, read_lots(folder / "lots.csv"), None)
    book, _ = build.save(farm, folder / "own.xlsx")
    return Open(book, folder / "own.xlsx"), book


def day(number: int) -> dt.date:
    return dt.date(1899, 12, 30) + dt.timedelta(days=int(number))


def test_what_the_list_says_stands_in_the_register(mine):
    opened, _ = mine
    assert opened.get("register", "bales") == 80
    assert opened.get("register", "weighed") == 1100
    assert opened.get("register", "bale") == "round"
    assert opened.get("register", "storage") == "barn"
    assert opened.get("register", "cores") == 20
    assert opened.get("register", "remarks") == "rained on"
    assert day(opened.get("register", "harvest")) == dt.date(2026, 6, 14)
    assert day(opened.get("register", "sampled")) == dt.date(2026, 8, 1)


def test_tons_price_and_storage_follow(mine):
    opened, _ = mine
    assert opened.get("register", "tons") == pytest.approx(80 * 1100 / 2000)  # no tons in the list
    assert opened.get("register", "tons", 2) == 12
    assert opened.get("stock", "paid") == 95
    assert opened.get("stock", "storage_loss") == 6  # barn, University of Tennessee
    assert opened.get("stock", "paid", 2) == "not entered"
    assert opened.get("stock", "storage_loss", 2) == "not entered"


def test_nothing_invented_for_the_demo_reaches_another_farm(mine):
    opened, _ = mine
    for table, mark in (
        ("hazards", "temp"),
        ("repeats", "second_cp"),
        ("bench", "bag"),
        ("care", "air"),
        ("register", "hours"),
    ):
        assert not opened.get(table, mark), (table, mark)
    assert opened.name("core_sd") in (None, "")


def test_the_feeder_is_the_lists_or_the_usual_one_and_this_is_told(mine):
    opened, book = mine
    assert opened.get("stock", "feeder") == "cone"
    assert opened.get("stock", "feeder", 2) == "open ring"
    no_herd, told = book.marks["told"]
    assert no_herd.startswith("No herd list was given, so the cows are the demo's")
    assert told.startswith("Assumed for South: fed in an open ring, 20.5 % of the hay wasted")
    about = [cell.content for cell in book.by_name("Start").cells.values() if isinstance(cell.content, str)]
    assert told in about
    assert any(text.startswith(f"Your own lots. {no_herd}") for text in about)
    assert "Fed in on Stock" not in opened.get("register", "missing", 2)


def test_the_hay_pile_says_what_is_left_out_and_what_is_missing(mine):
    opened, book = mine
    banner, money = book.marks["haypile"]["banner"], book.marks["haypile"]["money"]
    assert opened.name("lots_left_out") == 1  # the second lot has no storage
    assert opened.at(banner).startswith("Short: the hay is gone on")
    assert opened.at(money).endswith("Not counted: 1 of 2 lots (Stock, tab Stacks).")
    opened.put("stock", "feeder", None)
    opened.put("stock", "feeder", None, 2)
    assert opened.at(banner) == (
        "Not enough entered: Register (tab Stacks), Where stored: 1 of 2 lots blank; Stock (tab Stacks), Fed in: 2 of 2 lots blank."
    )
    assert opened.at(money).startswith("What to buy is not known.")
    assert "Fed in on Stock" in opened.get("register", "missing")
    for number, storage in ((1, "barn"), (2, "barn")):
        opened.put("stock", "feeder", "cone", number)
        opened.put("register", "storage", storage, number)
        opened.put("register", "bales", 0, number)
    opened.put("lots", "tons", 0, 2)
    assert opened.at(banner) == "Not enough entered: no lot has tons in store."
