"""Invented farms of any size, and the winter plan written down directly for scipy.

The direct model is in pounds a head and a day, row by row in plain loops, and shares no code
with the library's; only the needs (DAILY_NEED) are taken from it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
from scipy.optimize import linprog

from hayfuncs.winter import solve as w

START = dt.date(2025, 11, 10)


def random_farm(
    rng: np.random.Generator,
    lots: int,
    groups: int,
    months: int = 5,
    plenty: float = 0.8,
    limits: bool = False,
    nitrate: bool = False,
    sale: int = 1,
) -> w.Farm:
    """A farm whose hay on hand is about `plenty` of what its cattle eat; `limits` counts the diet's."""

    def u(lo: float, hi: float) -> float:
        return float(rng.uniform(lo, hi))

    herd = tuple(
        w.Group(
            f"group {i}", int(rng.integers(15, 120)), u(1000, 1500), u(5, 25),
            dt.date(2025, 9, 1) + dt.timedelta(days=int(rng.integers(0, 300))), u(8, 30), u(70, 95), u(4, 6),
        )
        for i in range(groups)
    )  # fmt: skip
    herd = tuple(replace(g, weaning_date=g.calving_date + dt.timedelta(days=190)) for g in herd)
    turnout = (START + dt.timedelta(days=30 * months)).replace(day=20)
    eaten = sum(g.head for g in herd) * (turnout - START).days * 26 / 2000 / 0.87 / 0.85
    share = rng.uniform(0.3, 1.7, lots)
    tons = share / share.sum() * eaten * plenty / 0.85
    hay = tuple(
        w.Lot(
            f"lot {i}", float(tons[i]), u(82, 92), u(46, 62), u(5, 16), u(5, 25), float(rng.choice([0, u(40, 120)])),
            u(50, 70), u(1.5, 3.5), u(0.1, 0.3),
        )
        for i in range(lots)
    )  # fmt: skip
    offers = tuple(
        w.HayForSale(f"offer {i}", u(90, 200), u(84, 90), u(50, 60), u(7, 12), u(0, 5), u(20, 200), u(55, 65), 2.0, 0.2)
        for i in range(sale)
    )
    feeds = (
        w.Feed("corn", u(150, 260), 88, 90, 9.8, max_pct_bw=0.25, ndf_pct=11, fat_pct=4.1, s_pct=0.11),
        w.Feed("soybean meal", u(330, 480), 89, 84, 49.9, max_lb=4, ndf_pct=15, fat_pct=1.6, s_pct=0.46),
        w.Feed("distillers grains", u(170, 290), 90, 89, 29.5, max_pct_diet=15, ndf_pct=46, fat_pct=10.3, s_pct=0.69),
        w.Feed(
            "cubes",
            u(240, 380),
            90,
            78,
            22,
            max_pct_bw=0.6,
            tons=u(5, 60),
            waste_pct=2,
            ndf_pct=30,
            fat_pct=3,
            s_pct=0.3,
        ),
        w.Feed("hulls", u(150, 260), 90, 77, 12.2, ndf_pct=66, fat_pct=2.1, s_pct=0.11),
    )
    farm = w.Farm(hay, offers, feeds, herd, START, turnout, 112, u(70, 95), u(50, 70), more_energy_pct={1: 8.0})
    if limits:
        farm = replace(farm, ndf_capacity_pct_bw=1.35, max_fat_pct=4.0, max_s_pct=0.32)
    if nitrate:
        shares = ((100.0, 100.0), (50.0, 100.0), (25.0, 50.0), (0.0, 35.0), (0.0, 0.0))
        picked = [shares[int(rng.integers(0, 5))] for _ in hay]
        held = tuple(
            replace(lot, max_pct_pregnant=a, max_pct_others=b) for lot, (a, b) in zip(hay, picked, strict=True)
        )
        a, b = shares[int(rng.integers(0, 5))]
        tested = tuple(replace(offer, max_pct_pregnant=a, max_pct_others=b) for offer in offers)
        barley = w.Feed(
            "barley", u(140, 240), 88, 84, 12, max_pct_bw=0.5, ndf_pct=18, fat_pct=2.1, s_pct=0.15, grain=True
        )
        corn = replace(feeds[0], grain=True, max_pct_bw=0.5)
        farm = replace(
            farm,
            lots=held,
            for_sale=tested,
            feeds=(corn, *feeds[1:], barley),
            calving_season_days=float(rng.choice([0, 20])),
            hay_is_mixed=True,
            min_intake_pct=float(rng.choice([95, 95, 85])),
        )
    return farm


