"""Played: a winter is planned and every ration of it goes again through every caution that there is for a ration."""

from __future__ import annotations

from dataclasses import replace

import pytest
from winterlib import weight_of

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.winter import solve as winter
from hayfuncs.winter.cautions import ration_cautions
from hayfuncs.workbook import build, planreport, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets.budget import NO_LONGER
from hayfuncs.workbook.sheets.groupmonths import CA_P_UNDER, MEETS, OUTSIDE

GRAMS = 453.59237
# every caution of the catalogue: run on each ration here, or why it is none on a planned ration
RUN = {"CALCIUM_PHOSPHORUS_CAUTION", "SULFUR_CAUTION", "FAT_CAUTION", "GRAIN_CAUTION", "FEED_CAUTION", "UREA_CAUTION", "NITRATE_CAUTION"}  # fmt: skip
OF_A_LOT = {
    "PRUSSIC_ACID_CAUTION",
    "ERGOVALINE_CAUTION",
    "TETANY_CAUTION",
    "STACK_HEAT_CAUTION",
    "BALING_MOISTURE_CAUTION",
}
OF_THE_COW_OR_HER_WEATHER = {"COLD_CAUTION", "MUD_CAUTION"}

# grass hay as it often is, little calcium beside its phosphorus, and two feeds that have less: ours, invented
GRASS = tuple(
    replace(lot, ca_pct=0.34, p_pct=0.26, nitrate_n_ppm=nitrate, tons=3 * lot.tons)
    for lot, nitrate in zip((lot for lot in DEMO.lots if lot.forage == "grass"), (150, 210, 90, 4200), strict=True)
)
FEW = replace(  # grown cows: on grass hay, corn and middlings alone no thin young cow gains
    DEMO, lots=GRASS, groups=DEMO.groups[:3], prices={"corn grain": 190.0, "wheat middlings": 150.0}, choice=("", "", "wheat middlings"),
    season=replace(DEMO.season, offers=DEMO.season.offers[:1]),
)  # fmt: skip


def test_every_caution_of_the_catalogue_is_run_or_is_none_on_a_ration():
    every = {name for name in CATALOGUE if name.endswith("_CAUTION")}
    new = every - RUN - OF_A_LOT - OF_THE_COW_OR_HER_WEATHER
    assert not [n for n in new if {"diet", "grain_lb", "rate_lb", "feed_name"} & set(CATALOGUE[n].args)], new
    assert every >= RUN | OF_A_LOT


@pytest.fixture(scope="module", params=["demo", "grass hay with corn and middlings"])
def played(request):
    book = build.build(DEMO if request.param == "demo" else FEW)
    return book, write.compute(book), request.param


def rations(solved):
    """Each group and month: pounds put out and dry matter eaten of each source, by plain arithmetic."""
    farm = solved.farm
    sources = {s.name: s for s in (*farm.lots, *farm.for_sale, *farm.feeds, *farm.minerals)}
    for balance in solved.plan.balances:
        group = next(g for g in farm.groups if g.name == balance.group)
        parts = []
        for row in solved.plan.rows:
            if (row.period, row.group) != (balance.period, balance.group):
                continue
            source = sources[row.name]
            lost = 0.0
            if isinstance(source, (winter.Lot, winter.HayForSale)):
                lost = source.feeding_loss_pct if group.feeding_loss_pct is None else group.feeding_loss_pct
            parts.append((source, row.lb_head_day, row.lb_head_day * source.dm_pct / 100 * (1 - lost / 100)))
        yield balance, group, parts


