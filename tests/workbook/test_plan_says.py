"""What the sheets of the winter plan, and the commands, say in words when something is not as it should be."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import openpyxl
import pytest
from typer.testing import CliRunner
from where import Parts
from workbook.byhand import typed
from workbook.opened import Open

from hayfuncs import cli
from hayfuncs.contract.errors import OutOfRange
from hayfuncs.contract.files import UserError
from hayfuncs.hosts import engine
from hayfuncs.workbook import build, planreport, rebuild, write
from hayfuncs.workbook.farm import DEMO, dated
from hayfuncs.workbook.sheets.budget import NO_LONGER, Budget
from hayfuncs.workbook.sheets.common import FIRST


@pytest.fixture
def opened(editions):
    return Open(*editions["functions"][::2])


def number_of(opened, table, name):
    marks = opened.book.marks[table]
    return next(i for i in range(1, marks["n"] + 1) if opened.get(table, "name", i) == name)


def budget_says(opened):
    sheet = opened.book.by_name("Winter budget")
    return opened.at(sheet.ref(5, 0)), opened.at(sheet.ref(6, 0))


# --- the headline of Winter budget


def test_hay_that_is_not_there_is_said_before_any_praise(opened):
    """A lot as the plan leaves it, then with less in store than is fed: all group months are met, the hay is not there."""
    assert budget_says(opened)[0].startswith(
        "Every need is met, counting up to 8 % more energy for cold and mud. The plain"
    )
    stocks = opened.book.marks["stocks"]["n"]
    used = max(range(1, stocks + 1), key=lambda i: opened.get("stocks", "used", i))
    tons = opened.get("sources", "tons", used)
    opened.put("sources", "limit", 0.5 * tons, used)
    assert opened.get("stocks", "over", used) > 5
    headline, state = budget_says(opened)
    assert headline == "Hays and feeds of which more is fed than there is: 1. See Stock months."
    assert not state.startswith("It is the cheapest")


def test_a_feed_that_is_not_allowed_is_said(opened):
    fed = number_of(opened, "sources", opened.get("plan", "feed", 1))
    opened.put("sources", "allowed", 0, fed)
    assert re.match(r"Amounts not allowed or not known: \d+\. See Plan", budget_says(opened)[0])


def test_a_feed_over_its_limit_is_said_where_all_needs_are_met(opened):
    """The feed book's limit of a fed supplement, drawn under what is fed; nothing else changes."""
    rows = opened.book.marks["plan"]["n"]
    row = next(i for i in range(1, rows + 1) if opened.get("plan", "kind", i) == 3)
    source = int(opened.get("plan", "s", row))
    opened.put("sources", "most_lb", 0.01, source)
    headline, _ = budget_says(opened)
    assert re.match(r"Amounts over a limit of their feed: \d+\. See Plan", headline)


def test_a_row_that_is_not_counted_is_said(opened):
    free = opened.book.marks["plan"]["n"]
    for mark, value in (("month", "Dec 2026"), ("group", "Late-pregnant cows"), ("feed", "no such hay"), ("lb", 3)):
        opened.put("plan", mark, value, free)
    assert budget_says(opened)[0].startswith("Amounts not counted, whose name is not found: 1. See Plan")


def test_changed_by_hand_at_the_same_cost_is_not_called_the_cheapest(opened):
    """Half of a fed lot's stock cannot be there: the cost is as solved, and the plan does not work."""
    used = max(range(1, opened.book.marks["stocks"]["n"] + 1), key=lambda i: opened.get("stocks", "used", i))
    opened.put("sources", "limit", 1, used)
    opened.as_solved()
    assert budget_says(opened)[1] == NO_LONGER
    assert opened.at(opened.book.by_name("Winter budget").ref(4, 0)) == NO_LONGER, "no money"


# --- colors of dangers


