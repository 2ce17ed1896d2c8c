"""The demo farm.  Invented: no lot, herd, price or name here belongs to a real place or person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import hayfuncs
from hayfuncs.contract.errors import listing
from hayfuncs.contract.files import UserError
from hayfuncs.cow.classes import BRED, FIRST_CALF
from hayfuncs.importers.model import Group, Lot
from hayfuncs.winter.problem import LONGEST_DAYS
from hayfuncs.workbook.barn import DEMO_BARN, KEPT, Barn, Stored
from hayfuncs.workbook.season import DEMO_SEASON, USUAL_FEEDER, Season
from hayfuncs.workbook.signposts import on_tab

MOST_NAMED = 4  # lots told by name; more are counted

WHAT = "Demo data: an invented farm. Replace its lots, cows and prices with your own."
DEMO_DATES = " The dates of the winter are the demo's until you type yours on Hay pile."
DEMO_PRICES = " Prices of feeds are the demo's until you type yours on Feeds."
NO_HERD = "No herd list was given, so the cows are the demo's, invented: give --herd HERD.csv or type yours on the sheet Herd."
NO_LOTS = "No list of lots was given, so the hay is the demo's, invented: give --lots LOTS.csv or type yours on the sheet Lots."
NO_FILES = "Neither a list of lots nor a herd list was given: hay and cows are the demo's, invented."


class _Free:
    """What a free row is made from: no value of it is known."""

    name = ""

    def __getattr__(self, field: str) -> None:
        if field.startswith("__"):
            raise AttributeError(field)


FREE: Any = _Free()  # a lot or a group that nobody has typed yet


@dataclass(frozen=True)
class Farm:
    """Everything a workbook is built from."""

    lots: tuple[Lot, ...]
    groups: tuple[Group, ...]
    prices: dict[str, float]
    what: str = "Your own lots and cows, read from your files." + DEMO_PRICES + DEMO_DATES
    choice: tuple[str, str, str] = field(default=("", "", ""))  # lot, group, feed shown first
    barn: Barn = field(default_factory=Barn)
    season: Season = field(default_factory=Season)
    told: tuple[str, ...] = ()  # what was not given, and what was taken instead
    free_lots: int = 0  # rows for lots and for groups that are typed later
    free_groups: int = 0

    @property
    def lot_rows(self) -> tuple[Lot, ...]:
        return (*self.lots, *[FREE] * self.free_lots)

    @property
    def group_rows(self) -> tuple[Group, ...]:
        return (*self.groups, *[FREE] * self.free_groups)


def own(farm: Farm, lots: Sequence[Lot] | None, groups: Sequence[Group] | None) -> Farm:
    """The farm with the user's own lots or groups; what the demo invented about its own goes with them."""
    lot, group, feed = farm.choice
    if lots is not None:
        stored = {x.name: Stored(feeder=x.feeder or USUAL_FEEDER) for x in lots}
        barn = replace(farm.barn, stored=stored, yards={}, bench=(), spread=Barn().spread)
        farm = replace(farm, lots=tuple(lots), what=Farm.what, choice=("", group, feed), barn=barn, season=Season())
        lot = ""
    if groups is not None:
        farm = replace(
            farm,
            groups=tuple(groups),
            what=Farm.what,
            choice=(lot, "", feed),
            barn=replace(farm.barn, yards={}),
            season=Season(),
        )
    return replace(farm, **_told(farm, lots, groups))


def _told(farm: Farm, lots: Sequence[Lot] | None, groups: Sequence[Group] | None) -> dict[str, Any]:
    """What the user's files did not say, for the tab Start and for the terminal."""
    if lots is None and groups is None:
        return {"told": (NO_FILES,)}
    if groups is None:
        return {"what": f"Your own lots. {NO_HERD}{DEMO_PRICES}{DEMO_DATES}", "told": (NO_HERD, *_feeder_taken(farm))}
    if lots is None:
        return {"what": f"Your own cows. {NO_LOTS}{DEMO_PRICES}{DEMO_DATES}", "told": (NO_LOTS,)}
    return {"told": tuple(_feeder_taken(farm))}


def _feeder_taken(farm: Farm) -> Iterator[str]:
    silent = [lot.name for lot in farm.lots if lot.feeder is None]
    if silent:
        yield _feeder_sentence(
            listing(silent) if len(silent) <= MOST_NAMED else f"{len(silent)} of {len(farm.lots)} lots"
        )


