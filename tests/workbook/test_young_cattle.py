"""Young cattle: the sheet against the functions and against sums written anew, and what is said when something is missing."""

from __future__ import annotations

import pytest
from workbook.opened import Open

import hayfuncs
from hayfuncs.hosts import engine
from hayfuncs.workbook import build
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.sheets.youngcows import ROWS

SHRINK = 0.96
ALONE, FED = 1, 2


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def put(opened, **values):
    for key, value in values.items():
        sheet, row, col, _, _ = place_of(opened.book.marks["youngcattle"][key])
        opened.made.set_value(sheet, row + 1, col + 1, value)
    opened.made.evaluate_all()


def said(opened, key):
    return opened.at(opened.book.marks["youngcattle"][key])


def cell(opened, table, key, number):
    """A row of a table that stands below others, counted from 1."""
    sheet, row, col, _, _ = place_of(opened.book.marks[table][key])
    return engine.plain_value(opened.made.get_value(sheet, row + number, col + 1))


def settled(kind, shrunk, feed_lb, feed_tdn, hay_tdn):
    """What they eat of hay and feed, found by halving and not by the sheet's four rounds."""
    low, high = 0.0, 60.0
    for _ in range(80):
        eaten = (low + high) / 2
        tdn = (feed_lb * feed_tdn + (eaten - feed_lb) * hay_tdn) / eaten
        more = hayfuncs.growing_intake(kind, shrunk, min(94, max(40, tdn))) > eaten
        low, high = (eaten, high) if more else (low, eaten)
    return eaten, (feed_lb * feed_tdn + (eaten - feed_lb) * hay_tdn) / eaten


CASES = (
    ("heifer calf", 540, 1250, "Heron Flat 1", "corn gluten feed", 4.0),
    ("steer calf", 480, 1300, "Windmill Forty", "soybean hulls", 6.0),
    ("yearling bull", 1100, 2000, "North Bench 2", "corn grain", 2.0),
    ("bull calf", 620, 1900, "Section Ten", "soybean meal 48", 1.5),
)


@pytest.mark.parametrize(("kind", "weight", "grown", "lot", "feed", "pounds"), CASES)
def test_gain_with_and_without_the_feed_is_the_functions_own(opened, kind, weight, grown, lot, feed, pounds):
    put(opened, lot=lot, kind=kind, weight=weight, grown=grown, feed=feed, pounds=pounds)
    assert said(opened, "stop") == ""
    lots = [opened.get("lots", "name", i) for i in range(1, opened.book.marks["lots"]["n"] + 1)]
    feeds = [opened.get("feeds", "name", i) for i in range(1, opened.book.marks["feeds"]["n"] + 1)]
    hay, given = lots.index(lot) + 1, feeds.index(feed) + 1
    hay_tdn, hay_cp = opened.get("lots", "tdn", hay), opened.get("lots", "cp", hay)
    dm, tdn, cp = (opened.get("feeds", key, given) for key in ("dm_pct", "tdn_pct", "cp_pct"))
    shrunk, full = weight * SHRINK, grown * SHRINK
    for row, feed_lb in ((ALONE, 0.0), (FED, pounds * dm / 100)):
        eaten, mixed = settled(kind, shrunk, feed_lb, tdn, hay_tdn)
        assert cell(opened, "gains", "eaten", row) == pytest.approx(eaten, abs=0.005)
        assert cell(opened, "gains", "tdn", row) == pytest.approx(mixed, abs=0.02)
        gain = hayfuncs.gain_on_diet(kind, shrunk, eaten, mixed, full)
        assert cell(opened, "gains", "gain", row) == pytest.approx(gain, abs=0.004)
        need = hayfuncs.growing_need("CP", kind, shrunk, float(cell(opened, "gains", "gain", row)), full)
        assert cell(opened, "ranges", "cp_need", row) == pytest.approx(need, rel=1e-9)
        eaten_cp = ((eaten - feed_lb) * hay_cp + feed_lb * cp) / 100
        assert cell(opened, "ranges", "cp_given", row) == pytest.approx(eaten_cp, abs=0.002)
        low, high = cell(opened, "ranges", "gain_low", row), cell(opened, "ranges", "gain_high", row)
        assert low <= cell(opened, "gains", "gain", row) <= high
        assert low < high
        # energy balance: what is eaten beyond upkeep is the energy of the gain (the book's two forms agree to 0.5 %)
        nem, neg = hayfuncs.nem_from_tdn(mixed), hayfuncs.neg_from_tdn(mixed)
        left = (eaten - cell(opened, "gains", "upkeep", row) / nem) * neg
        assert cell(opened, "gains", "growth", row) == pytest.approx(max(0, left), rel=0.01, abs=0.02)


def test_days_by_hand(opened):
    gain = cell(opened, "gains", "gain", FED)
    assert cell(opened, "gains", "days", FED) == pytest.approx((812 - 540) * SHRINK / gain)
    put(opened, target=540)
    assert cell(opened, "gains", "days", FED) == 0
    put(opened, target=900, lot="Section Ten", pounds=0)
    assert cell(opened, "gains", "days", ALONE) == ("never" if cell(opened, "gains", "gain", ALONE) < 0.05 else pytest.approx(
        (900 - 540) * SHRINK / cell(opened, "gains", "gain", ALONE)))  # fmt: skip


