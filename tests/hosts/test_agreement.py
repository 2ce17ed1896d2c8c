"""Every route gives what the table of cases expects, or what its host is known to give instead."""

from __future__ import annotations

import json

import pytest
from hosts import agreement, caselib, make_cases
from hosts.further_routes import FURTHER
from hosts.officelib import demand_office
from hosts.routes import ROUTES, Route

from hayfuncs.contract.catalogue import CATALOGUE

CASES = caselib.read()
TOLD = json.loads(agreement.FILE.read_text(encoding="utf-8"))
RECOUNT = "run tests/hosts/agreement.py, which needs LibreOffice, then python -m hayfuncs.generate"


def test_the_table_is_what_its_maker_makes() -> None:
    made = list(make_cases.every())
    assert made == CASES, "run tests/hosts/make_cases.py and read what changed (git diff)"


def test_the_table_is_large_and_covers_every_function_and_sort() -> None:
    assert len(CASES) >= 300
    assert {case.function for case in CASES} == set(CATALOGUE), "run tests/hosts/make_cases.py"
    assert {case.sort for case in CASES} == set(caselib.SORTS)
    own = [case for case in CASES if case.mark == caselib.OWN_ANSWER]
    assert own == [case for case in CASES if case.comes_from == make_cases.CORE]
    assert 0 < len(own) < len(CASES) / 4, "most expectations must come from elsewhere than the function itself"
    assert TOLD["own answers"] == len(own), RECOUNT


@pytest.mark.parametrize("case", [c for c in CASES if c.sort != "error cell"], ids=lambda c: c.case)
def test_python_gives_what_the_row_expects(case: caselib.Case) -> None:
    assert case.core_fault() == ""


@pytest.mark.parametrize(
    "route", [pytest.param(r, id=r.name, marks=[pytest.mark.libreoffice] * r.needs_office) for r in ROUTES]
)
def test_the_route_agrees(route: Route) -> None:
    if route.needs_office:
        demand_office()
    outcome = agreement.run(route, CASES)
    assert not outcome.differences, "\n".join(outcome.differences[:20])
    assert outcome.agreed > len(CASES) / 2
    assert TOLD["routes"][route.name] == agreement.counts(outcome), RECOUNT


def test_the_page_is_told_of_these_cases_and_of_every_route() -> None:
    assert TOLD["cases"] == len(CASES), RECOUNT
    assert TOLD["functions"] == len({case.function for case in CASES}), RECOUNT
    assert list(TOLD["routes"]) == [route.name for route in (*ROUTES, *FURTHER)]
    assert not any(route["differences"] for route in TOLD["routes"].values())


def test_a_wrong_number_and_a_wrong_error_are_noticed() -> None:
    """The comparison itself can fail."""
    broken = Route("broken", lambda cases: {c.case: 1.0 for c in cases})
    outcome = agreement.run(broken, CASES)
    assert len(outcome.differences) > len(CASES) * 0.9
