"""The cheapest mix for one lot, with everything a person asks of it.

Which limit binds, what relaxing it would save, what is missing where there is no mix, and the
numbers by which ordinary cells can prove that the mix is the cheapest:

    every line kept, every cap kept                                     (the mix is allowed)
    for each feed: price + sum(limit price x coefficient) + cap price
                         >= sum(need price x coefficient)               (the prices are allowed)
    cost = sum(need price x need) - sum(limit price x limit) - sum(cap price x cap)
"""

from __future__ import annotations

from dataclasses import astuple, dataclass
from typing import TypeAlias

from hayfuncs.leastcost.batch import SHORT, MixTable, solve_table, why_not
from hayfuncs.leastcost.model import FEED, LIMIT, NEED, Floats, RowKind

BINDS = 1e-6  # a slack below this, lb or g a day, is none
LEAST_SHOWN = 0.0005  # $ a day: less shows as nothing in three decimals
CAP_STEP_LB = 1  # steps by which a feed's own limit is relaxed to see what that saves
CAP_STEP_PCT_BW = 0.1
PLACES = {"feeds": FEED, "needs": NEED, "limits": LIMIT}
Blocks: TypeAlias = tuple[Floats, Floats, Floats]


@dataclass(frozen=True)
class MixFeed:
    """One feed: its name, then the columns of `mixmodel.FEEDS` in their order."""

    name: str
    price_per_ton: float
    dm_pct: float
    tdn_pct: float
    cp_pct: float
    ca_pct: float
    p_pct: float
    fat_pct: float
    s_pct: float
    starch_pct: float
    npn_pct: float = 0.0  # most feeds hold no urea
    max_lb: float = 1000.0  # the open ends of mixmodel.FEEDS
    max_pct_bw: float = 100.0
    max_pct_diet: float = 100.0


@dataclass(frozen=True)
class MixNeed:
    """What one lot of hay leaves short, and the hay itself: the columns of `mixmodel.NEEDS`."""

    tdn_short_lb: float
    cp_short_lb: float
    ca_short_g: float
    p_short_g: float
    hay_dm_lb: float
    hay_cp_pct: float
    hay_fat_pct: float
    hay_s_pct: float
    hay_ca_pct: float = 0.0  # count only beside MixLimits.min_ca_p
    hay_p_pct: float = 0.0


@dataclass(frozen=True)
class MixLimits:
    """The cow and the limits of her diet: the columns of `mixmodel.LIMITS`."""

    body_weight_lb: float
    room_lb: float
    max_fat_pct: float
    max_s_pct: float
    max_starch_pct_bw: float
    max_npn_pct: float
    water_s_g: float
    min_ca_p: float = 0.0  # open


@dataclass(frozen=True)
class MixProblem:
    feeds: tuple[MixFeed, ...]
    need: MixNeed
    limits: MixLimits

    def blocks(self) -> tuple[list[list[object]], list[list[object]], list[list[object]]]:
        """The three blocks as CHEAPEST_MIX takes them."""
        feeds: list[list[object]] = [list(astuple(feed)[1:]) for feed in self.feeds]
        return feeds, [list(astuple(self.need))], [list(astuple(self.limits))]


@dataclass(frozen=True)
class Line:
    """One need or limit: `supplied` against `side`, `coefficients` per lb as fed of each feed.

    `price` is the dual value, $ a day per unit of `side`.  `setting` is the cell that sets the
    line; `saves` is what relaxing it by `step` really saves, $ a day, found by solving again.
    """

    name: str
    unit: str
    at_least: bool
    coefficients: tuple[float, ...]
    side: float
    supplied: float
    price: float
    binds: bool
    setting: float
    step: float
    step_unit: str
    saves: float

    @property
    def slack(self) -> float:
        return self.supplied - self.side if self.at_least else self.side - self.supplied


@dataclass(frozen=True)
class Cap:
    """One feed's own limit; `rule` says which of its two limits is the lower one."""

    feed: str
    rule: str
    most_lb: float
    price: float
    binds: bool
    step: float
    step_unit: str
    saves: float


