"""What the demo farm's barn, bench and weather hold beside the lab sheets.  Invented throughout."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Stored:
    """What belongs to a lot and stands on no lab sheet; None is "not entered" or "not tested"."""

    baling_hours: float | None = None
    height_ft: float | None = None  # the diameter of a round bale
    width_ft: float | None = None
    length_ft: float | None = None  # rectangular bales only
    density_lb_ft3: float | None = None
    feeder: str | None = None
    price_per_bale: float | None = None
    stack_temp_f: float | None = None
    baling_moisture_pct: float | None = None
    same_lab: int | None = None
    second_cp_pct: float | None = None
    second_adf_pct: float | None = None
    second_ndf_pct: float | None = None


@dataclass(frozen=True)
class Yard:
    """Where a group stands: whether it is in calf, what it eats, and its weather."""

    lot: str | None = None
    pregnant: int | None = None
    coat: str | None = None
    air_temp_f: float | None = None
    wind_mph: float | None = None
    mud_in: float | None = None


@dataclass(frozen=True)
class Weighing:
    """One row of the bench: gross weights in grams, the second drying only where it was made."""

    sample: str
    bag: float
    wet: float
    dry: float
    dish: float | None = None
    ground: float | None = None
    ground_dry: float | None = None


@dataclass(frozen=True)
class Spread:
    """One value's spread from core to core, as single cores of one lot have shown it."""

    measure: str = ""
    core_sd: float | None = None
    margin: float | None = None
    lab_sd: float | None = None


@dataclass(frozen=True)
class Winter:
    """The feeding season and what hay costs to buy."""

    start: dt.date = dt.date(2026, 12, 1)
    turnout: dt.date = dt.date(2027, 4, 20)
    bought_price: float | None = 140.0


@dataclass(frozen=True)
class Barn:
    """All of it; lots and groups by name, so that another farm's lots find nothing here."""

    stored: Mapping[str, Stored] = field(default_factory=dict)
    yards: Mapping[str, Yard] = field(default_factory=dict)
    bench: tuple[Weighing, ...] = ()
    spread: Spread = field(default_factory=Spread)
    winter: Winter = field(default_factory=Winter)

    def lot(self, name: str) -> Stored:
        return self.stored.get(name, Stored())

    def yard(self, name: str) -> Yard:
        return self.yards.get(name, Yard())


# fields of Lot for the demo's lots: counted, weighed, dated, priced, and tested apart
_DAY = dt.date
KEPT: dict[str, dict[str, Any]] = {
    "Heron Flat 1": {"bales": 124, "bale": "round", "harvest_date": _DAY(2026, 6, 12), "sample_date": _DAY(2026, 8, 3), "cores": 20, "storage": "net wrap, on ground", "price_per_ton": 110.0},
    "Heron Flat 2": {"bales": 73, "bale": "round", "harvest_date": _DAY(2026, 8, 1), "sample_date": _DAY(2026, 9, 2), "cores": 20, "storage": "on tires or gravel, covered", "price_per_ton": 135.0},
    "Mill Bottom 1": {"bales": 68, "bale": "large square", "harvest_date": _DAY(2026, 5, 28), "sample_date": _DAY(2026, 7, 1), "cores": 20, "storage": "barn", "price_per_ton": 165.0},
    "Mill Bottom 2": {"bales": 73, "bale": "large square", "harvest_date": _DAY(2026, 7, 3), "sample_date": _DAY(2026, 8, 3), "cores": 18, "storage": "barn", "price_per_ton": 185.0},
    "Mill Bottom 3": {"bales": 733, "bale": "small square", "bale_weight_lb": 60.0, "harvest_date": _DAY(2026, 8, 9), "sample_date": _DAY(2026, 9, 2), "cores": 12, "storage": "barn", "price_per_ton": 230.0},
    "North Bench 1": {"bales": 101, "bale": "round", "bale_weight_lb": 1090.0, "harvest_date": _DAY(2026, 6, 20), "sample_date": _DAY(2026, 8, 3), "cores": 20, "storage": "net wrap, on ground", "price_per_ton": 130.0},
    "North Bench 2": {"bales": 55, "bale": "round", "bale_weight_lb": 1060.0, "harvest_date": _DAY(2026, 8, 14), "sample_date": _DAY(2026, 9, 2), "cores": 20, "storage": "plastic wrap", "price_per_ton": 150.0},
    "Section Ten": {"bales": 121, "bale": "round", "harvest_date": _DAY(2026, 7, 24), "sample_date": _DAY(2026, 9, 2), "cores": 15, "storage": "on ground, uncovered", "ergovaline_ppb": 180.0},
    "Creek Strip": {"bales": 46, "bale": "round", "harvest_date": _DAY(2026, 6, 30), "sample_date": _DAY(2026, 8, 3), "cores": 20, "storage": "on tires or gravel, covered", "price_per_ton": 70.0, "notes": "rained on once before baling"},
    "Windmill Forty": {"bales": 80, "bale": "round", "harvest_date": _DAY(2026, 7, 11), "sample_date": _DAY(2026, 8, 3), "cores": 20, "storage": "on tires or gravel, uncovered", "price_per_ton": 105.0, "notes": "dry summer", "hcn_ppm": 90.0},
}  # fmt: skip

