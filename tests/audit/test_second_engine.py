"""A stored value is called wrong only when a second engine agrees; LibreOffice is one where it is asked for."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from audit.damagelib import File
from hosts.officelib import demand_office

from hayfuncs.audit import second
from hayfuncs.audit.run import audit

SUMS = {"B1": ("TRIMMEAN(A1:A5,0.4)", 77.0), "B2": ("GEOMEAN(A1:A5)", 55.0), "B3": ("MEDIAN(A1:A5)", 9.0)}  # 9 is right
OUTWARD = {"B4": ('WEBSERVICE("http://127.0.0.1:9/")', 1.0)}


@pytest.fixture
def stranger(tmp_path: Path) -> Path:
    """Five weights and three formulas, two of them with a stored value that they do not give."""
    book = openpyxl.Workbook()
    sheet: Any = book.active
    sheet.title = "Mine"
    for row in range(1, 6):
        sheet.cell(row, 1, row * 3.0)
    for at, (formula, _) in (SUMS | OUTWARD).items():
        sheet[at] = f"={formula}"
    path = tmp_path / "stranger.xlsx"
    book.save(path)
    file = File(path.read_bytes())
    part = file.part_of("Mine")
    for at, (_, value) in (SUMS | OUTWARD).items():
        text = re.sub(rf'(<c r="{at}".*?</f>)<v ?/?>(?:</v>)?', rf"\g<1><v>{value}</v>", file.text(part), count=1)
        file.parts[part] = text.encode()
    path.write_bytes(file.bytes())
    return path


def told(path: Path, office: bool) -> list[tuple[str, str]]:
    return [
        (f.rule, f.cell) for f in audit(path, office=office).findings if f.rule in ("stored-value", "not-recomputed")
    ]


def test_without_a_second_engine_the_cell_is_left_open(stranger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second, "OTHER", "no_such_engine")
    assert ("not-recomputed", "Mine!B1") in told(stranger, office=False)
    assert ("stored-value", "Mine!B1") not in told(stranger, office=False)


@pytest.mark.libreoffice
def test_the_office_is_a_second_engine_where_it_is_asked_for(stranger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    demand_office()
    monkeypatch.setattr(second, "OTHER", "no_such_engine")
    wrong = [cell for rule, cell in told(stranger, office=True) if rule == "stored-value"]
    assert wrong == ["Mine!B1", "Mine!B2"]  # and of what fetches, nothing is handed to it
