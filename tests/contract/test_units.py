"""Dimensions: the longhand of a function carried through with units by a general units library.

Pounds as fed, pounds of dry matter and pounds of a nutrient are kept apart as dimensions of
their own, so that a value taken on the wrong basis does not come out in the right unit.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import Any

import pint
import points
import pytest

from hayfuncs.contract import units
from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.contract.units import UNITS
from hayfuncs.formulas.template import one_formula

ureg = pint.UnitRegistry()
for definition in (
    "usd = [money]", "head = [animal]", "bale = [bale]", "core = [core]", "ppb = 1e-9",
    "dm = [dry_matter]", "af = [as_fed]", "nut = [nutrient]", "bw = [body_weight]",
):  # fmt: skip
    ureg.define(definition)

# every unit of the closed list: what it is to the library, None for what has no dimension
DIMENSIONS: dict[str, str | None] = {
    "% DM": "percent", "% as fed": "percent", "% of body weight": "percent/day", "% of NDF": "percent",
    "% of CP": "percent", "gal/day": "gallon/day", "hours": "hour", "mg/L": "mg/liter", "%": "percent", "lb": "lb", "lb DM": "lb", "lb as fed": "lb", "lb/day": "lb/day",
    "lb DM/day": "lb/day", "lb as fed/day": "lb/day", "lb DM/lb DM": "lb/lb", "Mcal/lb DM": "Mcal/lb",
    "Mcal": "Mcal", "Mcal/kg": "Mcal/kg",
    "Mcal/kg DM": "Mcal/kg", "Mcal/day": "Mcal/day", "g/day": "g/day", "kg": "kg", "kg/day": "kg/day",
    "kg^0.75": "kg**0.75", "ppm": "ppm", "ppb": "ppb", "months": "month", "weeks": "week", "days": "day",
    "deg F": "degF", "mph": "mph", "in": "inch", "ft": "ft", "lb/ft3": "lb/ft**3", "$/ton as fed": "usd/short_ton",
    "$/ton DM": "usd/short_ton", "$/lb": "usd/lb", "$/day": "usd/day", "$": "usd", "head": "head", "cores": "core",
    "bales": "bale", "tons": "short_ton", "$/bale": "usd/bale", "lb/bale": "lb/bale",
    "lb/ton": "lb/short_ton", "g/lb": "g/lb", "$/lb as fed": "usd/lb", "$/lb DM": "usd/lb", "$ per unit": None,
    "index": None, "1": None, "ratio": None, "score": None, "any weight": None, "any": None, "per day": None,
    "IU/day": None, "as the column says": None, "yes/no": None, "word": None, "name": None, "text": None, "block": None,
}  # fmt: skip


def test_every_unit_is_known_to_the_library_or_has_no_dimension() -> None:
    unknown = set(UNITS) - set(DIMENSIONS)
    assert not unknown, f"say in DIMENSIONS what these are: {sorted(unknown)}"
    for unit in UNITS:
        if DIMENSIONS[unit] is not None:
            ureg.Quantity(1, DIMENSIONS[unit])


def test_conversions_against_the_library() -> None:
    assert ureg.Quantity(units.LB_TO_KG, "kg/lb").to("").magnitude == pytest.approx(1, abs=1e-15)
    assert ureg.Quantity(units.KG_TO_LB, "lb/kg").to("").magnitude == pytest.approx(1, abs=1e-15)
    assert ureg.Quantity(units.GRAMS_PER_LB, "g/lb").to("").magnitude == pytest.approx(1, abs=1e-15)
    assert ureg.Quantity(units.LB_PER_TON, "lb/short_ton").to("").magnitude == pytest.approx(1, abs=1e-12)
    assert ureg.Quantity(1, "week").to("day").magnitude == units.DAYS_PER_WEEK
    for celsius in (-40.0, 0.0, 37.0, 100.0):
        ours = celsius * units.F_PER_C + units.FREEZING_F
        assert ours == pytest.approx(ureg.Quantity(celsius, "degC").to("degF").magnitude, abs=1e-9)


def test_a_drying_oven_at_55_c_is_about_130_f() -> None:
    """Common practice, no source."""
    assert round(55 * units.F_PER_C + units.FREEZING_F, -1) == 130


def test_dried_lab_samples_show_about_92_percent_dry_matter() -> None:
    """Common practice, no source: it lies well inside the range that the two-step record calls usual."""
    usual = CATALOGUE["DRY_MATTER_TWO_STEP"].args["residual_dm_pct"]
    assert isinstance(usual, Arg)
    assert usual.fit
    assert usual.fit[0] + 2 <= 92 <= usual.fit[1] - 2


# --- units carried through the longhand


@dataclass(frozen=True)
class Case:
    """Units of a function's arguments, of the literals that have one, and of its result."""

    name: str
    result: str
    given: dict[str, str]
    literals: dict[str, str] = field(default_factory=dict)


