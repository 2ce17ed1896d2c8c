"""Minerals beside calcium and phosphorus: need, most that cattle stand, what a mix must hold and cost, salt, copper."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Name, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.levels import TOPIC as CAUTIONS
from hayfuncs.contract.levels import VETERINARIAN, VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.contract.tables import load

TOPIC = "Minerals and water"
STAGES = {"growing": "growing", "pregnant": "gestating", "in milk": "in_milk"}
BOOKS = {"1996": "limit_before", "2016": "limit_now"}
SALT_PER_LB = 0.1 / 100  # lb of salt a day per lb of weight, in a feed they like: Oklahoma State, Nebraska, Missouri
SALTY_WATER = 5000  # mg/L of dissolved solids: no salt-limited feed beside it
SALT_LETHAL = 4  # lb at one time; 4 to 5 printed
COPPER_SHORT = 10  # ppm, the need
COPPER_MOST = 40  # ppm, NASEM 2016
MOLYBDENUM_SOME, MOLYBDENUM_MUCH = 1, 3  # ppm; on 3 and more even 7 to 14 ppm copper was not enough (NRC 2000)
RATIO_WANTED, RATIO_RISK = 4, 2  # copper to molybdenum, from memory
IRON_SOME, IRON_MUCH = 250, 400  # ppm, from memory
SULFUR_SOME, SULFUR_MUCH = 0.2, 0.35  # % DM; at 0.35 10 ppm copper was not enough (NRC 2000)

SHORT = "Caution: the diet holds less of this mineral than these cattle need. A mineral mix made for the hay must bring the rest. "
MUCH = "Caution: the diet holds more of this mineral than one of the two books lets cattle have. Feed no mix that adds to it. "
TOO_MUCH = (
    "Danger: the diet holds more of this mineral than either book lets cattle have. Do not feed this diet as it is. "
)
COPPER_CLEAR = "Clear: copper is enough, and molybdenum, iron and sulfur do not tie it up."
COPPER_LOW = "Caution: copper is under 10 ppm. A mineral mix must bring it."
COPPER_TIED = (
    "Caution: molybdenum, iron or sulfur of this diet ties copper up, so that what is there counts for less. "
    "Ask for a mix made for it, and test the water for sulfate and iron."
)
COPPER_FAILS = (
    "Danger: with so much molybdenum, iron or sulfur even a diet rich in copper has left cattle short of it. "
    "Have livers or blood tested before a mix is chosen: too much copper kills as well."
)
COPPER_OVER = (
    "Danger: copper is above 40 ppm, the most that cattle are said to stand. Do not add any, and keep sheep away."
)
SALT_CLEAR = "Clear: with plain white salt, and clean water before them at all times. They drink about 5 gallons more for each lb of salt."
SALT_CAUTION = (
    "Caution: this is more salt than they usually stop at. Make sure of clean water at all times, and of a mix that is not "
    "gulped by hungry cattle."
)
SALT_DANGER = (
    "Danger: salty water or 4 lb of salt at a time poisons cattle. Do not limit feed with salt here. Salt-starved or thirsty "
    "cattle must not meet this mix."
)

NEEDS = Ref("arkansas-mp391", "table 1, from NRC 1996 table 5-1")
LIMITS = Ref("merck-minerals", "maximum tolerable amounts, from NASEM 2016", "published, second hand")
SALT = Ref("osu-salt", "ANSI-3008: intake about 0.1 lb per 100 lb of weight; water, lethal dose, salty water")
Mineral = Annotated[str, Name("The mineral, e.g. copper", "mineral_needs")]
Stage = Annotated[str, Words("What kind of cattle", tuple(STAGES))]
PLACE = Step("place", "MATCH({mineral},{@mineral_needs.mineral},0)", "The mineral's place in the table", "1")


def figure(mineral: str, column: str, function: str) -> float:
    value = load("mineral_needs").row(mineral, function, "mineral")[column]
    assert isinstance(value, float)
    return value


def at(*columns: str) -> str:
    return ",".join(f"INDEX({{@mineral_needs.{c}}},{{place}})" for c in columns)


@worksheet(
    "MINERAL_NEED",
    TOPIC,
    "How much of a mineral the diet of these cattle must hold, % or ppm of its dry matter as the table says.",
    equation="looks the mineral up",
    refs=(NEEDS,),
    longhand=Longhand(f"CHOOSE({{stage#}},{at(*STAGES.values())})", (PLACE,)),
)
def mineral_need(mineral: Mineral, stage: Stage) -> Annotated[float, Result("Need", "as the column says", 0, 100)]:
    """Need of a mineral.

    To hold a hay test against: what is missing a mineral mix must bring.

    Calcium and phosphorus are not here: they follow weight, milk, calf and gain.

    >>> mineral_need("copper", "in milk")  # ppm
    10
    """
    return figure(mineral, STAGES[stage], "MINERAL_NEED")


@worksheet(
    "MINERAL_LIMIT",
    TOPIC,
    "The most of a mineral that cattle stand, % or ppm of the diet's dry matter, by the older or the newer book.",
    equation="looks the mineral up; 0 where no limit is set",
    refs=(NEEDS, LIMITS),
    longhand=Longhand(f"CHOOSE({{book#}},{at(*BOOKS.values())})", (PLACE,)),
)
def mineral_limit(
    mineral: Mineral,
    book: Annotated[str, Words("Which book: NRC of 1996 or its successor of 2016", tuple(BOOKS))],
) -> Annotated[float, Result("Most", "as the column says", 0, 10_000)]:
    """The most of a mineral that cattle stand.

    The books part: copper 100 and 40 ppm, iron 1,000 and 500, potassium 3 and 2 %, selenium 2 and 5.  Take the
    lower one where there is a choice.  0 says that no limit is set (sodium).

    >>> mineral_limit("copper", "2016")  # ppm
    40
    """
    return figure(mineral, BOOKS[book], "MINERAL_LIMIT")


@worksheet(
    "MINERAL_CAUTION",
    TOPIC,
    "Whether a diet holds too little or too much of a mineral; empty when neither.",
    equation="caution below the need, above the lower of the two limits; danger above the higher",
    refs=(NEEDS, LIMITS),
    longhand=Longhand(
        "IF({mineral_level}<{need},"
        + quoted(SHORT + VETERINARIAN) + ",IF(OR({most}=0,{mineral_level}<={least_most}),\"\",IF({mineral_level}>{most},"
        + quoted(TOO_MUCH + VETERINARIAN) + "," + quoted(MUCH + VETERINARIAN) + ")))",
        (
            PLACE,
            Step("need", f"CHOOSE({{stage#}},{at(*STAGES.values())})", "Need", "as the column says"),
            Step("most", f"MAX({at(*BOOKS.values())})", "Higher limit of the two books", "as the column says"),
            Step("least_most", f"MIN({at(*BOOKS.values())})", "Lower limit of the two books", "as the column says"),
        ),
    ),
)  # fmt: skip
def mineral_caution(
    mineral: Mineral,
    mineral_level: Annotated[
        float,
        Arg("The diet's level of it, % or ppm of dry matter as MINERAL_NEED", "as the column says", lo=0, hi=100_000),
    ],
    stage: Stage,
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on one mineral of a diet.

    Sulfur counts the water's too, and on much grain its limit is lower: SULFUR_CAUTION.  Of a hay alone it says
    what a mix must bring.

    >>> mineral_caution("copper", 6, "pregnant").split(":")[0]
    'Caution'
    >>> mineral_caution("copper", 12, "pregnant")
    ''
    """
    limits = [figure(mineral, column, "MINERAL_CAUTION") for column in BOOKS.values()]
    if mineral_level < figure(mineral, STAGES[stage], "MINERAL_CAUTION"):
        return SHORT + VETERINARIAN
    if max(limits) == 0 or mineral_level <= min(limits):
        return ""
    return (TOO_MUCH if mineral_level > max(limits) else MUCH) + VETERINARIAN


