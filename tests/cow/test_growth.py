"""Growing cattle: laws between the functions, and trials in print as a sanity band."""

from __future__ import annotations

import numpy as np
import pytest

import hayfuncs
from hayfuncs.contract.about import reason
from hayfuncs.cow.classes import GROWING
from hayfuncs.cow.diet_search import TRIES, diet_me
from hayfuncs.cow.growth import CLASSES, POINTS

# TDN of dry matter and dry matter of the feeds in the trials, as usual tables have them: the trials print none
MIDDS, MIDDS_DM, HAY_DM = 83.0, 0.89, 0.88


@pytest.mark.parametrize("cattle_class", CLASSES)
def test_the_need_of_a_gain_gives_the_gain(cattle_class: str) -> None:
    """The inverse is rounded in print: gain comes back within 1.5 %."""
    for weight, gain in ((400, 0.5), (600, 1.5), (900, 2.5)):
        eaten = hayfuncs.growing_need("DM", cattle_class, weight, gain, 1300)
        tdn = hayfuncs.growing_density("TDN", cattle_class, weight, gain, 1300)
        assert hayfuncs.growing_intake(cattle_class, weight, tdn) == pytest.approx(eaten, rel=1e-9)
        assert hayfuncs.gain_on_diet(cattle_class, weight, eaten, tdn, 1300) == pytest.approx(gain, rel=0.015)


def test_gain_does_not_depend_on_weight_at_one_diet() -> None:
    gains = [
        hayfuncs.gain_on_diet("steer calf", w, hayfuncs.growing_intake("steer calf", w, 62), 62, 1200)
        for w in (400, 600, 800)
    ]
    assert max(gains) - min(gains) < 0.01


@pytest.mark.parametrize(
    ("weight", "midds_lb", "hay_lb", "hay_tdn", "printed"),
    [
        (515, 12.4, 4.3, 52, 2.23),  # North Carolina
        (550, 8.6, 10.1, 52, 1.8),  # South Dakota; the calves' weight is not printed: 550 taken
        (620, 9.44, 9.25, 55, 1.88),  # North Dakota heifers
    ],
)
def test_calves_on_much_middlings_gained_less_than_the_equation_says(
    weight: float, midds_lb: float, hay_lb: float, hay_tdn: float, printed: float
) -> None:
    """A band and no check value: the trials print neither the hay's TDN nor the weight in their middle (100 lb more).

    The equation stands 0.4 to 0.7 lb above all three: the TDN of so much supplement beside hay says more than
    the calves gain, and the help of GAIN_ON_DIET warns of it.
    """
    midds, hay = midds_lb * MIDDS_DM, hay_lb * HAY_DM
    tdn = (midds * MIDDS + hay * hay_tdn) / (midds + hay)
    gain = hayfuncs.gain_on_diet("heifer calf", (weight + 100) * 0.96, midds + hay, tdn, 1200)
    assert 0.3 < gain - printed < 0.75


def test_a_heifer_that_does_not_gain_needs_the_energy_of_the_cow() -> None:
    for month in np.linspace(0.5, 12, 24):
        cow = (month, 15.0, 85.0)
        for nutrient in ("DM", "TDN", "NEm", "MP", "Ca", "P"):
            want = hayfuncs.daily_need(nutrient, 1100, *cow)
            assert hayfuncs.heifer_need(nutrient, 1250, 1100, 0, *cow) == pytest.approx(want, rel=1e-8), nutrient


def test_percent_is_what_fails_a_first_calf_heifer() -> None:
    """2 to 4 points of TDN above the cow in milk, 7 to 9 in late pregnancy, though in pounds she needs less."""
    milk = hayfuncs.young_cow_milk(20, "first")
    for month in (1, 2, 3, 4, 5, 6):
        heifer = (1152, 0.96 * (960 + 12 * month), 0.38, month, milk, 85)
        cow = (1200, month, 20, 85)
        assert 1.5 < hayfuncs.heifer_density("TDN", *heifer) - hayfuncs.need_density("TDN", *cow) < 4
        assert hayfuncs.heifer_need("TDN", *heifer) < hayfuncs.daily_need("TDN", *cow)
    for month, weight in ((10, 900), (11, 930), (12, 957)):
        heifer = (1152, 0.96 * weight, 0.81, month, 0, 85)
        assert 6.5 < hayfuncs.heifer_density("TDN", *heifer) - hayfuncs.need_density("TDN", 1200, month, 0, 85) < 9.5


def test_targets_rise() -> None:
    weights = [hayfuncs.target_weight(1250, point) for point in POINTS]
    assert weights == sorted(weights)
    assert weights[-1] < 1250


def test_what_cannot_be_is_said_in_words() -> None:
    assert "gain_lb" in reason("GROWING_NEED", "TDN", "steer calf", 600, 5, 1200)
    assert "6 % of the shrunk weight" in reason("GAIN_ON_DIET", "heifer calf", 500, 122, 58, 1200)
    assert "loses" in hayfuncs.notes("GAIN_ON_DIET", "heifer calf", 500, 8, 45, 1200)
    assert hayfuncs.notes("GAIN_ON_DIET", "heifer calf", 500, 12.2, 58, 1200) == ""


def test_the_search_is_settled_before_its_last_try() -> None:
    """Every wanted energy of a curve like that of a diet, against bisection."""

    def left(me):
        return (me - 1.6) * (1.42 * me - 1.9)

    for wanted in np.linspace(0, left(3.4), 200):
        low, high = 1.6, 3.6
        for _ in range(80):
            middle = (low + high) / 2
            low, high = (middle, high) if left(middle) < wanted else (low, middle)
        assert diet_me(left, wanted) == pytest.approx(low, abs=1e-9)
    assert TRIES == 8


def test_each_class_of_cattle_grows_as_the_kind_that_its_name_says() -> None:
    assert GROWING == {
        "replacement heifer": "yearling heifer", "weaned calf": "heifer calf", "weaned bull calf": "bull calf",
        "yearling steer": "yearling steer", "bull": "yearling bull",
    }  # fmt: skip
