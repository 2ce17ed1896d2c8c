"""The cheapest mix as rows of a linear program: the layout of its blocks, and each row's meaning.

A row reads: sum over the feeds of (coefficient x pounds as fed) is at least a need, or at most
a limit.  The hay is given and eaten whole; what depends on it stands on the right-hand side
only, so that all lots with the same shares of the diet (fat, sulfur, urea) share one matrix.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.catalogue import Arg
from hayfuncs.contract.units import GRAMS_PER_LB, LB_PER_TON

Floats = npt.NDArray[np.float64]
Columns = tuple[tuple[str, Arg], ...]

# Each column holds a plain number; nothing is optional.  A maximum of 0 means none of it; a
# maximum that is not to count is written as its largest possible value (100 % binds nothing).
FEEDS: Columns = (
    ("price_per_ton", Arg("Price of the feed", "$/ton as fed", 0, 1e5, fit=(100, 800))),
    ("dm_pct", Arg("Dry matter", "% as fed", 0, 100, above=True, fit=(80, 95))),
    ("tdn_pct", Arg("TDN; 0 for minerals and urea", "% DM", 0, 200, fit=(50, 95))),
    ("cp_pct", Arg("Crude protein, urea's nitrogen counted x 6.25", "% DM", 0, 300, fit=(8, 50))),
    ("ca_pct", Arg("Calcium", "% DM", 0, 100, fit=(0, 2))),
    ("p_pct", Arg("Phosphorus", "% DM", 0, 100, fit=(0, 1.2))),
    ("fat_pct", Arg("Fat", "% DM", 0, 100, fit=(1, 18))),
    ("s_pct", Arg("Sulfur", "% DM", 0, 100, fit=(0.1, 0.8))),
    ("starch_pct", Arg("Starch", "% DM", 0, 100, fit=(0, 72))),
    ("npn_pct", Arg("Crude protein that comes from urea or other non-protein nitrogen", "% of CP", 0, 100, fit=(0, 30))),
    ("max_lb", Arg("Most of it a head may get; 1000 leaves it open", "lb as fed/day", 0, 1000, fit=(2, 20))),
    ("max_pct_bw", Arg("Most of it, as fed; 100 leaves it open", "% of body weight", 0, 100, fit=(0.25, 1))),
    ("max_pct_diet", Arg("Most of it in the whole diet; 100 leaves it open", "% DM", 0, 100, fit=(15, 100))),
)  # fmt: skip
NEEDS: Columns = (
    ("tdn_short_lb", Arg("TDN that the hay leaves short; 0 when met", "lb/day", 0, 100, fit=(0, 4))),
    ("cp_short_lb", Arg("Crude protein that the hay leaves short; 0 when met", "lb/day", 0, 50, fit=(0, 1))),
    ("ca_short_g", Arg("Calcium that the hay leaves short; 0 when met", "g/day", 0, 1000, fit=(0, 10))),
    ("p_short_g", Arg("Phosphorus that the hay leaves short; 0 when met", "g/day", 0, 1000, fit=(0, 10))),
    ("hay_dm_lb", Arg("Hay eaten", "lb DM/day", 0, 200, fit=(15, 30))),
    ("hay_cp_pct", Arg("Crude protein of the hay", "% DM", 0, 60, fit=(5, 14))),
    ("hay_fat_pct", Arg("Fat of the hay", "% DM", 0, 30, fit=(1, 3))),
    ("hay_s_pct", Arg("Sulfur of the hay", "% DM", 0, 3, fit=(0.1, 0.3))),
    ("hay_ca_pct", Arg("Calcium of the hay", "% DM", 0, 10, fit=(0.2, 1.5))),
    ("hay_p_pct", Arg("Phosphorus of the hay", "% DM", 0, 5, fit=(0.1, 0.35))),
)
LIMITS: Columns = (
    ("body_weight_lb", Arg("Body weight", "lb", 0, 5000, above=True, fit=(900, 1600))),
    ("room_lb", Arg("Dry matter that the cow still eats beside the hay", "lb DM/day", 0, 200, fit=(4, 12))),
    ("max_fat_pct", Arg("Most fat in the whole diet; 100 leaves it open", "% DM", 0, 100, fit=(4, 6))),
    ("max_s_pct", Arg("Most sulfur in the whole diet, water counted; 100 leaves it open", "% DM", 0, 100, fit=(0.3, 0.5))),
    ("max_starch_pct_bw", Arg("Most starch from the feeds; 100 leaves it open", "% of body weight", 0, 100, fit=(0.15, 0.4))),
    ("max_npn_pct", Arg("Most of the diet's protein from urea and the like; 100 leaves it open", "% of CP", 0, 100, fit=(15, 35))),
    ("water_s_g", Arg("Sulfur in the water drunk", "g/day", 0, 1000, fit=(0, 20))),
    ("min_ca_p", Arg("Least calcium for each part of phosphorus in the whole diet; 0 leaves it open", "ratio", 0, 7, fit=(1, 2))),
)  # fmt: skip
# The last columns came later: a block without them has 0 there, which leaves calcium beside phosphorus open.
OPTIONAL_NEEDS, OPTIONAL_LIMITS = 2, 1
FEED = {name: at for at, (name, _) in enumerate(FEEDS)}
NEED = {name: at for at, (name, _) in enumerate(NEEDS)}
LIMIT = {name: at for at, (name, _) in enumerate(LIMITS)}
MATRIX_LIMITS = [LIMIT[name] for name in ("max_fat_pct", "max_s_pct", "max_npn_pct", "min_ca_p")]


@dataclass(frozen=True)
class RowKind:
    """One row: what it bounds, and the cell of `needs`, `limits` or `feeds` that sets it.

    `step` is the unit by which a person would relax it, in the unit of that cell.
    """

    name: str
    unit: str  # of its two sides
    at_least: bool
    block: str
    column: str
    step: float
    step_unit: str
    feed: int = -1  # the feed whose share of the diet is limited

    def title(self, feed_names: tuple[str, ...]) -> str:
        return f"{self.name} of {feed_names[self.feed]}" if self.feed >= 0 else self.name


ROWS: tuple[RowKind, ...] = (
    RowKind("TDN need", "lb/day", True, "needs", "tdn_short_lb", 1, "lb/day"),
    RowKind("crude protein need", "lb/day", True, "needs", "cp_short_lb", 0.1, "lb/day"),
    RowKind("calcium need", "g/day", True, "needs", "ca_short_g", 1, "g/day"),
    RowKind("phosphorus need", "g/day", True, "needs", "p_short_g", 1, "g/day"),
    RowKind("calcium beside phosphorus", "g/day", True, "limits", "min_ca_p", 0.1, "ratio"),
    RowKind("room for supplement", "lb DM/day", False, "limits", "room_lb", 1, "lb DM/day"),
    RowKind("fat limit of the diet", "lb/day", False, "limits", "max_fat_pct", 1, "% DM"),
    RowKind("sulfur limit of the diet", "lb/day", False, "limits", "max_s_pct", 0.01, "% DM"),
    RowKind("starch limit", "lb/day", False, "limits", "max_starch_pct_bw", 0.1, "% of body weight"),
    RowKind("urea limit of the diet", "lb/day", False, "limits", "max_npn_pct", 1, "% of CP"),
)
NEED_ROWS = sum(row.at_least for row in ROWS)
DIET_SHARE_STEP = 1
# How much one unit short counts when not every need can be met: about one over a cow's day of it
# (14 lb of TDN, 2 lb of protein, 30 g of calcium, 20 g of phosphorus); calcium beside phosphorus far
# less, so that its lack is said as such and not as a lack of feed.  Common practice, no source.
SHORT_COUNTS = np.array([1 / 14, 1 / 2, 1 / 30, 1 / 20, 1 / 1000])


def row_kinds(feeds: Floats) -> tuple[RowKind, ...]:
    """The rows of a problem: the fixed ones, then one for each feed with a limit as a share of the diet."""
    shares = tuple(
        RowKind("share of the diet", "lb DM/day", False, "feeds", "max_pct_diet", DIET_SHARE_STEP, "% DM", int(i))
        for i in shared(feeds)
    )
    return ROWS + shares


def shared(feeds: Floats) -> npt.NDArray[np.intp]:
    """The feeds limited to a share of the whole diet."""
    return np.flatnonzero(feeds[:, FEED["max_pct_diet"]] < 100)


def price_per_lb(feeds: Floats) -> Floats:
    """Dollars per pound as fed."""
    prices: Floats = feeds[:, FEED["price_per_ton"]] / LB_PER_TON
    return prices


def matrix(feeds: Floats, max_fat: float, max_s: float, max_npn: float, min_ca_p: float) -> Floats:
    """The coefficient of each feed (column) in each row, per pound as fed, in the row's own sense."""
    dm = feeds[:, FEED["dm_pct"]] / 100

    def part(column: str) -> Floats:
        share: Floats = dm * feeds[:, FEED[column]] / 100
        return share

    cp = part("cp_pct")
    rows = [
        part("tdn_pct"),
        cp,
        part("ca_pct") * GRAMS_PER_LB,
        part("p_pct") * GRAMS_PER_LB,
        (part("ca_pct") - min_ca_p * part("p_pct")) * GRAMS_PER_LB,
        dm,
        part("fat_pct") - dm * max_fat / 100,
        part("s_pct") - dm * max_s / 100,
        part("starch_pct"),
        cp * (feeds[:, FEED["npn_pct"]] - max_npn) / 100,
    ]
    for i in shared(feeds):
        own = np.zeros(len(feeds))
        own[i] = dm[i]
        rows.append(own - dm * feeds[i, FEED["max_pct_diet"]] / 100)
    return np.array(rows)


