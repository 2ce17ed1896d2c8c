"""What growing cattle need a day for a wanted gain, and how dense the diet must be to hold it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Any

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Rule, Step, Words, worksheet
from hayfuncs.contract.units import GRAMS_PER_KG, LB_TO_KG
from hayfuncs.cow.body_condition import TOPIC
from hayfuncs.cow.diet_search import diet_me, search_steps
from hayfuncs.cow.growth import (
    GAINS,
    INTAKES,
    SIZE_STEP,
    STANDARD_STEP,
    STANDARD_WEIGHT,
    UPKEEP,
    UPKEEP_STEP,
    Class,
    Grown,
    Weight,
    intake_per_size,
    retained_mcal,
    scaled_kg,
    upkeep_mcal,
)
from hayfuncs.cow.intake import METABOLIC_POWER
from hayfuncs.cow.requirement_model import (
    CA_ABSORBED,
    CA_WEIGHT,
    MICROBIAL_PER_TDN,
    MICROBIAL_TRUE,
    MP_MAINTENANCE,
    P_ABSORBED,
    P_WEIGHT,
    SHARE_OF_DM,
    UNDEGRADED_TRUE,
)
from hayfuncs.cow.requirement_model import PER_DAY as COW_PER_DAY
from hayfuncs.forage.energy import ME_PER_TDN, neg_from_me_kg, nem_from_me_kg

# NRC 1996/2000: protein and mineral in gain.  0.67 and 7.1 are printed, the others from memory
PROTEIN_OF_GAIN, PROTEIN_LESS = 268, 29.4  # g net protein = 268 kg gain - 29.4 Mcal in it
MP_FOR_GAIN, MP_FALLS, MP_LEAST = (
    0.834,
    0.00114,
    0.492,
)  # share of MP that becomes gain: 0.834 - 0.00114 kg, at least 0.492
MP_OF_CP = 0.67  # University of Arkansas: crude protein = MP / 0.67
CA_OF_GAIN, P_OF_GAIN = 7.1, 3.9  # g per 100 g of net protein
RICHEST_TDN = 94  # % TDN, the end of the range that the energy equations were fitted to


def gain_protein_g(gain_kg: Number, retained: Number) -> Number:
    """Net protein in a day's gain; fat gain of heavy cattle holds none."""
    return np.maximum(0.0, PROTEIN_OF_GAIN * gain_kg - PROTEIN_LESS * retained)


def gain_mp_g(net_protein_g: Number, standard_kg: Number) -> Number:
    """Metabolizable protein that a day's gain takes."""
    return net_protein_g / np.maximum(MP_LEAST, MP_FOR_GAIN - MP_FALLS * standard_kg)


def crude_protein_kg(mp_g: Number, tdn_kg: Number) -> Number:
    """Crude protein by both printed ways, the larger: MP / 0.67, and what microbes and animal need apart."""
    microbial = MICROBIAL_PER_TDN * tdn_kg
    mp_kg = mp_g / GRAMS_PER_KG
    apart = microbial + np.maximum(0.0, (mp_kg - MICROBIAL_TRUE * microbial) / UNDEGRADED_TRUE)
    return np.maximum(mp_kg / MP_OF_CP, apart)


def left_for_gain(cattle_class: str, nem_kg: Number, neg_kg: Number) -> Number:
    """Energy left for gain on a diet fed to appetite, Mcal a day per kg^0.75."""
    return (intake_per_size(cattle_class, nem_kg) - upkeep_mcal(cattle_class, 1.0) / nem_kg) * neg_kg


