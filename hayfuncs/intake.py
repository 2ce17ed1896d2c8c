"""Intake: how much dry matter a cow eats, three ways.

By the hay's fibre (NDF), by its quality class and the cow's state, and by its energy
density (the equation of the beef cattle requirements).  All are averages of many herds.
"""

from __future__ import annotations

from hayfuncs.record import Number

TOPIC = "Intake"

# NRC Nutrient Requirements of Beef Cattle 1996/2000, beef cows, kg and Mcal/kg; from memory.
METABOLIC_POWER = 0.75  # intake follows metabolic body size
INTAKE_NEM_SQUARED = 0.04997
INTAKE_OPEN = 0.03840  # cow not pregnant
INTAKE_PREGNANT = 0.04631
INTAKE_PER_MILK = 0.2  # kg of dry matter per kg of milk


def cow_intake_kg(nem_mcal_kg: Number, shrunk_kg: Number, milk_kg: Number, pregnant: bool) -> Number:
    """Dry matter a beef cow eats, kg a day, from the NEm of her diet in Mcal per kg."""
    base = INTAKE_PREGNANT if pregnant else INTAKE_OPEN
    per_size = (INTAKE_NEM_SQUARED * nem_mcal_kg * nem_mcal_kg + base) / nem_mcal_kg
    return shrunk_kg**METABOLIC_POWER * per_size + INTAKE_PER_MILK * milk_kg
