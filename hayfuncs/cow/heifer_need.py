"""What a female that calves and still grows needs: bred heifers, first- and second-calf cows."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Annotated

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.units import LB_TO_KG
from hayfuncs.cow.body_condition import TOPIC
from hayfuncs.cow.diet_search import diet_me, search_steps
from hayfuncs.cow.growth import GAINS, STANDARD_STEP, Grown, retained_mcal, scaled_kg
from hayfuncs.cow.growth_need import (
    CA_OF_GAIN,
    CRUDE_STEPS,
    DIET_STEPS,
    P_OF_GAIN,
    PER_DAY,
    PROTEIN_STEPS,
    RETAINED_STEP,
    Gaining,
    gain_mp_g,
)
from hayfuncs.cow.intake import INTAKE_NEM_SQUARED, INTAKE_OPEN, INTAKE_PER_MILK, INTAKE_PREGNANT
from hayfuncs.cow.requirement_model import CA_ABSORBED, P_ABSORBED, SHARE_OF_DM, Cow, Month
from hayfuncs.cow.requirement_model import STEPS as COW_STEPS
from hayfuncs.cow.requirements import CalfWeight, PeakMilk
from hayfuncs.forage.energy import neg_from_me_kg, nem_from_me_kg

CALVES = ("first", "second", "later")
OF_GROWN = (0.74, 0.88, 1.0)  # milk at the peak against a grown cow's; 0.74 printed by Arkansas, 0.88 from memory
RICHEST_ME = 3.4  # Mcal/kg, the end of the range that the energy equations were fitted to


class Heifer(Gaining, Cow):
    """A cow that gains weight of her own besides milk and calf."""

    def __init__(
        self, shrunk_lb: Number, month: Number, peak_lb: Number, calf_lb: Number, gain_lb: Number, grown_lb: Number
    ) -> None:
        super().__init__(shrunk_lb, month, peak_lb, calf_lb)
        self.gain_kg = gain_lb * LB_TO_KG
        self.standard_kg = scaled_kg(self.weight_kg, grown_lb * LB_TO_KG)
        self.neg_mcal = retained_mcal(self.standard_kg, self.gain_kg)

    def eats_kg(self, nem_kg: Number) -> Number:
        base = np.where(self.days_pregnant > 0, INTAKE_PREGNANT, INTAKE_OPEN)
        per_size = (INTAKE_NEM_SQUARED * nem_kg * nem_kg + base) / nem_kg
        return self.metabolic_kg * per_size + INTAKE_PER_MILK * self.milk_kg

    @cached_property
    def me_kg(self) -> Number:
        def left(me: Number) -> Number:
            nem_kg = nem_from_me_kg(me)
            return (self.eats_kg(nem_kg) - self.nem_mcal / nem_kg) * neg_from_me_kg(me)

        return diet_me(left, self.neg_mcal)

    def held(self, need: Callable[[Heifer], Number]) -> Number:
        """A need of hers; no answer where no diet holds them."""
        return np.where(self.me_kg > RICHEST_ME, np.nan, need(self))

    @cached_property
    def diet_nem_kg(self) -> Number:
        return nem_from_me_kg(self.me_kg)

    @cached_property
    def dm_kg(self) -> Number:
        return self.eats_kg(self.diet_nem_kg)

    @cached_property
    def mp_g(self) -> Number:
        return self.cow_mp_g() + gain_mp_g(self.net_protein_g, self.standard_kg)

    @cached_property
    def ca_g(self) -> Number:
        return self.cow_ca_g() + CA_OF_GAIN * self.net_protein_g / 100 / CA_ABSORBED

    @cached_property
    def p_g(self) -> Number:
        return self.cow_p_g() + P_OF_GAIN * self.net_protein_g / 100 / P_ABSORBED


HeiferWeight = Annotated[
    Number, Arg("Her shrunk weight now", "lb", lo=300, hi=3000, fit=(600, 1500), fix="see SHRUNK_WEIGHT")
]
HeiferGain = Annotated[
    Number,
    Arg("Gain of her own, without calf and womb", "lb/day", lo=0, hi=3, fit=(0, 1.5), fix="0.3 to 1 lb a day is usual"),
]

LEFT = "({metabolic_weight}*(0.04997*[nem]^2+IF({days_pregnant}>0,0.04631,0.0384))/[nem]+0.2*{milk_kg}-{nem_need}/[nem])*[neg]"
TAKEN = ("metabolic_weight", "weeks", "days_pregnant", "milk_kg", "calf_kg", "nem_upkeep", "nem_milk", "nem_calf", "nem_need")  # fmt: skip
OF_COW = {step.name: step for step in COW_STEPS}


def named(step: Step) -> Step:
    """A step of DAILY_NEED, its calf under this function's name."""
    return step._replace(formula=step.formula.replace("{calf_weight_lb}", "{calf_birth_weight_lb}"))


