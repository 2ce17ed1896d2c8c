"""A cheaper plan in whole bales from one that there is: some places are opened again, all others kept.

Few places at a time, two groups in two neighboring months, each ration in its turn: a second or less, and few of
them find nothing for long.  Then whole months in pairs, all their rations at once: dear, and found rarely.
"""

from __future__ import annotations

from itertools import combinations, cycle

from hayfuncs.winter.rolling import Search

PART = 0.5  # of the time, for few places at a time


def few_places(search: Search) -> list[tuple[str, set[int]]]:
    """Two groups in two neighboring months, from the last months on."""
    at = [search.model.places[place.k] for place in search.pool]
    groups = sorted({g for g, _ in at})
    pairs = list(combinations(groups, 2)) or [(g, g) for g in groups]
    found: list[tuple[str, set[int]]] = []
    for p in reversed(range(max(len(search.labels) - 1, 1))):
        for pair in pairs:
            opened = {i for i, (g, q) in enumerate(at) if g in pair and q in (p, p + 1)}
            if opened:
                found.append((search.labels[p], opened))
    return found


def again(search: Search) -> bool:
    """Whether all was tried."""
    if search.clock.steps is None:
        return by_time(search)
    by_steps(search, search.clock.steps)
    return True


def by_steps(search: Search, steps: int) -> None:
    """So many times few places, whatever time that takes."""
    for _, (label, opened) in zip(range(steps), cycle(few_places(search)), strict=False):
        search.tell(f"looking for better: {label} and the next")
        search.opened_again(opened)


def by_time(search: Search) -> bool:
    """Few places, then pairs of neighboring months, until none gets better.  False where time is up first."""
    few, quiet = few_places(search), 0
    until = search.clock.left * (1 - PART)
    for label, opened in cycle(few):
        if quiet >= len(few) or search.clock.over() or search.clock.left < until:
            break
        search.tell(f"looking for better: {label} and the next")
        quiet = 0 if search.opened_again(opened) else quiet + 1
    return _whole_months(search)


def _whole_months(search: Search) -> bool:
    count, quiet, turn = len(search.labels), 0, 0
    pairs = [{p, p + 1} for p in reversed(range(count - 1))] or [{0}]
    while quiet < len(pairs):
        if search.clock.over():
            return False
        opened = pairs[turn % len(pairs)]
        search.tell(f"looking for better: {search.labels[min(opened)]} and the next")
        if search.step(opened, min(search.clock.left, max(search.clock.seconds / len(pairs) / 2, 1.0))):
            quiet = 0
        else:
            quiet += 1
        turn += 1
    return True
