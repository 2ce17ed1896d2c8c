"""Growing cattle: target weights, what they eat, and what they gain on a diet.

The net energy system: what is eaten beyond upkeep becomes gain.  A heavy-boned animal lays down leaner gain at
the same weight, so weights are scaled by what the animal will weigh when grown.  Weights are shrunk weights.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.contract.units import KG_TO_LB, LB_TO_KG
from hayfuncs.cow.body_condition import TOPIC
from hayfuncs.cow.intake import METABOLIC_POWER
from hayfuncs.cow.requirements import MAINTENANCE
from hayfuncs.forage.energy import ME_PER_TDN, neg_from_me_kg, nem_from_me_kg

CLASSES = ("heifer calf", "steer calf", "bull calf", "yearling heifer", "yearling steer", "yearling bull")
# NRC 1996/2000, from memory; together they give the printed intakes of growing bulls (see the check rows)
BULL = 1.15  # upkeep of an intact bull against the others
INTAKE_NEM, INTAKE_SQUARE = 0.2435, 0.0466  # kg per kg^0.75: 0.2435 NEm - 0.0466 NEm^2 - one of the next two, over NEm
INTAKE_CALF, INTAKE_YEARLING = 0.1128, 0.0869
POOREST_NEM = 0.95  # Mcal/kg: on poorer diets intake is divided by this
STANDARD_WEIGHT = 478  # kg, grown weight of the animals that the equation of gain was made on
EMPTY_WEIGHT, EMPTY_GAIN = 0.891, 0.956  # empty body of shrunk weight, and of its gain
RETAINED, GAIN_POWER = 0.0635, 1.097  # Mcal = 0.0635 x empty kg^0.75 x empty gain^1.097
GAIN, ENERGY_POWER, WEIGHT_POWER = 13.91, 0.9116, 0.6837  # kg gain = 13.91 Mcal^0.9116 / kg^0.6837
# share of mature weight, in the order of POINTS; 0.96 from memory of NRC 2000, the others printed
POINTS = ("breeding", "first calving", "second calving", "third calving")
TARGETS = (0.65, 0.85, 0.92, 0.96)
MOST_EATEN = 0.06  # of shrunk weight a day: twice what cattle eat; more is a slip of the pen

INTAKES = Ref("msstate-2564", "intakes of bulls of 300 to 900 lb", "from memory, agrees with published")
GAINS = Ref("nrc-2000", "energy in gain and gain from energy; a teaching example prints 6.94 Mcal", "from memory, agrees with published")  # fmt: skip
UPKEEP = Ref("net-energy-slides", "715-lb steer needs 5.89 Mcal", "from memory, agrees with published")

Class = Annotated[str, Words("Kind of growing cattle; a calf is under a year", CLASSES)]
Weight = Annotated[
    Number, Arg("Shrunk weight of the animal now", "lb", lo=50, hi=3000, fit=(300, 1500), fix="see SHRUNK_WEIGHT")
]
Grown = Annotated[
    Number,
    Arg(
        "Shrunk weight when grown: of the cow a heifer becomes, of a grown bull, of a steer fat enough to sell",
        "lb", lo=400, hi=3500, fit=(900, 2200), fix="see SHRUNK_WEIGHT",
    ),
]  # fmt: skip


def is_bull(cattle_class: str) -> bool:
    return cattle_class.endswith(("bull", "bull calf"))


def upkeep_mcal(cattle_class: str, shrunk_kg: Number) -> Number:
    """Net energy for maintenance of growing cattle."""
    return MAINTENANCE * shrunk_kg**METABOLIC_POWER * (BULL if is_bull(cattle_class) else 1.0)


def intake_per_size(cattle_class: str, nem_kg: Number) -> Number:
    """Dry matter that growing cattle eat, kg a day per kg^0.75.

    The book, as remembered, divides by 0.95 wherever NEm is below 1.0, which makes intake jump by a twentieth
    there; here it divides by 0.95 only where NEm is below that, and there is no jump.
    """
    base = INTAKE_CALF if cattle_class.endswith("calf") else INTAKE_YEARLING
    eaten = INTAKE_NEM * nem_kg - INTAKE_SQUARE * nem_kg * nem_kg - base
    return eaten / np.maximum(nem_kg, POOREST_NEM)


def scaled_kg(shrunk_kg: Number, grown_kg: Number) -> Number:
    """Weight at which a standard animal is as far grown as this one."""
    return shrunk_kg * STANDARD_WEIGHT / grown_kg


def retained_mcal(standard_kg: Number, gain_kg: Number) -> Number:
    """Net energy kept in a day's gain."""
    return RETAINED * (EMPTY_WEIGHT * standard_kg) ** METABOLIC_POWER * (EMPTY_GAIN * gain_kg) ** GAIN_POWER


