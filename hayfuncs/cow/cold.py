"""Weather: how cold it is to the cow, and how much more energy she then needs."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Number, Ref, Result, Words, worksheet
from hayfuncs.contract.tables import load
from hayfuncs.cow.requirements import TOPIC

COATS = ("wet", "summer", "fall", "winter", "heavy winter")  # the rows of tables/coat_cold.tsv


@worksheet(
    "EFFECTIVE_TEMPERATURE",
    TOPIC,
    "Temperature as the cow feels it: air temperature less one degree for each mile an hour of wind (crude).",
    equation="effective temperature = air temperature, deg F - wind, mph",
    refs=(Ref("illinois-cold", "crude wind chill: deg F less wind mph"),),
    longhand="{air_temp_f}-{wind_mph}",
)
def effective_temperature(
    air_temp_f: Annotated[Number, Arg("Air temperature", "deg F", lo=-90, hi=130)],
    wind_mph: Annotated[Number, Arg("Wind at the height of the cow", "mph", lo=0, hi=100)],
) -> Annotated[Number, Result("Effective temperature", "deg F", -200, 130)]:
    """Temperature with wind chill, by the crude rule.

    Wind takes heat from a coat; the cold rules count this temperature.

    A rule of thumb, too cold in strong wind; where the weather service gives a wind chill, use that.

    20 deg F in a 16-mph wind:

    >>> effective_temperature(20, 16)  # deg F
    4
    """
    return air_temp_f - wind_mph


@worksheet(
    "COLD_INCREASE",
    TOPIC,
    "How much more energy a cow needs in the cold: 1 % per deg F below her coat's limit, 2 % when wet.",
    equation="increase % = (coat's lower critical temperature - effective temperature) x 1 (2 when wet), at least 0",
    refs=(
        Ref("osu-cold", "28 deg F below 32: 128 %; wet, 55 deg F below 59: + 110 %"),
        Ref("kstate-cold", "coat limits 59 and 18 deg F, 1 % per deg F"),
        Ref("stock-exchange-cold", "table 1: fall coat 45 deg F, and the others as above"),
    ),
    longhand=(
        "MAX(0,INDEX({@coat_cold.lct_f},MATCH({coat},{@coat_cold.coat},0))-{effective_temp_f})"
        "*INDEX({@coat_cold.pct_per_deg_f},MATCH({coat},{@coat_cold.coat},0))"
    ),
)
def cold_increase(
    effective_temp_f: Annotated[
        Number, Arg("Effective temperature (see EFFECTIVE_TEMPERATURE)", "deg F", lo=-200, hi=130)
    ],
    coat: Annotated[str, Words("The cow's coat; wet means wet to the skin, whatever the season", COATS)],
) -> Annotated[Number, Result("More energy than in mild weather", "%", 0, 600)]:
    """Extra energy for cold.

    Below a limit that her coat sets, a cow burns feed to stay warm.

    It is for cows in condition 5 or better and counts maintenance energy only; protein and minerals do not
    change. A wet cow's 110 % cannot be fed in a day: spread smaller increases over days.

    Wind chill 4, dry winter coat:

    >>> cold_increase(4, "winter")  # %, so 16 lb of hay becomes 20.5 lb
    28
    """
    row = load("coat_cold").row(coat, "COLD_INCREASE", "coat")
    limit, rate = row["lct_f"], row["pct_per_deg_f"]
    assert isinstance(limit, float)
    assert isinstance(rate, float)
    return np.maximum(0.0, limit - effective_temp_f) * rate
