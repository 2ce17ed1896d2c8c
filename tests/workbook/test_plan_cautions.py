"""The winter plan keeps nitrate's shares, counts heated hay at its available protein, and says its cautions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workbook.opened import Open

import hayfuncs
from hayfuncs.winter import solve as winter
from hayfuncs.winter.nitrate import most_shares
from hayfuncs.workbook import build, plancautions, planreport, write
from hayfuncs.workbook.farm import DEMO

SCALES = ("clemson", "midwest laboratory")
HELD = "Windmill Forty"  # 1,620 ppm of nitrate nitrogen: Clemson 50 and 50 %, the laboratory 25 and 50 %


MIXES = replace(DEMO, season=replace(DEMO.season, hay_is_mixed=True))  # the demo farm with a grinder


@pytest.fixture(scope="module")
def solved(editions):
    return editions["functions"][0].marks["solved"]


@pytest.fixture(scope="module")
def ground(tmp_path_factory):
    path = tmp_path_factory.mktemp("mixed") / "mixed.xlsx"
    book, values = build.save(MIXES, path)
    return book, values, path


@pytest.fixture(scope="module")
def mixed(ground):
    return ground[0].marks["solved"]


def test_bales_beside_bales_are_not_mixed_so_hay_over_the_line_is_left_out(editions, solved):
    """1,620 ppm is not safe as the whole diet; as a quarter of it only where hay is ground and mixed."""
    for plan in (solved.plan, solved.plain):
        assert HELD not in {r.name for r in plan.rows}
    assert HELD not in {lot.name for lot in solved.farm.lots}
    opened = Open(*editions["functions"][::2])
    number = [lot.name for lot in DEMO.lots].index(HELD) + 1
    assert opened.get("sources", "state", number) == "left out for safety: nitrate, as hay is not ground and mixed"
    said = " ".join(planreport.text(solved).split())
    assert f"{HELD} is left out for safety: nitrate, as hay is not ground and mixed." in said
    assert "1,620 ppm, counted as 1,800" in said
    assert "25 % of the ration's dry matter for pregnant cattle" in said, "the stricter scale"
    assert "not a mixed diet: a cow may eat this hay alone" in said
    assert "To feed it all the same" not in said
    opened.set_name("plan_mixed", 1)
    assert opened.get("sources", "state", number) == "yes"


def test_hay_safe_for_open_cows_alone_goes_to_them_alone():
    """1,240 ppm: half of a mixed diet for cows in calf, no limit for others on either scale."""
    lots = tuple(replace(lot, nitrate_n_ppm=1240) if lot.name == "North Bench 1" else lot for lot in DEMO.lots)
    solved = build.build(replace(DEMO, lots=lots)).marks["solved"]
    (held,) = [lot for lot in solved.farm.lots if lot.name == "North Bench 1"]
    assert (held.max_pct_pregnant, held.max_pct_others) == (0, 100)
    free = tuple(replace(lot, value_per_ton=0.0) if lot is held else lot for lot in solved.farm.lots)
    farm = replace(solved.farm, lots=free, calving_season_days=0.0)  # some months have no cow in calf
    groups, periods = {g.name: g for g in farm.groups}, {p.label: p for p in farm.periods()}
    fed = [r for r in winter.plan(farm).rows if r.name == "North Bench 1"]
    assert fed
    assert not any(winter.in_calf(farm, groups[r.group], periods[r.period]) for r in fed)
    said = " ".join(planreport.text(solved).split())
    assert "North Bench 1 goes to no cow that may be in calf. Nitrate nitrogen 1,240 ppm" in said


def test_most_shares_are_those_of_the_stricter_scale_with_a_tenth_in_hand(mixed):
    tests = {lot.name: lot.nitrate_n_ppm for lot in DEMO.lots}
    for lot in mixed.farm.lots:
        for most, pregnant in ((lot.max_pct_pregnant, 1), (lot.max_pct_others, 0)):
            counted = tests[lot.name] / 0.9
            share = min(hayfuncs.nitrate_most_share(counted, pregnant, scale) for scale in SCALES)
            assert most == pytest.approx(100 if share == 100 else 0.9 * share)
        assert (lot.max_pct_pregnant, lot.max_pct_others) == pytest.approx(most_shares(tests[lot.name], mixed=True))
    (held,) = [lot for lot in mixed.farm.lots if lot.name == HELD]
    assert (held.max_pct_pregnant, held.max_pct_others) == pytest.approx((22.5, 45))


@pytest.mark.parametrize(
    ("ppm", "wanted"),
    [
        (0, (100, 100)), (629, (100, 100)), (631, (0, 100)), (1259, (0, 100)), (1261, (0, 0)), (29_999, (0, 0)), (60_000, (0, 0)),
    ],
)  # fmt: skip
def test_alone_it_must_be_a_tenth_below_the_first_line_of_the_stricter_scale(ppm, wanted):
    """The laboratory's first line is 700 ppm for cows in calf and 1,400 for others: 630 and 1,260 a tenth below."""
    assert most_shares(ppm) == wanted


