"""The numbers that the library's records state, so that a literal in a formula has an owner."""

from __future__ import annotations

import re
from functools import cache

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Words
from hayfuncs.formulas.template import lines

PLAIN = frozenset({0.0, 1.0, 2.0, 12.0, 7.0, 24.0, 100.0})  # counting, halves and squares, months, days, hours, percent
NUMERAL = re.compile(r"(?<![A-Za-z_.\d])(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")


@cache
def numbers_of(name: str) -> frozenset[float]:
    """Constants, limits, fitted ranges and places of words of one function."""
    record = CATALOGUE[name]
    found: set[float] = set(PLAIN)
    texts = [*(lines(record.longhand) if record.longhand else ()), *(rule.formula for rule in record.rules)]
    for text in texts:
        found |= {float(n) for n in NUMERAL.findall(re.sub(r"\{[^}]*\}", "", text))}
    for arg in record.args.values():
        if isinstance(arg, Arg):
            found |= {abs(arg.lo), abs(arg.hi), *(abs(v) for v in arg.fit or ())}
        elif isinstance(arg, Words):
            found |= {float(i) for i in range(1, len(arg.words) + 1)}
    return frozenset(found)


@cache
def library_numbers() -> frozenset[float]:
    """Every number that some record states."""
    return PLAIN.union(*(numbers_of(name) for name in CATALOGUE))
