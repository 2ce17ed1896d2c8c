"""A row of Winter feeds as the winter plan knows it: a lot, hay for sale, a feed or a mineral."""

from __future__ import annotations

from typing import Any

from hayfuncs.winter import solve as winter
from hayfuncs.workbook.sheets.winterfeeds import OPEN_LB


def content(s: dict[str, Any]) -> dict[str, Any]:
    return {f"{k}_pct": float(s[k]) for k in ("dm", "tdn", "cp", "ndf", "fat", "s", "ca", "p")}


def tons(s: dict[str, Any]) -> float:
    return float(s["tons"]) if isinstance(s["tons"], (int, float)) else float("inf")


def lot(s: dict[str, Any]) -> winter.Lot:
    return winter.Lot(
        str(s["name"]),
        tons(s),
        storage_loss_pct=float(s["loss"]),
        feeding_loss_pct=float(s["wasted"]),
        value_per_ton=float(s["counts"]),
        max_pct_pregnant=float(s["most_calf"]),
        max_pct_others=float(s["most_open"]),
        **content(s),
    )


def offer(s: dict[str, Any]) -> winter.HayForSale:
    return winter.HayForSale(
        str(s["name"]),
        float(s["price"]),
        storage_loss_pct=float(s["loss"]),
        feeding_loss_pct=float(s["wasted"]),
        tons=tons(s),
        max_pct_pregnant=float(s["most_calf"]),
        max_pct_others=float(s["most_open"]),
        **content(s),
    )


def mineral(s: dict[str, Any]) -> winter.Mineral:
    return winter.Mineral(
        str(s["name"]), float(s["price"]), float(s["ca"]), float(s["p"]), float(s["most_lb"]), tons(s)
    )


def feed(s: dict[str, Any]) -> winter.Feed:
    most = float("inf") if s["most_lb"] == OPEN_LB else float(s["most_lb"])
    return winter.Feed(
        str(s["name"]),
        float(s["price"]),
        max_lb=most,
        max_pct_bw=float(s["most_bw"]),
        max_pct_diet=float(s["most_diet"]),
        tons=tons(s),
        grain=bool(s["grain"]),
        **content(s),
    )
