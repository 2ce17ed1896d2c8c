"""How much of a hay its nitrate lets the winter plan feed: all of it, a mixed-in share, or none.

A share of the diet holds only for hay that is ground and mixed: bales put out side by side are
not a mixed diet, and a cow may eat the worst of them alone (domain: University of Nebraska,
Anderson).  So hay that is not mixed is fed only where it is safe as the whole diet.
"""

from __future__ import annotations

from hayfuncs.hazards.toxins import SCALES, nitrate_most_share

OPEN = 100.0  # a share that limits nothing
BELOW_PCT = 10.0  # how far below a scale's line the plan stays: the test has an error of its own (common practice)
MOST_PPM = 30_000.0  # the most that the scales are asked for


def most_shares(
    nitrate_n_ppm: float, mixed: bool = False, below_pct: float = BELOW_PCT, at_least: bool = False
) -> tuple[float, float]:
    """The most of the diet's dry matter, % for cows in calf and for other cattle, by the stricter scale.

    `at_least` is for a test that says only that there is more than this: nobody knows how much, so none is fed.
    """
    if at_least:
        return 0.0, 0.0
    kept = 1 - below_pct / 100
    counted = min(MOST_PPM, nitrate_n_ppm / kept)
    found: list[float] = []
    for pregnant in (True, False):
        share = min(float(nitrate_most_share(counted, pregnant, scale)) for scale in SCALES)
        found.append(share if share >= OPEN else share * kept * mixed)
    in_calf, others = found
    return in_calf, others
