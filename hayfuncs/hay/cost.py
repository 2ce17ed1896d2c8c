"""Cost: dollars per ton as fed turned into dollars per ton and per pound of what is bought.

A ton of hay is bought as fed; what feeds the cow is its dry matter and the TDN and protein
in it.  Tons are short tons of 2,000 lb.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Number, Ref, Result, worksheet
from hayfuncs.contract.units import LB_PER_TON

TOPIC = "Cost and inventory"

Price = Annotated[Number, Arg("Price of the feed", "$/ton as fed", lo=0, hi=1e5)]
DmPct = Annotated[Number, Arg("Dry matter of the feed", "% as fed", lo=0, hi=100, above=True)]
NutrientPct = Annotated[
    Number,
    # urea carries 281 % protein equivalent (University of Missouri G2071), so 100 is no limit here
    Arg("Content of the nutrient (TDN or CP; 100 for dry matter itself)", "% DM", lo=0, hi=300, above=True),
]


@worksheet(
    "PRICE_PER_DRY_TON",
    TOPIC,
    "Price of a ton of dry matter, so that wet and dry feeds can be compared.",
    equation="price per ton DM = price per ton as fed / (DM / 100)",
    refs=(Ref("nebraska-2020", "alfalfa at $110 a ton and 85 % DM is $129.41 a ton of DM"),),
    longhand="{price_per_ton}/({dm_pct}/100)",
)
def price_per_dry_ton(price_per_ton: Price, dm_pct: DmPct) -> Annotated[Number, Result("Price", "$/ton DM", 0)]:
    """Price of a ton of dry matter.

    The water in a feed is paid for but feeds no cow.

    >>> price_per_dry_ton(110, 85)  # $/ton DM
    129.41
    """
    return price_per_ton / (dm_pct / 100)


@worksheet(
    "COST_PER_LB_NUTRIENT",
    TOPIC,
    "What one pound of TDN or protein costs in a feed.",
    equation="cost = price per ton / (2,000 x DM / 100 x nutrient / 100)",
    refs=(
        Ref("nevada-2009", "hay at $100 a ton, 87 % DM, 19.55 % CP: 29.4 cents a pound of CP"),
        Ref("alabama-cost", "soyhulls at $180 a ton, 90 % DM, 75 % TDN: $0.13 a pound of TDN"),
    ),
    longhand="{price_per_ton}/(2000*{dm_pct}/100*{nutrient_pct}/100)",
)
def cost_per_lb_nutrient(
    price_per_ton: Price, dm_pct: DmPct, nutrient_pct: NutrientPct
) -> Annotated[Number, Result("Cost of a pound of the nutrient", "$/lb", 0)]:
    """Cost of one pound of a nutrient.

    Find the cheapest source of the nutrient that is short, never of the feed as such.

    Urea counts as 281 % CP.

    >>> cost_per_lb_nutrient(180, 90, 75)  # $/lb of TDN; 1,350 lb of TDN in the ton
    0.1333
    """
    return price_per_ton / (LB_PER_TON * dm_pct / 100 * nutrient_pct / 100)


@worksheet(
    "BREAK_EVEN_PRICE",
    TOPIC,
    "Price at which another feed gives the nutrient at the same cost a pound as the feed you know.",
    equation="other price = price x (other DM x other nutrient) / (DM x nutrient)",
    refs=(Ref("penn-1993", "grass hay at $50 against grass-legume hay: 59 and 38 % TDN at 82 % DM make $77.63"),),
    longhand="{price_per_ton}*({other_dm_pct}*{other_nutrient_pct})/({dm_pct}*{nutrient_pct})",
)
def break_even_price(
    price_per_ton: Price,
    dm_pct: DmPct,
    nutrient_pct: NutrientPct,
    other_dm_pct: Annotated[Number, Arg("Dry matter of the other feed", "% as fed", lo=0, hi=100, above=True)],
    other_nutrient_pct: Annotated[
        Number, Arg("Content of the same nutrient in the other feed", "% DM", lo=0, hi=300, above=True)
    ],
) -> Annotated[Number, Result("Price at which the two are equal", "$/ton as fed", 0)]:
    """Price at which another feed is worth the same per pound of a nutrient.

    "what can I pay for that hay?"; below this price the other feed is the cheaper source of this one nutrient,
    above it the dearer.

    The first three are of the feed whose price is known. Give 100 for both nutrients to compare on dry matter
    alone.

    Hay at 38 % TDN costs $50:

    >>> break_even_price(50, 82, 38, 82, 59)  # $/ton
    77.63
    """
    return price_per_ton * (other_dm_pct * other_nutrient_pct) / (dm_pct * nutrient_pct)


@worksheet(
    "BALE_PRICE_PER_TON",
    TOPIC,
    "Price per ton of hay that is sold by the bale.",
    equation="price per ton = price per bale / bale weight x 2,000",
    refs=(Ref("tamu-e319", "$50 for a bale of 1,100 lb is $90.91 a ton"),),
    longhand="{price_per_bale}/{bale_weight_lb}*2000",
)
def bale_price_per_ton(
    price_per_bale: Annotated[Number, Arg("Price of one bale", "$", lo=0, hi=1e4)],
    bale_weight_lb: Annotated[
        Number, Arg("Weight of one bale", "lb as fed", lo=5, hi=5000, fix="weigh a few bales and give the mean")
    ],
) -> Annotated[Number, Result("Price per ton", "$/ton as fed", 0, 4e6)]:
    """Price per ton of hay sold by the bale.

    Two bales at one price are seldom two bales of one weight.

    >>> bale_price_per_ton(50, 1100)  # $/ton
    90.91
    """
    return price_per_bale / bale_weight_lb * LB_PER_TON


@worksheet(
    "HAY_COST",
    TOPIC,
    "What a weight of hay costs: the shortfall to be bought, or the hay that is wasted.",
    equation="cost = hay / 2,000 x price per ton",
    refs=(
        Ref("osu-feeders-2011", "63.6 lb wasted of a 1,200-lb bale at $70 is $3.71 a bale", "published, second hand"),
    ),
    longhand="{hay_lb}/2000*{price_per_ton}",
)
def hay_cost(
    hay_lb: Annotated[Number, Arg("Weight of hay", "lb as fed", lo=0, hi=1e9)], price_per_ton: Price
) -> Annotated[Number, Result("Cost", "$", 0, 5e10)]:
    """Cost of a weight of hay.

    Puts a price on a shortfall (HAY_SHORT) or on waste (HAY_WASTED).

    A 1,200-lb bale at $70 is $116.6667 a ton:

    >>> hay_cost(63.6, 116.6667)  # $
    3.71
    """
    return hay_lb / LB_PER_TON * price_per_ton
