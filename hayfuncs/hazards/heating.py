"""Hay that heats: how dry to bale, and what the temperature inside a stack means.

Each caution begins with its level (Clear, Caution, Danger) and ends with who decides.  The
limits have the source named; the advice beside them is common practice where none is named.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Longhand, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.levels import FIRE_SERVICE, TOPIC, band_text, quoted

BALES = ("small square", "round", "large square")
# % moisture at baling, Ohio State 2015; Mississippi State P2620 puts the risk at the same 18 and 20
SMALL_SQUARE_MOIST, ROUND_MOIST, LARGE_SQUARE_MOIST = 20, 18, 16
HEATS_FROM = 13  # % moisture from which some heating is possible, Oklahoma State

BALED_DRY = "Clear: too dry to heat much. Keep it out of the wet."
BALED_WITHIN = (
    "Clear: within the limit for this bale, but some heating is possible. Measure the stack's temperature for more "
    "than two weeks."
)
BALED_WET = (
    "Caution: above the limit for this bale: mold, lost protein and fire are possible. Let it dry before baling, or "
    "stack it apart, outside, with gaps, and measure its temperature daily."
)

STACK_BAND = (
    "1+({core_temp_f}>=120)+({core_temp_f}>=140)+({core_temp_f}>=150)+({core_temp_f}>=160)"
    "+({core_temp_f}>=175)+({core_temp_f}>=190)"
)


@worksheet(
    "STACK_HEAT_CAUTION",
    TOPIC,
    "What the temperature inside a hay stack means and what to do next.",
    equation="bands from 120, 140, 150, 160, 175 and 190 deg F",
    refs=(
        Ref("ohio-heating", "normal below 120-125; mold from 120; 140 and more by Washington State"),
        Ref("cornell-heating", "150 check every 2 hours, 160 call the fire department"),
        Ref("penn-state-heating", "175 hot spots, 190 remove with the fire service present"),
    ),
    longhand=Longhand(
        "INDEX({@stack_heat.advice},{band})&" + quoted(" " + FIRE_SERVICE),
        steps=(Step("band", STACK_BAND, "Band, counted from the coolest", "1"),),
    ),
)
def stack_heat_caution(
    core_temp_f: Annotated[
        float, Arg("Temperature deep inside the stack", "deg F", lo=-40, hi=600, fix="measure with a probe, deg F")
    ],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on a heating stack.

    Hay fires begin weeks after baling, from the inside.

    Where sources differ the earlier warning is taken.

    >>> stack_heat_caution(165).split(":")[0]
    'Danger'
    >>> "fire service" in stack_heat_caution(165)
    True
    """
    return f"{band_text('stack_heat', core_temp_f, 'advice')} {FIRE_SERVICE}"


@worksheet(
    "BALING_MOISTURE_CAUTION",
    TOPIC,
    "Whether hay is dry enough to bale, by kind of bale.",
    equation="moisture limit 20 % small square, 18 % round, 16 % large square",
    refs=(
        Ref("ohio-heating", "small square 20 %, round 18 %, large square 16 %"),
        Ref("msstate-baling", "risk above 18 % round, 20 % small square"),
        Ref("okstate-heating", "heating possible from about 13 % moisture; watch it for over two weeks"),
    ),
    longhand=(
        "IF({moisture_pct}>CHOOSE({bale#},20,18,16)," + quoted(BALED_WET) + ",IF({moisture_pct}>=13,"
        + quoted(BALED_WITHIN) + "," + quoted(BALED_DRY) + "))&" + quoted(" " + FIRE_SERVICE)
    ),
)  # fmt: skip
def baling_moisture_caution(
    moisture_pct: Annotated[
        float, Arg("Moisture at baling (100 less dry matter)", "% as fed", lo=0, hi=100, above=True)
    ],
    bale: Annotated[str, Words("Kind of bale", BALES)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on moisture at baling.

    The bigger and denser the bale, the less moisture it can lose, and the hotter it gets.

    Some heating is possible from 13 %.

    >>> baling_moisture_caution(19, "round").split(":")[0]
    'Caution'
    >>> baling_moisture_caution(19, "small square").split(":")[0]
    'Clear'
    """
    limit = {"small square": SMALL_SQUARE_MOIST, "round": ROUND_MOIST, "large square": LARGE_SQUARE_MOIST}[bale]
    text = BALED_WET if moisture_pct > limit else BALED_WITHIN if moisture_pct >= HEATS_FROM else BALED_DRY
    return f"{text} {FIRE_SERVICE}"
