"""The winter in whole and halved months in cells: as in Python, and told where the plan was solved for the other."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from building import SMALL, built
from workbook.opened import Open

from hayfuncs.winter.requirements import needs_of
from hayfuncs.workbook import build, planreport, write
from hayfuncs.workbook.wintering import Reader

WINTER = replace(SMALL.barn.winter, start=dt.date(2027, 1, 10), turnout=dt.date(2027, 4, 20))
LONGER = replace(SMALL, barn=replace(SMALL.barn, winter=WINTER))
HALVED = replace(LONGER, season=replace(SMALL.season, in_halves=True))


@pytest.fixture(scope="module", params=["functions", "plain"])
def read(request):
    book = build.build(HALVED, request.param, solved=False)
    return Reader(book, write.compute(book))


def test_months_and_needs_in_cells_are_pythons(read):
    farm = read.farm()
    periods = farm.periods()
    assert farm.in_halves
    assert sum("-" in period.label for period in periods) >= 4
    months = [row for row in read.table("Winter", "months") if row["days"]]
    assert [(m["label"], m["days"], m["middle"]) for m in months] == [
        (p.label, p.days, p.middle - dt.date(1899, 12, 30).toordinal()) for p in periods
    ]
    rows = [row for row in read.table("Group months", "balance") if row["days"]]
    needs, labels, names = needs_of(farm), [p.label for p in periods], [group.name for group in farm.groups]
    assert len(rows) == len(labels) * len(names)
    for row in rows:
        need = needs[names.index(row["group"])][labels.index(row["month"])]
        cells = [row[key] for key in ("usual", "need_tdn", "need_cp")]
        assert cells == [pytest.approx(x, rel=1e-9) for x in (need.dm_lb, need.tdn_lb, need.cp_lb)], row["month"]


def test_a_change_from_halves_to_whole_months_is_told():
    book, path = built(HALVED, "functions")[::2]
    opened = Open(book, path)
    opened.as_solved()
    labels = [opened.get("months", "label", i) for i in range(1, opened.book.marks["months"]["n"] + 1)]
    assert labels[-1] == ""
    assert any(" 16-" in label for label in labels)
    opened.set_name("plan_halves", 0)
    whole = [opened.get("months", "label", i) for i in range(1, len(labels) + 1)]
    assert [label for label in whole if label] == ["Jan 2027", "Feb 2027", "Mar 2027", "Apr 2027"]
    assert "months in halves: 1 yes, 0 no (was 1, now 0)" in opened.name("plan_changed").casefold()
    opened.set_name("plan_halves", 1)
    assert opened.name("plan_changes") == 0


def test_months_of_the_terminals_table_stand_apart():
    solved = built(HALVED, "functions")[0].marks["solved"]
    lines = planreport.text(solved).splitlines()
    head = lines[next(i for i, line in enumerate(lines) if line.startswith("Calcium to phosphorus")) + 1]
    halves = sum("-" in period.label for period in solved.farm.periods())
    assert len(head.split()) == 2 * len(solved.farm.periods())
    assert head.count("-") == halves