@pytest.mark.parametrize("edition", ["functions", "plain"])
@pytest.mark.parametrize(
    ("sheet", "table", "mark"),
    [("Plan", "plan", "caution"), ("Plain rule", "plain", "caution"), ("Lots", "lots", "cautions"), ("Which hay", None, None)],
)  # fmt: skip
def test_any_danger_is_colored(editions, tmp_path, edition, sheet, table, mark):
    """9,000 ppm of nitrate nitrogen in every lot: each cell that tells of dangers is caught by the file's own rule."""
    book, _, path = editions[edition]
    file = Parts(path)
    part = file.where.parts[sheet]
    page, top = file.book[part.tab], FIRST + 1 + part.down
    col = 5 + book.marks["herd"]["n"] if table is None else book.marks[f"{table}_at"][mark]
    letter = openpyxl.utils.get_column_letter(col + 1)
    rules = [
        (area, rule.formula[0])
        for area in page.conditional_formatting
        for rule in area.rules
        if area.cells.ranges and f"{letter}{top}" in area.cells and "danger" in rule.formula[0].casefold()
    ]
    assert len(rules) == 1, rules
    ((area, formula),) = rules
    (cells,) = area.cells.ranges
    probe = openpyxl.utils.get_column_letter(page.max_column + 20)
    rows = range(cells.min_row, cells.max_row + 1)
    for row in rows:
        moved = re.sub(rf"\b{letter}{cells.min_row}\b", f"{letter}{row}", formula)
        page[f"{probe}{row}"] = f"={moved}"
    file.save(tmp_path / "probe.xlsx")
    made = engine.load((tmp_path / "probe.xlsx").read_bytes(), write.SPELLING[edition] or "HAY.")

    def caught():
        made.evaluate_all()
        at = openpyxl.utils.column_index_from_string(probe)
        return [
            (
                str(engine.plain_value(made.get_value(part.tab, row, col + 1))),
                engine.plain_value(made.get_value(part.tab, row, at)),
            )
            for row in rows
        ]

    assert not any(hit for _, hit in caught())  # the demo has no danger
    lots = Open.cell(type("Of", (), {"book": book})(), "lots", "lab_nitrate_n_ppm")
    for i in range(book.marks["lots"]["n"]):
        made.set_value(lots[0], lots[1] + i, lots[2], 9000)
    found = caught()
    told = [text for text, _ in found if re.search(r"danger [1-9]", text)]
    assert len(told) >= 5
    for text, hit in found:
        assert bool(hit) == bool(re.search(r"danger [1-9]", text)), text


# --- own hay without a price


def test_a_lot_without_a_price_counts_at_the_mean_of_the_others(editions, opened):
    """Dry tons: the lot's price is the mean of the others' price per dry ton, times its own dry matter."""
    lot = next(i for i in range(1, 11) if opened.get("stock", "price", i) not in (None, ""))
    opened.put("stock", "price", None, lot)
    opened.put("stock", "bale_price", None, lot)
    n = opened.book.marks["lots"]["n"]
    others = [
        opened.get("stock", "paid", i) / opened.get("lots", "lab_dm_pct", i) * 100 for i in range(1, n + 1) if i != lot
    ]
    assert len(others) == n - 1
    price = sum(others) / len(others) * opened.get("lots", "lab_dm_pct", lot) / 100
    assert opened.get("sources", "price", lot) == pytest.approx(price, rel=1e-12)
    assert opened.get("sources", "counts", lot) == pytest.approx(0.6 * price, rel=1e-12)
    assert opened.get("sources", "priced", lot) == "mean of lots with a price"
    assert opened.get("sources", "assumed", lot) == 1
    assert str(opened.name("master_check")).startswith("✓")
    said = budget_says(opened)[1]
    assert said.startswith(
        f"Solve it again, 1 change since it was solved: {opened.get('lots', 'name', lot)}: price counted (was "
    )
    assert f", now {round(0.6 * price, 3):g} $/ton as fed)" in said


def test_plan_tells_what_it_assumed(old, tmp_path):
    book, path = old
    typed(book, path, {"Stock/2/price": None, "Stock/2/bale_price": None})
    done = CliRunner().invoke(cli.app, ["plan", "--hays", "cheapest", str(path), "--out", str(tmp_path / "P.xlsx")])
    assert done.exit_code == 0, done.output
    said = done.stdout[done.stdout.index("Assumed, as no price is typed on Stock") :]
    assert re.search(rf"{re.escape(DEMO.lots[1].name)} +\$\d+\.\d\d  \(mean of lots with a price\)", said)


def test_no_price_at_all_counts_as_hay_to_buy_does(old):
    book, path = old
    n = book.marks["lots"]["n"]
    empty = {f"Stock/{i}/{mark}": None for i in range(1, n + 1) for mark in ("price", "bale_price")}
    typed(book, path, empty)
    solved = rebuild.remake(path)[0].marks["solved"]
    assert {lot.value_per_ton for lot in solved.farm.lots} == {0.6 * 140}
    assert {a.source for a in solved.assumed} == {"Hay pile, hay to buy"}
    assert len(solved.assumed) == n


