"""Body condition: what a score weighs, what energy it holds, and what feed puts it on or lets it go.

Scores run from 1 (bone) to 9 (very fat).  A score is energy: getting a thin cow back to 5 takes feed beyond her
need, and a fat cow that loses one saves feed.  Weights here are shrunk weights (SHRUNK_WEIGHT), at score 5.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, worksheet
from hayfuncs.contract.units import LB_TO_KG
from hayfuncs.forage.energy import ME_PER_TDN, nem_from_me_kg

TOPIC = "Condition and growth"
# National Research Council 2000, from memory; together they give the printed energies of a score (see the check rows)
EMPTY_BODY = 0.851  # of shrunk weight
FAT_PER_SCORE = 0.037683  # of the empty body, for each score
PROTEIN_AT_0, PROTEIN_PER_SCORE = 0.200886, 0.0066762  # of the empty body
FAT_MCAL, PROTEIN_MCAL = 9.4, 5.7  # Mcal in a kilogram
# shrunk weight at a score, against score 5: closed form of the printed row 77, 81, 87, 93, 100, 108, 118, 130, 144 %
WEIGHT_PER_SCORE = 0.07667
FROM_RESERVES = 0.80  # of the energy lost from the body that serves milk or upkeep

AT_0 = PROTEIN_MCAL * PROTEIN_AT_0  # Mcal in a kilogram of empty body, were there a score 0
PER_SCORE = FAT_MCAL * FAT_PER_SCORE - PROTEIN_MCAL * PROTEIN_PER_SCORE  # and what each score adds

PRINTED = Ref(
    "limousin-2018",
    "table 4, energy of a score at 1,200 and 1,400 lb",
    "from memory, agrees with published",
)
UNL = Ref("unl-condition", "207 Mcal from score 4 to 5, 1,100-lb cow", "from memory, agrees with published")
WEIGHTS = Ref("msstate-2508", "table 1, shrunk weight by score, of NRC 2000", "published, second hand")
RESERVES = Ref("nrc-2000", "0.80 of what the body loses serves milk and upkeep", "from memory")
RULE = Ref("unl-condition", "days = Mcal / (Mcal of NEm fed above need a day)")

Weight = Annotated[Number, Arg("Shrunk weight of the cow at condition score 5", "lb", lo=400, hi=3000, fit=(900, 1700))]
From = Annotated[Number, Arg("Condition score now", "score", lo=1, hi=9, fit=(2, 8), fix="scores run from 1 to 9")]
To = Annotated[Number, Arg("Condition score wanted", "score", lo=1, hi=9, fit=(2, 8), fix="scores run from 1 to 9")]
DietTdn = Annotated[
    Number,
    Arg("TDN of what she is fed", "% DM", lo=35, hi=95, fit=(42, 94), fix="give percent, 58 and not 0.58"),
]


def share_of_weight(score: Number) -> Number:
    """Shrunk weight at a score, of that at score 5."""
    return 1 / (1 + WEIGHT_PER_SCORE * (5 - score))


def body_mcal(weight_at_5_lb: Number, score: Number) -> Number:
    """The energy her body holds at a score."""
    empty_kg = EMPTY_BODY * LB_TO_KG * weight_at_5_lb * share_of_weight(score)
    return empty_kg * (AT_0 + PER_SCORE * score)


def between(weight_at_5_lb: Number, from_score: Number, to_score: Number) -> Number:
    """The energy that leads from one score to another."""
    return body_mcal(weight_at_5_lb, to_score) - body_mcal(weight_at_5_lb, from_score)


def nem_of(tdn_pct: Number) -> Number:
    """NEm of a diet, Mcal per lb of dry matter."""
    return nem_from_me_kg(ME_PER_TDN * tdn_pct) * LB_TO_KG


def body_step(name: str, score: str) -> Step:
    """Longhand of `body_mcal`."""
    return Step(
        name,
        f"0.851*0.45359237*{{weight_at_5_lb}}/(1+0.07667*(5-{{{score}}}))*(9.4*0.037683*{{{score}}}+5.7*(0.200886-0.0066762*{{{score}}}))",
        f"Energy in her body at {score.replace('_', ' ')}",
        "Mcal",
    )


ME_STEP = Step("me_kg", "0.82*0.04409*{diet_tdn_pct}", "Metabolizable energy of the diet, Mcal per kg", "Mcal/kg DM")
NEM_STEP = Step(
    "nem",
    "(1.37*{me_kg}-0.138*{me_kg}^2+0.0105*{me_kg}^3-1.12)*0.45359237",
    "Net energy of the diet, Mcal per lb",
    "Mcal/lb DM",
)


@worksheet(
    "CONDITION_WEIGHT",
    TOPIC,
    "What a cow weighs at a condition score, from her weight at score 5.",
    equation="weight = weight at 5 / (1 + 0.07667 x (5 - score))",
    refs=(WEIGHTS,),
    longhand="{weight_at_5_lb}/(1+0.07667*(5-{score}))",
)
def condition_weight(
    weight_at_5_lb: Weight,
    score: Annotated[Number, Arg("Condition score", "score", lo=1, hi=9, fix="scores run from 1 to 9")],
) -> Annotated[Number, Result("Shrunk weight at that score", "lb", 200, 4500)]:
    """Weight at a condition score.

    How many pounds a score is; calf, membranes and fluids in a pregnant cow are not condition.

    A 1,200-lb cow that is thin:

    >>> condition_weight(1200, 4)  # lb
    1114.5
    """
    return weight_at_5_lb * share_of_weight(score)


@worksheet(
    "CONDITION_ENERGY",
    TOPIC,
    "Net energy it takes to bring a cow from one condition score to another; below 0 what losing it sets free.",
    equation="Mcal = E(to) - E(from); E = 0.851 kg x (9.4 x 0.037683 score + 5.7 x (0.200886 - 0.0066762 score)), kg at that score",
    refs=(PRINTED, UNL),
    longhand=Longhand("{at_the_end}-{at_the_start}", (body_step("at_the_start", "from_score"), body_step("at_the_end", "to_score"))),
)  # fmt: skip
def condition_energy(
    weight_at_5_lb: Weight, from_score: From, to_score: To
) -> Annotated[Number, Result("Net energy, below 0 when lost", "Mcal", -12000, 12000)]:
    """Energy between two condition scores.

    A score is energy that must be fed, or that a cow can live on for a while.

    >>> condition_energy(1200, 4, 5)  # Mcal
    226
    """
    return between(weight_at_5_lb, from_score, to_score)


@worksheet(
    "CONDITION_DAYS",
    TOPIC,
    "Days that feed beyond her need takes to bring a cow from one condition score to a higher one.",
    equation="days = CONDITION_ENERGY / NEm fed beyond need a day",
    refs=(RULE, UNL),
    longhand=Longhand(
        "MAX(0,{at_the_end}-{at_the_start})/{surplus_nem_mcal}",
        (body_step("at_the_start", "from_score"), body_step("at_the_end", "to_score")),
    ),
)
def condition_days(
    weight_at_5_lb: Weight,
    from_score: From,
    to_score: To,
    surplus_nem_mcal: Annotated[
        Number,
        Arg("NEm fed beyond her need", "Mcal/day", lo=0, hi=30, above=True, fix="pounds of feed dry matter beyond need x its NEm, Mcal/lb"),
    ],
) -> Annotated[Number, Result("Days", "days", 0, 1e9)]:  # fmt: skip
    """Days to a higher condition score.

    Whether there is time to get a thin cow into shape; 50 to 60 days on hay alone is hard to do.  0 when she
    has the score already.

    5 lb of alfalfa at 0.60 Mcal is 3 Mcal a day:

    >>> condition_days(1100, 4, 5, 3)  # 207 / 3
    69
    """
    return np.maximum(0.0, between(weight_at_5_lb, from_score, to_score)) / surplus_nem_mcal


@worksheet(
    "NEED_FOR_CONDITION",
    TOPIC,
    "TDN a day beyond a cow's need that brings her to a condition score in so many days; below 0 what she may lack.",
    equation="lb TDN = Mcal / days / NEm of the diet x TDN % / 100; Mcal x 0.80 when condition is lost",
    refs=(PRINTED, UNL, RULE, RESERVES),
    longhand=Longhand(
        "{mcal}*IF({mcal}<0,0.8,1)/{days}/{nem}*{diet_tdn_pct}/100",
        (
            body_step("at_the_start", "from_score"), body_step("at_the_end", "to_score"),
            Step("mcal", "{at_the_end}-{at_the_start}", "Energy between the scores", "Mcal"), ME_STEP, NEM_STEP,
        ),
    ),
)  # fmt: skip
def need_for_condition(
    weight_at_5_lb: Weight,
    from_score: From,
    to_score: To,
    days: Annotated[Number, Arg("Days to do it in", "days", lo=1, hi=730, fit=(60, 365))],
    diet_tdn_pct: DietTdn,
) -> Annotated[Number, Result("TDN beyond her need", "lb/day", -20000, 20000)]:
    """TDN that puts condition on.

    A thin cow needs her need and this; the requirement equations hold a cow's weight and no more.  Where need and
    this ask for a diet over 63 to 65 % TDN, hay alone cannot do it: more days, or a supplement.  Going down, 0.80
    of the energy lost serves her, so she may be fed that much less.

    Score 4 to 5 in 90 days on 50 % TDN:

    >>> need_for_condition(1200, 4, 5, 90, 50)  # lb of TDN a day
    2.86
    """
    mcal = between(weight_at_5_lb, from_score, to_score)
    served = np.where(mcal < 0, FROM_RESERVES, 1.0)
    return mcal * served / days / nem_of(diet_tdn_pct) * diet_tdn_pct / 100


@worksheet(
    "CONDITION_AFTER",
    TOPIC,
    "Condition score after so many days on a diet that gives a cow more or less TDN than she needs.",
    equation="Mcal = balance x 100 / TDN % x NEm x days (/ 0.80 when short); score where E(score) = E(now) + Mcal",
    refs=(PRINTED, UNL, RESERVES),
    longhand=Longhand(
        "({kg_mcal}*(1+5*0.07667)-5.7*0.200886)/(9.4*0.037683-5.7*0.0066762+0.07667*{kg_mcal})",
        (
            ME_STEP, NEM_STEP,
            Step("mcal", "{tdn_balance_lb}*100/{diet_tdn_pct}*{nem}*{days}/IF({tdn_balance_lb}<0,0.8,1)", "Energy gained, below 0 lost", "Mcal"),
            body_step("at_the_start", "score"),
            Step("kg_mcal", "({at_the_start}+{mcal})/(0.851*0.45359237*{weight_at_5_lb})", "Energy then, for each kilogram of empty body at score 5", "Mcal/kg"),
        ),
        can_leave=True,
    ),
)  # fmt: skip
def condition_after(
    weight_at_5_lb: Weight,
    score: Annotated[Number, Arg("Condition score now", "score", lo=1, hi=9, fit=(2, 8), fix="scores run from 1 to 9")],
    tdn_balance_lb: Annotated[
        Number,
        Arg("TDN given less TDN needed", "lb/day", lo=-30, hi=30, fix="below 0 where the diet is short"),
    ],
    diet_tdn_pct: DietTdn,
    days: Annotated[Number, Arg("Days on this diet", "days", lo=0, hi=730)],
) -> Annotated[Number, Result("Condition score then", "score", 1, 9)]:
    """Condition score after a while on a diet.

    What a cow looks like at the end of winter on this hay.  What is short comes off the body, 1 / 0.80 of it.

    1.5 lb of TDN short for 120 days on 52 % hay:

    >>> condition_after(1200, 5, -1.5, 52, 120)
    4.11
    """
    change = tdn_balance_lb * 100 / diet_tdn_pct * nem_of(diet_tdn_pct) * days
    change = change / np.where(tdn_balance_lb < 0, FROM_RESERVES, 1.0)
    kg_mcal = (body_mcal(weight_at_5_lb, score) + change) / (EMPTY_BODY * LB_TO_KG * weight_at_5_lb)
    return (kg_mcal * (1 + 5 * WEIGHT_PER_SCORE) - AT_0) / (PER_SCORE + WEIGHT_PER_SCORE * kg_mcal)
