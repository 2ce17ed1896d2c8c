"""Limits of the whole ration that protect the cow: grain, fat and urea.

Each caution begins with its level (Clear, Caution, Danger) and ends with who decides.  The
limits have the source named; the advice beside them is common practice where none is named.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN, quoted, settled
from hayfuncs.ration.minerals import DIETS

GRAIN_BEST, GRAIN_MOST = 0.25, 0.5  # % of body weight a day, University of Illinois and eXtension
FAT_FORAGE, FAT_CONCENTRATE = 5, 6  # % of dry matter: Virginia Cooperative Extension; a farmers' cooperative
UREA_PROTEIN = 281  # % crude protein equivalent of urea with 45 % nitrogen, University of Missouri G2071
UREA_LIGHTEST = 450  # lb of body weight, Ohio State: no urea for lighter calves
UREA_PARTS = 3  # at most one part in three of the nitrogen, University of Kentucky
UREA_OF_DIET = 1  # % of dry matter, from memory
UREA_MOST_LB = 0.25  # lb a head and day, Colorado State University no. 1608; the same in the table feeding_limits

GRAIN_CLEAR = "Clear: up to 0.25 % of body weight of grain leaves hay digestion nearly as it is."
GRAIN_CAUTION = (
    "Caution: above 0.25 % of body weight of grain the cow digests her hay less well. Soyhulls, gluten feed or "
    "distillers grains give energy without that."
)
GRAIN_DANGER = (
    "Danger: above 0.5 % of body weight of grain hay digestion falls and cattle not used to grain can get acidosis, "
    "which kills. Raise grain over weeks only, and feed every animal at once."
)
FAT_CLEAR = "Clear: fat is within the usual limit for this kind of diet."
FAT_TOO_HIGH = "Caution: fat is above the usual limit for this kind of diet and keeps fiber from being digested. Feed less of the fat source."
UREA_NONE = "Clear: no urea in the diet."
UREA_IN_LIMITS = (
    "Caution: urea within the usual limits. It still kills when eaten fast: mix it evenly, raise it over two weeks, "
    "and never let hungry cattle at it."
)
UREA_CALVES = "Danger: no urea for calves under 450 lb."
UREA_TOO_MUCH = "Danger: urea is above one third of the protein or above 1 % of dry matter. Do not feed this."
UREA_OVER_POUNDS = (
    "Danger: above 0.25 lb of urea a head and day, more than is advised even for feedlot cattle on full grain. It can "
    "kill quickly. Do not feed this."
)


@worksheet(
    "GRAIN_CAUTION",
    TOPIC,
    "What this much grain beside hay means for the hay and the cow.",
    equation="clear up to 0.25 % of body weight, danger above 0.5 %",
    refs=(
        Ref("illinois-hay", "optimum 0.25 % of body weight, negative effects above 0.5 %"),
        Ref("extension-grain", "corn at most 0.25 % of body weight as a supplement to hay"),
    ),
    longhand=(
        "IF({grain_lb}>0.5*{body_weight_lb}/100," + quoted(GRAIN_DANGER) + ",IF({grain_lb}>0.25*{body_weight_lb}/100,"
        + quoted(GRAIN_CAUTION) + "," + quoted(GRAIN_CLEAR) + "))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def grain_caution(
    grain_lb: Annotated[float, Arg("Starchy grain fed (corn, barley, wheat)", "lb as fed/day", lo=0, hi=100)],
    body_weight_lb: Annotated[float, Arg("Body weight", "lb", lo=50, hi=4000)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on grain beside hay.

    Starch spoils the digestion of hay, and too much at once kills.

    All grains count together. The source's limits are 3 and 6 lb for a 1,200-lb cow.

    >>> grain_caution(5, 1200).split(":")[0]
    'Caution'
    """
    text = GRAIN_CLEAR
    if grain_lb > GRAIN_BEST * body_weight_lb / 100:
        text = GRAIN_CAUTION
    if grain_lb > GRAIN_MOST * body_weight_lb / 100:
        text = GRAIN_DANGER
    return f"{text} {VETERINARIAN}"