def test_without_any_price_there_is_no_plan_unless_own_hay_counts_nothing(old, tmp_path):
    book, path = old
    n = book.marks["lots"]["n"]
    empty = {f"Stock/{i}/{mark}": None for i in range(1, n + 1) for mark in ("price", "bale_price")}
    typed(book, path, empty | {"Hay pile/bought_price": None})
    done = CliRunner().invoke(cli.app, ["plan", "--hays", "cheapest", str(path), "--out", str(tmp_path / "P.xlsx")])
    assert isinstance(done.exception, UserError)
    said = str(done.exception)
    assert "own hay without any price to count" in said
    assert all(lot.name in said for lot in DEMO.lots)
    assert "Type a price on Stock" in said
    remade = rebuild.remake(path)[0]
    checks, values = remade.by_name("Checks"), write.compute(remade)
    row = next(
        r
        for (r, c), cell in checks.cells.items()
        if c == 0 and cell.content == "Winter feeds: own hay without any price to count"
    )
    assert (values["Checks", row, 2], values["Checks", row, 7]) == (n, "FAILS")
    typed(book, path, {"Winter/plan_own_value_pct": 0})
    solved = rebuild.remake(path)[0].marks["solved"]
    assert solved.plan is not None
    assert solved.assumed == ()
    assert {lot.value_per_ton for lot in solved.farm.lots} == {0}


# --- Hay pile beside the plan


def test_hay_pile_says_why_it_differs_from_the_plan(editions, opened):
    solved = opened.book.marks["solved"]
    own = {lot.name for lot in solved.farm.lots}
    hays = (*solved.farm.lots, *solved.farm.for_sale)
    put = {hay.name: sum(r.tons for r in solved.plan.rows if r.name == hay.name) for hay in hays}
    stored = sum(put[hay.name] / (1 - hay.storage_loss_pct / 100) for hay in hays)
    bought = sum(p.tons for p in solved.plan.purchases if p.kind == "bought hay")
    feeds = sum(r.tons for r in solved.plan.rows if r.kind == "feed")
    here = opened.name("hay_needed") / 2000

    def says():
        return [opened.at(ref) for ref in opened.book.marks["haypile"]["beside"]]

    first, second = says()
    assert f"eat all the hay they want, and nothing else: {here:.0f} tons" in first
    assert (
        f"{stored:.0f} tons of hay from the stack, {here - stored:.0f} less than here, with {feeds:.1f} tons of other feeds"
        in second
    )
    last = solved.farm.periods()[-1].label
    left = sum(s.left for s in solved.plan.stocks if s.name in own and s.period == last)
    kept_out = [i for i, lot in enumerate(DEMO.lots, 1) if lot.name not in own]  # in the stack, and not planned with
    barred = sum(opened.get("stocks", "left", i) for i in kept_out)
    assert barred > 1
    left += barred
    buys = f"It buys {bought:.1f} tons of hay" if bought > 0.05 else "It buys no hay"
    assert (
        f"{buys} and leaves {left:.0f} tons, {barred:.0f} of them hay left out for safety: see Winter budget." in second
    )
    both = opened.at(opened.book.marks["haypile"]["both"])
    assert both == opened.at(opened.book.by_name("Winter budget").ref(3, 3)), "the same sentence on both sheets"
    assert both.startswith(
        f"Hay alone, all they want: {here:.0f} tons, the pile is short by {opened.name('tons_short'):.0f} tons."
    )
    assert both.endswith(f"The plan rations by need: {stored:.0f} tons, with {feeds:.1f} tons of other feeds, and buys {bought:.1f} tons of hay.")  # fmt: skip
    opened.set_name("hay_eaten_from", "need")
    assert "eat as much hay as the dry matter of Herd" in says()[0]
    offer = number_of(opened, "sources", "Grass hay to buy")
    free = opened.book.marks["plan"]["n"]
    name = opened.get("sources", "name", offer)
    for mark, value in (("month", "Dec 2026"), ("group", opened.get("herd", "name", 1)), ("feed", name), ("lb", 20)):
        opened.put("plan", mark, value, free)
    assert says()[1].startswith("No plan to hold this against while a check fails: Plan: group months"), (
        "more than they eat"
    )
    for i in range(1, free + 1):
        opened.put("plan", "lb", 0, i)
    assert says()[1] == "There is no winter plan to hold this against."


# --- the weather that is counted


