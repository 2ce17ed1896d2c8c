"""What if, the robust choice, what a ton is worth, and before the winter: each against planning again."""

from __future__ import annotations

from dataclasses import replace

import bunklib
import numpy as np
import pytest
import winterlib

from hayfuncs.contract.errors import BadInput
from hayfuncs.winter import beforewinter, linear, pins, whatif, worth
from hayfuncs.winter import solve as w
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.differences import differences
from hayfuncs.winter.evaluate import PlanRow, evaluate
from hayfuncs.winter.pins import Pin
from hayfuncs.winter.robust import Robust, robust

FARM = bunklib.baled_farm(1, 6, 3, 5, limits=True)


def minute() -> Clock:
    """A minute that begins when it is asked for, not when the file is read."""
    return Clock(60.0)


@pytest.fixture(scope="module")
def table():
    return whatif.outcomes(whatif.cases(FARM), Clock(60.0))


def test_every_line_of_the_table_is_a_plan_of_its_own(table):
    assert [o.case.name for o in table] == [
        "as planned", "grass 15 days late", "grass 30 days late", "cold Dec to Feb, 17 % more energy", "hay to buy +25 %",
        "lot 5 lost", "10 more in group 2",
    ]  # fmt: skip
    for outcome in table:
        assert outcome.plan.cost == pytest.approx(w.plan(outcome.case.farm).cost, rel=1e-6)
        assert outcome.plan.cost >= table[0].plan.cost - 1e-3, "none of them makes a winter cheaper"
    assert table[1].plan.cost < table[2].plan.cost
    for outcome in table:  # the first has just the hay that was planned for
        if not outcome.held.failures:
            assert outcome.reaches().startswith("yes, ")
        elif not outcome.plan.failures:
            assert outcome.reaches() == f"short from {outcome.held.failures[0].period} unless more hay is bought"
    assert table[0].reaches() == "yes, Apr 20"
    assert sum(g.head for g in table[-1].case.farm.groups) == sum(g.head for g in FARM.groups) + 10


def test_the_change_that_is_told_is_the_first_in_time(table):
    labels = [p.label for p in FARM.periods()]
    for outcome in table[1:]:
        at = [labels.index(d.period) for d in outcome.changes if d.period in labels]
        assert at == sorted(at)
        assert outcome.first_change().startswith(outcome.changes[0].period)


def test_a_farm_that_cannot_buy_is_told_until_when_its_hay_lasts():
    good = tuple(replace(lot, tdn_pct=63.0, cp_pct=13.0, ndf_pct=52.0, tons=lot.tons * 1.3) for lot in FARM.lots)
    poor = replace(FARM, lots=good, for_sale=(), feeds=FARM.feeds[:1], min_hay_pct=95.0, min_intake_pct=95.0)
    assert w.plan(poor).feasible
    found = whatif.outcomes(whatif.cases(poor, whatif.Asks(late_days=(30,), cold_pct=0, more_cows=0)), minute())
    assert all(o.reaches().startswith("no: short from") for o in found if o.plan.failures)
    assert any(o.plan.failures for o in found)
    last = found[1].plan.failures[0].period
    assert last in [p.label for p in found[1].case.farm.periods()][2:], "what there is lasts as long as it can"


def test_what_is_pinned_stays_in_every_line_or_is_said_to_be_let_go(table):
    periods = FARM.periods()
    corn, lost = Pin(periods[1].label, "group 0", "corn", 2.0), Pin(periods[2].label, "group 1", "lot 5", 9.0)
    pinned = whatif.outcomes(whatif.cases(FARM, pins=[corn, lost]), minute())
    for outcome, free in zip(pinned, table, strict=True):
        assert outcome.let_go == ((lost,) if outcome.case.name == "lot 5 lost" else ())
        fed = {(r.period, r.group, r.name): r.lb_head_day for r in outcome.plan.rows}
        for pin in (corn, lost):
            kept = 0.0 if pin in outcome.let_go else pin.lb
            assert fed.get((pin.period, pin.group, pin.name), 0.0) == pytest.approx(kept, abs=1e-6)
        model = pins.applied(w.model_of(outcome.case.farm, None, None), outcome.stays.pins)
        assert outcome.plan.cost == pytest.approx(evaluate(model, linear.solve(model).tons).cost, rel=1e-6)
        assert outcome.plan.cost >= free.plan.cost - 1e-3
    assert pinned[0].plan.cost > table[0].plan.cost + 1
    assert "not kept: 9 lb of lot 5 for group 1" in pinned[5].first_change()
    choice = robust(pinned, minute())
    assert isinstance(choice, Robust)
    assert choice.cost >= pinned[0].plan.cost - 1e-3


