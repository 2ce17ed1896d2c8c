"""Total digestible nutrients (TDN) from a forage test: from fiber alone, or summed from its parts.

TDN is not measured, it is estimated, and the estimates disagree: hay of 40 % ADF is 48 to
58 % TDN by one equation or another.  So the equation is an argument, and its name belongs
beside every TDN that is shown.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet

TOPIC = "Energy and quality"

# TDN from ADF.  Each pair is intercept and slope as its source prints it.
DDM_BASE, DDM_PER_ADF = 88.9, 0.779  # NFTA 1993, appendix A3 table 1
WESTERN_BASE, WESTERN_PER_ADF = 82.38, 0.7515  # UW-Extension 2004
SILAGE_BASE, SILAGE_PER_ADF = 87.84, 0.70  # NFTA 1993, appendix A3
# Pennsylvania: net energy for lactation (NEL, Mcal/lb) first, then TDN from NEL
LEGUME_NEL_BASE, LEGUME_NEL_PER_ADF = 1.044, 0.0119  # UW-Extension 2004
GRASS_NEL_BASE, GRASS_NEL_PER_ADF = 1.085, 0.0150  # from memory, same set
TDN_BASE, TDN_PER_NEL = 4.898, 89.796  # UW-Extension 2004

# Shared by the summed equations (truly digestible share of each part)
NFC_DIGESTED = 0.98
FAT_ENERGY = 2.25  # fat counts 2.25 times carbohydrate
NOT_FATTY_ACID = 1  # points of ether extract that are wax and pigment
# Summed from NDF digestibility: University of Georgia; UW-Extension prints the legume form too
LEGUME_CP_DIGESTED, GRASS_CP_DIGESTED = 0.93, 0.87
FATTY_ACID_DIGESTED = 0.97
NDF_WITHOUT_PROTEIN = 0.93  # NDF free of the protein in it, as a share of NDF
LEGUME_METABOLIC, GRASS_METABOLIC = 7, 10  # metabolic faecal TDN
GRASS_NDFD_BASE, GRASS_NDFD_SLOPE = 22.7, 0.664  # NDFD of grass, from 48-h in vitro
# Summed from lignin: NRC dairy 2001, from memory
CP_BOUND_RATE = 1.2  # heat-bound protein lowers protein digestion by exp(-1.2 ADICP/CP)
NDF_DIGESTED = 0.75
LIGNIN_SHIELD = 0.667  # surface rule: two thirds
METABOLIC = 7

# What a forage can hold.  Inside these limits no equation here falls below 0; 1 as a lower limit
# also catches a share typed for a percentage, 0.40 for 40.  The fitted ranges of the sums are
# those of hays: protein and NDF University of Idaho and, above 60 % NDF, memory; ash UW-Extension.
PERCENT = "give percent, 40 and not 0.40, from the lab sheet"
Adf = Annotated[Number, Arg("Acid detergent fiber", "% DM", lo=1, hi=75, above=True, fit=(20, 55), fix=PERCENT)]
Fat = Annotated[Number, Arg("Crude fat (ether extract)", "% DM", lo=0, hi=10, above=True)]
Ash = Annotated[Number, Arg("Ash", "% DM", lo=0, hi=35, above=True, fit=(5, 18))]
Protein = Annotated[Number, Arg("Crude protein", "% DM", lo=0, hi=50, above=True, fit=(4, 25))]
Ndf = Annotated[Number, Arg("Neutral detergent fiber", "% DM", lo=1, hi=100, above=True, fit=(30, 75), fix=PERCENT)]
Ndfd = Annotated[
    Number, Arg("NDF digested in 48 hours in vitro (NDFD48)", "% of NDF", lo=15, hi=100, fix="give % of NDF, not of DM")
]
ADD_UP = "check that all are % of dry matter and from one sample"


@worksheet(
    "TDN_FROM_ADF",
    TOPIC,
    "TDN (or digestible dry matter) of forage from its ADF, by the regression you name; they differ by up to 10 units.",
    equation="digestible dry matter: 88.9 - 0.779 ADF; western alfalfa: 82.38 - 0.7515 ADF; "
    "legume net energy: 4.898 + 89.796 (1.044 - 0.0119 ADF); "
    "grass net energy: 4.898 + 89.796 (1.085 - 0.0150 ADF); corn silage: 87.84 - 0.70 ADF",
    refs=(
        Ref("nfta-1993", "appendix A3, table 1: digestible dry matter"),
        Ref("nfta-1993", "appendix A3: corn silage"),
        Ref("uw-2004", "ADF equations: digestible dry matter, western alfalfa, legume net energy"),
        Ref("pennsylvania-nel", "grass net energy: its NEL line", "from memory"),
    ),
    longhand="CHOOSE({equation#},88.9-0.779*{adf_pct},82.38-0.7515*{adf_pct},"
    "4.898+89.796*(1.044-0.0119*{adf_pct}),4.898+89.796*(1.085-0.0150*{adf_pct}),87.84-0.70*{adf_pct})",
    why_default="digestible dry matter is the one line published for both legumes and grasses, and the one inside "
    "relative feed value; the choice moves the answer by up to 10 units, so name the equation beside the number",
)
def tdn_from_adf(
    adf_pct: Adf,
    equation: Annotated[
        str,
        Words(
            "Which published line",
            ("digestible dry matter", "western alfalfa", "legume net energy", "grass net energy", "corn silage"),
        ),
    ] = "digestible dry matter",
) -> Annotated[Number, Result("TDN, by the equation named", "% DM", 0, 102)]:
    """TDN of forage from acid detergent fiber (ADF).

    Most lab sheets carry an ADF and a TDN made from it; this shows which line made it. ADF was never meant to
    predict digestibility: where NDF digestibility or lignin was measured, prefer the summed TDN
    (TDN_FROM_NDF_DIGESTIBILITY, TDN_FROM_LIGNIN).

    The choice of line moves the answer: at 40 % ADF from 48 to 58. Legume and grass net energy go through NEL
    in Mcal/lb; corn silage is for corn silage only, not hay. The fitted range is from memory.

    >>> tdn_from_adf(40, "western alfalfa")  # %; 82.38 - 0.7515 x 40
    52.32
    """
    if equation == "western alfalfa":
        return WESTERN_BASE - WESTERN_PER_ADF * adf_pct
    if equation == "legume net energy":
        return TDN_BASE + TDN_PER_NEL * (LEGUME_NEL_BASE - LEGUME_NEL_PER_ADF * adf_pct)
    if equation == "grass net energy":
        return TDN_BASE + TDN_PER_NEL * (GRASS_NEL_BASE - GRASS_NEL_PER_ADF * adf_pct)
    if equation == "corn silage":
        return SILAGE_BASE - SILAGE_PER_ADF * adf_pct
    return DDM_BASE - DDM_PER_ADF * adf_pct


def counted_ndf(ndf: Number, forage: str) -> Number:
    """The NDF that the summed equation counts: free of protein, or whole in the form so named."""
    return ndf if forage == "legume, whole NDF" else NDF_WITHOUT_PROTEIN * ndf


@worksheet(
    "TDN_FROM_NDF_DIGESTIBILITY",
    TOPIC,
    "TDN of hay, added up from the parts she digests, with the NDF digestibility that the lab measured.",
    equation="legume: 0.98 NFC + 0.93 CP + 0.97 x 2.25 FA + NDFn x NDFD/100 - 7; "
    "grass: 0.98 NFC + 0.87 CP + 0.97 x 2.25 FA + NDFn (22.7 + 0.664 NDFD)/100 - 10; NDFn = 0.93 NDF "
    "(whole NDF in the form of that name); FA = fat - 1; NFC = 100 - NDFn - CP - fat - ash",
    refs=(
        Ref("uga-glossary", "letter T: TDN for relative forage quality, legume and grass forms"),
        Ref("uw-ash", "legume form with whole NDF"),
        Ref("uw-2004", "FA = EE - 1"),
    ),
    longhand=Longhand(
        "0.98*{starch_sugar}+{protein_digested}+0.97*2.25*MAX(0,{fat_pct}-1)+{fiber}*{fiber_digested}/100"
        "-CHOOSE({forage#},7,10,7)",
        (
            Step("fiber", "CHOOSE({forage#},0.93,0.93,1)*{ndf_pct}", "NDF counted (free of protein)", "% DM"),
            Step("starch_sugar", "100-{fiber}-{cp_pct}-{fat_pct}-{ash_pct}", "Non-fiber carbohydrate (NFC)", "% DM"),
            Step("protein_digested", "CHOOSE({forage#},0.93,0.87,0.93)*{cp_pct}", "Protein digested", "% DM"),
            Step(
                "fiber_digested",
                "CHOOSE({forage#},{ndfd48_pct},22.7+0.664*{ndfd48_pct},{ndfd48_pct})",
                "NDF digestibility used",
                "% of NDF",
            ),
        ),
    ),
    rules=(
        Rule(
            lambda cp, fat, ash, ndf, ndfd, forage: cp + fat + ash + counted_ndf(ndf, forage) <= 100,
            "{cp_pct}+{fat_pct}+{ash_pct}+CHOOSE({forage#},0.93,0.93,1)*{ndf_pct}<=100",
            "ndf_pct",
            "protein + fat + ash + counted NDF of 100 % DM at most",
            ADD_UP,
        ),
    ),
)
def tdn_from_ndf_digestibility(
    cp_pct: Protein,
    fat_pct: Fat,
    ash_pct: Ash,
    ndf_pct: Ndf,
    ndfd48_pct: Ndfd,
    forage: Annotated[str, Words("Which form of the equation", ("legume", "grass", "legume, whole NDF"))],
) -> Annotated[Number, Result("TDN", "% DM", 0, 104)]:
    """TDN of forage summed from its parts, with measured NDF digestibility.

    Two hays of one ADF can differ by 8 units of TDN, because their fiber digests differently. This is the TDN
    inside relative forage quality.

    For a legume take "legume" first: some protein sits in the NDF, and the whole-NDF form takes it off the NFC
    twice, giving about 1.5 units less. Both are published. A legume-grass mixture counts as legume. FA is never
    below 0.

    Legume hay, CP 20, fat 2.5, ash 9, NDF 40, NDFD 45:

    >>> tdn_from_ndf_digestibility(20, 2.5, 9, 40, 45, "legume")  # %
    62.29
    """
    fiber = counted_ndf(ndf_pct, forage)
    nfc = 100 - (fiber + cp_pct + fat_pct + ash_pct)
    fatty_acids = np.maximum(0, fat_pct - NOT_FATTY_ACID)
    digested = NFC_DIGESTED * nfc + FATTY_ACID_DIGESTED * FAT_ENERGY * fatty_acids
    if forage == "grass":
        ndfd = GRASS_NDFD_BASE + GRASS_NDFD_SLOPE * ndfd48_pct
        return digested + GRASS_CP_DIGESTED * cp_pct + fiber * ndfd / 100 - GRASS_METABOLIC
    return digested + LEGUME_CP_DIGESTED * cp_pct + fiber * ndfd48_pct / 100 - LEGUME_METABOLIC


@worksheet(
    "TDN_FROM_LIGNIN",
    TOPIC,
    "TDN of hay, added up from the parts she digests; lignin says how much of the fiber that is.",
    equation="TDN = 0.98 NFC + CP exp(-1.2 ADICP/CP) + 2.25 FA + 0.75 (NDFn - L)(1 - (L/NDFn)^0.667) - 7; "
    "NDFn = NDF - NDICP; FA = fat - 1; NFC = 100 - NDFn - CP - fat - ash; L = lignin",
    refs=(
        Ref("uw-2004", "TDN = tdCP + 2.25 tdFA + tdNDF + tdNFC - 7"),
        Ref("nrc-dairy-2001", "the terms for forage, at maintenance intake", "from memory"),
    ),
    longhand=Longhand(
        "0.98*{starch_sugar}+{protein_digested}+2.25*MAX(0,{fat_pct}-1)+{fiber_digested}-7",
        (
            Step("fiber", "{ndf_pct}-{ndicp_pct}", "NDF free of protein", "% DM"),
            Step("starch_sugar", "100-{fiber}-{cp_pct}-{fat_pct}-{ash_pct}", "Non-fiber carbohydrate (NFC)", "% DM"),
            Step("protein_digested", "{cp_pct}*EXP(0-1.2*{adicp_pct}/{cp_pct})", "Protein digested", "% DM"),
            Step(
                "fiber_digested",
                "0.75*({fiber}-{lignin_pct})*(1-({lignin_pct}/{fiber})^0.667)",
                "NDF digested",
                "% DM",
            ),
        ),
    ),
    rules=(
        Rule(
            lambda cp, fat, ash, ndf, ndicp, adicp, lignin: (ndicp <= ndf) & (ndicp <= cp),
            "AND({ndicp_pct}<={ndf_pct},{ndicp_pct}<={cp_pct})",
            "ndicp_pct",
            "at most the NDF and at most the crude protein",
            "give the protein in NDF as % of dry matter, not as % of protein",
        ),
        Rule(
            lambda cp, fat, ash, ndf, ndicp, adicp, lignin: adicp <= ndicp,
            "{adicp_pct}<={ndicp_pct}",
            "adicp_pct",
            "at most ndicp_pct, of which it is a part",
            "give the protein in ADF as % of dry matter, not as % of protein",
        ),
        Rule(
            lambda cp, fat, ash, ndf, ndicp, adicp, lignin: lignin < ndf - ndicp,
            "{lignin_pct}<{ndf_pct}-{ndicp_pct}",
            "lignin_pct",
            "less than ndf_pct - ndicp_pct, of which it is a part",
            "give lignin as % of dry matter, not as % of NDF",
        ),
        Rule(
            lambda cp, fat, ash, ndf, ndicp, adicp, lignin: cp + fat + ash + (ndf - ndicp) <= 100,
            "{cp_pct}+{fat_pct}+{ash_pct}+({ndf_pct}-{ndicp_pct})<=100",
            "ndf_pct",
            "protein + fat + ash + (NDF - NDICP) of 100 % DM at most",
            ADD_UP,
        ),
    ),
)
def tdn_from_lignin(
    cp_pct: Protein,
    fat_pct: Fat,
    ash_pct: Ash,
    ndf_pct: Ndf,
    ndicp_pct: Annotated[Number, Arg("Protein left in NDF (NDICP)", "% DM", lo=0, hi=25)],
    adicp_pct: Annotated[Number, Arg("Protein left in ADF (ADICP, heat-bound)", "% DM", lo=0, hi=25)],
    lignin_pct: Annotated[Number, Arg("Lignin", "% DM", lo=0, hi=30, above=True)],
) -> Annotated[Number, Result("TDN at maintenance intake", "% DM", 0, 104)]:
    """TDN of forage summed from its parts, with fiber digestion from lignin.

    Where lignin was measured and NDF digestibility was not; it also charges heat-bound protein (ADICP), so a
    heated hay loses energy here.

    It is TDN at maintenance intake; beef cows on hay eat 1 to 1.8 times that, and no discount for intake is
    taken. ADICP is a part of NDICP, and NDICP of NDF and CP; both are % of dry matter, not of protein. FA is
    never below 0.

    CP 20, fat 2.5, ash 9, NDF 40, NDICP 3, ADICP 1.5, lignin 7:

    >>> tdn_from_lignin(20, 2.5, 9, 40, 3, 1.5, 7)  # %
    60.61
    """
    fiber = ndf_pct - ndicp_pct
    nfc = 100 - (fiber + cp_pct + fat_pct + ash_pct)
    protein = cp_pct * np.exp(-CP_BOUND_RATE * adicp_pct / cp_pct)
    fatty_acids = np.maximum(0, fat_pct - NOT_FATTY_ACID)
    fiber_digested = NDF_DIGESTED * (fiber - lignin_pct) * (1 - (lignin_pct / fiber) ** LIGNIN_SHIELD)
    return NFC_DIGESTED * nfc + protein + FAT_ENERGY * fatty_acids + fiber_digested - METABOLIC
