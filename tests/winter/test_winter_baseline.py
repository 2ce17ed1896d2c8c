"""The plain rule's choice among feeds: the one that covers what is short at the least cost, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from winterlib import BULLS, FARM, HAY

from hayfuncs.winter import solve as w

# 20 lb of hay at 50 % are 10 lb of TDN; 11.5 are needed and 22 lb may be eaten
NEED = replace(BULLS, need=w.Need(20, 11.5, 1.6))
OPEN = replace(FARM, groups=(NEED,), max_intake_pct=120)


def feed(name: str, price: float, tdn: float) -> w.Feed:
    return w.Feed(name, price, 100, tdn, 10)


@pytest.mark.parametrize(
    ("feeds", "chosen", "lb"),
    [
        # 1.5 / 0.5 = 3 lb at $100 are $0.150, 1.5 / 0.9 = 1.67 lb at $200 are $0.167: the cheaper one is the larger amount
        ((feed("rich", 200, 90), feed("poor", 100, 50)), "poor", 3.0),
        # 1.67 lb at $150 are $0.125: the cheaper one is the dearer by the ton, and the smaller amount
        ((feed("poor", 100, 50), feed("rich", 150, 90)), "rich", 1.5 / 0.9),
        ((feed("rich", 150, 90), feed("poor", 100, 50)), "rich", 1.5 / 0.9),
        # cheapest by the ton, but 1.5 / 0.45 = 3.33 lb at $91 are $0.152
        ((feed("cheap", 91, 45), feed("poor", 99, 50)), "poor", 3.0),
    ],
)
def test_the_one_feed_that_does_it_cheapest(feeds: tuple[w.Feed, ...], chosen: str, lb: float) -> None:
    fed = {r.name: r.lb_head_day for r in w.plain_plan(replace(OPEN, feeds=feeds)).rows if r.kind == "feed"}
    assert fed == {chosen: pytest.approx(lb, rel=1e-6)}


def test_a_cheaper_feed_that_displaces_hay_is_not_cheaper_for_it() -> None:
    """Room for 1 lb beside 20 lb of hay: 3 lb of the poor feed push out 2 lb of hay at 50 %, which gives nothing."""
    tight = replace(OPEN, max_intake_pct=105, feeds=(feed("poor", 1, 50.001), feed("rich", 150, 90)))
    (row,) = [r for r in w.plain_plan(tight).rows if r.kind == "feed"]
    assert row.name == "rich"
    hay = next(r for r in w.plain_plan(tight).rows if r.name == HAY.name)
    assert hay.lb_head_day * 0.64 == pytest.approx(21 - row.lb_head_day)
