"""The stock of hay: what of it reaches the cow, what is short, what the feeder wastes."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Number, Ref, Result, worksheet
from hayfuncs.hay.inventory import TOPIC, BaleWeight, Days, DmPct, FeedingLoss, Head, IntakeDm, StorageLoss


@worksheet(
    "HAY_ON_HAND",
    TOPIC,
    "Hay of a lot that reaches the cow: bales times weight, less storage and feeding loss.",
    equation="hay = bales x bale weight x (1 - storage loss / 100) x (1 - feeding loss / 100)",
    refs=(Ref("wvfb-2014", "57.1 tons at 15 % feeding loss are 48.5 tons eaten, read backwards"),),
    longhand="{bales}*{bale_weight_lb}*(1-{storage_loss_pct}/100)*(1-{feeding_loss_pct}/100)",
)
def hay_on_hand(
    bales: Annotated[Number, Arg("Bales in store", "bales", lo=0, hi=1e6)],
    bale_weight_lb: BaleWeight,
    storage_loss_pct: StorageLoss,
    feeding_loss_pct: FeedingLoss,
) -> Annotated[Number, Result("Hay that will be eaten", "lb as fed", 0, 5e9)]:
    """Hay of a lot that reaches the cow.

    The lot's worth in a feeding plan is what is eaten of it, not what was baled.

    A broken bale may count as a part. The answer is at the dry matter the hay was weighed at; it is the product
    that HAY_NEEDED divides by.

    100 bales of 1,200 lb, 8 % and 20 % lost:

    >>> hay_on_hand(100, 1200, 8, 20)  # lb
    88320
    """
    return bales * bale_weight_lb * (1 - storage_loss_pct / 100) * (1 - feeding_loss_pct / 100)


@worksheet(
    "HAY_SHORT",
    TOPIC,
    "Hay that is missing: what is needed less what is in store, 0 when there is enough.",
    equation="short = hay needed - hay in store, at least 0",
    refs=(Ref("definition", "difference, not below 0", "common practice, no source"),),
    longhand="MAX({hay_needed_lb}-{hay_lb},0)",
)
def hay_short(
    hay_needed_lb: Annotated[Number, Arg("Hay needed at storing (HAY_NEEDED)", "lb as fed", lo=0, hi=1e9)],
    hay_lb: Annotated[Number, Arg("Hay in store, before any loss", "lb as fed", lo=0, hi=1e9)],
) -> Annotated[Number, Result("Hay short", "lb as fed", 0, 1e9)]:
    """Hay that is missing.

    The weight on the purchase list; HAY_COST puts the price on it.

    Hay bought during winter has less storage loss ahead, so this is on the safe side.

    >>> hay_short(198000, 150000)  # lb
    48000
    """
    return np.maximum(hay_needed_lb - hay_lb, 0)


@worksheet(
    "HAY_WASTED",
    TOPIC,
    "Hay that a feeder wastes while the cattle eat what they need.",
    equation="wasted = head x intake / (DM / 100) x days x loss / (100 - loss)",
    refs=(
        Ref("msu-feeders-2003", "waste a cow and day by feeder", "published, second hand"),
        Ref("osu-feeders-2011", "waste a bale by feeder", "published, second hand"),
    ),
    longhand="{head}*{intake_dm_lb}/({dm_pct}/100)*{days}*{feeding_loss_pct}/(100-{feeding_loss_pct})",
)
def hay_wasted(
    head: Head, intake_dm_lb: IntakeDm, days: Days, dm_pct: DmPct, feeding_loss_pct: FeedingLoss
) -> Annotated[Number, Result("Hay wasted", "lb as fed", 0)]:
    """Hay wasted at a feeder.

    Times the price of hay this is what a feeder costs each winter; two feeders are compared at the same intake.

    The loss is a share of the hay put out, so it is larger still as a share of the hay eaten.

    25.3 lb eaten at 3.5 % waste:

    >>> hay_wasted(1, 25.3, 1, 100, 3.5)  # lb a day
    0.9
    """
    eaten = head * intake_dm_lb / (dm_pct / 100) * days
    return eaten * feeding_loss_pct / (100 - feeding_loss_pct)
