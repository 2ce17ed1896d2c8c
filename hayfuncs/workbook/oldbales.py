"""The plan in whole bales that an older workbook holds, as pounds put out in the mean of each month."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from hayfuncs.winter.bales import bale_put_out_lb
from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.winter.problem import Farm, HayForSale, Lot
from hayfuncs.workbook.oldfile import Old

BALES_KEY = "Plan/#/bales_1"  # in the list of inputs of such a workbook


def rows(old: Old, farm: Farm) -> list[PlanRow]:
    """By the bale weights, losses and heads of `farm`: those of the old workbook are not known any more."""
    heads = {group.name: group.head for group in farm.groups}
    hays: tuple[Lot | HayForSale, ...] = (*farm.lots, *farm.for_sale)
    bales = {hay.name: bale_put_out_lb(hay) for hay in hays}
    lines = [i for i in range(1, old.rows.get("Plan", 0) + 1) if _number(old, i, "days") > 0]
    feedings: dict[tuple[str, str], int] = defaultdict(int)
    for i in lines:
        feedings[_place(old, i)] += _feedings(old, i)
    found: dict[tuple[str, str, str], float] = defaultdict(float)
    for i in lines:
        month, group = _place(old, i)
        share = _feedings(old, i) / feedings[month, group]
        for name, lb in _parts(old, i, heads.get(group, 0.0), bales):
            found[month, group, name] += share * lb
    return [PlanRow(*place[:2], "", place[2], lb, 0.0, 0.0) for place, lb in found.items() if lb > 0]


def _parts(old: Old, i: int, head: float, bales: dict[str, float | None]) -> Iterator[tuple[str, float]]:
    for n in (1, 2):
        hay, feed = (str(old.get(f"Plan/{i}/{kind}_{n}") or "") for kind in ("hay", "feed"))
        number, weighed = _number(old, i, f"bales_{n}"), _number(old, i, f"weighed_{n}")
        if hay and number and head:
            yield hay, number * (bales.get(hay) or 0.0) / (head * max(_number(old, i, "every"), 1))
        elif hay:
            yield hay, weighed
        if feed:
            yield feed, _number(old, i, f"lb_{n}")


def _place(old: Old, i: int) -> tuple[str, str]:
    return str(old.get(f"Plan/{i}/month") or ""), str(old.get(f"Plan/{i}/group") or "")


def _feedings(old: Old, i: int) -> int:
    return math.ceil(_number(old, i, "days") / max(_number(old, i, "every"), 1))


def _number(old: Old, i: int, key: str) -> float:
    value = old.get(f"Plan/{i}/{key}")
    return float(value) if isinstance(value, (int, float)) else 0.0