def test_without_a_lot_nothing_is_fed_that_was_pinned_of_it():
    pin = Pin(FARM.periods()[2].label, "group 1", "lot 5", 9.0)
    model = pins.applied(w.model_of(FARM, None, None), [pin])
    answer = linear.solve(model)
    more = worth.cost_of_less(model, answer, "lot 5", float("inf"), minute())
    without = tuple(replace(lot, tons=0.0) if lot.name == "lot 5" else lot for lot in FARM.lots)
    assert more == pytest.approx(w.plan(replace(FARM, lots=without)).cost - evaluate(model, answer.tons).cost, rel=1e-6)


def test_amounts_that_are_no_case_are_refused():
    with pytest.raises(BadInput, match=r"late grass is 300 days"):
        whatif.cases(FARM, whatif.Asks(late_days=(300,)))
    with pytest.raises(BadInput, match=r'the stack lost is "straw"; allowed: lot 0'):
        whatif.cases(FARM, whatif.Asks(lost="straw"))


# --- the robust choice


def needy() -> w.Farm:
    """A farm whose feeds cannot take the place of hay, so that hay must be bought ahead."""
    dear = tuple(replace(h, price_per_ton=300.0) for h in FARM.for_sale)
    return replace(FARM, min_hay_pct=85.0, for_sale=dear, feeds=tuple(replace(f, max_lb=1.5) for f in FARM.feeds))


def test_the_robust_purchase_reaches_grass_in_every_line_and_nothing_cheaper_does():
    farm = needy()
    table = whatif.outcomes(whatif.cases(farm), minute())
    choice = robust(table, minute())
    assert isinstance(choice, Robust)
    assert choice.more_tons > 1
    assert choice.premium > 0
    good = [o for o in table if not o.plan.failures]
    held = [o for o in good if o.held.failures]
    assert {o.reaches() for o in held} == {
        f"short from {o.held.failures[0].period} unless more hay is bought" for o in held
    }
    assert held
    assert list(choice.covered) == [o.case.name for o in good[1:]]
    for outcome in good:
        offers = tuple(replace(h, tons=choice.tons.get(h.name, 0.0) * (1 + 1e-6)) for h in outcome.case.farm.for_sale)
        assert w.plan(replace(outcome.case.farm, for_sale=offers)).feasible, outcome.case.name
    fewer = {name: tons - 2.0 for name, tons in choice.tons.items()}
    feasible = []
    for outcome in good:
        offers = tuple(replace(h, tons=max(fewer.get(h.name, 0.0), 0.0)) for h in outcome.case.farm.for_sale)
        feasible.append(w.plan(replace(outcome.case.farm, for_sale=offers)).feasible)
    assert not all(feasible), "with two tons less of it some line does not reach grass"
    said = choice.words()
    assert f"({choice.more_tons:,.1f} tons more than planned)" in said
    assert f"its premium is ${choice.premium:,.0f}" in said


def test_without_hay_for_sale_it_says_so():
    table = whatif.outcomes(whatif.cases(replace(FARM, for_sale=()), whatif.Asks(late_days=())), minute())
    assert "No hay is offered for sale" in str(robust(table, minute()))


# --- worth


