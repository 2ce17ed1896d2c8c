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

    Purpose: a difference smaller than this is no difference.
    Equation: none; a table.
    Arguments: measure - a name of the table lab_tolerance (CP, ADF, NDF, RFV, RFQ); same_lab - 1
        for values of one laboratory, 0 for two.
    Result: plus or minus, in the unit of the measure (% of dry matter or index points).
    Errors: NotInTable for another name; BadInput for a blank.
    Source: Hay & Forage Grower (a commercial laboratory's president); University of Idaho;
        University of Georgia forage glossary.
    Example: lab_tolerance("NDF", 1) = 1.4 % of dry matter.
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

    Purpose: a duplicate is the cheapest test of a laboratory; it must be the same ground sample,
        never two halves of an unground one.
    Equation: a sentence where |first - second| is above the usual error (LAB_TOLERANCE).  The
        sources give that error either side of the truth, so two good values may lie up to twice
        as far apart; the single error is taken here because running a sample again costs little.
    Arguments: measure - CP, ADF, NDF, RFV or RFQ; first_value, second_value - in the measure's
        unit, 0 to 1,000; same_lab - 1 for one laboratory, 0 for two.
    Result: text, empty when the two agree.
    Errors: NotInTable for another measure; OutOfRange or BadInput for a value.
    Source: as LAB_TOLERANCE.
    Example: lab_difference_note("CP", 9.0, 10.6, 1) asks for another run (1.6 is above 1).
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

    Purpose: hay of 138 and hay of 142 are the same hay; buy and feed by class, not by point.
    Equation: value - or + 5 points for RFV, 8 points for RFQ.
    Arguments: index_value - 0 to 500; index - RFV or RFQ; class_end - low or high.
    Result: index points; block in, block out.
    Errors: OutOfRange outside these limits; BadInput for a blank or another word.
    Source: University of Georgia forage glossary (RFV); University of Idaho (RFQ).
    Example: class_limit(140, "RFV", "low") = 135 and "high" 145.
    """
    width = RFV_CLASS if index == "RFV" else RFQ_CLASS
    return index_value - width if class_end == "low" else index_value + width
