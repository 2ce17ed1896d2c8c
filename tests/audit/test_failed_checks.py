"""A check of the workbook that fails is a grave finding under its own name, and where it fails."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import building
from audit.damagelib import File
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


def test_a_name_that_leads_elsewhere_is_told_before_what_follows_from_it(tmp_path: Path) -> None:
    book, _, path = building.built(SMALL, "functions", build.FARM)
    file, where = File(path.read_bytes()), book.names["winter_start"]
    names = file.text("xl/workbook.xml")
    told = next(part for part in names.split("<definedName ") if part.startswith('name="winter_start"'))
    file.parts["xl/workbook.xml"] = names.replace(told, told.replace("$B$5", "$B$6")).encode()
    moved = tmp_path / "moved.xlsx"
    moved.write_bytes(file.recalculated().bytes())
    found = [f for f in audit(moved).findings if f.above_note]
    assert where == "'Hay pile'!$B$5"
    assert (found[0].rule, found[0].cell, found[0].level) == ("name", "winter_start", "high")
    assert {f.rule for f in found[1:]} == {"failed-check"}
