"""Feed cost: the functions' own rates and costs, the right order, limits, and what cannot be fed."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from workbook.choosing import choose, marked, no_errors
from workbook.opened import Open

import hayfuncs
from hayfuncs.contract.errors import OutOfRange
from hayfuncs.ration import feeds as feed_table
from hayfuncs.workbook import build, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of

FEED = ("price", "dm_pct", "tdn_pct", "cp_pct")
STEP = 0.25  # lb, as on Assumptions
CASE = ("chosen_tdn_need", "chosen_cp_need", "chosen_hay_eaten", "chosen_hay_tdn", "chosen_hay_cp")


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def stepped(pounds):
    """Up to what is weighed out."""
    return math.ceil(round(pounds / STEP, 6)) * STEP


def offered(running):
    """(name, price, dry matter, TDN, CP) of each row of Feeds."""
    return list(zip(*(marked(running, "feeds", k) for k in ("name", *FEED)), strict=True))


def test_rates_and_costs_are_the_functions_own(opened):
    choose(opened, "Section Ten", "First-calf mothers")
    case = [opened.name(k) for k in CASE]
    rows = zip(offered(opened), *(marked(opened, "feedcost", k) for k in ("rate", "cost", "driver")), strict=True)
    seen = 0
    for (name, price, dm, tdn, cp), rate, cost, driver in rows:
        if not name:
            assert (rate, cost, driver) == ("", "", "")
            continue
        seen += 1
        args = ("pounds", *case, tdn, cp, dm, 0)
        exact = hayfuncs.supplement_rate(*args)
        assert rate == pytest.approx(stepped(exact))
        assert driver == hayfuncs.supplement_driver(*args)
        assert cost == pytest.approx(rate * price / 2000, rel=1e-9)
    assert seen == len(DEMO.prices)
    assert opened.name("hall_cost") in [pytest.approx(c) for c in marked(opened, "feedcost", "cost") if c != ""]


def test_limits_are_those_on_file(opened):
    limits = {row["feed"]: row for row in feed_table.wide_limits()}
    weight, hay = opened.name("chosen_weight"), opened.name("chosen_hay_eaten")
    room = opened.name("mix_room_pct_bw")
    over = 0
    columns = (marked(opened, "feedcost", k) for k in ("rate", "limit", "used", "caution"))
    for (name, _, dm, tdn, _), rate, says, used, caution in zip(offered(opened), *columns, strict=True):
        if not name:
            continue
        own = limits[name]
        dry = rate * dm / 100
        shares = [100 * dry * tdn / 100 / weight / 0.7]  # J. Anim. Sci. 1999: 0.7 % of body weight of TDN
        shares.append(100 * dry / weight / room)  # the same room as that of the cheapest mix
        shares += [rate / own["limit_lb_day"]] if own["limit_lb_day"] else []
        shares += [100 * rate / weight / own["limit_pct_bw"]] if own["limit_pct_bw"] else []
        shares += [100 * dry / (hay + dry) / own["limit_pct_diet"]] if own["limit_pct_diet"] else []
        assert used == pytest.approx(100 * max(shares), rel=1e-9)
        assert says == ("over its limit" if max(shares) > 1 else "within")
        assert caution == hayfuncs.feed_caution(name, rate, weight)
        over += max(shares) > 1
    assert over >= 3
    assert f"{over} would be over a limit" in opened.at(opened.book.marks["feedcost"]["counts"])


def test_cheapest_on_top_and_the_finding_names_it(opened):
    for lot, group in (("Heron Flat 1", DEMO.groups[0].name), ("Section Ten", DEMO.groups[1].name)):
        choose(opened, lot, group)
        rows = list(zip(*(marked(opened, "feedcost", k) for k in ("name", "cost", "limit")), strict=True))
        named = [r for r in rows if r[1] != ""]
        labels = [
            n + (" (over its limit)" if s == "over its limit" else "") for n, _, s in sorted(named, key=lambda r: r[1])
        ]
        assert marked(opened, "feedcost", "sorted") == labels + [""] * (len(rows) - len(named))
        within, over = (marked(opened, "feedcost", f"sorted_{k}") for k in ("within", "over"))
        assert all(w == 0 or o == 0 for w, o in zip(within, over, strict=True))
        assert [w + o for w, o in zip(within, over, strict=True)][: len(named)] == sorted(r[1] for r in named)
        best = min((r for r in named if r[2] == "within"), key=lambda r: r[1])
        banner = opened.at(opened.book.marks["feedcost"]["banner"])
        assert banner == f"Cheapest within its limit: {best[0]}, ${best[1]:.2f} a head a day."


def test_a_price_that_falls_moves_a_feed_to_the_top(opened):
    row = list(DEMO.prices).index("alfalfa cubes") + 1
    assert marked(opened, "feedcost", "sorted")[0] != "alfalfa cubes"
    opened.put("feeds", "price", 20, number=row)
    assert marked(opened, "feedcost", "sorted")[0] == "alfalfa cubes"
    assert "alfalfa cubes, $0.06" in opened.at(
        opened.book.marks["feedcost"]["banner"]
    )  # 6.30 lb, so 6.5, at a cent: 6.5 cents
    assert marked(opened, "feedcost", "by_tdn")[0] == "alfalfa cubes"
    # 20 / (2,000 x 0.91 x 0.58) = 0.01895 $/lb of TDN
    assert marked(opened, "feedcost", "tdn_prices")[0] == pytest.approx(0.01895, abs=0.000005)


def type_feed(running, number, name, *values, book="none"):
    for key, value in zip(("name", "book", *FEED), (name, book, *values), strict=True):
        running.made.set_value(*running.cell("feeds", key, number), value)
    running.made.evaluate_all()


def test_equal_costs_keep_the_order_of_feeds(opened):
    same = dict(zip([o[0] for o in offered(opened)], offered(opened), strict=True))["corn gluten feed"][1:]
    type_feed(opened, 16, "second load", *same)
    type_feed(opened, 14, "first load", *same)
    order = marked(opened, "feedcost", "sorted")
    at = order.index("corn gluten feed")
    assert order[at : at + 3] == ["corn gluten feed", "first load", "second load"]
    places = [p for p in marked(opened, "feedcost", "place") if p != ""]
    assert sorted(places) == list(range(1, 16))
    for mark in ("by_tdn", "by_cp"):
        ladder = marked(opened, "feedcost", mark)
        at = ladder.index("corn gluten feed")
        assert ladder[at : at + 3] == ["corn gluten feed", "first load", "second load"]


def test_a_seventeenth_feed_of_the_users_own(opened):
    type_feed(opened, 17, "my own meal", 300, 88, 75, 30)
    cost = dict(zip(marked(opened, "feedcost", "name"), marked(opened, "feedcost", "cost"), strict=True))["my own meal"]
    case = [opened.name(k) for k in CASE]
    assert cost == pytest.approx(stepped(hayfuncs.supplement_rate("pounds", *case, 75, 30, 88, 0)) * 300 / 2000)
    assert marked(opened, "feedcost", "caution")[16].startswith("No feeding limit is on file")
    assert "my own meal" in marked(opened, "feedcost", "sorted")
    no_errors(opened)


def test_a_feed_that_cannot_is_said_in_words(opened):
    type_feed(opened, 14, "urea 45", 600, 99, 0, 281, book="urea 45")
    type_feed(opened, 15, "sand", 10, 99, 0, 0)
    type_feed(opened, 16, "no price", None, 90, 70, 20)
    can = marked(opened, "feedcost", "can")
    assert can[13] == "no: too little TDN"
    assert can[14] == "no: too little TDN and too little CP"
    assert can[15] == "no: not all typed in"
    assert can[16] == ""
    bottom = marked(opened, "feedcost", "sorted")[13:]
    assert bottom == [
        "urea 45 (no: too little TDN)",
        "sand (no: too little TDN and too little CP)",
        "no price (no: not all typed in)",
        "",
    ]
    assert "3 cannot" in opened.at(opened.book.marks["feedcost"]["counts"])
    no_errors(opened)


@pytest.mark.parametrize("displaced", [0.5, 1.2, 1.9, 3])
@pytest.mark.parametrize("lot", ["Heron Flat 1", "Heron Flat 2", "Section Ten"])
def test_what_the_function_refuses_cannot_and_nothing_else(opened, lot, displaced):
    choose(opened, lot, DEMO.groups[0].name, displaced)
    case = [opened.name(k) for k in CASE]
    for (name, _, dm, tdn, cp), can, rate in zip(offered(opened), marked(opened, "feedcost", "can"), marked(opened, "feedcost", "rate"), strict=True):  # fmt: skip
        if not name:
            continue
        try:
            expected = hayfuncs.supplement_rate("pounds", *case, tdn, cp, dm, displaced)
        except OutOfRange:
            assert can.startswith("no: "), name
        else:
            assert can == "yes", name
            assert rate == pytest.approx(stepped(expected))
    no_errors(opened)


def test_a_hay_that_carries_her_needs_no_supplement(opened):
    choose(opened, "Mill Bottom 1", "Dry cows, mid pregnancy")
    banner = opened.at(opened.book.marks["feedcost"]["banner"])
    assert banner == "No supplement is needed: Mill Bottom 1 is enough for Dry cows, mid pregnancy by itself."
    assert {c for c in marked(opened, "feedcost", "cost") if c != ""} == {0}
    assert [n for n in marked(opened, "feedcost", "sorted") if n] == list(DEMO.prices)
    no_errors(opened)


def test_no_feed_within_its_limits_is_said(opened):
    for number in range(1, len(DEMO.prices) + 1):
        opened.made.set_value(*opened.cell("feeds", "tdn_pct", number), 0)
    opened.made.evaluate_all()
    banner = opened.at(opened.book.marks["feedcost"]["banner"])
    assert banner == "No feed on Feeds closes the gap by itself within its limits."
    no_errors(opened)


@pytest.mark.parametrize("edition", build.EDITIONS)
def test_one_lot_one_group_one_feed(edition):
    farm = replace(DEMO, lots=DEMO.lots[:1], groups=DEMO.groups[:1], prices={"oats": 250.0}, choice=("", "", ""))
    book = build.build(farm, edition)
    values = write.compute(book)
    assert write.faults(values) == []
    sheet, row, col = place_of(book.marks["feedcost"]["sorted"])[:3]
    assert values[sheet, row, col] == "oats (over its limit)"
    banner = place_of(book.marks["feedcost"]["banner"])[:3]
    assert values[banner] == "No feed on Feeds closes the gap by itself within its limits."