@worksheet(
    "MINERAL_MIX_LEVEL",
    TOPIC,
    "What a mineral mix must hold of a mineral to bring what the feed lacks; the unit is that of need and feed.",
    equation="level = (need - feed) x dry matter eaten / mix eaten, 0 where the feed has enough",
    refs=(Ref("definition", "what is missing, in the smaller amount"),),
    longhand="MAX(0,{need_level}-{feed_level})*{dm_intake_lb}/{mix_lb_day}",
)
def mineral_mix_level(
    need_level: Annotated[Number, Arg("Need, % or ppm of dry matter (MINERAL_NEED)", "any", lo=0, hi=100_000)],
    feed_level: Annotated[Number, Arg("What hay and feed hold, same unit", "any", lo=0, hi=100_000)],
    dm_intake_lb: Annotated[Number, Arg("Dry matter eaten", "lb DM/day", lo=0, hi=100, above=True)],
    mix_lb_day: Annotated[
        Number, Arg("Mineral mix eaten", "lb/day", lo=0, hi=5, above=True, fit=(0.125, 0.5), fix="4 ounces are 0.25 lb")
    ],
) -> Annotated[Number, Result("Level of the mix", "any", 0)]:
    """What a mineral mix must hold.

    To read a mineral tag against the hay test.

    5 ppm of copper short on 25 lb, 4 ounces of mix:

    >>> mineral_mix_level(10, 5, 25, 0.25)  # ppm
    500
    """
    return np.maximum(0.0, need_level - feed_level) * dm_intake_lb / mix_lb_day


