"""The winter plan on its sheets: the solver's numbers again in ordinary cells, live when an amount is changed."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
import winterlib  # the plan written down directly for scipy
from workbook.opened import Open

import hayfuncs
from hayfuncs.winter import solve as winter
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO, own
from hayfuncs.workbook.season import Season, calving
from hayfuncs.workbook.sheets.budget import NO_LONGER, Budget, Buying
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.groupmonths import MEETS, OUTSIDE

ROUNDED = 2e-6  # the sheet holds pounds to six places


@pytest.fixture(scope="module")
def solved(editions):
    return editions["functions"][0].marks["solved"]


def rows_of(opened, table):
    return [
        {mark: opened.get(table, mark, i) for mark in opened.book.marks[f"{table}_at"]}
        for i in range(1, opened.book.marks[table]["n"] + 1)
    ]


def test_the_demo_winter_is_solved_and_as_cheap_as_scipys_on_the_directly_written_model(solved):
    assert solved.plan.feasible
    assert winterlib.faults(solved.farm, solved.plan) == []
    cheapest = winterlib.direct(solved.farm).fun
    assert solved.plan.cost == pytest.approx(cheapest, rel=1e-6)
    assert solved.plan.dual_bound == pytest.approx(cheapest, rel=1e-6)
    assert solved.plain.cost > solved.plan.cost + 1000


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_group_months_say_what_the_solver_says(editions, solved, edition):
    opened = Open(*editions[edition][::2])
    found = {(r["month"], r["group"]): r for r in rows_of(opened, "balance")}
    for b in solved.plan.balances:
        r = found.pop((b.period, b.group))
        assert r["need_tdn"] == pytest.approx(b.need.tdn_lb, rel=1e-9)
        assert r["need_cp"] == pytest.approx(b.need.cp_lb, rel=1e-9)
        assert r["usual"] == pytest.approx(b.need.dm_lb, rel=1e-9)
        assert r["tdn"] == pytest.approx(b.tdn_lb, abs=ROUNDED)
        assert r["cp"] == pytest.approx(b.cp_lb, abs=ROUNDED)
        assert r["dry"] == pytest.approx(b.dm_lb, abs=ROUNDED)
        assert r["hay_pct"] == pytest.approx(b.hay_pct, abs=1e-4)
        assert r["cost_day"] == pytest.approx(b.cost_head_day, abs=ROUNDED)
        assert (r["need_ca"], r["need_p"]) == pytest.approx((b.need.ca_g, b.need.p_g), rel=1e-9)
        assert (r["ca"], r["p"]) == pytest.approx((b.ca_g, b.p_g), abs=1e-3)
        assert r["ca_p"] == pytest.approx(b.ca_p, abs=1e-4)
        assert r["says"] == MEETS
    assert {r["says"] for r in found.values()} == {OUTSIDE}  # the spare month


def test_stock_months_and_budget_say_what_the_solver_says(editions, solved):
    opened = Open(*editions["functions"][::2])
    plan = solved.plan
    stocks = {r["name"]: r for r in rows_of(opened, "stocks") if r["name"]}
    periods = [p.label for p in solved.farm.periods()]
    for s in plan.stocks:
        r, k = stocks[s.name], periods.index(s.period) + 1
        assert r[f"fed_{k}"] == pytest.approx(s.fed, abs=1e-4)
        assert r[f"left_{k}"] == pytest.approx(s.left, abs=1e-3)
    assert sum(r["over"] for r in stocks.values()) == pytest.approx(0, abs=1e-3)
    budget, buying = opened.book.find(Budget), opened.book.find(Buying)
    assert opened.at(budget.total) == pytest.approx(plan.budget.total, rel=1e-7)
    assert opened.at(budget.cash) == pytest.approx(plan.budget.cash, rel=1e-6)
    assert opened.at(budget.per_head) == pytest.approx(plan.budget.per_head, rel=1e-7)
    assert opened.at(budget.per_day) == pytest.approx(plan.budget.per_head_day, rel=1e-7)
    assert opened.at(budget.plain_total) == pytest.approx(solved.plain.budget.total, rel=1e-7)
    assert opened.at(buying.total(Buying.tons)) == pytest.approx(sum(p.tons for p in plan.purchases), abs=1e-3)
    assert opened.at(budget.above) == pytest.approx(0, abs=0.01)


def test_an_amount_changed_by_hand_is_measured_as_the_library_measures_it(editions, solved):
    """A third of one group's hay of one month goes to another group: short there, overdrawn nowhere, dearer or not."""
    opened = Open(*editions["functions"][::2])
    rows = [replace(r, lb_head_day=round(r.lb_head_day, 6)) for r in solved.plan.rows]
    target = max(range(len(rows)), key=lambda i: rows[i].tons)
    rows[target] = replace(rows[target], lb_head_day=rows[target].lb_head_day * 0.5)
    extra = next(i for i, r in enumerate(rows) if r.name != rows[target].name and r.kind == "own hay")
    rows[extra] = replace(rows[extra], lb_head_day=rows[extra].lb_head_day * 3)
    for i in (target, extra):
        opened.put("plan", "lb", rows[i].lb_head_day, i + 1)
    after = winter.remeasure(solved.farm, tuple(rows))
    found = {(r["month"], r["group"]): r for r in rows_of(opened, "balance")}
    for b in after.balances:
        r = found[b.period, b.group]
        assert r["short_tdn"] == pytest.approx(max(0, b.need.tdn_lb - b.tdn_lb), abs=ROUNDED)
        assert r["short_cp"] == pytest.approx(max(0, b.need.cp_lb - b.cp_lb), abs=ROUNDED)
    short = [f for f in after.failures if f.what == "TDN short"]
    assert len(short) >= 1
    assert "energy short" in found[short[0].period, short[0].group]["says"]
    over = {f.what.removesuffix(" overdrawn"): f.amount for f in after.failures if f.what.endswith("overdrawn")}
    shown = {r["name"]: r["over"] for r in rows_of(opened, "stocks") if r["over"] > 1e-3}
    assert shown == pytest.approx(over, abs=1e-3)
    assert len(shown) >= 1
    assert opened.at(opened.book.find(Budget).total) == pytest.approx(after.cost, rel=1e-7)
    assert str(opened.name("master_check")).startswith("✗")