@dataclass(frozen=True)
class MixAnswer:
    """`pounds` as fed a day in the order of the feeds; without a mix it is empty and `missing` says why.

    `shortfalls` holds (need, unit, the least possible shortfall) for each need that cannot be met.
    """

    feasible: bool
    names: tuple[str, ...]
    pounds: tuple[float, ...]
    cost: float
    lines: tuple[Line, ...]
    caps: tuple[Cap, ...]
    dual_bound: float
    missing: tuple[str, ...] = ()
    shortfalls: tuple[tuple[str, str, float], ...] = ()

    @property
    def binding(self) -> tuple[str, ...]:
        """Each limit that holds the cost up, in words, with what relaxing it would save."""
        if not self.feasible:
            return ()
        said = [
            f"the {line.name} ({line.setting:.4g} {line.step_unit}) binds: "
            f"{line.step:g} {line.step_unit} {'less' if line.at_least else 'more'} would save {_dollars(line.saves)} a day{_first(line)}"
            for line in self.lines
            if line.binds and line.saves > 0
        ]
        said += [
            f"{cap.feed} is at its limit, {cap.rule} ({cap.most_lb:.3g} lb a day): "
            f"{cap.step:g} {cap.step_unit} more would save {_dollars(cap.saves)} a day"
            for cap in self.caps
            if cap.binds and cap.saves > 0
        ]
        return tuple(said)

    def words(self) -> str:
        """The answer as a sentence or two."""
        if not self.feasible:
            return "No mix of these feeds does it. " + "; ".join(self.missing) + "."
        fed = [f"{lb:.2f} lb {name}" for name, lb in zip(self.names, self.pounds, strict=True) if lb > 0]
        if not fed:
            return "The hay covers the need; no feed is needed."
        return "; ".join([" and ".join(fed) + f" a day as fed, ${self.cost:.3f} a day", *self.binding]) + "."


def _dollars(amount: float) -> str:
    """Three decimals; less where that would be nothing."""
    return f"${amount:.3f}" if amount >= LEAST_SHOWN else f"${amount:.1g}"


def _first(line: Line) -> str:
    """Where the whole step saves less than its first bit does, because another limit comes to bind."""
    price = line.price
    if line.unit != line.step_unit or price * line.step - line.saves < LEAST_SHOWN:
        return ""
    return f" (its first part at {_dollars(price)} a {line.step_unit.split('/')[0]}, until another limit binds)"


def explained(problem: MixProblem, feeds: Floats, need: Floats, limits: Floats) -> MixAnswer:
    """The answer to one lot whose blocks have been checked."""
    table = solve_table(feeds, need, limits, explain=True)
    names = tuple(feed.name for feed in problem.feeds)
    nothing = float("nan")
    if not table.feasible[0]:
        short = tuple(
            (kind.name, kind.unit, float(lb))
            for kind, lb in zip(table.rows, table.short[0], strict=False)
            if lb > SHORT
        )  # fmt: skip
        return MixAnswer(False, names, (), nothing, (), (), nothing, why_not(table, 0, names), short)
    blocks = (feeds, need, limits)
    cost = float(table.cost[0])
    return MixAnswer(
        True, names, tuple(float(lb) for lb in table.pounds[0]), cost,
        tuple(_line(table, at, kind, names, blocks) for at, kind in enumerate(table.rows)),
        tuple(_cap(table, at, name, blocks) for at, name in enumerate(names)),
        float(table.bound[0]),
    )  # fmt: skip


def _line(table: MixTable, at: int, kind: RowKind, names: tuple[str, ...], blocks: Blocks) -> Line:
    coefficients = table.matrix(0)[at]
    side = float(table.sides[0, at])
    supplied = float(coefficients @ table.pounds[0])
    price = float(table.prices[0, at])
    binds = abs(supplied - side) <= BINDS
    row = max(kind.feed, 0)
    setting = float(_cells(blocks, kind.block)[row, PLACES[kind.block][kind.column]])
    saves = 0.0
    if price > 0:
        saves = _saved(table, kind.block, row, kind.column, -kind.step if kind.at_least else kind.step, blocks)
    return Line(
        kind.title(names), kind.unit, kind.at_least, tuple(map(float, coefficients)), side, supplied, price, binds,
        setting, kind.step, kind.step_unit, saves,
    )  # fmt: skip


def _cap(table: MixTable, at: int, name: str, blocks: Blocks) -> Cap:
    feeds, _, limits = blocks
    by_weight = feeds[at, FEED["max_pct_bw"]] * limits[0, LIMIT["body_weight_lb"]] / 100
    if by_weight < feeds[at, FEED["max_lb"]]:
        column, step, unit = "max_pct_bw", CAP_STEP_PCT_BW, "% of body weight"
        rule = f"{feeds[at, FEED[column]]:g} % of body weight"
    else:
        column, step, unit = "max_lb", float(CAP_STEP_LB), "lb a day"
        rule = f"{feeds[at, FEED[column]]:g} lb a day"
    most, price = float(table.caps[0, at]), float(table.cap_prices[0, at])
    saves = _saved(table, "feeds", at, column, step, blocks) if price > 0 else 0.0
    return Cap(name, rule, most, price, bool(most - table.pounds[0, at] <= BINDS), step, unit, saves)


def _cells(blocks: Blocks, name: str) -> Floats:
    return blocks[list(PLACES).index(name)]


def _saved(table: MixTable, block: str, row: int, column: str, change: float, blocks: Blocks) -> float:
    """What a day costs less when one cell is moved: the mix is solved anew."""
    feeds, needs, limits = (b.copy() for b in blocks)
    cells = _cells((feeds, needs, limits), block)
    cell = row, PLACES[block][column]
    cells[cell] = max(cells[cell] + change, 0)
    again = solve_table(feeds, needs, limits, explain=False)
    return max(float(table.cost[0] - again.cost[0]), 0.0)