STEPS = (
    *(named(OF_COW[name]) for name in TAKEN),
    STANDARD_STEP, RETAINED_STEP,
    *search_steps(LEFT, "{retained}"),
    *DIET_STEPS,
    Step(
        "diet_kg",
        "{metabolic_weight}*(0.04997*{diet_nem}^2+IF({days_pregnant}>0,0.04631,0.0384))/{diet_nem}+0.2*{milk_kg}",
        "Dry matter eaten", "kg/day",
    ),
    *PROTEIN_STEPS,
    named(OF_COW["mp_need"])._replace(name="mp_cow", label="Metabolizable protein without the gain"),
    Step("mp_need", "{mp_cow}+{mp_gain}", "Metabolizable protein needed", "g/day"),
    *CRUDE_STEPS,
    named(OF_COW["calcium"])._replace(name="calcium_cow", label="Calcium without the gain"),
    Step("calcium", "{calcium_cow}+7.1*{net_protein}/100/0.5", "Calcium needed", "g/day"),
    named(OF_COW["phosphorus"])._replace(name="phosphorus_cow", label="Phosphorus without the gain"),
    Step("phosphorus", "{phosphorus_cow}+3.9*{net_protein}/100/0.68", "Phosphorus needed", "g/day"),
)  # fmt: skip
REFS = (
    GAINS,
    Ref("nrc-2000", "pp. 43 and 45, Table 4-2: efficiencies, peak week, pregnancy"),
    Ref("unl-condition", "table 2, energy of maintenance, milk and pregnancy", "from memory, agrees with published"),
    Ref("wyoming-heifers", "her need in pounds is like a cow's, her appetite is smaller"),
)


@worksheet(
    "YOUNG_COW_MILK",
    TOPIC,
    "Milk at the peak of a first- or second-calf cow, from that of the grown cows of the herd.",
    equation="peak = grown cow's peak x 0.74 with the first calf, x 0.88 with the second",
    refs=(
        Ref("arkansas-mp391", "first-calf heifers: 74 % of mature production"),
        Ref("nrc-2000", "0.88 with the second calf", "from memory"),
    ),
    longhand="{grown_peak_milk_lb}*CHOOSE({calf#},0.74,0.88,1)",
)
def young_cow_milk(
    grown_peak_milk_lb: Annotated[
        Number, Arg("Milk at the peak of the herd's grown cows", "lb/day", lo=0, hi=80, fit=(8.8, 44.1))
    ],
    calf: Annotated[str, Words("Which calf she nurses", CALVES)],
) -> Annotated[Number, Result("Milk at her peak", "lb/day", 0, 80)]:
    """Milk of a young cow.

    HEIFER_NEED asks for her own milk, and a heifer gives less than the cows.

    >>> young_cow_milk(20, "first")  # lb
    14.8
    """
    return grown_peak_milk_lb * OF_GROWN[CALVES.index(calf)]


