"""How far the pounds of supplement may be off, and whether a verdict is too close to call.

Margins are one side, all at one confidence (95 % unless said).  Those of one nutrient are independent and add in
quadrature; between the nutrients the larger rate counts, so at the switch from one to the other, and where the hay
just covers the need, the margin is taken from the corners: the rate were both a margin worse, or both a margin better.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, worksheet
from hayfuncs.contract.levels import settled
from hayfuncs.ration.supplement import HayLb
from hayfuncs.ration.two_nutrients import (
    RULES,
    Basis,
    CpNeed,
    Displaced,
    FeedCp,
    FeedDm,
    FeedTdn,
    HayCp,
    HayTdn,
    TdnNeed,
)

TOPIC = "The margin of an answer"
ONE_SIDE = "give it one side, at the confidence of the others"


def of(what: str) -> Arg:
    return Arg(f"Margin of the {what}, one side", "% DM", lo=0, hi=100, fix=ONE_SIDE)


def parts(basis: str, need: Any, hay_lb: Any, hay: Any, feed: Any, displaced: Any) -> tuple[Any, Any, Any]:
    """Gap, what a lb of supplement brings net, and hay left for it; gap / net is lb of supplement dry matter."""
    if basis == "pounds":
        return 100 * need - hay_lb * hay, feed - displaced * hay, displaced
    return hay_lb * (need - hay), feed - need, 0.0 * displaced


def bounds(basis: str, need: Any, hay_lb: Any, hay: Any, feed: Any, displaced: Any, hay_m: Any, feed_m: Any) -> Any:
    """The rate for one nutrient (below 0 where the hay has more) and its margin: half the difference between the
    rate with the hay, then the feed, a margin lower and a margin higher.  Both 0 where the feed would not reach."""
    gap, net, left = parts(basis, need, hay_lb, hay, feed, displaced)
    net = np.asarray(net, dtype=float)  # a feed that brings nothing is left out below, not a division by zero
    with np.errstate(divide="ignore", invalid="ignore"):
        by_hay = hay_m * (hay_lb * net - gap * left) / (net**2 - (left * hay_m) ** 2)
        by_feed = feed_m * gap / (net**2 - feed_m**2)
        at, margin = gap / net, (by_hay**2 + by_feed**2) ** 0.5
    counts = net - left * hay_m - feed_m > 0
    return np.where(counts, at, 0.0), np.where(counts, margin, 0.0)


def _nutrients(basis: str, tdn: Any, cp: Any, hay_lb: Any, hay_tdn: Any, hay_cp: Any, feed_tdn: Any, feed_cp: Any,
               _dm: Any, displaced: Any, hay_tdn_m: Any, hay_cp_m: Any, feed_tdn_m: Any, feed_cp_m: Any) -> tuple[tuple[Any, ...], tuple[Any, ...]]:  # fmt: skip
    return (
        (basis, tdn, hay_lb, hay_tdn, feed_tdn, displaced, hay_tdn_m, feed_tdn_m),
        (basis, cp, hay_lb, hay_cp, feed_cp, displaced, hay_cp_m, feed_cp_m),
    )


def _settled(basis: str, need: Any, hay_lb: Any, hay: Any, feed: Any, displaced: Any, hay_m: Any, feed_m: Any) -> Any:
    """The feed reaches a margin off, or the hay covers the need a margin off."""
    gap, net, left = parts(basis, need, hay_lb, hay, feed, displaced)
    return (gap + hay_lb * hay_m <= 0) | (net - left * hay_m - feed_m > 0)


def _settled_formula(n: str) -> str:
    need, hay, feed = f"{{{n}_need}}", f"{{hay_{n}_pct}}", f"{{feed_{n}_pct}}"
    hay_m, feed_m = f"{{hay_{n}_margin}}", f"{{feed_{n}_margin}}"
    covers = f"CHOOSE({{basis#}},100*{need},{{hay_dm_lb}}*{need})<={{hay_dm_lb}}*({hay}-{hay_m})"
    return f"OR({covers},CHOOSE({{basis#}},{feed}-{{hay_displaced}}*({hay}+{hay_m}),{feed}-{need})-{feed_m}>0)"


def _steps(n: str, nutrient: str) -> tuple[Step, ...]:
    need, hay, feed = f"{{{n}_need}}", f"{{hay_{n}_pct}}", f"{{feed_{n}_pct}}"
    hay_m, feed_m, gap, net, reach = (
        f"{{hay_{n}_margin}}",
        f"{{feed_{n}_margin}}",
        f"{{{n}_gap}}",
        f"{{{n}_net}}",
        f"{{{n}_reach}}",
    )
    by_hay = f"({hay_m}*({{hay_dm_lb}}*{net}-{gap}*{{left}})/({net}^2-({{left}}*{hay_m})^2))^2"
    by_feed = f"({feed_m}*{gap}/({net}^2-{feed_m}^2))^2"
    return (
        Step(f"{n}_gap", f"CHOOSE({{basis#}},100*{need}-{{hay_dm_lb}}*{hay},{{hay_dm_lb}}*({need}-{hay}))", f"{nutrient} the hay leaves short, in lb a day, times 100", "any"),
        Step(f"{n}_net", f"CHOOSE({{basis#}},{feed}-{{left}}*{hay},{feed}-{need})", f"{nutrient} a lb of supplement brings net", "% DM"),
        Step(f"{n}_reach", f"{net}-{{left}}*{hay_m}-{feed_m}", "The same, both tests a margin off", "% DM"),
        Step(f"{n}_asks", f"IF({reach}>0,{gap}/{net},0)", f"Supplement for {nutrient}, below 0 where the hay has more", "lb DM/day"),
        Step(f"{n}_margin", f"IF({reach}>0,({by_hay}+{by_feed})^0.5,0)", f"Margin of the supplement for {nutrient}", "lb DM/day"),
    )  # fmt: skip


def _widened(rule: Rule) -> Rule:
    """A rule of SUPPLEMENT_RATE over the same arguments, the margins left out."""
    return rule._replace(ok=lambda *given: rule.ok(*given[:10]))


def _reaches_rule(n: str, place: int, nutrient: str) -> Rule:
    return Rule(
        lambda *given: _settled(*_nutrients(*given)[place]),
        _settled_formula(n),
        f"feed_{n}_margin",
        f"small enough that the feed still brings {nutrient} towards the need",
        "the margins are wider than the feed is good: test the feed, or take a richer one",
    )


@worksheet(
    "SUPPLEMENT_MARGIN",
    TOPIC,
    "How many pounds a day the rate of SUPPLEMENT_RATE may be off, from the margins of hay and feed.",
    equation="for each nutrient m = sqrt(sum of ((S at - margin) - (S at + margin))^2 / 4); margin = larger of max(0, S + m) - S and "
    "S - max(0, S - m), the larger nutrient counting, / (DM / 100)",
    refs=(Ref("definition", "independent errors add in quadrature; at a switch the corners count"),),
    longhand=Longhand(
        "MAX({high}-{at_hand},{at_hand}-{low})/({feed_dm_pct}/100)",
        (
            Step("left", "CHOOSE({basis#},{hay_displaced},0)", "Hay left for a lb of supplement", "lb DM/lb DM"),
            *_steps("tdn", "TDN"), *_steps("cp", "protein"),
            Step("at_hand", "MAX(0,{tdn_asks},{cp_asks})", "Supplement that covers both", "lb DM/day"),
            Step("high", "MAX(0,{tdn_asks}+{tdn_margin},{cp_asks}+{cp_margin})", "The same, both a margin worse", "lb DM/day"),
            Step("low", "MAX(0,{tdn_asks}-{tdn_margin},{cp_asks}-{cp_margin})", "The same, both a margin better", "lb DM/day"),
        ),
    ),
    rules=(*(_widened(rule) for rule in RULES), _reaches_rule("tdn", 0, "TDN"), _reaches_rule("cp", 1, "protein")),
)  # fmt: skip
def supplement_margin(
    basis: Basis,
    tdn_need: TdnNeed,
    cp_need: CpNeed,
    hay_dm_lb: HayLb,
    hay_tdn_pct: HayTdn,
    hay_cp_pct: HayCp,
    feed_tdn_pct: FeedTdn,
    feed_cp_pct: FeedCp,
    feed_dm_pct: FeedDm,
    hay_displaced: Displaced,
    hay_tdn_margin: Annotated[Number, of("hay's TDN")],
    hay_cp_margin: Annotated[Number, of("hay's protein")],
    feed_tdn_margin: Annotated[Number, of("supplement's TDN")],
    feed_cp_margin: Annotated[Number, of("supplement's protein")],
) -> Annotated[Number, Result("Margin of the rate, one side", "lb as fed/day", 0)]:
    """How many pounds the supplement may be off.

    Say the rate with it: 4.5 lb, 3.6 to 5.4.  Where the margin is as large as the rate, more cores or a test of the
    feed are worth more than another decimal.  A table's feed is about 10 % off in energy and 15 % in protein
    (Preston tables, Colorado 1.615).

    27 lb of hay of 52 % TDN and 8 % CP for 17 lb of TDN and 2.5 lb of CP, a feed of 80 % TDN and 24 % CP:

    >>> supplement_margin("pounds", 17, 2.5, 27, 52, 8, 80, 24, 90, 0, 1.6, 1, 0, 0)  # 27 x 1.6 / 80 / 0.90
    0.6
    """
    tdn, cp = _nutrients(
        basis, tdn_need, cp_need, hay_dm_lb, hay_tdn_pct, hay_cp_pct, feed_tdn_pct, feed_cp_pct, feed_dm_pct,
        hay_displaced, hay_tdn_margin, hay_cp_margin, feed_tdn_margin, feed_cp_margin,
    )  # fmt: skip
    (by_tdn, tdn_m), (by_cp, cp_m) = bounds(*tdn), bounds(*cp)
    at_hand = np.maximum(0.0, np.maximum(by_tdn, by_cp))
    high = np.maximum(0.0, np.maximum(by_tdn + tdn_m, by_cp + cp_m))
    low = np.maximum(0.0, np.maximum(by_tdn - tdn_m, by_cp - cp_m))
    margin: Number = np.maximum(high - at_hand, at_hand - low) / (feed_dm_pct / 100)
    return margin


@worksheet(
    "CLOSE_CALL",
    TOPIC,
    "Whether what is given is enough, short, or so near the need that the test cannot say.",
    equation="too close to call where |have - need| is below the margin; else enough or short",
    refs=(Ref("definition", "a difference within the margin is no difference"),),
    longhand='IF(ABS(ROUND({have}-{need},9))<ROUND({margin},9),"too close to call",IF({have}>={need},"enough","short"))',
)
def close_call(
    need: Annotated[Number, Arg("What is needed", "any", lo=0, hi=1e6)],
    have: Annotated[Number, Arg("What there is, in the same unit", "any", lo=0, hi=1e6)],
    margin: Annotated[Number, Arg("Margin of what there is, one side", "any", lo=0, hi=1e6, fix=ONE_SIDE)],
) -> Annotated[str, Result("The verdict", "text")]:
    """A verdict with three answers.

    Two tests of one stack can fall on either side of a need.  Where the margin spans it, say so, and what would
    settle it: more cores, another test, weighing the cows.

    17 lb of TDN needed, 16.2 there, within 0.9:

    >>> close_call(17, 16.2, 0.9)
    'too close to call'
    """
    if np.abs(settled(have - need)) < settled(margin):
        return "too close to call"
    return "enough" if have >= need else "short"
