"""Poisons in hay: nitrate, prussic acid, ergovaline, and how far another feed dilutes one.

Each caution begins with its level (Clear, Caution, Danger) and ends with who decides.  The
limits have the source named; the advice beside them is common practice where none is named.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Flag, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN_AND_OFFICE, band, band_text, quoted

FORMS = ("NO3-N", "NO3", "KNO3")
# One set of factors, all through nitrate nitrogen, so that any round trip comes home.
NO3_PER_NITROGEN = 4.43  # University of Nebraska 2016; its inverse 0.226 is 1 / 4.43 rounded
KNO3_PER_NITROGEN = 7.218  # from the atomic weights: 101.102 / 14.007
SCALES = ("clemson", "midwest laboratory")

HCN_LOW, HCN_HIGH = (
    200,
    600,
)  # midwest laboratory, ppm of the wet sample; held against dry matter too, where they are stricter
ERGOVALINE_WATCH = 100  # University of Missouri: lower end of the working threshold, 100 to 200 ppb

HCN_CLEAR = "Clear: prussic acid at this level should not poison cattle."
HCN_CAUTION = (
    "Caution: potentially poisonous. Do not feed it as the only feed. Drying is no safeguard: test the hay itself."
)
HCN_DANGER = "Danger: very poisonous. Do not feed it or graze the field. Drying is no safeguard."
HCN_ON_DRY = " The scale in print is of the wet sample; held against dry matter it is the stricter."
ERGOVALINE_CLEAR = "Clear: below the level where fescue trouble is watched for."
ERGOVALINE_CAUTION = (
    "Caution: within the range where fescue trouble begins in some cattle, sooner in cold and in heat. "
    "Watch for lameness and rough coats, or dilute further."
)
ERGOVALINE_DANGER = (
    "Danger: above the threshold given. Do not feed it as the only feed, least of all in cold weather (fescue foot)."
)
NITRATE_BANDS = (
    # one place in the table for each limit passed; the last band of each scale begins above its limit
    "CHOOSE({scale_name#},"
    "1+({nitrate_n_ppm}>=1000)+({nitrate_n_ppm}>=1500)+({nitrate_n_ppm}>=2000)+({nitrate_n_ppm}>=3500)+({nitrate_n_ppm}>4000),"
    "1+({nitrate_n_ppm}>=700)+({nitrate_n_ppm}>=1400)+({nitrate_n_ppm}>=2100)+({nitrate_n_ppm}>=2800)+({nitrate_n_ppm}>3500))"
)

Ppm = Annotated[Number, Arg("Nitrate, in the form named", "ppm", lo=0, hi=100_000, fix="1 % is 10,000 ppm")]
Form = Annotated[str, Words("Form: nitrate nitrogen, nitrate or potassium nitrate", FORMS)]


@worksheet(
    "NITRATE_AS",
    TOPIC,
    "Nitrate of a lab sheet turned from one form into another: nitrate nitrogen, nitrate, potassium nitrate.",
    equation="NO3 = 4.43 x NO3-N; KNO3 = 7.218 x NO3-N; every conversion goes through NO3-N",
    refs=(
        Ref("unl-nitrate", "NO3 = 4.43 x NO3-N"),
        Ref("atomic-weights", "KNO3 / N = 101.102 / 14.007", "from memory, agrees with published"),
    ),
    longhand="{value_ppm}/CHOOSE({given_as#},1,4.43,7.218)*CHOOSE({wanted_as#},1,4.43,7.218)",
)
def nitrate_as(
    value_ppm: Ppm, given_as: Form, wanted_as: Form
) -> Annotated[Number, Result("Nitrate in the form wanted", "ppm", 0, 722_000)]:
    """Nitrate in another form.

    Labs report three forms that differ more than four-fold; a limit in one form applied to another kills cattle
    or throws away hay.

    The printed inverse NO3-N = 0.226 x NO3 rounds 1 / 4.43 (0.2257); dividing keeps the round trip exact.

    >>> nitrate_as(2000, "NO3-N", "NO3")  # ppm
    8860
    """
    factor = {"NO3-N": 1.0, "NO3": NO3_PER_NITROGEN, "KNO3": KNO3_PER_NITROGEN}
    return value_ppm / factor[given_as] * factor[wanted_as]


@worksheet(
    "NITRATE_CAUTION",
    TOPIC,
    "What a published scale says of hay with this much nitrate nitrogen, for pregnant or for other cattle.",
    equation="the band of the scale that the value falls in",
    refs=(
        Ref("clemson-nitrate", "ppm of nitrate nitrogen, dry basis: 1,000, 1,500, 2,000, 3,500, 4,000"),
        Ref("midwest-nitrate", "crop file 6.05.022: 700, 1,400, 2,100, 2,800, 3,500"),
    ),
    longhand=Longhand(
        "CHOOSE({scale_name#},"
        "IF({pregnant},INDEX({@nitrate_clemson.pregnant},{band}),INDEX({@nitrate_clemson.others},{band})),"
        "IF({pregnant},INDEX({@nitrate_midwest.pregnant},{band}),INDEX({@nitrate_midwest.others},{band})))&"
        + quoted(" " + VETERINARIAN_AND_OFFICE),
        steps=(Step("band", NITRATE_BANDS, "Band of the scale, counted from the lowest", "1"),),
    ),
)
def nitrate_caution(
    nitrate_n_ppm: Annotated[
        float,
        Arg("Nitrate nitrogen (NO3-N), dry basis", "ppm", lo=0, hi=30_000, fix="turn it into NO3-N with NITRATE_AS"),
    ],
    pregnant: Annotated[bool, Flag("For pregnant cattle")],
    scale_name: Annotated[str, Words("Whose scale", SCALES)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on nitrate.

    Nitrate kills within hours and does not leave the hay in storage.

    A value on the line between two bands is put in the upper one, as the more careful, except the last line,
    which both scales word as "above". The two scales differ: the laboratory's bands begin lower.

    >>> "hold it to 50 %" in nitrate_caution(1200, 1, "clemson")
    True
    """
    table = "nitrate_clemson" if scale_name == "clemson" else "nitrate_midwest"
    return f"{band_text(table, nitrate_n_ppm, 'pregnant' if pregnant else 'others')} {VETERINARIAN_AND_OFFICE}"