DRY = "dm/af"  # dry matter in what is fed; a percent is its number over 100, as in the equations
IN_DRY = "nut/dm"
CONVERSIONS = {"kg/lb", "lb/short_ton", "kcal/Mcal", "inch/ft"}  # exact: such a literal is 1 to the library
ME = {"0.04409": "Mcal/kg", "0.45359237": "kg/lb"}
CASES = (
    Case("DRY_MATTER", "", {"wet_weight": "g", "dry_weight": "g", "container_weight": "g"}),
    Case("DRY_MATTER_TWO_STEP", DRY, {"partial_dm_pct": "bw/af", "residual_dm_pct": "dm/bw"}),
    Case("TO_DRY_BASIS", IN_DRY, {"as_fed_value": "nut/af", "dm_pct": DRY}),
    Case("TO_AS_FED_BASIS", "nut/af", {"dry_value": IN_DRY, "dm_pct": DRY}),
    Case("DRY_WEIGHT", "lb*dm", {"as_fed_weight": "lb*af", "dm_pct": DRY}),
    Case("AS_FED_WEIGHT", "lb*af", {"dry_weight": "lb*dm", "dm_pct": DRY}),
    Case("ME_FROM_TDN", "Mcal/lb", {"tdn_pct": ""}, ME),
    Case(
        "NEM_FROM_TDN", "Mcal/lb", {"tdn_pct": ""},
        ME | {"1.12": "Mcal/kg", "0.138": "kg/Mcal", "0.0105": "(kg/Mcal)**2"},
    ),
    Case(
        "NEG_FROM_TDN", "Mcal/lb", {"tdn_pct": ""},
        ME | {"1.65": "Mcal/kg", "0.174": "kg/Mcal", "0.0122": "(kg/Mcal)**2"},
    ),
    Case(
        "INTAKE_FROM_NDF", "lb*dm/day",
        {"ndf_pct": "nut/dm", "body_weight_lb": "lb*bw", "ndf_capacity_pct_bw": "nut/bw/day"},
    ),
    Case(
        "INTAKE_FROM_NEM", "lb/day",
        {"nem_mcal_lb": "Mcal/lb", "shrunk_weight_lb": "lb", "milk_lb": "lb/day", "pregnant": ""},
        {
            "0.45359237": "kg/lb", "0.04631": "Mcal/day/kg**0.75", "0.03840": "Mcal/day/kg**0.75",
            "0.04997": "kg**2/Mcal/day/kg**0.75",
        },
    ),
    Case("SHRUNK_WEIGHT", "lb", {"body_weight_lb": "lb", "shrink_pct": ""}),
    Case("MILK_YIELD", "lb/day", {"peak_milk_lb": "lb/day", "weeks_since_calving": "week"}, {"8.5": "week"}),
    Case(
        "NEM_FOR_MAINTENANCE", "Mcal/day", {"shrunk_weight_lb": "lb", "lactating": ""},
        {"0.45359237": "kg/lb", "0.077": "Mcal/day/kg**0.75"},
    ),
    Case(
        "NEM_FOR_MILK", "Mcal/day", {"milk_lb": "lb/day"},
        {"0.45359237": "kg/lb", "0.092": "Mcal/kg", "0.049": "Mcal/kg", "0.0569": "Mcal/kg"},
    ),
    Case(
        "NEM_FOR_PREGNANCY", "Mcal/day", {"calf_weight_lb": "lb", "days_pregnant": "day"},
        {
            "0.45359237": "kg/lb", "0.05855": "kcal/kg/day", "0.0000996": "kcal/kg/day**2", "0.03233": "1/day",
            "0.0000275": "1/day**2", "1000": "kcal/Mcal",
        },
    ),
    Case("NUTRIENT_SHORT", "lb*nut/day", {"need_lb": "lb*nut/day", "hay_dm_lb": "lb*dm/day", "hay_pct": IN_DRY}),
    Case(
        "SUPPLEMENT_FOR_POUNDS", "lb*dm/day",
        {
            "need_lb": "lb*nut/day", "hay_dm_lb": "lb*dm/day", "hay_pct": IN_DRY, "feed_pct": IN_DRY,
            "hay_displaced": "lb/lb",
        },
    ),
    Case(
        "SUPPLEMENT_FOR_SHARE", "lb*dm/day",
        {"target_pct": IN_DRY, "hay_dm_lb": "lb*dm/day", "hay_pct": IN_DRY, "feed_pct": IN_DRY},
    ),
    Case("PEARSON_SHARE", "", {"first_pct": IN_DRY, "second_pct": IN_DRY, "target_pct": IN_DRY}),
    Case("PRICE_PER_DRY_TON", "usd/short_ton/dm", {"price_per_ton": "usd/short_ton/af", "dm_pct": DRY}),
    Case(
        "COST_PER_LB_NUTRIENT", "usd/lb/nut", {"price_per_ton": "usd/short_ton/af", "dm_pct": DRY, "nutrient_pct": IN_DRY},
        {"2000": "lb/short_ton"},
    ),
    Case(
        "BREAK_EVEN_PRICE", "usd/short_ton/af",
        {
            "price_per_ton": "usd/short_ton/af", "dm_pct": DRY, "nutrient_pct": IN_DRY, "other_dm_pct": DRY,
            "other_nutrient_pct": IN_DRY,
        },
    ),
    Case("ROUND_BALE_WEIGHT", "lb", {"diameter_ft": "ft", "width_ft": "ft", "density_lb_ft3": "lb/ft**3"}),
    Case(
        "SQUARE_BALE_WEIGHT", "lb",
        {"height_ft": "ft", "width_ft": "ft", "length_ft": "ft", "density_lb_ft3": "lb/ft**3"},
    ),
    Case(
        "HAY_NEEDED", "lb*af",
        {
            "head": "head", "intake_dm_lb": "lb*dm/day/head", "days": "day", "dm_pct": DRY, "storage_loss_pct": "",
            "feeding_loss_pct": "",
        },
    ),
    Case(
        "DAYS_OF_HAY", "day",
        {
            "hay_lb": "lb*af", "dm_pct": DRY, "storage_loss_pct": "", "feeding_loss_pct": "", "head": "head",
            "intake_dm_lb": "lb*dm/day/head",
        },
    ),
    Case("BALES_NEEDED", "bale", {"hay_needed_lb": "lb*af", "bale_weight_lb": "lb*af/bale"}),
    Case("HEAT_DAMAGE_SHARE", "", {"cp_pct": IN_DRY, "adicp_pct": IN_DRY}),
    Case("CALCIUM_PHOSPHORUS_RATIO", "", {"ca_pct": IN_DRY, "p_pct": IN_DRY}),
    Case("DIET_SHARE_LIMIT", "", {"hay_value": IN_DRY, "other_value": IN_DRY, "limit": IN_DRY}),
)  # fmt: skip


