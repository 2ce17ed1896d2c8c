"""The lab sheet read with care: values that cannot be, or that are seldom seen, in words."""

from __future__ import annotations

from typing import Annotated, Any

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.levels import quoted, sentences, settled

TOPIC = "Sampling and the lab sheet"
FORAGES = ("grass", "legume", "mixed")

# Protein, University of Idaho: grass hay 4-16 %, legume hay 10-25 %; above 25 % test for nitrate.
# Mixed hay is given the two ranges together.
GRASS_CP_LOW, GRASS_CP_HIGH = 4, 16
LEGUME_CP_LOW, LEGUME_CP_HIGH = 10, 25
NITRATE_CP = 25
# Fiber: NDF 30 % (young alfalfa) is the University of Idaho's lower end; the others are from memory.
ADF_LOW, ADF_HIGH = 25, 50
NDF_LOW, NDF_HIGH = 30, 75
# Ash: goals of the University of Wisconsin and Ohio State, the upper end of 10-11 % for alfalfa.
GRASS_ASH, LEGUME_ASH = 9, 11
# Dry matter: moisture above 18 % heats and molds (Michigan State, 18-20 % at baling); hay in store
# settles at 88-90 % dry matter (Iowa State); ground air-dry samples reach 96 % (from memory).
WET_DM, DRY_DM = 82, 96

FIBER = "NDF is not above ADF, which cannot be: ADF is a part of NDF. Ask the laboratory to look at both again."
SUM = (
    "Protein, NDF, fat and ash add up to more than 100 % of the dry matter, so nothing is left for starch and sugar "
    "(NFC is negative). Ask the laboratory to look at them again."
)
MISSING = (
    "Ash or fat is given as 0 (not reported), so the sum of protein, NDF, fat and ash could not be checked in full."
)
PROTEIN_LOW = "Protein is below the usual range of this forage: check the kind of forage and the basis of the value."
PROTEIN_HIGH = "Protein is above the usual range of this forage: check the kind of forage and the basis of the value."
NITRATE = "Protein is above 25 %: have the lot tested for nitrate before it is fed."
ADF_NOTE = "ADF is outside 25 to 50 %, the usual range of hay."
NDF_NOTE = "NDF is outside 30 to 75 %, the usual range of hay."
ASH = "Ash is above the goal for this forage: soil has probably come in with the hay, and each 1 % of it costs about 1 % TDN."
WET = "Dry matter is below 82 %: hay this moist can mold and heat in store. Measure its temperature; see the stack cautions."
DRY = "Dry matter is above 96 %: drier than hay in store. It may be the value of the ground sample in a two-step test."