class Gaining:
    """What follows from a diet and a gain alike for calves and young cows."""

    gain_kg: Number
    standard_kg: Number
    neg_mcal: Number

    @property
    def me_kg(self) -> Number:
        """Energy of the diet on which they eat just what they need."""
        raise NotImplementedError

    @property
    def dm_kg(self) -> Number:
        raise NotImplementedError

    @property
    def mp_g(self) -> Number:
        raise NotImplementedError

    @cached_property
    def tdn_pct(self) -> Number:
        return self.me_kg / ME_PER_TDN

    @cached_property
    def tdn_kg(self) -> Number:
        return self.dm_kg * self.tdn_pct / 100

    @cached_property
    def net_protein_g(self) -> Number:
        return gain_protein_g(self.gain_kg, self.neg_mcal)

    @cached_property
    def cp_kg(self) -> Number:
        return crude_protein_kg(self.mp_g, self.tdn_kg)


class Grower(Gaining):
    """One growing animal (or a column of them); each need is worked once, when asked for."""

    def __init__(self, cattle_class: str, shrunk_lb: Number, gain_lb: Number, grown_lb: Number) -> None:
        self.kind = cattle_class
        self.weight_kg = shrunk_lb * LB_TO_KG
        self.gain_kg = gain_lb * LB_TO_KG
        self.standard_kg = scaled_kg(self.weight_kg, grown_lb * LB_TO_KG)
        self.size = self.weight_kg**METABOLIC_POWER
        self.nem_mcal = upkeep_mcal(cattle_class, self.weight_kg)
        self.neg_mcal = retained_mcal(self.standard_kg, self.gain_kg)

    @cached_property
    def me_kg(self) -> Number:
        def left(me: Number) -> Number:
            return left_for_gain(self.kind, nem_from_me_kg(me), neg_from_me_kg(me))

        return diet_me(left, self.neg_mcal / self.size)

    @cached_property
    def dm_kg(self) -> Number:
        return self.size * intake_per_size(self.kind, nem_from_me_kg(self.me_kg))

    @cached_property
    def mp_g(self) -> Number:
        return MP_MAINTENANCE * self.size + gain_mp_g(self.net_protein_g, self.standard_kg)

    @cached_property
    def ca_g(self) -> Number:
        return (CA_WEIGHT * self.weight_kg + CA_OF_GAIN * self.net_protein_g / 100) / CA_ABSORBED

    @cached_property
    def p_g(self) -> Number:
        return (P_WEIGHT * self.weight_kg + P_OF_GAIN * self.net_protein_g / 100) / P_ABSORBED


OF_GAIN: dict[str, Callable[[Any], Number]] = {"NEg": lambda one: one.neg_mcal}
ASKED = ("DM", "TDN", "CP", "NEm", "NEg", "MP", "Ca", "P")  # in the order that the longhand chooses from
PER_DAY = {word: (COW_PER_DAY | OF_GAIN)[word] for word in ASKED}

Gain = Annotated[Number, Arg("Gain wanted", "lb/day", lo=0, hi=6, fit=(0.3, 3), fix="pounds a day, 1.5 is usual")]


def richest_gain_mcal(cattle_class: str) -> Number:
    """Energy left for gain on the richest diet, Mcal a day per kg^0.75."""
    me_kg = ME_PER_TDN * RICHEST_TDN
    return left_for_gain(cattle_class, nem_from_me_kg(me_kg), neg_from_me_kg(me_kg))


def can_gain(cattle_class: str, shrunk_weight_lb: Number, gain_lb: Number, mature_shrunk_lb: Number) -> Any:
    """Whether some diet gives the gain: what they weigh now falls out of the two sides."""
    per_size = retained_mcal(STANDARD_WEIGHT / (mature_shrunk_lb * LB_TO_KG), gain_lb * LB_TO_KG)
    return per_size <= richest_gain_mcal(cattle_class)


