"""Water and vitamin A: what cattle drink by class and weather, and what they need of the vitamin."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Name, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.tables import load

TOPIC = "Minerals and water"
COOL, WARM, STEP = 70, 80, 10  # deg F of the printed columns
IU_PER_LB = {"growing": 1000, "stressed": 2250, "pregnant": 1300, "in milk": 1800}  # Oklahoma State

PLACE = Step("place", "MATCH({cattle_class},{@water_intake.cattle_class},0)", "The class's place in the table", "1")
COLUMNS = ("at_70", "at_80", "at_90")


@worksheet(
    "WATER_A_DAY",
    TOPIC,
    "Water that cattle drink a day, by class and the day's temperature; below 70 deg F the figure of 70 stands.",
    equation="between the printed 70, 80 and 90 deg F by straight lines; the upper line goes on to 100",
    refs=(
        Ref("beef-water", "table from NRC 1996 and Winchester and Morris 1956", "published, second hand"),
        Ref("csu-water", "8, 10 and 18 % of weight at 40, 70 and 90 deg F"),
    ),
    longhand=Longhand(
        "{cool}+({warm}-{cool})/10*MIN(10,MAX(0,{temperature_f}-70))+({hot}-{warm})/10*MAX(0,{temperature_f}-80)",
        (
            PLACE,
            Step("cool", "INDEX({@water_intake.at_70},{place})", "Water at 70 deg F", "gal/day"),
            Step("warm", "INDEX({@water_intake.at_80},{place})", "Water at 80 deg F", "gal/day"),
            Step("hot", "INDEX({@water_intake.at_90},{place})", "Water at 90 deg F", "gal/day"),
        ),
    ),
)
def water_a_day(
    cattle_class: Annotated[str, Name("Class of cattle, e.g. lactating cow", "water_intake")],
    temperature_f: Annotated[
        Number, Arg("Warmest of the day", "deg F", lo=-60, hi=100, fit=(70, 90), fix="printed up to 90 deg F")
    ],
) -> Annotated[Number, Result("Water", "gal/day", 0, 60)]:
    """Water a day.

    For tanks and troughs, and for what the water adds of nitrate and sulfur.

    Print begins at 70 deg F: in winter they drink about a fifth less than its figure (8 % of weight at 40 deg F
    against 10 % at 70), so a trough is safe with it.  Salt adds about 5 gallons for each lb.

    >>> water_a_day("lactating cow", 85)  # gallons
    19.75
    """
    row = load("water_intake").row(cattle_class, "WATER_A_DAY", "cattle_class")
    cool, warm, hot = (float(row[c] or 0) for c in COLUMNS)
    mild = np.minimum(STEP, np.maximum(0, temperature_f - COOL))
    return cool + (warm - cool) / STEP * mild + (hot - warm) / STEP * np.maximum(0, temperature_f - WARM)


@worksheet(
    "VITAMIN_A_NEED",
    TOPIC,
    "Vitamin A that cattle need a day, from the dry matter they eat.",
    equation="IU = dry matter x 1,000 growing, 2,250 stressed, 1,300 pregnant, 1,800 in milk",
    refs=(
        Ref("osu-vitamin-a", "table 1, IU per lb of feed dry matter"),
        Ref("ksu-vitamin-a", "1,000, 1,270 and 1,770 IU per lb; 35,000 dry and 50,000 in milk at 1,300 lb"),
    ),
    longhand="{dm_intake_lb}*CHOOSE({stage#},1000,2250,1300,1800)",
)
def vitamin_a_need(
    stage: Annotated[str, Words("What kind of cattle; stressed are calves just weaned or shipped", tuple(IU_PER_LB))],
    dm_intake_lb: Annotated[Number, Arg("Dry matter eaten", "lb DM/day", lo=0, hi=100)],
) -> Annotated[Number, Result("Vitamin A", "IU/day", 0, 300_000)]:
    """Vitamin A a day.

    What the mineral mix must bring from the second month of feeding stored hay.

    Count stored hay as holding none after two months: it loses 40 to 77 % in the first two and goes on.  The
    liver's store lasts 2 to 4 months after green grass.

    A dry cow on 26 lb:

    >>> vitamin_a_need("pregnant", 26)  # IU; print rounds to 34,000
    33800
    """
    return dm_intake_lb * IU_PER_LB[stage]
