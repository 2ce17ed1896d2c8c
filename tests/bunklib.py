"""The bunk, simulated: the easy plan is carried out day by day, with whole bales, and what each group eats is kept.

Nothing of the library's model is used: the turns' bales, pounds and dates, the farm's contents and losses.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import replace

import numpy as np
import winterlib

import hayfuncs
from hayfuncs.winter import solve as w
from hayfuncs.winter.feeding import EasyPlan, Turn

FORAGES = ("grass", "legume", "mixed")


def baled_farm(seed: int, lots: int, groups: int, months: int = 5, endless: bool = True, **more) -> w.Farm:
    """An invented farm whose hay lies in bales; `endless`: one kind of hay can always be bought."""
    farm = winterlib.random_farm(np.random.default_rng(seed), lots, groups, months, sale=2, **more)
    rng = np.random.default_rng(seed + 10_000)
    own = tuple(
        replace(lot, bale_lb=float(rng.uniform(700, 1400)), forage=str(rng.choice(FORAGES)), outdoors=bool(rng.random() < 0.4))
        for lot in farm.lots
    )  # fmt: skip
    offers = tuple(replace(offer, bale_lb=1000.0) for offer in farm.for_sale)
    if endless:
        first = replace(
            offers[0],
            tons=float("inf"),
            tdn_pct=57.0,
            cp_pct=10.5,
            ndf_pct=58.0,
            max_pct_pregnant=100.0,
            max_pct_others=100.0,
        )
        offers = (first, *offers[1:])
    return replace(farm, lots=own, for_sale=offers)


def carried_out(farm: w.Farm, plan: EasyPlan) -> dict:
    """By group: what was eaten each day (DM, TDN, CP, lb a head); by source: tons taken; days without feed."""
    sources = {s.name: s for s in (*farm.lots, *farm.for_sale, *farm.feeds, *farm.minerals)}
    groups = {g.name: g for g in farm.groups}
    days = (farm.turnout - farm.start).days
    eaten = {g: np.zeros((days, 3)) for g in groups}
    taken: dict[str, float] = defaultdict(float)

    def eats(group: str, name: str, at: int, lb: float) -> None:
        source = sources[name]
        lost = 0.0
        if isinstance(source, (w.Lot, w.HayForSale)):
            loss = groups[group].feeding_loss_pct
            lost = source.feeding_loss_pct if loss is None else loss
        elif isinstance(source, w.Feed):
            lost = source.waste_pct
        dry = lb * (1 - lost / 100) * source.dm_pct / 100
        eaten[group][at] += dry, dry * source.tdn_pct / 100, dry * source.cp_pct / 100

    for turn in plan.turns:
        at = (turn.first - farm.start).days
        for day in range(turn.days):
            for hay in turn.hays:
                if hay.bales and day % turn.every == 0:
                    source = sources[hay.name]
                    bale = source.bale_lb * (1 - source.storage_loss_pct / 100)
                    taken[hay.name] += hay.bales * bale / 2000
                    lasts = min(turn.every, days - at - day)
                    for later in range(lasts):  # she eats evenly of what lies in the ring until the next feeding
                        eats(turn.group, hay.name, at + day + later, hay.bales * bale / turn.head / turn.every)
                elif not hay.bales:
                    taken[hay.name] += hay.put_out_lb * turn.head / 2000
                    eats(turn.group, hay.name, at + day, hay.put_out_lb)
            for fed in (*turn.feeds, *turn.minerals):
                taken[fed.name] += fed.put_out_lb * turn.head / 2000
                if fed in turn.feeds:
                    eats(turn.group, fed.name, at + day, fed.put_out_lb)
    return {"eaten": eaten, "taken": dict(taken)}


def faults(farm: w.Farm, plan: EasyPlan, window: int = 14, room: float = 0.02) -> list[str]:
    """What a person would find fault with who carried the plan out."""
    done = carried_out(farm, plan)
    found: list[str] = []
    periods = farm.periods()
    needs = w.needs_of(farm)
    for g, group in enumerate(farm.groups):
        asked = np.array(
            [[needs[g][p].tdn_lb, needs[g][p].cp_lb] for p, period in enumerate(periods) for _ in range(period.days)]
        )
        usual = np.array([needs[g][p].dm_lb for p, period in enumerate(periods) for _ in range(period.days)])
        eaten = done["eaten"][group.name]
        if (eaten[:, 0] <= 0).any():
            found.append(f"{group.name}: {int((eaten[:, 0] <= 0).sum())} days without feed")
        span = min(window, len(eaten))
        for at in range(len(eaten) - span + 1):
            had, wanted = eaten[at : at + span, 1:].sum(axis=0), asked[at : at + span].sum(axis=0)
            for name, h, n in zip(("TDN", "CP"), had, wanted, strict=True):
                if h < n * (1 - room):
                    found.append(
                        f"{group.name}, {farm.start + dt.timedelta(days=at)}: {name} {100 * (1 - h / n):.1f} % short"
                    )
            if eaten[at : at + span, 0].sum() > usual[at : at + span].sum() * (farm.max_intake_pct / 100 + room):
                found.append(f"{group.name}, {farm.start + dt.timedelta(days=at)}: more than she can eat")
    found += [text for turn in plan.turns for text in danger_of(farm, turn)]
    for source in (*farm.lots, *farm.for_sale):
        there = source.tons * (1 - source.storage_loss_pct / 100)
        if done["taken"].get(source.name, 0.0) > there * (1 + 1e-6) + 1e-6:
            found.append(f"{source.name}: {done['taken'][source.name]:.2f} tons taken of {there:.2f}")
    return found


def danger_of(farm: w.Farm, turn: Turn) -> list[str]:
    """What the library's own cautions call a danger in a ration as it is fed, not in the mean of its month."""
    sources = {s.name: s for s in (*farm.lots, *farm.for_sale, *farm.feeds)}
    group = next(g for g in farm.groups if g.name == turn.group)
    weight = winterlib.weight_of(farm, group, next(p for p in farm.periods() if p.label == turn.period))
    parts = [
        (sources[x.name], x.put_out_lb, x.eaten_lb * sources[x.name].dm_pct / 100) for x in (*turn.hays, *turn.feeds)
    ]
    dry = sum(dm for *_, dm in parts)
    said = [hayfuncs.grain_caution(sum(lb for s, lb, _ in parts if getattr(s, "grain", False)), weight)]
    hay = sum(dm for s, _, dm in parts if not isinstance(s, w.Feed)) / dry
    for name, caution in (("s_pct", hayfuncs.sulfur_caution), ("fat_pct", hayfuncs.fat_caution)):
        if all(getattr(s, name) is not None for s, *_ in parts):
            content = sum(dm * getattr(s, name) for s, _, dm in parts) / dry
            said.append(caution(content, "high forage" if hay >= 0.5 else "high concentrate"))
    return [f"{turn.group}, {turn.first}: {text}" for text in map(str, said) if text.startswith("Danger")]
