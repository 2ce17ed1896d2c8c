"""What the winter plan needs beside lots, cows, feeds and dates.  The demo's values are invented."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from hayfuncs.contract.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.importers.model import Group

USUAL_FEEDER = "open ring"  # where nothing is said: what many herds have, and a high loss, so on the safe side
SPARE_OFFERS = 1  # rows for more hay that can be bought
EARLIEST = dt.date(1991, 1, 1)
MIDDLE = 0.5  # of a month


@dataclass(frozen=True)
class Offer:
    """Hay that can be bought.  Price None: the price on the sheet Hay pile; tons None: no end to it."""

    name: str
    price: float | None
    tons: float | None
    dm_pct: float
    tdn_pct: float
    cp_pct: float
    ndf_pct: float
    fat_pct: float
    s_pct: float
    storage_loss_pct: float = 0.0
    nitrate_n_ppm: float | None = None  # of dry matter; None: not tested
    ca_pct: float | None = None
    p_pct: float | None = None


OFFERS = (
    Offer("Grass hay to buy", None, None, 88, 54, 9.0, 62, 2.0, 0.21, ca_pct=0.42, p_pct=0.2),
    Offer("Legume hay to buy", 235, 60, 88, 60, 18.0, 42, 2.0, 0.28, nitrate_n_ppm=380, ca_pct=1.3, p_pct=0.24),
)


@dataclass(frozen=True)
class Season:
    """By names of groups, lots and feeds, so that another farm's find nothing here."""

    feeders: Mapping[str, str] = field(default_factory=dict)
    offers: tuple[Offer, ...] = OFFERS
    barred: tuple[str, ...] = ()  # lots and feeds that the plan must not use
    more_energy: Mapping[int, float] = field(default_factory=dict)  # calendar month -> % for cold and mud
    hay_is_mixed: bool = False  # ground and mixed before it is fed
    in_halves: bool = False  # months in which a group calves or is weaned are planned in two halves
    weaned: Mapping[str, dt.date] = field(default_factory=dict)  # group -> weaning date

    def feeder(self, group: str) -> str | None:
        """What all hay of the group is fed in; None: each hay in its own."""
        return self.feeders.get(group)


def calving(group: Group, start: dt.date) -> dt.date | None:
    """The group's calving date; without one, worked back from its month since calving at the start of winter."""
    months = group.month_since_calving
    if group.calving_date is not None or months is None:  # what does not calve has neither
        return group.calving_date
    days = (
        (months - MIDDLE) * DAYS_PER_YEAR / MONTHS_PER_YEAR if months == months else 0.0
    )  # NaN: kept from an old workbook
    return max(start, EARLIEST) - dt.timedelta(days=round(days))


DEMO_SEASON = Season(
    feeders={
        "Spring calvers in milk": "ring", "Late-pregnant cows": "ring", "Dry cows, mid pregnancy": "open ring",
        "First-calf mothers": "cone", "Bred heifers": "ring", "Weaned calves": "cone",
    },
    more_energy={12: 3, 1: 8, 2: 8, 3: 4},
    weaned={
        "Spring calvers in milk": dt.date(2026, 9, 14), "Late-pregnant cows": dt.date(2026, 10, 12),
        "Dry cows, mid pregnancy": dt.date(2026, 11, 16), "First-calf mothers": dt.date(2026, 8, 24),
    },
)  # fmt: skip