@worksheet(
    "LAB_NOTES",
    TOPIC,
    "What on a lab sheet cannot be or is seldom seen, in words; empty when all is plausible.",
    equation="a sentence where NDF <= ADF, CP + NDF + fat + ash > 100, or a value is outside its usual range",
    refs=(
        Ref("idaho-hay", "protein and NDF ranges of hay; above 25 % protein test nitrate"),
        Ref("uw-ash", "NFC = 100 - NDF - CP - fat - ash; ash goals"),
        Ref("iowa-storage", "stored hay settles at 88 to 90 % dry matter"),
        Ref("msu-moisture", "moisture above 18 to 20 % at baling"),
        Ref("memory", "usual ADF range, upper NDF, driest air-dry hay", "from memory"),
    ),
    longhand=Longhand(
        'TRIM({fiber}&" "&{total}&" "&{missing}&" "&{protein}&" "&{nitrate}&" "&{adf}&" "&{ndf}&" "&{ash}&" "&{moisture})',
        steps=(
            Step("fiber", 'IF({ndf_pct}<={adf_pct},' + quoted(FIBER) + ',"")', "NDF above ADF", "text"),
            Step(
                "total",
                'IF(ROUND({cp_pct}+{ndf_pct}+{ash_pct}+{fat_pct},9)>100,' + quoted(SUM) + ',"")',
                "Sum of the parts",
                "text",
            ),
            Step("missing", 'IF(OR({ash_pct}=0,{fat_pct}=0),' + quoted(MISSING) + ',"")', "Not reported", "text"),
            Step(
                "protein",
                "IF({cp_pct}<CHOOSE({forage#},4,10,4)," + quoted(PROTEIN_LOW)
                + ",IF({cp_pct}>CHOOSE({forage#},16,25,25)," + quoted(PROTEIN_HIGH) + ',""))',
                "Protein of this forage",
                "text",
            ),
            Step("nitrate", 'IF({cp_pct}>25,' + quoted(NITRATE) + ',"")', "Hint of nitrate", "text"),
            Step("adf", 'IF(OR({adf_pct}<25,{adf_pct}>50),' + quoted(ADF_NOTE) + ',"")', "ADF", "text"),
            Step("ndf", 'IF(OR({ndf_pct}<30,{ndf_pct}>75),' + quoted(NDF_NOTE) + ',"")', "NDF", "text"),
            Step("ash", "IF({ash_pct}>CHOOSE({forage#},9,11,11)," + quoted(ASH) + ',"")', "Ash", "text"),
            Step(
                "moisture",
                "IF({dm_pct}<82," + quoted(WET) + ",IF({dm_pct}>96," + quoted(DRY) + ',""))',
                "Dry matter in store",
                "text",
            ),
        ),
    ),
    elementwise=False,
)  # fmt: skip
def lab_notes(
    dm_pct: Annotated[Number, Arg("Dry matter", "% as fed", lo=0, hi=100, above=True)],
    cp_pct: Annotated[Number, Arg("Crude protein", "% DM", lo=0, hi=100, above=True)],
    adf_pct: Annotated[Number, Arg("Acid detergent fiber", "% DM", lo=0, hi=100, above=True)],
    ndf_pct: Annotated[Number, Arg("Neutral detergent fiber", "% DM", lo=0, hi=100, above=True)],
    ash_pct: Annotated[
        Number, Arg("Ash; 0 when the lab did not report it", "% DM", lo=0, hi=100, fix="give 0 when it was not tested")
    ],
    fat_pct: Annotated[
        Number,
        Arg("Crude fat; 0 when the lab did not report it", "% DM", lo=0, hi=100, fix="give 0 when it was not tested"),
    ],
    forage: Annotated[str, Words("Kind of forage", FORAGES)],
) -> Annotated[Any, Result("Notes", "text")]:
    """Notes on a lab sheet.

    A slip at the lab or in copying shows here, before it reaches a ration.

    No hay has 0 % of ash or fat, so 0 says "not reported" and the notes repeat it. Usual: protein 4-16 %
    (grass), 10-25 (legume), 4-25 (mixed); ADF 25-50; NDF 30-75; ash to 9 (grass) or 11 % (legume, mixed); dry
    matter 82 to 96 %.

    >>> lab_notes(90, 10, 38, 62, 8, 2.5, "grass")
    ''
    >>> lab_notes(90, 10, 38, 36, 8, 2.5, "grass").split(",")[0]
    'NDF is not above ADF'
    """
    grass = forage == "grass"
    cp_low = LEGUME_CP_LOW if forage == "legume" else GRASS_CP_LOW
    cp_high = GRASS_CP_HIGH if grass else LEGUME_CP_HIGH
    return sentences(
        (ndf_pct <= adf_pct, FIBER),
        (settled(cp_pct + ndf_pct + ash_pct + fat_pct) > 100, SUM),
        ((ash_pct == 0) | (fat_pct == 0), MISSING),
        (cp_pct < cp_low, PROTEIN_LOW),
        (cp_pct > cp_high, PROTEIN_HIGH),
        (cp_pct > NITRATE_CP, NITRATE),
        ((adf_pct < ADF_LOW) | (adf_pct > ADF_HIGH), ADF_NOTE),
        ((ndf_pct < NDF_LOW) | (ndf_pct > NDF_HIGH), NDF_NOTE),
        (ash_pct > (GRASS_ASH if grass else LEGUME_ASH), ASH),
        (dm_pct < WET_DM, WET),
        (dm_pct > DRY_DM, DRY),
    )
