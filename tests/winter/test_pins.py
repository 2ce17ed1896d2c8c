"""Pinned amounts: kept in every ration, what each costs, and why one cannot be kept - against the direct model and the bunk."""

from __future__ import annotations

from dataclasses import replace

import bunklib
import pytest

from hayfuncs.contract.errors import BadInput
from hayfuncs.winter import linear, pins, sentences
from hayfuncs.winter import solve as w
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.evaluate import evaluate
from hayfuncs.winter.feeding import easy_plan

FARM = bunklib.baled_farm(1, 6, 2, 3, limits=True)
LABELS = [p.label for p in FARM.periods()]
GROUPS = [g.name for g in FARM.groups]
NAMES = [s.name for s in (*FARM.lots, *FARM.for_sale, *FARM.feeds)]


def test_a_pin_is_read_in_plain_words():
    pin = pins.read("GROUP 0, december, Soybean meal = 2.5", GROUPS, LABELS, NAMES)
    assert pin == pins.Pin("Dec 2025", "group 0", "soybean meal", 2.5)
    assert pins.read("group 1, Jan 2026, lot 2=12", GROUPS, LABELS, NAMES).period == "Jan 2026"
    with_comma = pins.read("cows, old, Feb, hay, second cutting = 3", ["cows, old"], LABELS, ["hay, second cutting"])
    assert (with_comma.group, with_comma.name) == ("cows, old", "hay, second cutting")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("group 0, Dec, corn", "like .GROUP, MONTH, FEED OR LOT = POUNDS"), ("group 0, Dec, corn = much", "0 to 200"),
        ("group 7, Dec, corn = 2", 'the group of the pin .* is "group 7"; allowed: group 0, group 1'), ("group 0, May, corn = 2", 'the month of the pin .* is "May"'),
        ("group 0, Dec, rye = 2", 'the feed or lot of the pin .* is "rye"'), ("group 0, Dec, corn = -1", "0 to 200"),
    ],
)  # fmt: skip
def test_a_pin_that_cannot_be_read_is_refused_in_a_sentence(text, says):
    with pytest.raises(BadInput, match=says):
        pins.read(text, GROUPS, LABELS, NAMES)


def test_pinned_amounts_are_fed_as_they_are_and_the_rest_around_them():
    wanted = [pins.Pin("Dec 2025", "group 0", "corn", 3.0), pins.Pin("Jan 2026", "group 1", "lot 2", 12.0), pins.Pin("Nov 2025", "group 1", "lot 1", 0.0)]  # fmt: skip
    plan = easy_plan(FARM, seconds=4.0, amounts=wanted)
    assert [p.why for p in plan.pins] == ["", "", ""]
    assert not plan.plan.failures
    assert bunklib.faults(FARM, plan) == []
    for pin in wanted:
        for turn in (t for t in plan.turns if (t.group, t.period) == (pin.group, pin.period)):
            given = [x.put_out_lb for x in (*turn.hays, *turn.feeds) if x.name == pin.name]
            assert given == ([pytest.approx(pin.lb)] if pin.lb else [])
            assert turn.pinned == (pin.lb > 0)
    assert plan.plan.cost >= plan.bound * (1 - 1e-9)
    assert "no plan of any kind with these pins costs less than" in sentences.cost_words(plan)
    assert [p["kept"] for p in sentences.data(plan)["pins"]] == [True] * 3


def test_what_a_pin_costs_is_the_difference_of_two_plans():
    model = w.model_of(FARM, None, None)
    free = linear.solve(model)
    period, group = LABELS[1], GROUPS[0]
    k = model.places.index((0, 1))
    corn = [s.name for s in model.sources].index("corn")
    other = 3.0 if free.tons[corn, k] / model.per_head[k] < 1.0 else 0.0
    _, answer, told = pins.kept(model, [pins.Pin(period, group, "corn", other)], Clock(20))
    assert answer.tons[corn, k] / model.per_head[k] == pytest.approx(other, abs=1e-9)
    assert told[0].dollars == pytest.approx(evaluate(model, answer.tons).cost - evaluate(model, free.tons).cost)
    assert told[0].dollars > 0
    assert f"It costs ${told[0].dollars:,.0f}" in told[0].words()
    assert answer.bound == pytest.approx(evaluate(model, answer.tons).cost, rel=1e-6), "the bound counts the pin too"


def reason(farm: w.Farm, *wanted: pins.Pin) -> str:
    _, _, told = pins.kept(w.model_of(farm, None, None), wanted, Clock(20))
    return told[-1].why


def test_why_a_pin_cannot_be_kept():
    place = LABELS[1], GROUPS[1]
    assert "It takes" in reason(FARM, pins.Pin(*place, "lot 2", 60.0))
    assert "Its limit for this group is" in reason(FARM, pins.Pin(*place, "corn", 30.0))
    assert "dry matter over the most" in reason(FARM, pins.Pin(*place, "offer 0", 80.0))
    assert "twice" in reason(FARM, pins.Pin(*place, "corn", 1.0), pins.Pin(*place, "corn", 2.0))
    three = [pins.Pin(*place, f"lot {i}", 5.0) for i in range(3)]
    assert "At most 2 hays" in reason(FARM, *three)
    no_corn = replace(FARM, feeds=FARM.feeds[:1], for_sale=(), lots=tuple(replace(lot, tdn_pct=50.0) for lot in FARM.lots))  # fmt: skip
    base = linear.solve(w.model_of(no_corn, None, None))
    hurts = reason(no_corn, *[pins.Pin(label, GROUPS[0], "corn", 0.0) for label in LABELS])
    assert base.short or "leaves TDN short" in hurts
    kept_text = pins.Pinned(pins.Pin(*place, "corn", 30.0), "Its limit is 3 lb.").words()
    assert kept_text == f"Pin not kept: 30 lb of corn for {GROUPS[1]} in {LABELS[1]}. Its limit is 3 lb."
