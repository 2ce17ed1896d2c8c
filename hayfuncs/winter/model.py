"""The winter plan as one sparse linear program (solved in `linear`).

A column is the tons of one source (lot, hay for sale, feed) put before one group in one period; a row is a
need or limit of one group in one period, or the stock of one source.  Nutrient rows are in tons of the nutrient
for the whole group and period, so that all coefficients are of like size.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.units import GRAMS_PER_LB
from hayfuncs.winter.problem import (
    FULL_PCT,
    OPEN,
    Farm,
    Feed,
    HayForSale,
    Lot,
    Mineral,
    Need,
    hay_wasted_pct,
    least_intake_pct,
)
from hayfuncs.winter.requirements import head_tons, in_calf, weight_lb

Floats = npt.NDArray[np.float64]
Progress: TypeAlias = Callable[[str], None]
Source: TypeAlias = Lot | HayForSale | Feed | Mineral
Needs: TypeAlias = Sequence[Sequence[Need]]

TDN, CP, FULL, MOST, NDF, HAY, FAT, SULFUR = "TDN", "CP", "least DM", "most DM", "NDF", "hay share", "fat", "sulfur"
GRAIN, NITRATE, CALCIUM, PHOSPHORUS, CA_P = "grain", "nitrate", "calcium", "phosphorus", "Ca:P"
AT_LEAST = (TDN, CP, FULL, HAY, CALCIUM, PHOSPHORUS, CA_P)
# How much a pound short counts beside a pound of TDN where not everything can be had: about one
# over a cow's day of it (14 lb TDN, 2 lb protein, 25 lb dry matter, 0.07 lb calcium, 0.045 lb
# phosphorus).  Common practice, no source.
COUNTS = {TDN: 1.0, CP: 7.0, FULL: 0.5, CALCIUM: 200.0, PHOSPHORUS: 300.0}
THRIFT = 1e-6  # $/ton laid on all hay, so that hay without a value is not fed for nothing
LEAST_SHARE = 1e-3  # % of the diet: hay that may be less than this of it is not fed


@dataclass
class Model:
    """Sources x places; a place is one group in one period, groups within periods of a row."""

    farm: Farm
    sources: tuple[Source, ...]
    hays: int  # the first so many sources are hay
    places: list[tuple[int, int]]  # (group, period)
    needs: list[Need]  # a place
    per_head: Floats  # tons for the place in 1 lb a head and a day
    eaten: Floats  # share of what is put out that is eaten, source x place
    caps: Floats  # most tons, source x place
    cost: Floats  # $ a ton put out, a source
    stock: Floats  # most tons put out, a source; infinite where there is no end
    rows: dict[str, tuple[Floats, Floats]]  # coefficients source x place, and side a place
    shares: list[tuple[int, Floats]]  # hays and feeds limited to a share of the diet: source, % of DM a place
    least: Floats  # least dry matter, % of what is eaten to appetite, a place
    lower: Floats  # least tons, source x place: what a person has pinned, else 0

    def feeds(self) -> range:
        """The places of the feeds among the sources: after the hays, before the minerals."""
        return range(self.hays, len(self.sources) - len(self.farm.minerals))

    def of_feeds(self) -> list[tuple[int, Floats]]:
        """The shares with a row of their own; those of hays hold by the row of all their nitrate together."""
        return [(s, pct) for s, pct in self.shares if s >= self.hays]


def build(farm: Farm, needs: Needs) -> Model:
    periods = farm.periods()
    places = [(g, p) for g in range(len(farm.groups)) for p in range(len(periods))]
    hay: tuple[Source, ...] = (*farm.lots, *farm.for_sale)
    sources: tuple[Source, ...] = (*hay, *farm.feeds, *farm.minerals)
    per_head = np.array([head_tons(farm.groups[g], periods[p]) for g, p in places])
    hays: tuple[Lot | HayForSale, ...] = (*farm.lots, *farm.for_sale)
    wasted = [[hay_wasted_pct(h, farm.groups[g]) for g, _ in places] for h in hays]
    eaten = np.empty((len(sources), len(places)))
    eaten[: len(hay)] = 1 - np.array(wasted) / 100
    least = np.array([least_intake_pct(farm, farm.groups[g]) for g, _ in places])
    hungry = least < FULL_PCT
    caps = np.full(eaten.shape, np.inf)
    weight = np.array([weight_lb(farm, farm.groups[g], periods[p].first.toordinal()) for g, p in places])
    for s, feed in enumerate(farm.feeds, len(hay)):
        eaten[s] = 1 - feed.waste_pct / 100
        by_weight = feed.max_pct_bw / 100 * weight if feed.max_pct_bw < OPEN else np.inf
        caps[s] = np.minimum(feed.max_lb, by_weight) * per_head
        if feed.grain:
            caps[s] = np.where(hungry, 0, caps[s])
    for s, mineral in enumerate(farm.minerals, len(hay) + len(farm.feeds)):
        eaten[s] = 1
        caps[s] = mineral.max_lb * per_head
    need = [needs[g][p] for g, p in places]
    shares = _shares(farm, places, hungry)
    rows = _rows(farm, sources, len(hay), eaten, need, per_head, weight, least)
    together = _nitrate(rows[MOST][0], [(s, pct) for s, pct in shares if s < len(hay)])
    if together is not None:
        rows[NITRATE] = together, np.zeros(len(need))
    for s, pct in shares:
        caps[s] = np.where(pct < LEAST_SHARE, 0, caps[s])
    kept = np.array([1 - _storage_loss(s) / 100 for s in sources])
    price = np.array([s.value_per_ton if isinstance(s, Lot) else s.price_per_ton for s in sources])
    stock = np.array([s.tons for s in sources]) * kept
    none = np.zeros_like(caps)
    return Model(
        farm, sources, len(hay), places, need, per_head, eaten, caps, price / kept, stock, rows, shares, least, none
    )  # fmt: skip


def _shares(farm: Farm, places: list[tuple[int, int]], hungry: Any) -> list[tuple[int, Floats]]:
    """The most share of each hay and feed that has one, place by place; of hay that is not mixed all or nothing.

    To cattle that are limit-fed hay with a share is not fed either: hungry, they eat it fast.
    """
    periods = farm.periods()
    pregnant = np.array([in_calf(farm, farm.groups[g], periods[p]) for g, p in places])
    hay: tuple[Lot | HayForSale, ...] = (*farm.lots, *farm.for_sale)
    hays: list[Floats] = [np.where(pregnant, h.max_pct_pregnant, h.max_pct_others) for h in hay]
    hays = [np.where(hungry | (not farm.hay_is_mixed), np.where(pct >= OPEN, OPEN, 0.0), pct) for pct in hays]
    feeds = [np.full(len(places), feed.max_pct_diet) for feed in farm.feeds]
    return [(s, pct) for s, pct in enumerate((*hays, *feeds)) if (pct < OPEN).any()]


def _nitrate(dm: Floats, shares: list[tuple[int, Floats]]) -> Floats | None:
    """All hays that nitrate holds back, together: hay held to a quarter asks for a diet of four times

    its own dry matter, and the sum that they ask for must be there.  Each hay is then within its
    own share too.  Hay with a share of 0 is barred by its cap.
    """
    if not shares:
        return None
    asks = np.zeros_like(dm)
    for s, pct in shares:
        asks[s] = np.where((pct < LEAST_SHARE) | (pct >= OPEN), 0, OPEN / np.maximum(pct, LEAST_SHARE))
    return dm * (asks - 1)


def _storage_loss(source: Source) -> float:
    return source.storage_loss_pct if isinstance(source, (Lot, HayForSale)) else 0.0


def _rows(
    farm: Farm,
    sources: tuple[Any, ...],
    hays: int,
    eaten: Floats,
    need: list[Need],
    per_head: Floats,
    weight: Floats,
    least: Floats,
) -> dict[str, tuple[Floats, Floats]]:
    dm = np.array([s.dm_pct for s in sources])[:, None] / 100 * eaten
    usual = np.array([n.dm_lb for n in need]) * per_head

    def content(name: str) -> Floats:
        return np.array([getattr(s, name) for s in sources], dtype=float)[:, None] / 100

    is_hay = (np.arange(len(sources)) < hays)[:, None]
    nothing = np.zeros(len(need))
    rows = {
        TDN: (dm * content("tdn_pct"), np.array([n.tdn_lb for n in need]) * per_head),
        CP: (dm * content("cp_pct"), np.array([n.cp_lb for n in need]) * per_head),
        MOST: (dm, usual * farm.max_intake_pct / 100),
    }
    if (least > 0).any():
        rows[FULL] = dm, usual * least / 100
    if farm.min_hay_pct > 0:
        rows[HAY] = dm * (is_hay - farm.min_hay_pct / 100), nothing
    if farm.ndf_capacity_pct_bw is not None:
        rows[NDF] = dm * content("ndf_pct"), weight * farm.ndf_capacity_pct_bw / 100 * per_head
    if farm.max_fat_pct < OPEN:
        rows[FAT] = dm * (content("fat_pct") - farm.max_fat_pct / 100), nothing
    if farm.max_s_pct < OPEN:
        rows[SULFUR] = dm * (content("s_pct") - farm.max_s_pct / 100), nothing
    if farm.min_ca_p is not None:
        whole = np.array([isinstance(s, Mineral) for s in sources])[:, None]  # contents of a mineral are as fed
        calcium, phosphorus = (np.where(whole, eaten, dm) * content(name) for name in ("ca_pct", "p_pct"))
        rows[CALCIUM] = calcium, np.array([n.ca_g for n in need]) / GRAMS_PER_LB * per_head
        rows[PHOSPHORUS] = phosphorus, np.array([n.p_g for n in need]) / GRAMS_PER_LB * per_head
        rows[CA_P] = calcium - farm.min_ca_p * phosphorus, nothing
    is_grain = np.array([isinstance(s, Feed) and s.grain for s in sources])
    if is_grain.any() and farm.max_grain_pct_bw < OPEN:
        rows[GRAIN] = (
            np.where(is_grain[:, None], np.ones_like(eaten), 0),
            weight * farm.max_grain_pct_bw / 100 * per_head,
        )
    return rows
