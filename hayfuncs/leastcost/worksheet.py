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
            "give all 8 columns as numbers, or all 10",
            mixmodel.NEEDS,
            by_row=True,
            optional=mixmodel.OPTIONAL_NEEDS,
        ),
    ],
    limits: Annotated[
        np.ndarray,
        Block(
            "Cow and limits: one row for all lots, or one a lot",
            "as the column says",
            "give all 7 columns as numbers, or all 8",
            mixmodel.LIMITS,
            by_row=True,
            optional=mixmodel.OPTIONAL_LIMITS,
        ),
    ],
) -> Annotated[
    np.ndarray, Result("lb as fed a day of each feed, then $ a day; one row a lot", "as the column says", 0, block=True)
]:
    """The cheapest mix of feeds, for one lot of hay or for many in one call.

    With several feeds, needs and limits the cheapest combination is not seen by eye.

    The least sum of price x pounds over all amounts of 0 or more, such that TDN, protein, calcium and
    phosphorus from the feeds cover what the hay leaves short; the feeds' dry matter fits into the room beside
    the hay, of which the feeds displace none; no feed exceeds its own limits (lb a day, % of body weight as
    fed, % of the diet's dry matter); fat and sulfur stay under their share of the whole diet's dry matter (hay,
    and water's sulfur, counted), starch from the feeds under its share of body weight, and protein from urea
    under its share of the whole diet's protein; the whole diet, hay counted, has min_ca_p of calcium for each
    part of phosphorus (its column and the hay's calcium and phosphorus, the last ones, may be left out: it does
    not count then). Every cell is a number: a maximum of 0 means none, and one that
    is not to count is its largest value (100 %, or 1000 lb). At equal cost the feed named first is taken. With
    one lot that has no mix the error names the needs that cannot be covered and by how much; among several lots
    its row is NaN. Urea, grain, fat, sulfur and whole cottonseed can hurt cattle: the limits are yours to set
    with the veterinarian or extension office.

    Soybean meal at $400 a ton, 90 % dry matter and 50 % protein, 0.9 lb of protein short: pounds, then dollars
    a day:

    >>> feeds = [[400, 90, 84, 50, 0.4, 0.7, 1.6, 0.46, 0, 0, 1000, 100, 100]]
    >>> cheapest_mix(feeds, [[0, 0.9, 0, 0, 20, 6, 2, 0.2]], [[1000, 8, 100, 100, 100, 100, 0]])
    array([[2. , 0.4]])
    """
    table = solve_table(feeds, needs, limits, explain=len(needs) == 1)
    if len(needs) == 1 and not table.feasible[0] and not np.isnan(table.short).any():
        raise OutOfRange(
            NAME, "needs", "out of reach: " + "; ".join(why_not(table, 0)), "what the feeds can do within the limits",
            "raise a limit, allow more of a feed, add a feed, or feed better hay",
        )  # fmt: skip
    return np.column_stack([table.pounds, table.cost])