def test_a_row_added_by_hand_counts(editions, solved):
    opened = Open(*editions["functions"][::2])
    free = len(solved.plan.rows) + 1
    first = solved.plan.rows[0]
    before = opened.at(opened.book.find(Budget).feed_cost)
    for mark, value in (("month", first.period), ("group", first.group), ("feed", "soybean hulls"), ("lb", 2.0)):
        opened.put("plan", mark, value, free)
    head = next(g.head for g in solved.farm.groups if g.name == first.group)
    days = next(p.days for p in solved.farm.periods() if p.label == first.period)
    dollars = 2.0 * head * days / 2000 * DEMO.prices["soybean hulls"]
    assert opened.at(opened.book.find(Budget).feed_cost) - before == pytest.approx(dollars, rel=1e-9)
    assert opened.get("plan", "says", free) == ""
    opened.put("plan", "feed", "soybean hull", free)
    assert "not found" in opened.get("plan", "says", free)


def test_the_budget_knows_when_the_solution_is_old(editions):
    opened = Open(*editions["functions"][::2])
    budget = opened.book.by_name("Winter budget")

    def says():
        return opened.at(budget.ref(6, 0))

    assert says().startswith("It is the cheapest")
    solved = opened.book.marks["solved"]
    more = [replace(r, lb_head_day=r.lb_head_day + 0.1) for r in solved.plan.rows]
    rows = enumerate(solved.plan.rows)
    at = next(i for i, _ in rows if winter.remeasure(solved.farm, (*solved.plan.rows[:i], more[i], *solved.plan.rows[i + 1 :])).feasible)  # fmt: skip
    lb = opened.get("plan", "lb", at + 1)
    opened.put("plan", "lb", lb + 0.1, at + 1)
    assert says().startswith("It costs $")
    assert "more than the cheapest plan that meets every need" in says()
    opened.put("plan", "lb", 0, at + 1)
    assert says() == NO_LONGER, "somebody is short"
    opened.put("plan", "lb", lb, at + 1)
    feed, group, lot = (opened.get(table, "name", 1) for table in ("feeds", "herd", "lots"))
    for table, mark, value, words in (
        ("feeds", "price", 60, f"{feed}: price counted (was {opened.get('feeds', 'price', 1):g}, now 60 $/ton as fed)"),
        ("herd", "weight", 1300, f"{group}: body weight, full (was {opened.get('herd', 'weight', 1):g}, now 1300 lb)"),
        ("season_herd", "calving", 46500, f"{group}: calving date (was 8 Feb 2027, now 23 Apr 2027)"),
        ("lots", "lab_cp_pct", 10, f"{lot}: CP, less what heat has bound (was "),
    ):
        before = opened.get(table, mark, 1)
        opened.put(table, mark, value, 1)
        assert says().startswith("Solve it again, "), mark
        assert words in says()
        assert opened.at(budget.ref(4, 0)) == NO_LONGER, "no money for a plan that does not fit"
        opened.put(table, mark, before, 1)
    assert says().startswith("It is the cheapest")


