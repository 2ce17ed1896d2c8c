"""Workbooks that open-source packages carry as test data, none of them kept here: nothing false is said of them.

They are looked for where packages are installed (tests/hosts/strangers.py can fetch some); a machine without any
reports the test as not run.
"""

from __future__ import annotations

import pytest
from audit.test_strangers import InProcess
from hosts import strangers

from hayfuncs.audit import run, second
from hayfuncs.contract.files import UserError

# what these files truly hold (hidden sheets, macros, errors typed in by their makers) is told and is no false alarm
FALSE = {
    "stored-value",
    "function-value",
    "implausible",
    "basis",
    "printed-constant",
    "unit",
    "formula-changed",
    "look",
    "no-value",
    "range-short",
    "typed-over",
    "pattern",
    "unseen",
}
# what is told of these and may be told: function tests in which one formula, range or line is unlike its neighbors
UNLIKE = {
    "IRR.xlsx": {"range-short"},
    "BASES.xlsx": {"pattern", "typed-over"},
    "DATE.xlsx": {"pattern"},
    "VDB.xlsx": {"pattern", "typed-over"},
}
FEWEST = 2  # read whole
REFUSED = 4  # at most, as damaged on purpose


def test_nothing_false_is_said_of_workbooks_from_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    files = strangers.found()
    if not files:
        pytest.skip("not run: no workbooks from elsewhere on this machine")
    monkeypatch.setattr(run, "Engine", InProcess)
    monkeypatch.setattr(second, "Engine", InProcess)
    wrong, read = [], 0
    for path in files:
        try:
            case = run.audit(path)
        except UserError:
            continue  # damaged on purpose
        read += 1
        wrong += [
            f"{path.name}: {f.rule} {f.cell} {f.evidence[:100]}"
            for f in case.findings
            if f.above_note and f.rule in FALSE - UNLIKE.get(path.name, set())
        ]
        if case.recomputed.failure and not case.book.formulas:  # nothing to recompute is nothing to tell
            wrong += [
                f"{path.name}: {f.evidence}" for f in case.findings if f.rule == "not-recomputed" and f.above_note
            ]
    assert wrong == []
    assert read >= max(FEWEST, len(files) - REFUSED)
