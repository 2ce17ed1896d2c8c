"""The winter plan keeps nitrate's shares, counts heated hay at its available protein, and says its cautions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workbook.opened import Open

import hayfuncs
from hayfuncs.winter import solve as winter
from hayfuncs.workbook import build, planreport
from hayfuncs.workbook.farm import DEMO

SCALES = ("clemson", "midwest laboratory")
HELD = "Windmill Forty"  # 1,620 ppm of nitrate nitrogen: Clemson 50 and 50 %, the laboratory 25 and 50 %


@pytest.fixture(scope="module")
def solved(editions):
    return editions["functions"][0].marks["solved"]


def test_most_shares_are_those_of_the_stricter_scale(solved):
    tests = {lot.name: lot.nitrate_n_ppm for lot in DEMO.lots}
    for lot in solved.farm.lots:
        for most, pregnant in ((lot.max_pct_pregnant, 1), (lot.max_pct_others, 0)):
            assert most == min(hayfuncs.nitrate_most_share(tests[lot.name], pregnant, scale) for scale in SCALES)
    (held,) = [lot for lot in solved.farm.lots if lot.name == HELD]
    assert (held.max_pct_pregnant, held.max_pct_others) == (25, 50)


def test_the_demo_plan_keeps_them_worked_from_its_rows(solved):
    groups, dm = (
        {g.name: g for g in solved.farm.groups},
        {s.name: s.dm_pct for s in (*solved.farm.lots, *solved.farm.feeds, *solved.farm.for_sale)},
    )
    feeds = {f.name for f in solved.farm.feeds}
    shares = []
    for balance in solved.plan.balances:
        dry = {
            r.name: r.lb_head_day * dm[r.name] / 100 * (1 if r.name in feeds else 1 - groups[r.group].feeding_loss_pct / 100)
            for r in solved.plan.rows if (r.period, r.group) == (balance.period, balance.group)
        }  # fmt: skip
        shares.append(100 * dry.get(HELD, 0) / sum(dry.values()))
    assert max(shares) <= 50 + 1e-6
    assert sum(share > 20 for share in shares) >= 2


def test_heated_hay_counts_at_its_available_protein(solved):
    """Creek Strip: 8.9 % protein, 1.25 % of it bound by heat, 14 % of the protein: 7.65 % is left."""
    protein = {lot.name: lot.cp_pct for lot in solved.farm.lots}
    assert protein["Creek Strip"] == pytest.approx(8.9 - 1.25)
    assert protein["Heron Flat 1"] == pytest.approx(8.6)


def test_the_sheets_say_which_group_may_be_in_calf_and_the_share(editions, solved):
    opened = Open(*editions["functions"][::2])
    groups, periods = {g.name: g for g in solved.farm.groups}, {p.label: p for p in solved.farm.periods()}
    for i, row in enumerate(solved.plan.rows, 1):
        calf = winter.in_calf(solved.farm, groups[row.group], periods[row.period])
        assert opened.get("plan", "calf", i) == calf
        assert opened.get("plan", "most_share", i) == ((25 if calf else 50) if row.name == HELD else 100)


def test_the_season_of_calving_follows_its_cell(editions, solved):
    """With all calves on one day the cows that calved on 28 January are not in calf in March, from day 32 to 62."""
    opened = Open(*editions["functions"][::2])
    at = next(i for i, r in enumerate(solved.plan.rows, 1) if (r.group, r.period) == ("First-calf mothers", "Mar 2027"))
    assert opened.get("plan", "since", at) == 32
    assert opened.get("plan", "calf", at) == 1
    opened.set_name("plan_calving_days", 0)
    assert opened.get("plan", "calf", at) == 0


def test_an_amount_changed_by_hand_over_the_share_is_said_as_the_library_says_it(editions, solved):
    opened = Open(*editions["functions"][::2])
    rows = [replace(r, lb_head_day=round(r.lb_head_day, 6)) for r in solved.plan.rows]
    at = next(i for i, r in enumerate(rows) if r.name == HELD)
    rows[at] = replace(rows[at], lb_head_day=2 * rows[at].lb_head_day)
    opened.put("plan", "lb", rows[at].lb_head_day, at + 1)
    said = {f.what for f in winter.remeasure(solved.farm, tuple(rows)).failures if f.group == rows[at].group}
    assert f"{HELD} over its most share of the diet" in said
    assert "over its most share" in opened.get("plan", "says", at + 1)
    assert str(opened.name("master_check")).startswith("✗")


def test_two_rows_of_one_hay_count_together(editions, solved):
    opened = Open(*editions["functions"][::2])
    free = len(solved.plan.rows) + 1
    row = next(r for r in solved.plan.rows if r.name == HELD)
    for mark, value in (("month", row.period), ("group", row.group), ("feed", HELD), ("lb", row.lb_head_day)):
        opened.put("plan", mark, value, free)
    assert opened.get("plan", "share_over", free) == 1


def test_the_print_names_each_month_of_held_hay_and_who_decides(solved):
    said = planreport.text(solved)
    cautions = said[said.index("\nCautions\n") :]
    assert cautions.count(HELD) == sum(r.name == HELD for r in solved.plan.rows)
    assert "at most 25 % (may be in calf)" in cautions
    assert "veterinarian decides" in cautions
    assert "brought in slowly" in cautions
    assert "Creek Strip has heated: planned with 7.7 % protein" in cautions
    assert "not tested" not in cautions


def test_a_lot_that_was_not_tested_is_not_held_back_and_is_counted():
    lots = tuple(replace(lot, nitrate_n_ppm=None) if lot.name in (HELD, "Section Ten") else lot for lot in DEMO.lots)
    solved = build.build(replace(DEMO, lots=lots)).marks["solved"]
    (held,) = [lot for lot in solved.farm.lots if lot.name == HELD]
    assert (held.max_pct_pregnant, held.max_pct_others) == (100, 100)
    said = " ".join(planreport.text(solved).split())
    assert f"2 of 10 lots were not tested for nitrate, so nothing holds them back: Section Ten, {HELD}." in said


def test_hay_over_every_share_is_not_fed_and_said():
    lots = tuple(replace(lot, nitrate_n_ppm=4200) if lot.name == HELD else lot for lot in DEMO.lots)
    solved = build.build(replace(DEMO, lots=lots)).marks["solved"]
    assert HELD not in {r.name for r in (*solved.plan.rows, *solved.plain.rows)}
    assert f"none is fed of the lots that it holds back ({HELD})" in planreport.text(solved)


def test_much_grain_is_said_with_who_decides(solved):
    """4.5 lb of grain for cows of 1,280 lb is 0.35 % of body weight."""
    rows = tuple(replace(r, lb_head_day=4.5) if r.name == "corn grain" else r for r in solved.plan.rows)
    said = " ".join(planreport.text(replace(solved, plan=winter.remeasure(solved.farm, rows))).split())
    assert "4.5 lb in all: Caution: above 0.25 % of body weight of grain" in said
    assert "Corn above 0.25 % of body weight a day" in said
