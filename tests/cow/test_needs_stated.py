"""Plausibility: extension pages state what a cow needs without saying which month or equations they mean.

Such a statement is no check of DAILY_NEED: a month could be picked to fit.  So each stage of her
year is fixed here beforehand, by the calendar of the function (calving at month 0, conceived on
day 85, weaned after month 6), and the stated pounds are held against the whole span that the
equations give over that stage.  Where they do not meet, the gap is listed with what is known of it.  A nursing cow
of no stated weight (12 lb TDN, about 3 lb CP) is left out: any weight could be picked for her.
"""

from __future__ import annotations

import numpy as np
import pytest

import hayfuncs as h
from hayfuncs.contract.tables import load

CALF = 84.878  # lb (38.5 kg)
STAGES = {  # months since calving
    "early lactation": (1, 2),
    "peak lactation": (60 / (365 / 12), 80 / (365 / 12)),  # 60 to 80 days
    "lactating": (1, 3),
    "late lactation": (5, 6),
    "middle third of pregnancy, dry": (6.01, (85 + 187) / (365 / 12)),
    "last third of pregnancy": ((85 + 187) / (365 / 12), 12),
    "dry": (6.01, 12),
}
COLUMN = {"TDN": "tdn_lb", "CP": "cp_lb"}

# rows of need_statements (lowest, highest end), nutrient, stage, weight lb, peak milk lb
MEET = [
    (("late gestation, 1,200 lb, low", "late gestation, 1,200 lb, high"), "CP", "last third of pregnancy", 1200, 20),
    (("late gestation, 1,300 lb",), "TDN", "last third of pregnancy", 1300, 20),
    (("dry mature, 1,100 lb",), "CP", "dry", 1100, 20),
    (("pregnant, 1,100 lb",), "TDN", "dry", 1100, 20),
    (("pregnant, 1,100 lb",), "CP", "dry", 1100, 20),
    (("non-lactating, last trimester, 1,000 lb",), "CP", "last third of pregnancy", 1000, 20),
    (("lactating, 10 lb milk, 1,000 lb",), "CP", "lactating", 1000, 10),
    (("late lactation, 7 lb milk, 1,000 lb, low", "late lactation, 7 lb milk, 1,000 lb, high"), "CP", "late lactation",
     1000, 20),
    (("mid-pregnancy, dry, 1,000 lb",), "CP", "middle third of pregnancy, dry", 1000, 20),
]  # fmt: skip

TDN_INVERSE = (
    "up to 1.7 points of TDN, about 0.4 lb, come from turning net energy back into TDN by the cubic, which lies above "
    "the TDN printed in the NRC tables (as remembered); the page names no equations, so the rest stays unexplained"
)
MISSES = [  # the same, then the gap in lb from the nearest end of the span, and what is known of it
    (("late gestation, 1,200 lb, low", "late gestation, 1,200 lb, high"), "TDN", "last third of pregnancy", 1200, 20, -0.5,
     "9 to 11 lb are stated, the equations begin at 11.5: " + TDN_INVERSE),
    (("peak lactation, 1,200 lb, low", "peak lactation, 1,200 lb, high"), "TDN", "peak lactation", 1200, 20, -0.7,
     "15 to 16 lb are stated without the milk she gives; 20 lb at the peak needs more, 10 lb needs 14.2: " + TDN_INVERSE),
    (("dry mature, 1,100 lb",), "TDN", "dry", 1100, 20, -0.8, "9.5 lb are stated, the equations begin at 10.3: " + TDN_INVERSE),
    (("early lactation, 18 lb milk, 1,000 lb, low", "early lactation, 18 lb milk, 1,000 lb, high"), "CP", "early lactation",
     1000, 18, -0.1, "2.14 to 2.24 lb are stated, the equations begin at 2.38: unexplained, the page names no equations"),
]  # fmt: skip


def stated(rows: tuple[str, ...], nutrient: str) -> tuple[float, float]:
    values = [load("need_statements").row(row)[COLUMN[nutrient]] for row in rows]
    assert all(isinstance(v, float) for v in values)
    return min(values), max(values)


def span(nutrient: str, stage: str, weight: float, peak: float) -> tuple[float, float]:
    months = np.linspace(*STAGES[stage], 100)
    need = h.daily_need(nutrient, weight, months, peak, CALF)
    return float(need.min()), float(need.max())


def gap(rows: tuple[str, ...], nutrient: str, stage: str, weight: float, peak: float) -> float:
    """How far the statement lies below (-) or above (+) the span of the equations; 0 where they meet."""
    (low, high), (least, most) = stated(rows, nutrient), span(nutrient, stage, weight, peak)
    return min(0.0, high - least) or max(0.0, low - most)


@pytest.mark.parametrize(("rows", "nutrient", "stage", "weight", "peak"), MEET)
def test_statement_lies_in_the_span_of_her_stage(rows, nutrient, stage, weight, peak) -> None:
    half_a_digit = 0.05
    assert abs(gap(rows, nutrient, stage, weight, peak)) <= half_a_digit


@pytest.mark.parametrize(("rows", "nutrient", "stage", "weight", "peak", "off", "why"), MISSES)
def test_statements_the_equations_do_not_reproduce(rows, nutrient, stage, weight, peak, off, why) -> None:
    assert why
    assert gap(rows, nutrient, stage, weight, peak) == pytest.approx(off, abs=0.05)


def test_no_statement_is_wide_enough_to_fit_anything() -> None:
    """The check can fail: a cow a third heavier, or in milk, no longer fits what is stated of the dry one."""
    assert abs(gap(("mid-pregnancy, dry, 1,000 lb",), "CP", "middle third of pregnancy, dry", 1333, 20)) > 0.1
    assert abs(gap(("late gestation, 1,300 lb",), "TDN", "peak lactation", 1300, 20)) > 1
