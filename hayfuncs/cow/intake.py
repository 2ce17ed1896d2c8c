"""Intake: how much dry matter a cow eats, three ways.

By the hay's fiber (NDF), by its quality class and the cow's state, and by its energy
density (the equation of the beef cattle requirements).  All are averages of many herds.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Flag, Longhand, Number, Ref, Result, Step, worksheet
from hayfuncs.contract.units import KG_TO_LB, LB_TO_KG

TOPIC = "Intake"

NDF_CAPACITY = 1.2  # NDF eaten, % of body weight a day (University of Missouri; the 120/NDF of UW-Extension)

# Forage capacity, % of body weight a day (Oklahoma State, 1992, in its 2024 reprint)
LOW_BELOW, HIGH_ABOVE = 52, 59  # % TDN
DRY_LOW, DRY_AVERAGE, DRY_HIGH = 1.8, 2.2, 2.5
LACTATING_LOW, LACTATING_AVERAGE, LACTATING_HIGH = 2.2, 2.5, 2.7

# NRC Nutrient Requirements of Beef Cattle 1996/2000, beef cows, kg and Mcal/kg; from memory.
METABOLIC_POWER = 0.75  # intake follows metabolic body size
INTAKE_NEM_SQUARED = 0.04997
INTAKE_OPEN = 0.03840  # cow not pregnant
INTAKE_PREGNANT = 0.04631
INTAKE_PER_MILK = 0.2  # kg of dry matter per kg of milk


BodyWeight = Annotated[Number, Arg("Body weight", "lb", lo=0, hi=4000, above=True)]


def cow_intake_kg(nem_mcal_kg: Number, shrunk_kg: Number, milk_kg: Number, pregnant: bool) -> Number:
    """Dry matter a beef cow eats, kg a day, from the NEm of her diet in Mcal per kg."""
    base = INTAKE_PREGNANT if pregnant else INTAKE_OPEN
    per_size = (INTAKE_NEM_SQUARED * nem_mcal_kg * nem_mcal_kg + base) / nem_mcal_kg
    return shrunk_kg**METABOLIC_POWER * per_size + INTAKE_PER_MILK * milk_kg


@worksheet(
    "INTAKE_FROM_NDF",
    TOPIC,
    "Dry matter intake from the forage's NDF: a cow holds a share of her weight as fiber, whatever the hay.",
    equation="intake = body weight x NDF capacity (% of body weight) / NDF; at 1.2 % it is 120/NDF % of body weight",
    refs=(
        Ref("uw-2004", "DMI (% of body weight) = 120 / NDF"),
        Ref("mu-ndf", "forage NDF intake of 1.2 % of body weight"),
        Ref("ohio-2019", "NDF intake of 1.2 to 1.5 % of body weight, by quality"),
    ),
    longhand="{body_weight_lb}*{ndf_capacity_pct_bw}/{ndf_pct}",
    why_default="1.2 % of body weight is the capacity behind the published 120/NDF",
)
def intake_from_ndf(
    ndf_pct: Annotated[
        Number,
        Arg(
            "Neutral detergent fiber of the forage eaten",
            "% DM",
            lo=1,
            hi=100,
            above=True,
            fit=(35, 80),
            fix="give percent, 62 and not 0.62, from the lab sheet",
        ),
    ],
    body_weight_lb: BodyWeight,
    ndf_capacity_pct_bw: Annotated[
        Number,
        Arg("NDF that the cow eats in a day", "% of body weight", lo=0, hi=3, above=True, fit=(1.1, 1.5)),
    ] = NDF_CAPACITY,
) -> Annotated[Number, Result("Dry matter intake", "lb DM/day", 0, 12000)]:
    """Dry matter intake from fiber.

    Coarse hay fills the cow before it feeds her; this gives the pounds she can hold.

    A capacity of about 1.1 to 1.3 on mature hay is from memory.

    60 % NDF, 1,200-lb cow:

    >>> intake_from_ndf(60, 1200, 1.2)  # lb; 2.0 % of weight
    24.0
    """
    return body_weight_lb * ndf_capacity_pct_bw / ndf_pct


@worksheet(
    "INTAKE_BY_QUALITY",
    TOPIC,
    "Dry matter intake by the hay's quality class (TDN) and whether the cow is in milk; protein must be adequate.",
    equation="% of body weight, dry / lactating cow: TDN under 52: 1.8 / 2.2; 52 to 59: 2.2 / 2.5; over 59: 2.5 / 2.7",
    refs=(
        Ref(
            "osu-1992",
            "forage capacity table (J. Anim. Sci. 70, abstract, p. 181), as reprinted in 2024",
            "published, second hand",
        ),
    ),
    longhand="{body_weight_lb}*IF({lactating},IF({tdn_pct}<52,2.2,IF({tdn_pct}<=59,2.5,2.7)),"
    "IF({tdn_pct}<52,1.8,IF({tdn_pct}<=59,2.2,2.5)))/100",
)
def intake_by_quality(
    tdn_pct: Annotated[
        Number, Arg("TDN of the forage", "% DM", lo=1, hi=100, above=True, fix="give percent, 58 and not 0.58")
    ],
    body_weight_lb: BodyWeight,
    lactating: Annotated[bool, Flag("Is the cow in milk?")],
) -> Annotated[Number, Result("Dry matter intake", "lb DM/day", 0, 110)]:
    """Dry matter intake by quality class.

    The quick rule at a producer meeting: how much hay of this class a cow eats to appetite. It holds for cattle
    with enough protein; without it they eat less.

    The source prints the middle class as 53-59; 52 itself is counted to it here, and the answer steps at 52 and
    59. The same university's later test on 85 treatment means found the table high for dry cows, by about 6 lb
    a day on average.

    1,200-lb dry cow on 50 % TDN hay:

    >>> intake_by_quality(50, 1200, False)  # lb
    21.6
    """
    if lactating:
        low, average, high = LACTATING_LOW, LACTATING_AVERAGE, LACTATING_HIGH
    else:
        low, average, high = DRY_LOW, DRY_AVERAGE, DRY_HIGH
    capacity = np.where(tdn_pct < LOW_BELOW, low, np.where(tdn_pct <= HIGH_ABOVE, average, high))
    return body_weight_lb * capacity / 100


@worksheet(
    "INTAKE_FROM_NEM",
    TOPIC,
    "Dry matter intake of a beef cow from the NEm of her diet, her weight, her milk and whether she is pregnant.",
    equation="kg: SBW^0.75 x (0.04997 NEm^2 + c) / NEm + 0.2 x milk; c = 0.03840 open, 0.04631 pregnant; "
    "NEm in Mcal/kg; pounds are turned into kg and back",
    refs=(
        Ref(
            "ohio-late-gestation",
            "1,200-lb cow, month 8: 12.6 lb TDN at 52.3 % is 24.1 lb",
            "from memory, agrees with published",
        ),
        Ref("osu-intake", "the equation runs 13.9 % low for dry cows, 16.6 % for cows in milk"),
    ),
    longhand=Longhand(
        "({shrunk_kg}^0.75*(0.04997*{nem_kg}^2+IF({pregnant},0.04631,0.03840))/{nem_kg}+0.2*{milk_kg})/0.45359237",
        (
            Step("shrunk_kg", "{shrunk_weight_lb}*0.45359237", "Shrunk weight in kg", "kg"),
            Step("nem_kg", "{nem_mcal_lb}/0.45359237", "NEm of the diet per kg", "Mcal/kg DM"),
            Step("milk_kg", "{milk_lb}*0.45359237", "Milk in kg", "kg/day"),
        ),
    ),
)
def intake_from_nem(
    nem_mcal_lb: Annotated[
        Number,
        Arg(
            "Net energy for maintenance of the diet",
            "Mcal/lb DM",
            lo=0.1,
            hi=1.15,
            fit=(0.37, 0.61),
            fix="give Mcal per pound of dry matter: Mcal per kg x 0.4536",
        ),
    ],
    shrunk_weight_lb: Annotated[Number, Arg("Shrunk body weight", "lb", lo=0, hi=4000, above=True)],
    milk_lb: Annotated[Number, Arg("Milk given (0 for a dry cow)", "lb/day", lo=0, hi=150)],
    pregnant: Annotated[bool, Flag("Is the cow pregnant?")],
) -> Annotated[Number, Result("Dry matter intake", "lb DM/day", 0, 170)]:
    """Dry matter intake of a beef cow from the energy of her diet.

    The intake behind the monthly needs: the equation of the beef cattle requirements.

    Below about 0.4 Mcal/lb it rises again as the diet gets poorer: do not trust it there. Oklahoma State
    University work found it 14 to 17 % low, most for cows in milk on hay of 60 % TDN. Shrunk weight is
    about 96 % of full weight.

    1,200-lb open cow, diet of 0.59 Mcal/lb, 16 lb of milk:

    >>> intake_from_nem(0.59, 1200, 16, False)  # lb
    26.7
    """
    intake = cow_intake_kg(nem_mcal_lb * KG_TO_LB, shrunk_weight_lb * LB_TO_KG, milk_lb * LB_TO_KG, pregnant)
    return intake * KG_TO_LB
