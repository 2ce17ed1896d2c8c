"""From the workbook's own cells to the winter plan: the farm read, the plan solved, both rules' rows.

The cells hold every number the plan needs (Winter, Winter herd, Winter feeds); nothing is worked
out a second way here, so that the plan and the sheets cannot differ.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import hayfuncs
from hayfuncs.contract.errors import HayError, listing
from hayfuncs.cow.classes import COW, GROWING
from hayfuncs.hazards.toxins import SCALES
from hayfuncs.importers.model import AT_LEAST
from hayfuncs.winter import solve as winter
from hayfuncs.winter.feeding import EasyPlan
from hayfuncs.winter.model import Progress
from hayfuncs.winter.nitrate import MOST_PPM
from hayfuncs.winter.problem import LONGEST_DAYS, MONTHS
from hayfuncs.workbook import wintersources, write
from hayfuncs.workbook.easyplanning import HURRIED, SOLVED, Asked, in_bales, only_hurried
from hayfuncs.workbook.model import Book, place_of
from hayfuncs.workbook.plancautions import Tested
from hayfuncs.workbook.sheets import solvedfrom
from hayfuncs.workbook.sheets.cautions import NITRATE, OTHERS
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.feeds import NOT_SAID
from hayfuncs.workbook.sheets.hazards import AT_LEAST_SAYS
from hayfuncs.workbook.sheets.levels import WORDS
from hayfuncs.workbook.sheets.plansheet import Solution
from hayfuncs.workbook.sheets.winterfeeds import (
    BOUGHT,
    FEED,
    IN_PLAN,
    MINERAL,
    NO_PRICE,
    NO_UREA,
    OPEN_PCT,
    OWN,
)
from hayfuncs.workbook.signposts import on_tab

# the sheets that the plan's numbers follow from
NEEDED = (
    "Assumptions",
    "Register",
    "Lots",
    "Herd",
    "Need by class",
    "Feeds",
    "Stock",
    "Hay pile",
    "Hazards",
    "Winter",
    "Winter herd",
    "Hay to buy",
    "Winter feeds",
    "Feed book",
    "Tables",
)
MOST_WORDS = 600
NOTHING_KNOWN = Tested()


@dataclass(frozen=True)
class Assumed:
    """A lot without a price of its own: the price it counts at, $/ton as fed, and where that comes from."""

    name: str
    price: float
    source: str


@dataclass(frozen=True)
class Solved:
    """Both plans, where there is something to plan; else why not."""

    farm: winter.Farm | None
    plan: winter.WinterPlan | None
    plain: winter.WinterPlan | None
    solution: Solution
    bought: tuple[int, ...] = ()  # rows of Winter feeds, from 1
    tested: Tested = NOTHING_KNOWN
    assumed: tuple[Assumed, ...] = ()
    market: Mapping[str, float] = field(default_factory=dict)  # lot -> what a ton as fed would bring, $
    easy: EasyPlan | None = None  # the plan in whole bales, where it is one

    @property
    def rows(self) -> Sequence[winter.PlanRow]:
        return self.plan.rows if self.plan else ()

    @property
    def plain_rows(self) -> Sequence[winter.PlanRow]:
        return self.plain.rows if self.plain else ()


NOT_SOLVED = Solved(None, None, None, Solution(None, "Not solved."))


def solve(book: Book, progress: Progress | None = None, asked: Asked | None = None) -> Solved:
    """The plan for the numbers that the book's cells hold now; in whole bales where that is asked."""
    read = Reader(book, write.compute(book.part(NEEDED)))
    try:
        farm = in_bales(read.table, read.farm())
    except NoFarm as why:
        return Solved(None, None, None, Solution(None, str(why)))
    try:
        needs = winter.needs_of(farm)
        cheapest = winter.plan(farm, needs, progress) if asked is None else asked.plan(farm, needs, progress)
        plan, plain = cheapest, winter.plain_plan(farm, needs)
    except HayError as why:
        return Solved(farm, None, None, Solution(None, f"No plan: {_why(why)}"[:MOST_WORDS]))
    easy = None if asked is None else asked.found
    names = {p.name for p in plan.purchases}
    bought = tuple(i for i, s in enumerate(read.table("Winter feeds", "sources"), 1) if s["name"] in names)
    if plan.feasible:
        solved = "Solved by hayfuncs as one linear program." if asked is None else SOLVED
        beside = () if easy is None else (easy.cheapest, plan.cost)
        solution = Solution(plan.dual_bound, solved, solvedfrom.then(book, read.at), *beside)
        return Solved(farm, plan, plain, solution, bought, read.tested(), read.assumed(), read.market(), easy)
    missed = "; ".join(f.words() for f in plan.failures)
    least = "Not every need can be met with what there is; this is the plan least short."
    if only_hurried(easy):
        least = HURRIED
    words = f"{least} {missed}"
    shown = words if len(words) <= MOST_WORDS else words[: MOST_WORDS - 4] + " ..."
    return Solved(farm, plan, plain, Solution(None, shown), bought, read.tested(), read.assumed(), read.market(), easy)


