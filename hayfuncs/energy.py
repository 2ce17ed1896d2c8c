"""Energy of feed: metabolizable and net energy from total digestible nutrients, and back.

The ladder is TDN -> digestible energy -> metabolizable energy (ME) -> net energy for
maintenance (NEm) and for gain (NEg).  The published equations are in Mcal/kg; the
worksheet functions give Mcal/lb, converted once, at the end (1 lb = 0.45359237 kg).
"""

from __future__ import annotations

from hayfuncs.record import Number

TOPIC = "Energy and quality"

# NRC Nutrient Requirements of Beef Cattle, 7th ed., update 2000, p. 126:
DE_PER_TDN = 0.04409  # Mcal of digestible energy per kg of DM for each % of TDN (1 kg TDN = 4.409 Mcal)
ME_PER_DE = 0.82  # metabolizable energy is 82 % of digestible energy
ME_PER_TDN = ME_PER_DE * DE_PER_TDN

# The same book's cubics, Mcal/kg: from memory, agreeing with its p. 43 (NEm / ME = 0.576 at ME 2.0).
NEM_ME, NEM_ME_SQUARED, NEM_ME_CUBED, NEM_BASE = 1.37, 0.138, 0.0105, 1.12
NEG_ME, NEG_ME_SQUARED, NEG_ME_CUBED, NEG_BASE = 1.42, 0.174, 0.0122, 1.65

NEM_BEND = NEM_ME_SQUARED / (3 * NEM_ME_CUBED)  # ME where the NEm cubic turns from concave to convex
NEWTON_STEPS = 8


def nem_from_me_kg(me: Number) -> Number:
    """NEm from ME, both in Mcal per kg of dry matter."""
    return NEM_ME * me - NEM_ME_SQUARED * me * me + NEM_ME_CUBED * me * me * me - NEM_BASE


def me_from_nem_kg(nem_mcal_kg: Number) -> Number:
    """ME from NEm, both in Mcal per kg of dry matter: the NEm cubic solved for ME.

    Newton's method cannot fail here.  The cubic's slope has no real root (it is 0.765 or
    more), so there is one answer; and from the bend, where it turns from concave to convex,
    the first step lands on the side of the answer from which every later step comes nearer.
    """
    me = 0 * nem_mcal_kg + NEM_BEND
    for _ in range(NEWTON_STEPS):
        slope = NEM_ME - 2 * NEM_ME_SQUARED * me + 3 * NEM_ME_CUBED * me * me
        me = me - (nem_from_me_kg(me) - nem_mcal_kg) / slope
    return me


def tdn_for_nem_kg(nem_mcal_kg: Number) -> Number:
    """TDN (% of dry matter) that gives this NEm (Mcal per kg of dry matter)."""
    return me_from_nem_kg(nem_mcal_kg) / ME_PER_TDN
