"""Rounding that is deaf to the last bits of a division."""

from __future__ import annotations

import numpy as np

from hayfuncs.contract.catalogue import Number

# Division leaves an exact number of bales or cores a hair above or below the whole number;
# what exceeds it by less than one part in a million million is that hair, not hay.
SLACK = 1e-12


def whole_up(x: Number) -> Number:
    """Rounded up to a whole number, deaf to the last bits of a division (see SLACK)."""
    return np.ceil(x * (1 - SLACK))