def with_minerals(farm: w.Farm, seed: int) -> w.Farm:
    """The same farm with calcium and phosphorus in everything, poor hay and rich by-products among it."""
    rng = np.random.default_rng(seed)
    made = [
        tuple(replace(x, ca_pct=float(rng.uniform(*ca)), p_pct=float(rng.uniform(*p))) for x in things)
        for things, ca, p in ((farm.lots, (0.2, 0.6), (0.1, 0.3)), (farm.for_sale, (0.3, 0.5), (0.15, 0.25)), (farm.feeds, (0.03, 0.6), (0.2, 1.1)))
    ]  # fmt: skip
    minerals = (w.Mineral("limestone", 240, 38, 0), w.Mineral("dicalcium phosphate", 900, 22, 18.5))
    losses = iter(rng.uniform(5, 30, len(made[0]) + len(made[1])))
    lots, offers = (tuple(replace(x, feeding_loss_pct=float(next(losses))) for x in things) for things in made[:2])
    groups = tuple(
        replace(g, feeding_loss_pct=None if i % 2 else g.feeding_loss_pct, min_intake_pct=(None, 90.0, None)[i % 3], weaning_date=None if i % 2 else g.calving_date + dt.timedelta(days=150 + 40 * (i % 3)))
        for i, g in enumerate(farm.groups)
    )  # fmt: skip
    return replace(farm, lots=lots, for_sale=offers, feeds=made[2], groups=groups, minerals=minerals, min_ca_p=1.5)


def farm_of(seed: int, **more: object) -> w.Farm:
    """A random farm of small size: about one in four cannot be fed."""
    rng = np.random.default_rng(seed)
    sizes = {"lots": int(rng.integers(1, 12)), "groups": int(rng.integers(1, 6)), "months": int(rng.integers(1, 6))}
    settings = {"limits": seed % 2 == 1, "nitrate": seed % 3 == 1}
    wanted: dict[str, object] = {"plenty": float(rng.uniform(0.3, 1.4)), **settings, **sizes, **more}
    return random_farm(rng, **wanted)  # type: ignore[arg-type]  # options by name


BULLS = w.Group("bulls", 10, 1800, 20, need=w.Need(20, 10, 1.6))
HAY = w.Lot("meadow", 100, 80, 50, 8, 10, 54)
CORN = w.Feed("corn", 200, 100, 90, 8)
FARM = w.Farm((HAY,), (), (CORN,), (BULLS,), dt.date(2026, 1, 1), dt.date(2026, 1, 21), 100, 100, hay_is_mixed=True)


def most_share(farm: w.Farm, lot: w.Lot | w.HayForSale, group: w.Group, period: w.Period) -> float:
    """The lot's most share, by the days of the period one by one; all or nothing where hay is not mixed."""
    share = _scale_share(farm, lot, group, period)
    mixed = farm.hay_is_mixed and floor(farm, group) >= 95
    return share if mixed or share >= 100 else 0.0


def _scale_share(farm: w.Farm, lot: w.Lot | w.HayForSale, group: w.Group, period: w.Period) -> float:
    if group.calving_date is None:
        open_ones = group.in_calf is False or group.cattle_class in (
            "weaned calf",
            "weaned bull calf",
            "yearling steer",
            "bull",
            "replacement heifer",
        )
        return lot.max_pct_others if open_ones else lot.max_pct_pregnant
    for day in range(period.days):
        today = (period.first + dt.timedelta(days=day) - group.calving_date).days % 365
        last_calf, first_conceived = farm.calving_season_days / 2, 85 - farm.calving_season_days / 2
        if today == 0 or today <= last_calf or today > first_conceived:
            return lot.max_pct_pregnant
    return lot.max_pct_others


def lost_pct(source: Any, group: w.Group) -> float:
    """What is wasted of it, %: hay at the group's feeder, or at its own where the group names none."""
    if isinstance(source, (w.Feed, w.Mineral)):
        return source.waste_pct
    return source.feeding_loss_pct if group.feeding_loss_pct is None else group.feeding_loss_pct


def floor(farm: w.Farm, group: w.Group) -> float:
    return farm.min_intake_pct if group.min_intake_pct is None else group.min_intake_pct


def weight_of(farm: w.Farm, group: w.Group, period: w.Period) -> float:
    """What one weighs as a period begins: cattle that only grow put on their gain, in whole pounds, until grown."""
    cow_or_heifer = group.cattle_class in ("cow", "second-calf cow", "first-calf cow", "bred heifer")
    if cow_or_heifer or group.gain_lb is None or group.grown_weight_lb is None:
        return group.body_weight_lb
    fed = (period.first - farm.start).days
    return max(group.body_weight_lb, min(group.grown_weight_lb, group.body_weight_lb + int(group.gain_lb * fed)))