CAN_GAIN = Rule(
    lambda nutrient, cattle_class, shrunk_weight_lb, gain_lb, mature_shrunk_lb: can_gain(
        cattle_class, shrunk_weight_lb, gain_lb, mature_shrunk_lb
    ),
    "0.0635*(0.891*478/({mature_shrunk_lb}*0.45359237))^0.75*(0.956*{gain_lb}*0.45359237)^1.097"
    "<=(0.2435*NEM-0.0466*NEM^2-CHOOSE({cattle_class#},0.1128,0.1128,0.1128,0.0869,0.0869,0.0869)"
    "-0.077*CHOOSE({cattle_class#},1,1,1.15,1,1,1.15))/NEM*NEG".replace(
        "NEM", "(1.37*0.82*0.04409*94-0.138*(0.82*0.04409*94)^2+0.0105*(0.82*0.04409*94)^3-1.12)"
    ).replace("NEG", "(1.42*0.82*0.04409*94-0.174*(0.82*0.04409*94)^2+0.0122*(0.82*0.04409*94)^3-1.65)"),
    "gain_lb", "a gain that some diet gives", "give a smaller gain, or the weight they will have when grown",
)  # fmt: skip

# short names: the whole LAMBDA text of a function must stay under Excel's 8,192 characters
SPARE_STEPS = (
    Step("k", "CHOOSE({cattle_class#},0.1128,0.1128,0.1128,0.0869,0.0869,0.0869)", "What intake is less by: calf or yearling", "1"),
    Step("u", "0.077*CHOOSE({cattle_class#},1,1,1.15,1,1,1.15)", "Upkeep per kg^0.75", "Mcal/day"),
    Step("want", "{retained}/{metabolic_weight}", "Net energy in the gain per kg^0.75", "Mcal/day"),
)  # fmt: skip
LEFT = "((0.2435*[nem]-0.0466*[nem]^2-{k})/MAX([nem],0.95)-{u}/[nem])*[neg]"
RETAINED_STEP = Step(
    "retained",
    "0.0635*(0.891*{standard_weight})^0.75*(0.956*{gain_lb}*0.45359237)^1.097",
    "Net energy in the gain",
    "Mcal/day",
)
PROTEIN_STEPS = (
    Step("net_protein", "MAX(0,268*{gain_lb}*0.45359237-29.4*{retained})", "Net protein in the gain", "g/day"),
    Step(
        "mp_gain",
        "{net_protein}/MAX(0.492,0.834-0.00114*{standard_weight})",
        "Metabolizable protein for the gain",
        "g/day",
    ),
)
CRUDE_STEPS = (
    Step("microbial", "0.13*{diet_tdn}/100*{diet_kg}*1000", "Microbial protein", "g/day"),
    Step(
        "crude_apart",
        "{microbial}+MAX(0,({mp_need}-0.64*{microbial})/0.8)",
        "Crude protein, what microbes and animal need apart",
        "g/day",
    ),
    Step("crude_share", "{mp_need}/0.67", "Crude protein, MP / 0.67", "g/day"),
    Step("crude", "MAX({crude_apart},{crude_share})", "Crude protein needed, the larger", "g/day"),
)
DIET_STEPS = (
    Step("diet_nem", "1.37*{diet_me}-0.138*{diet_me}^2+0.0105*{diet_me}^3-1.12", "NEm of the diet", "Mcal/kg DM"),
    Step("diet_tdn", "{diet_me}/0.82/0.04409", "TDN of the diet", "% DM"),
)
STEPS = (
    SIZE_STEP, UPKEEP_STEP, STANDARD_STEP, RETAINED_STEP,
    *SPARE_STEPS,
    *search_steps(LEFT, "{want}"),
    *DIET_STEPS,
    Step(
        "diet_kg",
        "{metabolic_weight}*(0.2435*{diet_nem}-0.0466*{diet_nem}^2-{k})/MAX({diet_nem},0.95)",
        "Dry matter eaten", "kg/day",
    ),
    *PROTEIN_STEPS,
    Step("mp_need", "3.8*{metabolic_weight}+{mp_gain}", "Metabolizable protein needed", "g/day"),
    *CRUDE_STEPS,
    Step("calcium", "(0.0154*{shrunk_weight_lb}*0.45359237+7.1*{net_protein}/100)/0.5", "Calcium needed", "g/day"),
    Step("phosphorus", "(0.016*{shrunk_weight_lb}*0.45359237+3.9*{net_protein}/100)/0.68", "Phosphorus needed", "g/day"),
)  # fmt: skip
REFS = (
    GAINS, INTAKES, UPKEEP,
    Ref("arkansas-mp391", "crude protein = metabolizable protein / 0.67"),
    Ref("nrc-2000", "p. 55, 7.1 g calcium per 100 g protein gain"),
    Ref("msstate-2564", "crude protein of bulls of 300 to 900 lb: 5 of 12 cells to the last digit", "from memory, agrees with published"),
)  # fmt: skip


