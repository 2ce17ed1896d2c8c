"""The easy plan in sentences that a neighbor could follow, and as plain data for other programs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from typing import Any

from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.winter.cautions import dangers
from hayfuncs.winter.feeding import EasyPlan, Given, Turn
from hayfuncs.winter.problem import MONTHS

DAYS_A_WEEK, TIMES_A_WEEK = 7, 3
OUNCES = 16
SMALL_LB = 0.995  # less of a mineral is told in ounces


def day(date: dt.date) -> str:
    return f"{MONTHS[date.month - 1]} {date.day}"


def number(value: float) -> str:
    """Quarter pounds as they are, without zeros behind."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def how_often(days: int) -> str:
    return "a day" if days == 1 else f"every {days} days"


def sentence(turn: Turn) -> str:
    """1 bale of Heron Flat 1 every 2 days, 4 lb of gluten feed a head."""
    said: list[str] = []
    baled = [h for h in turn.hays if h.bales]
    if baled:
        bales = [f"{h.bales} {'bale' if h.bales == 1 else 'bales'} of {h.name}" for h in baled]
        said.append(f"{' and '.join(bales)} {how_often(turn.every)}")
    said += [_weighed(h, turn) for h in turn.hays if not h.bales]
    said += [_fed(f) for f in turn.feeds]
    said += [_mineral(m) for m in turn.minerals]
    return ", ".join(said) if said else "nothing"


def _weighed(hay: Given, turn: Turn) -> str:
    return f"{number(hay.put_out_lb)} lb of {hay.name} a head a day ({hay.put_out_lb * turn.head:,.0f} lb, weighed out)"


def _fed(feed: Given) -> str:
    at_once = feed.put_out_lb * DAYS_A_WEEK / TIMES_A_WEEK
    thrice = f" (or {at_once:.1f} lb three days a week)" if feed.thrice_a_week else ""
    return f"{number(feed.put_out_lb)} lb of {feed.name} a head{thrice}"


def _mineral(mineral: Given) -> str:
    if mineral.put_out_lb < SMALL_LB:
        return f"{mineral.put_out_lb * OUNCES:.1f} oz of {mineral.name} a head"
    return f"{mineral.put_out_lb:.2f} lb of {mineral.name} a head"


def same(one: Turn, other: Turn) -> bool:
    return (one.every, one.hays, one.feeds) == (other.every, other.hays, other.feeds)


def lines(plan: EasyPlan) -> Iterator[str]:
    """Group by group, from when to when; turns that say the same are one line."""
    for group in plan.farm.groups:
        yield f"{group.name}, {group.head:g} head"
        mine = [t for t in plan.turns if t.group == group.name]
        at = 0
        while at < len(mine):
            to = at
            while to + 1 < len(mine) and same(mine[at], mine[to + 1]) and mine[at].pinned == mine[to + 1].pinned:
                to += 1
            last = mine[to].first + dt.timedelta(days=mine[to].days - 1)
            pinned = " (pinned)" if mine[at].pinned else ""
            yield f"  {day(mine[at].first):>6} to {day(last):<6}  {sentence(mine[at])}{pinned}"
            at = to + 1


def cost_words(plan: EasyPlan) -> str:
    """The cost beside what no plan can go below, and the price of ease."""
    cost = plan.plan.cost
    if math.isnan(plan.bound):  # a plan that leaves needs short has no bound
        return f"${cost:,.0f}, with what is short told below."
    keeps = " with these pins" if any(not p.why for p in plan.pins) else ""
    said = f"${cost:,.0f}; no plan of any kind{keeps} costs less than ${plan.bound:,.0f}."
    if plan.price_of_ease >= 1:
        said += f" Whole bales, few hays and few feeds cost ${plan.price_of_ease:,.0f} of it."
    return said if plan.ended else f"{said} Time was up or it was stopped: this is the best plan so far."


def weighed_words(plan: EasyPlan) -> list[str]:
    """Groups for which whole bales do not come out."""
    found = dict.fromkeys(t.group for t in plan.turns if t.hays and not t.pinned and any(not h.bales for h in t.hays))
    return [
        f"{name}: too few head to clean up whole bales in time, or hay that is not in bales: it is weighed out for some of the winter."
        for name in found
    ]


def data(plan: EasyPlan) -> dict[str, Any]:
    """The plan for other programs; pounds a head and a day, tons as fed."""
    balances = {(b.period, b.group): b for b in plan.plan.balances}
    return {
        "turns": [_turn_data(turn, balances[turn.period, turn.group]) for turn in plan.turns],
        "stacks": [
            {"period": s.period, "name": s.name, "tons_start": s.start, "tons_fed": s.fed, "tons_end": s.left}
            for s in plan.plan.stocks
        ],
        "purchases": [
            {"name": p.name, "kind": p.kind, "tons": p.tons, "price_per_ton": p.price_per_ton, "dollars": p.dollars}
            for p in plan.plan.purchases
        ],
        "cost": plan.plan.cost,
        "cash": plan.plan.budget.cash,
        "bound": None if math.isnan(plan.bound) else plan.bound,
        "cheapest": plan.cheapest,
        "price_of_ease": plan.price_of_ease,
        "ended": plan.ended,
        "pins": [{"group": p.pin.group, "period": p.pin.period, "name": p.pin.name, "lb": p.pin.lb, "kept": not p.why, "why": p.why, "dollars": None if p.why else p.dollars} for p in plan.pins],
        "worth": [{"name": v.name, "kind": v.kind, "tons_left": v.tons_left, "dollars_a_ton_more": v.saves_per_ton} for v in plan.plan.lot_values],
        "short": [f.words() for f in plan.plan.failures],
        "dangers": [{"period": d.period, "group": d.group, "about": d.about, "text": d.text} for d in dangers(plan.farm, plan.plan)],
    }  # fmt: skip


def _turn_data(turn: Turn, balance: Any) -> dict[str, Any]:
    def parts(given: tuple[Given, ...], hay: bool = False) -> list[dict[str, Any]]:
        return [
            {"name": g.name, "lb_put_out": g.put_out_lb, "lb_eaten": g.eaten_lb, **({"bales": g.bales or None} if hay else {})}
            for g in given
        ]  # fmt: skip

    last = turn.first + dt.timedelta(days=turn.days - 1)
    return {
        "period": turn.period, "group": turn.group, "first": turn.first.isoformat(), "last": last.isoformat(),
        "days": turn.days, "head": turn.head, "days_between_feedings": turn.every,
        "hays": parts(turn.hays, True), "feeds": parts(turn.feeds), "minerals": parts(turn.minerals),
        "tdn_lb_given": balance.tdn_lb, "tdn_lb_needed": balance.need.tdn_lb,
        "cp_lb_given": balance.cp_lb, "cp_lb_needed": balance.need.cp_lb,
        "pinned": turn.pinned, "sentence": sentence(turn), "tons_hay": sum(h.put_out_lb for h in turn.hays) * turn.head * turn.days / LB_PER_TON,
    }  # fmt: skip