@worksheet(
    "MINERAL_COST",
    TOPIC,
    "What a mineral mix costs a head over so many days.",
    equation="$ = lb a day x price of the bag / lb in the bag x days",
    refs=(Ref("definition", "price by the pound times pounds"),),
    longhand="{mix_lb_day}*{bag_price}/{bag_lb}*{days}",
)
def mineral_cost(
    mix_lb_day: Annotated[Number, Arg("Mineral mix eaten", "lb/day", lo=0, hi=5, fix="4 ounces are 0.25 lb")],
    bag_price: Annotated[Number, Arg("Price of a bag", "$", lo=0, hi=10_000)],
    bag_lb: Annotated[Number, Arg("Weight of a bag", "lb", lo=1, hi=4000, fix="50 lb is usual")],
    days: Annotated[Number, Arg("Days it is fed", "days", lo=0, hi=730)],
) -> Annotated[Number, Result("Cost a head", "$", 0)]:
    """Cost of a mineral mix a head.

    4 ounces a day from a 50-lb bag at $35 over a winter of 150 days:

    >>> mineral_cost(0.25, 35, 50, 150)  # $
    26.25
    """
    return mix_lb_day * bag_price / bag_lb * days


@worksheet(
    "SALT_TO_LIMIT",
    TOPIC,
    "Salt in a self-fed mix that stops cattle at a wanted amount of feed, % of the mix.",
    equation="% = 100 x salt / (feed + salt), salt = 0.1 lb per 100 lb of weight",
    refs=(SALT, Ref("unl-salt", "G2046, the same")),
    longhand=Longhand(
        "100*{salt}/({feed_lb}+{salt})",
        (Step("salt", "0.1/100*{body_weight_lb}", "Salt at which they stop", "lb/day"),),
    ),
)
def salt_to_limit(
    body_weight_lb: Annotated[Number, Arg("Body weight", "lb", lo=100, hi=4000, fit=(400, 2000))],
    feed_lb: Annotated[Number, Arg("Feed wanted, without the salt", "lb as fed/day", lo=0, hi=40, above=True)],
) -> Annotated[Number, Result("Salt of the mix", "%", 0, 100)]:
    """Salt that limits a self-fed feed.

    Only with plain white salt and clean water at all times; a start, to be changed by what they eat.

    1,200-lb cow, 3 lb of meal: 1.2 lb of salt in 4.2 lb.

    >>> salt_to_limit(1200, 3)  # %
    28.6
    """
    salt = SALT_PER_LB * body_weight_lb
    return 100 * salt / (feed_lb + salt)


