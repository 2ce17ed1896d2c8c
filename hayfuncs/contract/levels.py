"""What all cautions share: the three levels, who decides, and the band a number falls in.

The text of a caution begins with its level, so that a sheet can color it by the first
word, and ends with who decides: a caution of this library never has the last word.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from hayfuncs.contract.catalogue import Number
from hayfuncs.contract.fields import TEXT_LIMIT  # a text inside a formula has the same limit
from hayfuncs.contract.tables import Cell, load

# A worked-out ratio is held against its limit to nine decimals, so that 0.30 / 0.20, which the
# computer makes 1.4999999999999998, is not below 1.5.
DECIMALS = 9

TOPIC = "Cautions"  # how the list of functions files every caution, whichever room it is in
LEVELS = ("Clear", "Caution", "Danger")
VETERINARIAN = "The veterinarian decides what these cattle are fed."
VETERINARIAN_AND_OFFICE = "The veterinarian decides what these cattle are fed; the local extension office helps with sampling and testing again."
FIRE_SERVICE = "The fire service decides when hot hay is opened or moved; local code decides how hay is stored."


def settled(x: Number) -> Number:
    """The number as it is held against a limit; ROUND(x,9) in the longhand."""
    return np.round(x, DECIMALS)


def quoted(text: str) -> str:
    """The text as a formula spells it, in pieces when it is long."""
    assert not set('"{}') & set(text), text
    pieces = [text[i : i + TEXT_LIMIT] for i in range(0, len(text), TEXT_LIMIT)]
    return "&".join(f'"{piece}"' for piece in pieces)


def sentences(*cases: tuple[Any, str]) -> Any:
    """The texts of the conditions that hold, joined by a space; a column of them where a condition is a column."""
    if not any(isinstance(holds, np.ndarray) for holds, _ in cases):
        return " ".join(text for holds, text in cases if holds)
    met: Any = sum(np.asarray(holds, dtype=np.int64) << at for at, (holds, _) in enumerate(cases))
    sets, which = np.unique(met, return_inverse=True)
    texts = [" ".join(text for at, (_, text) in enumerate(cases) if found >> at & 1) for found in sets.tolist()]
    return np.array(texts, dtype=object)[which].reshape(met.shape)


def band(table: str, value: float) -> dict[str, Cell]:
    """The last band that begins at or below the value (or strictly below it).

    The table's `from` column says where each band begins, `above` is 1 where the band begins
    only above that number.  Bands rise; the first one begins below every possible value.
    """
    found: dict[str, Cell] = {}
    for row in load(table).rows:
        begin = row["from"]
        assert isinstance(begin, float)
        if value > begin or (value == begin and not row["above"]):
            found = dict(row)
    return found


def band_text(table: str, value: float, column: str) -> str:
    """The text of the band; empty below the first."""
    return str(band(table, value).get(column, ""))
