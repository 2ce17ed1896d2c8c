"""Every kind of damage is found, at its cell; the table of them is printed into the test output."""

from __future__ import annotations

from pathlib import Path

import pytest
from audit.damagelib import File
from audit.damages import DAMAGES, Damage
from audit.spots import Spots

from hayfuncs.audit.run import audit

ROWS: list[tuple[str, str, str, str, str]] = []  # damage, edition, where, found by, also without the layout


@pytest.fixture(scope="module")
def spots(files: dict[str, Path]) -> dict[str, Spots]:
    return {edition: Spots(files[edition].read_bytes()) for edition in ("functions", "plain")}


HEAD = ("damage", "edition", "where", "found by", "by general rules too")


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda damage: damage.name)
def test_a_damage_is_found_at_its_cell(
    damage: Damage, files: dict[str, Path], spots: dict[str, Spots], tmp_path: Path
) -> None:
    file = File(files[damage.edition].read_bytes())
    where = damage.do(file, spots[damage.edition])
    if damage.saved:
        file = file.recalculated()
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(file.bytes())
    found = audit(path).findings
    right = [f for f in found if f.cell == where and f.rule in damage.rules and (damage.note or f.above_note)]
    listed = "\n".join(f"  {f.level} {f.rule} {f.cell}: {f.evidence[:160]}" for f in found if f.above_note)
    assert right, f"{damage.name}: not found at {where}; found above a note:\n{listed}"
    assert all(f.evidence and f.advice() for f in right)
    assert damage.level in ("", *(f.level for f in right))
    rules = ", ".join(dict.fromkeys(f"{f.rule} ({f.level})" for f in right))
    elsewhere = next((f"at {f.cell}: {f.rule}" for f in found if f.above_note and not f.by_layout), "no")
    general = "yes" if any(not f.by_layout for f in right) else elsewhere
    ROWS.append((damage.name, damage.edition, where, rules, general))


def test_the_table_of_damages(capsys: pytest.CaptureFixture[str]) -> None:
    """What was found, printed into the test output; it stands last, after all of them."""
    assert len({damage.name for damage in DAMAGES}) == len(DAMAGES) >= 40
    widths = [max(len(row[k]) for row in [HEAD, *ROWS]) for k in range(len(HEAD))]
    with capsys.disabled():
        print()
        for row in [HEAD, *ROWS]:
            print("  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip())
        general = sum(row[-1] == "yes" for row in ROWS)
        print(f"{len(ROWS)} damages found at their cell, {general} of them by rules that know no layout")
