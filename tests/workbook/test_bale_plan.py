"""The plan in whole bales on its sheets: a line a ration, pounds from bales, and what follows when a bale is changed."""

from __future__ import annotations

import datetime as dt
import shutil
from collections import Counter
from itertools import pairwise

import pytest
from workbook.byhand import typed
from workbook.opened import Open

import hayfuncs
from hayfuncs.audit.run import audit
from hayfuncs.hosts import engine
from hayfuncs.winter import sentences
from hayfuncs.winter.bales import bale_put_out_lb
from hayfuncs.workbook import oldbales, planquestions, rebuild, report, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.oldfile import read_old
from hayfuncs.workbook.sheets.baleplan import SPARE_TURNS, in_order
from hayfuncs.workbook.sheets.budget import Budget, Buying
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.feedingdays import Feedings
from hayfuncs.workbook.sheets.groupmonths import MEETS, OUTSIDE
from hayfuncs.workbook.sheets.winter import Months, WinterHerd

ROUNDED = 2e-6  # feeds and minerals stand to six places
EDITIONS = pytest.mark.parametrize("edition", ["functions", "plain"])


def column(opened, table, mark):
    return [opened.get(table, mark, i) for i in range(1, opened.book.marks[table]["n"] + 1)]


def opened(whole_bales, edition="functions"):
    return Open(*whole_bales[edition][::2])


def easy(opened):
    return opened.book.marks["solved"].easy


@EDITIONS
def test_each_line_says_what_the_terminal_says(whole_bales, edition):
    sheet = opened(whole_bales, edition)
    turns = in_order(easy(sheet))
    said = column(sheet, "bale_plan", "said")
    assert said[: len(turns)] == [sentences.sentence(turn).replace(" (or ", "§").split("§")[0] for turn in turns]
    assert said[len(turns) :] == [""] * SPARE_TURNS
    assert set(column(sheet, "bale_plan", "says")) <= {"", None}
    assert "1 bale of " in " ".join(said)
    assert "every 2 days" in " ".join(said)


def test_bales_days_and_pounds_stand_as_inputs_of_their_own(whole_bales):
    book = whole_bales["functions"][0]
    turns = in_order(book.marks["solved"].easy)
    for number, turn in enumerate(turns, 1):
        held = {}
        for key in ("group", "month", "first", "days", "every", "hay_1", "bales_1", "feed_1", "lb_1"):
            sheet, row, col = book.inputs[f"Plan/{number}/{key}"]
            held[key] = book.by_name(sheet).cells[row, col].content
        assert (held["group"], held["month"], held["first"], held["days"]) == (
            turn.group,
            turn.period,
            turn.first,
            turn.days,
        )
        assert (held["every"], held["hay_1"], held["bales_1"]) == (turn.step, turn.hays[0].name, turn.hays[0].bales)
        assert held["feed_1"] == (turn.feeds[0].name if turn.feeds else None)


@EDITIONS
def test_pounds_a_head_follow_from_bales_and_all_sheets_say_what_the_solver_says(whole_bales, edition):
    sheet = opened(whole_bales, edition)
    plan, solved = easy(sheet), sheet.book.marks["solved"]
    for number, turn in enumerate(in_order(plan), 1):
        assert sheet.get("bale_plan", "hay_lb", number) == pytest.approx(sum(h.put_out_lb for h in turn.hays), rel=1e-9)
    n = sheet.book.marks["balance"]["n"]
    found = {(sheet.get("balance", "month", i), sheet.get("balance", "group", i)): i for i in range(1, n + 1)}
    for b in plan.plan.balances:
        at = found.pop((b.period, b.group))
        assert sheet.get("balance", "tdn", at) == pytest.approx(b.tdn_lb, abs=ROUNDED)
        assert sheet.get("balance", "cp", at) == pytest.approx(b.cp_lb, abs=ROUNDED)
        assert sheet.get("balance", "dry", at) == pytest.approx(b.dm_lb, abs=ROUNDED)
        assert sheet.get("balance", "ca", at) == pytest.approx(b.ca_g, abs=1e-3)
        assert sheet.get("balance", "says", at) == MEETS
    assert {sheet.get("balance", "says", at) for at in found.values()} == {OUTSIDE}
    assert sheet.at(sheet.book.find(Budget).total) == pytest.approx(plan.plan.cost, rel=1e-7)
    assert str(sheet.name("master_check")).startswith("✓")
    assert not sheet.name("plan_stop")
    assert solved.plan is plan.plan


