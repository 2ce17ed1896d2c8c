"""Classes of cattle that a herd list may hold, and by which function each class's need is found.

A cow's need is DAILY_NEED's; a female that still grows and calves has HEIFER_NEED's, with a gain and a milk of her
own; cattle that only grow, and bulls, have GROWING_NEED's for the gain that is wanted of them.
"""

from __future__ import annotations

from hayfuncs.contract.units import DAYS_PER_YEAR
from hayfuncs.cow.growth import CLASSES, POINTS, target_weight
from hayfuncs.cow.heifer_need import CALVES, young_cow_milk
from hayfuncs.cow.requirement_model import GESTATION

COW, SECOND_CALF, FIRST_CALF, BRED = "cow", "second-calf cow", "first-calf cow", "bred heifer"
# what calves and still grows: the calf she nurses, the last weight aimed at, the next one, and the days between them
CALVING = {
    SECOND_CALF: (CALVES[1], POINTS[2], POINTS[3], DAYS_PER_YEAR),
    FIRST_CALF: (CALVES[0], POINTS[1], POINTS[2], DAYS_PER_YEAR),
    BRED: (CALVES[0], POINTS[0], POINTS[1], GESTATION),
}
# what grows and has no calf: the class by which GROWING_NEED knows it; heifer and steer calves count alike there
GROWING = {
    "replacement heifer": CLASSES[3],
    "weaned calf": CLASSES[0],
    "weaned bull calf": CLASSES[2],
    "yearling steer": CLASSES[4],
    "bull": CLASSES[5],
}
CATTLE = (COW, *CALVING, *GROWING)


def usual_gain_lb(cattle_class: str, grown_lb: float) -> float:
    """Gain of her own that takes a young cow from one TARGET_WEIGHT to the next, lb a day."""
    _, last, following, days = CALVING[cattle_class]
    return float(target_weight(grown_lb, following) - target_weight(grown_lb, last)) / days


def own_milk_lb(cattle_class: str, grown_peak_lb: float) -> float:
    """Milk at her peak where the herd's grown cows give so much."""
    return float(young_cow_milk(grown_peak_lb, CALVING[cattle_class][0])) if cattle_class in CALVING else grown_peak_lb
