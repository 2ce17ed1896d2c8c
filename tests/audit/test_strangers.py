"""Workbooks that are not ours, by twelve hands: planted faults are found at their cell, and next to nothing else is told.

The embedded engine runs in this process here; what is tried is how the sheets are read and judged.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from audit import strangers
from audit.strangers import Stranger

from hayfuncs.audit import recompute, run, second, worker
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.stranger import mapfile
from hayfuncs.contract.files import UserError

SHARE = 0.85  # of the planted faults, found at their cell above a note
ALARMS = 1  # on a sheet as its hand left it


class InProcess:
    """What `recompute.Engine` is, without a process of its own."""

    def __init__(self, _: float = 0) -> None:
        self.bench = worker.Bench()

    def __enter__(self) -> InProcess:
        return self

    def __exit__(self, *_: object) -> None:
        self.bench = worker.Bench()

    def ask(self, name: str, *args: Any) -> Any:
        try:
            return getattr(self.bench, name)(*args)
        except Exception as error:
            raise recompute.EngineFailed(str(error)) from None


@pytest.fixture(autouse=True)
def in_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "Engine", InProcess)
    monkeypatch.setattr(second, "Engine", InProcess)


def audited(stranger: Stranger, folder: Path, changes: dict[str, Any] | None = None, **more: Any) -> AuditContext:
    path = folder / "book.xlsx"
    path.write_bytes(stranger.bytes(changes))
    return run.audit(path, **more)


def above_note(case: AuditContext) -> list[str]:
    return [f"{f.level} {f.rule} {f.cell}: {f.evidence[:120]}" for f in case.findings if f.above_note]


def test_there_are_twelve_hands() -> None:
    assert len({s.name for s in strangers.every()}) == len(strangers.HANDS) == 12
    assert sum(len(s.faults) for s in strangers.every()) >= 100


@pytest.mark.parametrize("hand", strangers.HANDS, ids=lambda hand: hand.__name__)
def test_faults_are_found_by_what_the_cells_mean(hand: Any, tmp_path: Path) -> None:
    stranger: Stranger = hand()
    assert len(alarms := above_note(audited(stranger, tmp_path))) <= ALARMS, alarms
    missed = []
    for name, changes, where in stranger.faults:
        found = audited(stranger, tmp_path, changes).findings
        if not any(f.cell == where and f.above_note for f in found):
            missed.append(f"{name} at {where}: {[f'{f.rule} {f.cell}' for f in found if f.above_note]}")
    assert len(missed) <= (1 - SHARE) * len(stranger.faults), missed


def test_each_formula_is_called_what_it_is(tmp_path: Path) -> None:
    told = {f.cell: f.evidence for f in audited(strangers.ten_years(), tmp_path).findings if f.rule == "equation"}
    assert "TDN" in told["Hay!F4"]
    assert "National Forage Testing Association" in told["Hay!F4"]
    assert "120 / NDF" in told["Hay!G4"]


def test_a_constant_is_named_with_the_printed_one(tmp_path: Path) -> None:
    changes = {f"Hay!F{r}": f"=88.9-0.77*D{r}" for r in range(4, 10)}
    found = [f for f in audited(strangers.ten_years(), tmp_path, changes).findings if f.rule == "printed-constant"]
    assert [f.cell for f in found] == ["Hay!F4"]
    assert "0.77 where the printed line has 0.779" in found[0].evidence
    tons = {f"Cost!B{r}": f"=Ration!F{r}*Inputs!$B$3*Inputs!$B$4/2204" for r in range(2, 8)}
    found = [f for f in audited(strangers.many_sheets(), tmp_path, tons).findings if f.rule == "printed-constant"]
    assert "2204 where a ton has 2,000 lb" in found[0].evidence


def test_the_headline_is_what_the_sheet_is_asked_for(tmp_path: Path) -> None:
    case = audited(strangers.ten_years(), tmp_path)
    assert case.address(case.heads[0]) == "Hay!B16"  # what is short
    case = audited(strangers.producer(), tmp_path)
    assert {"Sheet1!B14", "Sheet1!B16"} <= {case.address(at) for at in case.heads}


def test_the_list_of_cells_is_written_mended_and_believed(tmp_path: Path) -> None:
    stranger = strangers.producer()
    case = audited(stranger, tmp_path)
    path = tmp_path / "map.csv"
    mapfile.write(case.book, case.meanings, path)
    text = path.read_text()
    assert "Sheet1,B4,Average cow weight lbs,body_weight,lb," in text
    told = mapfile.read(path)
    assert above_note(audited(stranger, tmp_path, told=told)) == above_note(case)
    path.write_text(text.replace("body_weight,lb,", "body_weight,kg,"))
    mended = audited(stranger, tmp_path, told=mapfile.read(path))
    assert any("Sheet1!B4" in line and "implausible" in line for line in above_note(mended))  # 1350 kg is no cow
    path.write_text(text.replace("body_weight,lb,", "-,,"))
    assert not any(
        "Sheet1!B4" in line
        for line in above_note(audited(stranger, tmp_path, {"Sheet1!B4": 300}, told=mapfile.read(path)))
    )
    for wrong, words in (("Sheet,Cells\n", "must begin with the heads"), (text.replace("body_weight", "weight"), "is not known"), (text.replace("B4,", "Bx,"), "is no cell or range")):  # fmt: skip
        path.write_text(wrong)
        with pytest.raises(UserError, match=words):
            mapfile.read(path)


def test_a_sheet_of_another_trade_is_not_judged_by_ours(tmp_path: Path) -> None:
    cells = strangers.rows(
        "Parts",
        1,
        ("Part", "Weight lb", "Protein", "Price $ per ton", "Days"),
        ("Bolt", 0.2, 0, 4000, 900),
        ("Nut", 0.1, 0, 5200, 900),
    )
    case = audited(Stranger("parts", cells, []), tmp_path)
    assert case.meanings.of == {}
    assert above_note(case) == []
