"""Quality indexes: one number that ranks lots by the digestible dry matter a cow would eat of them.

An index ranks hay and prices it; it does not balance a ration.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Number, Ref, Result, Rule, Words, worksheet
from hayfuncs.forage.tdn import DDM_BASE, DDM_PER_ADF, PERCENT, Adf, Ndfd, Protein

TOPIC = "Energy and quality"

NDF_INTAKE = 120  # intake as % of body weight is 120 / NDF: 1.2 % of body weight as NDF (UW-Extension)
RFV_AT_100 = 1.29  # digestible dry matter, % of body weight, of full-bloom alfalfa (UW-Extension)
RFQ_AT_100 = 1.23  # digestible intake as TDN, % of body weight, that counts 100 (UW-Extension)

# Intake for relative forage quality: Moore and Undersander 2002, read second hand.
NDFD_MEAN, INTAKE_PER_NDFD, NDFD_SCALE = 45, 0.374, 1350  # legume: each point of NDFD above 45
GRASS_BASE = 2.318
GRASS_CP, GRASS_CP_SQUARED = 0.442, 0.0100
GRASS_TDN, GRASS_TDN_SQUARED = 0.0638, 0.000922
GRASS_ADF, GRASS_ADF_SQUARED = 0.180, 0.00196
GRASS_CP_ADF = 0.00529

Ndf = Annotated[Number, Arg("Neutral detergent fiber", "% DM", lo=1, hi=100, above=True, fit=(35, 80), fix=PERCENT)]
TdnPct = Annotated[Number, Arg("TDN", "% DM", lo=1, hi=100, above=True, fix="give percent, 58 and not 0.58")]
SWAPPED = "ADF is a part of NDF: check that the two are not swapped"


@worksheet(
    "RELATIVE_FEED_VALUE",
    TOPIC,
    "Relative feed value (RFV): ranks hay by ADF and NDF; full-bloom alfalfa is 100.",
    equation="RFV = (88.9 - 0.779 ADF) x (120 / NDF) / 1.29",
    refs=(
        Ref("uw-2004", "RFV = DDM x DMI / 1.29, DMI = 120 / NDF"),
        Ref("uga-glossary", "relative feed value; prints the DDM slope rounded, 0.78"),
    ),
    longhand="(88.9-0.779*{adf_pct})*(120/{ndf_pct})/1.29",
    rules=(
        Rule(
            lambda adf, ndf: ndf >= adf,
            "{ndf_pct}>={adf_pct}",
            "ndf_pct",
            "at least adf_pct",
            SWAPPED,
        ),
    ),
)
def relative_feed_value(adf_pct: Adf, ndf_pct: Ndf) -> Annotated[Number, Result("RFV", "index", 0, 8300)]:
    """Relative feed value (RFV).

    The index most hay is sold by. Read it in classes about 5 points either side: a target of 140 means 135 to
    145. It knows nothing of how well the fiber digests; RELATIVE_FORAGE_QUALITY does.

    It is digestible dry matter times intake (120 / NDF, % of body weight) over 1.29, the value of full-bloom
    alfalfa (ADF 41, NDF 53), whose index is 100. Both fitted ranges are from memory.

    >>> relative_feed_value(41, 53)
    99.98
    """
    return (DDM_BASE - DDM_PER_ADF * adf_pct) * (NDF_INTAKE / ndf_pct) / RFV_AT_100


GRASS_INTAKE = (  # longhand of the grass form
    "0.442*{cp_pct}-2.318-0.0100*{cp_pct}^2-0.0638*{tdn_pct}+0.000922*{tdn_pct}^2"
    "+0.180*{adf_pct}-0.00196*{adf_pct}^2-0.00529*{cp_pct}*{adf_pct}"
)


def grass_intake(cp_pct: Number, adf_pct: Number, tdn_pct: Number) -> Number:
    """Dry matter intake of grass, % of body weight."""
    return (
        GRASS_CP * cp_pct
        - GRASS_BASE
        - GRASS_CP_SQUARED * cp_pct * cp_pct
        - GRASS_TDN * tdn_pct
        + GRASS_TDN_SQUARED * tdn_pct * tdn_pct
        + GRASS_ADF * adf_pct
        - GRASS_ADF_SQUARED * adf_pct * adf_pct
        - GRASS_CP_ADF * cp_pct * adf_pct
    )


@worksheet(
    "INTAKE_FOR_RFQ",
    TOPIC,
    "Dry matter intake, % of body weight, inside relative forage quality: legume and grass forms.",
    equation="legume: 120/NDF + (NDFD - 45) x 0.374/1350 x 100; grass: -2.318 + 0.442 CP - 0.0100 CP^2 - 0.0638 TDN "
    "+ 0.000922 TDN^2 + 0.180 ADF - 0.00196 ADF^2 - 0.00529 CP x ADF",
    refs=(Ref("moore-undersander-2002", "intake equations, legume and grass", "published, second hand"),),
    longhand=f"CHOOSE({{forage#}},120/{{ndf_pct}}+({{ndfd48_pct}}-45)*0.374/1350*100,{GRASS_INTAKE})",
    rules=(
        Rule(
            lambda forage, cp, adf, ndf, ndfd, tdn: ndf >= adf,
            "{ndf_pct}>={adf_pct}",
            "ndf_pct",
            "at least adf_pct",
            SWAPPED,
        ),
        Rule(
            lambda forage, cp, adf, ndf, ndfd, tdn: forage == "legume" or grass_intake(cp, adf, tdn) > 0,
            f'OR({{forage}}="legume",{GRASS_INTAKE}>0)',
            "cp_pct",
            "protein, ADF and TDN for which the grass equation gives an intake above 0",
            "check the three against the lab sheet: no grass has them together",
        ),
    ),
)
def intake_for_rfq(
    forage: Annotated[str, Words("Which form of the equation", ("legume", "grass"))],
    cp_pct: Protein,
    adf_pct: Adf,
    ndf_pct: Ndf,
    ndfd48_pct: Ndfd,
    tdn_pct: TdnPct,
) -> Annotated[Number, Result("Dry matter intake", "% of body weight", 0, 122)]:
    """Dry matter intake inside relative forage quality (RFQ).

    The intake half of RFQ. It ranks forages; for what a beef cow eats take the functions of the topic Intake.

    A legume-grass mixture counts as legume. The legume form reads NDF and NDFD only, the grass form CP, ADF and
    TDN only; all are asked for, so that a row of the sheet can change its forage.

    Legume, NDF 40, NDFD 45:

    >>> intake_for_rfq("legume", 20, 30, 40, 45, 62.3)  # %
    3.00
    """
    if forage == "legume":
        return NDF_INTAKE / ndf_pct + (ndfd48_pct - NDFD_MEAN) * INTAKE_PER_NDFD / NDFD_SCALE * 100
    return grass_intake(cp_pct, adf_pct, tdn_pct)


@worksheet(
    "RELATIVE_FORAGE_QUALITY",
    TOPIC,
    "Relative forage quality (RFQ): ranks legume and grass forage on one scale, by TDN and intake.",
    equation="RFQ = TDN x intake / 1.23",
    refs=(Ref("uw-rfq", "RFQ = TDN (% DM) x DMI (% BW) / 1.23"),),
    longhand="{tdn_pct}*{intake_pct_bw}/1.23",
)
def relative_forage_quality(
    tdn_pct: TdnPct,
    intake_pct_bw: Annotated[
        Number, Arg("Dry matter intake, by INTAKE_FOR_RFQ", "% of body weight", lo=0, hi=122, above=True)
    ],
) -> Annotated[Number, Result("RFQ", "index", 0, 10000)]:
    """Relative forage quality (RFQ).

    Ranks lots as RFV does, but with measured fiber digestibility, so grass and legume stand on one scale. Lab
    variation alone moves it by about 8 points.

    Take the TDN from TDN_FROM_NDF_DIGESTIBILITY. RFQ was introduced in 2002.

    >>> relative_forage_quality(62.288, 3.0)
    151.9
    """
    return tdn_pct * intake_pct_bw / RFQ_AT_100