@pytest.mark.parametrize("seed", range(6))
def test_a_ton_less_costs_what_the_plan_says_it_is_worth(seed):
    """The price on the stack against the plan solved again with a ton less; where the price changes within that ton, with less of it."""
    farm = bunklib.baled_farm(seed, 6, 3, 5, limits=True)
    model = w.model_of(farm, None, None)
    answer = linear.solve(model)
    found = worth.lots_worth(model, answer)
    assert len(found) == len(farm.lots)
    agree = 0
    for lot in found:
        more = worth.cost_of_less(model, answer, lot.name, 1.0, minute())
        assert more is not None
        assert more >= lot.a_ton_less - 1e-3, "a ton is never worth less than its first pound"
        little = worth.cost_of_less(model, answer, lot.name, 0.02, minute())
        assert little == pytest.approx(0.02 * lot.a_ton_less, abs=0.02)
        agree += more == pytest.approx(lot.a_ton_less, abs=0.01)
        assert lot.by_the_plan == lot.value + lot.a_ton_less
    assert agree >= len(found) - 2


def test_the_price_of_a_stack_is_that_of_the_direct_model():
    farm = winterlib.random_farm(np.random.default_rng(4), 5, 2, 4)
    model = w.model_of(farm, None, None)
    found = {x.name: x for x in worth.lots_worth(model, linear.solve(model))}
    base = winterlib.direct(farm).fun
    for lot in farm.lots:
        less = tuple(replace(x, tons=x.tons - 0.05) if x is lot else x for x in farm.lots)
        rise = winterlib.direct(replace(farm, lots=less)).fun - base
        assert rise == pytest.approx(0.05 * found[lot.name].a_ton_less, abs=0.02)


def test_a_feed_is_worth_what_the_winter_costs_more_without_it():
    farm = bunklib.baled_farm(2, 6, 3, 5, limits=True)
    model = w.model_of(farm, None, None)
    answer = linear.solve(model)
    cost = w.plan(farm).cost
    kinds = set()
    for feed in worth.feeds_worth(model, answer, minute()):
        kinds.add(feed.tons > 0)
        rest = tuple(f for f in farm.feeds if f.name != feed.name)
        if feed.tons:
            assert feed.without == pytest.approx(w.plan(replace(farm, feeds=rest)).cost - cost, abs=0.5)
        elif feed.enters_at is not None and feed.enters_at > 1:
            for price, bought in ((feed.enters_at - 1, True), (feed.enters_at + 1, False)):
                other = tuple(replace(f, price_per_ton=price) if f.name == feed.name else f for f in farm.feeds)
                assert (feed.name in {p.name for p in w.plan(replace(farm, feeds=other)).purchases}) == bought
    assert kinds == {True, False}


# --- before the winter


def test_before_the_winter_what_to_buy_sell_and_test():
    model = w.model_of(FARM, None, None)
    answer = linear.solve(model)
    said = list(beforewinter.lines(model, answer, ["lot 1", "lot 4"], minute()))
    assert said[0].startswith("Hay to buy for the winter: ")
    left = [x for x in worth.lots_worth(model, answer) if x.tons_left > 1]
    assert [x.name for x in left] == ["lot 2"]
    assert f"{left[0].tons_left:,.1f} tons of lot 2" in said[1]
    costs = {}
    for name in ("lot 1", "lot 4"):
        without = tuple(replace(x, tons=0.0) if x.name == name else x for x in FARM.lots)
        costs[name] = w.plan(replace(FARM, lots=without)).cost - w.plan(FARM).cost
    worst = max(costs, key=lambda name: costs[name])
    assert said[2] == (
        f"Test first: {worst}, of 2 lots not tested for nitrate. If it may not be fed, the winter would cost ${costs[worst]:,.0f} more."
    )
    assert list(beforewinter.lines(model, answer, [], minute()))[2] == "Tests: every lot was tested for nitrate."


# --- two plans side by side


def test_the_old_plan_beside_the_new_one():
    a, b = FARM.periods()[0].label, FARM.periods()[1].label
    was = [PlanRow(a, "group 0", "", "lot 0", 20.0, 0, 0), PlanRow(b, "group 0", "", "lot 0", 20.0, 0, 0), PlanRow(b, "group 1", "", "corn", 2.0, 0, 0)]  # fmt: skip
    now = [PlanRow(b, "group 0", "", "lot 0", 20.2, 0, 0), PlanRow(b, "group 1", "", "corn", 4.0, 0, 0)]
    found = differences(FARM, was, now)
    assert [d.words() for d in found] == [f"{b}, group 1: was 2.0 lb corn; now 4.0 lb corn"]
    assert found[0].most() == ("corn", 2.0, 4.0)
