"""The diet on which an animal eats just its need: the one equation of the requirements without a closed answer.

Intake and the two net energies all follow from the diet's ME, so need is met where the energy left for gain is the
energy wanted.  The secant method finds that ME; the longhand takes the same steps, each in cells of its own.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hayfuncs.contract.catalogue import Number, Step

FIRST, SECOND = 2.0, 2.4  # Mcal of ME per kg, the usual diets (55 and 66 % TDN): where the search begins
LEAST, MOST = 1.5, 3.6  # and what it never leaves: 41 and 100 % TDN
NEAR = 1e-12  # Mcal: met; a further step would divide rounding by rounding
TRIES = 8  # six settle the tenth digit of every diet that can be


def diet_me(left_for_gain: Callable[[Number], Number], wanted: Number) -> Number:
    """ME of the diet, Mcal per kg, that leaves just the energy wanted for gain."""
    before: Number = FIRST
    me: Number = SECOND + 0 * wanted
    short_before = left_for_gain(before) - wanted
    for _ in range(TRIES):
        short = left_for_gain(me) - wanted
        met = (np.abs(short) < NEAR) | (short == short_before)
        step = np.where(met, 0.0, short * (me - before) / np.where(met, 1.0, short - short_before))
        before, short_before, me = me, short, np.clip(me - step, LEAST, MOST)
    return me


def search_steps(left_for_gain: str, wanted: str) -> tuple[Step, ...]:
    """Longhand of `diet_me`: the formula of what is left holds [nem] and [neg] where those of the try belong."""
    steps: list[Step] = []
    for at in range(TRIES + 1):
        number = at + 1
        steps.append(
            Step(f"m{at}_", FIRST_TRIES.get(at) or next_try(at), f"ME of the diet, try {number}", "Mcal/kg DM")
        )
        nem = f"1.37*{{m{at}_}}-0.138*{{m{at}_}}^2+0.0105*{{m{at}_}}^3-1.12"
        neg = f"(1.42*{{m{at}_}}-0.174*{{m{at}_}}^2+0.0122*{{m{at}_}}^3-1.65)"
        steps.append(Step(f"n{at}_", nem, f"its NEm, try {number}", "Mcal/kg DM"))
        left = left_for_gain.replace("[nem]", f"{{n{at}_}}").replace("[neg]", neg)
        steps.append(Step(f"o{at}_", f"{left}-{wanted}", f"energy over or short, try {number}", "Mcal/day"))
    return (*steps, Step("diet_me", next_try(TRIES + 1), "ME of the diet found", "Mcal/kg DM"))


FIRST_TRIES = {0: "2", 1: "2.4"}


def next_try(at: int) -> str:
    me, before, over, over_before = f"{{m{at - 1}_}}", f"{{m{at - 2}_}}", f"{{o{at - 1}_}}", f"{{o{at - 2}_}}"
    met = f"OR(ABS({over})<1E-12,{over}={over_before})"
    return f"MIN(3.6,MAX(1.5,{me}-IF({met},0,{over}*({me}-{before})/({over}-{over_before}))))"
