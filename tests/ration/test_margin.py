"""The margin of a supplement's rate against drawing hays and feeds at random: 2,000 farms, independent arithmetic."""

from __future__ import annotations

import numpy as np

import hayfuncs

FARMS, DRAWS = 2000, 4000
Z = 1.959964  # two-sided 95 %, normal


def drawn() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(20261128)

    def u(lo: float, hi: float) -> np.ndarray:
        return rng.uniform(lo, hi, FARMS)

    return {
        "tdn_need": u(9, 18), "cp_need": u(1.2, 3.2), "hay_dm_lb": u(16, 30), "hay_tdn_pct": u(45, 64), "hay_cp_pct": u(4, 15),
        "feed_tdn_pct": u(68, 90), "feed_cp_pct": u(15, 48), "feed_dm_pct": u(85, 95), "hay_displaced": u(0, 0.3),
        "hay_tdn_margin": u(0.5, 4), "hay_cp_margin": u(0.3, 2), "feed_tdn_margin": u(0, 4), "feed_cp_margin": u(0, 2),
    }  # fmt: skip


def rates(f: dict[str, np.ndarray], tdn: np.ndarray, cp: np.ndarray, feed_tdn: np.ndarray, feed_cp: np.ndarray) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """Pounds as fed for energy and for protein, below 0 where there is more than enough."""

    def one(need: np.ndarray, hay: np.ndarray, feed: np.ndarray) -> np.ndarray:
        need, lb, left, dm = (np.expand_dims(v, -1) if hay.ndim > 1 else v for v in (need, f["hay_dm_lb"], f["hay_displaced"], f["feed_dm_pct"]))  # fmt: skip
        return (need - lb * hay / 100) / ((feed - left * hay) / 100) / (dm / 100)

    return one(f["tdn_need"], tdn, feed_tdn), one(f["cp_need"], cp, feed_cp)


def test_the_margin_is_what_drawing_at_random_gives() -> None:
    f = drawn()
    rng = np.random.default_rng(7)
    margin = hayfuncs.supplement_margin("pounds", *f.values())
    by_tdn, by_cp = rates(f, f["hay_tdn_pct"], f["hay_cp_pct"], f["feed_tdn_pct"], f["feed_cp_pct"])
    compared = 0
    for farm in np.flatnonzero(np.isfinite(margin)):
        one = {k: v[farm : farm + 1] for k, v in f.items()}
        draw = {
            k: (one[f"{k}_pct"] + one[f"{k}_margin"] / Z * rng.standard_normal(DRAWS))[None, :]
            for k in ("hay_tdn", "hay_cp", "feed_tdn", "feed_cp")
        }
        t, c = rates(one, draw["hay_tdn"], draw["hay_cp"], draw["feed_tdn"], draw["feed_cp"])
        driver, other = (t, c) if by_tdn[farm] >= by_cp[farm] else (c, t)
        # at the switch and near 0 the corners count instead: see the next test
        if np.mean(driver > np.maximum(other, 0)) < 1:
            continue
        compared += 1
        said = Z * driver.std(ddof=1)
        # the spread of 4,000 draws is itself known to 1.1 %; three times that, and the curve of 1 / feed
        assert abs(said - margin[farm]) <= (0.034 + 3 * (driver.std() / driver.mean()) ** 2) * said, farm
    assert compared > 400


def test_at_the_switch_and_at_zero_the_margin_holds_the_draws() -> None:
    """The corners are wide enough: at least 95 in 100 draws lie within the margin."""
    f = drawn()
    rng = np.random.default_rng(8)
    margin = hayfuncs.supplement_margin("pounds", *f.values())
    by_tdn, by_cp = rates(f, f["hay_tdn_pct"], f["hay_cp_pct"], f["feed_tdn_pct"], f["feed_cp_pct"])
    at_hand = np.maximum(0, np.maximum(by_tdn, by_cp))
    near = np.flatnonzero(np.isfinite(margin) & (margin > 0) & ((abs(by_tdn - by_cp) < margin) | (at_hand < margin)))
    assert near.size > 150
    inside = []
    for farm in near:
        one = {k: v[farm : farm + 1] for k, v in f.items()}
        draw = {
            k: (one[f"{k}_pct"] + one[f"{k}_margin"] / Z * rng.standard_normal(DRAWS))[None, :]
            for k in ("hay_tdn", "hay_cp", "feed_tdn", "feed_cp")
        }
        t, c = rates(one, draw["hay_tdn"], draw["hay_cp"], draw["feed_tdn"], draw["feed_cp"])
        found = np.maximum(0, np.maximum(t, c))
        inside.append(np.mean(abs(found - at_hand[farm]) <= margin[farm] * (1 + 1e-9)))
    assert min(inside) > 0.90, "both nutrients may be off at once"
    assert np.mean(inside) > 0.945
