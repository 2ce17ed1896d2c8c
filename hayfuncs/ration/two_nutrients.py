"""Ration: one supplement that must cover energy and protein at once, and the Pearson square.

The rate is the larger of the two that the nutrients ask for, as fed; the nutrient that asks
for it drives the rate.  Where one supplement cannot do both, the error says why.
"""

from __future__ import annotations

from typing import Annotated, Any, TypeAlias

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.ration.supplement import (
    DISPLACED_FIT,
    MOST_DISPLACED,
    MOST_IN_FEED,
    MOST_LB,
    HayLb,
    cover,
    hay_suffices,
    net_gain,
    reaches,
    shortage,
)

TOPIC = "Supplement"
MOST_TDN = 225.0  # % of DM: a fully digested fat, 2.25 x 100 by the definition of TDN
MOST_VALUE = 1e6

OneNutrient: TypeAlias = tuple[str, Any, Any, Any, Any, Any]  # basis, need, hay lb, hay %, feed %, displaced

Basis = Annotated[str, Words("How the needs are stated: lb a day, or % of the diet's dry matter", ("pounds", "share"))]
TdnNeed = Annotated[
    Number, Arg("TDN needed: lb a day with pounds, % of the diet with share", "any", lo=0, hi=MOST_LB, above=True)
]
CpNeed = Annotated[
    Number, Arg("Protein needed: lb a day with pounds, % of the diet with share", "any", lo=0, hi=MOST_LB, above=True)
]
HayTdn = Annotated[Number, Arg("TDN of the hay", "% DM", lo=0, hi=100, above=True)]
HayCp = Annotated[Number, Arg("Crude protein of the hay", "% DM", lo=0, hi=100, above=True)]
FeedTdn = Annotated[Number, Arg("TDN of the supplement", "% DM", lo=0, hi=MOST_TDN)]
FeedCp = Annotated[Number, Arg("Crude protein of the supplement", "% DM", lo=0, hi=MOST_IN_FEED)]
FeedDm = Annotated[Number, Arg("Dry matter of the supplement", "% as fed", lo=0, hi=100, above=True)]
Displaced = Annotated[
    Number,
    Arg(
        "Hay left uneaten for each lb of supplement; not used with share",
        "lb DM/lb DM",
        lo=0,
        hi=MOST_DISPLACED,
        fit=DISPLACED_FIT,
    ),
]


def _apart(basis: str, tdn_need: Any, cp_need: Any, hay_lb: Any, hay_tdn: Any, hay_cp: Any, feed_tdn: Any,
           feed_cp: Any, _feed_dm: Any, displaced: Any) -> tuple[OneNutrient, OneNutrient]:  # fmt: skip
    """SUPPLEMENT_RATE's arguments taken apart: those of TDN and those of protein."""
    return (basis, tdn_need, hay_lb, hay_tdn, feed_tdn, displaced), (basis, cp_need, hay_lb, hay_cp, feed_cp, displaced)


def _rate(basis: str, need: Number, hay_lb: Number, hay: Number, feed: Number, displaced: Number) -> Number:
    """lb of supplement dry matter that one nutrient asks for."""
    return cover(shortage(basis, need, hay_lb, hay), net_gain(basis, need, hay, feed, displaced))


def _is_share(basis: str, tdn_need: Any, cp_need: Any, *_rest: Any) -> Any:
    return basis == "pounds" or (tdn_need <= 100) & (cp_need <= 100)


def _hay_suffices(basis: str, *rest: Any) -> Any:
    tdn, cp = _apart(basis, *rest)
    return basis == "share" or hay_suffices(*tdn[1:]) & hay_suffices(*cp[1:])


def _keeps(driver: OneNutrient, other: OneNutrient) -> Any:
    """Does the rate for one nutrient leave the other, where the hay alone covers it, at its need or above?"""
    basis, need, hay_lb, hay, feed, displaced = other
    other_short, other_gain = shortage(basis, need, hay_lb, hay), net_gain(basis, need, hay, feed, displaced)
    if np.all(other_gain >= 0):
        return True
    basis, need, hay_lb, hay, feed, displaced = driver
    short, gain = shortage(basis, need, hay_lb, hay), net_gain(basis, need, hay, feed, displaced)
    return (short <= 0) | (other_short > 0) | (other_short * gain <= short * other_gain)


def _reaches_formula(n: str) -> str:
    need, hay, feed = f"{{{n}_need}}", f"{{hay_{n}_pct}}", f"{{feed_{n}_pct}}"
    return (
        f"CHOOSE({{basis#}},OR({need}<={{hay_dm_lb}}*{hay}/100,{feed}>{{hay_displaced}}*{hay}),"
        f"OR({need}<={hay},{feed}>{need}))"
    )


