"""Each class of cattle on Herd: the need of its own function in the cells, and what lacks said in words."""

from __future__ import annotations

import pytest
from workbook.choosing import choose
from workbook.opened import Open

import hayfuncs
from hayfuncs.cow.classes import CALVING, CATTLE, COW, GROWING, own_milk_lb, usual_gain_lb
from hayfuncs.hosts import engine
from hayfuncs.workbook.farm import DEMO

ROW = 3
GROUP = DEMO.groups[ROW - 1]
NEEDS = ("DM", "TDN", "CP", "NEm", "Ca", "P")
NO_CALF = tuple(GROWING)
ERRORS = ("#VALUE!", "#NAME?", "#REF!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!")


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


@pytest.fixture(params=["functions", "plain"])
def either(request, editions):
    book, _, path = editions[request.param]
    return Open(book, path)


def type_class(opened, name, **more):
    values = {"cattle_class": name, "weight": 1040.0, "grown": 1250.0, "gain": None} | more
    at = opened.book.marks["herd_at"]
    for key, value in values.items():
        opened.made.set_value("Herd", 7 + ROW, at[key] + 1, "" if value is None else value)
    opened.made.evaluate_all()


def shown(opened):
    return {n: opened.get("herd", f"need_{n.lower()}", ROW) for n in NEEDS}


def near(wanted):
    return {n: pytest.approx(value, rel=1e-9) for n, value in wanted.items()}


def shrunk(pounds):
    return hayfuncs.shrunk_weight(pounds, 4)


def test_blank_and_cow_are_the_same_grown_cow(either):
    before = shown(either)
    her = (shrunk(GROUP.body_weight_lb), GROUP.month_since_calving, GROUP.peak_milk_lb, GROUP.calf_weight_lb)
    assert before == near({n: hayfuncs.daily_need(n, *her) for n in NEEDS})
    type_class(either, COW, weight=GROUP.body_weight_lb, grown=None)
    assert shown(either) == before


@pytest.mark.parametrize("name", CALVING)
def test_a_young_cow_has_her_own_need(either, name):
    month = 9 if name == "bred heifer" else 2
    type_class(either, name, month=month)
    milk = 0.0 if name == "bred heifer" else own_milk_lb(name, GROUP.peak_milk_lb)
    her = (shrunk(1250), shrunk(1040), usual_gain_lb(name, shrunk(1250)), month, milk, GROUP.calf_weight_lb)
    assert shown(either) == near({n: hayfuncs.heifer_need(n, *her) for n in NEEDS})
    assert either.get("herd", "density_tdn", ROW) == pytest.approx(hayfuncs.heifer_density("TDN", *her))
    assert either.get("herd", "density_ca", ROW) == pytest.approx(hayfuncs.heifer_density("Ca", *her))
    assert either.get("herd", "lactating", ROW) == (0 if name == "bred heifer" else 1)
    assert either.get("herd", "caution", ROW) == ""
    type_class(either, name, month=month, gain=0.6)
    her = (*her[:2], 0.6, *her[3:])
    assert shown(either) == near({n: hayfuncs.heifer_need(n, *her) for n in NEEDS})


@pytest.mark.parametrize("name", NO_CALF)
def test_growing_cattle_have_the_need_of_the_gain_and_nothing_of_a_cow(either, name):
    weight, grown, gain = (1700.0, 2000.0, 0.3) if name == "bull" else (560.0, 1250.0, 1.4)
    type_class(either, name, weight=weight, grown=grown, gain=gain, month=None, milk=None, calf=None, score=None)
    it = (GROWING[name], shrunk(weight), gain, shrunk(grown))
    assert shown(either) == near({n: hayfuncs.growing_need(n, *it) for n in NEEDS})
    assert either.get("herd", "density_cp", ROW) == pytest.approx(hayfuncs.growing_density("CP", *it))
    assert either.get("herd", "lactating", ROW) == 0
    assert [either.get("herd", key, ROW) for key in ("wrong", "caution", "not_cows")] == ["", "", 0]
    assert either.name("ration_stop") == ""


def test_hay_eaten_by_calves_is_that_of_young_cattle(opened):
    type_class(opened, "weaned calf", weight=560.0, gain=1.4)
    choose(opened, "Mill Bottom 2", GROUP.name)
    tdn = opened.name("chosen_hay_tdn")
    assert opened.name("chosen_hay_eaten") == pytest.approx(hayfuncs.growing_intake("heifer calf", shrunk(560), tdn))
    assert opened.name("chosen_tdn_need") == pytest.approx(
        hayfuncs.growing_need("TDN", "heifer calf", shrunk(560), 1.4, shrunk(1250))
    )
    assert "do not calve" in opened.at(opened.book.marks["cowyear"]["banner"])
    assert opened.at(opened.book.marks["longhand_difference"]) < 1e-9


