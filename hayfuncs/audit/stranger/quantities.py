"""What a number of the trade can be called, and between which values it lies on a sheet that is right.

The ranges are wide: outside them a value is a slip of unit, basis or digit, not an odd hay.  Common practice, no
source, but for those that the catalogue's arguments give.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from hayfuncs.contract.units import LB_TO_KG
from hayfuncs.importers.headings import AS_FED_WORDS, DRY_WORDS, read_heading
from hayfuncs.importers.model import AS_FED, DRY, LOT_COLUMNS


@dataclass(frozen=True)
class Quantity:
    """`low` and `high` hold for `unit`; `hay` is the highest that a hay alone can have, where that is less."""

    name: str
    unit: str
    low: float
    high: float
    hay: float | None = None
    hint: str = ""  # what a value below the range usually is


FEEDS = (
    Quantity("dm_pct", "%", 15, 99, hint="is it moisture?"),
    Quantity("moisture_pct", "%", 1, 75),
    Quantity("cp_pct", "%", 2, 62, 30, hint="is it a share, 0.08 for 8 %?"),
    Quantity("adf_pct", "%", 2, 65, hint="is it a share?"),
    Quantity("ndf_pct", "%", 4, 88, hint="is it a share?"),
    Quantity("tdn_pct", "%", 30, 98, 80, hint="is it a share?"),
    Quantity("ash_pct", "%", 1, 30),
    Quantity("body_weight", "lb", 650, 2600, hint="is it in kilograms?"),
    Quantity("calf_weight", "lb", 45, 900),
    Quantity("intake_pct", "% of body weight", 0.7, 4.5),
    Quantity("intake", "lb/day", 8, 70),
    Quantity("protein_amount", "lb/day", 0.01, 8),
    Quantity("energy_amount", "lb/day", 0.05, 45),
    Quantity("milk", "lb/day", 2, 60),
    Quantity("condition", "", 1, 9),
    Quantity("price_ton", "$/ton", 15, 1500),
    Quantity("bale_weight", "lb", 25, 2600),
    Quantity("waste_pct", "%", 0, 70),
    Quantity("days", "days", 0, 400),
    Quantity("cost_day", "$/day", 0, 20),
)
BY_NAME = {q.name: q for q in FEEDS}
# words in this order; the first whose words are all there and whose hindrances are not
ORDER: tuple[tuple[str, str, str], ...] = (
    ("condition", r"condition score|\bbcs\b", r""),
    ("milk", r"\bmilk\b", r"stage|month|class|calver|cows in"),
    ("waste_pct", r"waste|shrink|\bloss(es)?\b|spoil", r"\btons?\b|\blbs?\b|cost|\$"),
    ("bale_weight", r"bale.*(weight|wt|lbs?)|(weight|wt|lbs?).*\bbale", r"price|cost|\$|how many|number|of bales|per head|day"),
    ("price_ton", r"(price|cost|\$).*\bton|\bton.*(price|cost|\$)", r"total|day|head|protein|tdn|energy|of dm|dry|winter|herd"),
    ("calf_weight", r"(calf|calves|weaning|birth).*(weight|wt)\b", r""),
    ("intake_pct", r"(intake|eat|dmi|dm i).*(% ?(of )?(bw|body|b\.w)|percent of body)|(% ?(of )?(bw|body|b\.w)).*(intake|eat|dmi)?", r"grain"),
    ("body_weight", r"\b(body|cow|live|mature|animal|shrunk)[ _-]*(weight|wt)|\bbw\b|\bweight of (the )?cow|^(weight|wt)\b", r"intake|%|percent|gain|per|metabolic"),
    ("days", r"\bdays\b", r"per|/ ?day|cost|\$|since"),
    ("protein_amount", r"\b(protein|cp)\b", r"%|percent|pct|price|cost|\$|day fed|adf|ndf|avail|bound|ton|herd|total|supplement"),
    ("energy_amount", r"\b(tdn)\b", r"%|percent|pct|price|cost|\$|ton|herd|total|supplement"),
    ("intake", r"\bintake\b|\bdmi\b|\beat(s|en)?\b|hay (fed|offered|as fed)", r"%|percent|ton|herd|total|cost|\$|protein|tdn|cp"),
)  # fmt: skip
AMOUNT = re.compile(
    r"\blbs?\b|\bpounds?\b|\bkgs?\b|need|requir|supplied|suppl(y|ies)|provid|from hay|short|deficit|have|lack",
    re.IGNORECASE,
)
DAY = re.compile(r"(/|per |a )\s*(hd|head|cow)?\s*(/|per |a )?\s*(day|d)\b|daily", re.IGNORECASE)
KILOS = re.compile(r"\bkgs?\b|kilogram", re.IGNORECASE)
SHARES = re.compile(r"%|\bpct\b|percent", re.IGNORECASE)
ABOUT_HAY = re.compile(
    r"\b(hay|forage|lot|feed|supplement|sample|bale|this|our|my|the|of)('s)?\b"
)  # whose number it is
FIELDS = {"lab_tdn_pct": "tdn_pct"}
OURS = {"dm_pct", "cp_pct", "adf_pct", "ndf_pct", "lab_tdn_pct", "ash_pct"}
KILO_UNITS = {"lb": "kg", "lb/day": "kg/day"}


@dataclass(frozen=True)
class Meaning:
    quantity: str
    unit: str
    basis: str = ""
    words: str = ""

    @property
    def card(self) -> Quantity | None:
        return BY_NAME.get(self.quantity)

    def bounds(self) -> tuple[float, float, float | None] | None:
        """Lowest, highest, and the highest of a hay, in the unit of the cell."""
        card = self.card
        if card is None:
            return None
        factor = LB_TO_KG if self.unit.startswith("kg") else 1.0
        return card.low * factor, card.high * factor, None if card.hay is None else card.hay * factor


@lru_cache(maxsize=20_000)
def read(text: str) -> Meaning | None:
    """What a label says, where that is certain enough to judge a number by."""
    plain = " ".join(text.replace("_", " ").split()).casefold()
    if not plain or len(plain) > 90:
        return None
    basis = _basis(plain)
    heading = read_heading(ABOUT_HAY.sub(" ", plain), LOT_COLUMNS)
    if heading.field in OURS and not AMOUNT.search(plain):
        name = FIELDS.get(heading.field, heading.field)
        if heading.form == "moisture":
            return Meaning("moisture_pct", "%", AS_FED, text)
        if heading.form or heading.unit not in ("", "%"):
            return None
        return Meaning(name, "%", heading.basis or basis, text)
    for name, wanted, hindered in ORDER:
        if re.search(wanted, plain) and not (hindered and re.search(hindered, plain)):
            if name in ("protein_amount", "energy_amount") and not (AMOUNT.search(plain) or DAY.search(plain)):
                return None
            unit = BY_NAME[name].unit
            unit = KILO_UNITS.get(unit, unit) if KILOS.search(plain) else unit
            return Meaning(name, unit, basis, text)
    return None


def _basis(plain: str) -> str:
    as_fed = AS_FED_WORDS.search(plain) is not None
    dry = DRY_WORDS.search(AS_FED_WORDS.sub(" ", plain)) is not None
    return AS_FED if as_fed and not dry else DRY if dry and not as_fed else ""