def _feeder_sentence(which: str) -> str:
    lost = hayfuncs.feeding_loss(USUAL_FEEDER)
    return (
        f"Assumed for {which}: fed in an {USUAL_FEEDER}, {lost:g} % of the hay wasted, because the list of lots has no feeder "
        f"for them; give one in a column Feeder, or pick it under Fed in on {on_tab('Stock')}."
    )


def roomy(farm: Farm, lots: int = 0, groups: int = 0) -> Farm:
    """The farm with rows left free for lots and groups that are typed later, so many or the usual number."""
    return replace(farm, free_lots=max(lots, FREE_LOTS), free_groups=max(groups, FREE_GROUPS))


def is_told(text: str) -> bool:
    """Whether `own` tells this sentence of some lists; the names of the lots in it may be any."""
    which = text.removeprefix("Assumed for ").rpartition(": fed in an ")[0]
    return text in (NO_FILES, NO_HERD, NO_LOTS) or (bool(which) and text == _feeder_sentence(which))


def dated(farm: Farm, start: date | None, turnout: date | None) -> Farm:
    """The farm with other dates of the winter."""
    winter = farm.barn.winter
    winter = replace(winter, start=start or winter.start, turnout=turnout or winter.turnout)
    if winter.turnout <= winter.start:
        raise UserError(
            f"feeding begins {winter.start} (--start) and turnout is {winter.turnout} (--turnout); allowed: turnout after "
            "the start; give both options"
        )
    days = (winter.turnout - winter.start).days
    if days > LONGEST_DAYS:
        raise UserError(
            f"turnout ({winter.turnout}) is {days} days after the start of feeding ({winter.start}); "
            f"allowed: 1 to {LONGEST_DAYS} days; give both dates"
        )
    what = farm.what if start is None or turnout is None else farm.what.replace(DEMO_DATES, "")
    return replace(farm, what=what, barn=replace(farm.barn, winter=winter))


def _lot(
    name: str, where: str, cutting: int, forage: str, basis: str, tons: float,
    core: tuple[float, float, float, float], more: tuple[float, float, float] | None = None,
    minerals: tuple[float, float, float, float, float] | None = None, nitrate: float | None = None, adicp: float | None = None,
) -> Lot:  # fmt: skip
    dm, cp, adf, ndf = core
    ndfd, ash, fat = more or (None, None, None)
    ca, p, mg, k, s = minerals or (None, None, None, None, None)
    return Lot(
        name=name, field=where, cutting=cutting, forage=forage, basis=basis, dm_pct=dm, cp_pct=cp, adf_pct=adf, ndf_pct=ndf,
        ndfd48_pct=ndfd, ash_pct=ash, fat_pct=fat, ca_pct=ca, p_pct=p, mg_pct=mg, k_pct=k, s_pct=s, nitrate_n_ppm=nitrate,
        adicp_pct=adicp, tons=tons,
    )  # fmt: skip