@worksheet(
    "NITRATE_MOST_SHARE",
    TOPIC,
    "Largest share of the ration that a published scale allows a hay with this much nitrate nitrogen.",
    equation="the share of the band of the scale that the value falls in; 100 without limit, 0 for not to be fed",
    refs=(
        Ref(
            "clemson-nitrate",
            "1,000, 1,500, 2,000, 3,500, 4,000 ppm: 50, 50, 35 to 40, 25 % of ration dry matter, none",
        ),
        Ref("midwest-nitrate", "crop file 6.05.022: 50 % from 700 ppm, 25 and 50 % from 1,400; none read from 2,100"),
    ),
    longhand=Longhand(
        "CHOOSE({scale_name#},"
        "IF({pregnant},INDEX({@nitrate_clemson.pregnant_pct},{band}),INDEX({@nitrate_clemson.others_pct},{band})),"
        "IF({pregnant},INDEX({@nitrate_midwest.pregnant_pct},{band}),INDEX({@nitrate_midwest.others_pct},{band})))",
        steps=(Step("band", NITRATE_BANDS, "Band of the scale, counted from the lowest", "1"),),
    ),
    elementwise=True,
)
def nitrate_most_share(
    nitrate_n_ppm: Annotated[
        float,
        Arg("Nitrate nitrogen (NO3-N), dry basis", "ppm", lo=0, hi=30_000, fix="turn it into NO3-N with NITRATE_AS"),
    ],
    pregnant: Annotated[bool, Flag("For pregnant cattle")],
    scale_name: Annotated[str, Words("Whose scale", SCALES)],
) -> Annotated[float, Result("Largest share of the hay", "% DM", 0, 100)]:
    """Largest share of the ration by nitrate.

    Holds a plan to the share that the words of NITRATE_CAUTION name; take the smaller one of the two scales. A
    share within it is not a proof of safety: bring the hay in slowly, and the veterinarian decides.

    100 where the scale sets no limit, 0 where it says not to feed; a value on the line between two bands is put
    in the upper one, except the last line. Of 35 to 40 % the lower end is taken. From 2,100 ppm on no share of
    the midwest laboratory's was read: 0, until the veterinarian has set one.

    >>> nitrate_most_share(1620, 1, "midwest laboratory")
    25.0
    >>> nitrate_most_share(1620, 1, "clemson")
    50.0
    """
    table = "nitrate_clemson" if scale_name == "clemson" else "nitrate_midwest"
    share = band(table, nitrate_n_ppm)["pregnant_pct" if pregnant else "others_pct"]
    assert isinstance(share, float)
    return share


@worksheet(
    "DIET_SHARE_LIMIT",
    TOPIC,
    "Largest share of the diet that a hay may be, when the rest dilutes it to a limit.",
    equation="share = 100 x (limit - other) / (hay - other); 100 when the hay is within the limit",
    refs=(Ref("definition", "weighted mean of two feeds solved for the share", "common practice, no source"),),
    longhand="IF({hay_value}<={limit},100,100*({limit}-{other_value})/({hay_value}-{other_value}))",
    rules=(
        Rule(
            lambda hay, other, limit: other <= limit,
            "{other_value}<={limit}",
            "other_value",
            "at most the limit",
            "the rest of the diet is over the limit by itself: change it first",
        ),
    ),
)
def diet_share_limit(
    hay_value: Annotated[Number, Arg("What the hay holds", "any", lo=0, hi=1e9)],
    other_value: Annotated[Number, Arg("What the rest of the diet holds, same unit", "any", lo=0, hi=1e9)],
    limit: Annotated[Number, Arg("What the whole diet may hold, same unit", "any", lo=0, hi=1e9, above=True)],
) -> Annotated[Number, Result("Largest share of the hay", "% DM", 0, 100)]:
    """Largest share of a hay in the diet.

    Hay over a limit (nitrate, sulfur, ergovaline) can often be fed diluted.

    It holds only when the two are mixed: cattle offered both apart will not mix them.

    Hay at 2,500 ppm, other at 200, limit 1,000:

    >>> diet_share_limit(2500, 200, 1000)  # %
    34.8
    """
    over = hay_value > limit
    return 100 * np.where(over, limit - other_value, 1) / np.where(over, hay_value - other_value, 1)


