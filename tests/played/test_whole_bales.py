"""Played: the demo farm's winter in whole bales is planned, told, carried out day by day, and stands in the workbook's cells."""

from __future__ import annotations

import json

import bunklib
import pytest

from hayfuncs.winter import sentences
from hayfuncs.winter.rations import Ease
from hayfuncs.workbook import build, easyplanning, planreport, report, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets.baleplan import in_order
from hayfuncs.workbook.sheets.common import FIRST


@pytest.fixture(scope="module")
def played():
    asked = easyplanning.Asked(Ease(), 8.0)
    book = build.build(DEMO, asked=asked)
    return book, write.compute(book), asked.found


def test_carried_out_day_by_day_nobody_finds_fault(played):
    _, _, plan = played
    assert not plan.plan.failures
    assert bunklib.faults(plan.farm, plan) == []


def test_the_sheets_hold_its_amounts_and_every_check_holds(played):
    book, values, plan = played
    assert report.value(book, values, book.names["plan_stop"]) == ""
    at, sheet = book.marks["bale_plan_at"], book.by_name("Plan")
    for row, turn in enumerate(in_order(plan), FIRST):
        typed = [sheet.cells[row, at[key]].content for key in ("group", "first", "days", "hay_1", "bales_1")]
        assert typed == [turn.group, turn.first, turn.days, turn.hays[0].name, turn.hays[0].bales or None]
    rows = range(FIRST, FIRST + book.marks["plan"]["n"])
    at = book.marks["plan_at"]
    fed: dict[tuple[str, ...], float] = {}
    for row in rows:
        of = [str(values["Plan pounds", row, at[key]]) for key in ("month", "group", "feed")]
        fed[tuple(of)] = fed.get(tuple(of), 0.0) + values["Plan pounds", row, at["lb"]]
    for r in plan.plan.rows:
        assert fed.pop((r.period, r.group, r.name)) == pytest.approx(r.lb_head_day, abs=2e-6)
    assert not any(fed.values())
    assert report.value(book, values, book.names["plan_bound"]) == pytest.approx(plan.bound)


def test_it_is_told_in_sentences_with_its_cost_its_bound_and_the_price_of_ease(played):
    book, _, plan = played
    said = planreport.text(book.marks["solved"], plan)
    for turn in plan.turns:
        assert sentences.sentence(turn) in said
    assert f"${plan.plan.cost:,.0f}; no plan of any kind costs less than ${plan.bound:,.0f}." in said
    assert f"cost ${plan.price_of_ease:,.0f} of it" in said
    assert 0 <= plan.price_of_ease < 0.1 * plan.cheapest
    assert "Heron Flat 1" in said


def test_the_same_as_data(played):
    _, _, plan = played
    data = json.loads(easyplanning.as_json(plan))
    assert {"turns", "stacks", "purchases", "cost", "bound", "dangers"} <= set(data)
    assert len(data["turns"]) == len(plan.turns)
    for turn in data["turns"]:
        assert {"first", "last", "head", "days_between_feedings", "hays", "feeds", "sentence"} <= set(turn)
        assert turn["tdn_lb_given"] >= turn["tdn_lb_needed"] - 1e-4
        assert turn["cp_lb_given"] >= turn["cp_lb_needed"] - 1e-4
        for hay in turn["hays"]:
            assert 0 < hay["lb_eaten"] < hay["lb_put_out"]
    last = max(turn["last"] for turn in data["turns"])
    assert last < plan.farm.turnout.isoformat()
    assert min(stack["tons_end"] for stack in data["stacks"]) > -1e-6
