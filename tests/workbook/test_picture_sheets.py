"""Cow year and Feed cost: the functions' own values, sentences that follow the inputs, and the right order."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace

import openpyxl
import pytest
from workbook.opened import Open
from workbook.places import place

import hayfuncs
from hayfuncs import feeds as feed_table
from hayfuncs.errors import OutOfRange
from hayfuncs.hosts import engine
from hayfuncs.workbook import build, write
from hayfuncs.workbook.book import Call, place_of
from hayfuncs.workbook.farm import DEMO

FEED = ("price", "dm_pct", "tdn_pct", "cp_pct")
CASE = ("chosen_tdn_need", "chosen_cp_need", "chosen_hay_eaten", "chosen_hay_tdn", "chosen_hay_cp")


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def column(running, ref):
    """The values of a range that is one column."""
    sheet, row, col, last, _ = place_of(ref)
    return [engine.plain_value(running.made.get_value(sheet, r + 1, col + 1)) for r in range(row, last + 1)]


def marked(running, table, mark):
    return column(running, running.book.marks[table][mark])


def choose(running, lot, group=None, displaced=None):
    for name, value in (("chosen_lot", lot), ("chosen_group", group), ("hay_displaced", displaced)):
        if value is not None:
            running.made.set_value(*place(running.book.names[name]), value)
    running.made.evaluate_all()


def offered(running):
    """(name, price, dry matter, TDN, CP) of each row of Feeds."""
    return list(zip(*(marked(running, "feeds", k) for k in ("name", *FEED)), strict=True))


def no_errors(running):
    for name in ("Cow year", "Feed cost"):
        sheet = running.book.by_name(name)
        shown = {k: engine.plain_value(running.made.get_value(name, k[0] + 1, k[1] + 1)) for k in sheet.cells}
        assert not {k: v for k, v in shown.items() if isinstance(v, str) and v.startswith("#")}


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
    ring = ", past calving," if begins[0] > ends[0] else ""
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
            need = hayfuncs.daily_need(
                nutrient, shrunk, month, cow.peak_milk_lb, cow.calf_weight_lb, cow.condition_score
            )
            assert values[sheet, row + month - 1, col] == pytest.approx(need, rel=1e-9)


def test_the_month_she_is_in_shows_what_ration_shows(opened):
    for lot in ("Heron Flat 1", "Section Ten"):
        for group in DEMO.groups:
            choose(opened, lot, group.name)
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
        assert banner == f"{lot.name} carries {opened.name('chosen_group')} by itself in {carried} of 12 months"
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
        ({11, 12, 1}, "from month 11, past calving, to month 1"),
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
        assert rate == pytest.approx(hayfuncs.supplement_rate(*args), rel=1e-9)
        assert driver == hayfuncs.supplement_driver(*args)
        assert cost == pytest.approx(hayfuncs.supplement_rate(*args) * price / 2000, rel=1e-9)
    assert seen == len(DEMO.prices)
    assert opened.name("cost_per_cow_day") in [pytest.approx(c) for c in marked(opened, "feedcost", "cost") if c != ""]


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
        assert (
            banner
            == f"Cheapest way to close the gap that keeps within its limit: {best[0]}, ${best[1]:.2f} a cow a day."
        )


def test_a_price_that_falls_moves_a_feed_to_the_top(opened):
    row = list(DEMO.prices).index("alfalfa cubes") + 1
    assert marked(opened, "feedcost", "sorted")[0] != "alfalfa cubes"
    opened.put("feeds", "price", 20, number=row)
    assert marked(opened, "feedcost", "sorted")[0] == "alfalfa cubes"
    assert "alfalfa cubes, $0.06" in opened.at(opened.book.marks["feedcost"]["banner"])  # 6.37 lb at a cent
    assert marked(opened, "feedcost", "by_tdn")[0] == "alfalfa cubes"
    # 20 / (2,000 x 0.90 x 0.58) = 0.01916 $/lb of TDN
    assert marked(opened, "feedcost", "tdn_prices")[0] == pytest.approx(0.01916, abs=0.000005)


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
    assert cost == pytest.approx(hayfuncs.supplement_rate("pounds", *case, 75, 30, 88, 0) * 300 / 2000, rel=1e-9)
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
            assert rate == pytest.approx(expected, rel=1e-9)
    no_errors(opened)


def test_a_hay_that_carries_her_needs_no_supplement(opened):
    choose(opened, "Mill Bottom 1", "Dry cows, mid pregnancy")
    banner = opened.at(opened.book.marks["feedcost"]["banner"])
    assert banner == "No supplement is needed: Mill Bottom 1 carries Dry cows, mid pregnancy by itself."
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


def test_titles_are_the_findings_and_every_bar_has_its_name(editions):
    book, _, path = editions["functions"]
    with zipfile.ZipFile(path) as file:
        charts = [file.read(n).decode() for n in file.namelist() if n.startswith("xl/charts/chart")]
    titles = {re.search(r"<c:title><c:tx><c:strRef><c:f>([^<]+)</c:f>", chart).group(1) for chart in charts}
    marks = book.marks
    wanted = [marks["cowyear"]["TDN"], marks["cowyear"]["CP"], *(marks["feedcost"][k] for k in ("banner", "TDN", "CP"))]
    assert set(wanted) <= titles
    drawn = [c for c in charts if "Cow year" in c or "Feed cost" in c]
    assert len(drawn) == 5
    assert all('<c:tickLblSkip val="1"/>' in c for c in drawn)
    assert all("pattFill" in c or "A pound of TDN" in c for c in drawn)  # the hatch that tells two bars apart


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_one_formula_a_column(editions, edition):
    book, _, _ = editions[edition]
    tables = [("Cow year", book.marks["cowyear"]["says"])]
    tables += [("Feed cost", book.marks["feedcost"][k]) for k in ("sorted", "can", "place")]
    for name, ref in tables:
        _, first, _, last, _ = place_of(ref)
        cells = book.by_name(name).cells
        for col in {c for r, c in cells if first <= r <= last}:
            shapes = set()
            for row in range(first, last + 1):
                content = cells[row, col].content
                text = content.formula() if isinstance(content, Call) else str(content)
                if text.startswith("="):
                    shapes.add(re.sub(r"(?<=[A-Z])(\d+)(?!\d)", lambda m, at=row: f"[{int(m.group(1)) - at}]", text))
            assert len(shapes) <= 1, (name, col, shapes)


def test_stored_values_are_in_the_file(editions):
    _, _, path = editions["plain"]
    file = openpyxl.load_workbook(path, data_only=True)
    assert file["Cow year"]["A5"].value.startswith("Heron Flat 1 carries")
    assert file["Feed cost"]["A5"].value.startswith("Cheapest way to close the gap")
