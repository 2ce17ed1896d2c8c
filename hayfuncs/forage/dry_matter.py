"""Dry matter: the oven, the two-step method, and moving a value between bases.

Feed is weighed as fed but eaten, needed and compared as dry matter, so every later
number starts here.  1 lb as fed at 90 % dry matter is 0.90 lb of dry matter.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Block, Longhand, Number, Ref, Result, Rule, worksheet
from hayfuncs.contract.errors import BadInput, OutOfRange

TOPIC = "Dry matter"
NITROGEN_TO_PROTEIN = 6.25  # protein is taken to be 16 % nitrogen: 100 / 16

DmPct = Annotated[Number, Arg("Dry matter of the feed", "% as fed", lo=0, hi=100, above=True)]
AnyValue = Annotated[Number, Arg("The lab's value", "any", lo=0, hi=1e6)]
AnyWeight = Annotated[Number, Arg("Weight", "any weight", lo=0, hi=1e9)]


@worksheet(
    "DRY_MATTER",
    TOPIC,
    "Dry matter of a sample from its wet and dry weight in one container (one-step oven method).",
    equation="DM % = (dry - container) / (wet - container) x 100",
    refs=(
        Ref("clemson-dm", "single-step equation"),
        Ref("nfta-1993", "methods 2.1.1 and 2.1.2, oven temperature and time"),
    ),
    longhand="({dry_weight}-{container_weight})/({wet_weight}-{container_weight})*100",
    rules=(
        Rule(
            lambda wet, dry, box: wet > box,
            "{wet_weight}>{container_weight}",
            "wet_weight",
            "more than the container alone",
            "weigh the container with the wet sample in it",
        ),
        Rule(
            lambda wet, dry, box: (dry <= wet) & (dry >= box),
            "AND({dry_weight}<={wet_weight},{dry_weight}>={container_weight})",
            "dry_weight",
            "between the container alone and the wet weight",
            "check that wet and dry are not swapped",
        ),
    ),
)
def dry_matter(
    wet_weight: Annotated[Number, Arg("Container with the wet sample", "any weight", lo=0, hi=1e9, above=True)],
    dry_weight: Annotated[Number, Arg("Container with the oven-dry sample", "any weight", lo=0, hi=1e9, above=True)],
    container_weight: Annotated[
        Number, Arg("The empty container (0 when the scale is zeroed)", "any weight", lo=0, hi=1e9)
    ],
) -> Annotated[Number, Result("Dry matter", "% as fed", 0, 100)]:
    """Dry matter of a sample by one oven drying.

    The first line of every feed test; all other values stand on it.

    Container 50.00 g, with wet sample 60.00, with dry 59.30:

    >>> dry_matter(60.00, 59.30, 50.00)  # %; 9.30 g dry of 10.00 g wet
    93.00
    """
    return (dry_weight - container_weight) / (wet_weight - container_weight) * 100


@worksheet(
    "DRY_MATTER_TWO_STEP",
    TOPIC,
    "Total dry matter from a partial drying of the bag and a residual drying of the ground sample.",
    equation="DM % = partial DM % x residual DM % / 100",
    refs=(Ref("clemson-dm", "two-step equation"),),
    longhand="{partial_dm_pct}*{residual_dm_pct}/100",
)
def dry_matter_two_step(
    partial_dm_pct: Annotated[
        Number, Arg("Dry matter left after drying the bag at 55-60 deg C", "% as fed", lo=0, hi=100, above=True)
    ],
    residual_dm_pct: Annotated[
        Number,
        Arg("Dry matter of the ground, air-dry sample at 105 deg C", "%", lo=0, hi=100, above=True, fit=(88, 96)),
    ],
) -> Annotated[Number, Result("Total dry matter", "% as fed", 0, 100)]:
    """Total dry matter by the two-step method.

    Wet samples are dried gently first (55-60 deg C), so that grinding and the other tests are not spoilt; the
    water still in them comes off in a second drying at 105 deg C.

    88.889 % then 93.000 %:

    >>> dry_matter_two_step(88.889, 93.0)  # %
    82.667
    """
    return partial_dm_pct * residual_dm_pct / 100


@worksheet(
    "TO_DRY_BASIS",
    TOPIC,
    "A value reported as fed (as received), put on a dry-matter basis: divide by the dry matter.",
    equation="dry value = as-fed value / (DM / 100)",
    refs=(Ref("uw-2018", "1,200-lb cow, 24 lb of DM from 70 % DM forage", "published, second hand"),),
    longhand="{as_fed_value}/({dm_pct}/100)",
)
def to_dry_basis(as_fed_value: AnyValue, dm_pct: DmPct) -> Annotated[Number, Result("The value, dry basis", "any", 0)]:
    """A lab value moved from as fed to dry basis.

    Lots are compared and balanced on dry matter; water only dilutes.

    Divide, never multiply: the dry value is the larger one.

    9.0 % protein as fed at 90 % DM:

    >>> to_dry_basis(9.0, 90)  # % of dry matter
    10.0
    """
    return as_fed_value / (dm_pct / 100)


@worksheet(
    "TO_AS_FED_BASIS",
    TOPIC,
    "A value on dry-matter basis, put on an as-fed basis: multiply by the dry matter.",
    equation="as-fed value = dry value x DM / 100",
    refs=(Ref("unl-2012", "2,000 lb of cubes at 90 % DM hold 1,800 lb of DM"),),
    longhand="{dry_value}*{dm_pct}/100",
)
def to_as_fed_basis(
    dry_value: Annotated[Number, Arg("The value on dry basis", "any", lo=0, hi=1e6)], dm_pct: DmPct
) -> Annotated[Number, Result("The value, as fed", "any", 0)]:
    """A value moved from dry basis to as fed.

    What the feed tag or the scoop says is as fed.

    12.0 % of dry matter at 82.667 % DM:

    >>> to_as_fed_basis(12.0, 82.667)  # % as fed
    9.92
    """
    return dry_value * dm_pct / 100


@worksheet(
    "DRY_WEIGHT",
    TOPIC,
    "Weight of dry matter in an as-fed weight.",
    equation="dry weight = as-fed weight x DM / 100",
    refs=(Ref("nevada-2009", "2,000 lb of hay at 87 % DM hold 1,740 lb of DM"),),
    longhand="{as_fed_weight}*{dm_pct}/100",
)
def dry_weight(
    as_fed_weight: AnyWeight, dm_pct: DmPct
) -> Annotated[Number, Result("Weight of dry matter", "any weight", 0)]:
    """Dry matter in an as-fed weight.

    What the animal eats of a bale or a scoop, without its water.

    >>> dry_weight(2000, 87)  # lb
    1740
    """
    return as_fed_weight * dm_pct / 100


@worksheet(
    "AS_FED_WEIGHT",
    TOPIC,
    "As-fed weight that holds a wanted weight of dry matter.",
    equation="as-fed weight = dry weight / (DM / 100)",
    refs=(Ref("tamu-2023", "1,100 lb x 2.5 % / 0.9 = 30.6 lb a day"),),
    longhand="{dry_weight}/({dm_pct}/100)",
)
def as_fed_weight(
    dry_weight: Annotated[Number, Arg("Weight of dry matter", "any weight", lo=0, hi=1e9)], dm_pct: DmPct
) -> Annotated[Number, Result("As-fed weight", "any weight", 0)]:
    """As-fed weight that holds a wanted weight of dry matter.

    From pounds of dry matter in the ration to pounds on the scale.

    27.5 lb of dry matter at 90 % DM:

    >>> as_fed_weight(27.5, 90)  # lb
    30.6
    """
    return dry_weight / (dm_pct / 100)


@worksheet(
    "PROTEIN_FROM_NITROGEN",
    TOPIC,
    "Crude protein from nitrogen: protein is taken to be 16 % nitrogen.",
    equation="CP = 6.25 x N",
    refs=(Ref("osu-forages", "CP = 6.25 N (16 % N)"),),
    longhand="6.25*{nitrogen_pct}",
)
def protein_from_nitrogen(
    nitrogen_pct: Annotated[Number, Arg("Nitrogen", "% DM", lo=0, hi=47, fit=(0.3, 9.6))],
) -> Annotated[Number, Result("Crude protein", "% DM", 0, 300)]:
    """Crude protein from nitrogen.

    Some labs report nitrogen.

    Protein holds 16 % nitrogen, and 6.25 is 100 / 16. Urea is 46.7 % nitrogen.

    >>> protein_from_nitrogen(1.6)  # %
    10.0
    """
    return NITROGEN_TO_PROTEIN * nitrogen_pct


@worksheet(
    "WEIGHTED_MEAN",
    TOPIC,
    "Mean of values, each counted by its weight: the test of a pile made of several lots.",
    equation="mean = sum(value x weight) / sum(weight)",
    refs=(Ref("definition", "weighted arithmetic mean", "common practice, no source"),),
    longhand=Longhand(
        "IF(OR(COUNT({values})<ROWS({values})*COLUMNS({values}),COUNT({weights})<COUNT({values})),#VALUE!,"
        "IF(OR(MIN({weights})<0,SUM({weights})<=0),#NUM!,SUMPRODUCT({values},{weights})/SUM({weights})))"
    ),
)
def weighted_mean(
    values: Annotated[np.ndarray, Block("The values, one unit and basis", "any")],
    weights: Annotated[np.ndarray, Block("Their weights, dry matter for values on dry basis", "any weight")],
) -> Annotated[float, Result("Weighted mean", "any")]:
    """Mean of values counted by weight.

    One number for hay fed from several lots; weigh dry-basis values by dry matter.

    The weights may be 0 but not all of them.

    10 % from 30 tons and 14 % from 10 tons:

    >>> weighted_mean([10, 14], [30, 10])
    11.0
    """
    if values.shape != weights.shape:
        given, wanted = f"a block of {weights.size}", f"a block like values, which has {values.size}"
        raise BadInput("WEIGHTED_MEAN", "weights", given, wanted, "give two blocks of one size")
    if (weights < 0).any() or weights.sum() <= 0:
        raise OutOfRange("WEIGHTED_MEAN", "weights", "below 0, or all 0", "0 or more, not all 0", "check the weights")
    return float((values * weights).sum() / weights.sum())