def test_no_planned_ration_is_at_danger_by_any_function(played):
    book, _, _ = played
    solved = book.marks["solved"]
    assert solved.plan.feasible
    nitrate = {lot.name: lot.nitrate_n_ppm for lot in (*DEMO.lots, *(GRASS if played[2] != "demo" else ()))}
    count = 0
    for balance, group, parts in rations(solved):
        period = next(p for p in solved.farm.periods() if p.label == balance.period)
        weight = weight_of(solved.farm, group, period)
        dry = sum(dm for *_, dm in parts)
        calcium, phosphorus = (
            sum((lb if isinstance(s, winter.Mineral) else dm) * getattr(s, name) / 100 for s, lb, dm in parts)
            for name in ("ca_pct", "p_pct")
        )
        hay = 100 * sum(dm for s, _, dm in parts if not isinstance(s, (winter.Feed, winter.Mineral))) / dry
        diet = "high forage" if hay >= 50 else "high concentrate"
        grain = round(sum(lb for s, lb, _ in parts if getattr(s, "grain", False)), 6)  # as it stands on Plan
        said = [
            hayfuncs.calcium_phosphorus_caution(100 * calcium / dry, 100 * phosphorus / dry),
            hayfuncs.sulfur_caution(sum(dm * s.s_pct for s, _, dm in parts) / dry, diet),
            hayfuncs.fat_caution(sum(dm * s.fat_pct for s, _, dm in parts) / dry, diet),
            hayfuncs.grain_caution(grain, weight),
            hayfuncs.urea_caution(0, weight, dry, dry / 10),  # urea is refused in a plan
        ]
        said += [hayfuncs.feed_caution(s.name, lb, weight) for s, lb, _ in parts if isinstance(s, winter.Feed)]
        for s, *_ in parts:
            if isinstance(s, winter.Lot) and nitrate.get(s.name) is not None:  # each hay alone, a tenth below the line
                said += [hayfuncs.nitrate_caution(nitrate[s.name] / 0.9, True, scale) for scale in ("clemson", "midwest laboratory")]  # fmt: skip
                assert all(str(text).startswith("Clear") for text in said[-2:]), (s.name, said[-2:])
        assert not [text for text in said if str(text).startswith("Danger")], (balance.group, balance.period, said)
        assert calcium >= 1.5 * phosphorus - 1e-6, (balance.group, balance.period)
        assert GRAMS * calcium >= balance.need.ca_g - 1e-3
        assert GRAMS * phosphorus >= balance.need.p_g - 1e-3
        assert dry >= 0.95 * balance.need.dm_lb - 1e-4, "kept full"
        count += 1
    assert count == len(solved.farm.groups) * len(solved.farm.periods())


def test_the_sheets_show_the_ratio_by_group_and_month_and_the_print_too(played):
    book, values, _ = played
    solved, at = book.marks["solved"], book.marks["balance_at"]
    rows = range(7, 7 + book.marks["balance"]["n"])
    shown = {
        tuple(values["Group months", r, at[k]] for k in ("month", "group")): (values["Group months", r, at["ca_p"]], values["Group months", r, at["says"]])
        for r in rows
    }  # fmt: skip
    for balance in solved.plan.balances:
        ratio, says = shown[balance.period, balance.group]
        assert ratio == pytest.approx(balance.ca_p, abs=1e-3)
        assert ratio >= 1.5 - 1e-3
        assert says == MEETS
    assert {says for _, says in shown.values()} == {MEETS, OUTSIDE}
    said = planreport.text(solved)
    table = said[said.index("Calcium to phosphorus of the diet, at least 1.5") :]
    for group in solved.farm.groups:
        line = next(line for line in table.splitlines() if line.strip().startswith(group.name))
        mine = [format(b.ca_p, ".1f") for b in solved.plan.balances if b.group == group.name]
        assert line.split()[-len(mine) :] == mine


def test_grass_hay_with_corn_and_middlings_gets_limestone_and_the_list_buys_it():
    """Before, such a farm was planned at 0.75 of calcium for each part of phosphorus and nothing was said."""
    book = build.build(FEW)
    solved, values = book.marks["solved"], write.compute(book)
    bought = {p.name: p.tons for p in solved.plan.purchases}
    assert bought["limestone"] > 0.02
    assert "middlings" in " ".join(bought)
    lists = {values.get(("Winter budget", r, 0)): values.get(("Winter budget", r, 1)) for r in range(20, 90)}
    assert lists["limestone"] == pytest.approx(bought["limestone"], abs=1e-4)
    assert "lb limestone" in planreport.text(solved)
    open_ratio = winter.plan(replace(solved.farm, min_ca_p=0.0))
    assert min(b.ca_p for b in open_ratio.balances) < 1.2, "what the same farm is fed where nobody asks"


def test_taking_the_limestone_out_by_hand_is_said_and_no_money_is_shown():
    book = build.build(FEW)
    solved = book.marks["solved"]
    rows = tuple(r for r in solved.plan.rows if r.kind != "mineral")
    after = winter.remeasure(solved.farm, rows)
    assert "calcium short beside phosphorus" in {f.what for f in after.failures}
    said = planreport.text(replace(solved, plan=after))
    low = [c for c in ration_cautions(solved.farm, after) if c.about == "calcium to phosphorus" and c.level != "Clear"]
    assert low
    assert low[0].text[:40] in " ".join(said.split())
    cells = book.by_name("Plan").cells
    col = book.marks["plan_at"]["lb"]
    for number, row in enumerate(solved.plan.rows):
        if row.kind == "mineral":
            cells[7 + number, col].content = 0
    values = write.compute(book)
    at = book.marks["balance_at"]["says"]
    says = [str(values["Group months", r, at]) for r in range(7, 7 + book.marks["balance"]["n"])]
    assert sum(CA_P_UNDER in text for text in says) == len({(f.period, f.group) for f in after.failures})
    assert values["Winter budget", 4, 0] == NO_LONGER
    assert "Group months not as they should be: " in values["Winter budget", 5, 0]
