"""Cows for whom the requirement equations ask too little: thin ones and those with a first calf.

The need of DAILY_NEED is that of a grown cow that neither gains nor loses condition.  Until an
allowance is reckoned for these two, their need is shown with the words of this module.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Flag, Number, Ref, Result, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN_AND_OFFICE, quoted

THIN_BELOW = 5  # condition score: the goal for a grown cow at calving, University of Nebraska

THIN = (
    "Caution: these cows are thin, condition score under 5. The need here only keeps them as they are: it holds "
    "nothing to put condition back, and cold takes more from them. Feed above it, and begin right after weaning."
)
FIRST_CALF = (
    "Caution: first-calf cows are still growing and can eat less. The need here is that of a grown cow of their "
    "weight and is too low for them. Feed them apart, on the best hay."
)

ConditionScore = Annotated[Number, Arg("Body condition score, 1 thin to 9 fat", "score", lo=1, hi=9)]


@worksheet(
    "NEED_NOTE",
    TOPIC,
    "Whether the need of DAILY_NEED is too low for these cows: thin ones, and those with a first calf.",
    equation="caution below condition score 5, and for first-calf cows; empty for the others",
    refs=(
        Ref("unl-condition", "goal at calving: score 5 for grown cows, 6 for first-calf heifers"),
        Ref("sdsu-condition", "cold is harder on thin cows"),
        Ref("uga-1343-2", "heifers need a better diet and are fed apart"),
        Ref("wyoming-heifers", "their need in pounds is like a cow's, their appetite is smaller"),
    ),
    longhand=(
        "IF(OR({condition_score}<5,{first_calf}),TRIM(IF({condition_score}<5," + quoted(THIN) + ',"")&" "&IF({first_calf},'
        + quoted(FIRST_CALF) + ',""))&' + quoted(" " + VETERINARIAN_AND_OFFICE) + ',"")'
    ),
)  # fmt: skip
def need_note(
    condition_score: ConditionScore,
    first_calf: Annotated[bool, Flag("First-calf cows")],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on the need of thin and of first-calf cows.

    A ration that just meets the need of the equations leaves these cows short.

    Give the condition score as the mean of the group, and 1 for bred heifers too.

    >>> need_note(4.5, 0).split(":")[0]
    'Caution'
    >>> need_note(5, 0)
    ''
    """
    texts = [THIN] * (condition_score < THIN_BELOW) + [FIRST_CALF] * bool(first_calf)
    return " ".join([*texts, VETERINARIAN_AND_OFFICE]) if texts else ""
