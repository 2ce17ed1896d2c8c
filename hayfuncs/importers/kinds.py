"""Words of the trade turned into the closed lists: kind of forage, kind of bale, which cutting."""

from __future__ import annotations

import re

LEGUMES = frozenset(["alfalfa", "lucerne", "clover", "legume", "trefoil", "birdsfoot", "lespedeza", "sainfoin", "vetch", "milkvetch",
                     "soybean", "pea", "cowpea", "peanut"])  # fmt: skip
GRASSES = frozenset(["grass", "fescue", "brome", "bromegrass", "orchardgrass", "timothy", "bermuda", "bermudagrass", "bluestem", "bahia",
                     "bahiagrass", "ryegrass", "wheatgrass", "bluegrass", "switchgrass", "millet", "sudan", "sudangrass", "sorghum",
                     "oat", "barley", "wheat", "rye", "triticale", "prairie", "native", "crabgrass", "dallisgrass", "johnsongrass",
                     "teff", "canarygrass", "cereal"])  # fmt: skip
MIXTURES = frozenset(["mix", "mixed", "mixture"])
ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6}
BALE_WORDS = {"small": "small square", "round": "round", "large": "large square", "big": "large square"}


def _words(text: str) -> list[str]:
    words = re.findall(r"[a-z]+", text.casefold())
    return [w[:-1] if w.endswith("s") and w[:-1] in LEGUMES | GRASSES else w for w in words]


def forage_of(text: str) -> str | None:
    """`grass`, `legume` or `mixed` when the words say so; grass and legume together are mixed."""
    words = set(_words(text))
    legume, grass = bool(words & LEGUMES), bool(words & GRASSES)
    if (legume and grass) or (words & MIXTURES and not (legume ^ grass)):
        return "mixed"
    if words & MIXTURES:  # "mixed grass": several grasses; "alfalfa mix" does not say what with
        return "grass" if grass else None
    return "legume" if legume else "grass" if grass else None


def bale_of(text: str) -> str | None:
    words = re.findall(r"[a-z]+", text.casefold())
    found = {BALE_WORDS[w] for w in words if w in BALE_WORDS}
    return found.pop() if len(found) == 1 else None


def cutting_of(text: str) -> float | None:
    """`2`, `2nd`, `second cutting` -> 2."""
    words = re.findall(r"[a-z]+|\d+", text.casefold())
    words = [w for w in words if w not in ("cut", "cutting", "st", "nd", "rd", "th", "no")]
    if len(words) != 1:
        return None
    return float(ORDINALS[words[0]]) if words[0] in ORDINALS else float(words[0]) if words[0].isdigit() else None
