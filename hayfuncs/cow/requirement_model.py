"""A cow's daily need, month by month from calving, and how dense her diet must be to hold it.

The chain: weight, milk and pregnancy give the net energy needed; the intake equation then
says at which energy density she eats exactly that much; density gives TDN; TDN and the
protein need give crude protein.  Calcium and phosphorus follow from weight, milk and calf.
Kilograms inside, pounds outside.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Any

import numpy as np

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.units import DAYS_PER_WEEK, DAYS_PER_YEAR, GRAMS_PER_KG, KG_TO_LB, LB_TO_KG, MONTHS_PER_YEAR
from hayfuncs.cow.intake import INTAKE_NEM_SQUARED, INTAKE_OPEN, INTAKE_PER_MILK, INTAKE_PREGNANT, METABOLIC_POWER
from hayfuncs.cow.requirements import (
    LACTATING,
    TOPIC,
    CalfWeight,
    PeakMilk,
    maintenance_mcal,
    milk_mcal,
    milk_yield,
    pregnancy_mcal,
)
from hayfuncs.forage.dry_matter import NITROGEN_TO_PROTEIN
from hayfuncs.forage.energy import tdn_for_nem_kg

# The cow's year: one calf every 365 days; month m means the end of month m.
CONCEPTION_DAY = 85  # days from calving to the next conception, the worked cow of NRC 2000 (from memory)
WEANING_MONTH = 6  # milk stops after it, the same worked cow
LAST_DAYS = 90  # the calf lays down calcium and phosphorus in these last days
GESTATION = DAYS_PER_YEAR - CONCEPTION_DAY

# Metabolizable protein, g (NRC 1996, from memory)
MP_MAINTENANCE = 3.8  # per kg^0.75
MILK_PROTEIN = 34  # g per kg of beef milk, 3.4 %
MP_EFFICIENCY = 0.65  # of milk protein and of the calf's
CALF_BASE, CALF_SLOPE = 0.001669, 0.00000211  # nitrogen kept in the womb
CALF_RATE, CALF_BEND = 0.0278, 0.0000176

# Crude protein that supplies it (NRC 1996, from memory)
MICROBIAL_PER_TDN = 0.13  # microbial protein, share of TDN eaten
MICROBIAL_TRUE = 0.64  # share of microbial protein that becomes metabolizable
UNDEGRADED_TRUE = 0.8  # share of undegraded intake protein that becomes metabolizable

# Calcium and phosphorus, g (NRC 1996, from memory)
CA_WEIGHT, CA_MILK, CA_CALF, CA_ABSORBED = 0.0154, 1.23, 13.7, 0.5  # per kg weight, milk, calf; share absorbed
P_WEIGHT, P_MILK, P_CALF, P_ABSORBED = 0.016, 0.95, 7.6, 0.68


class Cow:
    """One cow (or a column of cows) at one time of her year; each need is worked once, when asked for."""

    def __init__(self, shrunk_lb: Number, month: Number, peak_lb: Number, calf_lb: Number) -> None:
        self.weight_kg = shrunk_lb * LB_TO_KG
        self.calf_kg = calf_lb * LB_TO_KG
        self.days_pregnant = month * DAYS_PER_YEAR / MONTHS_PER_YEAR - CONCEPTION_DAY
        weeks = month * DAYS_PER_YEAR / (MONTHS_PER_YEAR * DAYS_PER_WEEK)
        self.milk_kg = np.where(month <= WEANING_MONTH, milk_yield.plain(peak_lb * LB_TO_KG, weeks), 0.0)

    @cached_property
    def metabolic_kg(self) -> Number:
        return self.weight_kg**METABOLIC_POWER

    @cached_property
    def nem_mcal(self) -> Number:
        """Net energy a day: maintenance, milk and pregnancy."""
        milk_factor = np.where(self.milk_kg > 0, LACTATING, 1.0)
        maintenance = maintenance_mcal(self.weight_kg, milk_factor)
        return maintenance + milk_mcal(self.milk_kg) + pregnancy_mcal(self.calf_kg, self.days_pregnant)

    @cached_property
    def diet_nem_kg(self) -> Number:
        """NEm of the diet, Mcal/kg, at which she eats just her need.

        The intake equation times NEm is a quadratic: kg^0.75 (0.04997 NEm^2 + c) + 0.2 milk NEm = need.
        """
        base = np.where(self.days_pregnant > 0, INTAKE_PREGNANT, INTAKE_OPEN)
        square = self.metabolic_kg * INTAKE_NEM_SQUARED
        straight = INTAKE_PER_MILK * self.milk_kg
        above = self.nem_mcal - self.metabolic_kg * base
        return (np.sqrt(straight * straight + 4 * square * above) - straight) / (2 * square)

    @cached_property
    def dm_kg(self) -> Number:
        return self.nem_mcal / self.diet_nem_kg

    @cached_property
    def tdn_pct(self) -> Number:
        return tdn_for_nem_kg(self.diet_nem_kg)

    @cached_property
    def tdn_kg(self) -> Number:
        return self.dm_kg * self.tdn_pct / 100

    @cached_property
    def mp_g(self) -> Number:
        return self.cow_mp_g()

    def cow_mp_g(self) -> Number:
        """Metabolizable protein a day: maintenance, milk and pregnancy."""
        t = self.days_pregnant
        kept = self.calf_kg * (CALF_BASE - CALF_SLOPE * t) * np.exp((CALF_RATE - CALF_BEND * t) * t)
        calf = np.where(t > 0, kept * NITROGEN_TO_PROTEIN / MP_EFFICIENCY, 0.0)
        return MP_MAINTENANCE * self.metabolic_kg + self.milk_kg * MILK_PROTEIN / MP_EFFICIENCY + calf

    @cached_property
    def cp_kg(self) -> Number:
        """Crude protein: what the rumen's microbes need, and what the cow needs beyond what they make."""
        microbial = MICROBIAL_PER_TDN * self.tdn_kg
        beyond = self.mp_g / GRAMS_PER_KG - MICROBIAL_TRUE * microbial
        return microbial + np.maximum(0.0, beyond / UNDEGRADED_TRUE)

    @cached_property
    def ca_g(self) -> Number:
        return self.cow_ca_g()

    @cached_property
    def p_g(self) -> Number:
        return self.cow_p_g()

    def cow_ca_g(self) -> Number:
        return (CA_WEIGHT * self.weight_kg + CA_MILK * self.milk_kg + self._late(CA_CALF)) / CA_ABSORBED

    def cow_p_g(self) -> Number:
        return (P_WEIGHT * self.weight_kg + P_MILK * self.milk_kg + self._late(P_CALF)) / P_ABSORBED

    def _late(self, grams_per_calf_kg: float) -> Number:
        """The calf's mineral a day, in the last 90 days only."""
        return np.where(self.days_pregnant > GESTATION - LAST_DAYS, self.calf_kg * grams_per_calf_kg / LAST_DAYS, 0.0)


