"""Plan: pounds of each hay and feed for each group and month, to be changed by hand; Plain rule: the same by a rule.

Every other number of the winter plan is worked out from these rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.levels import flag_dangers
from hayfuncs.workbook.sheets.planrows import AT_DANGER, PlainRows, PlanRows
from hayfuncs.workbook.sheets.solvedfrom import SINCE, Then
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT, WinterFeeds

SPARE_ROWS = 12  # for amounts that are added by hand
NOT_FED = "Not fed"
LEAST, TOLD = 3, 4  # columns of what stands above the heads: the least cost, and what is told


@dataclass(frozen=True)
class Solution:
    """What the solver said, as values: no cell can work these out."""

    bound: float | None  # dollars below which no plan can cost
    words: str  # how it went, or why there is no plan
    solved_from: Sequence[Then] | None = None  # what stood in every cell that it was solved from
    cheapest: float | None = None  # dollars that amounts of any kind would cost, beside a plan in whole bales
    cost: float | None = None  # dollars of the plan in whole bales, as solved


def fill(book: Book, rows: Sequence[PlanRow], kept: int) -> None:
    """`kept` rows are left for an older workbook's amounts; without, the solved rows."""
    sheet = begin(
        book, "Plan", "The winter plan: what each group gets, month by month",
        "Pounds as fed, a head and a day, put out (waste included). Change any amount, or use the free rows at the end: all sheets follow.",
        "Inputs, then workings",
    )  # fmt: skip
    _rest(PlanRows(sheet, [*([None] * kept if kept else rows), *[None] * SPARE_ROWS]), "plan")


def above_all(book: Book) -> None:
    """Above the rows of either kind of plan: that nobody feeds by what does not hold, what has changed, and what is dangerous."""
    sheet = book.by_name("Plan")
    at = (FIRST - 5, TOLD)
    stop = '"✗ Do not feed by this plan while a check fails: "&plan_stop&". See Checks."'
    price = 'IF(COUNT(plan_cheapest)=1,plan_price,"")'
    sheet.put(*at, Formula(f'=IF(plan_stop="",IF(plan_changes=0,{price},plan_changed),{stop})'), "text")
    sheet.flags += [Flagging((*at, *at), word, "flag_bad") for word in ("✗", SINCE)]
    _at_danger(book, sheet)


def _at_danger(book: Book, sheet: Sheet) -> None:
    """So that nobody feeds by them before reading: how many rows feed a lot at danger, how many lots are left out."""
    fed = f'COUNTIF({book.find(PlanRows).caution},"{AT_DANGER}*")'
    out = f'COUNTIF({book.find(WinterFeeds).state},"{LEFT_OUT}*")'
    says = f'"Rows that feed a lot at danger: "&{fed}&". Read Cautions of the lot and the sheet Hazards before it is fed. "'
    first = f'INDEX({book.find(WinterFeeds).name},MATCH("{LEFT_OUT}*",{book.find(WinterFeeds).state},0))'
    why = f'MID(INDEX({book.find(WinterFeeds).state},MATCH("{LEFT_OUT}*",{book.find(WinterFeeds).state},0)),{len(LEFT_OUT) + 1},99)'
    why = f'LEFT({why},FIND(",",{why}&",")-1)'  # in a word: the line ends where the window does
    left = f'"{NOT_FED}: "&{first}&" ("&{why}&")"&IF({out}=1,"",", and "&{out}-1&" more")&"; see Winter feeds."'
    changed = 'IF(plan_stop="",""," "&plan_changed)'  # where the line above it says that a check fails
    at = (FIRST - 4, TOLD)  # below the stop; the links of the head stand at the left
    book.marks["plan_dangers"] = sheet.put(
        *at, Formula(f'=TRIM(IF({fed}=0,"",{says})&IF({out}=0,"",{left})&{changed})'), "text"
    )
    sheet.flags += [Flagging((*at, *at), word, "flag_bad") for word in ("danger", NOT_FED, SINCE)]


def fill_plain(book: Book, rows: Sequence[PlanRow], solution: Solution, empty: int = 0) -> None:
    """`empty` rows are left for a plan that is not solved here."""
    sheet = begin(
        book, "Plain rule", "What a plain rule would feed, for comparison",
        "The best hay to the neediest group first, as much as they eat; what is short is covered by the one feed that does it cheapest. Solved when the workbook was made.",
        "Solved values",
    )  # fmt: skip
    sheet.put(FIRST - 5, LEAST - 1, "Least cost; how", "unit_cell")
    sheet.put(FIRST - 4, LEAST, "Amounts of any kind; this plan, as solved", "unit_cell")  # the links stand left of it
    for col, name, dollars in ((TOLD, "plan_cheapest", solution.cheapest), (TOLD + 1, "plan_cost", solution.cost)):
        shown = dollars if dollars is not None else "not in whole bales"
        book.define(name, sheet.put(FIRST - 4, col, shown, "money0", unit="$"))
    bound = solution.bound if solution.bound is not None else "not solved"
    book.define("plan_bound", sheet.put(FIRST - 5, LEAST, bound, "money0", unit="$"))
    book.define("plan_words", sheet.put(FIRST - 5, TOLD, solution.words, "text"))
    _rest(PlainRows(sheet, [*rows, *[None] * empty] or [None]), "plain")


def _rest(table: PlanRows, name: str) -> None:
    table.place().filed(name)
    table.sheet.printed_cols = table.col(type(table).caution) + 1
    table.sheet.flags += [Flagging(table.area(type(table).says), word, "flag_bad") for word in ("not", "over")]
    flag_dangers(table.sheet, table.area(type(table).caution))