def sides(feeds: Floats, needs: Floats, limits: Floats) -> Floats:
    """The right-hand side of every row (column) for every lot (row), in the row's own sense."""
    need = {name: needs[:, at] for name, at in NEED.items()}
    limit = {name: limits[:, at] for name, at in LIMIT.items()}
    hay = need["hay_dm_lb"]
    columns = [
        need["tdn_short_lb"],
        need["cp_short_lb"],
        need["ca_short_g"],
        need["p_short_g"],
        hay * (limit["min_ca_p"] * need["hay_p_pct"] - need["hay_ca_pct"]) / 100 * GRAMS_PER_LB,
        limit["room_lb"],
        hay * (limit["max_fat_pct"] - need["hay_fat_pct"]) / 100,
        hay * (limit["max_s_pct"] - need["hay_s_pct"]) / 100 - limit["water_s_g"] / GRAMS_PER_LB,
        limit["body_weight_lb"] * limit["max_starch_pct_bw"] / 100,
        hay * need["hay_cp_pct"] / 100 * limit["max_npn_pct"] / 100,
    ]
    columns += [hay * feeds[i, FEED["max_pct_diet"]] / 100 for i in shared(feeds)]
    return np.column_stack(columns)


def caps(feeds: Floats, limits: Floats) -> Floats:
    """The most of each feed (column) for every lot (row), lb as fed a day."""
    by_weight = limits[:, [LIMIT["body_weight_lb"]]] * feeds[:, FEED["max_pct_bw"]] / 100
    return np.minimum(by_weight, feeds[:, FEED["max_lb"]])


def senses(rows: tuple[RowKind, ...]) -> Floats:
    """+1 for a limit, -1 for a need: turns every row into "at most"."""
    return np.array([-1.0 if row.at_least else 1.0 for row in rows])