@pytest.mark.parametrize("mixes", [False, True])
def test_a_lot_of_which_the_lab_says_only_at_least_is_not_planned(mixes):
    """At least 160 ppm may be 6,000; at most 210 is judged at 210."""
    limits = {"Heron Flat 1": "at least", "Heron Flat 2": "at most"}
    lots = tuple(replace(lot, nitrate_limit=limits.get(lot.name)) for lot in DEMO.lots)
    season = replace(DEMO.season, hay_is_mixed=mixes)
    book = build.build(replace(DEMO, lots=lots, season=season))
    solved, values = book.marks["solved"], write.compute(book)
    assert not {"Heron Flat 1"} & {r.name for r in (*solved.plan.rows, *solved.plain.rows)}
    assert "Heron Flat 2" in {lot.name for lot in solved.farm.lots}
    said = " ".join(planreport.text(solved).split())
    assert (
        "Heron Flat 1 is left out for safety: nitrate. Nitrate nitrogen at least 160 ppm. Danger: the test says only"
        in said
    )
    at = book.marks["hazards_at"]
    for mark in ("nitrate_calf_a", "nitrate_calf_b", "nitrate_open_a", "nitrate_open_b"):
        assert str(values["Hazards", 7, at[mark]]).startswith("Danger: the test says only that it holds at least")
        assert str(values["Hazards", 8, at[mark]]).startswith("Clear")


@pytest.mark.parametrize(("poison", "limit"), [("hcn_ppm", "hcn_limit"), ("ergovaline_ppb", "ergovaline_limit")])
def test_other_poisons_known_only_as_at_least_keep_a_lot_out_too(poison, limit):
    lots = tuple(
        replace(lot, **{poison: 20, limit: "at least"}) if lot.name == "Heron Flat 1" else lot for lot in DEMO.lots
    )
    solved = build.build(replace(DEMO, lots=lots)).marks["solved"]
    assert "Heron Flat 1" not in {lot.name for lot in solved.farm.lots}
    assert "Heron Flat 1 is left out for safety: " in planreport.text(solved)


def test_a_test_that_says_only_that_there_is_more_is_never_a_share():
    assert most_shares(50, mixed=True, at_least=True) == (0, 0)


def test_the_mixed_plan_keeps_them_worked_from_its_rows(mixed):
    solved = mixed
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
    assert max(shares) <= 45 + 1e-6
    assert sum(share > 20 for share in shares) >= 2


def test_heated_hay_counts_at_its_available_protein(solved):
    """Creek Strip: 8.9 % protein, 1.25 % of it bound by heat, 14 % of the protein: 7.65 % is left."""
    protein = {lot.name: lot.cp_pct for lot in solved.farm.lots}
    assert protein["Creek Strip"] == pytest.approx(8.9 - 1.25)
    assert protein["Heron Flat 1"] == pytest.approx(9.3)


def test_the_sheets_say_which_group_may_be_in_calf_and_the_share(ground, mixed):
    opened, solved = Open(*ground[::2]), mixed
    groups, periods = {g.name: g for g in solved.farm.groups}, {p.label: p for p in solved.farm.periods()}
    for i, row in enumerate(solved.plan.rows, 1):
        calf = winter.in_calf(solved.farm, groups[row.group], periods[row.period])
        assert opened.get("plan", "calf", i) == calf
        assert opened.get("plan", "most_share", i) == pytest.approx((22.5 if calf else 45) if row.name == HELD else 100)


