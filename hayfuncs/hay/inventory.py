"""Hay on hand: what a bale weighs, how much is lost on the way to the cow, how long it lasts.

Losses are percent of dry matter; the hay keeps its dry matter content, so they apply to
as-fed pounds as well.  Storage loss comes first, feeding loss on what is left.
"""

from __future__ import annotations

import math
from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Name, Number, Ref, Result, Rule, worksheet
from hayfuncs.contract.rounding import whole_up
from hayfuncs.contract.tables import load
from hayfuncs.contract.units import INCHES_PER_FOOT

TOPIC = "Cost and inventory"

DmPct = Annotated[Number, Arg("Dry matter of the hay", "% as fed", lo=0, hi=100, above=True)]
Head = Annotated[Number, Arg("Cattle fed", "head", lo=1, hi=100_000, fix="give the number of head, 1 or more")]
IntakeDm = Annotated[
    Number, Arg("Hay eaten by one animal", "lb DM/day", lo=0.1, hi=100, fix="give what one animal eats in a day")
]
Days = Annotated[Number, Arg("Days of feeding", "days", lo=1, hi=3660)]
StorageLoss = Annotated[Number, Arg("Lost in storage", "% DM", lo=0, hi=95, fix="give percent, as STORAGE_LOSS does")]
FeedingLoss = Annotated[Number, Arg("Lost at feeding", "% DM", lo=0, hi=95, fix="give percent, as FEEDING_LOSS does")]
HayLb = Annotated[Number, Arg("Hay in store, before any loss", "lb as fed", lo=0, hi=1e9)]
BaleWeight = Annotated[
    Number, Arg("Weight of one bale", "lb as fed", lo=5, hi=5000, fix="weigh a few bales and give the mean")
]


def loss(table: str, name: str, function: str, argument: str) -> float:
    """The loss that a table gives for a name."""
    value = load(table).row(name, function, argument)["loss_pct"]
    assert isinstance(value, float), f"table {table} has no loss for {name}"
    return value


@worksheet(
    "ROUND_BALE_WEIGHT",
    TOPIC,
    "Weight of a round bale from its size and density.",
    equation="weight = pi x (diameter / 2)^2 x width x density",
    refs=(Ref("tamu-e319", "table of bale sizes: 4 x 4 ft 563 lb, 5 x 4 ft 704 lb, 5 x 5 ft 1,100 lb"),),
    longhand="PI()*({diameter_ft}/2)^2*{width_ft}*{density_lb_ft3}",
)
def round_bale_weight(
    diameter_ft: Annotated[Number, Arg("Diameter of the bale", "ft", lo=1, hi=12)],
    width_ft: Annotated[Number, Arg("Width of the bale", "ft", lo=1, hi=12)],
    density_lb_ft3: Annotated[
        Number, Arg("Density of the bale as fed", "lb/ft3", lo=1, hi=60, fit=(9, 12), fix="weigh a bale or two")
    ],
) -> Annotated[Number, Result("Weight of the bale", "lb as fed", 0, 82_000)]:
    """Weight of a round bale.

    Purpose: a stack counted in bales becomes pounds; half a foot of diameter is a fifth of the hay.
    Equation: weight = pi x (diameter / 2)^2 x width x density.
    Arguments: diameter_ft, width_ft - ft, 1 to 12; density_lb_ft3 - lb as fed per cubic foot,
        1 to 60, round bales 9 to 12 (9 from farm press, 12 from memory).  Weigh a bale when you can.
    Result: lb as fed; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for blank or text.
    Source: Texas A&M AgriLife Extension E-319 (2012), whose 5 x 5 ft bale of 1,100 lb has
        11.20 lb per cubic foot.
    Example: round_bale_weight(5, 5, 11.2045) = 1,100 lb.
    """
    return math.pi * (diameter_ft / 2) ** 2 * width_ft * density_lb_ft3


