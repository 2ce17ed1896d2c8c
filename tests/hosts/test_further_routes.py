"""The routes beyond the workbook's own hosts give what Python gives, case by case."""

from __future__ import annotations

import pytest
from hosts import agreement, caselib
from hosts.further_routes import FURTHER
from hosts.routes import Route


@pytest.mark.parametrize("route", FURTHER, ids=lambda r: r.name)
def test_the_route_agrees(route: Route) -> None:
    cases = caselib.read()
    outcome = agreement.run(route, cases)
    assert not outcome.differences, "\n".join(outcome.differences[:20])
    assert outcome.agreed > len(cases) / 4  # half of the cases are refusals, which a table shows as missing
    assert outcome.agreed + outcome.by_design > len(cases) * 3 / 4
