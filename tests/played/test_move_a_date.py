"""A date moved on any sheet: the audit stays clean, or says once that the plan must be solved again; never "broken"."""

from __future__ import annotations

import datetime
from pathlib import Path

import building
import pytest
from audit.damagelib import File

from hayfuncs.audit.run import audit
from hayfuncs.spreadsheet.engine_values import DAY_ZERO
from hayfuncs.workbook.model import a1

DAYS = (1, 8, 40)
AGAIN = "the season no longer fits the plan: solve again"


def dated() -> list[tuple[str, str]]:
    """One input of each kind of date: its key and its cell."""
    book = building.built(building.SMALL, "functions")[0]
    found: dict[str, tuple[str, str]] = {}
    for key, (sheet, row, col) in book.inputs.items():
        if isinstance(book.by_name(sheet).cells[row, col].content, datetime.date):
            table, *_, field = key.split("/")
            found.setdefault(f"{table}/{field}", (key, book.where(f"'{sheet}'!{a1(row, col)}")))
    return sorted(found.values())


@pytest.mark.parametrize("days", DAYS)
@pytest.mark.parametrize(("key", "where"), dated())
def test_a_date_is_moved(key: str, where: str, days: int, tmp_path: Path) -> None:
    book, _, path = building.built(building.SMALL, "functions")
    sheet, row, col = book.inputs[key]
    day = book.by_name(sheet).cells[row, col].content
    assert isinstance(day, datetime.date)
    file = File(path.read_bytes())
    file.number(where, float((day - DAY_ZERO).days + days))
    moved = tmp_path / "moved.xlsx"
    moved.write_bytes(file.recalculated().bytes())
    told = [f for f in audit(moved).findings if f.above_note]
    again = [f for f in told if AGAIN in f.evidence]
    assert len(again) <= 1
    # what else is told is a check of the workbook that truly fails: a season that ends before it begins
    rest = [f"{f.rule} {f.cell}: {f.evidence[:120]}" for f in told if f not in again]
    assert all(text.startswith("failed-check") and "first day to grass" in text for text in rest), rest
    if rest:
        dates = {book.inputs[k] for k in ("Hay pile/start", "Hay pile/turnout")}
        assert (sheet, row, col) in dates
