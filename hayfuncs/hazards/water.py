"""What bad water adds to the diet's nitrate, and what a water test means."""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Number, Ref, Result, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.contract.units import LB_TO_KG, LITERS_PER_GALLON

WATER = "Minerals and water"
NITRATE_SOME, NITRATE_MUCH = 100, 300  # ppm of nitrate-nitrogen, South Dakota State
SULFATE_SOME, SULFATE_MUCH = 1000, 3000  # mg/L: under 1,000 acceptable; from 3,000 feed is left and cattle sicken

CLEAR = "Clear: nitrate and sulfate of this water are in the range that cattle drink without harm. The diet's own are added to it."
SOME = (
    "Caution: this water adds to the nitrate or the sulfur of the feed. Reckon both together (NITRATE_WITH_WATER, DIET_SULFUR), "
    "and give calves and cattle in milk better water."
)
MUCH = "Danger: this water alone can poison cattle or turn them from feed. Find other water, and test it before cattle come to it."


@worksheet(
    "NITRATE_WITH_WATER",
    WATER,
    "Nitrate-nitrogen of feed and water together, as ppm of the feed's dry matter.",
    equation="ppm = feed ppm + water ppm x gallons x 3.785411784 / (lb x 0.45359237)",
    refs=(Ref("sdsu-water", "feed and water add up; water of 0 to 100, 100 to 300 and over 300 ppm NO3-N"),),
    longhand="{feed_no3n_ppm}+{water_no3n_ppm}*{water_gal}*3.785411784/({dm_intake_lb}*0.45359237)",
)
def nitrate_with_water(
    feed_no3n_ppm: Annotated[Number, Arg("Nitrate-nitrogen of the feed (NITRATE_AS)", "ppm", lo=0, hi=50_000)],
    dm_intake_lb: Annotated[Number, Arg("Dry matter eaten", "lb DM/day", lo=0, hi=100, above=True)],
    water_gal: Annotated[Number, Arg("Water drunk (WATER_A_DAY)", "gal/day", lo=0, hi=60)],
    water_no3n_ppm: Annotated[Number, Arg("Nitrate-nitrogen of the water", "mg/L", lo=0, hi=10_000)],
) -> Annotated[Number, Result("Nitrate-nitrogen of feed and water", "ppm", 0)]:
    """Nitrate of feed and water together.

    The number to give to NITRATE_CAUTION where the well is not clean.

    Only of a feed that is mixed: of bales fed side by side take the worst.

    Hay of 1,000 ppm, 24.25 lb of dry matter, 11.62 gallons of 60 mg/L:

    >>> nitrate_with_water(1000, 24.25, 11.62, 60)  # ppm
    1240
    """
    return feed_no3n_ppm + water_no3n_ppm * water_gal * LITERS_PER_GALLON / (dm_intake_lb * LB_TO_KG)


@worksheet(
    "WATER_CAUTION",
    TOPIC,
    "What the nitrate and the sulfate of a water test mean for cattle.",
    equation="danger above 300 ppm nitrate-N or from 3,000 mg/L sulfate; caution above 100 and from 1,000",
    refs=(
        Ref("sdsu-water", "nitrate-nitrogen 0 to 100, 100 to 300, above 300 ppm"),
        Ref("producer-sulfate", "sulfate under 1,000 ppm acceptable; growth suffers from 1,000 to 2,000"),
        Ref("trade-sulfate", "sulfate of 3,000 ppm and over", "published, second hand"),
    ),
    longhand=(
        "IF(OR({water_no3n_ppm}>300,{sulfate_mg_l}>=3000)," + quoted(MUCH) + ",IF(OR({water_no3n_ppm}>100,{sulfate_mg_l}>=1000),"
        + quoted(SOME) + "," + quoted(CLEAR) + "))&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def water_caution(
    water_no3n_ppm: Annotated[float, Arg("Nitrate-nitrogen of the water", "mg/L", lo=0, hi=10_000)],
    sulfate_mg_l: Annotated[float, Arg("Sulfate of the water (not sulfate-S)", "mg/L", lo=0, hi=50_000)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on a water test.

    A winter of clean hay may be spoiled by the well, and a tank that dries out gets worse.

    >>> water_caution(20, 1800).split(":")[0]
    'Caution'
    """
    if water_no3n_ppm > NITRATE_MUCH or sulfate_mg_l >= SULFATE_MUCH:
        text = MUCH
    else:
        text = SOME if water_no3n_ppm > NITRATE_SOME or sulfate_mg_l >= SULFATE_SOME else CLEAR
    return f"{text} {VETERINARIAN_AND_OFFICE}"