@worksheet(
    "GROWING_NEED",
    TOPIC,
    "What growing cattle need a day for a gain: DM, TDN, CP in lb; NEm, NEg in Mcal; MP, Ca, P in g.",
    equation="NEm = 0.077 kg^0.75 (x 1.15 bulls); NEg = 0.0635 (0.891 EQSBW)^0.75 (0.956 gain)^1.097; diet where intake holds both",
    refs=REFS,
    longhand=Longhand(
        "CHOOSE({nutrient#},{diet_kg}/0.45359237,{diet_kg}*{diet_tdn}/100/0.45359237,{crude}/1000/0.45359237,"
        "{nem_upkeep},{retained},{mp_need},{calcium},{phosphorus})",
        STEPS,
    ),
    rules=(CAN_GAIN,),
)
def growing_need(
    nutrient: Annotated[str, Words("Which need: DM, TDN, CP (lb), NEm, NEg (Mcal), MP, Ca, P (g)", tuple(PER_DAY))],
    cattle_class: Class,
    shrunk_weight_lb: Weight,
    gain_lb: Gain,
    mature_shrunk_lb: Grown,
) -> Annotated[Number, Result("Need", "per day", 0, 100_000)]:
    """What growing cattle need a day for a wanted gain.

    Whether hay alone can give the gain, and how much the supplement must bring.

    The diet is the one on which they eat, to appetite, just what upkeep and gain take; it is found by trying
    (secant method), since intake and both net energies follow from it.  Crude protein is the larger of MP / 0.67,
    as Arkansas and Mississippi print it, and what microbes and animal need apart.  Against the printed bulls intake
    agrees to a tenth of a pound, TDN runs up to 1.2 points of % DM under print, and at 900 lb crude protein is
    above it.  No implant, no ionophore, no cold.

    600-lb heifer calf, 1.5 lb a day, 1,200-lb cows:

    >>> growing_need("TDN", "heifer calf", 600, 1.5, 1200)  # lb
    8.92
    """
    return PER_DAY[nutrient](Grower(cattle_class, shrunk_weight_lb, gain_lb, mature_shrunk_lb))


@worksheet(
    "GROWING_DENSITY",
    TOPIC,
    "How much of the diet's dry matter must be TDN, CP, Ca or P for growing cattle to make a gain.",
    equation="density = daily need / daily dry matter x 100, both as in GROWING_NEED",
    refs=REFS,
    longhand=Longhand(
        "CHOOSE({nutrient#},{diet_tdn},{crude}/1000/{diet_kg}*100,{calcium}/1000/{diet_kg}*100,{phosphorus}/1000/{diet_kg}*100)",
        STEPS,
    ),
    rules=(CAN_GAIN,),
)
def growing_density(
    nutrient: Annotated[str, Words("Which need: TDN, CP, Ca or P", tuple(SHARE_OF_DM))],
    cattle_class: Class,
    shrunk_weight_lb: Weight,
    gain_lb: Gain,
    mature_shrunk_lb: Grown,
) -> Annotated[Number, Result("Share of the diet's dry matter", "% DM", 0, 200)]:
    """How dense the diet of growing cattle must be.

    The number to hold a hay test against: young cattle eat little, and percent is what fails first.

    500-lb bull calf, 2 lb a day, grown bulls of 2,000 lb:

    >>> growing_density("CP", "bull calf", 500, 2, 2000)  # %; print says 12.9
    12.9
    """
    return SHARE_OF_DM[nutrient](Grower(cattle_class, shrunk_weight_lb, gain_lb, mature_shrunk_lb))
