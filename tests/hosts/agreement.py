"""Do all routes agree?  Runs the cases by every route and says so: `python tests/hosts/agreement.py`.

`agreement_table()` gives the table for README.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from hosts import caselib, officelib
from hosts.caselib import Case
from hosts.routes import NOT_COMPUTABLE, ROUTES, Route, same

REAL_EXCEL = (
    "Not yet confirmed in real Excel: the LAMBDA names, the import of the xlwings functions, the error values they "
    "return, and the Office.js call.  `hayfuncs excel checklist OUT.xlsx` writes the workbook that checks them in "
    "ten minutes."
)


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


def outcomes() -> list[Outcome]:
    cases = caselib.read()
    return [run(route, cases) for route in ROUTES if not (route.needs_office and officelib.missing())]


def held_by_python(cases: list[Case]) -> str:
    """How many of the cases say nothing about Python itself."""
    own = sum(case.mark == caselib.OWN_ANSWER for case in cases)
    return (
        f"{own} of them, at the bounds of a range where no source prints a value, expect Python's own answer: they "
        "hold the other routes to Python, and Python to nothing."
    )


def agreement_table() -> str:
    """The agreement of all routes, as markdown: counts, then what each host does otherwise by design."""
    cases = caselib.read()
    functions = len({case.function for case in cases})
    lines = [
        f"{len(cases)} cases over {functions} functions, the same for every route; a number agrees to 1 part in "
        "1,000,000,000, a text and an error to the letter. " + held_by_python(cases),
        "",
        "| route | same as Python | otherwise by design | not on this route | differences |",
        "|---|---:|---:|---:|---:|",
    ]
    notes: Counter[str] = Counter()
    found = outcomes()
    for o in found:
        lines.append(f"| {o.route.name} | {o.agreed} | {o.by_design} | {o.not_computable} | {len(o.differences)} |")
        notes |= o.reasons
    ran = {o.route.name for o in found}
    lines += [f"| {r.name} | not run: {officelib.missing()} | | | |" for r in ROUTES if r.name not in ran]
    lines += ["", "By design, checked to be so:", ""]
    lines += [f"- {reason} ({count} cases)." for reason, count in sorted(notes.items())]
    return "\n".join([*lines, "", REAL_EXCEL, ""])


if __name__ == "__main__":
    print(agreement_table())
