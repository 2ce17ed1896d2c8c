"""What a winter plan comes to: rows to feed by, stocks, purchases, budget, and what is not met.

`evaluate` works everything from the tons put out alone, with no knowledge of how they were
chosen, so that the best plan, the plain rule and a plan changed by hand are measured alike.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hayfuncs.contract.units import GRAMS_PER_LB, LB_PER_TON
from hayfuncs.winter.model import (
    AT_LEAST,
    CA_P,
    CALCIUM,
    CP,
    FAT,
    FULL,
    GRAIN,
    HAY,
    MOST,
    NDF,
    NITRATE,
    PHOSPHORUS,
    SULFUR,
    TDN,
    Floats,
    Model,
    Source,
)  # fmt: skip
from hayfuncs.winter.problem import OPEN, HayForSale, Lot, Mineral, Need

OWN, BOUGHT, FEED, MINERAL = "own hay", "bought hay", "feed", "mineral"
NOTHING = 1e-6  # tons below this are not fed
MET = 1e-4  # lb a head and a day: short by less is not short
LB_NAMES = {
    TDN: "TDN short", CP: "crude protein short", FULL: "dry matter under the least", MOST: "dry matter over the most",
    NDF: "NDF over the most", HAY: "hay under its least share", FAT: "fat over its share", SULFUR: "sulfur over its share",
    GRAIN: "grain, all together, over its limit", CALCIUM: "calcium short", PHOSPHORUS: "phosphorus short",
    CA_P: "calcium short beside phosphorus",
}  # fmt: skip
TOGETHER = "nitrate of all hays together over what is allowed"


@dataclass(frozen=True)
class PlanRow:
    """One source put before one group in one period.  Pounds as fed, waste at the feeder in them."""

    period: str
    group: str
    kind: str
    name: str
    lb_head_day: float
    tons: float
    cost: float


@dataclass(frozen=True)
class Balance:
    """One group in one period, a head and a day, eaten: supply beside need, and the diet's make-up.

    The prices are what one pound less of the need would save, $; 0 where it is covered anyway.
    """

    period: str
    group: str
    head: float
    days: int
    need: Need
    dm_lb: float
    tdn_lb: float
    cp_lb: float
    hay_pct: float  # of the dry matter
    cost_head_day: float
    tdn_price: float  # $ a pound; 0 where the plan has none
    cp_price: float
    ca_g: float | None  # None where minerals are not counted
    p_g: float | None

    @property
    def ca_p(self) -> float | None:
        """Calcium for each part of phosphorus."""
        return self.ca_g / self.p_g if self.ca_g is not None and self.p_g else None


@dataclass(frozen=True)
class Stock:
    """One source at the start of a period, net of storage loss, and what is taken from it, tons."""

    period: str
    name: str
    start: float
    fed: float
    left: float


@dataclass(frozen=True)
class LotValue:
    """A source with an end: what is left of it, net of storage loss, and what one ton more would save.

    The saving is for a ton as stored, and beyond the value or price given for it.
    """

    name: str
    kind: str
    tons_left: float
    saves_per_ton: float


@dataclass(frozen=True)
class Purchase:
    kind: str
    name: str
    tons: float
    price_per_ton: float
    dollars: float


@dataclass(frozen=True)
class Budget:
    """Dollars for the winter.  Own hay counts at the value given for it."""

    feeds: float
    bought_hay: float
    own_hay: float
    head: float
    days: int
    minerals: float = 0.0

    @property
    def cash(self) -> float:
        return self.feeds + self.bought_hay + self.minerals

    @property
    def total(self) -> float:
        return self.cash + self.own_hay

    @property
    def per_head(self) -> float:
        return self.total / self.head

    @property
    def per_head_day(self) -> float:
        return self.per_head / self.days


@dataclass(frozen=True)
class Failure:
    """A need or limit that is not kept: `amount` in `unit`, for a stock in all, else a head and a day."""

    period: str
    group: str
    what: str
    amount: float
    unit: str

    def words(self) -> str:
        place = f"{self.group}, {self.period}: " if self.group else ""
        return f"{place}{self.what} by {self.amount:.3g} {self.unit}"


@dataclass(frozen=True)
class WinterPlan:
    """A plan and all that follows from it.  `failures` is empty where every need and limit is kept.

    `dual_bound` is the cost that no plan can go below (NaN where the plan is not the best one, or
    leaves needs short).
    """

    rows: tuple[PlanRow, ...]
    balances: tuple[Balance, ...]
    stocks: tuple[Stock, ...]
    purchases: tuple[Purchase, ...]
    budget: Budget
    failures: tuple[Failure, ...]
    lot_values: tuple[LotValue, ...]
    dual_bound: float

    @property
    def cost(self) -> float:
        return self.budget.total

    @property
    def feasible(self) -> bool:
        return not self.failures

    def words(self) -> str:
        """The plan in a few sentences."""
        b = self.budget
        said = [
            f"${b.total:,.0f} for the winter: ${b.cash:,.0f} to buy, own hay ${b.own_hay:,.0f}; ${b.per_head:,.2f} a head"
        ]
        said += [f"Buy {p.tons:,.1f} tons of {p.name} for ${p.dollars:,.0f}" for p in self.purchases]
        if self.failures:
            said.append(f"Not met in {len(self.failures)} places, the first: {self.failures[0].words()}")
        return ". ".join(said) + "."


def evaluate(model: Model, tons: Floats, prices: dict[str, Floats] | None = None) -> WinterPlan:
    """Everything that follows from the tons put out (source x place)."""
    farm, periods = model.farm, model.farm.periods()
    tons = np.where(tons > NOTHING, tons, 0)
    cost = tons * model.cost[:, None]
    rows = [
        PlanRow(
            periods[model.places[k][1]].label, farm.groups[model.places[k][0]].name, _kind(model.sources[s]),
            model.sources[s].name, float(tons[s, k] / model.per_head[k]), float(tons[s, k]), float(cost[s, k]),
        )
        for k in _in_time(model) for s in np.flatnonzero(tons[:, k])
    ]  # fmt: skip
    head = float(sum(g.head for g in farm.groups))
    kinds = np.array([_kind(s) for s in model.sources])
    spent = {kind: float(cost[kinds == kind].sum()) for kind in (FEED, BOUGHT, OWN, MINERAL)}
    days = (farm.turnout - farm.start).days
    budget = Budget(spent[FEED], spent[BOUGHT], spent[OWN], head, days, spent[MINERAL])
    return WinterPlan(
        tuple(rows), _balances(model, tons, cost, prices or {}), _stocks(model, tons), _purchases(model, tons), budget,
        _failures(model, tons), (), float("nan"),
    )  # fmt: skip


def tons_of(model: Model, rows: tuple[PlanRow, ...]) -> Floats:
    """The tons put out of rows that may have been changed by hand; pounds a head and a day count."""
    tons = np.zeros(model.eaten.shape)
    source = {s.name: i for i, s in enumerate(model.sources)}
    periods = model.farm.periods()
    place = {(periods[p].label, model.farm.groups[g].name): k for k, (g, p) in enumerate(model.places)}
    for row in rows:
        k = place[row.period, row.group]
        tons[source[row.name], k] += row.lb_head_day * model.per_head[k]
    return tons


def lot_values(model: Model, tons: Floats, stock_prices: Floats) -> tuple[LotValue, ...]:
    found: list[LotValue] = []
    for s in np.flatnonzero(np.isfinite(model.stock)):
        source = model.sources[s]
        kept = float(model.stock[s] / source.tons) if source.tons else 0.0
        left = max(float(model.stock[s] - tons[s].sum()), 0.0)
        found.append(LotValue(source.name, _kind(source), left, float(stock_prices[s]) * kept))
    return tuple(found)


def _kind(source: Source) -> str:
    kinds = ((Lot, OWN), (HayForSale, BOUGHT), (Mineral, MINERAL))
    return next((kind for made, kind in kinds if isinstance(source, made)), FEED)


def _in_time(model: Model) -> list[int]:
    """The places, period by period."""
    return sorted(range(len(model.places)), key=lambda k: (model.places[k][1], model.places[k][0]))


def _balances(model: Model, tons: Floats, cost: Floats, prices: dict[str, Floats]) -> tuple[Balance, ...]:
    farm, periods = model.farm, model.farm.periods()
    supply = {name: (model.rows[name][0] * tons).sum(axis=0) / model.per_head for name in (TDN, CP, MOST, CALCIUM, PHOSPHORUS) if name in model.rows}  # fmt: skip
    hay = (model.rows[MOST][0] * tons)[: model.hays].sum(axis=0) / model.per_head
    found: list[Balance] = []
    for k in _in_time(model):
        g, p = model.places[k]
        group, period = farm.groups[g], periods[p]
        dm = float(supply[MOST][k])
        worth = [float(prices[name][k] / LB_PER_TON) if name in prices else 0.0 for name in (TDN, CP)]
        found.append(
            Balance(
                period.label, group.name, group.head, period.days, model.needs[k],
                dm, float(supply[TDN][k]), float(supply[CP][k]), float(hay[k]) / dm * 100 if dm > 0 else 0.0,
                float(cost[:, k].sum() / group.head / period.days), *worth,
                *(float(supply[n][k]) * GRAMS_PER_LB if n in supply else None for n in (CALCIUM, PHOSPHORUS)),
            )
        )  # fmt: skip
    return tuple(found)


def _stocks(model: Model, tons: Floats) -> tuple[Stock, ...]:
    """Lots and limited purchases by period; a source without end has no stock."""
    periods = model.farm.periods()
    found: list[Stock] = []
    left = model.stock.copy()
    for p, period in enumerate(periods):
        here = [k for k, place in enumerate(model.places) if place[1] == p]
        fed = tons[:, here].sum(axis=1)
        for s in np.flatnonzero(np.isfinite(model.stock)):
            after = float(left[s] - fed[s])
            found.append(Stock(period.label, model.sources[s].name, float(left[s]), float(fed[s]), after))
            left[s] = after
    return tuple(found)


def _purchases(model: Model, tons: Floats) -> tuple[Purchase, ...]:
    found: list[Purchase] = []
    for s, source in enumerate(model.sources):
        put_out = float(tons[s].sum())
        if isinstance(source, Lot) or put_out <= NOTHING:
            continue
        dollars = put_out * float(model.cost[s])
        loss = source.storage_loss_pct if isinstance(source, HayForSale) else 0.0
        found.append(Purchase(_kind(source), source.name, put_out / (1 - loss / 100), source.price_per_ton, dollars))
    return tuple(found)


GRAMS = tuple(LB_NAMES[name] for name in (CALCIUM, PHOSPHORUS, CA_P))


def _amount(what: str, lb: float) -> tuple[float, str]:
    return (lb * GRAMS_PER_LB, "g a head a day") if what in GRAMS else (lb, "lb a head a day")


def _failures(model: Model, tons: Floats) -> tuple[Failure, ...]:
    farm, periods = model.farm, model.farm.periods()
    found: list[Failure] = []
    off: dict[str, Floats] = {}
    for name, (coefficients, side) in model.rows.items():
        if name == NITRATE:
            continue
        surplus = ((coefficients * tons).sum(axis=0) - side) / model.per_head
        off[LB_NAMES[name]] = -surplus if name in AT_LEAST else surplus
    dm = model.rows[MOST][0] * tons
    asked = (model.rows[NITRATE][0] * tons).sum(axis=0) if NITRATE in model.rows else np.zeros(len(model.places))
    for s, pct in model.shares:
        over = np.where(pct < OPEN, dm[s] - pct / 100 * dm.sum(axis=0), 0)
        off[f"{model.sources[s].name} over its most share of the diet"] = over / model.per_head
    over = np.where(np.isfinite(model.caps), tons - model.caps, 0) / model.per_head
    over[: model.hays] = 0  # hay that may not be fed is said by its share
    for s in map(int, np.flatnonzero((over > MET).any(axis=1))):
        off[f"{model.sources[s].name} over its limit"] = over[s]
    for k in _in_time(model):
        g, p = model.places[k]
        for what, amounts in off.items():
            if amounts[k] > MET:
                found.append(Failure(periods[p].label, farm.groups[g].name, what, *_amount(what, float(amounts[k]))))
        if asked[k] > MET * model.per_head[k]:
            beyond = float(asked[k] / dm[:, k].sum() * 100)
            found.append(Failure(periods[p].label, farm.groups[g].name, TOGETHER, beyond, "% of it"))
    for s in map(int, np.flatnonzero(np.isfinite(model.stock))):
        gone = float(tons[s].sum() - model.stock[s])
        if gone > MET * (1 + model.stock[s]):
            found.append(Failure("", "", f"{model.sources[s].name} overdrawn", gone, "tons"))
    return tuple(found)
