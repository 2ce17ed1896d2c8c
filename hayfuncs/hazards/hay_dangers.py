"""What a hay or a feed can hold that no forage test shows: sweet clover, aflatoxin, ammonia, bad baleage."""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Flag, Name, Ref, Result, Words, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN, VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.contract.tables import load

DICOUMAROL_SOME, DICOUMAROL_MUCH = 10, 20  # ppm of hay, North Dakota State: the strict line, and harm within weeks
CATTLE = ("young or for milk", "breeding", "finishing")
AFLATOXIN = (20, 100, 300)  # ppb of grain, action levels of the Food and Drug Administration, in that order
AMMONIA_MOST = 3  # % of dry matter: 60 lb a ton, University of Missouri
DAYS_AIRED = 3
WET_HAY_TO, BALEAGE_FROM, BALEAGE_TO = 40, 50, 60  # % moisture
SOUR = 4.5  # pH at which clostridia and listeria stop

CLOVER_CLEAR = "Clear: dicoumarol of this hay is under the strict line. Moldy sweet clover differs from bale to bale: test more than one."
CLOVER_SOME = (
    "Caution: dicoumarol is above the strict line of 10 ppm. Feed it by turns with other hay, a week each, not to cattle in calf, "
    "and stop weeks before calving, surgery or castration."
)
CLOVER_MUCH = (
    "Danger: with so much dicoumarol cattle bleed to death inside within weeks, calves at birth first. Do not feed this hay. "
    "That no mold is seen proves nothing."
)
AFLATOXIN_CLEAR = (
    "Clear: aflatoxin is within the limit for grain fed to these cattle. It is a limit of grain: for hay none is set."
)
AFLATOXIN_HIGH = (
    "Danger: aflatoxin is above the limit for grain fed to these cattle. Do not feed it, and do not blend it down to sell. "
    "It is a limit of grain: for hay none is set."
)
AMMONIA_CLEAR = "Clear: as ammoniated straw or poor hay is made and aired. Test it after airing, and watch the first cattle that get it, and their calves."
AMMONIA_AIR = "Caution: open it and let it air for three days before it is fed. Keep people out of the fumes."
AMMONIA_BAD = (
    "Danger: ammonia on good, wet or moldy forage, or over 3 %, can make cattle, and calves at the udder, run wild within hours. "
    "Do not feed it."
)
BALEAGE_CLEAR = "Clear: moisture and sourness are those of sound baleage. Throw out torn, moldy or stinking bales; none of it for horses."
BALEAGE_CAUTION_TEXT = (
    "Caution: this baleage is too wet, too dry or not sour enough to be safe from botulism and listeria. Ask for a test before cattle get it; "
    "none of it for horses."
)
BALEAGE_BAD = "Danger: hay of this moisture in plastic is neither hay nor silage: it may heat, burn, mold or carry botulism. Do not feed it untested."