@worksheet(
    "SQUARE_BALE_WEIGHT",
    TOPIC,
    "Weight of a small or large square bale from its size and density.",
    equation="weight = height x width x length x density",
    refs=(Ref("idaho-density", "small square 8 to 11, large square 14 to 16 lb per cubic foot"),),
    longhand="{height_ft}*{width_ft}*{length_ft}*{density_lb_ft3}",
)
def square_bale_weight(
    height_ft: Annotated[Number, Arg("Height of the bale", "ft", lo=0.5, hi=12)],
    width_ft: Annotated[Number, Arg("Width of the bale", "ft", lo=0.5, hi=12)],
    length_ft: Annotated[Number, Arg("Length of the bale", "ft", lo=0.5, hi=20)],
    density_lb_ft3: Annotated[
        Number, Arg("Density of the bale as fed", "lb/ft3", lo=1, hi=60, fit=(8, 16), fix="weigh a bale or two")
    ],
) -> Annotated[Number, Result("Weight of the bale", "lb as fed", 0, 172_800)]:
    """Weight of a rectangular bale.

    Purpose: a stack counted in bales becomes pounds.
    Equation: weight = height x width x length x density.
    Arguments: height_ft, width_ft - ft, 0.5 to 12; length_ft - ft, 0.5 to 20; density_lb_ft3 -
        lb as fed per cubic foot, 1 to 60; small square bales 8 to 11, large ones 14 to 16.
    Result: lb as fed; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for blank or text.
    Source: densities from the University of Idaho; the volume is geometry.
    Example: 3 x 4 x 8 ft at 14 lb: square_bale_weight(3, 4, 8, 14) = 1,344 lb (96 cubic feet).
    """
    return height_ft * width_ft * length_ft * density_lb_ft3


@worksheet(
    "HAY_NEEDED",
    TOPIC,
    "Hay to put in store so that, after storage and feeding losses, the cattle eat what they need.",
    equation="need = head x intake / (DM / 100) x days / (1 - storage loss / 100) / (1 - feeding loss / 100)",
    refs=(
        Ref("wvfb-2014", "48.5 tons eaten at 15 % feeding loss are 57.1 tons"),
        Ref("uapb-2013", "100 cows, 22 to 33 lb, 90 days: 99 to 149 tons of DM"),
    ),
    longhand="{head}*{intake_dm_lb}/({dm_pct}/100)*{days}/(1-{storage_loss_pct}/100)/(1-{feeding_loss_pct}/100)",
)
def hay_needed(
    head: Head,
    intake_dm_lb: IntakeDm,
    days: Days,
    dm_pct: DmPct,
    storage_loss_pct: StorageLoss,
    feeding_loss_pct: FeedingLoss,
) -> Annotated[Number, Result("Hay needed at storing", "lb as fed", 0)]:
    """Hay needed at storing.

    Purpose: how much to put up or buy; the two losses multiply, they do not add.
    Equation: need = head x intake / (DM / 100) x days / (1 - storage loss / 100)
        / (1 - feeding loss / 100).
    Arguments: head - 1 to 100,000; intake_dm_lb - lb of dry matter an animal a day, 0.1 to 100;
        days - 1 to 3,660; dm_pct - % as fed, above 0 to 100; storage_loss_pct, feeding_loss_pct -
        % of dry matter, 0 to 95.
    Result: lb as fed at storing; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for blank or text.
    Source: West Virginia Farm Bureau 2014; University of Arkansas at Pine Bluff 2013.
    Example: 100 cows at 22 lb for 90 days, no loss: hay_needed(100, 22, 90, 100, 0, 0) = 198,000 lb.
    """
    eaten = head * intake_dm_lb / (dm_pct / 100) * days
    return eaten / (1 - storage_loss_pct / 100) / (1 - feeding_loss_pct / 100)


