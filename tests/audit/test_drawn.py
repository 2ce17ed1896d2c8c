"""A sample of the faults drawn at random (tests/audit/drawn.py makes the large run by hand)."""

from __future__ import annotations

from audit import drawn

SEED, COUNT = 11, 9


def test_faults_drawn_at_random_are_found_at_their_cell() -> None:
    out = drawn.run(COUNT, SEED)
    assert {o.edition for o in out} == set(drawn.EDITIONS)
    missed = [line for line in drawn.said(out, SEED) if line.startswith("  missed")]
    assert len(missed) <= 1, missed
