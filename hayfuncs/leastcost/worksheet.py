"""The cheapest mix of feeds that covers what the hay leaves short.

`CHEAPEST_MIX` is the worksheet function.  Beside it, for Python:

    solve(MixProblem(feeds, need, limits)) -> MixAnswer   one lot, with everything explained
    solve_many(feeds, needs, limits)       -> MixTable    many lots at once, as arrays

The blocks' columns are `mixmodel.FEEDS`, `NEEDS` and `LIMITS`: plain numbers, nothing optional.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import numpy as np

from hayfuncs.contract.catalogue import CATALOGUE, Block, Ref, Result, worksheet
from hayfuncs.contract.cells import number_block
from hayfuncs.contract.errors import OutOfRange
from hayfuncs.leastcost import model as mixmodel
from hayfuncs.leastcost.batch import NAME, MixTable, solve_table, why_not
from hayfuncs.leastcost.model import Floats

if TYPE_CHECKING:
    from hayfuncs.leastcost.explain import Cap, Line, MixAnswer, MixFeed, MixLimits, MixNeed, MixProblem

__all__ = [
    "Cap", "Line", "MixAnswer", "MixFeed", "MixLimits", "MixNeed", "MixProblem", "MixTable",
    "cheapest_mix", "solve", "solve_many",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """The classes of an explained answer, loaded when first asked for: no cell needs them."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from hayfuncs.leastcost import explain as mixanswer

    return getattr(mixanswer, name)


def solve(problem: MixProblem) -> MixAnswer:
    """The cheapest mix for one lot with its limits, their shadow prices and its proof."""
    feeds, need, limits = _checked(*problem.blocks())
    from hayfuncs.leastcost.explain import explained

    return explained(problem, feeds, need, limits)


def solve_many(feeds: Any, needs: Any, limits: Any, explain: bool = True) -> MixTable:
    """The cheapest mix for every row of `needs`; `limits` has one row for all, or one for each."""
    feeds, needs, limits = _checked(feeds, needs, limits)
    return solve_table(feeds, needs, limits, explain)


def _checked(*blocks: Any) -> list[Floats]:
    """The blocks as floats, refused with the messages of the worksheet function."""
    record = CATALOGUE[NAME]
    return [
        number_block(record, name, arg, block)
        for (name, arg), block in zip(record.args.items(), blocks, strict=True)
        if isinstance(arg, Block)
    ]


@worksheet(
    NAME,
    "Supplement",
    "Least-cost amounts of any number of feeds that cover what the hay leaves short, within the limits given.",
    equation="least sum(price x lb) with needs covered, room, feed, fat, sulfur, starch and urea limits kept",
    refs=(Ref("definition", "linear program, solved by HiGHS", "common practice, no source"),),
    no_longhand=(
        "solved as a linear program; the workbook proves the answer in ordinary cells: "
        "every limit is met and the cost equals the dual bound"
    ),
)
def cheapest_mix(
    feeds: Annotated[
        np.ndarray,
        Block("The feeds, one a row", "as the column says", "give all 13 columns as numbers", mixmodel.FEEDS),
    ],
    needs: Annotated[
        np.ndarray,
        Block(
            "What each lot of hay leaves short, one lot a row",
            "as the column says",
            "give all 8 columns as numbers",
            mixmodel.NEEDS,
            by_row=True,
        ),
    ],
    limits: Annotated[
        np.ndarray,
        Block(
            "Cow and limits: one row for all lots, or one a lot",
            "as the column says",
            "give all 7 columns as numbers",
            mixmodel.LIMITS,
            by_row=True,
        ),
    ],
) -> Annotated[
    np.ndarray, Result("lb as fed a day of each feed, then $ a day; one row a lot", "as the column says", 0, block=True)
]:
    """The cheapest mix of feeds, for one lot of hay or for many in one call.

    Purpose: with several feeds, needs and limits the cheapest combination is not seen by eye.
    Equation: the least sum of price x pounds over all amounts of 0 or more, such that
        TDN, protein, calcium and phosphorus from the feeds cover what the hay leaves short;
        the feeds' dry matter fits into the room beside the hay; no feed exceeds its own limits
        (lb a day, % of body weight as fed, % of the diet's dry matter); fat and sulfur stay
        under their share of the whole diet's dry matter (hay, and water's sulfur, counted),
        starch from the feeds under its share of body weight, and protein from urea under its
        share of the whole diet's protein.  The hay is given: the feeds displace none of it.
    Arguments: feeds - a row a feed, 13 columns: price_per_ton $/ton as fed; dm_pct % as fed;
        tdn_pct, cp_pct, ca_pct, p_pct, fat_pct, s_pct, starch_pct % DM; npn_pct, the share of
        the protein that is urea or other non-protein nitrogen, % of CP; max_lb lb as fed/day;
        max_pct_bw % of body weight/day; max_pct_diet % of the diet's dry matter.
        needs - a row a lot, 8 columns: tdn_short_lb, cp_short_lb lb/day; ca_short_g, p_short_g
        g/day (0 when met); hay_dm_lb lb DM/day; hay_cp_pct, hay_fat_pct, hay_s_pct % DM.
        limits - one row for all lots or a row a lot, 7 columns: body_weight_lb lb; room_lb lb
        DM/day; max_fat_pct, max_s_pct % of diet DM; max_starch_pct_bw % of body weight;
        max_npn_pct % of diet CP; water_s_g g/day.
        Every cell is a number.  A maximum of 0 means none; a maximum that is not to count is
        its largest value (100 %, or 1000 lb).
    Result: a row a lot: lb as fed a day of each feed in the order given, then $ a day.  At
        equal cost the feed named first is taken.
    Errors: BadInput for blanks, text or a missing column; OutOfRange for impossible numbers.
        With one lot that has no mix OutOfRange names the needs that cannot be covered and by
        how much; among several lots its row is NaN.
    Source: definition of a linear program.  Urea, grain, fat, sulfur and whole cottonseed can
        hurt cattle: the limits are yours to set with the veterinarian or extension office.
    Example: soybean meal at $400 a ton, 90 % dry matter and 50 % protein, 0.9 lb of protein short:
        cheapest_mix([[400, 90, 84, 50, 0.4, 0.7, 1.6, 0.46, 0, 0, 1000, 100, 100]],
        [[0, 0.9, 0, 0, 20, 6, 2, 0.2]], [[1000, 8, 100, 100, 100, 100, 0]])
        is 2.0 lb for $0.40 a day.
    """
    table = solve_table(feeds, needs, limits, explain=len(needs) == 1)
    if len(needs) == 1 and not table.feasible[0] and not np.isnan(table.short).any():
        raise OutOfRange(
            NAME, "needs", "out of reach: " + "; ".join(why_not(table, 0)), "what the feeds can do within the limits",
            "raise a limit, allow more of a feed, add a feed, or feed better hay",
        )  # fmt: skip
    return np.column_stack([table.pounds, table.cost])
