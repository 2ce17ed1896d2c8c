"""Rows that a user put into the middle of a part: found by the marks of the formulas that stood there.

The marks say which columns of each row held formulas when the workbook was built.  The rows of today are laid beside
them, as many as there are more; an empty row is passed over for nothing, a filled one only where nothing else fits.
"""

from __future__ import annotations

from collections.abc import Sequence

Row = frozenset[int]  # the columns with formulas in it
FIT, FILLED = 2, -3  # for a row that has its formulas, and for a filled one that is passed over
MOST_ROWS, MOST_MORE = 3_000, 60


def put_in(built: Sequence[Row], now: Sequence[Row], empty: Sequence[bool]) -> tuple[int, ...]:
    """The places, from 0, of the rows of today that were not built; nothing where that cannot be told."""
    more = len(now) - len(built)
    if not 0 < more <= MOST_MORE or len(now) > MOST_ROWS or not any(built):
        return ()
    worst = FILLED * len(now) - 1
    # best[k]: the best of the rows so far with k of them passed over, and which those are
    best: list[tuple[int, tuple[int, ...]]] = [(0, ()), *[(worst, ())] * more]
    for i, row in enumerate(now):
        passed = 0 if empty[i] and not row else FILLED
        made = []
        for k in range(more + 1):
            j = i - k  # the built row that would stand here
            stays = worst, best[k][1]
            if 0 <= j < len(built):
                fits = FIT if row and row == built[j] else 1 if row & built[j] else 0
                stays = best[k][0] + fits, best[k][1]
            skips = (best[k - 1][0] + passed, (*best[k - 1][1], i)) if k else (worst, ())
            made.append(max(stays, skips, key=lambda one: one[0]))
        best = made
    found = best[more][1]
    return found if len(found) == more else ()
