"""Words of the trade turned into the closed lists: kind of forage, kind of bale, which cutting, class of cattle."""

from __future__ import annotations

import re

from hayfuncs.cow.classes import BRED, CATTLE, COW, FIRST_CALF, SECOND_CALF

LEGUMES = frozenset(["alfalfa", "lucerne", "clover", "legume", "trefoil", "birdsfoot", "lespedeza", "sainfoin", "vetch", "milkvetch",
                     "soybean", "pea", "cowpea", "peanut"])  # fmt: skip
GRASSES = frozenset(["grass", "fescue", "brome", "bromegrass", "orchardgrass", "timothy", "bermuda", "bermudagrass", "bluestem", "bahia",
                     "bahiagrass", "ryegrass", "wheatgrass", "bluegrass", "switchgrass", "millet", "sudan", "sudangrass", "sorghum",
                     "oat", "barley", "wheat", "rye", "triticale", "prairie", "native", "crabgrass", "dallisgrass", "johnsongrass",
                     "teff", "canarygrass", "cereal"])  # fmt: skip
MIXTURES = frozenset(["mix", "mixed", "mixture"])
ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6}
BALE_WORDS = {"small": "small square", "round": "round", "large": "large square", "big": "large square"}
# other words for a class of cattle, each in the singular
CLASS_WORDS = {
    "mature cow": COW, "grown cow": COW, "beef cow": COW, "cow calf pair": COW, "pair": COW,
    "first calf heifer": FIRST_CALF, "first calver": FIRST_CALF, "first calf mother": FIRST_CALF, "2 year old": FIRST_CALF,
    "second calf heifer": SECOND_CALF, "second calver": SECOND_CALF, "3 year old": SECOND_CALF, "3 year old cow": SECOND_CALF,
    "bred replacement heifer": BRED, "pregnant heifer": BRED, "heifer in calf": BRED,
    "open heifer": "replacement heifer", "yearling heifer": "replacement heifer", "breeding heifer": "replacement heifer", "replacement": "replacement heifer",
    "weaned heifer calf": "weaned calf", "weaned steer calf": "weaned calf", "heifer calf": "weaned calf", "steer calf": "weaned calf", "weanling": "weaned calf",
    "bull calf": "weaned bull calf", "steer": "yearling steer", "stocker": "yearling steer", "stocker steer": "yearling steer", "feeder steer": "yearling steer",
    "herd bull": "bull", "yearling bull": "bull", "mature bull": "bull",
}  # fmt: skip


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


def class_of(text: str) -> str | None:
    """The class of cattle: `Herd bulls` is a bull, `first-calf cows` a first-calf cow."""
    words = [w.removesuffix("s") for w in re.findall(r"[a-z0-9]+", text.casefold())]
    plain = " ".join({"calve": "calf", "olds": "old"}.get(w, w) for w in words)
    own = {word.replace("-", " "): word for word in CATTLE}
    return own.get(plain) or CLASS_WORDS.get(plain)


def cutting_of(text: str) -> float | None:
    """`2`, `2nd`, `second cutting` -> 2."""
    words = re.findall(r"[a-z]+|\d+", text.casefold())
    words = [w for w in words if w not in ("cut", "cutting", "st", "nd", "rd", "th", "no")]
    if len(words) != 1:
        return None
    return float(ORDINALS[words[0]]) if words[0] in ORDINALS else float(words[0]) if words[0].isdigit() else None
