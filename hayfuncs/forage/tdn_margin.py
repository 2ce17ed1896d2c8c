"""How far a TDN may be off: the laboratory's margins carried through the equation, and the equation's own.

Margins are one side, all at one confidence (95 % unless said), and independent: they add in quadrature.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.forage.tdn import (
    DDM_PER_ADF,
    GRASS_CP_DIGESTED,
    GRASS_NDFD_BASE,
    GRASS_NDFD_SLOPE,
    GRASS_NEL_PER_ADF,
    LEGUME_CP_DIGESTED,
    LEGUME_NEL_PER_ADF,
    NDF_WITHOUT_PROTEIN,
    NFC_DIGESTED,
    SILAGE_PER_ADF,
    TDN_PER_NEL,
    WESTERN_PER_ADF,
    Ndf,
    Ndfd,
)

TOPIC = "The margin of an answer"
LINES = ("digestible dry matter", "western alfalfa", "legume net energy", "grass net energy", "corn silage")
FORMS = ("legume", "grass", "legume, whole NDF")
SLOPES = {
    "digestible dry matter": DDM_PER_ADF,
    "western alfalfa": WESTERN_PER_ADF,
    "legume net energy": TDN_PER_NEL * LEGUME_NEL_PER_ADF,
    "grass net energy": TDN_PER_NEL * GRASS_NEL_PER_ADF,
    "corn silage": SILAGE_PER_ADF,
}
QUADRATURE = Ref("definition", "independent errors add in quadrature, each times the equation's slope")
SAYS = "give it as SAMPLING_MARGIN or MARGIN_WITH_LAB_ERROR does, one side"
EquationMargin = Annotated[Number, Arg("Margin of the equation itself", "% DM", lo=0, hi=30, fix=SAYS)]
AdfMargin = Annotated[Number, Arg("Margin of the ADF", "% DM", lo=0, hi=30, fix=SAYS)]
CpMargin = Annotated[Number, Arg("Margin of the crude protein", "% DM", lo=0, hi=30, fix=SAYS)]
NdfMargin = Annotated[Number, Arg("Margin of the NDF", "% DM", lo=0, hi=30, fix=SAYS)]


@worksheet(
    "TDN_MARGIN",
    TOPIC,
    "How far a TDN worked from ADF may be off, from the margin of the ADF and of the equation.",
    equation="margin = sqrt((slope x ADF margin)^2 + equation margin^2); slope as in TDN_FROM_ADF",
    refs=(QUADRATURE, Ref("nfta-1993", "appendix A3, table 1: slope 0.779"), Ref("uw-2004", "slopes 0.7515 and 0.0119")),
    longhand=Longhand(
        "(({slope}*{adf_margin})^2+{equation_margin}^2)^0.5",
        (Step("slope", "CHOOSE({equation#},0.779,0.7515,89.796*0.0119,89.796*0.0150,0.70)", "TDN lost for each unit of ADF", "ratio"),),
    ),
)  # fmt: skip
def tdn_margin(
    equation: Annotated[str, Words("Which line gave the TDN", LINES)],
    adf_margin: AdfMargin,
    equation_margin: EquationMargin,
) -> Annotated[Number, Result("Margin of the TDN, one side", "% DM", 0, 60)]:
    """How far a TDN by ADF may be off.

    A hay test is a sample: before a verdict leans on a tenth of a unit, see how wide the answer is.  The lines
    differ among themselves by 2 to 10 units, so an equation's own margin is rarely under 3 (our choice from that
    spread, no source).

    20 cores and one laboratory, ADF within 2.1 units; the equation within 3:

    >>> tdn_margin("western alfalfa", 2.1, 3)  # sqrt((0.7515 x 2.1)^2 + 3^2)
    3.39
    """
    return ((SLOPES[equation] * adf_margin) ** 2 + equation_margin**2) ** 0.5


@worksheet(
    "TDN_SUM_MARGIN",
    TOPIC,
    "How far a TDN may be off that is summed from NDF digestibility: from the margins of the lab's values.",
    equation="margin = sqrt((a CP)^2 + (b NDF)^2 + (c NDFD)^2 + equation^2); a = 0.98 - CP digested; "
    "b = NDF counted x (0.98 - NDFD used / 100); c = NDF counted x NDF x slope of NDFD / 100",
    refs=(QUADRATURE, Ref("uga-glossary", "letter T: the summed equation, legume and grass forms"), Ref("uw-ash", "legume form with whole NDF")),
    longhand=Longhand(
        "(({per_cp}*{cp_margin})^2+({per_ndf}*{ndf_margin})^2+({per_ndfd}*{ndfd_margin})^2+{equation_margin}^2)^0.5",
        (
            Step("counted", "CHOOSE({forage#},0.93,0.93,1)", "NDF counted (free of protein), of NDF", "ratio"),
            Step("digested", "CHOOSE({forage#},{ndfd48_pct},22.7+0.664*{ndfd48_pct},{ndfd48_pct})", "NDF digestibility used", "% of NDF"),
            Step("per_cp", "0.98-CHOOSE({forage#},0.93,0.87,0.93)", "TDN lost for each unit of protein", "ratio"),
            Step("per_ndf", "{counted}*(0.98-{digested}/100)", "TDN lost for each unit of NDF", "ratio"),
            Step("per_ndfd", "{counted}*{ndf_pct}*CHOOSE({forage#},1,0.664,1)/100", "TDN won for each unit of NDFD", "ratio"),
        ),
    ),
)  # fmt: skip
def tdn_sum_margin(
    ndf_pct: Ndf,
    ndfd48_pct: Ndfd,
    forage: Annotated[str, Words("Which form of the equation", FORMS)],
    cp_margin: CpMargin,
    ndf_margin: NdfMargin,
    ndfd_margin: Annotated[Number, Arg("Margin of the NDF digestibility", "% of NDF", lo=0, hi=50, fix=SAYS)],
    equation_margin: EquationMargin,
) -> Annotated[Number, Result("Margin of the TDN, one side", "% DM", 0, 70)]:
    """How far a TDN summed from NDF digestibility may be off.

    The digestibility moves it most: a laboratory's NDFD is within 6 units at the best.  Ash and fat are left out;
    their errors are small beside these.

    Grass hay of 62 % NDF and 48 % NDFD; NDF within 2.7, NDFD within 6.5, CP within 2 and the equation within 2:

    >>> tdn_sum_margin(62, 48, "grass", 2, 2.7, 6.5, 2)
    3.38
    """
    counted = 1.0 if forage == "legume, whole NDF" else NDF_WITHOUT_PROTEIN
    grass = forage == "grass"
    digested = GRASS_NDFD_BASE + GRASS_NDFD_SLOPE * ndfd48_pct if grass else ndfd48_pct
    per_cp = NFC_DIGESTED - (GRASS_CP_DIGESTED if grass else LEGUME_CP_DIGESTED)
    per_ndf = counted * (NFC_DIGESTED - digested / 100)
    per_ndfd = counted * ndf_pct * (GRASS_NDFD_SLOPE if grass else 1.0) / 100
    return np.sqrt(
        (per_cp * cp_margin) ** 2 + (per_ndf * ndf_margin) ** 2 + (per_ndfd * ndfd_margin) ** 2 + equation_margin**2
    )
