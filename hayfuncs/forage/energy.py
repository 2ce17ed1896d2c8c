"""Energy of feed: metabolizable and net energy from total digestible nutrients, and back.

The ladder is TDN -> digestible energy -> metabolizable energy (ME) -> net energy for
maintenance (NEm) and for gain (NEg).  The published equations are in Mcal/kg; the
worksheet functions give Mcal/lb, converted once, at the end (1 lb = 0.45359237 kg).
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, worksheet
from hayfuncs.contract.units import KG_TO_LB, LB_TO_KG

TOPIC = "Energy and quality"

# NRC Nutrient Requirements of Beef Cattle, 7th ed., update 2000, p. 126:
DE_PER_TDN = 0.04409  # Mcal of digestible energy per kg of DM for each % of TDN (1 kg TDN = 4.409 Mcal)
ME_PER_DE = 0.82  # metabolizable energy is 82 % of digestible energy
ME_PER_TDN = ME_PER_DE * DE_PER_TDN

# The same book's cubics, Mcal/kg: from memory, agreeing with its p. 43 (NEm / ME = 0.576 at ME 2.0).
NEM_ME, NEM_ME_SQUARED, NEM_ME_CUBED, NEM_BASE = 1.37, 0.138, 0.0105, 1.12
NEG_ME, NEG_ME_SQUARED, NEG_ME_CUBED, NEG_BASE = 1.42, 0.174, 0.0122, 1.65

CUBIC = Ref("nrc-2000", "cubic in ME; agrees with p. 43, km 0.576 at ME 2.0", "from memory, agrees with published")
LADDER = Ref("nrc-2000", "p. 126: 1 kg TDN = 4.409 Mcal DE, ME = 0.82 DE")
# The ranges below: ME 1.5 to 3.4 Mcal/kg is where the cubics were fitted (TDN 42 to 94).
TDN_FITTED = (42, 94)
NEM_FITTED = (0.30, 1.07)

NEM_BEND = NEM_ME_SQUARED / (3 * NEM_ME_CUBED)  # ME where the NEm cubic turns from concave to convex
NEWTON_STEPS = 8


def nem_from_me_kg(me: Number) -> Number:
    """NEm from ME, both in Mcal per kg of dry matter."""
    return NEM_ME * me - NEM_ME_SQUARED * me * me + NEM_ME_CUBED * me * me * me - NEM_BASE


def neg_from_me_kg(me: Number) -> Number:
    """NEg from ME, both in Mcal per kg of dry matter; below 0 for feed too poor to support gain."""
    return NEG_ME * me - NEG_ME_SQUARED * me * me + NEG_ME_CUBED * me * me * me - NEG_BASE


def me_from_nem_kg(nem_mcal_kg: Number) -> Number:
    """ME from NEm, both in Mcal per kg of dry matter: the NEm cubic solved for ME.

    Newton's method cannot fail here.  The cubic's slope has no real root (it is 0.765 or
    more), so there is one answer; and from the bend, where it turns from concave to convex,
    the first step lands on the side of the answer from which every later step comes nearer.
    """
    me = 0 * nem_mcal_kg + NEM_BEND
    for _ in range(NEWTON_STEPS):
        slope = NEM_ME - 2 * NEM_ME_SQUARED * me + 3 * NEM_ME_CUBED * me * me
        me = me - (nem_from_me_kg(me) - nem_mcal_kg) / slope
    return me


def tdn_for_nem_kg(nem_mcal_kg: Number) -> Number:
    """TDN (% of dry matter) that gives this NEm (Mcal per kg of dry matter)."""
    return me_from_nem_kg(nem_mcal_kg) / ME_PER_TDN


@worksheet(
    "ME_FROM_TDN",
    TOPIC,
    "The energy of a feed that the cow can use (ME), from its TDN.",
    equation="ME = 0.82 x 0.04409 TDN Mcal/kg, x 0.45359237 for Mcal/lb",
    refs=(LADDER,),
    longhand="0.82*0.04409*{tdn_pct}*0.45359237",
)
def me_from_tdn(
    tdn_pct: Annotated[
        Number,
        Arg("TDN of the feed", "% DM", lo=1, hi=100, above=True, fix="give percent, 58 and not 0.58"),
    ],
) -> Annotated[Number, Result("Metabolizable energy (ME)", "Mcal/lb DM", 0, 1.65)]:
    """Metabolizable energy from TDN.

    The rung between TDN and the net energies.

    >>> me_from_tdn(60)  # Mcal/lb; 0.82 x 0.04409 x 60 = 2.1692 Mcal/kg
    0.984
    """
    return ME_PER_TDN * tdn_pct * LB_TO_KG


@worksheet(
    "NEM_FROM_TDN",
    TOPIC,
    "Net energy for maintenance of a feed from its TDN.",
    equation="NEm = 1.37 ME - 0.138 ME^2 + 0.0105 ME^3 - 1.12 Mcal/kg, ME = 0.82 x 0.04409 TDN; "
    "x 0.45359237 for Mcal/lb",
    refs=(LADDER, CUBIC),
    longhand=Longhand(
        "(1.37*{me_kg}-0.138*{me_kg}^2+0.0105*{me_kg}^3-1.12)*0.45359237",
        (Step("me_kg", "0.82*0.04409*{tdn_pct}", "Metabolizable energy, Mcal per kg", "Mcal/kg DM"),),
    ),
)
def nem_from_tdn(
    tdn_pct: Annotated[
        Number,
        Arg(
            "TDN of the feed",
            "% DM",
            lo=25,
            hi=100,
            fit=TDN_FITTED,
            fix="give percent, 58 and not 0.58; below about 25 % TDN the equation leaves no net energy",
        ),
    ],
) -> Annotated[Number, Result("Net energy for maintenance (NEm)", "Mcal/lb DM", 0, 1.15)]:
    """Net energy for maintenance (NEm) from TDN.

    Cows' needs are known as NEm; hay is known as TDN; this joins them.

    A straight line that some lab sheets use instead (known from memory) stands about 0.06 Mcal/lb higher at 60
    % TDN. Below 25 % TDN the curve gives no net energy. The cubic is from memory and agrees with the book's p.
    43 (NEm is 0.576 of ME at ME 2.0).

    >>> nem_from_tdn(60)  # Mcal/lb; 1.3097 Mcal/kg
    0.594
    """
    return nem_from_me_kg(ME_PER_TDN * tdn_pct) * LB_TO_KG


@worksheet(
    "NEG_FROM_TDN",
    TOPIC,
    "Net energy for gain of a feed from its TDN; 0 for feed too poor to support gain.",
    equation="NEg = 1.42 ME - 0.174 ME^2 + 0.0122 ME^3 - 1.65 Mcal/kg, not below 0, ME = 0.82 x 0.04409 TDN; "
    "x 0.45359237 for Mcal/lb",
    refs=(
        LADDER,
        Ref(
            "nrc-2000",
            "cubic in ME; with the NEm cubic it gives a teaching diet's NEm 2.09 and NEg 1.42",
            "from memory, agrees with published",
        ),
    ),
    longhand=Longhand(
        "MAX(0,1.42*{me_kg}-0.174*{me_kg}^2+0.0122*{me_kg}^3-1.65)*0.45359237",
        (Step("me_kg", "0.82*0.04409*{tdn_pct}", "Metabolizable energy, Mcal per kg", "Mcal/kg DM"),),
    ),
)
def neg_from_tdn(
    tdn_pct: Annotated[
        Number,
        Arg("TDN of the feed", "% DM", lo=1, hi=100, above=True, fit=TDN_FITTED, fix="give percent, 58 and not 0.58"),
    ],
) -> Annotated[Number, Result("Net energy for gain (NEg)", "Mcal/lb DM", 0, 0.82)]:
    """Net energy for gain (NEg) from TDN.

    What is left for growth once the animal is maintained, per pound of feed.

    It is 0 below about 38 % TDN. The cubic is from memory and agrees with a published teaching diet (NEm 2.09,
    NEg 1.42 Mcal/kg).

    >>> neg_from_tdn(60)  # Mcal/lb; 0.7361 Mcal/kg
    0.334
    """
    return np.maximum(0, neg_from_me_kg(ME_PER_TDN * tdn_pct)) * LB_TO_KG


@worksheet(
    "TDN_FROM_NEM",
    TOPIC,
    "TDN that a feed or diet must have to give a wanted net energy for maintenance.",
    equation="the NEm cubic solved for ME, then TDN = ME / (0.82 x 0.04409)",
    refs=(LADDER, CUBIC),
    # The book gives no inverse.  This is the exact root (Cardano), where the function iterates:
    # with ME = bend + t the cubic is t^3 + p t + q = 0, and p > 0, so there is one real root.
    longhand=Longhand(
        "({bend}+SIGN({upper})*ABS({upper})^(1/3)+SIGN({lower})*ABS({lower})^(1/3))/(0.82*0.04409)",
        (
            Step("bend", "0.138/(3*0.0105)", "ME where the cubic bends", "Mcal/kg DM"),
            Step(
                "third_slope",
                "(1.37/0.0105-3*{bend}^2)/3",
                "A third of the slope there, over the cubic's leading number",
                "1",
            ),
            Step(
                "half_gap",
                "(1.37*{bend}-0.138*{bend}^2+0.0105*{bend}^3-1.12-{nem_mcal_lb}/0.45359237)/(2*0.0105)",
                "Half of NEm at the bend less NEm wanted, over the same",
                "1",
            ),
            Step("root", "SQRT({half_gap}^2+{third_slope}^3)", "Square root in the cubic's solution", "1"),
            Step("upper", "{root}-{half_gap}", "First number whose cube root is taken", "1"),
            Step("lower", "0-{root}-{half_gap}", "Second number whose cube root is taken", "1"),
        ),
    ),
)
def tdn_from_nem(
    nem_mcal_lb: Annotated[
        Number,
        Arg(
            "Net energy for maintenance wanted",
            "Mcal/lb DM",
            lo=0,
            hi=1.15,
            above=True,
            fit=NEM_FITTED,
            fix="give Mcal per pound of dry matter: Mcal per kg x 0.4536",
        ),
    ],
) -> Annotated[Number, Result("TDN", "% DM", 24, 101)]:
    """TDN from net energy for maintenance (NEm): NEM_FROM_TDN read backwards.

    Turns a cow's need for NEm into the TDN her diet must have.

    The cubic of NEM_FROM_TDN is solved for ME numerically; the longhand takes its exact root instead, and the
    two agree. The book gives no inverse: the solving is ours. A value above 1.15 is often Mcal per kg.

    >>> tdn_from_nem(0.594)  # %
    60.0
    """
    return tdn_for_nem_kg(nem_mcal_lb * KG_TO_LB)
