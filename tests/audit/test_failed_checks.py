"""A check of the workbook that fails is a grave finding under its own name, and where it fails."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from building import SMALL

from hayfuncs.audit.run import audit
from hayfuncs.workbook import build, write


def test_each_failed_check_is_told_by_its_name(tmp_path: Path) -> None:
    lots = (replace(SMALL.lots[0], dm_pct=11.5), *SMALL.lots[1:])
    book = build.build(replace(SMALL, lots=lots), "plain")
    path = tmp_path / "moisture.xlsx"
    values = write.save(book, path, own=True)
    fails = sorted(
        book.where(f"Checks!H{row + 1}")
        for (sheet, row, col), v in values.items()
        if (sheet, col, v) == ("Checks", 7, "FAILS")
    )
    found = [f for f in audit(path).findings if f.rule == "failed-check"]
    assert sorted(f.cell for f in found) == fails
    assert {f.level for f in found} == {"high"}
    moisture = next(f for f in found if "dry matter under 60 %" in f.evidence)
    assert lots[0].name in moisture.evidence