_TESTED = (
    _lot("Heron Flat 1", "Heron Flat", 1, "grass", "dry", 64, (88.9, 9.3, 39.2, 62.4), (54, 7.6, 2.2), (0.41, 0.22, 0.16, 1.85, 0.16), 160),
    _lot("Heron Flat 2", "Heron Flat", 2, "grass", "dry", 31, (89.6, 11.9, 34.8, 57.2), (57, 8.4, 2.4), (0.46, 0.27, 0.19, 2.20, 0.19), 210),
    _lot("Mill Bottom 1", "Mill Bottom", 1, "legume", "as fed", 47, (87.5, 15.4, 30.5, 38.9), (44, 8.2, 1.9), (1.12, 0.22, 0.24, 1.70, 0.21), 260),
    _lot("Mill Bottom 2", "Mill Bottom", 2, "legume", "as fed", 38, (88.2, 17.2, 28.1, 35.4), (46, 8.5, 2.0), (1.24, 0.24, 0.26, 1.82, 0.23), 310),
    _lot("Mill Bottom 3", "Mill Bottom", 3, "legume", "dry", 22, (89.1, 21.8, 27.9, 35.2), (48, 9.8, 2.4), (1.52, 0.29, 0.30, 2.35, 0.27), 420),
    _lot("North Bench 1", "North Bench", 1, "mixed", "dry", 55, (88.4, 12.6, 36.9, 52.3), (49, 8.6, 2.2), (0.78, 0.24, 0.20, 2.05, 0.18), 240),
    _lot("North Bench 2", "North Bench", 2, "mixed", "as fed", 29, (87.9, 13.0, 29.8, 41.6), (53, 7.7, 2.1), (0.75, 0.23, 0.20, 1.96, 0.18), 280),
    _lot("Section Ten", "Section Ten", 1, "grass", "dry", 72, (90.3, 5.4, 45.2, 70.8), (42, 7.2, 1.6), (0.34, 0.13, 0.12, 1.10, 0.11), 90),
    _lot("Creek Strip", "Creek Strip", 1, "mixed", "dry", 18, (86.4, 8.9, 43.0, 61.7), (41, 11.6, 1.8), (0.69, 0.19, 0.18, 1.40, 0.16), 190, 1.25),
    _lot("Windmill Forty", "Windmill Forty", 1, "grass", "dry", 40, (87.2, 9.7, 37.4, 60.4), (52, 9.3, 1.9), (0.44, 0.20, 0.21, 2.60, 0.14), 1620),
)  # fmt: skip
# the one lot of which trace minerals were asked for: invented, copper that molybdenum and iron tie up
_TRACE: dict[str, dict[str, Any]] = {
    "Windmill Forty": {"na_pct": 0.02, "fe_ppm": 310, "cu_ppm": 5.2, "zn_ppm": 21, "mn_ppm": 85, "mo_ppm": 2.8, "se_ppm": 0.06},
}  # fmt: skip
LOTS = tuple(replace(lot, **KEPT[lot.name], **_TRACE.get(lot.name, {})) for lot in _TESTED)

GROUPS = (
    Group(name="Spring calvers in milk", head=62, body_weight_lb=1250, month_since_calving=2, peak_milk_lb=20, calf_weight_lb=85, condition_score=5, calving_date=date(2027, 2, 8)),
    Group(name="Late-pregnant cows", head=48, body_weight_lb=1320, month_since_calving=11, peak_milk_lb=18, calf_weight_lb=85, condition_score=5.5, calving_date=date(2027, 3, 28)),
    Group(name="Dry cows, mid pregnancy", head=35, body_weight_lb=1280, month_since_calving=8, peak_milk_lb=18, calf_weight_lb=85, condition_score=6, calving_date=date(2027, 6, 1)),
    Group(name="First-calf mothers", head=16, body_weight_lb=1060, month_since_calving=2, peak_milk_lb=20, calf_weight_lb=75, condition_score=4.5, calving_date=date(2027, 1, 28), cattle_class=FIRST_CALF, grown_weight_lb=1250, condition_wanted=5, condition_days=120),
    Group(name="Bred heifers", head=14, body_weight_lb=1030, month_since_calving=9, peak_milk_lb=20, calf_weight_lb=75, condition_score=6, calving_date=date(2027, 3, 1), cattle_class=BRED, grown_weight_lb=1250),
    Group(name="Weaned calves", head=24, body_weight_lb=540, month_since_calving=None, peak_milk_lb=None, calf_weight_lb=None, condition_score=None, cattle_class="weaned calf", gain_wanted_lb=1.25, grown_weight_lb=1250),
)  # fmt: skip

# dollars per short ton as fed, invented
PRICES = {
    "soybean hulls": 210.0,
    "corn gluten feed": 225.0,
    "distillers grains, dried": 245.0,
    "corn grain": 190.0,
    "wheat middlings": 205.0,
    "soybean meal 48": 430.0,
    "cottonseed meal": 380.0,
    "whole cottonseed": 320.0,
    "range cubes 20": 365.0,
    "alfalfa cubes": 310.0,
    "beet pulp, dried": 260.0,
    "oats": 250.0,
    "barley": 215.0,
}

FREE_LOTS, FREE_GROUPS = 4, 2  # rows left free in a workbook that somebody will type in; more where asked for
DEMO_FILE, PLAN_FILE = "hayfuncs-demo-{}.xlsx", "hayfuncs-demo-{}-plan.xlsx"  # by edition
DEMO = Farm(
    LOTS, GROUPS, PRICES, WHAT, ("Heron Flat 1", "Spring calvers in milk", "corn gluten feed"), DEMO_BARN, DEMO_SEASON
)
TEMPLATE = roomy(DEMO)
