"""Mud and cold: what they take from the cow's feed, in numbers and in words.

Each caution begins with its level (Clear, Caution, Danger) and ends with who decides.  The
limits have the source named; the advice beside them is common practice where none is named.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Name, Number, Ref, Result, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN, quoted
from hayfuncs.contract.tables import load

# Extension page: intake falls 15 % in mud of 4 to 8 inches and 30 % in mud of 12 inches or more
MUD_BEGINS, MUD_DEEP = 4, 12
MUD_CUT, MUD_DEEP_CUT = 15, 30

MUD_CLEAR = "Clear: little or no mud."
MUD_SOME = (
    "Caution: in mud cows eat about 15 % less and may need up to 30 % more energy. Move the feeding place, or give "
    "bedding or a hard floor."
)
MUD_MUCH = (
    "Danger: in mud of a foot or more cows eat about 30 % less and may need up to 30 % more energy: they lose "
    "condition whatever the hay. Move them to dry ground."
)
COLD_CLEAR = "Clear: not colder than the coat can bear."
COLD_MORE = (
    "Caution: the cow needs more energy than the plan's mild-weather figure; protein and minerals as before. Raise "
    "good hay first, give shelter and dry bedding, and spread a large increase over several days."
)
COLD_BEYOND = (
    "Danger: the increase is more than a cow's whole energy for maintenance and cannot be fed. Give shelter from wind and wet "
    "and dry bedding now, and spread the extra feed over several days."
)

MudDepth = Annotated[Number, Arg("Depth of mud where the cattle stand and feed", "in", lo=0, hi=60)]


@worksheet(
    "MUD_INTAKE_CUT",
    TOPIC,
    "How much less cattle eat in mud.",
    equation="0 below 4 in; 15 % from 4 in; 30 % from 12 in",
    refs=(Ref("mud-intake", "4 to 8 in: 15 % less; 12 in or more: 30 % less", "published, second hand"),),
    longhand="IF({mud_in}>=12,30,IF({mud_in}>=4,15,0))",
)
def mud_intake_cut(mud_in: MudDepth) -> Annotated[Number, Result("Less feed eaten", "%", 0, 30)]:
    """How much less cattle eat in mud.

    A ration balanced for a dry lot falls short in a muddy one.

    The source gives 4 to 8 and 12 or more; between 8 and 12 in it says nothing, and 15 % is kept as what is
    known at least.

    >>> mud_intake_cut(6)  # %
    15
    """
    return np.where(mud_in >= MUD_DEEP, MUD_DEEP_CUT, np.where(mud_in >= MUD_BEGINS, MUD_CUT, 0))


@worksheet(
    "MUD_GAIN_LOSS",
    TOPIC,
    "How much of their gain growing cattle lose in mud, by how far up the leg it comes.",
    equation="the table's value for the depth",
    refs=(Ref("mud-gain", "dewclaw, shin, hock, belly", "published, second hand"),),
    longhand="INDEX({@mud_gain.loss_pct},MATCH({depth},{@mud_gain.depth},0))",
)
def mud_gain_loss(
    depth: Annotated[str, Name("How far up the leg the mud comes", "mud_gain")],
) -> Annotated[Number, Result("Gain lost", "%", 0, 100)]:
    """Gain lost in mud.

    Shows what a wet lot costs replacement heifers and calves.

    >>> mud_gain_loss("hock")  # %
    28
    """
    value = load("mud_gain").row(depth, "MUD_GAIN_LOSS", "depth")["loss_pct"]
    assert isinstance(value, float)
    return value


@worksheet(
    "MUD_CAUTION",
    TOPIC,
    "What mud of this depth means for the feeding plan.",
    equation="caution from 4 in, danger from 12 in",
    refs=(
        Ref("mud-intake", "intake falls by 15 and 30 %", "published, second hand"),
        Ref("iowa-mud", "energy need rises by up to 30 %"),
    ),
    longhand=(
        "IF({mud_in}>=12," + quoted(MUD_MUCH) + ",IF({mud_in}>=4," + quoted(MUD_SOME) + "," + quoted(MUD_CLEAR) + "))&"
        + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def mud_caution(mud_in: MudDepth) -> Annotated[str, Result("Caution", "text")]:
    """Caution on mud.

    In mud the need rises while the intake falls.

    >>> mud_caution(6).split(":")[0]
    'Caution'
    """
    text = MUD_MUCH if mud_in >= MUD_DEEP else MUD_SOME if mud_in >= MUD_BEGINS else MUD_CLEAR
    return f"{text} {VETERINARIAN}"


@worksheet(
    "COLD_CAUTION",
    TOPIC,
    "What an increase of the energy need by cold (COLD_INCREASE) means for the feeding plan.",
    equation="clear at 0 %, caution above, danger above 100 %",
    refs=(
        Ref("osu-cold", "an increase of 110 % cannot be fed: spread smaller ones over days"),
        Ref("kstate-cold", "protein and mineral needs do not change"),
    ),
    longhand=(
        "IF({increase_pct}>100," + quoted(COLD_BEYOND) + ",IF({increase_pct}>0," + quoted(COLD_MORE) + ","
        + quoted(COLD_CLEAR) + "))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def cold_caution(
    increase_pct: Annotated[float, Arg("More energy needed in the cold (COLD_INCREASE)", "%", lo=0, hi=1000)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on cold.

    Says when the plan's figures, which are for mild weather, no longer hold.

    Danger above 100 % is our reading of the source's 110 %, which it calls not feedable.

    >>> cold_caution(28).split(":")[0]
    'Caution'
    """
    text = COLD_BEYOND if increase_pct > 100 else COLD_MORE if increase_pct > 0 else COLD_CLEAR
    return f"{text} {VETERINARIAN}"