def unit_zero(amount: Any, like: Any) -> Any:
    """0 stands for nothing of any unit."""
    return like * 0 if not isinstance(amount, pint.Quantity) and amount == 0 else amount


def larger(a: Any, b: Any) -> Any:
    a, b = unit_zero(a, b), unit_zero(b, a)
    return a if a > b else b


def rounded_up(value: Any, places: Any) -> Any:
    assert places == 0
    return ureg.Quantity(math.ceil(value.magnitude), value.units)


SPREADSHEET: dict[str, Any] = {
    "IF": lambda test, yes, no: yes if test else no,
    "MAX": larger,
    "EXP": lambda x: math.exp(ureg.Quantity(x).to("").magnitude),
    "PI": lambda: math.pi,
    "ROUNDUP": rounded_up,
    "ABS": abs,
    "AND": lambda *tests: all(tests),
}


def carried(case: Case, values: list[Any]) -> Any:
    """The longhand with a unit on each argument and on each literal that has one."""
    record = CATALOGUE[case.name]
    used: set[str] = set()

    def with_unit(match: re.Match[str]) -> str:
        literal = match.group()
        if literal not in case.literals:
            return f"({literal})"
        used.add(literal)
        return f"Q({literal},'{case.literals[literal]}')"

    formula = one_formula(record, {name: name for name in record.args})
    formula = formula.replace("^", "**").replace("<>", "!=")
    formula = re.sub(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.])", with_unit, formula)
    assert used == set(case.literals), f"not in the longhand: {set(case.literals) - used}"
    names: dict[str, Any] = {
        name: value if isinstance(value, (str, bool)) else ureg.Quantity(value, case.given[name])
        for name, value in zip(record.args, values, strict=True)
    }
    return ureg.Quantity(eval(formula, {"Q": ureg.Quantity, **SPREADSHEET}, names))


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_units_come_out_right(case: Case) -> None:
    record = CATALOGUE[case.name]
    assert set(case.given) == set(record.args)
    for literal, unit in case.literals.items():
        if unit in CONVERSIONS:
            assert ureg.Quantity(float(literal), unit).to("").magnitude == pytest.approx(1, abs=1e-12)
    held = 0
    for values in points.good(record, 60):
        want = points.public(record)(*values)
        if not want:
            continue  # a 0 is typed in, and has no unit
        try:
            found = carried(case, values)
        except ZeroDivisionError:
            continue  # in the branch of an IF that is not taken
        held += 1
        assert found.check(ureg.Unit(case.result).dimensionality), f"{found.units} where {case.result} is due"
        assert found.to(case.result).magnitude == pytest.approx(want, rel=1e-9)
    assert held >= 5


def test_a_wrong_basis_is_noticed() -> None:
    wrong = Case("AS_FED_WEIGHT", "lb*af", {"dry_weight": "lb*af", "dm_pct": DRY})
    found = carried(wrong, [24.0, 70.0])
    assert not found.check(ureg.Unit(wrong.result).dimensionality)
    with pytest.raises(pint.DimensionalityError):
        carried(
            Case("NUTRIENT_SHORT", "lb", {"need_lb": "lb*nut/day", "hay_dm_lb": "lb*af/day", "hay_pct": IN_DRY}),
            [3.0, 20.0, 8.0],
        )


@pytest.mark.parametrize(
    ("name", "per_kg"), [("ME_FROM_TDN", 2.1692), ("NEM_FROM_TDN", 1.3097), ("NEG_FROM_TDN", 0.7361)]
)
def test_energy_per_pound_is_the_published_equation_per_kilogram(name: str, per_kg: float) -> None:
    """TDN 60 worked by hand from the NRC equations, in Mcal/kg, to four decimals."""
    found = ureg.Quantity(points.public(CATALOGUE[name])(60), "Mcal/lb")
    assert found.to("Mcal/kg").magnitude == pytest.approx(per_kg, abs=0.00005)