ME_STEP = Step("me_kg", "0.82*0.04409*{tdn_pct}", "Metabolizable energy of the diet, Mcal per kg", "Mcal/kg DM")
NEM_STEP = Step(
    "nem_kg", "1.37*{me_kg}-0.138*{me_kg}^2+0.0105*{me_kg}^3-1.12", "NEm of the diet, Mcal per kg", "Mcal/kg DM"
)
NEG_STEP = Step(
    "neg_kg",
    "MAX(0,1.42*{me_kg}-0.174*{me_kg}^2+0.0122*{me_kg}^3-1.65)",
    "NEg of the diet, Mcal per kg",
    "Mcal/kg DM",
)
SIZE_STEP = Step("metabolic_weight", "({shrunk_weight_lb}*0.45359237)^0.75", "Metabolic weight", "kg^0.75")
UPKEEP_STEP = Step(
    "nem_upkeep",
    "0.077*{metabolic_weight}*CHOOSE({cattle_class#},1,1,1.15,1,1,1.15)",
    "Net energy for maintenance",
    "Mcal/day",
)
STANDARD_STEP = Step(
    "standard_weight",
    "{shrunk_weight_lb}*478/{mature_shrunk_lb}",
    "Weight at which a standard animal is as far grown",
    "kg",
)


@worksheet(
    "TARGET_WEIGHT",
    TOPIC,
    "What a heifer should weigh at breeding and at each calving, from what she will weigh as a grown cow.",
    equation="weight = mature weight x 0.65 at breeding, 0.85 at first, 0.92 at second, 0.96 at third calving",
    refs=(
        Ref("uga-1343-2", "65 % of mature weight at breeding"),
        Ref("iowa-heifers", "85 % at first calving, 92 % at second"),
        Ref("ohio-heifers", "62, 80 and 92 % at breeding, first and second calving"),
        Ref("nrc-2000", "96 % at third calving", "from memory"),
    ),
    longhand="{mature_weight_lb}*CHOOSE({point#},0.65,0.85,0.92,0.96)",
)
def target_weight(
    mature_weight_lb: Annotated[
        Number, Arg("Weight of the grown cows she will join, in average flesh", "lb", lo=400, hi=3000, fit=(900, 1700))
    ],
    point: Annotated[str, Words("When", POINTS)],
) -> Annotated[Number, Result("Target weight", "lb", 200, 3000)]:
    """Target weight of a heifer.

    The gain she needs is what is missing to it, over the days that are left.

    Full or shrunk, as the mature weight is given.  In print the targets spread: at breeding 50 to 57 % where
    heifers are raised on little, 62 and 65; at first calving 80 and 85.  Of 34 heifers in Oklahoma 47 of a
    hundred had come into heat at 55 %, 91 at 60 % and 97 at 65 %.

    >>> target_weight(1200, "breeding")  # lb
    780.0
    """
    return mature_weight_lb * TARGETS[POINTS.index(point)]


@worksheet(
    "GROWING_INTAKE",
    TOPIC,
    "Dry matter that calves and yearlings eat of a diet, from its TDN and their weight.",
    equation="kg: SBW^0.75 x (0.2435 NEm - 0.0466 NEm^2 - k) / NEm, at least 0.95; k 0.1128 calves, 0.0869 yearlings",
    refs=(INTAKES, Ref("nrc-2000", "intake of growing cattle", "from memory, agrees with published")),
    longhand=Longhand(
        "{metabolic_weight}*(0.2435*{nem_kg}-0.0466*{nem_kg}^2-CHOOSE({cattle_class#},0.1128,0.1128,0.1128,0.0869,0.0869,0.0869))"
        "/MAX({nem_kg},0.95)/0.45359237",
        (SIZE_STEP, ME_STEP, NEM_STEP),
    ),
)
def growing_intake(
    cattle_class: Class,
    shrunk_weight_lb: Weight,
    tdn_pct: Annotated[
        Number, Arg("TDN of the diet", "% DM", lo=40, hi=94, fit=(50, 80), fix="give percent, 58 and not 0.58")
    ],
) -> Annotated[Number, Result("Dry matter intake", "lb DM/day", 0, 150)]:
    """Dry matter intake of growing cattle.

    What they eat to appetite of a hay, or of hay and feed together at the mixture's TDN.

    No implant and no ionophore.  It is an equation of many pens: hay that is dusty, wet or new to calves is
    eaten less.  On much grain fed beside hay the mixture's TDN says more than the cattle gain.

    500-lb calf, 58 % TDN:

    >>> growing_intake("heifer calf", 500, 58)  # lb
    12.2
    """
    shrunk_kg = shrunk_weight_lb * LB_TO_KG
    nem_kg = nem_from_me_kg(ME_PER_TDN * tdn_pct)
    return shrunk_kg**METABOLIC_POWER * intake_per_size(cattle_class, nem_kg) * KG_TO_LB