def _why(refused: HayError) -> str:
    """The refusal without the name of the function, which "No plan" says already."""
    return str(refused).removeprefix(f"{refused.function}: ")


class NoFarm(ValueError):
    """Why there is nothing to plan yet, in words."""


class Reader:
    """Values of the cells by sheet, row and column, computed or typed."""

    def __init__(self, book: Book, values: write.Values) -> None:
        self.book, self.values = book, values

    def cell(self, sheet: str, row: int, col: int) -> Any:
        if (sheet, row, col) in self.values:
            return self.values[sheet, row, col]
        cell = self.book.by_name(sheet).cells.get((row, col))
        return None if cell is None else cell.content

    def table(self, sheet: str, mark: str) -> list[dict[str, Any]]:
        at, n = self.book.marks[f"{mark}_at"], self.book.marks[mark]["n"]
        return [{name: self.cell(sheet, FIRST + i, col) for name, col in at.items()} for i in range(n)]

    def at(self, ref: str) -> Any:
        sheet, row, col, _, _ = place_of(ref)
        return self.cell(sheet, row, col)

    def typed(self, key: str) -> Any:
        sheet, row, col = self.book.inputs[key]
        return self.book.by_name(sheet).cells[row, col].content

    def farm(self) -> winter.Farm:
        start, turnout = self.typed("Hay pile/start"), self.typed("Hay pile/turnout")
        _check_dates(start, turnout)
        every = self.table("Winter feeds", "sources")
        _check_prices(every)
        sources = [s for s in every if s["state"] == IN_PLAN]
        lots = tuple(wintersources.lot(s) for s in sources if s["what"] == OWN)
        out = [
            f"{s['name']} ({s['state']})"
            for s in every
            if s["what"] == OWN and s["state"] != IN_PLAN and wintersources.tons(s) > 0
        ]
        if out and not any(lot.tons > 0 for lot in lots):
            raise NoFarm(
                f"No plan: every lot with hay in store is left out: {', '.join(out)}. See {on_tab('Winter feeds')}."
            )
        if not any(lot.tons > 0 for lot in lots):
            raise NoFarm(
                f"No plan yet: no lot has hay in store. Type tons on Lots, or bales and their weight on {on_tab('Register')}; then run hayfuncs plan."
            )
        more = {i: float(self.typed(f"Winter/more_{month.lower()}")) for i, month in enumerate(MONTHS, 1)}
        number = {
            k: float(self.typed(f"Winter/{k}"))
            for k in (
                "plan_most_pct",
                "plan_least_pct",
                "plan_hay_pct",
                "plan_fiber_pct_bw",
                "plan_grain_pct_bw",
                "plan_calving_days",
                "plan_mixed",
                "plan_halves",
                "plan_min_ca_p",
            )
        }
        assumed = {k: float(self.typed(f"Assumptions/{k}")) for k in ("mix_fat_pct", "mix_s_pct", "shrink_pct")}
        return winter.Farm(
            lots, tuple(wintersources.offer(s) for s in sources if s["what"] == BOUGHT),
            tuple(wintersources.feed(s) for s in sources if s["what"] == FEED), self.groups(), start, turnout,
            max_intake_pct=number["plan_most_pct"], min_intake_pct=number["plan_least_pct"], min_hay_pct=number["plan_hay_pct"],
            ndf_capacity_pct_bw=number["plan_fiber_pct_bw"], max_fat_pct=assumed["mix_fat_pct"], max_s_pct=assumed["mix_s_pct"],
            hay_is_mixed=number["plan_mixed"] == 1, max_grain_pct_bw=number["plan_grain_pct_bw"], calving_season_days=number["plan_calving_days"],
            shrink_pct=assumed["shrink_pct"], more_energy_pct={k: v for k, v in more.items() if v},
            minerals=tuple(wintersources.mineral(s) for s in sources if s["what"] == MINERAL), min_ca_p=number["plan_min_ca_p"],
            in_halves=number["plan_halves"] == 1,
        )  # fmt: skip

    def assumed(self) -> tuple[Assumed, ...]:
        """Own hay that is planned with at a price that nobody typed for it."""
        found = self.table("Winter feeds", "sources")
        return tuple(Assumed(str(s["name"]), float(s["price"]), str(s["priced"])) for s in found if s["assumed"] == 1)

    def market(self) -> dict[str, float]:
        """What a ton of each lot would bring."""
        found = self.table("Winter feeds", "sources")
        return {str(s["name"]): float(s["price"]) for s in found if s["what"] == OWN and isinstance(s["price"], (int, float))}  # fmt: skip

    def tested(self) -> Tested:
        """What the sheets Lots and Hazards say of the lots beside the values planned with."""
        lots, hazards = self.table("Lots", "lots"), self.table("Hazards", "hazards")
        sources = self.table("Winter feeds", "sources")
        missing: list[str] = []
        heated: dict[str, tuple[float, float]] = {}
        dangers: dict[str, tuple[tuple[str, str], ...]] = {}
        out: dict[str, str] = {}
        nitrate: dict[str, str] = {}
        below = float(self.typed("Winter/plan_nitrate_below_pct"))
        for s in (s for s in sources if s["what"] == OWN and s["name"]):
            lot, hazard = lots[int(s["row"]) - 1], hazards[int(s["row"]) - 1]
            dangers[str(s["name"])] = tuple(_dangers(hazard))
            if isinstance(hazard["nitrate"], (int, float)) and s["most_calf"] < OPEN_PCT:
                nitrate[str(s["name"])] = _stricter(float(hazard["nitrate"]), below, str(hazard["nitrate_limit"] or ""))
            if s["state"] != IN_PLAN:
                out[str(s["name"])] = str(s["state"])
                continue
            if not isinstance(hazard["nitrate"], (int, float)):
                missing.append(str(s["name"]))
            if isinstance(hazard["bound"], (int, float)) and s["cp"] != lot["cp"]:
                heated[str(s["name"])] = float(lot["cp"]), float(s["cp"])
        offers = self.table("Hay to buy", "offers")
        for s in (s for s in sources if s["what"] == BOUGHT and s["name"]):
            test, name = offers[int(s["row"]) - 1]["nitrate_n_ppm"], str(s["name"])
            if not isinstance(test, (int, float)):
                missing += [name] if s["state"] == IN_PLAN else []
            elif s["most_calf"] < OPEN_PCT:
                nitrate[name] = _stricter(float(test), below)
                if s["state"] != IN_PLAN:
                    out[name] = str(s["state"])
        urea = tuple(str(s["name"]) for s in sources if s["state"] == NO_UREA)
        unsaid = tuple(str(f["name"]) for f in self.table("Feeds", "feeds") if f["grain_said"] == NOT_SAID)
        book = {str(s["name"]): str(s["book"]) for s in sources if s["what"] == FEED and s["book"]}
        return Tested(tuple(missing), heated, urea, book, dangers, out, nitrate, unsaid)

    def groups(self) -> tuple[winter.Group, ...]:
        found = []
        for cows, season in zip(self.table("Herd", "herd"), self.table("Winter herd", "season_herd"), strict=True):
            if not cows["name"]:  # a free row
                continue
            kind = str(cows["cattle_class"] or COW)
            calves = kind not in GROWING
            of_cow = {
                "calving_date": season["calving"], "weaning_date": season["weaning"],
                "peak_milk_lb": _given(cows["milk"]), "calf_weight_lb": _given(cows["calf"]), "condition_score": _given(cows["score"]),
                "condition_wanted": _given(cows["wanted"]), "condition_days": _given(cows["days"]),
            }  # fmt: skip
            found.append(
                winter.Group(
                    str(cows["name"]), float(cows["head"]), float(cows["weight"]), _given(season["loss"]),
                    min_intake_pct=float(season["least"]), cattle_class=kind, grown_weight_lb=_given(cows["grown"]), gain_lb=_given(cows["gain"]),
                    **(of_cow if calves else {}),
                )
            )  # fmt: skip
        return tuple(found)


