"""The cheapest mix for every pair of lot and group, solved once the workbook's needs are computed.

The workbook cannot solve a linear program in cells.  It holds the answer as values and proves
it in ordinary cells: every limit met, no feed cheaper than what it would save, and the cost
equal to the bound that these prices give.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from hayfuncs.contract.units import GRAMS_PER_LB
from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost import worksheet as mix
from hayfuncs.leastcost.batch import why_not
from hayfuncs.ration import feeds as feed_table
from hayfuncs.winter.problem import MOST_PROTEIN_PCT
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.feeds import UREA
from hayfuncs.workbook.write import Values

MOST_TEXT = 900
MOST_PAIRS = 400  # more would make the file heavy; further lots have no answer on the sheet
KEPT_PRICES = 10  # of TDN, CP, Ca, P, room, fat, sulfur, grain, urea and calcium beside phosphorus
WORDS_FOR = 60  # pairs for which the saving of each limit is worked out, each by solving again
OPEN_LB, OPEN_PCT = 1000.0, 100.0  # a limit that does not count
LATER = "not solved: this lot or group was typed after the workbook was made; run hayfuncs rebuild"
NAMED = (
    "mix_room_pct_bw",
    "mix_fat_pct",
    "mix_s_pct",
    "mix_grain_pct_bw",
    "mix_npn_pct",
    "hay_fat_untested",
    "hay_s_untested",
    "hay_ca_untested",
    "hay_p_untested",
)
NEEDED = ("price", "dm_pct", "tdn_pct", "cp_pct", "ca_pct", "p_pct", "fat_pct", "s_pct")


@dataclass(frozen=True)
class Offer:
    """A feed in the mix: its row of Feeds (from 1), its name, and its own limits."""

    row: int
    name: str
    most_lb: float
    most_pct_bw: float
    most_pct_diet: float
    grain: bool  # starchy grain, which is limited all together
    npn_pct: float  # share of its protein that is urea
    mineral: str = ""  # how the cells of a mineral source begin on Assumptions; it has no row of Feeds


@dataclass(frozen=True)
class Answer:
    lot: int
    group: int
    solved: bool
    pounds: tuple[float, ...]
    prices: tuple[float, ...]  # of TDN, CP, Ca, P, room, fat, sulfur, grain, urea
    caps: tuple[float, ...]
    shares: tuple[float, ...]
    words: str


def offers(book: Book) -> tuple[list[Offer], list[str]]:
    """The feeds whose price and composition are all there, and the names of those left out."""
    sheet, at = book.by_name("Feeds"), book.marks["feeds_at"]
    limits = {str(row["feed"]).casefold(): row for row in feed_table.wide_limits()}
    found: list[Offer] = []
    out: list[str] = []
    for i in range(book.marks["feeds"]["n"]):
        row = {k: sheet.cells[FIRST + i, at[k]].content for k in (*NEEDED, "name", "book", "grain")}
        if not row["name"]:
            continue
        if any(row[k] is None for k in NEEDED):
            out.append(str(row["name"]))
            continue
        own = limits.get(str(row["book"]).casefold(), {})
        lb, bw, diet = (own.get(k) for k in ("limit_lb_day", "limit_pct_bw", "limit_pct_diet"))
        caps = (_or(lb, OPEN_LB), _or(bw, OPEN_PCT), _or(diet, OPEN_PCT))
        found.append(Offer(i + 1, str(row["name"]), *caps, _is_grain(row["grain"], own), _npn(row)))
    if found:
        most = _number(_input(book, "mineral_most_lb"))
        found += [Offer(0, name, most, OPEN_PCT, OPEN_PCT, False, 0.0, mark) for name, mark, _ in MINERALS]
    return found, out


def _npn(row: Mapping[str, object]) -> float:
    """All of a feed's protein counts as urea's where the sheet Feeds works out that it has urea in it."""
    named = any(UREA in str(row[k]).casefold() for k in ("name", "book"))
    return 100.0 if named or (isinstance(cp := row["cp_pct"], (int, float)) and cp > MOST_PROTEIN_PCT) else 0.0


def _is_grain(typed: object, limits: Mapping[str, object]) -> bool:
    """As the sheet Feeds works it out: what is typed, else the feed book, else yes.

    The feeding limits give a danger line by body weight for starchy grains alone.
    """
    if isinstance(typed, (int, float)):
        return typed != 0
    return not limits or limits["danger_pct_bw"] is not None


def _or(value: object, otherwise: float) -> float:
    return float(value) if isinstance(value, (int, float)) else otherwise


def lots_solved(groups: int) -> int:
    """How many lots, from the first, have their mixes solved."""
    return max(1, MOST_PAIRS // groups)


def unsolved(book: Book, offered: list[Offer]) -> list[Answer]:
    """A row for each pair, its answer left at 0: for a model whose values are of no account."""
    lots, groups = book.marks["lots"]["n"], book.marks["herd"]["n"]
    none = (0.0,) * len(offered)
    pairs = ((lot, group) for lot in range(min(lots, lots_solved(groups))) for group in range(groups))
    return [Answer(lot + 1, group + 1, False, none, (0.0,) * KEPT_PRICES, none, none, LATER) for lot, group in pairs]


def least_ca_p(book: Book) -> float:
    """The least calcium for each part of phosphorus, which stands on Winter."""
    sheet, row, col = book.inputs["Winter/plan_min_ca_p"]
    return _number(book.by_name(sheet).cells[row, col].content)


def solve(book: Book, values: Values, feeds: list[list[float]], offered: list[Offer], min_ca_p: float) -> list[Answer]:
    """The answers for the pairs of a workbook's first lots, from its own computed needs."""
    pairs, needs, limits = _pairs(book, values, min_ca_p)
    table = mix.solve_many(feeds, needs, limits, explain=True)
    kinds = [row.name for row in mixmodel.ROWS]
    kept = [
        kinds.index(n)
        for n in ("TDN need", "crude protein need", "calcium need", "phosphorus need", "room for supplement")
    ]
    kept += [kinds.index("fat limit of the diet"), kinds.index("sulfur limit of the diet")]
    kept += [kinds.index("starch limit"), kinds.index("urea limit of the diet")]
    kept += [kinds.index("calcium beside phosphorus")]
    share_of = {int(feed): len(kinds) + k for k, feed in enumerate(mixmodel.shared(np.array(feeds)))}
    names = tuple(o.name for o in offered)
    answers: dict[tuple[int, int], Answer] = {}
    for p, (lot, group) in enumerate(pairs):
        if table.feasible[p]:
            shares = tuple(float(table.prices[p, share_of[i]]) if i in share_of else 0.0 for i in range(len(offered)))
            prices = tuple(float(table.prices[p, k]) for k in kept)
            words = _words(feeds, needs[p], limits[p], names) if len(pairs) <= WORDS_FOR else ""
            pounds, caps = tuple(map(float, table.pounds[p])), tuple(map(float, table.cap_prices[p]))
            answers[lot, group] = Answer(lot, group, True, pounds, prices, caps, shares, words)
        else:
            nothing = (0.0,) * len(offered)
            why = whole_parts(why_not(table, p, names)) or "no mix"
            answers[lot, group] = Answer(lot, group, False, nothing, (0.0,) * len(kept), nothing, nothing, why)
    return [answers.get((free.lot, free.group), free) for free in unsolved(book, offered)]