def direct(farm: w.Farm) -> Any:
    """The cheapest plan by scipy alone.  The result's `fun` is the winter's cost."""
    needs = w.needs_of(farm)
    periods = farm.periods()
    hay = [*farm.lots, *farm.for_sale]
    sources = [*hay, *farm.feeds, *farm.minerals]
    variables = [(s, g, p) for s in range(len(sources)) for g in range(len(farm.groups)) for p in range(len(periods))]
    column = {v: i for i, v in enumerate(variables)}
    a: list[dict[int, float]] = []
    b: list[float] = []

    def at_most(terms: dict[int, float], side: float) -> None:
        a.append(terms)
        b.append(side)

    def swallowed(s: int, g: int) -> float:
        """Pounds of dry matter eaten of a pound put out; of a mineral none."""
        return sources[s].dm_pct / 100 * (1 - lost_pct(sources[s], farm.groups[g]) / 100)

    def mineral(s: int, g: int, name: str) -> float:
        """Pounds of calcium or phosphorus of a pound put out."""
        source = sources[s]
        whole = 1.0 if isinstance(source, w.Mineral) else swallowed(s, g)
        return whole * (getattr(source, name) or 0) / 100

    cost = np.zeros(len(variables))
    bounds: list[tuple[float, float | None]] = []
    for (s, g, p), i in column.items():
        source, group = sources[s], farm.groups[g]
        price = source.value_per_ton if isinstance(source, w.Lot) else source.price_per_ton
        kept = 1 - getattr(source, "storage_loss_pct", 0) / 100
        cost[i] = price / kept * group.head * periods[p].days / 2000
        most = None
        if isinstance(source, w.Feed):
            limit = min(
                source.max_lb,
                source.max_pct_bw / 100 * weight_of(farm, group, periods[p]) if source.max_pct_bw < 100 else np.inf,
            )
            most = None if np.isinf(limit) else limit
            most = 0 if source.grain and floor(farm, group) < 95 else most
        if isinstance(source, w.Mineral):
            most = source.max_lb
        bounds.append((0, most))
    for g, group in enumerate(farm.groups):
        for p in range(len(periods)):
            need = needs[g][p]
            here = {s: column[s, g, p] for s in range(len(sources))}
            dm = {s: swallowed(s, g) for s in here}
            at_most({here[s]: -dm[s] * sources[s].tdn_pct / 100 for s in here}, -need.tdn_lb)
            at_most({here[s]: -dm[s] * sources[s].cp_pct / 100 for s in here}, -need.cp_lb)
            at_most({here[s]: dm[s] for s in here}, need.dm_lb * farm.max_intake_pct / 100)
            at_most({here[s]: -dm[s] for s in here}, -need.dm_lb * floor(farm, group) / 100)
            if farm.min_ca_p is not None:
                ca, phos = ({s: mineral(s, g, name) for s in here} for name in ("ca_pct", "p_pct"))
                at_most({here[s]: -ca[s] for s in here}, -need.ca_g / 453.59237)
                at_most({here[s]: -phos[s] for s in here}, -need.p_g / 453.59237)
                at_most({here[s]: farm.min_ca_p * phos[s] - ca[s] for s in here}, 0)
            least = farm.min_hay_pct / 100
            at_most({here[s]: dm[s] * (least - 1 if s < len(hay) else least) for s in here}, 0)
            if farm.ndf_capacity_pct_bw is not None:
                ndf = {here[s]: dm[s] * (sources[s].ndf_pct or 0) / 100 for s in here}
                at_most(ndf, farm.ndf_capacity_pct_bw / 100 * weight_of(farm, group, periods[p]))
            if farm.max_fat_pct < 100:
                at_most({here[s]: dm[s] * ((sources[s].fat_pct or 0) - farm.max_fat_pct) for s in here}, 0)
            if farm.max_s_pct < 100:
                at_most({here[s]: dm[s] * ((sources[s].s_pct or 0) - farm.max_s_pct) for s in here}, 0)
            for s, source in enumerate(sources):
                if isinstance(source, w.Feed) and source.max_pct_diet < 100:
                    at_most({here[t]: dm[t] * ((100 if t == s else 0) - source.max_pct_diet) for t in here}, 0)
            shares = {s: most_share(farm, source, group, periods[p]) for s, source in enumerate(hay)}
            for s, most in shares.items():
                at_most({here[t]: dm[t] * ((100 if t == s else 0) - most) for t in here}, 0)
            held = {s: dm[s] * 100 / most for s, most in shares.items() if 0 < most < 100}
            at_most({here[s]: held.get(s, 0.0) - dm[s] for s in here}, 0)
            grains = [s for s, source in enumerate(sources) if isinstance(source, w.Feed) and source.grain]
            at_most({here[s]: 1.0 for s in grains}, farm.max_grain_pct_bw / 100 * weight_of(farm, group, periods[p]))
    for s, source in enumerate(sources):
        if np.isfinite(source.tons):
            kept = 1 - getattr(source, "storage_loss_pct", 0) / 100
            used = {
                column[s, g, p]: group.head * periods[p].days / 2000
                for g, group in enumerate(farm.groups)
                for p in range(len(periods))
            }
            at_most(used, source.tons * kept)
    matrix = np.zeros((len(a), len(variables)))
    for r, terms in enumerate(a):
        for i, value in terms.items():
            matrix[r, i] = value
    return linprog(cost, A_ub=matrix, b_ub=b, bounds=bounds, method="highs")