@worksheet(
    "PRUSSIC_ACID_CAUTION",
    TOPIC,
    "What a prussic acid (HCN) test says of feeding sorghum, sudangrass or frosted forage.",
    equation="clear below 200 ppm, danger above 600 ppm, on either basis",
    refs=(
        Ref("midwest-hcn", "wet basis: below 200, 200 to 600, above 600 ppm"),
        Ref("kstate-sorghum", "the poison stays in dry hay: stable from a week to two months, lethal to the last sample", "published, second hand"),
    ),
    longhand=(
        "IF({hcn_ppm}>600," + quoted(HCN_DANGER) + ",IF({hcn_ppm}>=200," + quoted(HCN_CAUTION) + "," + quoted(HCN_CLEAR)
        + '))&CHOOSE({basis#},"",' + quoted(HCN_ON_DRY) + ")&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def prussic_acid_caution(
    hcn_ppm: Annotated[float, Arg("Prussic acid (HCN) on the basis named", "ppm", lo=0, hi=100_000)],
    basis: Annotated[str, Words("Basis of the test", ("wet", "dry"))],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on prussic acid.

    Sorghums, sudangrass and johnsongrass, young or frosted, can kill within minutes. Drying does not make
    them safe: test the hay itself. The scale in print is of the wet sample; a value on dry basis is held to
    the same numbers, which is stricter, because no scale for dry matter was read in print.

    >>> prussic_acid_caution(350, "wet").split(":")[0]
    'Caution'
    """
    text = HCN_DANGER if hcn_ppm > HCN_HIGH else HCN_CAUTION if hcn_ppm >= HCN_LOW else HCN_CLEAR
    return f"{text}{HCN_ON_DRY if basis == 'dry' else ''} {VETERINARIAN_AND_OFFICE}"


@worksheet(
    "ERGOVALINE_IN_DIET",
    TOPIC,
    "Ergovaline of the whole diet from a fescue hay's test and its share of the diet.",
    equation="diet = hay ppb x share / 100",
    refs=(Ref("definition", "share of the diet times content", "common practice, no source"),),
    longhand="{hay_ppb}*{hay_share_pct}/100",
)
def ergovaline_in_diet(
    hay_ppb: Annotated[Number, Arg("Ergovaline of the hay", "ppb", lo=0, hi=100_000)],
    hay_share_pct: Annotated[Number, Arg("Share of the hay in the diet", "% DM", lo=0, hi=100)],
) -> Annotated[Number, Result("Ergovaline of the diet", "ppb", 0, 100_000)]:
    """Ergovaline of the diet.

    The threshold is for the whole diet, and other feed dilutes fescue hay.

    The rest of the diet holds none; add the results of several fescue feeds.

    >>> ergovaline_in_diet(400, 40)  # ppb
    160
    """
    return hay_ppb * hay_share_pct / 100


@worksheet(
    "ERGOVALINE_CAUTION",
    TOPIC,
    "What the ergovaline of a diet with infected tall fescue means.",
    equation="clear below 100 ppb, danger above the threshold given",
    refs=(Ref("mu-ergovaline", "toxic range quoted 100 to 600 ppb; working threshold 100 to 200 ppb"),),
    longhand=(
        "IF({diet_ppb}>{threshold_ppb}," + quoted(ERGOVALINE_DANGER) + ",IF({diet_ppb}>=100,"
        + quoted(ERGOVALINE_CAUTION) + "," + quoted(ERGOVALINE_CLEAR) + "))&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
    why_default="200 ppb is the upper end of the working threshold of 100 to 200 ppb",
)  # fmt: skip
def ergovaline_caution(
    diet_ppb: Annotated[float, Arg("Ergovaline of the whole diet", "ppb", lo=0, hi=100_000)],
    threshold_ppb: Annotated[
        float, Arg("Threshold to hold it against", "ppb", lo=50, hi=1000, fit=(100, 200), fix="200 is usual")
    ] = 200,
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on ergovaline.

    Fescue hay with seed heads can stay poisonous for years.

    Higher limits by season are known from memory only and not used.

    >>> ergovaline_caution(160, 200).split(":")[0]
    'Caution'
    """
    text = ERGOVALINE_CLEAR
    if diet_ppb >= ERGOVALINE_WATCH:
        text = ERGOVALINE_CAUTION
    if diet_ppb > threshold_ppb:
        text = ERGOVALINE_DANGER
    return f"{text} {VETERINARIAN_AND_OFFICE}"
