"""Each limit of the diet, to the last digit: at the limit the diet is within it, one step beyond it is not."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
import winterlib

import hayfuncs as h
from hayfuncs.contract.errors import BadInput
from hayfuncs.winter.possible import check_farm
from hayfuncs.winter.problem import OPEN


def above(value: float) -> float:
    return math.nextafter(value, math.inf)


def below(value: float) -> float:
    return math.nextafter(value, -math.inf)


@pytest.mark.parametrize(
    ("caution", "limit", "at", "beyond"),
    [
        (lambda x: h.fat_caution(x, "high forage"), 5.0, "Clear", "Caution"),
        (lambda x: h.fat_caution(x, "high concentrate"), 6.0, "Clear", "Caution"),
        (lambda x: h.grain_caution(x, 1000), 2.5, "Clear", "Caution"),  # 0.25 % of 1,000 lb
        (lambda x: h.grain_caution(x, 1000), 5.0, "Caution", "Danger"),  # 0.5 %
        (lambda x: h.urea_caution(x, 1200, 30.0, 3.0), 0.25, "Caution", "Danger"),  # lb a head and day
    ],
)
def test_a_limit_belongs_to_what_is_allowed(
    caution: Callable[[float], str], limit: float, at: str, beyond: str
) -> None:
    assert caution(limit).startswith(f"{at}:")
    assert caution(below(limit)).startswith(f"{at}:")
    assert caution(above(limit)).startswith(f"{beyond}:")


def test_tetany_at_the_ratio_itself() -> None:
    """Manitoba Agriculture: danger above 2.2 and below 0.20 % magnesium; both ends belong to what is allowed."""
    ca, mg = 0.4, 0.25
    potassium = 2.2 * (ca * 499.00 + mg * 822.64) / 255.74  # its factors, milliequivalents per kg for 1 %
    assert h.tetany_ratio(potassium, ca, mg) == pytest.approx(2.2, rel=1e-12)
    assert h.tetany_caution(potassium, ca, mg).startswith("Clear:")
    assert h.tetany_caution(potassium * (1 + 1e-6), ca, mg).startswith("Caution:")
    assert h.tetany_caution(1.0, 1.0, 0.20).startswith("Clear:")  # magnesium at its own limit
    assert h.tetany_caution(1.0, 1.0, below(0.20)).startswith("Caution:")


@pytest.mark.parametrize(
    ("ratio", "at", "below_it", "above_it"),
    [(1.0, "Caution", "Danger", "Caution"), (1.5, "Clear", "Caution", "Clear"), (7.0, "Clear", "Clear", "Caution")],
)
def test_calcium_to_phosphorus_at_its_own_limits(ratio: float, at: str, below_it: str, above_it: str) -> None:
    """Auburn: at least as much calcium as phosphorus; Alberta Agriculture: 1.5 to 1 up to 7 to 1."""
    p = 0.25
    said = [h.calcium_phosphorus_caution(ratio * p * change, p) for change in (1 - 1e-6, 1, 1 + 1e-6)]
    assert [text.partition(":")[0] for text in said] == [below_it, at, above_it]


def test_urea_from_the_lightest_weight_on() -> None:
    assert h.urea_caution(0.05, 450, 20.0, 2.0).startswith("Caution: urea within")
    assert h.urea_caution(0.05, below(450), 20.0, 2.0).startswith("Danger: no urea for calves")


def test_a_limit_of_the_diet_asks_for_that_content_only_where_it_limits() -> None:
    """100 % limits nothing, so no fat or sulfur need be known; the least bit less, and each must be."""
    farm = winterlib.farm_of(3)
    lots = tuple(replace(lot, fat_pct=None, s_pct=None) for lot in farm.lots)
    bare = replace(farm, lots=lots, max_fat_pct=OPEN, max_s_pct=OPEN)
    check_farm(bare)
    for limit in ("max_fat_pct", "max_s_pct"):
        with pytest.raises(BadInput, match="as the diet has a limit for it"):
            check_farm(replace(bare, **{limit: below(OPEN)}))