@pytest.mark.parametrize(("table", "number"), [("lots", 2), ("lots", 5), ("herd", 2)])
def test_another_name_changes_no_amount_and_no_cost(editions, solved, table, number):
    """The plan's rows hold the name that a lot or group had: it is the same hay, and the winter costs the same."""
    opened = Open(*editions["functions"][::2])
    total = opened.book.find(Budget).total
    before, fed = opened.at(total), opened.get("stocks", "used", number)
    opened.put(table, "name", "A new name", number)
    assert opened.at(total) == pytest.approx(before, rel=1e-12)
    assert opened.at(total) == pytest.approx(solved.plan.cost, rel=1e-6)
    assert opened.get("stocks", "used", number) == fed
    says = [opened.get("plan", "says", i) for i in range(1, len(solved.plan.rows) + 1)]
    assert not any("not found" in str(text) for text in says)
    assert str(opened.name("master_check")).startswith("✓")
    assert opened.at(opened.book.by_name("Winter budget").ref(4, 0)).startswith("The winter costs $")


def test_the_solver_does_not_look_at_names(solved):
    names = {lot.name: f"Stack {i}" for i, lot in enumerate(solved.farm.lots)}
    lots = tuple(replace(lot, name=names[lot.name]) for lot in solved.farm.lots)
    again = winter.plan(replace(solved.farm, lots=lots))
    assert again.cost == pytest.approx(solved.plan.cost, rel=1e-9)
    assert winter.plain_plan(replace(solved.farm, lots=lots)).cost == pytest.approx(solved.plain.cost, rel=1e-9)


def test_the_lots_own_feeders_waste_the_hay_where_the_group_names_none(tmp_path):
    """Lots of a list with a feeder each: the plan wastes what that feeder wastes, not what an open ring does."""
    feeders = ("cone", "ring", "trailer", None)
    lots = tuple(replace(lot, feeder=feeders[i % 4]) for i, lot in enumerate(DEMO.lots))
    solved = build.build(own(DEMO, lots, DEMO.groups)).marks["solved"]
    lost = {lot.name: hayfuncs.feeding_loss(lot.feeder or "open ring") for lot in lots}
    assert {lot.name: lot.feeding_loss_pct for lot in solved.farm.lots} == {
        lot.name: lost[lot.name] for lot in solved.farm.lots
    }
    assert {g.feeding_loss_pct for g in solved.farm.groups} == {None}
    rings = replace(solved.farm, groups=tuple(replace(g, feeding_loss_pct=20.5) for g in solved.farm.groups))
    assert winter.plan(rings).cost > solved.plan.cost + 500
    assert winterlib.faults(solved.farm, solved.plan) == [] or not solved.plan.feasible