@worksheet(
    "HEIFER_NEED",
    TOPIC,
    "What a bred heifer or a young cow needs a day: DM, TDN, CP in lb; NEm, NEg in Mcal; MP, Ca, P in g.",
    equation="need of DAILY_NEED + NEg and protein of her own gain; diet where the cow's intake holds both",
    refs=REFS,
    longhand=Longhand(
        "IF({diet_me}>3.4,#NUM!,CHOOSE({nutrient#},{diet_kg}/0.45359237,{diet_kg}*{diet_tdn}/100/0.45359237,"
        "{crude}/1000/0.45359237,{nem_need},{retained},{mp_need},{calcium},{phosphorus}))",
        STEPS,
    ),
)
def heifer_need(
    nutrient: Annotated[str, Words("Which need: DM, TDN, CP (lb), NEm, NEg (Mcal), MP, Ca, P (g)", tuple(PER_DAY))],
    mature_shrunk_lb: Grown,
    shrunk_weight_lb: HeiferWeight,
    gain_lb: HeiferGain,
    month_since_calving: Month,
    peak_milk_lb: PeakMilk,
    calf_birth_weight_lb: CalfWeight,
) -> Annotated[Number, Result("Need", "per day", 0, 100_000)]:
    """What a bred heifer, a first-calf or a second-calf cow needs a day.

    Beside the grown cow: the same pounds or fewer, in a richer diet, because she eats less.

    A heifer that has not calved yet stands in the same year: at month 9 she is 189 days bred, at 12 280 days, and
    gives no milk.  Her gain is what is missing to TARGET_WEIGHT over the days left; without gain the energy is
    that of DAILY_NEED.  Give her own milk (YOUNG_COW_MILK).  Crude protein is the larger of MP / 0.67 and what
    microbes and animal need apart.  No month table of such females could be read in print: her parts are checked,
    their sum is not.

    1,200-lb cows (1,152 shrunk); a heifer of 984 lb (945) in month 2 with 14.8 lb of milk:

    >>> heifer_need("TDN", 1152, 945, 0.38, 2, 14.8, 85)  # lb
    14.6
    """
    one = Heifer(shrunk_weight_lb, month_since_calving, peak_milk_lb, calf_birth_weight_lb, gain_lb, mature_shrunk_lb)
    return one.held(PER_DAY[nutrient])


@worksheet(
    "HEIFER_DENSITY",
    TOPIC,
    "How much of the diet's dry matter must be TDN, CP, Ca or P for a bred heifer or a young cow.",
    equation="density = daily need / daily dry matter x 100, both as in HEIFER_NEED",
    refs=REFS,
    longhand=Longhand(
        "IF({diet_me}>3.4,#NUM!,CHOOSE({nutrient#},{diet_tdn},{crude}/1000/{diet_kg}*100,"
        "{calcium}/1000/{diet_kg}*100,{phosphorus}/1000/{diet_kg}*100))",
        STEPS,
    ),
)
def heifer_density(
    nutrient: Annotated[str, Words("Which need: TDN, CP, Ca or P", tuple(SHARE_OF_DM))],
    mature_shrunk_lb: Grown,
    shrunk_weight_lb: HeiferWeight,
    gain_lb: HeiferGain,
    month_since_calving: Month,
    peak_milk_lb: PeakMilk,
    calf_birth_weight_lb: CalfWeight,
) -> Annotated[Number, Result("Share of the diet's dry matter", "% DM", 0, 200)]:
    """How dense the diet of a bred heifer or a young cow must be.

    What fails first: late bred heifers need 7 to 9 points more TDN than the cows, in milk 2 to 4.

    >>> heifer_density("TDN", 1152, 945, 0.38, 2, 14.8, 85)  # %
    62.8
    """
    one = Heifer(shrunk_weight_lb, month_since_calving, peak_milk_lb, calf_birth_weight_lb, gain_lb, mature_shrunk_lb)
    return one.held(SHARE_OF_DM[nutrient])
