"""The closed list of units, and the exact conversions between them.

The basis (as fed, dry matter, body weight) is part of the unit, because the same
number on another basis is another number.
"""

from __future__ import annotations

LB_TO_KG = 0.45359237  # exact by definition (international avoirdupois pound, 1959)
KG_TO_LB = 1 / LB_TO_KG
GRAMS_PER_KG = 1000.0  # by definition
GRAMS_PER_LB = LB_TO_KG * GRAMS_PER_KG
LB_PER_TON = 2000.0  # short ton, exact by definition
DAYS_PER_WEEK = 7.0
DAYS_PER_YEAR = 365.0
MONTHS_PER_YEAR = 12.0
FREEZING_F = 32.0  # exact by definition of the Fahrenheit scale
F_PER_C = 1.8  # exact by definition
INCHES_PER_FOOT = 12.0  # exact by definition
LITERS_PER_GALLON = 231 * 2.54**3 / 1000  # exact: the US gallon is 231 cubic inches of 2.54 cm; 3.785411784
MG_PER_KG = 1e6  # exact by definition

# how a unit is written beside a number where its own name says nothing to a reader
WRITTEN = {"1": "number", "any": "unit of the value"}
# unit -> what it means, in words for the Functions sheet and for the units test
UNITS: dict[str, str] = {
    "% DM": "percent of the dry matter",
    "% as fed": "percent of the as-fed (as-received) weight",
    "% of body weight": "percent of full body weight, per day",
    "% of NDF": "percent of the neutral detergent fiber",
    "% of CP": "percent of the crude protein",
    "%": "percent",
    "lb": "pounds",
    "lb DM": "pounds of dry matter",
    "lb as fed": "pounds as fed",
    "lb/day": "pounds a day",
    "lb DM/day": "pounds of dry matter a day",
    "lb as fed/day": "pounds as fed a day",
    "lb DM/lb DM": "pounds of dry matter per pound of dry matter",
    "Mcal/lb DM": "megacalories per pound of dry matter",
    "Mcal/day": "megacalories a day",
    "Mcal": "megacalories",
    "Mcal/kg": "megacalories per kilogram of empty body",
    "g/day": "grams a day",
    "kg": "kilograms",
    "kg/day": "kilograms a day",
    "kg^0.75": "kilograms to the power 0.75: metabolic weight",
    "Mcal/kg DM": "megacalories per kilogram of dry matter",
    "ppm": "parts per million, of the dry matter unless a basis is named beside it",
    "mg/L": "milligrams per liter of water, the same as parts per million of water",
    "gal/day": "US gallons a day",
    "IU/day": "international units of vitamin A a day",
    "ppb": "parts per billion, of the dry matter unless a basis is named beside it",
    "index": "index number",
    "1": "pure number",
    "ratio": "pure ratio",
    "score": "body condition score, 1 to 9",
    "months": "months",
    "hours": "hours",
    "weeks": "weeks",
    "days": "days",
    "deg F": "degrees Fahrenheit",
    "mph": "miles an hour",
    "in": "inches",
    "ft": "feet",
    "lb/ft3": "pounds as fed per cubic foot",
    "$/ton as fed": "dollars per short ton as fed",
    "$/ton DM": "dollars per short ton of dry matter",
    "$/lb": "dollars per pound",
    "lb/ton": "pounds per short ton",
    "g/lb": "grams per pound",
    "$/lb as fed": "dollars per pound as fed",
    "$/lb DM": "dollars per pound of dry matter",
    "$ per unit": "dollars per unit of the line",
    "$/day": "dollars a day",
    "$": "dollars",
    "head": "head of cattle",
    "cores": "cores",
    "bales": "bales",
    "tons": "short tons as fed",
    "any weight": "any one unit of weight, the same throughout",
    "any": "the unit of the value given, which is kept",
    "per day": "per day, in the unit that belongs to the nutrient named",
    "as the column says": "the unit that heads the table's column",
    "yes/no": "1 or TRUE for yes, 0 or FALSE for no",
    "word": "one word of a closed list",
    "name": "a name from a table",
    "text": "text",
    "block": "a block of cells",
}