@EDITIONS
def test_bales_of_each_stack_and_month_are_those_of_the_feedings(whole_bales, edition):
    sheet = opened(whole_bales, edition)
    plan = easy(sheet)
    months = [p.label for p in plan.farm.periods()]
    counted: Counter[tuple[str, str]] = Counter()
    for turn in plan.turns:
        for hay in turn.hays:
            counted[hay.name, turn.period] += hay.bales * -(-turn.days // turn.step)
    shown = {}
    for i in range(1, sheet.book.marks["bale_months"]["n"] + 1):
        for k, month in enumerate(months, 1):
            shown[sheet.get("bale_months", "name", i), month] = sheet.get("bale_months", f"out_{k}", i)
    assert {k: v for k, v in shown.items() if v} == {k: v for k, v in counted.items() if v}
    for lot in plan.farm.lots:
        i = next(i for i in range(1, 99) if sheet.get("bale_months", "name", i) == lot.name)
        there = lot.tons * (1 - lot.storage_loss_pct / 100) * 2000 / bale_put_out_lb(lot)
        assert sheet.get("bale_months", "start", i) == pytest.approx(there)
        out = sum(n for (name, _), n in counted.items() if name == lot.name)
        assert sheet.get("bale_months", "left", i) == pytest.approx(there - out)
        assert there - out > -1e-6


def test_the_price_of_ease_stands_in_one_sentence_above_the_plan(whole_bales):
    sheet = opened(whole_bales)
    plan = easy(sheet)
    words = (
        f"${plan.plan.cost:,.0f}; no plan of any kind costs less than ${plan.bound:,.0f}. "
        f"Whole bales, few hays and few feeds cost ${plan.price_of_ease:,.0f} of it."
    )
    assert sheet.name("plan_price") == words
    assert sheet.at("Plan!E3") == words


@EDITIONS
def test_a_bale_more_or_less_carries_its_consequences_at_once(whole_bales, edition):
    """One bale less at each feeding: pounds, energy, the month, the stack, the dollars and the checks follow."""
    sheet = opened(whole_bales, edition)
    turns = in_order(easy(sheet))
    at = next(i for i, t in enumerate(turns, 1) if t.hays[0].bales >= 2 and t.days >= 14)
    turn, hay = turns[at - 1], turns[at - 1].hays[0]
    source = next(s for s in easy(sheet).farm.lots if s.name == hay.name)
    feedings = -(-turn.days // turn.step)
    stack = next(i for i in range(1, 99) if sheet.get("bale_months", "name", i) == hay.name)
    before = {
        "lb": sheet.get("bale_plan", "hay_lb", at), "tdn": sheet.get("bale_plan", "tdn", at),
        "left": sheet.get("bale_months", "left", stack), "cost": sheet.at(sheet.book.find(Budget).total),
    }  # fmt: skip
    sheet.put("bale_plan", "bales_1", hay.bales - 1, at)
    less = bale_put_out_lb(source) / (turn.head * turn.step)
    group = next(g for g in easy(sheet).farm.groups if g.name == turn.group)
    lost = source.feeding_loss_pct if group.feeding_loss_pct is None else group.feeding_loss_pct
    tdn = less * (1 - lost / 100) * source.dm_pct / 100 * source.tdn_pct / 100
    assert sheet.get("bale_plan", "hay_lb", at) == pytest.approx(before["lb"] - less)
    assert sheet.get("bale_plan", "tdn", at) == pytest.approx(before["tdn"] - tdn)
    assert sheet.get("bale_months", "left", stack) == pytest.approx(before["left"] + feedings)
    assert sheet.at(sheet.book.find(Budget).total) < before["cost"]
    assert f"{hay.bales - 1} bale" in sheet.get("bale_plan", "said", at)
    assert "energy short" in sheet.get("bale_plan", "says", at)
    assert str(sheet.name("master_check")).startswith("✗")
    assert sheet.at("Plan!E3").startswith("✗ Do not feed by this plan while a check fails: Plan: ")
    sheet.put("bale_plan", "bales_1", hay.bales, at)
    assert str(sheet.name("master_check")).startswith("✓")
    assert sheet.at(sheet.book.find(Budget).total) == pytest.approx(before["cost"])


def test_more_corn_by_hand_costs_and_is_said_beside_the_price_of_ease(whole_bales):
    sheet = opened(whole_bales)
    turns = in_order(easy(sheet))
    at, turn = next(
        (i, t)
        for i, t in enumerate(turns, 1)
        if t.feeds and t.feeds[0].put_out_lb <= 2 and t.period != turns[-1].period
    )
    sheet.put("bale_plan", "lb_1", turn.feeds[0].put_out_lb + 0.25, at)
    cost = sheet.at(sheet.book.find(Budget).total)
    more = cost - easy(sheet).plan.cost
    farm = sheet.book.marks["solved"].farm
    price = next(f.price_per_ton for f in farm.feeds if f.name == turn.feeds[0].name)
    month = next(p.days for p in farm.periods() if p.label == turn.period)
    share = turn.days / sum(t.days for t in turns if (t.group, t.period) == (turn.group, turn.period))
    assert more == pytest.approx(0.25 * turn.head * month * share / 2000 * price, rel=1e-4)  # counted in months
    assert sheet.name("plan_price").endswith(f" Changed since it was solved: ${more:,.0f} more.")


def test_a_second_hay_and_a_line_of_its_own_count(whole_bales):
    """A free line takes over the last days of another one: the days still add up, and its bales are counted."""
    sheet = opened(whole_bales)
    turns = in_order(easy(sheet))
    at, turn = max(((i, t) for i, t in enumerate(turns, 1)), key=lambda pair: pair[1].days)
    total = sheet.at(sheet.book.find(Budget).total)
    free, moved = len(turns) + 1, 2 * turn.step
    sheet.put("bale_plan", "days", turn.days - moved, at)
    assert "days of its lines" in str(sheet.name("plan_stop"))
    typed = {"group": turn.group, "month": turn.period, "days": moved, "every": turn.step}
    for n, hay in enumerate(turn.hays, 1):
        typed |= {f"hay_{n}": hay.name, f"bales_{n}": hay.bales}
    for n, feed in enumerate(turn.feeds, 1):
        typed |= {f"feed_{n}": feed.name, f"lb_{n}": feed.put_out_lb}
    for key, value in typed.items():
        sheet.put("bale_plan", key, value, free)
    assert sheet.at(sheet.book.find(Budget).total) == pytest.approx(total, rel=1e-9)
    assert str(sheet.name("master_check")).startswith("✓")
    sheet.put("bale_plan", "group", "no such cows", free)
    assert sheet.get("bale_plan", "says", free).startswith("not found")
    assert str(sheet.name("master_check")).startswith("✗")


def test_more_bales_than_the_stack_holds_are_said(whole_bales):
    sheet = opened(whole_bales)
    turns = in_order(easy(sheet))
    at, turn = next((i, t) for i, t in enumerate(turns, 1) if t.days >= 14)
    sheet.put("bale_plan", "bales_1", 40, at)
    assert "more than they eat" in sheet.get("bale_plan", "says", at)
    stack = next(i for i in range(1, 99) if sheet.get("bale_months", "name", i) == turn.hays[0].name)
    assert sheet.get("bale_months", "says", stack) == "overdrawn"


def test_hay_weighed_out_is_told_in_pounds(whole_bales):
    sheet = opened(whole_bales)
    turn = in_order(easy(sheet))[0]
    sheet.put("bale_plan", "bales_1", None, 1)
    sheet.put("bale_plan", "weighed_1", 12.5, 1)
    said = sheet.get("bale_plan", "said", 1)
    assert f"12.5 lb of {turn.hays[0].name} a head a day ({12.5 * turn.head:,.0f} lb, weighed out)" in said
    sheet.put("bale_plan", "mineral_1", 0.1, 1)
    assert sheet.get("bale_plan", "said", 1).endswith(", 1.6 oz of limestone a head")


def test_every_check_of_the_committed_kind_of_plan_holds(whole_bales):
    for book, values, _ in whole_bales.values():
        assert report.checks(book, values)[0].startswith("Checks: ✓ sums and entries: all")


def test_month_cards_hold_every_part_of_every_ration(whole_bales):
    """In bales and the days they begin, not in the mean of the month; a card has room for three rations."""
    sheet = opened(whole_bales)
    plan = easy(sheet)
    counted = sum(1 for ok in column(sheet, "plan", "ok") if ok == 1)
    cards = [
        [str(engine.plain_value(sheet.made.get_value("Month cards", row + 1, 1))) for row in range(first, last + 1)]
        for first, last in sheet.book.marks["month_cards"]["rows"]
    ]
    lines = [text for card in cards for text in card[3:-2] if text]  # the mineral mix, and the star
    assert len(lines) == counted == sum(len(t.hays) + len(t.feeds) + len(t.minerals) for t in plan.turns)
    assert not [card for card in cards if "more than this card holds" in card[-1]]
    turn = next(t for t in plan.turns if t.step > 1)
    card = next(card for card in cards if card[0].startswith(turn.group) and card[1].startswith(turn.period))
    assert card[1].endswith(f", bales every {turn.step} days")
    kinds = {lot.name: lot.bale for lot in DEMO.lots if lot.bale}
    hay = turn.hays[0]
    bales = f"{hay.bales} {kinds.get(hay.name, 'bale')}{'' if hay.bales == 1 else 's'} {hay.name}"
    assert any(bales in text for text in card)


def test_the_rest_of_an_older_workbooks_plan_is_read_in_pounds(whole_bales, tmp_path):
    """The months of a plan in whole bales beside a new one: the same amounts, no change is named."""
    book, _, path = whole_bales["functions"]
    old = read_old(path)
    solved = book.marks["solved"]
    was = {(r.period, r.group, r.name): r.lb_head_day for r in oldbales.rows(old, solved.easy.farm)}
    now = {(r.period, r.group, r.name): r.lb_head_day for r in solved.plan.rows}
    minerals = {m.name for m in solved.farm.minerals}
    assert was == pytest.approx({k: lb for k, lb in now.items() if k[2] not in minerals}, abs=1e-6)
    assert planquestions.changes(solved, old) == []


@pytest.mark.parametrize("edition", ["functions"])
def test_made_anew_it_keeps_its_lines(whole_bales, tmp_path, edition):
    """A rebuild keeps what is typed, a changed bale too, and what follows from it."""
    book, _, path = whole_bales[edition]
    changed = tmp_path / "old.xlsx"
    shutil.copy(path, changed)
    typed(book, changed, {"Plan/1/bales_1": 7})
    made = rebuild.remake(changed)[0]
    at, sheet = made.marks["bale_plan_at"], made.by_name("Plan")
    turns = in_order(book.marks["solved"].easy)
    assert sheet.cells[FIRST, at["bales_1"]].content == 7
    assert [sheet.cells[FIRST + i, at["hay_1"]].content for i in range(len(turns))] == [t.hays[0].name for t in turns]
    assert made.marks["bale_plan"]["n"] == book.marks["bale_plan"]["n"]
    values = write.compute(made)
    assert values["Plan", FIRST, at["said"]].startswith("7 bales of")
    assert write.faults(values) == []


def test_the_audit_finds_nothing_and_covers_every_cell(whole_bales):
    case = audit(whole_bales["functions"][2])
    assert [f"{f.level} {f.rule} {f.cell}: {f.evidence[:200]}" for f in case.findings if f.above_note] == []
    assert case.recomputed.done == len(case.book.formulas)
    assert len(case.heads) >= 8


def test_the_days_on_which_hay_goes_out_are_those_of_the_plan(whole_bales):
    """Read off the cards as the one who feeds reads them, against the feedings that Python gives each ration."""
    book, values, _ = whole_bales["functions"]
    turns = book.marks["solved"].easy.turns
    wanted: dict[tuple[str, str], list[dt.date]] = {}
    for turn in (t for t in turns if any(hay.bales for hay in t.hays)):  # what is weighed out goes out each day
        days = [turn.first + dt.timedelta(days=i) for i in range(0, turn.days, turn.step)]
        wanted.setdefault((turn.group, turn.period), []).extend(days)
    table = book.find(Feedings)
    read = {}
    groups, months = book.find(WinterHerd), book.find(Months)
    for i in range(1, table.n + 1):
        group, month = (i - 1) // months.n + 1, (i - 1) % months.n + 1
        said = values.get(place_of(table.some(Feedings.says, i))[:3], "")
        name = values[place_of(groups.some(WinterHerd.name, group))[:3]]
        label = values[place_of(months.some(Months.label, month))[:3]]
        if said:
            read[name, label] = said
    assert set(read) == set(wanted)
    labels = [period.label for period in book.marks["solved"].farm.periods()]
    for (name, label), days in wanted.items():
        card = [t for t in turns if (t.group, t.period) == (name, label)]
        step = card[0].step
        if {(b - a).days for a, b in pairwise(days)} - {step}:
            assert read[name, label] == "Bales go out on some of the days: see Plan."
            continue
        if step == 1:
            assert read[name, label] == "Bales go out every day."
            continue
        here = [day for day in days if f"{day:%b %Y}" == label]
        before = [f"{day.day} {day:%b}" for day in days if f"{day:%b %Y}" != label]
        told = ", ".join(filter(None, [*before, " ".join(str(day.day) for day in here)]))
        after, till = days[-1] + dt.timedelta(days=step), max(t.first + dt.timedelta(days=t.days) for t in card)
        ends = f"{after:%b %Y}" == label != labels[-1] and after >= till
        then = f" From {after.day} {after:%b} on: the next card." if ends else ""
        assert read[name, label] == f"Bales go out on {told}.{then}"
    assert any(any(f"{day:%b %Y}" != label for day in days) for (_, label), days in wanted.items()), "none reaches over"


@EDITIONS
def test_the_caution_of_a_feed_is_read_at_what_a_head_gets_not_at_the_mean_of_a_month(whole_bales, edition):
    book, values, _ = whole_bales[edition]
    most: dict[str, float] = {}
    for turn in book.marks["solved"].easy.turns:
        for given in turn.feeds:
            most[given.name] = max(most.get(given.name, 0.0), given.put_out_lb)
    buying = book.find(Buying)
    read = {}
    for i in range(1, buying.n + 1):
        name, rate, caution = (values.get(place_of(buying.some(column, i))[:3]) for column in (Buying.name, Buying.rate, Buying.caution))  # fmt: skip
        read[name] = rate, caution
    assert most
    lightest = min(group.body_weight_lb for group in book.marks["solved"].farm.groups)
    for name, lb in most.items():
        assert read[name][0] == pytest.approx(lb, abs=1e-6), name
        assert read[name][1] == hayfuncs.feed_caution(name, lb, lightest)


def test_a_feed_with_a_caution_and_bought_hay_without_a_test_have_a_star_on_the_cards(whole_bales):
    book, values, _ = whole_bales["functions"]
    lines = [str(value) for (sheet, row, col), value in values.items() if sheet == "Month cards" and col == 0]
    turns = book.marks["solved"].easy.turns
    fed = {given.name for turn in turns for given in turn.feeds}
    bought = {offer.name for offer in book.marks["solved"].farm.for_sale} & {
        h.name for turn in turns for h in turn.hays
    }
    assert fed
    assert bought
    for name in fed | bought:
        mine = [line for line in lines if name in line]
        assert mine, name
        assert all(line.endswith(" *") for line in mine), mine[:2]