@worksheet(
    "FAT_CAUTION",
    TOPIC,
    "What the fat of the whole diet means for the digestion of fiber.",
    equation="caution above 5 % (high forage) or 6 % (high concentrate) of dry matter",
    refs=(
        Ref("virginia-oilseeds", "diets of cattle at most 5 % crude fat; above 8 % less fiber is digested"),
        Ref("mfa-fat", "at most 5 to 6 % in finishing diets", "published, second hand"),
    ),
    longhand=(
        "IF({fat_pct}>CHOOSE({diet#},5,6)," + quoted(FAT_TOO_HIGH) + "," + quoted(FAT_CLEAR) + ")&"
        + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def fat_caution(
    fat_pct: Annotated[float, Arg("Fat of the whole diet", "% DM", lo=0, hi=100)],
    diet: Annotated[str, Words("Kind of diet", DIETS)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on fat.

    Whole cottonseed, distillers grains and rice bran bring fat, which coats fiber.

    >>> fat_caution(5.5, "high forage").split(":")[0]
    'Caution'
    """
    limit = FAT_FORAGE if diet == "high forage" else FAT_CONCENTRATE
    return f"{FAT_TOO_HIGH if fat_pct > limit else FAT_CLEAR} {VETERINARIAN}"


UREA_SHARE = "281*{urea_lb}/{diet_cp_lb}"
UreaLb = Annotated[Number, Arg("Urea (45 % nitrogen) fed", "lb/day", lo=0, hi=10)]
DietCp = Annotated[Number, Arg("Crude protein of the diet, urea's counted in", "lb/day", lo=0, hi=100, above=True)]
# the urea's own protein equivalent is part of the diet's protein
PART_OF_PROTEIN = Rule(
    lambda urea, *rest: UREA_PROTEIN * urea <= 100 * rest[-1],
    "281*{urea_lb}<=100*{diet_cp_lb}",
    "urea_lb",
    "urea whose protein equivalent (2.81 lb a lb) is within the diet's protein",
    "count the urea's protein in the diet's protein",
)


@worksheet(
    "UREA_NITROGEN_SHARE",
    TOPIC,
    "Share of the diet's nitrogen (protein) that comes from urea.",
    equation="share = 281 x urea / diet CP",
    refs=(Ref("missouri-g2071", "urea with 45 % nitrogen is 281 % crude protein equivalent"),),
    longhand=UREA_SHARE,
    rules=(PART_OF_PROTEIN,),
)
def urea_nitrogen_share(
    urea_lb: UreaLb, diet_cp_lb: DietCp
) -> Annotated[Number, Result("Share of the protein from urea", "% of CP", 0, 101)]:
    """Share of the nitrogen that comes from urea.

    The usual limit is one third.

    >>> urea_nitrogen_share(0.1, 2.0)  # %
    14.05
    """
    return UREA_PROTEIN * urea_lb / diet_cp_lb


@worksheet(
    "UREA_CAUTION",
    TOPIC,
    "What this much urea in a day's diet means.",
    equation="danger below 450 lb body weight, above 1/3 of the nitrogen, 1 % of dry matter or 0.25 lb a day",
    refs=(
        Ref("ohio-2019", "none for calves below 450 lb"),
        Ref("missouri-g2071", "281 % crude protein equivalent"),
        Ref("colorado-1608", "no more than 0.1 to 0.25 lb a head a day for feedlot cattle on a high concentrate ration"),
        Ref("kentucky-urea", "no more than one third of the total nitrogen in the diet"),
        Ref("memory", "1 % of dry matter", "from memory"),
    ),
    longhand=Longhand(
        "IF({urea_lb}=0," + quoted(UREA_NONE) + ",IF({body_weight_lb}<450," + quoted(UREA_CALVES)
        + ",IF(OR(ROUND(3*{nitrogen_share},9)>100,ROUND({urea_share},9)>1)," + quoted(UREA_TOO_MUCH)
        + ",IF({urea_lb}>0.25," + quoted(UREA_OVER_POUNDS) + "," + quoted(UREA_IN_LIMITS) + "))))&" + quoted(" " + VETERINARIAN),
        steps=(
            Step("nitrogen_share", UREA_SHARE, "Share of the nitrogen from urea", "% of CP"),
            Step("urea_share", "100*{urea_lb}/{diet_dm_lb}", "Urea in the diet", "% DM"),
        ),
    ),
    rules=(PART_OF_PROTEIN,),
)  # fmt: skip
def urea_caution(
    urea_lb: UreaLb,
    body_weight_lb: Annotated[float, Arg("Body weight", "lb", lo=50, hi=4000)],
    diet_dm_lb: Annotated[float, Arg("Dry matter eaten in all", "lb DM/day", lo=0, hi=200, above=True)],
    diet_cp_lb: DietCp,
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on urea.

    Urea is cheap protein for the rumen and a quick poison in the wrong place.

    It is clear without urea; the limit of 0.25 lb is that of FEED_CAUTION too.

    The same for a cow and for a 400-lb calf:

    >>> urea_caution(0.1, 1200, 25, 2.2).split(":")[0]
    'Caution'
    >>> urea_caution(0.1, 400, 25, 2.2).split(":")[0]
    'Danger'
    """
    share = float(urea_nitrogen_share.plain(urea_lb, diet_cp_lb))
    text = UREA_IN_LIMITS
    if urea_lb == 0:
        text = UREA_NONE
    elif body_weight_lb < UREA_LIGHTEST:
        text = UREA_CALVES
    elif settled(UREA_PARTS * share) > 100 or settled(100 * urea_lb / diet_dm_lb) > UREA_OF_DIET:
        text = UREA_TOO_MUCH
    elif urea_lb > UREA_MOST_LB:
        text = UREA_OVER_POUNDS
    return f"{text} {VETERINARIAN}"
