"""Supplement: how much of which feed closes the gap between the hay and the cow.

Two ways of asking, and on the same hay they answer differently.  `pounds`: the need is lb a
day, the hay is eaten to appetite (less what the supplement displaces), and the supplement
brings the missing pounds.  `share`: the need is a % of the whole diet's dry matter, and
supplement is added to hay eaten to appetite until the mixture holds that share, so it must
also carry every pound of hay and of itself up to the target.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, worksheet

TOPIC = "Supplement"
MOST_LB = 1e5  # lb a day: a herd of thousands; beyond it a unit is wrong
MOST_IN_FEED = 300.0  # % of DM: pure urea, 46.7 % nitrogen, is 292 % protein (Missouri G2071)
MOST_DISPLACED = 3.0  # lb of hay for each lb of supplement; published figures reach 1.9
DISPLACED_FIT = (0.0, 1.9)  # eXtension: 1 lb of corn replaces 1.5 lb of good to 1.9 lb of poor hay

NeedLb = Annotated[Number, Arg("What the animal needs of the nutrient", "lb/day", lo=0, hi=MOST_LB, above=True)]
HayLb = Annotated[Number, Arg("Hay eaten, dry matter", "lb DM/day", lo=0, hi=MOST_LB, above=True)]
HayPct = Annotated[Number, Arg("The nutrient in the hay", "% DM", lo=0, hi=100, above=True)]
FeedPct = Annotated[Number, Arg("The nutrient in the supplement", "% DM", lo=0, hi=MOST_IN_FEED)]
Displaced = Annotated[
    Number,
    Arg("Hay left uneaten for each lb of supplement", "lb DM/lb DM", lo=0, hi=MOST_DISPLACED, fit=DISPLACED_FIT),
]


@worksheet(
    "NUTRIENT_SHORT",
    TOPIC,
    "Pounds a day of a nutrient that the hay leaves missing; 0 when the hay covers the need.",
    equation="short = need - hay DM x hay % / 100, not below 0",
    refs=(Ref("alabama-column-2007", "12 lb TDN and 3 lb CP against 10 lb of hay: short 7.2 and 2.1 lb"),),
    longhand="MAX(0,{need_lb}-{hay_dm_lb}*{hay_pct}/100)",
)
def nutrient_short(
    need_lb: NeedLb, hay_dm_lb: HayLb, hay_pct: HayPct
) -> Annotated[Number, Result("Short", "lb/day", 0, MOST_LB)]:
    """Pounds of a nutrient that the hay leaves missing.

    The first question of a ration: which nutrient is short, and by how much.

    3 lb of protein needed, 10 lb of hay at 9 %:

    >>> nutrient_short(3, 10, 9)  # lb
    2.1
    """
    return np.maximum(0, need_lb - hay_dm_lb * hay_pct / 100)


# A gap and what a lb of supplement brings towards it: lb and lb/lb with pounds; with share both
# are 100 times that, which cancels in `cover`.


def shortage(basis: str, need: Number, hay_lb: Number, hay: Number) -> Number:
    """What the hay leaves short; 0 or below where it covers the need."""
    return need - hay_lb * hay / 100 if basis == "pounds" else hay_lb * (need - hay)


def net_gain(basis: str, need: Number, hay: Number, feed: Number, displaced: Number) -> Number:
    """What a lb of supplement brings, less the hay it displaces or the share it must itself hold."""
    return (feed - displaced * hay) / 100 if basis == "pounds" else feed - need


def cover(short: Number, gain: Number) -> Number:
    """lb of supplement dry matter that closes a gap; 0 where there is none, whatever the gain."""
    if np.ndim(short) == 0:
        return short / gain if short > 0 else 0.0
    needed: Number = np.where(short > 0, short / gain, 0)
    return needed


def reaches(basis: str, need: Number, hay_lb: Number, hay: Number, feed: Number, displaced: Number) -> Any:
    """Is there no gap, or does each lb of supplement bring something towards it?"""
    gain = net_gain(basis, need, hay, feed, displaced)
    return np.all(gain > 0) or (shortage(basis, need, hay_lb, hay) <= 0) | (gain > 0)


def hay_suffices(need: Number, hay_lb: Number, hay: Number, feed: Number, displaced: Number) -> Any:
    """Is no more hay displaced than is eaten?  Supplement in place of all the hay must meet the need."""
    return np.all(displaced == 0) or (need <= hay_lb * hay / 100) | (need * displaced <= hay_lb * feed / 100)


@worksheet(
    "SUPPLEMENT_FOR_POUNDS",
    TOPIC,
    "Supplement that brings the missing pounds of a nutrient, with hay eaten to appetite less what it displaces.",
    equation="S = (need - H x h / 100) / ((s - g x h) / 100); 0 when the need is met",
    refs=(
        Ref("alabama-column-2007", "2.1 lb of protein from corn at 7.5 %: 28 lb"),
        Ref("extension-grain", "1 lb of corn replaces 1.5 to 1.9 lb of hay"),
    ),
    longhand=Longhand(
        "IF({short_lb}>0,100*{short_lb}/{gain_pct},0)",
        (
            Step("short_lb", "{need_lb}-{hay_dm_lb}*{hay_pct}/100", "Need less what the hay brings", "lb/day"),
            Step("gain_pct", "{feed_pct}-{hay_displaced}*{hay_pct}", "Supplement less the hay it displaces", "% DM"),
        ),
    ),
    rules=(
        Rule(
            lambda *given: reaches("pounds", *given),
            "OR({need_lb}<={hay_dm_lb}*{hay_pct}/100,{feed_pct}>{hay_displaced}*{hay_pct})",
            "feed_pct",
            "more than hay_displaced x hay_pct, or displacement eats the gain",
            "take a richer supplement, or one that displaces less hay",
        ),
        Rule(
            hay_suffices,
            "OR({need_lb}<={hay_dm_lb}*{hay_pct}/100,{need_lb}*{hay_displaced}<={hay_dm_lb}*{feed_pct}/100)",
            "hay_displaced",
            "no more hay displaced in all than the hay eaten",
            "take a richer supplement, or one that displaces less hay",
        ),
    ),
)
def supplement_for_pounds(
    need_lb: NeedLb, hay_dm_lb: HayLb, hay_pct: HayPct, feed_pct: FeedPct, hay_displaced: Displaced
) -> Annotated[Number, Result("Supplement dry matter", "lb DM/day", 0)]:
    """Supplement that brings the missing pounds of one nutrient.

    The `pounds` way: cover what the cow needs a day.

    Give hay_displaced as 1 where total intake is fixed. It is refused where displacement eats the gain
    (feed_pct at or below hay_displaced x hay_pct while the hay is short), and where more hay would be displaced
    than is eaten.

    16.9 lb of TDN needed, 26.8 lb of hay at 52 %, hulls at 78 %, half a lb of hay displaced:

    >>> supplement_for_pounds(16.9, 26.8, 52, 78, 0.5)  # 2.964 / 0.52
    5.70
    """
    short = shortage("pounds", need_lb, hay_dm_lb, hay_pct)
    return cover(short, net_gain("pounds", need_lb, hay_pct, feed_pct, hay_displaced))


@worksheet(
    "SUPPLEMENT_FOR_SHARE",
    TOPIC,
    "Supplement added to hay eaten to appetite until the whole diet holds the target share of a nutrient.",
    equation="S = H x (target - h) / (s - target); 0 when the hay holds the target",
    refs=(Ref("montana-balance", "example 2: hay at 8.95 and supplement at 40 to a target of 9.8 % CP"),),
    longhand="IF({target_pct}>{hay_pct},{hay_dm_lb}*({target_pct}-{hay_pct})/({feed_pct}-{target_pct}),0)",
    rules=(
        Rule(
            lambda target, hay_lb, hay, feed: np.all(feed > target) or (target <= hay) | (feed > target),
            "OR({target_pct}<={hay_pct},{feed_pct}>{target_pct})",
            "feed_pct",
            "more than target_pct: a feed that is not above the target never gets there",
            "take a richer supplement, or better hay",
        ),
    ),
)
def supplement_for_share(
    target_pct: Annotated[Number, Arg("Wanted in the whole diet", "% DM", lo=0, hi=100, above=True)],
    hay_dm_lb: HayLb,
    hay_pct: HayPct,
    feed_pct: FeedPct,
) -> Annotated[Number, Result("Supplement dry matter", "lb DM/day", 0)]:
    """Supplement that lifts the whole diet to a target share of one nutrient.

    The `share` way: bring the mixture of hay and supplement to, say, 60 % TDN.

    24 lb of hay at 52 % TDN, a feed at 76 %, target 60 %:

    >>> supplement_for_share(60, 24, 52, 76)  # 24 x 8 / 16
    12.0
    """
    return cover(hay_dm_lb * (target_pct - hay_pct), feed_pct - target_pct)