def test_the_months_follow_the_dates(editions):
    opened = Open(*editions["functions"][::2])
    day_zero = date(1899, 12, 30)
    opened.set_name("turnout", (date(2027, 5, 11) - day_zero).days)
    labels = [opened.get("months", "label", i) for i in range(1, opened.book.marks["months"]["n"] + 1)]
    days = [opened.get("months", "days", i) for i in range(1, opened.book.marks["months"]["n"] + 1)]
    assert labels == ["Dec 2026", "Jan 2027", "Feb 2027", "Mar 2027", "Apr 2027", "May 2027"]
    assert days == [31, 31, 28, 31, 30, 10]
    opened.set_name("winter_start", (date(2026, 12, 15) - day_zero).days)
    assert opened.get("months", "days", 1) == 17
    assert opened.get("months", "middle", 1) == (date(2026, 12, 15) - day_zero).days + 8.5


def test_months_since_calving_are_the_solvers(editions, solved):
    opened = Open(*editions["functions"][::2])
    herd = {g.name: g for g in solved.farm.groups}
    for r in rows_of(opened, "balance"):
        period = next((p for p in solved.farm.periods() if p.label == r["month"]), None)
        calving = herd[r["group"]].calving_date
        if period is not None and calving is not None:  # what does not calve stands in no month of it
            assert r["since"] == pytest.approx(winter.months_since_calving(calving, period), rel=1e-12)


@pytest.mark.parametrize("off", [0, 365, 730])
def test_on_the_day_of_calving_a_year_is_over(editions, off):
    """The middle of December 2026 is 16.5 December: calved at that very moment would be month 12, half a day before 0.02."""
    opened = Open(*editions["functions"][::2])
    middle = opened.get("months", "middle", 1)
    opened.put("season_herd", "calving", middle - off, 1)
    assert opened.get("balance", "since", 1) == 12
    opened.put("season_herd", "calving", middle - off - 0.5, 1)
    assert opened.get("balance", "since", 1) == pytest.approx(0.5 * 12 / 365)


def test_what_is_not_allowed_is_not_fed():
    season = replace(DEMO.season, barred=("corn grain", "Section Ten"))
    book = build.build(replace(DEMO, season=season))
    fed = {r.name for r in book.marks["solved"].rows}
    assert fed.isdisjoint(season.barred)
    assert len(fed) >= 5
    sources = book.by_name("Winter feeds")
    states = [
        c.content for (r, c_), c in sources.cells.items() if c_ == book.marks["sources_at"]["allowed"] and r >= FIRST
    ]
    assert states.count(0) == 2


def test_without_hay_in_store_there_is_no_plan_and_the_sheets_say_so():
    lots = tuple(replace(lot, tons=None, bales=None) for lot in DEMO.lots)
    book = build.build(replace(DEMO, lots=lots))
    assert book.marks["solved"].plan is None
    assert "no lot has hay in store" in book.marks["solved"].solution.words
    from hayfuncs.workbook import write

    values = write.compute(book)
    assert write.faults(values) == []
    assert values["Winter budget", 4, 0].startswith("No plan yet")
    assert str(values["Checks", 4, 0]).startswith("✓")


def test_a_winter_that_cannot_be_fed_shows_the_plan_least_short():
    lots = tuple(replace(lot, tons=3, bales=None) for lot in DEMO.lots)
    season = Season(offers=(), barred=tuple(DEMO.prices))
    book = build.build(replace(DEMO, lots=lots, season=season))
    solved = book.marks["solved"]
    assert not solved.plan.feasible
    assert any(f.what == "TDN short" for f in solved.plan.failures)
    from hayfuncs.workbook import write

    values = write.compute(book)
    assert write.faults(values) == []
    assert "Group months not as they should be: " in values["Winter budget", 5, 0]
    assert "Not every need can be met" in values["Winter budget", 6, 0]


def test_calving_date_worked_back_from_the_month_since_calving():
    """Month 2 at the start of winter is its middle: a month and a half, 46 days, before."""
    group = replace(DEMO.groups[0], calving_date=None, month_since_calving=2)
    start = date(2026, 12, 1)
    assert calving(group, start) == start - timedelta(days=46)
    assert calving(DEMO.groups[0], start) == DEMO.groups[0].calving_date


