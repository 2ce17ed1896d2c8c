"""The routes beyond the workbook's own hosts give what Python gives, case by case."""

from __future__ import annotations

import json

import pytest
from hosts import agreement, caselib
from hosts.further_routes import FURTHER
from hosts.routes import Route
from hosts.table_routes import typed_design

TOLD = json.loads(agreement.FILE.read_text(encoding="utf-8"))
MOST_OF_ITS_OWN = 3 / 10  # half of the cases are refusals, which a table shows as missing


@pytest.mark.parametrize("route", FURTHER, ids=lambda r: r.name)
def test_the_route_agrees(route: Route) -> None:
    cases = caselib.read()
    outcome = agreement.run(route, cases)
    assert not outcome.differences, "\n".join(outcome.differences[:20])
    assert outcome.agreed > MOST_OF_ITS_OWN * (len(cases) - outcome.not_computable)
    assert TOLD["routes"][route.name] == agreement.counts(outcome), "run tests/hosts/agreement.py"


def test_a_wrong_number_and_a_number_for_a_missing_one_are_noticed() -> None:
    """The comparison itself can fail, in a table too."""
    cases = caselib.read()
    broken = Route("broken", lambda some: {c.case: 1.0 for c in some}, typed_design)
    outcome = agreement.run(broken, cases)
    assert len(outcome.differences) > (len(cases) - outcome.not_computable) * 0.9