def test_the_season_of_calving_follows_its_cell(editions, solved):
    """With all calves on one day the cows that calved on 28 January are not in calf in March, from day 32 to 62."""
    opened = Open(*editions["functions"][::2])
    at = next(i for i, r in enumerate(solved.plan.rows, 1) if (r.group, r.period) == ("First-calf mothers", "Mar 2027"))
    assert opened.get("plan", "since", at) == 32
    assert opened.get("plan", "calf", at) == 1
    opened.set_name("plan_calving_days", 0)
    assert opened.get("plan", "calf", at) == 0


def test_an_amount_changed_by_hand_over_the_share_is_said_as_the_library_says_it(ground, mixed):
    opened, solved = Open(*ground[::2]), mixed
    rows = [replace(r, lb_head_day=round(r.lb_head_day, 6)) for r in solved.plan.rows]
    at = next(i for i, r in enumerate(rows) if r.name == HELD)
    rows[at] = replace(rows[at], lb_head_day=2 * rows[at].lb_head_day)
    opened.put("plan", "lb", rows[at].lb_head_day, at + 1)
    said = {f.what for f in winter.remeasure(solved.farm, tuple(rows)).failures if f.group == rows[at].group}
    assert f"{HELD} over its most share of the diet" in said
    assert "over its most share" in opened.get("plan", "says", at + 1)
    assert str(opened.name("master_check")).startswith("✗")


def test_two_rows_of_one_hay_count_together(ground, mixed):
    opened, solved = Open(*ground[::2]), mixed
    free = len(solved.plan.rows) + 1
    row = next(r for r in solved.plan.rows if r.name == HELD)
    for mark, value in (("month", row.period), ("group", row.group), ("feed", HELD), ("lb", row.lb_head_day)):
        opened.put("plan", mark, value, free)
    assert opened.get("plan", "share_over", free) == 1


def test_the_print_names_each_month_of_held_hay_and_who_decides(mixed):
    solved = mixed
    said = planreport.text(solved)
    cautions = said[said.index("\nCautions\n") :]
    assert cautions.count(HELD) == sum(r.name == HELD for r in solved.plan.rows)
    assert "at most 22 % (may be in calf)" in cautions
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
    said = " ".join(planreport.text(solved).split())
    assert f"{HELD} is left out for safety: nitrate. Nitrate nitrogen 4,200 ppm" in said
    assert "ground and mixed" not in said, "no mixing makes it safe"


def test_a_weaning_date_is_asked_for_where_there_is_a_calf_to_wean():
    season = replace(DEMO.season, weaned={k: v for k, v in DEMO.season.weaned.items() if k != "Late-pregnant cows"})
    said = " ".join(planreport.text(build.build(replace(DEMO, season=season)).marks["solved"]).split())
    assert "No weaning date for Late-pregnant cows: counted as in milk all winter." in said


def test_much_grain_is_said_with_who_decides(solved):
    """4.5 lb of grain for cows of 1,280 lb is 0.35 % of body weight."""
    grown = {group.name for group in solved.farm.groups if group.body_weight_lb >= 1250}
    rows = tuple(
        replace(r, lb_head_day=4.5 if r.group in grown else 1.0) if r.name == "corn grain" else r
        for r in solved.plan.rows
    )
    said = " ".join(planreport.text(replace(solved, plan=winter.remeasure(solved.farm, rows))).split())
    assert "Grain, " in said
    assert ": Caution: above 0.25 % of body weight of grain" in said
    assert "Corn above 0.25 % of body weight a day" in said


def test_the_weights_that_growing_cattle_were_planned_for_are_told(editions):
    solved = editions["functions"][0].marks["solved"]
    told = " ".join(" ".join(plancautions.lines(solved.farm, solved.plan, plancautions.Tested())).split())
    assert (
        "Weaned calves: planned for 540 lb on Dec 1, as Herd has it, and 715 lb by Apr 20, at a gain of 1.25 lb a day."
        in told
    )  # 140 days
    assert "Bred heifers: planned for" not in told