def _given(value: Any) -> Any:
    """The number of a cell; None where it holds none."""
    return float(value) if isinstance(value, (int, float)) else None


def _dangers(hazard: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Each hazard of a row of Hazards that is a danger, in its own words; nitrate once, by the first scale that says so."""
    bad = [(c, str(hazard[c.key])) for c in (*NITRATE, *OTHERS) if str(hazard[c.key]).startswith(WORDS[3])]
    first = next((c for c, _ in bad if c in NITRATE), None)
    yield from ((c.head, text) for c, text in bad if c not in NITRATE or c is first)


def _stricter(nitrate_n_ppm: float, below_pct: float, limit: str = "") -> str:
    """The test, what the plan counts it as, and what the stricter scale says of such hay for cows in calf."""
    if limit == AT_LEAST:
        return f"Nitrate nitrogen {limit} {nitrate_n_ppm:,.0f} ppm. {AT_LEAST_SAYS}"
    counted = min(MOST_PPM, nitrate_n_ppm / (1 - below_pct / 100))
    scale = min(SCALES, key=lambda scale: hayfuncs.nitrate_most_share(counted, True, scale))
    return (
        f"Nitrate nitrogen {nitrate_n_ppm:,.0f} ppm, counted as {counted:,.0f} to stay below each limit. "
        f"{hayfuncs.nitrate_caution(counted, True, scale)}"
    )


def _check_prices(sources: list[dict[str, Any]]) -> None:
    """Own hay is not free because no price was typed."""
    names = [str(s["name"]) for s in sources if s["assumed"] == 1 and s["priced"] == NO_PRICE]
    if names:
        raise NoFarm(
            f"No plan: own hay without any price to count ({listing(names)}). Type a price on {on_tab('Stock')}, or of hay to buy on Hay pile; "
            f"or 0 % for own hay on {on_tab('Winter')}, where it is paid for and only buying counts."
        )


def _check_dates(start: Any, turnout: Any) -> None:
    """Refuses, naming both dates and where each is given."""
    if isinstance(start, dt.date) and isinstance(turnout, dt.date) and 1 <= (turnout - start).days <= LONGEST_DAYS:
        return
    first, last = (str(day) if isinstance(day, dt.date) else "not entered" for day in (start, turnout))
    raise NoFarm(
        f"No plan: feeding begins {first} (--start, or Hay pile) and turnout is {last} (--turnout, or Hay pile); allowed: "
        f"turnout 1 to {LONGEST_DAYS} days after the start; give hayfuncs plan both options, or type both dates on Hay pile."
    )
