"""The winter plan's needs by class and condition: the cells of Group months against Python's, month by month."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

import hayfuncs
from hayfuncs.contract.errors import BadInput
from hayfuncs.cow.classes import BRED, FIRST_CALF, GROWING, SECOND_CALF, own_milk_lb, usual_gain_lb
from hayfuncs.importers.model import Group
from hayfuncs.winter import requirements as winter
from hayfuncs.winter.possible import check_farm
from hayfuncs.workbook import build, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.wintering import Reader

YOUNG = {
    "month_since_calving": 9,
    "peak_milk_lb": 20,
    "calf_weight_lb": 75,
    "condition_score": 6,
    "grown_weight_lb": 1250,
}
NO_COW = {"month_since_calving": None, "peak_milk_lb": None, "calf_weight_lb": None, "condition_score": None}
GROUPS = (
    DEMO.groups[0],
    Group("Thin cows", 20, 1150, 8, 18, 85, 4, dt.date(2027, 4, 20), condition_wanted=5, condition_days=100),
    Group("Bred heifers", 12, 1010, calving_date=dt.date(2027, 2, 1), cattle_class=BRED, **YOUNG),
    Group("First calvers", 10, 1040, calving_date=dt.date(2027, 1, 10), cattle_class=FIRST_CALF, **YOUNG),
    Group("Second calvers", 10, 1140, calving_date=dt.date(2026, 9, 1), cattle_class=SECOND_CALF, gain_wanted_lb=0.3, **YOUNG),
    Group("Weaned calves", 30, 560, cattle_class="weaned calf", gain_wanted_lb=1.2, grown_weight_lb=1250, **NO_COW),
    Group("Bulls", 3, 1750, cattle_class="bull", gain_wanted_lb=0, grown_weight_lb=2000, **NO_COW),
)  # fmt: skip


@pytest.fixture(scope="module", params=["functions", "plain"])
def planned(request):
    farm = replace(DEMO, groups=GROUPS, choice=("Heron Flat 1", GROUPS[0].name, "corn gluten feed"))
    book = build.build(farm, request.param, solved=False)
    read = Reader(book, write.compute(book))
    return read, read.farm()


def test_every_need_of_every_month_is_the_same_in_cells_and_in_python(planned):
    read, farm = planned
    check_farm(farm)
    rows = [row for row in read.table("Group months", "balance") if row["days"]]
    needs = winter.needs_of(farm)
    labels = [period.label for period in farm.periods()]
    names = [group.name for group in farm.groups]
    assert len(rows) == len(labels) * len(names)
    for row in rows:
        need = needs[names.index(row["group"])][labels.index(row["month"])]
        cells = [row[key] for key in ("usual", "need_tdn", "need_cp", "need_ca", "need_p")]
        assert cells == [
            pytest.approx(x, rel=1e-9) for x in (need.dm_lb, need.tdn_lb, need.cp_lb, need.ca_g, need.p_g)
        ], (row["group"], row["month"])


def test_the_farm_of_the_cells_has_the_classes(planned):
    _, farm = planned
    assert [g.cattle_class for g in farm.groups] == ["cow", "cow", BRED, FIRST_CALF, SECOND_CALF, "weaned calf", "bull"]
    assert [g.calving_date is None for g in farm.groups] == [False] * 5 + [True] * 2
    calves = farm.groups[5]
    assert not any(
        winter.in_calf(farm, calves, period) or winter.is_nursing(calves, period) for period in farm.periods()
    )


def test_a_bred_heifer_becomes_a_first_calf_cow_when_she_calves(planned):
    _, farm = planned
    heifers, grown = farm.groups[2], hayfuncs.shrunk_weight(1250, farm.shrink_pct)
    counted = {period.label: winter.as_in(farm, heifers, period) for period in farm.periods()}
    assert counted["Dec 2026"] == (BRED, usual_gain_lb(BRED, grown))
    assert counted["Mar 2027"] == (FIRST_CALF, usual_gain_lb(FIRST_CALF, grown))
    need = dict(zip(counted, winter.needs_of(farm)[2], strict=True))["Mar 2027"]
    month = winter.months_since_calving(heifers.calving_date, next(p for p in farm.periods() if p.label == "Mar 2027"))
    her = (
        grown,
        hayfuncs.shrunk_weight(1010, 4),
        usual_gain_lb(FIRST_CALF, grown),
        month,
        own_milk_lb(FIRST_CALF, 20),
        75,
    )
    more = 1 + farm.more_energy_pct.get(3, 0) / 100
    assert need.tdn_lb == pytest.approx(hayfuncs.heifer_need("TDN", *her) * more)


def test_condition_is_fed_for_until_its_days_are_over(planned):
    _, farm = planned
    thin = farm.groups[1]
    held = winter.needs_of(replace(farm, groups=(replace(thin, condition_wanted=None),)))[0]
    more = [now.tdn_lb - then.tdn_lb for now, then in zip(winter.needs_of(farm)[1], held, strict=True)]
    begins = [(period.first - farm.start).days for period in farm.periods()]
    assert [x > 0.5 for x in more] == [day < 100 for day in begins]
    assert all(x == 0 for x, day in zip(more, begins, strict=True) if day >= 100)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"cattle_class": "weaned calf", "grown_weight_lb": 1250.0, "gain_lb": None}, "gain_lb of group"),
        ({"cattle_class": "bull", "grown_weight_lb": None, "gain_lb": 0.0}, "grown_weight_lb of group"),
        ({"cattle_class": BRED, "grown_weight_lb": None}, "grown_weight_lb of group"),
        ({"cattle_class": "goat"}, "cattle_class of group"),
    ],
)
def test_what_a_class_lacks_is_refused_in_words(planned, change, said):
    _, farm = planned
    with pytest.raises(BadInput, match=said):
        check_farm(replace(farm, groups=(replace(farm.groups[0], **change),)))


def test_every_growing_class_is_known_to_the_need():
    for kind in GROWING.values():
        assert hayfuncs.growing_need("TDN", kind, 600, 1, 1200) > 0
