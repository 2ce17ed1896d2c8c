"""How far a laboratory's value may be trusted: two values of one sample, and indexes as classes."""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Flag, Longhand, Name, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.levels import quoted, settled
from hayfuncs.contract.tables import load
from hayfuncs.forage.lab_checks import TOPIC

# University of Georgia forage glossary: a relative feed value stands for a class of 5 points either way.
RFV_CLASS = 5
RFQ_CLASS = 8  # University of Idaho: normal variation of relative forage quality

SAME_LAB = (
    "The two values differ by more than one laboratory's usual error. Ask it to run the sample again; "
    "until then do not use either value alone."
)
OTHER_LAB = (
    "The two values differ by more than the usual error between laboratories. Ask both for their method, "
    "and send a third part of the same ground sample."
)
ROW = "MATCH({measure},{@lab_tolerance.measure},0)"
TOLERANCE = f"IF({{same_lab}},INDEX({{@lab_tolerance.within_lab}},{ROW}),INDEX({{@lab_tolerance.between_labs}},{ROW}))"

Measure = Annotated[str, Name("What was measured", "lab_tolerance")]
SameLab = Annotated[bool, Flag("Both values come from one laboratory")]
TOLERANCE_REFS = (
    Ref("hfg-lab-error", "one lab: CP 1, ADF 1, NDF 1.4 either way; between labs perhaps twice that"),
    Ref("idaho-hay", "RFQ 8 points either way in all"),
    Ref("uga-glossary", "an RFV is a class of 5 points either way"),
)


def usual_error(measure: str, same_lab: bool, function: str) -> float:
    value = load("lab_tolerance").row(measure, function, "measure")["within_lab" if same_lab else "between_labs"]
    assert isinstance(value, float), f"no error given for {measure}"
    return value


@worksheet(
    "LAB_TOLERANCE",
    TOPIC,
    "How far a laboratory's value usually lies from the truth, on each side.",
    equation="the table's value for the measure, within one lab or between labs",
    refs=TOLERANCE_REFS,
    longhand=TOLERANCE,
)
def lab_tolerance(
    measure: Measure, same_lab: SameLab
) -> Annotated[Number, Result("Usual error on each side", "any", 0, 100)]:
    """Usual error of a laboratory's value.

    A difference smaller than this is no difference.

    >>> lab_tolerance("NDF", 1)  # % of dry matter
    1.4
    """
    return usual_error(measure, same_lab, "LAB_TOLERANCE")


@worksheet(
    "LAB_DIFFERENCE_NOTE",
    TOPIC,
    "Says when two values of one sample lie further apart than laboratories usually do; empty when they do not.",
    equation="a sentence where |first - second| > the usual error",
    refs=TOLERANCE_REFS,
    longhand=Longhand(
        "IF(ROUND(ABS({first_value}-{second_value}),9)>{usual_error},IF({same_lab},"
        + quoted(SAME_LAB) + "," + quoted(OTHER_LAB) + '),"")',
        steps=(Step("usual_error", TOLERANCE, "Usual error on each side", "any"),),
    ),
)  # fmt: skip
def lab_difference_note(
    measure: Measure,
    first_value: Annotated[float, Arg("One value of the sample", "any", lo=0, hi=1000)],
    second_value: Annotated[float, Arg("The other value of the same sample", "any", lo=0, hi=1000)],
    same_lab: SameLab,
) -> Annotated[str, Result("Note", "text")]:
    """Two values of one sample, compared.

    A duplicate is the cheapest test of a laboratory; it must be the same ground sample, never two halves of an
    unground one.

    The sources give that error either side of the truth, so two good values may lie up to twice as far apart;
    the single error is taken here because running a sample again costs little.

    1.6 is above the usual 1:

    >>> lab_difference_note("CP", 9.0, 10.6, 1) == ""
    False
    """
    if settled(abs(first_value - second_value)) <= usual_error(measure, same_lab, "LAB_DIFFERENCE_NOTE"):
        return ""
    return SAME_LAB if same_lab else OTHER_LAB


@worksheet(
    "CLASS_LIMIT",
    TOPIC,
    "The ends of the class that a relative feed value or relative forage quality stands for.",
    equation="value - or + 5 points (RFV), 8 points (RFQ)",
    refs=(
        Ref("uga-glossary", "a target of 140 RFV means 135 to 145"),
        Ref("idaho-hay", "RFQ varies by 8 points either way"),
    ),
    longhand="{index_value}+CHOOSE({class_end#},-1,1)*CHOOSE({index#},5,8)",
)
def class_limit(
    index_value: Annotated[Number, Arg("The index", "index", lo=0, hi=500)],
    index: Annotated[str, Words("Which index", ("RFV", "RFQ"))],
    class_end: Annotated[str, Words("Which end of the class", ("low", "high"))],
) -> Annotated[Number, Result("End of the class", "index", -8, 508)]:
    """End of the class an index stands for.

    Hay of 138 and hay of 142 are the same hay; buy and feed by class, not by point.

    >>> class_limit(140, "RFV", "low")
    135.0
    >>> class_limit(140, "RFV", "high")
    145.0
    """
    width = RFV_CLASS if index == "RFV" else RFQ_CLASS
    return index_value - width if class_end == "low" else index_value + width
