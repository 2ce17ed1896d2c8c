"""Every kind of damage is found, at its cell; the table of them is printed at the end of the run (tests/conftest.py)."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from audit.damagelib import File
from audit.damages import DAMAGES, Damage
from audit.spots import Spots

from hayfuncs.audit.run import audit


@pytest.fixture(scope="session")
def sources(files: dict[str, Path], small_files: dict[str, Path]) -> dict[tuple[bool, str], bytes]:
    """The undamaged workbooks, the whole demo's and the small farm's."""
    both = {True: files, False: small_files}
    return {(w, edition): both[w][edition].read_bytes() for w in both for edition in ("functions", "plain")}


@pytest.fixture(scope="session")
def spots(sources: dict[tuple[bool, str], bytes]) -> Callable[[bool, str], Spots]:
    return cache(lambda whole, edition: Spots(sources[whole, edition]))


# one undamaged workbook after the other: what an audit knows of it is kept
BY_WORKBOOK = sorted(DAMAGES, key=lambda damage: (damage.whole, damage.edition))


@pytest.mark.parametrize("damage", BY_WORKBOOK, ids=lambda damage: damage.name)
def test_a_damage_is_found_at_its_cell(
    damage: Damage, sources: dict[tuple[bool, str], bytes], spots: Callable[[bool, str], Spots], tmp_path: Path,
    record_property: Callable[[str, object], None],
) -> None:  # fmt: skip
    file = File(sources[damage.whole, damage.edition])
    where = damage.do(file, spots(damage.whole, damage.edition))
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
    record_property("damage", [damage.name, damage.edition, where, rules, general])  # printed at the end of the run


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_without_damage_nothing_is_found(edition: str, small_files: dict[str, Path]) -> None:
    """The small farm is clean to begin with: what is found above is found in the damage."""
    assert [f.cell for f in audit(small_files[edition]).findings if f.above_note] == []


def test_every_kind_of_damage_is_a_kind_of_its_own() -> None:
    assert len({damage.name for damage in DAMAGES}) == len(DAMAGES) >= 80