@worksheet(
    "SALT_CAUTION",
    CAUTIONS,
    "What the salt of a self-fed mix means beside the water that cattle have.",
    equation="danger above 5,000 mg/L dissolved solids in the water or from 4 lb of salt; caution above 0.1 lb per 100 lb of weight",
    refs=(SALT,),
    longhand=(
        "IF(OR({water_tds_mg_l}>5000,{salt_lb_day}>=4)," + quoted(SALT_DANGER) + ",IF({salt_lb_day}>0.1/100*{body_weight_lb},"
        + quoted(SALT_CAUTION) + "," + quoted(SALT_CLEAR) + "))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def salt_caution(
    salt_lb_day: Annotated[float, Arg("Salt eaten", "lb/day", lo=0, hi=20)],
    body_weight_lb: Annotated[float, Arg("Body weight", "lb", lo=100, hi=4000)],
    water_tds_mg_l: Annotated[float, Arg("Dissolved solids of the water", "mg/L", lo=0, hi=50_000)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on salt-limited feeding.

    Salt slows cattle down at a self-feeder only as long as they can drink all they want.

    >>> salt_caution(1.2, 1200, 6000).split(":")[0]
    'Danger'
    """
    if water_tds_mg_l > SALTY_WATER or salt_lb_day >= SALT_LETHAL:
        return f"{SALT_DANGER} {VETERINARIAN}"
    return f"{SALT_CAUTION if salt_lb_day > SALT_PER_LB * body_weight_lb else SALT_CLEAR} {VETERINARIAN}"


SOME = "OR({mo_ppm}>1,{cu_ppm}<4*{mo_ppm},{fe_ppm}>250,{s_pct}>0.2)"
MANY = "OR({mo_ppm}>=3,{cu_ppm}<2*{mo_ppm},{fe_ppm}>400,{s_pct}>=0.35)"


@worksheet(
    "COPPER_CAUTION",
    CAUTIONS,
    "Whether the copper of a diet is enough beside the molybdenum, iron and sulfur that tie it up.",
    equation="danger: Cu > 40, Mo >= 3, Cu < 2 Mo, Fe > 400, S >= 0.35 %; caution: Cu < 10, Mo > 1, Cu < 4 Mo, Fe > 250, S > 0.2 %",
    refs=(
        Ref("nrc-2000", "p. 63: with 3 to 20 ppm Mo 7 to 14 ppm Cu was not enough, with 0.35 % S 10 ppm was not; Fe lowers Cu"),
        LIMITS,
        Ref("memory", "Cu to Mo of 4 and 2, Mo over 1 ppm, Fe over 250 and 400 ppm, S over 0.2 %", "from memory"),
    ),
    longhand=(
        "IF({cu_ppm}>40," + quoted(COPPER_OVER) + ",IF(" + MANY + "," + quoted(COPPER_FAILS) + ",IF(" + SOME + "," + quoted(COPPER_TIED)
        + ",IF({cu_ppm}<10," + quoted(COPPER_LOW) + "," + quoted(COPPER_CLEAR) + "))))&" + quoted(" " + VETERINARIAN_AND_OFFICE)
    ),
)  # fmt: skip
def copper_caution(
    cu_ppm: Annotated[float, Arg("Copper of the diet", "ppm", lo=0, hi=10_000)],
    mo_ppm: Annotated[float, Arg("Molybdenum of the diet", "ppm", lo=0, hi=1000)],
    fe_ppm: Annotated[float, Arg("Iron of the diet", "ppm", lo=0, hi=100_000)],
    s_pct: Annotated[float, Arg("Sulfur of the diet with the water's", "% DM", lo=0, hi=100)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on copper and what ties it up.

    A hay may hold copper enough on paper and still leave cattle short of it.

    >>> copper_caution(8, 3.5, 120, 0.18).split(":")[0]
    'Danger'
    """
    if cu_ppm > COPPER_MOST:
        text = COPPER_OVER
    elif mo_ppm >= MOLYBDENUM_MUCH or cu_ppm < RATIO_RISK * mo_ppm or fe_ppm > IRON_MUCH or s_pct >= SULFUR_MUCH:
        text = COPPER_FAILS
    elif mo_ppm > MOLYBDENUM_SOME or cu_ppm < RATIO_WANTED * mo_ppm or fe_ppm > IRON_SOME or s_pct > SULFUR_SOME:
        text = COPPER_TIED
    else:
        text = COPPER_LOW if cu_ppm < COPPER_SHORT else COPPER_CLEAR
    return f"{text} {VETERINARIAN_AND_OFFICE}"
