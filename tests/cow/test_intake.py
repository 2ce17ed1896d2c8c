"""Intake beyond single values: the kilogram table, the steps, the answers to impossible values."""

from __future__ import annotations

import numpy as np
import pytest

import hayfuncs as hf
from hayfuncs.contract.units import KG_TO_LB
from hayfuncs.cow.intake import cow_intake_kg

NEM = np.array([0.9, 1.0, 1.1, 1.2, 1.3, 1.4])  # Mcal/kg


@pytest.mark.parametrize(
    ("milk_kg", "pregnant", "worked"),
    [  # worked by hand from the equation as printed, shrunk weight 544.3 kg, to 0.01 kg
        (0, False, [9.88, 9.96, 10.13, 10.36, 10.65, 10.97]),
        (0, True, [10.87, 10.85, 10.94, 11.11, 11.33, 11.61]),
        (8, False, [11.48, 11.56, 11.73, 11.96, 12.25, 12.57]),
    ],
)
def test_cow_intake_in_the_units_of_its_source(milk_kg, pregnant, worked) -> None:
    assert cow_intake_kg(NEM, 544.3, milk_kg, pregnant) == pytest.approx(np.array(worked), abs=0.005)
    pounds = [hf.intake_from_nem(n / KG_TO_LB, 544.3 * KG_TO_LB, milk_kg * KG_TO_LB, pregnant) for n in NEM]
    assert np.array(pounds) / KG_TO_LB == pytest.approx(np.array(worked), abs=0.005)


def test_intake_by_fiber_is_120_over_ndf() -> None:
    ndf = np.array([40, 53, 60, 65, 72.0])
    assert hf.intake_from_ndf(ndf, 100.0) == pytest.approx(120 / ndf)


def test_a_column_of_cows_dry_and_in_milk() -> None:
    found = hf.intake_by_quality([50, 50, 62], [1200, 1200, 1200], [0, 1, True])
    assert found == pytest.approx([21.6, 26.4, 32.4])


@pytest.mark.parametrize(
    ("call", "argument"),
    [
        (lambda: hf.intake_from_nem(0, 1200, 0, True), "nem_mcal_lb"),
        (lambda: hf.intake_from_nem(1.31, 1200, 0, True), "nem_mcal_lb"),  # Mcal per kg given for Mcal per lb
        (lambda: hf.intake_from_ndf(0.62, 1200, 1.2), "ndf_pct"),
        (lambda: hf.intake_from_ndf(62, 0, 1.2), "body_weight_lb"),
        (lambda: hf.intake_by_quality(0, 1200, False), "tdn_pct"),
    ],
)
def test_impossible_values_are_named(call, argument) -> None:
    with pytest.raises(hf.OutOfRange) as found:
        call()
    assert found.value.argument == argument
