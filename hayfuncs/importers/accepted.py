"""The words that accept what is seldom seen, and lots whose lab values are all the same."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from hayfuncs.forage.plausibility import SAME_FIX, SAME_ROWS, SAME_SAYS, equal_rows
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.model import CORE, LOT_COLUMNS, Column, Lot


def is_lab(column: Column) -> bool:
    """Whether the column holds a lab value, which is averaged; all others must agree between scans."""
    return column.on_basis or column.field in (*CORE, "ndfd48_pct", "lab_rfv")


def words_in(text: str) -> list[str]:
    """The words of a cell of Accepted, parted by commas or semicolons."""
    return [w for w in (part.strip().casefold() for part in re.split(r"[;,]", text)) if w]


def same_rows(lots: Sequence[Lot], where: Mapping[str, str], option: str, accept: Sequence[str] = ()) -> list[str]:
    """Asks about lots whose lab values are all the same, unless the word for it was given."""
    rows = [_lab_values(x) for x in lots]
    return [
        f"{where.get(lots[i].name, '')}: lot {quoted(lots[i].name)} {SAME_SAYS} {quoted(lots[j].name)} "
        f"({where.get(lots[j].name, '')}); {SAME_FIX} If it is right, {option.format(SAME_ROWS)}"
        for i, j in equal_rows(rows)
        if SAME_ROWS not in (*accept, *words_in(lots[i].accepted), *words_in(lots[j].accepted))
    ]


def keep_same(lots: Sequence[Lot], accept: Sequence[str]) -> list[Lot]:
    """The lots; those that are equal and were accepted so carry the word."""
    if SAME_ROWS not in accept:
        return list(lots)
    alike = {i for pair in equal_rows([_lab_values(x) for x in lots]) for i in pair}
    return [
        replace(x, accepted="; ".join(dict.fromkeys([*words_in(x.accepted), SAME_ROWS]))) if i in alike else x
        for i, x in enumerate(lots)
    ]


def _lab_values(lot: Lot) -> dict[str, float]:
    fields = [c.field for c in LOT_COLUMNS if is_lab(c)]
    return {f: getattr(lot, f) for f in fields if getattr(lot, f) is not None}