def test_the_sentences_say_what_the_table_holds(opened):
    for row, key, words in (
        (ALONE, "alone", "Heron Flat 1 alone: the 540-lb heifer calf gains "),
        (FED, "fed", "With 4.0 lb of corn gluten feed: it gains "),
    ):
        gain, low, high = (cell(opened, t, k, row) for t, k in (("gains", "gain"), ("ranges", "gain_low"), ("ranges", "gain_high")))  # fmt: skip
        days = cell(opened, "gains", "days", row)
        assert said(opened, key).startswith(
            f"{words}{gain:.1f} lb a day ({low:.1f} to {high:.1f}) and weighs 812 lb in {days:.0f} days."
        )
    assert said(opened, "alone").endswith(f"Protein is short by {cell(opened, 'ranges', 'cp_short', ALONE):.2f} lb.")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"lot": "no such hay"}, "✗ This hay lot is not on Lots: choose again."),
        ({"feed": "no such feed"}, "✗ This feed is not on Feeds: choose again."),
        ({"weight": None}, "✗ A needed value is empty."),
        ({"kind": None}, "✗ A needed value is empty."),
        ({"pounds": 30}, "✗ That is more feed than most of what they eat: give fewer pounds."),
    ],
)
def test_what_is_missing_is_said_and_no_number_stands(opened, typed, words):
    put(opened, **typed)
    assert said(opened, "alone") == words
    assert said(opened, "fed") == said(opened, "gravest") == ""
    for table, keys in (("gains", ("eaten", "gain", "days")), ("ranges", ("cp_need", "gain_low", "cp_short"))):
        assert {cell(opened, table, key, row) for key in keys for row in (ALONE, FED)} == {""}


def test_no_feed_is_said(opened):
    put(opened, pounds=0)
    assert said(opened, "fed") == "No feed is counted: type its pounds below."
    assert cell(opened, "gains", "gain", FED) == cell(opened, "gains", "gain", ALONE)


@pytest.mark.parametrize(
    ("typed", "begins"),
    [
        ({"feed": "corn grain", "pounds": 4}, "Danger: Too much grain can kill"),
        ({"lot": "Windmill Forty", "feed": "soybean hulls"}, "Caution: this hay: Nitrate"),
        ({"lot": "Mill Bottom 3", "feed": "soybean hulls", "pounds": 8}, "Caution: "),
    ],
)
def test_the_gravest_comes_first(opened, typed, begins):
    put(opened, **typed)
    assert said(opened, "gravest").startswith(begins)


def test_a_hay_at_danger_comes_before_everything(opened):
    opened.put("lots", "lab_nitrate_n_ppm", 4200)
    assert said(opened, "gravest") == "Danger: this hay: Nitrate. Do not feed it before your vet says so."


def test_feeds_of_which_calves_die_are_told_in_full(opened):
    """The lines at the left hold every word of the function's caution."""
    put(opened, feed="corn grain", pounds=4)
    sheet = opened.book.by_name("Young cattle")
    column = [opened.made.get_value("Young cattle", row + 1, 1) for row in range(sheet.last_row + 1)]
    whole = " ".join(str(text) for text in column if text)
    for words in (hayfuncs.feed_caution("corn grain", 4, 540), hayfuncs.grain_caution(4, 540)):
        assert words in whole


@pytest.mark.parametrize("edition", build.EDITIONS)
def test_young_cows_need_what_the_functions_say(editions, edition):
    book, values, _ = editions[edition]
    for i, one in enumerate(ROWS):
        milk = hayfuncs.young_cow_milk(20, one.calf)
        args = (1250 * SHRINK, one.weight * SHRINK, one.gain, one.month, milk, 80)

        def shown(key, i=i):
            sheet, row, col, _, _ = place_of(book.marks["youngcows"][key])
            return values[sheet, row + i, col]

        assert shown("eats") == pytest.approx(hayfuncs.heifer_need("DM", *args), rel=1e-6)
        assert shown("tdn_need") == pytest.approx(hayfuncs.heifer_need("TDN", *args), rel=1e-6)
        assert shown("cp_pct") == pytest.approx(hayfuncs.heifer_density("CP", *args), rel=1e-6)
        assert shown("tdn_pct") == pytest.approx(hayfuncs.heifer_density("TDN", *args), rel=1e-6)


def test_percent_is_what_fails_and_the_sentence_says_of_which(opened):
    """Pounds like a cow's or fewer, and a richer diet: the finding of domain and of the University of Wyoming."""
    cow = len(ROWS)
    for row in (1, 2, 3):
        assert cell(opened, "youngcows", "tdn_need", row) < cell(opened, "youngcows", "tdn_need", cow)
        assert cell(opened, "youngcows", "tdn_pct", row) > cell(opened, "youngcows", "tdn_pct", cow)
    points = cell(opened, "youngcows", "tdn_points", 2)
    assert f"first-calf cows short of {points:.1f} points of TDN" in said(opened, "cows")
    put(opened, lot="Mill Bottom 3")
    assert "Bred heifers enough" in said(opened, "cows") or "too close to call" in said(opened, "cows")