@worksheet(
    "BALES_NEEDED",
    TOPIC,
    "Whole bales that hold a weight of hay, rounded up.",
    equation="bales = hay needed / bale weight, rounded up",
    refs=(Ref("ndsu-2016", "40 lb a day for 30 days is one bale of 1,200 lb for a cow and month"),),
    longhand="ROUNDUP({hay_needed_lb}/{bale_weight_lb}*(1-0.000000000001),0)",
)
def bales_needed(
    hay_needed_lb: Annotated[Number, Arg("Hay needed at storing", "lb as fed", lo=0, hi=1e9)],
    bale_weight_lb: BaleWeight,
) -> Annotated[Number, Result("Whole bales", "bales", 0, 2e8)]:
    """Whole bales needed.

    Purpose: hay is bought and hauled by the bale.
    Equation: bales = hay needed / bale weight, rounded up.  An excess below one part in a million
        million is the computer's own rounding and asks for no further bale.
    Arguments: hay_needed_lb - lb as fed, 0 or more; bale_weight_lb - lb as fed, 5 to 5,000.
    Result: a whole number of bales; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for blank or text.
    Source: North Dakota State University 2016 example.
    Example: bales_needed(1200, 1200) = 1; bales_needed(1201, 1200) = 2.
    """
    return whole_up(hay_needed_lb / bale_weight_lb)


@worksheet(
    "DAYS_OF_HAY",
    TOPIC,
    "How many days the hay in store feeds the herd, after storage and feeding losses.",
    equation="days = hay x DM / 100 x (1 - storage loss / 100) x (1 - feeding loss / 100) / (head x intake)",
    refs=(Ref("uapb-2013", "99 tons of DM feed 100 cows at 22 lb for 90 days"),),
    longhand="{hay_lb}*{dm_pct}/100*(1-{storage_loss_pct}/100)*(1-{feeding_loss_pct}/100)/({head}*{intake_dm_lb})",
)
def days_of_hay(
    hay_lb: HayLb,
    dm_pct: DmPct,
    storage_loss_pct: StorageLoss,
    feeding_loss_pct: FeedingLoss,
    head: Head,
    intake_dm_lb: IntakeDm,
) -> Annotated[Number, Result("Days the hay lasts", "days", 0, 1e10)]:
    """Days the hay lasts.

    Purpose: is there enough to reach grass?
    Equation: days = hay x DM / 100 x (1 - storage loss / 100) x (1 - feeding loss / 100)
        / (head x intake).
    Arguments: hay_lb - lb as fed in store before losses, 0 or more; dm_pct - % as fed, above 0
        to 100; storage_loss_pct, feeding_loss_pct - % of dry matter, 0 to 95; head - 1 to 100,000;
        intake_dm_lb - lb of dry matter an animal a day, 0.1 to 100.
    Result: days, not rounded; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for blank or text.
    Source: University of Arkansas at Pine Bluff 2013, read backwards; inverse of HAY_NEEDED.
    Example: days_of_hay(198000, 100, 0, 0, 100, 22) = 90 days.
    """
    kept = hay_lb * dm_pct / 100 * (1 - storage_loss_pct / 100) * (1 - feeding_loss_pct / 100)
    return kept / (head * intake_dm_lb)


@worksheet(
    "STORAGE_LOSS",
    TOPIC,
    "Dry matter lost in storage, by how the hay is stored.",
    equation="the table's value for the method",
    refs=(
        Ref("tennessee-storage", "grass round bales, June to January"),
        Ref("iowa-storage", "plastic wrap, which the Tennessee table has not"),
    ),
    longhand="INDEX({@storage_loss.loss_pct},MATCH({method},{@storage_loss.method},0))",
)
def storage_loss(
    method: Annotated[str, Name("How the hay is stored", "storage_loss")],
) -> Annotated[Number, Result("Loss of dry matter", "% DM", 0, 100)]:
    """Dry matter lost in storage.

    Purpose: hay left on the ground in the rain is hay that must be bought again.
    Equation: none; a table.  Where sources differ the table keeps each one's column; the value
        given is that of the University of Tennessee, since one trial held all its methods side by
        side; plastic wrap, which it has not, is from Iowa State.
    Arguments: method - a name of the table storage_loss.
    Result: % of dry matter.
    Errors: NotInTable for another name; BadInput for a blank.
    Source: University of Tennessee, grass round bales kept from June to January; Iowa State.
    Example: storage_loss("on ground, uncovered") = 37 %.
    """
    return loss("storage_loss", method, "STORAGE_LOSS", "method")


