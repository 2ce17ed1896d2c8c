"""Sampling: how far a lot's test may be off, how many cores that takes, which bales to core.

A core is a few grams of a lot of many tons, and bales differ.  No typical core-to-core
spread of a hay lot is known to be published, so there is no default: have single cores of
one lot tested once, and use the spread they show.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, worksheet
from hayfuncs.contract.levels import quoted
from hayfuncs.contract.rounding import whole_up

TOPIC = "Sampling and the lab sheet"
LOT_TONS = 200  # NFTA: a lot is generally under 200 tons of one field and cutting
LOT_HOURS = 48  # trade press and teaching: a lot is baled within 48 hours
CORES_TAUGHT = 15  # extension and labs: at least 15 to 20 cores

TOO_LARGE = "The lot is over 200 tons: split it and core each part as a lot of its own."
TOO_SLOW = "The lot was baled over more than 48 hours: treat hay of different days or weather as separate lots."
FEW_CORES = "Fewer than 15 cores: take 15 to 20, one to a bale, from bales spread through the whole lot."

NO_SPREAD = "take it from single cores of one lot tested one by one; no typical value is published"
CoreSd = Annotated[
    Number,
    Arg("Standard deviation between single cores of a lot", "any", lo=0, hi=1e6, above=True, fix=NO_SPREAD),
]
Cores = Annotated[Number, Arg("Cores in the sample", "cores", lo=1, hi=10_000)]
Confidence = Annotated[
    Number, Arg("Confidence wanted", "%", lo=50, hi=99.99, fix="95 is usual: 19 samples of 20 fall inside")
]


def z_for(confidence_pct: Number) -> Number:
    """How many standard errors lie on each side of the mean; each confidence is worked once."""
    from statistics import NormalDist  # loads fractions and decimal: only where it is used

    upper = (1 + confidence_pct / 100) / 2
    if not isinstance(upper, np.ndarray):
        return NormalDist().inv_cdf(upper)
    levels, places = np.unique(upper, return_inverse=True)
    z = np.array([NormalDist().inv_cdf(p) if 0 < p < 1 else np.nan for p in levels.tolist()])
    return z[places].reshape(upper.shape)


@worksheet(
    "SAMPLING_MARGIN",
    TOPIC,
    "How far a composite of so many cores may be from the true mean of the lot.",
    equation="margin = z x s / square root of n; z = 1.96 at 95 %",
    refs=(Ref("iupac-confidence", "limits of a mean: t x s / square root of n; z where the spread is known"),),
    longhand="NORMSINV((1+{confidence_pct}/100)/2)*{core_sd}/SQRT({cores})",
)
def sampling_margin(
    core_sd: CoreSd, cores: Cores, confidence_pct: Confidence
) -> Annotated[Number, Result("Margin on each side of the result", "any", 0)]:
    """Margin that sampling leaves on a lot's result.

    Plan the coring, and read a result as a range; the lab's own error comes on top.

    It is for planning with a spread between single cores that is known beforehand; a spread worked out from a
    few cores needs the wider t value. There is no default spread: none is known to be published.

    >>> sampling_margin(2.0, 20, 95)  # standard error 0.447 x 1.96
    0.877
    """
    return z_for(confidence_pct) * core_sd / np.sqrt(cores)


@worksheet(
    "CORES_FOR_MARGIN",
    TOPIC,
    "Cores to take so that sampling leaves no more than a wanted margin.",
    equation="cores = (z x s / margin)^2, rounded up",
    refs=(
        Ref("iupac-confidence", "limits of a mean, solved for the number"),
        Ref("agronomy-2000", "one core a bale from 12 large or 20 small bales is adequate for any lot"),
    ),
    longhand="ROUNDUP((NORMSINV((1+{confidence_pct}/100)/2)*{core_sd}/{margin})^2*(1-0.000000000001),0)",
)
def cores_for_margin(
    core_sd: CoreSd,
    margin: Annotated[
        Number,
        Arg("Margin wanted on each side, in the unit of the spread between cores", "any", lo=0, hi=1e6, above=True),
    ],
    confidence_pct: Confidence,
) -> Annotated[Number, Result("Cores to take", "cores", 0)]:
    """Cores to take for a wanted margin.

    Whether twenty cores are enough for the question asked.

    There is no default spread: none is known to be published. An excess below one part in a million million is
    the computer's own rounding and asks for no further core. An Agronomy Journal study of 2000 found one core
    from each of 12 large (880-lb) or 20 small bales adequate for protein, fiber and dry matter.

    >>> cores_for_margin(2.0, 0.5, 95)  # 61.46 rounded up
    62
    """
    return whole_up((z_for(confidence_pct) * core_sd / margin) ** 2)


@worksheet(
    "MARGIN_WITH_LAB_ERROR",
    TOPIC,
    "Margin of a lot's result from sampling and the laboratory together.",
    equation="margin = z x square root of (s cores^2 / cores + s lab^2 / analyses)",
    refs=(Ref("nist-tn1297", "section 5.1: root of the sum of the squares of standard deviations"),),
    longhand="NORMSINV((1+{confidence_pct}/100)/2)*SQRT({core_sd}^2/{cores}+{lab_sd}^2/{analyses})",
)
def margin_with_lab_error(
    core_sd: CoreSd,
    cores: Cores,
    lab_sd: Annotated[
        Number, Arg("Standard deviation of one analysis in the unit of the spread between cores", "any", lo=0, hi=1e6)
    ],
    analyses: Annotated[Number, Arg("Analyses made of the composite", "1", lo=1, hi=1000)],
    confidence_pct: Confidence,
) -> Annotated[Number, Result("Margin on each side of the result", "any", 0)]:
    """Margin from sampling and the laboratory together.

    Past some number of cores the laboratory is the larger error, and a second analysis of the same bag helps
    more than further cores.

    margin = z x sqrt(s_core^2 / n + s_lab^2 / k), with n cores and k analyses.

    >>> margin_with_lab_error(2.0, 20, 0.5, 1, 95)  # standard error 0.671
    1.315
    """
    return z_for(confidence_pct) * np.sqrt(core_sd**2 / cores + lab_sd**2 / analyses)


@worksheet(
    "BALE_TO_CORE",
    TOPIC,
    "Which bale of a lot each core comes from, spread evenly through the stack.",
    equation="bale = whole part of ((2 x core - 1) x bales / (2 x cores)) + 1",
    refs=(
        Ref("definition", "systematic sample, the middle of each equal part", "common practice, no source"),
        Ref("osu-forages", "20 cores a lot, one to a bale"),
    ),
    longhand="INT((2*{core}-1)*{bales}/(2*{cores}))+1",
    rules=(
        Rule(
            lambda core, cores, bales: core <= cores,
            "{core}<={cores}",
            "core",
            "1 to the number of cores",
            "number the cores 1, 2, 3 and so on",
        ),
    ),
)
def bale_to_core(
    core: Annotated[Number, Arg("Which core: 1 for the first", "1", lo=1, hi=10_000)],
    cores: Cores,
    bales: Annotated[Number, Arg("Bales in the lot, counted along the stack", "bales", lo=1, hi=1e6)],
) -> Annotated[Number, Result("Number of the bale, counted along the stack", "1", 1, 1e6)]:
    """Which bale a core comes from.

    Bales chosen beforehand are not chosen by reach or looks, and anyone can repeat it.

    The lot is cut into as many equal runs of bales as there are cores, and the middle bale of each run is
    cored. A bale comes twice when there are fewer bales than cores: core it again in another place.

    20 cores of 100 bales; the next are 8, 13 and so on:

    >>> bale_to_core(1, 20, 100)
    3.0
    """
    return np.floor((2 * core - 1) * bales / (2 * cores)) + 1


@worksheet(
    "LOT_NOTES",
    TOPIC,
    "Notes on a lot that is too large, was baled over too long a time, or had too few cores; empty when none.",
    equation="a sentence where tons > 200, hours > 48, cores < 15",
    refs=(
        Ref("nfta-sampling", "a lot is one cutting of one field, generally under 200 tons"),
        Ref("hfg-lots", "a lot is baled within 48 hours"),
        Ref("osu-forages", "20 cores; laboratories ask for 15 to 20 at least"),
    ),
    longhand=Longhand(
        'TRIM({size_note}&" "&{time_note}&" "&{core_note})',
        steps=(
            Step("size_note", "IF({lot_tons}>200," + quoted(TOO_LARGE) + ',"")', "Size of the lot", "text"),
            Step("time_note", "IF({baling_hours}>48," + quoted(TOO_SLOW) + ',"")', "Time of baling", "text"),
            Step("core_note", "IF({cores}<15," + quoted(FEW_CORES) + ',"")', "Cores taken", "text"),
        ),
    ),
)
def lot_notes(
    lot_tons: Annotated[float, Arg("Hay in the lot", "tons", lo=0, hi=1e6, above=True)],
    baling_hours: Annotated[float, Arg("From the first bale to the last", "hours", lo=0, hi=10_000, above=True)],
    cores: Cores,
) -> Annotated[str, Result("Notes", "text")]:
    """Notes on how a lot was made and sampled.

    A test speaks for one lot only; one field, one cutting, one weather.

    >>> "over 200 tons" in lot_notes(240, 30, 20)
    True
    """
    notes = (
        TOO_LARGE if lot_tons > LOT_TONS else "",
        TOO_SLOW if baling_hours > LOT_HOURS else "",
        FEW_CORES if cores < CORES_TAUGHT else "",
    )
    return " ".join(note for note in notes if note)
