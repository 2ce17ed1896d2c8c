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

    A stack counted in bales becomes pounds; half a foot of diameter is a fifth of the hay.

    Weigh a bale when you can. Of the usual densities 9 is from farm press and 12 from memory; a 5 x 5 ft bale
    of 1,100 lb has 11.20 lb per cubic foot.

    >>> round_bale_weight(5, 5, 11.2045)  # lb
    1100
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

    A stack counted in bales becomes pounds.

    Small square bales hold 8 to 11 lb per cubic foot, large ones 14 to 16.

    3 x 4 x 8 ft at 14 lb:

    >>> square_bale_weight(3, 4, 8, 14)  # lb; 96 cubic feet
    1344
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

    How much to put up or buy; the two losses multiply, they do not add.

    100 cows at 22 lb for 90 days, no loss:

    >>> hay_needed(100, 22, 90, 100, 0, 0)  # lb
    198000
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

    Hay is bought and hauled by the bale.

    An excess below one part in a million million is the computer's own rounding and asks for no further bale.

    >>> bales_needed(1200, 1200)
    1.0
    >>> bales_needed(1201, 1200)
    2.0
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

    Is there enough to reach grass?

    The inverse of HAY_NEEDED; the days are not rounded.

    >>> days_of_hay(198000, 100, 0, 0, 100, 22)  # days
    90
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

    Hay left on the ground in the rain is hay that must be bought again.

    Where sources differ the table keeps each one's column; the value given is that of the University of
    Tennessee, since one trial held all its methods side by side.

    >>> storage_loss("on ground, uncovered")  # %
    37
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

    The feeder decides more of the winter's hay than most rations do.

    The table holds two trials, each with its own cattle and hay: compare feeders inside one trial.

    >>> feeding_loss("open ring")  # %
    20.5
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

    Six inches of black hay on a five-foot bale is a third of the bale.

    The curved side only, as a share of the bale's volume.

    >>> weathered_share(5, 6)  # %
    36
    """
    return 100 * (1 - ((diameter_ft - 2 * layer_in / INCHES_PER_FOOT) / diameter_ft) ** 2)
