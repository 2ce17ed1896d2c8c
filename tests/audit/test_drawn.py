"""A sample of the faults drawn at random (tests/audit/drawn.py makes the large run by hand)."""

from __future__ import annotations

from audit import drawn

SEED, COUNT = 11, 9
LEAST = 8  # found at their cell above a note


def test_faults_drawn_at_random_are_found_at_their_cell() -> None:
    out = list(drawn.run(COUNT, SEED))
    assert len({o.book for o in out}) == len(drawn.BOOKS)
    lost = [drawn.line(o) for o in out if not o.found]
    assert len(out) - len(lost) >= LEAST, lost
