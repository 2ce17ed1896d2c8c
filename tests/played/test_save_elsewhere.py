"""The workbook saved by another program: the audit says what the program did, once, and nothing false."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import building
import openpyxl
import pytest
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit.run import audit


def above_note(path: Path) -> list[str]:
    return [f"{f.level} {f.rule} {f.cell}: {f.evidence[:160]}" for f in audit(path).findings if f.above_note]


@pytest.mark.libreoffice
@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_a_save_by_the_office_is_no_finding(edition: str, soffice: Any) -> None:
    saved = soffice.convert(building.built(building.ROOMY, edition)[2], "xlsx")
    assert above_note(saved) == []
    case = audit(saved)
    assert case.book.program.startswith("LibreOffice")
    assert len(case.saved) == (1 if edition == "functions" else 0)  # it has no functions of ours without the extension


@pytest.mark.libreoffice
def test_a_fault_is_found_at_its_cell_after_the_office_saved_it(soffice: Any, tmp_path: Path) -> None:
    file = File(building.built(building.SMALL, "plain")[2].read_bytes())
    where = Spots(file.bytes()).cell("Lots", "TDN from ADF", 9)
    file.edit(where, "0.", "0.1")
    (tmp_path / "fault.xlsx").write_bytes(file.bytes())
    found = audit(soffice.convert(tmp_path / "fault.xlsx", "xlsx", recalculate=True)).findings
    assert {f.cell for f in found if f.above_note and f.rule != "failed-check"} == {where}


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_a_save_without_values_is_no_finding(edition: str, tmp_path: Path) -> None:
    path = tmp_path / "saved.xlsx"
    openpyxl.load_workbook(building.built(building.SMALL, edition)[2]).save(path)
    assert above_note(path) == []
    assert len(audit(path).saved) == 1