def whole_parts(parts: Sequence[str]) -> str:
    """As many parts as a cell's text holds, none cut in the middle."""
    said = ""
    for part in parts:
        if len(said) + len(part) > MOST_TEXT:
            return f"{said}; and more" if said else part[:MOST_TEXT].rsplit(" ", 1)[0]
        said = f"{said}; {part}" if said else part
    # the limit on starch is used for grain: all of a grain's dry matter counts
    return said.replace("starch limit", "grain limit")


def _words(feeds: list[list[float]], need: list[float], limits: list[float], names: tuple[str, ...]) -> str:
    offered = tuple(mix.MixFeed(name, *row) for name, row in zip(names, feeds, strict=True))
    answer = mix.solve(mix.MixProblem(offered, mix.MixNeed(*need), mix.MixLimits(*limits)))
    return whole_parts(answer.binding)


def rows(book: Book, offered: list[Offer]) -> list[list[float]]:
    """The feeds as CHEAPEST_MIX takes them, a row each."""
    sheet, at = book.by_name("Feeds"), book.marks["feeds_at"]
    made = []
    for offer in offered:
        if offer.mineral:  # contents as fed: all of it counts as dry matter
            price, ca, p = (_number(_input(book, f"{offer.mineral}_{k}")) for k in ("price", "ca_pct", "p_pct"))
            made.append([price, 100.0, 0.0, 0.0, ca, p, 0.0, 0.0, 0.0, 0.0, offer.most_lb, OPEN_PCT, OPEN_PCT])
            continue
        got = [float(_number(sheet.cells[FIRST + offer.row - 1, at[k]].content)) for k in NEEDED]
        made.append([*got, 100.0 * offer.grain, offer.npn_pct, offer.most_lb, offer.most_pct_bw, offer.most_pct_diet])
    return made