@worksheet(
    "SWEET_CLOVER_CAUTION",
    TOPIC,
    "What the dicoumarol of a sweet clover hay means.",
    equation="caution from 10 ppm, danger from 20 ppm; danger from 10 ppm for cattle in calf",
    refs=(
        Ref("ndsu-sweet-clover", "toxic after weeks at 20 to 30 mg/kg; strict line 10 ppm; 277 samples 0 to 165 ppm"),
        Ref("sdsu-sweet-clover", "blend by test, or a week and a week with other hay"),
    ),
    longhand=(
        "IF({dicoumarol_ppm}>=IF({pregnant},10,20)," + quoted(CLOVER_MUCH) + ",IF({dicoumarol_ppm}>=10," + quoted(CLOVER_SOME) + ","
        + quoted(CLOVER_CLEAR) + "))&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def sweet_clover_caution(
    dicoumarol_ppm: Annotated[float, Arg("Dicoumarol of the hay", "ppm", lo=0, hi=1000)],
    pregnant: Annotated[bool, Flag("Are the cattle in calf?")],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on sweet clover hay.

    Mold turns a harmless part of sweet clover into a blood thinner; round bales hold more of it than stacks.

    >>> sweet_clover_caution(15, 0).split(":")[0]
    'Caution'
    """
    if dicoumarol_ppm >= (DICOUMAROL_SOME if pregnant else DICOUMAROL_MUCH):
        text = CLOVER_MUCH
    else:
        text = CLOVER_SOME if dicoumarol_ppm >= DICOUMAROL_SOME else CLOVER_CLEAR
    return f"{text} {VETERINARIAN_AND_OFFICE}"


@worksheet(
    "AFLATOXIN_CAUTION",
    TOPIC,
    "What the aflatoxin of a grain or by-product means for the cattle that get it.",
    equation="danger above 20 ppb (young or for milk), 100 (breeding), 300 (finishing)",
    refs=(
        Ref("missouri-aflatoxin", "action levels of grain"),
        Ref("ksu-toxins", "the same, May 2024; grain limits, none for hay"),
    ),
    longhand=(
        "IF({aflatoxin_ppb}>CHOOSE({cattle#},20,100,300)," + quoted(AFLATOXIN_HIGH) + "," + quoted(AFLATOXIN_CLEAR) + ")&"
        + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def aflatoxin_caution(
    aflatoxin_ppb: Annotated[float, Arg("Aflatoxin of the grain or by-product", "ppb", lo=0, hi=100_000)],
    cattle: Annotated[str, Words("Which cattle", CATTLE)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on aflatoxin.

    Drought corn, screenings and cottonseed may carry it; a moldy look is no measure.

    >>> aflatoxin_caution(60, "young or for milk").split(":")[0]
    'Danger'
    """
    text = AFLATOXIN_HIGH if aflatoxin_ppb > AFLATOXIN[CATTLE.index(cattle)] else AFLATOXIN_CLEAR
    return f"{text} {VETERINARIAN_AND_OFFICE}"


@worksheet(
    "AMMONIATED_HAY_CAUTION",
    TOPIC,
    "Whether ammoniated hay or straw may be fed.",
    equation="danger on good, wet or moldy forage or above 3 % ammonia; caution when aired under 3 days",
    refs=(Ref("mu-ammonia", "60 lb a ton, 3 %, on poor hay or straw only; air 3 days; signs in hours, also in sucking calves"),),
    longhand=(
        "IF(OR({good_or_wet},{ammonia_pct}>3)," + quoted(AMMONIA_BAD) + ",IF({days_aired}<3," + quoted(AMMONIA_AIR) + ","
        + quoted(AMMONIA_CLEAR) + "))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def ammoniated_hay_caution(
    good_or_wet: Annotated[bool, Flag("Was the forage good (high in sugar), wet or moldy?")],
    ammonia_pct: Annotated[float, Arg("Ammonia put on", "% DM", lo=0, hi=20)],
    days_aired: Annotated[float, Arg("Days opened to the air", "days", lo=0, hi=365)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on ammoniated hay.

    On straw it makes feed, on good hay a poison.

    >>> ammoniated_hay_caution(1, 2.5, 5).split(":")[0]
    'Danger'
    """
    if good_or_wet or ammonia_pct > AMMONIA_MOST:
        text = AMMONIA_BAD
    else:
        text = AMMONIA_AIR if days_aired < DAYS_AIRED else AMMONIA_CLEAR
    return f"{text} {VETERINARIAN}"


@worksheet(
    "BALEAGE_CAUTION",
    TOPIC,
    "Whether wrapped hay is sound baleage, by its moisture and sourness.",
    equation="danger below 40 % moisture; caution below 50, above 60, or above pH 4.5",
    refs=(
        Ref("wvu-baleage", "50 to 60 % moisture; pH of 4.5 or less stops clostridia and listeria"),
        Ref("common-practice", "hay of 20 to 40 % moisture in plastic", "common practice, no source"),
    ),
    longhand=(
        "IF({moisture_pct}<40," + quoted(BALEAGE_BAD) + ",IF(OR({moisture_pct}<50,{moisture_pct}>60,{ph}>4.5),"
        + quoted(BALEAGE_CAUTION_TEXT) + "," + quoted(BALEAGE_CLEAR) + "))&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def baleage_caution(
    moisture_pct: Annotated[
        float,
        Arg(
            "Moisture when it was wrapped",
            "% as fed",
            lo=20,
            hi=90,
            fix="drier than 20 % it is hay: BALING_MOISTURE_CAUTION",
        ),
    ],
    ph: Annotated[float, Arg("pH of the baleage", "1", lo=3, hi=9)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on wrapped hay.

    Wet hay in plastic must have soured to be safe.

    >>> baleage_caution(32, 5.6).split(":")[0]
    'Danger'
    """
    if moisture_pct < WET_HAY_TO:
        text = BALEAGE_BAD
    else:
        sound = BALEAGE_FROM <= moisture_pct <= BALEAGE_TO and ph <= SOUR
        text = BALEAGE_CLEAR if sound else BALEAGE_CAUTION_TEXT
    return f"{text} {VETERINARIAN_AND_OFFICE}"


@worksheet(
    "SEEN_IN_HAY_CAUTION",
    TOPIC,
    "What it means that something was seen in a hay: mold, poisonous plants, blister beetles, wrap and the like.",
    equation="the table's words for what was seen",
    refs=(
        Ref("tamu-blister-beetle", "striped beetles that kill a horse; cattle go off feed", "published, second hand"),
        Ref("ndsu-sweet-clover", "no visible mold proves nothing"),
        Ref("mu-ammonia", "poor hay or straw only, 3 %, aired 3 days"),
        Ref("ndsu-net-wrap", "nothing of net wrap gone after 14 days in the rumen", "published, second hand"),
        Ref("wvu-baleage", "a carcass in the bale"),
        Ref("memory", "poisonous plants and ergot", "from memory"),
        Ref("common-practice", "mold, wire, hay in plastic", "common practice, no source"),
    ),
    longhand="INDEX({@seen_in_hay.text},MATCH({seen},{@seen_in_hay.seen},0))",
)
def seen_in_hay_caution(
    seen: Annotated[str, Name("What somebody saw in the hay", "seen_in_hay")],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on what was seen in a hay.

    No laboratory tests for it: somebody has to look, while baling and while feeding.

    >>> seen_in_hay_caution("net wrap or twine").split(":")[0]
    'Caution'
    """
    return str(load("seen_in_hay").row(seen, "SEEN_IN_HAY_CAUTION", "seen")["text"])
