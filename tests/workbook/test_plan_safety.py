"""The winter plan's sheets: nitrate of all hays together, the month of calving, urea, and hay to buy with its test."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
import winterlib
from where import Parts
from workbook.byhand import typed
from workbook.opened import Open

import hayfuncs
from hayfuncs.winter import solve as winter
from hayfuncs.workbook import build, mixing, planreport, write
from hayfuncs.workbook import rebuild as making
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.season import OFFERS
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.groupmonths import OUTSIDE

MIDWINTER = 1700  # ppm of nitrate nitrogen, counted as 1,889: a quarter of the diet of cows in calf, half of others', less a tenth
FOUR = ("Heron Flat 1", "North Bench 1", "Section Ten", "Windmill Forty")
DAY_ZERO = date(1899, 12, 30)


def marked(opened, table, number):
    return {mark: opened.get(table, mark, number) for mark in opened.book.marks[f"{table}_at"]}


@pytest.fixture(scope="module")
def four(tmp_path_factory):
    """Four lots at 1,700 ppm: a quarter of the diet each, and no more than a quarter in all."""
    lots = tuple(replace(lot, nitrate_n_ppm=MIDWINTER) if lot.name in FOUR else lot for lot in DEMO.lots)
    path = tmp_path_factory.mktemp("four") / "four.xlsx"
    season = replace(DEMO.season, hay_is_mixed=True)
    book, values = build.save(replace(DEMO, lots=lots, season=season), path)
    return book, values, path


def test_four_lots_of_a_quarter_each_are_a_quarter_together(four):
    solved = four[0].marks["solved"]
    farm, plan = solved.farm, solved.plan
    assert {lot.name for lot in farm.lots if lot.max_pct_pregnant == pytest.approx(22.5)} == set(FOUR)
    assert plan.feasible
    assert winterlib.faults(farm, plan) == []
    dm = {s.name: s.dm_pct for s in (*farm.lots, *farm.for_sale, *farm.feeds)}
    groups, periods = {g.name: g for g in farm.groups}, {p.label: p for p in farm.periods()}
    most = 0.0
    for balance in plan.balances:
        rows = [r for r in plan.rows if (r.period, r.group) == (balance.period, balance.group) and r.name in FOUR]
        group = groups[balance.group]
        dry = sum(r.lb_head_day * dm[r.name] / 100 * (1 - group.feeding_loss_pct / 100) for r in rows)
        share = 100 * dry / balance.dm_lb
        assert share <= (22.5 if winter.in_calf(farm, group, periods[balance.period]) else 45) + 1e-6
        most = max(most, share)
    assert most > 20


def test_amounts_within_each_share_and_together_over_are_said_on_every_sheet(four):
    """All that is allowed, a tenth below a quarter of the diet, of each of the four hays to one group in one month."""
    opened = Open(four[0], four[2])
    solved = four[0].marks["solved"]
    dm = {lot.name: lot.dm_pct for lot in solved.farm.lots}
    place = next((r.period, r.group) for r in solved.plan.rows if r.name in FOUR)
    group = next(g for g in solved.farm.groups if g.name == place[1])
    eaten = next(b.dm_lb for b in solved.plan.balances if (b.period, b.group) == place)
    rows, at = list(solved.plan.rows), []
    for i, row in enumerate(rows, 1):
        if (row.period, row.group) == place:
            rows[i - 1] = replace(row, lb_head_day=0.0)
            opened.put("plan", "lb", 0, i)
    parts = {**dict.fromkeys(FOUR, 0.225), "Mill Bottom 1": 0.1}  # the rest is hay that nitrate does not hold back
    for k, (name, part) in enumerate(parts.items(), len(rows) + 1):
        lb = round(part * eaten / (dm[name] / 100) / (1 - group.feeding_loss_pct / 100), 6)
        for mark, value in (("month", place[0]), ("group", place[1]), ("feed", name), ("lb", lb)):
            opened.put("plan", mark, value, k)
        rows.append(replace(rows[0], period=place[0], group=place[1], name=name, lb_head_day=lb))
        at += [k] if name in FOUR else []
    for k in at:
        assert opened.get("plan", "share_over", k) == 0
        assert opened.get("plan", "says", k) == "nitrate together over."
    months = [marked(opened, "balance", i) for i in range(1, four[0].marks["balance"]["n"] + 1)]
    (month,) = [m for m in months if (m["month"], m["group"]) == place]
    assert "nitrate together over" in month["says"]
    assert month["asks"] == pytest.approx(4 * eaten, rel=1e-6)
    assert str(opened.name("master_check")).startswith("✗")
    after = winter.remeasure(solved.farm, tuple(r for r in rows if r.lb_head_day))
    said = [f for f in after.failures if (f.period, f.group) == place and f.what.startswith("nitrate of all hays")]
    assert [f.amount for f in said] == [pytest.approx(300, rel=1e-5)]
    text = " ".join(planreport.text(replace(solved, plan=after)).split())
    assert f"{place[1]} in {place[0]}: these hays together use 400 % of what nitrate allows." in text


DRY = "Dry cows, mid pregnancy"


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_the_month_of_calving_is_read_as_the_library_reads_it(editions, edition):
    opened = Open(*editions[edition][::2])
    farm = editions[edition][0].marks["solved"].farm
    days = {
        "Spring calvers in milk": date(2027, 1, 16),
        "Dry cows, mid pregnancy": date(2026, 7, 15),
    }  # calve; wean on 20 January
    for i, group in enumerate(farm.groups, 1):
        if group.name in days:
            opened.put("season_herd", "calving", (days[group.name] - DAY_ZERO).days, i)
    weaned = date(2027, 1, 20)
    opened.put("season_herd", "weaning", (weaned - DAY_ZERO).days, [g.name for g in farm.groups].index(DRY) + 1)
    groups = tuple(
        replace(
            g, calving_date=days.get(g.name, g.calving_date), weaning_date=weaned if g.name == DRY else g.weaning_date
        )
        for g in farm.groups
    )
    needs = winter.needs_of(replace(farm, groups=groups))
    periods = [p.label for p in farm.periods()]
    read = {}
    for i in range(1, len(periods) * len(groups) + 1):
        r = marked(opened, "balance", i)
        need = needs[[g.name for g in groups].index(r["group"])][periods.index(r["month"])]
        assert (r["need_tdn"], r["need_cp"], r["usual"]) == pytest.approx((need.tdn_lb, need.cp_lb, need.dm_lb))
        read[r["group"], r["month"]] = r["since"], r["read"]
    assert read["Spring calvers in milk", "Jan 2027"] == (pytest.approx(0.5 * 12 / 365), 1)
    assert read["Dry cows, mid pregnancy", "Jan 2027"] == (pytest.approx(6.098, abs=1e-3), 6)
    since, shown = read["Dry cows, mid pregnancy", "Feb 2027"]
    assert since == shown


def test_a_month_of_no_days_says_nothing(editions):
    opened = Open(*editions["functions"][::2])
    spare = [marked(opened, "balance", i) for i in range(1, opened.book.marks["balance"]["n"] + 1)]
    spare = [r for r in spare if r["days"] == 0]
    assert len(spare) >= 1
    assert {(r["says"], r["faults"]) for r in spare} == {(OUTSIDE, "")}


@pytest.mark.parametrize(
    ("name", "cp"),
    [("urea 45", None), ("my own pellet", 281), ("Urea block", 60)],
)
def test_urea_is_never_in_the_plan(name, cp):
    """By its name in the feed book, by more protein than protein holds, or by its name."""
    book = build.build(replace(DEMO, prices={**DEMO.prices, name: 20.0}))
    at = len(DEMO.prices) + 1
    for field, value in (("cp_pct", cp), ("dm_pct", 99), ("tdn_pct", 50), ("fat_pct", 0), ("s_pct", 0)):
        sheet, row, col = book.inputs[f"Feeds/{at}/{field}"]
        if value is not None:
            book.by_name(sheet).cells[row, col].content = value
    from hayfuncs.workbook import wintering

    solved = wintering.solve(book)
    assert name not in {f.name for f in solved.farm.feeds}
    assert name not in {r.name for r in (*solved.plan.rows, *solved.plain.rows)}
    said = " ".join(planreport.text(solved).split())
    assert f"Urea is never part of this plan, so {name} is left out: a nutritionist decides." in said


def test_urea_typed_on_the_plan_by_hand_is_said(tmp_path):
    book, _ = build.save(replace(DEMO, prices={**DEMO.prices, "urea 45": 600.0}), tmp_path / "urea.xlsx")
    opened = Open(book, tmp_path / "urea.xlsx")
    assert (
        opened.get("sources", "state", len(DEMO.lots) + len(OFFERS) + 1 + len(DEMO.prices) + 1)
        == "urea: never in the plan"
    )
    first, free = book.marks["solved"].plan.rows[0], len(book.marks["solved"].plan.rows) + 1
    for mark, value in (("month", first.period), ("group", first.group), ("feed", "urea 45"), ("lb", 0.2)):
        opened.put("plan", mark, value, free)
    assert opened.get("plan", "says", free) == "not allowed on Winter feeds (tab Feeds)"
    assert str(opened.name("master_check")).startswith("✗")


def test_hay_to_buy_is_held_by_its_nitrate_as_own_hay_is():
    tests = (MIDWINTER, 4500)
    offers = tuple(replace(o, nitrate_n_ppm=ppm, price=40) for o, ppm in zip(OFFERS, tests, strict=True))
    season = replace(DEMO.season, offers=offers, hay_is_mixed=True)
    solved = build.build(replace(DEMO, season=season)).marks["solved"]
    assert [s.name for s in solved.farm.for_sale] == [OFFERS[0].name]
    for hay, ppm in zip(solved.farm.for_sale, tests[:1], strict=True):
        for most, pregnant in ((hay.max_pct_pregnant, 1), (hay.max_pct_others, 0)):
            scales = ("clemson", "midwest laboratory")
            share = min(hayfuncs.nitrate_most_share(ppm / 0.9, pregnant, scale) for scale in scales)
            assert most == pytest.approx(0.9 * share)
    fed = {r.name for r in solved.plan.rows}
    assert OFFERS[0].name in fed
    assert OFFERS[1].name not in fed
    assert winterlib.faults(solved.farm, solved.plan) == []
    said = planreport.text(solved)
    assert "without a nitrate test" not in said
    assert said[said.index("\nCautions\n") :].count(OFFERS[0].name) >= 1


def test_hay_to_buy_without_a_test_asks_for_one(editions):
    book, values, _ = editions["functions"]
    said = " ".join(planreport.text(book.marks["solved"]).split())
    assert f"Hay to buy without a nitrate test: {OFFERS[0].name}. Ask for a test before it is bought." in said
    col = book.marks["offers_at"]["nitrate"]
    assert [values["Hay to buy", FIRST + i, col] for i in range(3)] == [
        "Not tested for nitrate: ask for a test before it is bought.",
        "Tested for nitrate: it holds nothing back.",
        "",
    ]


def test_rebuild_carries_the_test_of_hay_to_buy(old, tmp_path):
    book, path = old
    typed(book, path, {"Hay to buy/1/nitrate_n_ppm": 1234})
    done = making.rebuild(path, tmp_path / "new.xlsx")
    assert write.input_values(done.book)["Hay to buy/1/nitrate_n_ppm"] == 1234
    assert done.left_out() == []


def test_a_workbook_from_before_the_column_is_still_read(old, tmp_path):
    """As an older version made it: the column is not in its list of inputs, and nothing stands in it."""
    book, path = old
    file = Parts(path)
    listing = file["Input list"]
    (line,) = [
        row for row in range(1, listing.max_row + 1) if listing.cell(row, 1).value == "Hay to buy/#/nitrate_n_ppm"
    ]
    listing.delete_rows(line)
    for i in (1, 2, 3):
        sheet, row, col = book.inputs[f"Hay to buy/{i}/nitrate_n_ppm"]
        file[sheet].cell(row + 1, col + 1).value = None
    file.save(path)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    assert [now[f"Hay to buy/{i}/nitrate_n_ppm"] for i in (1, 2, 3)] == [None, None, None]
    assert now["Hay to buy/2/name"] == OFFERS[1].name
    assert done.left_out() == []
    assert {k.split("/")[-1] for k in done.keeper.fresh} == {"nitrate_n_ppm"}


def test_the_mix_counts_urea_under_any_name_as_urea():
    """A feed of the user's own with the protein of urea, and one whose name says urea: all their protein is urea's."""
    book = build.build(replace(DEMO, prices={**DEMO.prices, "pellet": 300.0, "Urea block": 400.0}), solved=False)
    for at, cp in enumerate((281, 60), len(DEMO.prices) + 1):
        for field, value in (
            ("cp_pct", cp),
            ("dm_pct", 99),
            ("tdn_pct", 50),
            ("fat_pct", 0),
            ("s_pct", 0),
            ("ca_pct", 0),
            ("p_pct", 0),
        ):
            sheet, row, col = book.inputs[f"Feeds/{at}/{field}"]
            book.by_name(sheet).cells[row, col].content = value
    found = {offer.name: offer.npn_pct for offer in mixing.offers(book)[0]}
    assert (found["pellet"], found["Urea block"], found["soybean meal 48"]) == (100, 100, 0)


# --- fed less than they would eat


def test_a_group_is_fed_less_only_where_all_of_it_can_eat_at_once(editions):
    opened = Open(*editions["functions"][::2])
    assert opened.name("plan_least_pct") == 95
    opened.set_name("plan_least_pct", 85)
    least = lambda: [opened.get("season_herd", "least", i) for i in (1, 2)]  # noqa: E731
    assert least() == [95, 95], "no bunk space is known"
    opened.put("season_herd", "bunk", 28, 1)
    assert least() == [95, 95]
    opened.put("season_herd", "bunk", 30, 1)
    assert least() == [85, 95]
    rows = opened.book.marks["solved"].plan.rows
    at = next(i for i, r in enumerate(rows, 1) if r.name == "corn grain")
    number = [g.name for g in opened.book.marks["solved"].farm.groups].index(rows[at - 1].group) + 1
    opened.put("season_herd", "bunk", None, number)
    assert opened.get("plan", "over", at) == 0
    opened.put("season_herd", "bunk", 30, number)
    assert opened.get("plan", "over", at) == 1, "no grain to limit-fed cattle"
    opened.set_name("plan_least_pct", 95)
    assert opened.get("plan", "over", at) == 0


def test_limit_fed_groups_are_named_with_the_bunk_space_they_ask_for(editions):
    solved = editions["functions"][0].marks["solved"]
    groups = tuple(replace(g, min_intake_pct=80) for g in solved.farm.groups)
    farm = replace(solved.farm, groups=groups)
    plan = winter.plan(farm)
    grain = {f.name for f in farm.feeds if f.grain}
    assert plan.feasible
    assert not [r for r in plan.rows if r.name in grain]
    hungry = {b.group for b in plan.balances if b.dm_lb < 0.95 * b.need.dm_lb - 0.01}
    assert hungry
    said = " ".join(planreport.text(replace(solved, farm=farm, plan=plan)).split())
    for name in hungry:
        assert f"{name} is limit-fed: all must eat at once (" in said
    assert "24 to 30 inches a head for cows of 1,000 lb, 26 to 30 for 1,300 lb" in said
    assert "limit-fed" not in planreport.text(solved)