@worksheet(
    "FEEDING_LOSS",
    TOPIC,
    "Hay dry matter wasted at feeding, by kind of feeder.",
    equation="the table's value for the feeder",
    refs=(
        Ref("msu-feeders-2003", "cone, ring, trailer, cradle", "published, second hand"),
        Ref("osu-feeders-2011", "modified cone, sheeted ring, open ring, poly; no feeder", "published, second hand"),
    ),
    longhand="INDEX({@feeding_loss.loss_pct},MATCH({feeder},{@feeding_loss.feeder},0))",
)
def feeding_loss(
    feeder: Annotated[str, Name("Kind of feeder", "feeding_loss")],
) -> Annotated[Number, Result("Loss of dry matter", "% DM", 0, 100)]:
    """Hay wasted at feeding.

    Purpose: the feeder decides more of the winter's hay than most rations do.
    Equation: none; a table of two trials, each with its own cattle and hay: compare feeders
        inside one trial.
    Arguments: feeder - a name of the table feeding_loss.
    Result: % of the dry matter offered.
    Errors: NotInTable for another name; BadInput for a blank.
    Source: Michigan State University trial (Journal of Animal Science 2003) and Oklahoma State
        University trial, both as quoted by extension writers.
    Example: feeding_loss("open ring") = 20.5 %.
    """
    return loss("feeding_loss", feeder, "FEEDING_LOSS", "feeder")


@worksheet(
    "WEATHERED_SHARE",
    TOPIC,
    "Share of a round bale that lies in its weathered outer layer.",
    equation="share = 100 x (1 - ((diameter - 2 x layer) / diameter)^2)",
    refs=(
        Ref("definition", "geometry of a cylinder", "common practice, no source"),
        Ref("weathered-layer", "shares by layer and diameter, printed as round figures", "published, second hand"),
    ),
    longhand="100*(1-(({diameter_ft}-2*{layer_in}/12)/{diameter_ft})^2)",
    rules=(
        Rule(
            lambda diameter, layer: 2 * layer / INCHES_PER_FOOT <= diameter,
            "2*{layer_in}/12<={diameter_ft}",
            "layer_in",
            "at most half the diameter of the bale",
            "measure the spoilt layer from the outside inwards, in inches",
        ),
    ),
)
def weathered_share(
    diameter_ft: Annotated[Number, Arg("Diameter of the bale", "ft", lo=1, hi=12)],
    layer_in: Annotated[Number, Arg("Depth of the weathered layer", "in", lo=0, hi=72)],
) -> Annotated[Number, Result("Share of the bale", "%", 0, 100)]:
    """Share of a round bale in its weathered layer.

    Purpose: six inches of black hay on a five-foot bale is a third of the bale.
    Equation: share = 100 x (1 - ((diameter - 2 x layer) / diameter)^2), the curved side only.
    Arguments: diameter_ft - ft, 1 to 12; layer_in - inches, 0 to half the diameter.
    Result: % of the bale's volume; block in, block out.
    Errors: OutOfRange for a layer deeper than the bale; BadInput for blank or text.
    Source: geometry; a trade page prints the same shares as round figures.
    Example: weathered_share(5, 6) = 36 %.
    """
    return 100 * (1 - ((diameter_ft - 2 * layer_in / INCHES_PER_FOOT) / diameter_ft) ** 2)
