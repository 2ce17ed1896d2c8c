"""Do all routes agree?  `python tests/hosts/agreement.py` runs the cases by every route and counts.

The counts go into agreement.json, from which the page's table of hosts is made; the tests hold it to each run.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from hosts import caselib, officelib
from hosts.caselib import Case
from hosts.further_routes import FURTHER
from hosts.routes import NOT_COMPUTABLE, ROUTES, Route, same

FILE = Path(__file__).with_name("agreement.json")


@dataclass
class Outcome:
    """One route over all cases."""

    route: Route
    agreed: int
    differences: list[str]
    reasons: Counter[str]
    not_computable: int

    @property
    def by_design(self) -> int:
        """Cases in which the host gives something else by design, and it is what was foreseen."""
        return sum(self.reasons.values()) - self.not_computable


def run(route: Route, cases: list[Case]) -> Outcome:
    designs = {case.case: route.design(case) for case in cases}
    computable = [c for c in cases if (d := designs[c.case]) is None or d.wanted != NOT_COMPUTABLE]
    found = route.run(computable)
    differences: list[str] = []
    agreed = 0
    for case in computable:
        design = designs[case.case]
        wanted: Any = design.wanted if design else case.reference
        if not same(found[case.case], wanted):
            differences.append(f"{case.case} {case.arguments}: {found[case.case]!r}, not {wanted!r}")
        elif design is None:
            agreed += 1
    reasons = Counter(design.reason for design in designs.values() if design)
    return Outcome(route, agreed, differences, reasons, len(cases) - len(computable))


def counts(outcome: Outcome) -> dict[str, Any]:
    return {
        "same": outcome.agreed,
        "by design": outcome.by_design,
        "not computable": outcome.not_computable,
        "differences": len(outcome.differences),
        "reasons": dict(sorted(outcome.reasons.items())),
    }


def agreement() -> dict[str, Any]:
    """What the table of agreement holds, of every route."""
    cases = caselib.read()
    found = [run(route, cases) for route in (*ROUTES, *FURTHER)]
    return {
        "cases": len(cases),
        "functions": len({case.function for case in cases}),
        "own answers": sum(case.mark == caselib.OWN_ANSWER for case in cases),
        "routes": {outcome.route.name: counts(outcome) for outcome in found},
        "seen in": {outcome.route.name: outcome.route.seen_in for outcome in found},
        "stands for Excel": {o.route.name: o.route.for_excel for o in found if o.route.for_excel},
    }


if __name__ == "__main__":
    if lack := officelib.missing():
        raise SystemExit(f"{lack}: some routes need it; {FILE.name} is left as it is")
    FILE.write_text(json.dumps(agreement(), indent=1) + "\n", encoding="utf-8")
    print(f"written: {FILE.name}; python -m hayfuncs.generate puts it into pages/about/hosts.md")