# what is asked for by its word, of any animal whose needs are worked out: a cow, and those that grow besides
PER_DAY: dict[str, Callable[[Any], Number]] = {
    "DM": lambda one: one.dm_kg * KG_TO_LB,
    "TDN": lambda one: one.tdn_kg * KG_TO_LB,
    "CP": lambda one: one.cp_kg * KG_TO_LB,
    "NEm": lambda one: one.nem_mcal,
    "MP": lambda one: one.mp_g,
    "Ca": lambda one: one.ca_g,
    "P": lambda one: one.p_g,
}
SHARE_OF_DM: dict[str, Callable[[Any], Number]] = {
    "TDN": lambda one: one.tdn_pct,
    "CP": lambda one: one.cp_kg / one.dm_kg * 100,
    "Ca": lambda one: one.ca_g / GRAMS_PER_KG / one.dm_kg * 100,
    "P": lambda one: one.p_g / GRAMS_PER_KG / one.dm_kg * 100,
}

CowWeight = Annotated[
    Number, Arg("Shrunk weight of the cow (full weight less gut fill)", "lb", lo=400, hi=3000, fix="see SHRUNK_WEIGHT")
]
Month = Annotated[
    Number, Arg("Months since calving (3 is the end of the third month)", "months", lo=0, hi=12, above=True)
]

REFS = (
    Ref("nrc-2000", "pp. 43 and 45, Table 4-2: efficiencies, peak week, pregnancy"),
    Ref("nrc-2000", "p. 55, calcium of weight, milk and calf; p. 17, 13 g of microbial protein per 100 g TDN"),
    Ref("unl-condition", "table 2, NEm of the twelve months", "from memory, agrees with published"),
    Ref(
        "ohio-late-gestation",
        "1,200-lb cow, months 8 and 9 of pregnancy: five cells",
        "from memory, agrees with published",
    ),
    Ref("nrc-2000", "phosphorus, and what becomes of protein", "from memory"),
)