def test_the_picture_says_what_it_shows(editions):
    book, values, _ = editions["functions"]
    sheet = book.by_name("Winter budget")
    (picture,) = sheet.pictures
    title = values["Winter budget", picture.row - 1, picture.col]
    left = sum(
        s.left
        for s in book.marks["solved"].plan.stocks
        if s.period == "Apr 2027" and s.name in {x.name for x in DEMO.lots}
    )
    at = book.marks["stocks_at"]["left"]  # hay that is left out of the plan lies there too
    planned = {lot.name for lot in book.marks["solved"].farm.lots}
    left += sum(values["Stock months", FIRST + i, at] for i, lot in enumerate(DEMO.lots) if lot.name not in planned)
    assert title.startswith(f"{left:.0f} tons of own hay left on 20 Apr 2027")
    assert "Column chart" in picture.alt
    assert len(picture.alt) > 100


def test_formulas_of_each_column_are_one(editions):
    """Row numbers aside, every computed column of the plan's tables holds one formula."""
    import re

    for edition in ("functions", "plain"):
        book, _, _ = editions[edition]
        for sheet_name, table in (
            ("Plan", "plan"),
            ("Group months", "balance"),
            ("Stock months", "stocks"),
            ("Winter feeds", "sources"),
            ("Winter", "months"),
        ):
            sheet, at, n = book.by_name(sheet_name), book.marks[f"{table}_at"], book.marks[table]["n"]
            for mark, col in at.items():
                kinds = set()
                for i in range(n):
                    cell = sheet.cells.get((FIRST + i, col))
                    if cell is None:  # asked of some rows only
                        continue
                    content = cell.content.formula() if hasattr(cell.content, "formula") else cell.content
                    if isinstance(content, str) and content.startswith("=") and cell.entry is None:
                        here = re.sub(rf"(?<=[A-Z]){FIRST + i + 1}(?![0-9])", "#", content)
                        kinds.add(re.sub(rf"(?<=[A-Z]){FIRST + i}(?![0-9])", "# above", here))
                assert len(kinds) <= 1, (edition, sheet_name, mark, list(kinds)[:3])


def moved(*changes):
    """Changes of (table, column, row, by how much) that a plain sum over the column or row does not see."""
    return changes


@pytest.mark.parametrize(
    "changes",
    [
        moved(("season_herd", "calving", 1, 14), ("season_herd", "calving", 2, -14)),
        moved(("season_herd", "calving", 1, 3), ("season_herd", "calving", 3, -1)),
        moved(("herd", "weight", 1, -10), ("herd", "weight", 2, 10)),
        moved(("herd", "milk", 1, -2), ("herd", "milk", 2, 2)),
        moved(("herd", "head", 1, -5), ("herd", "head", 3, 5)),
        moved(("herd", "calf", 2, -5), ("herd", "milk", 2, 1)),
        moved(("feeds", "price", 1, 10), ("feeds", "price", 2, -10)),
        moved(("lots", "lab_fat_pct", 3, -1), ("lots", "lab_cp_pct", 3, 1)),
        moved(("lots", "lab_dm_pct", 1, 1), ("lots", "lab_dm_pct", 2, -1)),
    ],
)  # fmt: skip
def test_changes_that_cancel_in_a_sum_make_the_solution_old(editions, changes):
    opened = Open(*editions["functions"][::2])
    budget = opened.book.by_name("Winter budget")
    state = budget.ref(6, 0)
    assert opened.at(state).startswith("It is the cheapest")
    before = [(table, mark, row, opened.get(table, mark, row)) for table, mark, row, _ in changes]
    for table, mark, row, by in changes:
        opened.put(table, mark, opened.get(table, mark, row) + by, row)
    assert re.match(r"Solve it again, ([2-9]|1\d) changes since", opened.at(state))
    for table, mark, row, value in before:
        opened.put(table, mark, value, row)
    assert opened.at(state).startswith("It is the cheapest")


def test_none_of_it_is_not_the_same_as_no_end_to_it(editions):
    opened = Open(*editions["functions"][::2])
    state = opened.book.by_name("Winter budget").ref(6, 0)
    feed = next(i for i in range(1, 40) if opened.get("sources", "tons", i) == "as needed")
    opened.put("sources", "limit", 0, feed)
    name = opened.get("sources", "name", feed)
    assert opened.at(state).startswith(
        f"Solve it again, 1 change since it was solved: {name}: tons that can be used (was as needed, now 0 tons as fed)."
    )