@pytest.mark.parametrize(("name", "month", "milk"), [("bred heifer", 11, 0.0), ("first-calf cow", 2, 14.8)])
def test_a_young_cow_eats_no_more_than_her_appetite(opened, name, month, milk):
    """The need in percent is what fails her: the hay must not be counted by what a grown cow of her weight eats."""
    type_class(opened, name, weight=1010.0, month=month, milk=20.0)
    choose(opened, "Mill Bottom 2", GROUP.name)
    nem = hayfuncs.nem_from_tdn(opened.name("chosen_hay_tdn"))
    day = hayfuncs.milk_yield(milk, month * 365 / 84) if milk else 0
    most = hayfuncs.intake_from_nem(nem, shrunk(1010), day, month * 365 / 12 > 85)
    assert opened.name("chosen_hay_eaten") == pytest.approx(most)
    needs = opened.get("herd", "density_tdn", ROW)
    assert (opened.name("energy_short") > 0) is (needs > opened.name("chosen_hay_tdn"))


@pytest.mark.parametrize("name", CATTLE)
def test_no_answer_is_an_error_with_any_class(opened, name):
    type_class(opened, name, weight=900.0, gain=0.5, grown=1250.0, month=9)
    choose(opened, "Heron Flat 2", GROUP.name)
    for sheet in opened.book.sheets:
        values = {(r, c): engine.plain_value(opened.made.get_value(sheet.name, r + 1, c + 1)) for r, c in sheet.cells}
        bad = {k: v for k, v in values.items() if v in ERRORS}
        assert not bad, (sheet.name, bad)
    assert opened.at(opened.book.marks["longhand_difference"]) < 1e-9


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"cattle_class": "weaned calf", "gain": None}, "gain wanted is empty."),
        ({"cattle_class": "bull", "gain": 0.3, "grown": None}, "weight when grown is empty."),
        ({"cattle_class": "bred heifer", "grown": None}, "weight when grown is empty."),
        ({"cattle_class": "llama"}, "class of cattle is not of its list."),
        ({"cattle_class": "weaned calf", "gain": 6.0}, "no diet gives this gain at this weight."),
        ({"cattle_class": "first-calf cow", "gain": 4.0}, "no diet gives this gain at this weight."),
        ({"cattle_class": COW, "wanted": 6.5}, "score wanted or its days are empty."),
    ],
)
def test_what_lacks_is_said_and_stops_the_answers_of_the_group(opened, typed, said):
    type_class(opened, typed["cattle_class"], **typed)
    assert opened.get("herd", "wrong", ROW) == said
    choose(opened, "Heron Flat 2", GROUP.name)
    assert said.removesuffix(".") in opened.name("ration_withheld")


def test_condition_is_on_top_of_the_need(opened):
    choose(opened, "Heron Flat 2", GROUP.name)
    before = {n: opened.get("herd", f"need_{n.lower()}", ROW) for n in NEEDS}
    type_class(opened, None, weight=1200.0, grown=None, score=4.0)
    held = {n: opened.get("herd", f"need_{n.lower()}", ROW) for n in NEEDS}
    assert opened.get("herd", "caution", ROW) == hayfuncs.need_note(4, 0)
    type_class(opened, None, weight=1200.0, grown=None, score=4.0, wanted=5.0, days=90.0)
    now = {n: opened.get("herd", f"need_{n.lower()}", ROW) for n in NEEDS}
    at_5 = shrunk(1200) * (1 + 0.07667 * (5 - 4))
    assert hayfuncs.condition_weight(at_5, 4) == pytest.approx(shrunk(1200))
    more = hayfuncs.need_for_condition(at_5, 4, 5, 90, 100 * held["TDN"] / held["DM"])
    assert now["TDN"] == pytest.approx(held["TDN"] + more)
    assert now["NEm"] == pytest.approx(held["NEm"] + hayfuncs.condition_energy(at_5, 4, 5) / 90)
    assert {n: now[n] for n in ("DM", "CP", "Ca", "P")} == {n: held[n] for n in ("DM", "CP", "Ca", "P")}
    assert opened.get("herd", "density_tdn", ROW) == pytest.approx(100 * now["TDN"] / now["DM"])
    assert opened.get("herd", "caution", ROW) == ""  # the need holds what the caution asks for
    assert opened.at(opened.book.marks["longhand_difference"]) < 1e-9
    assert before["TDN"] > 0


def test_longhand_is_the_functions_for_every_group_of_the_demo(either):
    for group in DEMO.groups:
        choose(either, "Heron Flat 1", group.name)
        assert abs(either.at(either.book.marks["longhand_difference"])) <= 1e-9, group.name
