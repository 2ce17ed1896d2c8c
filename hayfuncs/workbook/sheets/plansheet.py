"""Plan: pounds of each hay and feed for each group and month, to be changed by hand; Plain rule: the same by a rule.

Every other number of the winter plan is worked out from these rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Sheet
from hayfuncs.workbook.sheets import planrows
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Maker, listed, number
from hayfuncs.workbook.sheets.levels import flag_dangers
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT

SPARE_ROWS = 12  # for amounts that are added by hand
PLACES = 6  # of the solved pounds: finer than any scale, and short enough to read
MOST_LB = 200
COLUMNS = (
    ("month", "Month", "name", "input_text", 24), ("group", "Cow group", "name", "input_text", 26),
    ("feed", "Hay or feed", "name", "input_text", 26), ("lb", "Put out", "lb as fed/day", "input2", 11),
)  # fmt: skip


@dataclass(frozen=True)
class Solution:
    """What the solver said, as values: no cell can work these out."""

    bound: float | None  # dollars below which no plan can cost
    words: str  # how it went, or why there is no plan
    read: float | None = None  # the sum over everything that it was solved from


def fill(book: Book, rows: Sequence[PlanRow], kept: int) -> None:
    """`kept` rows are left for an older workbook's amounts; without, the solved rows."""
    sheet = begin(
        book, "Plan", "The winter plan: what each group gets, month by month",
        "Pounds as fed, a head and a day, put out (waste included). Change any amount, or use the free rows at the end: all sheets follow.",
        "Inputs, then workings",
    )  # fmt: skip
    lines: list[PlanRow | None] = [*([None] * kept if kept else rows), *[None] * SPARE_ROWS]
    months, herd, sources = (book.marks[k] for k in ("months", "season_herd", "sources"))
    asking = {
        "month": listed("Month", "A month of the winter", months["label"]),
        "group": listed("Cow group", "A group of the sheet Herd", herd["name"]),
        "feed": listed("Hay or feed", "A name of the sheet Winter feeds", sources["name"]),
        "lb": number("Put out", "Pounds as fed, a head and a day", 0, MOST_LB),
    }
    grid = Grid(sheet, len(lines))
    grid.band("Typed in (solved first)")
    for mark, head, unit, style, width in COLUMNS:
        grid.ask(mark, head, unit, _held(lines, mark), asking[mark], style, width)
    _rest(book, sheet, grid, "plan")
    _at_danger(book, sheet)
    _stopped(sheet)


def _stopped(sheet: Sheet) -> None:
    """Above all else: that nobody feeds by rows that rest on what does not hold."""
    at = (FIRST - 5, 4)
    sheet.put(
        *at,
        Formula('=IF(plan_stop="","","✗ Do not feed by this plan while a check fails: "&plan_stop&". See Checks.")'),
        "text",
    )
    sheet.flags.append(Flagging((*at, *at), "✗", "flag_bad"))


def _at_danger(book: Book, sheet: Sheet) -> None:
    """Above the rows, so that nobody feeds by them before reading: how many feed a lot at danger, how many are left out."""
    fed = f'COUNTIF({book.marks["plan"]["caution"]},"{planrows.AT_DANGER}*")'
    out = f'COUNTIF({book.marks["sources"]["state"]},"{LEFT_OUT}*")'
    says = f'"Rows that feed a lot at danger: "&{fed}&". Read Cautions of the lot and the sheet Hazards before it is fed. "'
    left = f'"Lots left out for a danger: "&{out}&", see Winter feeds."'
    at = (FIRST - 4, 1)
    book.marks["plan_dangers"] = sheet.put(*at, Formula(f'=TRIM(IF({fed}=0,"",{says})&IF({out}=0,"",{left}))'), "text")
    sheet.flags.append(Flagging((*at, *at), "danger", "flag_bad"))


def fill_plain(book: Book, rows: Sequence[PlanRow], solution: Solution, empty: int = 0) -> None:
    """`empty` rows are left for a plan that is not solved here."""
    sheet = begin(
        book, "Plain rule", "What a plain rule would feed, for comparison",
        "The best hay to the neediest group first, as much as she eats; what is short is covered by the one feed that does it cheapest. Solved when the workbook was made.",
        "Solved values",
    )  # fmt: skip
    sheet.put(FIRST - 4, 1, "Least cost; sum it was solved from; how", "unit_cell")
    bound = solution.bound if solution.bound is not None else "not solved"
    book.define("plan_bound", sheet.put(FIRST - 4, 3, bound, "money0", unit="$"))
    book.define(
        "plan_solved_from",
        sheet.put(FIRST - 4, 4, solution.read if solution.read is not None else "not solved", "number3"),
    )
    book.define("plan_words", sheet.put(FIRST - 4, 5, solution.words, "text"))
    lines: list[PlanRow | None] = [*rows, *[None] * empty] or [None]
    grid = Grid(sheet, len(lines))
    grid.band("Solved")
    for mark, head, unit, style, width in COLUMNS:
        plain = style.replace("input_", "").replace("input", "number")
        grid.add(mark, head, unit, _shown(_held(lines, mark)), plain, width)
    _rest(book, sheet, grid, "plain")


def _shown(values: Sequence[Content]) -> Maker:
    return lambda r: values[r.number - 1]


def _held(lines: Sequence[PlanRow | None], mark: str) -> list[Content]:
    if mark == "lb":
        return [None if r is None else round(r.lb_head_day, PLACES) for r in lines]
    field = {"month": "period", "group": "group", "feed": "name"}[mark]
    return [None if r is None else str(getattr(r, field)) for r in lines]


def _rest(book: Book, sheet: Sheet, grid: Grid, table: str) -> None:
    planrows.add(book, grid)
    grid.done(table)
    sheet.printed_cols = len(COLUMNS) + len(planrows.RESULTS)
    sheet.freeze = (FIRST, 4)
    at, last = book.marks[f"{table}_at"], FIRST + grid.n - 1
    sheet.flags += [Flagging((FIRST, at["says"], last, at["says"]), word, "flag_bad") for word in ("not", "over")]
    flag_dangers(sheet, (FIRST, at["caution"], last, at["caution"]))