def loses(
    cattle_class: str, shrunk_weight_lb: float, dm_intake_lb: float, tdn_pct: float, mature_shrunk_lb: float
) -> str:
    """What NOTES adds where the diet does not keep the animal's weight."""
    eaten = dm_intake_lb * LB_TO_KG * nem_from_me_kg(ME_PER_TDN * tdn_pct)
    short = eaten < upkeep_mcal(cattle_class, shrunk_weight_lb * LB_TO_KG)
    return "this diet does not keep its weight: it loses, and 0 stands for that." if short else ""


@worksheet(
    "GAIN_ON_DIET",
    TOPIC,
    "What growing cattle gain a day on so much of a diet; 0 where it does not keep their weight.",
    equation="RE = (intake - NEm need / NEm) x NEg; kg gain = 13.91 RE^0.9116 (SBW x 478 / mature)^-0.6837",
    refs=(GAINS, UPKEEP, INTAKES),
    longhand=Longhand(
        "13.91*{retained}^0.9116/{standard_weight}^0.6837/0.45359237",
        (
            SIZE_STEP, UPKEEP_STEP, ME_STEP, NEM_STEP, NEG_STEP, STANDARD_STEP,
            Step("retained", "MAX(0,{dm_intake_lb}*0.45359237-{nem_upkeep}/{nem_kg})*{neg_kg}", "Net energy left for gain", "Mcal/day"),
        ),
    ),
    rules=(
        Rule(
            lambda cattle_class, shrunk_weight_lb, dm_intake_lb, tdn_pct, mature_shrunk_lb: (
                dm_intake_lb <= MOST_EATEN * shrunk_weight_lb
            ),
            "{dm_intake_lb}<=0.06*{shrunk_weight_lb}",
            "dm_intake_lb", "at most 6 % of the shrunk weight", "cattle eat 2 to 3 % of their weight: see GROWING_INTAKE",
        ),
    ),
    remark=loses,
)  # fmt: skip
def gain_on_diet(
    cattle_class: Class,
    shrunk_weight_lb: Weight,
    dm_intake_lb: Annotated[Number, Arg("Dry matter eaten, of all feeds", "lb DM/day", lo=0, hi=150)],
    tdn_pct: Annotated[
        Number,
        Arg("TDN of what is eaten, all feeds together", "% DM", lo=35, hi=95, fit=(42, 94), fix="give percent, 58 and not 0.58"),
    ],
    mature_shrunk_lb: Grown,
) -> Annotated[Number, Result("Gain", "lb/day", 0, 100)]:  # fmt: skip
    """Gain on a diet.

    What heifers gain on this hay, and on this hay with so many pounds of that feed.

    The energy counts and nothing else: protein, water, health and weather are taken as right.  Cold and mud
    lower it.  So does much grain or by-product beside hay: calves of three trials in print, on half to three
    quarters wheat middlings, gained 0.4 to 0.7 lb a day less than this says.

    500-lb heifer calf that eats 12.2 lb of 58 % TDN, 1,200-lb cows:

    >>> gain_on_diet("heifer calf", 500, 12.2, 58, 1200)  # lb a day
    1.04
    """
    me_kg = ME_PER_TDN * tdn_pct
    shrunk_kg = shrunk_weight_lb * LB_TO_KG
    for_upkeep = upkeep_mcal(cattle_class, shrunk_kg) / nem_from_me_kg(me_kg)
    left = np.maximum(0.0, dm_intake_lb * LB_TO_KG - for_upkeep) * np.maximum(0.0, neg_from_me_kg(me_kg))
    standard_kg = scaled_kg(shrunk_kg, mature_shrunk_lb * LB_TO_KG)
    return GAIN * left**ENERGY_POWER / standard_kg**WEIGHT_POWER * KG_TO_LB
