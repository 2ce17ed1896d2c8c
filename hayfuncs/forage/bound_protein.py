"""Protein bound by heat: how much of it, and what is left for the cow."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.contract.levels import quoted, settled
from hayfuncs.forage.lab_checks import TOPIC

# The stepped rule, from memory (Wisconsin and NFTA): bound protein below 14 % of CP is normal; up to
# 20 % the share above a normal 7 % is taken off; beyond that the whole share.
STEP_BEGINS, STEP_ENDS, STEP_NORMAL = 14, 20, 7
TEN_PERCENT = 10  # the simple rule, from memory: only what exceeds 10 % of CP is taken off
FLAGGED = 10  # University of Nebraska: usually flagged above 10 % of CP
HEATED = 12  # Manitoba Agriculture: above 12 % of CP the hay has heated, use available protein

SOME_HEAT = (
    "Heat-bound protein is above 10 % of the protein: some heating. Balance with available protein, "
    "and ask the local extension office when in doubt."
)
MUCH_HEAT = (
    "Heat-bound protein is above 12 % of the protein: the hay has heated. Balance with available protein, check the "
    "stack's temperature, and ask the local extension office before it goes to cattle that need protein."
)

Cp = Annotated[Number, Arg("Crude protein", "% DM", lo=0, hi=100, above=True)]
Adicp = Annotated[
    Number,
    Arg("Acid detergent insoluble crude protein (ADIN x 6.25)", "% DM", lo=0, hi=100, fix="give it as % of dry matter"),
]
PART = Rule(
    lambda cp, adicp, *rest: adicp <= cp,
    "{adicp_pct}<={cp_pct}",
    "adicp_pct",
    "at most the crude protein",
    "check that both are % of dry matter; ADICP as % of CP must be multiplied by CP / 100 first",
)


@worksheet(
    "HEAT_DAMAGE_SHARE",
    TOPIC,
    "Heat-bound protein (ADICP) as a share of the crude protein.",
    equation="share = 100 x ADICP / CP",
    refs=(Ref("unl-bound-protein", "unavailable protein, flagged above 10 % of CP"),),
    longhand="100*{adicp_pct}/{cp_pct}",
    rules=(PART,),
)
def heat_damage_share(cp_pct: Cp, adicp_pct: Adicp) -> Annotated[Number, Result("ADICP", "% of CP", 0, 100)]:
    """Heat-bound share of the protein.

    Tells hay that has heated; brown, sweet-smelling hay is eaten well but its protein is lost.

    Not valid for distillers grains (Manitoba Agriculture).

    >>> heat_damage_share(18, 3.06)  # %
    17.0
    """
    return 100 * adicp_pct / cp_pct


@worksheet(
    "AVAILABLE_PROTEIN",
    TOPIC,
    "Crude protein less what heat has bound, by the rule named.",
    equation="all of it: CP - ADICP; above ten percent: CP - (ADICP - 0.10 CP) where more; stepped: from 14 % of CP",
    refs=(
        Ref("manitoba-bound-protein", "available protein = CP - ADICP"),
        Ref("memory", "the stepped rule and the rule above ten percent", "from memory"),
    ),
    longhand=Longhand(
        "CHOOSE({rule#},"
        "IF(ROUND({bound_share},9)<14,{cp_pct},IF(ROUND({bound_share},9)<=20,"
        "{cp_pct}*(100-({bound_share}-7))/100,{cp_pct}*(100-{bound_share})/100)),"
        "{cp_pct}-MAX({adicp_pct}-10*{cp_pct}/100,0),"
        "{cp_pct}-{adicp_pct})",
        steps=(Step("bound_share", "100*{adicp_pct}/{cp_pct}", "Heat-bound share of the protein", "% of CP"),),
    ),
    rules=(PART,),
    why_default="subtracting all of it is the only rule of the three seen in print, and it never overstates the protein",
)
def available_protein(
    cp_pct: Cp,
    adicp_pct: Adicp,
    rule: Annotated[
        str, Words("How bound protein is taken off", ("stepped", "above ten percent", "all of it"))
    ] = "all of it",
) -> Annotated[Number, Result("Available protein", "% DM", 0, 100)]:
    """Protein left after heat.

    Balance heated hay with this in place of crude protein.

    stepped takes CP x (100 - (share - 7)) / 100 from 14 to 20 %; above ten percent takes CP - (ADICP - 0.10 CP)
    where the share is above 10, else CP. Not valid for distillers grains (Manitoba Agriculture).

    >>> available_protein(18, 3.06, "stepped")
    16.20
    >>> available_protein(18, 3.06, "above ten percent")
    16.74
    >>> available_protein(18, 3.06, "all of it")
    14.94
    """
    if rule == "all of it":
        return cp_pct - adicp_pct
    if rule == "above ten percent":
        return cp_pct - np.maximum(adicp_pct - TEN_PERCENT * cp_pct / 100, 0)
    share = 100 * adicp_pct / cp_pct
    held = settled(share)
    taken = np.where(held < STEP_BEGINS, 0, np.where(held <= STEP_ENDS, share - STEP_NORMAL, share))
    return cp_pct * (100 - taken) / 100


@worksheet(
    "HEAT_DAMAGE_NOTE",
    TOPIC,
    "Says when heat has bound more of the protein than usual; empty when it has not.",
    equation="a sentence where 100 x ADICP / CP > 10, another where > 12",
    refs=(
        Ref("unl-bound-protein", "flagged above 10 % of CP"),
        Ref("manitoba-bound-protein", "above 12 % of CP significant heating"),
    ),
    longhand=(
        "IF(ROUND(100*{adicp_pct}/{cp_pct},9)>12," + quoted(MUCH_HEAT)
        + ",IF(ROUND(100*{adicp_pct}/{cp_pct},9)>10," + quoted(SOME_HEAT) + ',""))'
    ),
    rules=(PART,),
)  # fmt: skip
def heat_damage_note(cp_pct: Cp, adicp_pct: Adicp) -> Annotated[str, Result("Note", "text")]:
    """Note on heat-bound protein.

    Says in words when crude protein must not be used as it stands.

    At 17 % of CP the hay has heated:

    >>> heat_damage_note(18, 3.06) == ""
    False
    """
    share = settled(100 * adicp_pct / cp_pct)
    return MUCH_HEAT if share > HEATED else SOME_HEAT if share > FLAGGED else ""