# The longhand, in kilograms.  The cubic NEm = 1.37 ME - 0.138 ME^2 + 0.0105 ME^3 - 1.12 is solved by Cardano's
# formula: with ME = y + 0.138 / (3 x 0.0105) it reads y^3 + p y + q = 0, and as p is above 0 it has one root.
STEPS = (
    Step("metabolic_weight", "({shrunk_weight_lb}*0.45359237)^0.75", "Metabolic weight", "kg^0.75"),
    Step("weeks", "{month_since_calving}*365/84", "Weeks since calving", "weeks"),
    Step("days_pregnant", "MAX(0,{month_since_calving}*365/12-85)", "Days pregnant (conceived on day 85)", "days"),
    Step(
        "milk_kg",
        "IF({month_since_calving}<=6,{peak_milk_lb}*0.45359237*{weeks}/8.5*EXP(1-{weeks}/8.5),0)",
        "Milk (weaned after month 6)",
        "kg/day",
    ),
    Step("calf_kg", "{calf_weight_lb}*0.45359237", "Calf's birth weight", "kg"),
    Step(
        "nem_upkeep",
        "0.077*{metabolic_weight}*IF({milk_kg}>0,1.2,1)",
        "Net energy for maintenance",
        "Mcal/day",
    ),
    Step("nem_milk", "{milk_kg}*(0.092*4+0.049*8.3-0.0569)", "Net energy for milk", "Mcal/day"),
    Step(
        "nem_calf",
        "IF({days_pregnant}>0,0.576/0.13*{calf_kg}*(0.05855-0.0000996*{days_pregnant})"
        "*EXP((0.03233-0.0000275*{days_pregnant})*{days_pregnant})/1000,0)",
        "Net energy for pregnancy",
        "Mcal/day",
    ),
    Step("nem_need", "{nem_upkeep}+{nem_milk}+{nem_calf}", "Net energy needed", "Mcal/day"),
    Step(
        "diet_nem",
        "(SQRT((0.2*{milk_kg})^2+4*0.04997*{metabolic_weight}"
        "*({nem_need}-IF({days_pregnant}>0,0.04631,0.0384)*{metabolic_weight}))-0.2*{milk_kg})"
        "/(2*0.04997*{metabolic_weight})",
        "NEm of the diet at which she eats just her need",
        "Mcal/kg DM",
    ),
    Step("diet_kg", "{nem_need}/{diet_nem}", "Dry matter eaten", "kg/day"),
    Step("cubic_p", "1.37/0.0105-(0.138/0.0105)^2/3", "Cubic for ME: p", "1"),
    Step(
        "cubic_q",
        "1.37*0.138/0.0105^2/3-2*(0.138/0.0105)^3/27-({diet_nem}+1.12)/0.0105",
        "Cubic for ME: q",
        "1",
    ),
    Step("cubic_root", "SQRT({cubic_q}^2/4+{cubic_p}^3/27)", "Cubic for ME: root of q^2/4 + p^3/27", "1"),
    Step(
        "diet_me",
        "0.138/0.0105/3+({cubic_root}-{cubic_q}/2)^(1/3)-({cubic_root}+{cubic_q}/2)^(1/3)",
        "ME of the diet",
        "Mcal/kg DM",
    ),
    Step("diet_tdn", "{diet_me}/0.82/0.04409", "TDN of the diet", "% DM"),
    Step(
        "mp_need",
        "3.8*{metabolic_weight}+{milk_kg}*34/0.65+IF({days_pregnant}>0,{calf_kg}*(0.001669-0.00000211*{days_pregnant})"
        "*EXP((0.0278-0.0000176*{days_pregnant})*{days_pregnant})*6.25/0.65,0)",
        "Metabolizable protein needed",
        "g/day",
    ),
    Step("microbial", "0.13*{diet_tdn}/100*{diet_kg}*1000", "Microbial protein", "g/day"),
    Step("crude", "{microbial}+MAX(0,({mp_need}-0.64*{microbial})/0.8)", "Crude protein needed", "g/day"),
    Step(
        "calcium",
        "(0.0154*{shrunk_weight_lb}*0.45359237+1.23*{milk_kg}+IF({days_pregnant}>365-85-90,{calf_kg}*13.7/90,0))/0.5",
        "Calcium needed",
        "g/day",
    ),
    Step(
        "phosphorus",
        "(0.016*{shrunk_weight_lb}*0.45359237+0.95*{milk_kg}+IF({days_pregnant}>365-85-90,{calf_kg}*7.6/90,0))/0.68",
        "Phosphorus needed",
        "g/day",
    ),
)