DEMO_BARN = Barn(
    stored={
        "Heron Flat 1": Stored(20, 5, 5, None, 10.5, "open ring", None, 96, 15),
        "Heron Flat 2": Stored(12, 5, 4, None, 10.8, "ring", None, 101, 16),
        "Mill Bottom 1": Stored(14, 3, 4, 8, 14.5, "cone", None, 88, 14, same_lab=1, second_cp_pct=17.1, second_adf_pct=35.4, second_ndf_pct=44.0),
        "Mill Bottom 2": Stored(10, 3, 3, 8, 14.5, "cone", None, 90, 15),
        "Mill Bottom 3": Stored(9, None, None, None, None, "trailer", None, 92, 18),
        "North Bench 1": Stored(30, 5, 5, None, None, "ring", None, None, None, same_lab=0, second_cp_pct=12.1, second_adf_pct=37.5, second_ndf_pct=53.0),
        "North Bench 2": Stored(16, 5, 5, None, None, "ring", None, 104, 17),
        "Section Ten": Stored(60, 5.5, 5, None, 10.0, "open ring", 45.0, None, 14),
        "Creek Strip": Stored(26, 5, 4, None, 10.0, "ring", None, 128, 21),
        "Windmill Forty": Stored(22, 5, 5, None, 10.2, "ring", None, None, 13),
    },
    yards={
        "Spring calvers in milk": Yard("Heron Flat 2", 0, "winter", 18, 10, 2),
        "Late-pregnant cows": Yard("North Bench 1", 1, "heavy winter", 14, 12, 5),
        "Dry cows, mid pregnancy": Yard("Heron Flat 1", 1, "heavy winter", 14, 6, 0),
        "First-calf mothers": Yard("North Bench 2", 0, "winter", 22, 0, 0),
        "Bred heifers": Yard("Heron Flat 1", 1, "heavy winter", 18, 6, 0),
        "Weaned calves": Yard("Mill Bottom 1", 0, "winter", 22, 0, 0),
    },
    bench=(
        Weighing("Heron Flat 1, bag 1", 12.0, 462.0, 435.5, 50.00, 60.00, 59.45),
        Weighing("Heron Flat 1, bag 2", 12.0, 455.5, 429.1, 50.02, 60.05, 59.49),
        Weighing("Creek Strip", 12.0, 448.0, 414.9, 49.97, 60.01, 59.36),
        Weighing("Green chop, pasture", 11.8, 512.6, 148.2, 50.01, 60.02, 59.31),
        Weighing("Mill Bottom 3, quick check", 0.0, 250.0, 222.9),
    ),
    spread=Spread("crude protein, % DM", 1.6, 0.7, 0.5),
)  # fmt: skip