def test_the_headline_says_that_no_cold_is_counted(opened):
    sheet = opened.book.by_name("Winter budget")
    for month in ("dec", "jan", "feb", "mar"):
        name, row, col = opened.book.inputs[f"Winter/more_{month}"]
        opened.made.set_value(name, row + 1, col + 1, 0)
    opened.made.evaluate_all()
    opened.as_solved()
    opened.set_name("plan_bound", opened.at(opened.book.find(Budget).total))
    assert opened.at(sheet.ref(5, 0)).startswith("Every need is met, no cold counted (Winter, tab Assumptions). ")
    need = max(opened.get("balance", "base_tdn", i) for i in range(1, opened.book.marks["balance"]["n"] + 1))
    assert opened.at(opened.book.find(Budget).cold) == 32, "a dry winter coat, 0 deg F: 1 % a degree below 32"
    assert opened.at(opened.book.find(Budget).cold_lb) == pytest.approx(0.32 * need)


def test_the_print_says_what_weather_is_counted_and_what_a_cold_spell_asks_for(editions):
    solved = editions["functions"][0].marks["solved"]
    said = planreport.text(solved)
    assert (
        "Weather: counting more energy for cold and mud: Dec 3 %, Jan 8 %, Feb 8 %, Mar 4 %: see Winter (tab Assumptions)."
        in said
    )
    assert "At a wind chill of 0 deg F, in a dry winter coat, a cow needs 32 % more energy: up to +" in said
    assert "every need is met, counting more energy" in planreport.short(solved)
    mild = replace(solved, farm=replace(solved.farm, more_energy_pct={}))
    assert "Weather: no cold counted: see Winter (tab Assumptions)." in planreport.text(mild)
    assert planreport.short(mild).endswith("every need is met, no cold counted")


# --- a plan that no longer fits


def test_after_a_rebuild_with_other_entries_no_money_is_shown(old):
    """Two lots sold since it was solved: the kept amounts cost less than any plan can, and are not there."""
    book, path = old
    typed(book, path, {f"Lots/{i}/tons": 1 for i in (1, 6)} | {f"Register/{i}/bales": None for i in (1, 6)})
    remade = rebuild.remake(path)[0]
    values = write.compute(remade)
    assert values["Winter budget", 4, 0] == NO_LONGER
    assert values["Winter budget", 6, 0] == NO_LONGER
    assert "$" not in "".join(str(values["Winter budget", row, 0]) for row in (4, 5, 6))


# --- what is printed


def test_dates_in_the_wrong_order_are_both_named_with_their_options(old, tmp_path):
    _, path = old
    done = CliRunner().invoke(
        cli.app, ["plan", "--hays", "cheapest", str(path), "--out", str(tmp_path / "P.xlsx"), "--start", "2027-05-01"]
    )
    assert isinstance(done.exception, UserError)
    for words in (
        "2027-05-01 (--start, or Hay pile)",
        "2027-04-20 (--turnout, or Hay pile)",
        "give hayfuncs plan both",
    ):
        assert words in str(done.exception)
    with pytest.raises(UserError, match=r"2027-05-01 \(--start\) and turnout is 2027-04-20 \(--turnout\)"):
        dated(DEMO, date(2027, 5, 1), None)


@pytest.mark.parametrize("progress", [None, lambda line: None])
@pytest.mark.parametrize("error", [ValueError("nan in the table"), MemoryError(), SystemError("broken")])
def test_whatever_the_solver_raises_is_told_in_words(monkeypatch, editions, progress, error):
    from hayfuncs.leastcost import highs
    from hayfuncs.winter import solve as winter

    def broken(*args, **kwargs):
        raise error

    monkeypatch.setattr(highs, "solved", broken)
    farm = editions["functions"][0].marks["solved"].farm
    with pytest.raises(OutOfRange, match=f"more than the solver can do .{type(error).__name__}"):
        winter.plan(farm, None, progress)


def test_a_workbook_is_still_made_when_the_solver_breaks(monkeypatch):
    from hayfuncs.winter import linear

    def broken(*args, **kwargs):
        raise linear.gave_up("ValueError: nan")

    monkeypatch.setattr(linear, "_solved", broken)
    solved = build.build(DEMO).marks["solved"]
    assert solved.plan is None
    assert solved.solution.words.startswith("No plan: the farm is more than the solver can do")


def test_the_solver_of_mixes_too(monkeypatch):
    import numpy as np

    from hayfuncs.leastcost import highs
    from hayfuncs.leastcost.solver import solve_rows

    def broken(*args, **kwargs):
        raise ValueError("nan in the table")

    monkeypatch.setattr(highs, "solved", broken)
    with pytest.raises(
        OutOfRange, match=r"the cheapest mix: the table is more than the solver can do .ValueError: nan in"
    ):
        solve_rows(np.array([1.0]), np.array([[-1.0]]), np.array([[-2.0]]), np.array([[5.0]]))