@worksheet(
    "DAILY_NEED",
    TOPIC,
    "What a cow needs a day: DM, TDN, CP in lb; NEm in Mcal; MP, Ca, P in g; by month since calving.",
    equation="maintenance + milk + pregnancy; diet NEm where intake x NEm = need; TDN from NEm; CP from MP and TDN",
    refs=REFS,
    longhand=Longhand(
        "CHOOSE({nutrient#},{diet_kg}/0.45359237,{diet_kg}*{diet_tdn}/100/0.45359237,{crude}/1000/0.45359237,"
        "{nem_need},{mp_need},{calcium},{phosphorus})",
        STEPS,
    ),
)
def daily_need(
    nutrient: Annotated[str, Words("Which need: DM, TDN, CP (lb), NEm (Mcal), MP, Ca, P (g)", tuple(PER_DAY))],
    shrunk_weight_lb: CowWeight,
    month_since_calving: Month,
    peak_milk_lb: PeakMilk,
    calf_weight_lb: CalfWeight,
) -> Annotated[Number, Result("Need", "per day", 0, 10000)]:
    """A cow's need a day by month since calving.

    The pounds that hay and supplement together must carry.

    It is the need of a grown cow that neither gains nor loses condition. The diet's NEm is where the cow intake
    equation times NEm equals the need: kg^0.75 (0.04997 NEm^2 + c) + 0.2 milk NEm = need, c = 0.03840 open and
    0.04631 pregnant. TDN is found by solving the NEm cubic for ME, TDN = ME / (0.82 x 0.04409). MP = 3.8
    kg^0.75 + milk x 34 / 0.65 + calf; CP = microbial protein (13 % of TDN) + (MP - 0.64 microbial) / 0.8.
    Calcium and phosphorus come from weight, milk and, in the last 90 days, calf. Month m is the end of month m,
    parts of a month allowed. Months below 1 are possible and low, the calf gone and milk only beginning: plan
    for cows that calve at month 1 or 12, whichever asks for more. A peak of 0 lb is a dry cow, 8.8 to 44.1 lb
    usual. NEm agrees with the twelve printed months of Nebraska's reprint. TDN and crude protein run 2 to 3 %
    above print: for a 1,200-lb cow in month 8 of pregnancy Ohio State prints 12.6 lb (52.3 %) and 1.86 lb, this
    gives 12.9 (53.7 %) and 1.92, with the same intake: so it errs to the generous side.

    1,200-lb cow, month 2, 20 lb of milk at the peak, 84.9-lb calf:

    >>> daily_need("TDN", 1200, 2, 20, 84.9)
    16.9
    >>> daily_need("DM", 1200, 2, 20, 84.9)
    27.8
    """
    return PER_DAY[nutrient](Cow(shrunk_weight_lb, month_since_calving, peak_milk_lb, calf_weight_lb))


@worksheet(
    "NEED_DENSITY",
    TOPIC,
    "How much of the diet's dry matter must be TDN, CP, Ca or P for a cow by month since calving.",
    equation="density = daily need / daily dry matter x 100, both as in DAILY_NEED",
    refs=REFS,
    longhand=Longhand(
        "CHOOSE({nutrient#},{diet_tdn},{crude}/1000/{diet_kg}*100,{calcium}/1000/{diet_kg}*100,"
        "{phosphorus}/1000/{diet_kg}*100)",
        STEPS,
    ),
)
def need_density(
    nutrient: Annotated[str, Words("Which need: TDN, CP, Ca or P", tuple(SHARE_OF_DM))],
    shrunk_weight_lb: CowWeight,
    month_since_calving: Month,
    peak_milk_lb: PeakMilk,
    calf_weight_lb: CalfWeight,
) -> Annotated[Number, Result("Share of the diet's dry matter", "% DM", 0, 100)]:
    """How dense a cow's diet must be.

    The number to hold a forage test against before any pounds are reckoned.

    TDN is the one at which she eats exactly her energy, found by solving the NEm cubic. The published TDN row,
    as remembered, runs 0.9 to 1.7 points below.

    >>> need_density("TDN", 1200, 2, 20, 84.9)
    61.0
    >>> need_density("CP", 1200, 2, 20, 84.9)
    10.5
    """
    return SHARE_OF_DM[nutrient](Cow(shrunk_weight_lb, month_since_calving, peak_milk_lb, calf_weight_lb))