def _suffices_formula(n: str) -> str:
    need = f"{{{n}_need}}"
    return f"OR({need}<={{hay_dm_lb}}*{{hay_{n}_pct}}/100,{need}*{{hay_displaced}}<={{hay_dm_lb}}*{{feed_{n}_pct}}/100)"


def _keeps_formula(d: str, o: str) -> str:
    """`d` the nutrient that asks for supplement, `o` the other one."""
    need_d, hay_d, feed_d = f"{{{d}_need}}", f"{{hay_{d}_pct}}", f"{{feed_{d}_pct}}"
    need_o, hay_o, feed_o = f"{{{o}_need}}", f"{{hay_{o}_pct}}", f"{{feed_{o}_pct}}"
    short_d, short_o = f"({need_d}-{{hay_dm_lb}}*{hay_d}/100)", f"({need_o}-{{hay_dm_lb}}*{hay_o}/100)"
    gain_d, gain_o = f"({feed_d}-{{hay_displaced}}*{hay_d})", f"({feed_o}-{{hay_displaced}}*{hay_o})"
    return (
        f"CHOOSE({{basis#}},OR({short_d}<=0,{short_o}>0,{short_o}*{gain_d}<={short_d}*{gain_o}),"
        f"OR({need_d}<={hay_d},{need_o}>{hay_o},({need_o}-{hay_o})*({feed_d}-{need_d})"
        f"<=({need_d}-{hay_d})*({feed_o}-{need_o})))"
    )


RULES = (
    Rule(
        _is_share,
        "CHOOSE({basis#},TRUE,AND({tdn_need}<=100,{cp_need}<=100))",
        "basis",
        "with share, needs of at most 100 % of the diet's dry matter",
        "state both needs as % of the diet, or use pounds",
    ),
    Rule(
        lambda *given: reaches(*_apart(*given)[0]),
        _reaches_formula("tdn"),
        "feed_tdn_pct",
        "with share above tdn_need, with pounds above hay_displaced x hay_tdn_pct: else it never gets there",
        "take a supplement richer in TDN, or better hay",
    ),
    Rule(
        lambda *given: reaches(*_apart(*given)[1]),
        _reaches_formula("cp"),
        "feed_cp_pct",
        "with share above cp_need, with pounds above hay_displaced x hay_cp_pct: else it never gets there",
        "take a supplement richer in protein, or better hay",
    ),
    Rule(
        _hay_suffices,
        f"CHOOSE({{basis#}},AND({_suffices_formula('tdn')},{_suffices_formula('cp')}),TRUE)",
        "hay_displaced",
        "no more hay displaced in all than the hay eaten",
        "take a richer supplement, or one that displaces less hay",
    ),
    Rule(
        lambda *given: _keeps(*_apart(*given)),
        _keeps_formula("tdn", "cp"),
        "feed_cp_pct",
        "enough that the rate for TDN does not thin the protein below its need",
        "take a supplement with more protein, or two supplements",
    ),
    Rule(
        lambda *given: _keeps(*reversed(_apart(*given))),
        _keeps_formula("cp", "tdn"),
        "feed_tdn_pct",
        "enough that the rate for protein does not thin the TDN below its need",
        "take a supplement with more TDN, or two supplements",
    ),
)


def _steps(n: str, nutrient: str) -> tuple[Step, ...]:
    need, hay, feed = f"{{{n}_need}}", f"{{hay_{n}_pct}}", f"{{feed_{n}_pct}}"
    return (
        Step(
            f"{n}_short",
            f"CHOOSE({{basis#}},{need}-{{hay_dm_lb}}*{hay}/100,{{hay_dm_lb}}*({need}-{hay})/100)",
            f"{nutrient} the hay leaves short",
            "lb/day",
        ),
        Step(
            f"{n}_gain",
            f"CHOOSE({{basis#}},{feed}-{{hay_displaced}}*{hay},{feed}-{need})",
            f"{nutrient} a lb of supplement brings net",
            "% DM",
        ),
        Step(
            f"{n}_rate",
            f"IF({{{n}_short}}>0,100*{{{n}_short}}/{{{n}_gain}},0)",
            f"Supplement that covers {nutrient}",
            "lb DM/day",
        ),
    )


STEPS = (*_steps("tdn", "TDN"), *_steps("cp", "protein"))