def _number(value: Any) -> float:
    assert isinstance(value, (int, float))
    return float(value)


def _pairs(
    book: Book, values: Values, min_ca_p: float
) -> tuple[list[tuple[int, int]], list[list[float]], list[list[float]]]:
    lots, herd = book.marks["lots"]["n"], book.marks["herd"]["n"]
    at, herd_at = book.marks["lots_at"], book.marks["herd_at"]
    lab = book.by_name("Lots").cells
    cows = book.by_name("Herd").cells
    named = {k: _number(_input(book, k)) for k in NAMED}
    pairs, needs, limits = [], [], []
    for lot in range(min(lots, lots_solved(herd))):
        row = FIRST + lot
        if not lab[row, at["name"]].content:  # a free row
            continue
        divisor = _number(values["Lots", row, at["divisor"]])

        def dry(field: str, row: int = row, divisor: float = divisor) -> float | None:
            value = lab[row, at[f"lab_{field}"]].content
            return None if value is None else _number(value) / divisor * 100

        for group in range(herd):
            if not cows[FIRST + group, herd_at["name"]].content:
                continue
            match = FIRST + lot * herd + group
            hay = _number(values["Match", match, 6])
            short, held = {}, {}
            for mineral in ("ca", "p"):
                tested = dry(f"{mineral}_pct")
                held[mineral] = percent = named[f"hay_{mineral}_untested"] if tested is None else tested
                need = _number(values["Herd", FIRST + group, herd_at[f"need_{mineral}"]])
                short[mineral] = max(0.0, need - hay * percent / 100 * GRAMS_PER_LB)
            fat, sulfur = dry("fat_pct"), dry("s_pct")
            weight = _number(cows[FIRST + group, herd_at["weight"]].content)
            pairs.append((lot + 1, group + 1))
            needs.append(
                [
                    _number(values["Match", match, 9]), _number(values["Match", match, 12]), short["ca"], short["p"], hay,
                    _number(values["Lots", row, at["cp"]]), named["hay_fat_untested"] if fat is None else fat,
                    named["hay_s_untested"] if sulfur is None else sulfur, held["ca"], held["p"],
                ]
            )  # fmt: skip
            room = weight * named["mix_room_pct_bw"] / 100
            limits.append(
                [
                    weight,
                    room,
                    named["mix_fat_pct"],
                    named["mix_s_pct"],
                    named["mix_grain_pct_bw"],
                    named["mix_npn_pct"],
                    0.0,
                    min_ca_p,
                ]
            )
    return pairs, needs, limits


def _input(book: Book, name: str) -> Any:
    sheet, row, col = book.inputs[f"Assumptions/{name}"]
    return book.by_name(sheet).cells[row, col].content