def faults(farm: w.Farm, plan: w.WinterPlan) -> list[str]:
    """What a plan's rows break, worked from the rows alone in plain arithmetic."""
    needs = w.needs_of(farm)
    periods = farm.periods()
    sources = {s.name: s for s in (*farm.lots, *farm.for_sale, *farm.feeds, *farm.minerals)}
    found: list[str] = []
    used = dict.fromkeys(sources, 0.0)
    for g, group in enumerate(farm.groups):
        for p, period in enumerate(periods):
            rows = [r for r in plan.rows if r.group == group.name and r.period == period.label]
            dm = tdn = cp = hay = ndf = fat = sulfur = ca = phos = 0.0
            eaten: dict[str, float] = {}
            for r in rows:
                source = sources[r.name]
                is_feed = isinstance(source, w.Feed)
                if isinstance(source, w.Mineral):
                    ca += r.lb_head_day * source.ca_pct / 100
                    phos += r.lb_head_day * source.p_pct / 100
                    if r.lb_head_day > source.max_lb + 1e-4:
                        found.append(f"{r.name} over its limit")
                    continue
                lost = lost_pct(source, group)
                one = r.lb_head_day * source.dm_pct / 100 * (1 - lost / 100)
                eaten[r.name] = one
                dm += one
                tdn += one * source.tdn_pct / 100
                cp += one * source.cp_pct / 100
                hay += 0 if is_feed else one
                ndf += one * (source.ndf_pct or 0) / 100
                fat += one * (source.fat_pct or 0)
                sulfur += one * (source.s_pct or 0)
                ca += one * (source.ca_pct or 0) / 100
                phos += one * (source.p_pct or 0) / 100
                used[r.name] += r.lb_head_day * group.head * period.days / 2000
                if (
                    is_feed
                    and r.lb_head_day
                    > min(source.max_lb, source.max_pct_bw / 100 * weight_of(farm, group, period)) + 1e-4
                ):
                    found.append(f"{r.name} over its limit")
            need = needs[g][p]
            tests = {
                "tdn": tdn - need.tdn_lb,
                "cp": cp - need.cp_lb,
                "most": need.dm_lb * farm.max_intake_pct / 100 - dm,
                "least": dm - need.dm_lb * floor(farm, group) / 100,
                "hay": hay - dm * farm.min_hay_pct / 100,
                "ndf": (farm.ndf_capacity_pct_bw or 100) / 100 * weight_of(farm, group, period) - ndf,
                "fat": dm * farm.max_fat_pct - fat,
                "sulfur": dm * farm.max_s_pct - sulfur,
            }
            if farm.min_ca_p is not None:
                tests |= {"calcium": 453.59237 * ca - need.ca_g, "phosphorus": 453.59237 * phos - need.p_g}
                tests["Ca:P"] = ca - farm.min_ca_p * phos
            for f in farm.feeds:
                tests[f"share of {f.name}"] = dm * f.max_pct_diet / 100 - eaten.get(f.name, 0)
            tests["nitrate together"] = dm
            for lot in (*farm.lots, *farm.for_sale):
                most = most_share(farm, lot, group, period)
                tests[f"share of {lot.name}"] = dm * most / 100 - eaten.get(lot.name, 0)
                if 0 < most < 100:
                    tests["nitrate together"] -= eaten.get(lot.name, 0) * 100 / most
            grain = sum(r.lb_head_day for r in rows if getattr(sources[r.name], "grain", False))
            if floor(farm, group) < 95 and grain > 1e-4:
                found.append(f"{group.name} {period.label} grain to limit-fed cattle")
            tests["grain"] = farm.max_grain_pct_bw / 100 * weight_of(farm, group, period) - grain
            found += [f"{group.name} {period.label} {what} {by:.4g}" for what, by in tests.items() if by < -1e-3]
    for name, tons in used.items():
        source = sources[name]
        kept = 1 - getattr(source, "storage_loss_pct", 0) / 100
        if tons > source.tons * kept * (1 + 1e-6) + 1e-4:
            found.append(f"{name} overdrawn by {tons - source.tons * kept:.4g} tons")
    return found