@worksheet(
    "SUPPLEMENT_RATE",
    TOPIC,
    "Supplement as fed a day that covers both TDN and protein: the larger of the two rates.",
    equation="rate = max(S for TDN, S for CP) / (DM / 100); S as in SUPPLEMENT_FOR_POUNDS or SUPPLEMENT_FOR_SHARE",
    refs=(
        Ref("alabama-column-2007", "corn for 2.1 lb of protein: 28 lb, though 9 lb would do for TDN"),
        Ref("uapb-2013", "hay of 60 % TDN and 9 % CP covers a pregnant cow: no supplement"),
    ),
    longhand=Longhand("MAX({tdn_rate},{cp_rate})/({feed_dm_pct}/100)", STEPS),
    rules=RULES,
)
def supplement_rate(
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
) -> Annotated[Number, Result("Supplement as fed", "lb as fed/day", 0)]:
    """Supplement as fed that covers both TDN and protein.

    The pounds on the scale for one animal, for one supplement beside one hay.

    With share the hay stays eaten to appetite. It is refused when the supplement never reaches a need, when
    more hay would be displaced than is eaten, and when the rate for one nutrient thins the other, which the hay
    alone covers, below its need.

    24 lb of hay (52 % TDN, 8 % CP) to a diet of 60 % TDN and 8 % CP with a feed of 76 % TDN, 12 % CP and 90 %
    DM, 12 lb of dry matter:

    >>> supplement_rate("share", 60, 8, 24, 52, 8, 76, 12, 90, 0)
    13.33
    """
    tdn = _rate(basis, tdn_need, hay_dm_lb, hay_tdn_pct, feed_tdn_pct, hay_displaced)
    cp = _rate(basis, cp_need, hay_dm_lb, hay_cp_pct, feed_cp_pct, hay_displaced)
    rate: Number = np.maximum(tdn, cp) / (feed_dm_pct / 100)
    return rate


@worksheet(
    "SUPPLEMENT_DRIVER",
    TOPIC,
    "The nutrient that sets the supplement's rate: TDN, CP, or none when the hay covers both.",
    equation="the nutrient with the larger S of SUPPLEMENT_RATE; TDN when equal; none when both are 0",
    refs=(
        Ref("alabama-column-2007", "protein is the nutrient that limits, for every feed of the example"),
        Ref("uapb-2013", "surplus of both: no supplement"),
    ),
    longhand=Longhand('IF(MAX({tdn_rate},{cp_rate})=0,"none",IF({cp_rate}>{tdn_rate},"CP","TDN"))', STEPS),
    rules=RULES,
)
def supplement_driver(
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
) -> Annotated[str, Result("Nutrient that sets the rate", "text")]:
    """Which nutrient sets the supplement's rate.

    The driver says which kind of feed to buy: energy or protein.

    10 lb of hay at 48 % TDN and 9 % CP for 12 lb of TDN and 3 lb of CP, corn at 80 and 7.5 %, 9 lb for TDN but
    28 lb for protein:

    >>> supplement_driver("pounds", 12, 3, 10, 48, 9, 80, 7.5, 100, 0)
    'CP'
    """
    tdn = _rate(basis, tdn_need, hay_dm_lb, hay_tdn_pct, feed_tdn_pct, hay_displaced)
    cp = _rate(basis, cp_need, hay_dm_lb, hay_cp_pct, feed_cp_pct, hay_displaced)
    if max(tdn, cp) == 0:
        return "none"
    return "CP" if cp > tdn else "TDN"


@worksheet(
    "PEARSON_SHARE",
    TOPIC,
    "Share of the first of two feeds in a mix that is to hold a target content (the Pearson square).",
    equation="share % = |second - target| / (|first - target| + |second - target|) x 100",
    refs=(Ref("montana-balance", "examples 2 and 3"),),
    longhand="ABS({second_pct}-{target_pct})/(ABS({first_pct}-{target_pct})+ABS({second_pct}-{target_pct}))*100",
    rules=(
        Rule(
            lambda first, second, target: (
                ((first < target) & (target < second)) | ((second < target) & (target < first))
            ),
            "OR(AND({first_pct}<{target_pct},{target_pct}<{second_pct}),"
            "AND({second_pct}<{target_pct},{target_pct}<{first_pct}))",
            "target_pct",
            "between first_pct and second_pct, neither of them",
            "take a feed above and a feed below the target",
        ),
    ),
)
def pearson_share(
    first_pct: Annotated[Number, Arg("Content of the first feed or mix", "any", lo=0, hi=MOST_VALUE)],
    second_pct: Annotated[Number, Arg("Content of the second, on the same basis", "any", lo=0, hi=MOST_VALUE)],
    target_pct: Annotated[Number, Arg("Wanted content of the mix, on the same basis", "any", lo=0, hi=MOST_VALUE)],
) -> Annotated[Number, Result("Share of the first in the mix", "%", 0, 100)]:
    """Share of the first of two feeds in a mix (the Pearson square).

    Mix two feeds, or hay and a supplement, to a wanted content.

    The share of the second is 100 less it.

    Hay at 8.95 % CP and a supplement at 40 % to 9.8 %:

    >>> pearson_share(8.95, 40, 9.8)  # 30.2 / 31.05 x 100
    97.3
    """
    # the two parts lie on either side of the target, so together they are second - first
    return (second_pct - target_pct) / (second_pct - first_pct) * 100
