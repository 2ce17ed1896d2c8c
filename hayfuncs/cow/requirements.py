"""What the cow needs: her weight, her milk, and the net energy for upkeep, milk and calf.

The equations are those of the National Research Council's beef book (1996, update 2000) and
work in kilograms and megacalories; each function converts from pounds once, on its first line.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Flag, Number, Ref, Result, worksheet
from hayfuncs.contract.units import LB_TO_KG
from hayfuncs.cow.intake import METABOLIC_POWER

TOPIC = "What the cow needs"

# Maintenance: 0.077 from memory of NRC, gives the 5.89 Mcal of a published 715-lb steer
MAINTENANCE = 0.077  # Mcal/day per kg of shrunk weight to the power 0.75
LACTATING = 1.2  # a cow in milk; UF/IFAS AN190 prints "about 20 %" between dry and lactating

# Milk: peak week READ in NRC 2000 p. 45; energy line and beef milk's solids from memory of NRC 1996; with the curve they give the printed cells of UNL table 2
PEAK_WEEK = 8.5
FAT_MCAL, SOLIDS_MCAL, MILK_LESS_MCAL = 0.092, 0.049, 0.0569  # Mcal/kg milk = 0.092 fat + 0.049 SNF - 0.0569
MILK_FAT_PCT = 4.0
MILK_SOLIDS_PCT = 8.3  # solids not fat

# Pregnancy: energy kept in the womb (Mcal) / efficiency 0.13 x km 0.576 (both printed in NRC 2000, p. 43)
MAINTENANCE_EFFICIENCY = 0.576
PREGNANCY_EFFICIENCY = 0.13
WOMB_BASE, WOMB_SLOPE = 0.05855, 0.0000996
WOMB_RATE, WOMB_BEND = 0.03233, 0.0000275
KCAL_PER_MCAL = 1000  # by definition

ShrunkWeight = Annotated[
    Number,
    Arg("Shrunk weight of the animal (full weight less gut fill)", "lb", lo=50, hi=3000, fix="see SHRUNK_WEIGHT"),
]
CalfWeight = Annotated[Number, Arg("Birth weight that the calf is expected to have", "lb", lo=20, hi=200)]
PeakMilk = Annotated[
    Number, Arg("Milk at the peak of lactation (0 for a cow without a calf)", "lb/day", lo=0, hi=80, fit=(8.8, 44.1))
]


@worksheet(
    "SHRUNK_WEIGHT",
    TOPIC,
    "Shrunk weight: full body weight less the share that is gut fill (usually 4 %).",
    equation="shrunk weight = body weight x (1 - shrink / 100)",
    refs=(Ref("arkansas-mp391", "p. 1: shrunk body weight is 96 percent of full body weight"),),
    longhand="{body_weight_lb}*(1-{shrink_pct}/100)",
)
def shrunk_weight(
    body_weight_lb: Annotated[Number, Arg("Full (live) body weight", "lb", lo=50, hi=4000)],
    shrink_pct: Annotated[Number, Arg("Weight lost overnight without feed and water; 4 is usual", "%", lo=0, hi=20)],
) -> Annotated[Number, Result("Shrunk weight", "lb", 0, 4000)]:
    """Weight without the fill of the gut.

    The requirement equations count the animal, not the hay and water in her.

    >>> shrunk_weight(1250, 4)  # 1250 x 0.96
    1200.0
    """
    return body_weight_lb * (1 - shrink_pct / 100)


@worksheet(
    "MILK_YIELD",
    TOPIC,
    "Milk a day in a given week of lactation, from the milk at the peak (week 8.5).",
    equation="milk = peak x (week / 8.5) x e^(1 - week / 8.5)",
    refs=(
        Ref("nrc-2000", "p. 45, peak in week 8.5"),
        Ref(
            "unl-condition",
            "shape of the curve: with NEM_FOR_MILK the six printed cells of table 2",
            "from memory, agrees with published",
        ),
    ),
    longhand="{peak_milk_lb}*{weeks_since_calving}/8.5*EXP(1-{weeks_since_calving}/8.5)",
)
def milk_yield(
    peak_milk_lb: PeakMilk,
    weeks_since_calving: Annotated[Number, Arg("Weeks since calving", "weeks", lo=0, hi=52)],
) -> Annotated[Number, Result("Milk", "lb/day", 0, 81)]:
    """Milk a day along the lactation.

    Milk is what moves a cow's need most from month to month.

    In the peak week she gives the peak; twice as late 20 x 2 x e^-1:

    >>> milk_yield(20, 8.5)
    20.0
    >>> milk_yield(20, 17)
    14.7
    """
    share = weeks_since_calving / PEAK_WEEK
    return peak_milk_lb * share * np.exp(1 - share)


def maintenance_mcal(weight_kg: Number, milk_factor: Number) -> Number:
    """Net energy for upkeep; `milk_factor` is 1.2 for a cow in milk and 1 for a dry one.

    Condition does not move it.  The NRC's factor for the plane of nutrition before (0.95 at score 4) was made
    for growing cattle and would feed the thin cow less than the fat one.
    """
    return MAINTENANCE * weight_kg**METABOLIC_POWER * milk_factor


@worksheet(
    "NEM_FOR_MAINTENANCE",
    TOPIC,
    "Net energy a day that keeps an animal alive and her weight steady, without milk or calf.",
    equation="NEm = 0.077 x kg^0.75 x (1.2 in milk, else 1)",
    refs=(
        Ref("net-energy-slides", "715-lb steer needs 5.89 Mcal", "from memory, agrees with published"),
        Ref("ifas-an190", "lactating about 20 % above dry"),
        Ref(
            "unl-condition",
            "table 2, maintenance of a 1,175-lb cow: 10.3 Mcal in milk, 8.5 dry, whatever her condition",
        ),
    ),
    longhand="0.077*({shrunk_weight_lb}*0.45359237)^0.75*IF({lactating},1.2,1)",
)
def nem_for_maintenance(
    shrunk_weight_lb: ShrunkWeight,
    lactating: Annotated[bool, Flag("Is she in milk?")],
) -> Annotated[Number, Result("Net energy for maintenance", "Mcal/day", 0, 60)]:
    """Net energy for maintenance.

    The largest part of a cow's need, and the part that cold adds to.

    It is for British breeds; other breeds, bulls, grazing and weather change it and are not in this equation.
    Nor is condition: a thin cow needs this and the feed that puts condition back on her.

    715 lb is 324.3 kg:

    >>> nem_for_maintenance(715, False)  # 0.077 x 324.3^0.75
    5.88
    """
    return maintenance_mcal(shrunk_weight_lb * LB_TO_KG, LACTATING if lactating else 1.0)


def milk_mcal(milk_kg: Number) -> Number:
    """Energy in beef milk of 4 % fat and 8.3 % other solids: 0.7178 Mcal per kg."""
    return milk_kg * (FAT_MCAL * MILK_FAT_PCT + SOLIDS_MCAL * MILK_SOLIDS_PCT - MILK_LESS_MCAL)


@worksheet(
    "NEM_FOR_MILK",
    TOPIC,
    "Net energy a day for a cow's milk (4.0 % fat, 8.3 % other solids).",
    equation="NEm = milk, kg x (0.092 x 4.0 + 0.049 x 8.3 - 0.0569)",
    refs=(
        Ref(
            "unl-condition",
            "table 2, energy for 17.6 lb of milk at the peak, months 1 to 6",
            "from memory, agrees with published",
        ),
    ),
    longhand="{milk_lb}*0.45359237*(0.092*4+0.049*8.3-0.0569)",
)
def nem_for_milk(
    milk_lb: Annotated[Number, Arg("Milk", "lb/day", lo=0, hi=150)],
) -> Annotated[Number, Result("Net energy for milk", "Mcal/day", 0, 60)]:
    """Net energy for milk.

    What the calf drinks, the cow must eat.

    With 4.0 % fat and 8.3 % other solids, 0.7178 Mcal per kg of milk.

    20 lb is 9.072 kg:

    >>> nem_for_milk(20)  # 9.072 x 0.7178
    6.51
    """
    return milk_mcal(milk_lb * LB_TO_KG)


def pregnancy_mcal(calf_kg: Number, days_pregnant: Number) -> Number:
    """Net energy for the unborn calf and the womb; 0 for an open cow (day 0 or before)."""
    kept = (WOMB_BASE - WOMB_SLOPE * days_pregnant) * np.exp((WOMB_RATE - WOMB_BEND * days_pregnant) * days_pregnant)
    need = MAINTENANCE_EFFICIENCY / PREGNANCY_EFFICIENCY * calf_kg * kept / KCAL_PER_MCAL
    return np.where(days_pregnant > 0, need, 0.0)


@worksheet(
    "NEM_FOR_PREGNANCY",
    TOPIC,
    "Net energy a day for the unborn calf, from its birth weight and the day of pregnancy.",
    equation="NEm = 0.576 / 0.13 x calf, kg x (0.05855 - 0.0000996 t) e^((0.03233 - 0.0000275 t) t) / 1000",
    refs=(
        Ref("nrc-2000", "p. 43, efficiency 13 % and 0.576"),
        Ref("nrc-2000", "Table 4-2, days 130 to 280", "from memory, agrees with published"),
    ),
    longhand=(
        "IF({days_pregnant}>0,0.576/0.13*{calf_weight_lb}*0.45359237*(0.05855-0.0000996*{days_pregnant})"
        "*EXP((0.03233-0.0000275*{days_pregnant})*{days_pregnant})/1000,0)"
    ),
)
def nem_for_pregnancy(
    calf_weight_lb: CalfWeight,
    days_pregnant: Annotated[Number, Arg("Day of pregnancy, 0 for an open cow", "days", lo=0, hi=300)],
) -> Annotated[Number, Result("Net energy for pregnancy", "Mcal/day", 0, 40)]:
    """Net energy for pregnancy.

    Nearly nothing for six months, then more than a third of a cow's maintenance.

    It agrees with the book's Table 4-2 within 0.003 Mcal, to which the equation's own coefficients are rounded.

    Calf 38.5 kg = 84.9 lb, day 250:

    >>> nem_for_pregnancy(84.878, 250)  # Mcal; the table prints 3.333
    3.332
    """
    return pregnancy_mcal(calf_weight_lb * LB_TO_KG, days_pregnant)
