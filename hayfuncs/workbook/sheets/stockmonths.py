"""Stock months: how much of each hay and feed goes out in each month, and what is left."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.workbook.model import Book, Flagging, Formula
from hayfuncs.workbook.sheets.common import FIRST, begin, local
from hayfuncs.workbook.sheets.grid import Grid, Row
from hayfuncs.workbook.sheets.winterfeeds import NO_END

SLACK_TONS = 0.001  # two pounds
NARROW = 10
OVERDRAWN = "overdrawn"


def fill(book: Book) -> None:
    months, sources, plan = (book.marks[k] for k in ("months", "sources", "plan"))
    sheet = begin(
        book, "Stock months", "What is taken from each stack, month by month",
        "Tons put out, waste at the feeder in them. Loss in storage is taken off before the first month; below 0 is overdrawn.", "Result",
    )  # fmt: skip
    n = months["n"]
    grid = Grid(sheet, sources["n"])

    def of(column: str) -> Callable[[Row], Formula]:
        return lambda r: Formula(f"=INDEX({sources[column]},{r['number']})")

    def put_out(column: str) -> Callable[[Row], Formula]:
        return lambda r: Formula(f"=SUMIFS({plan[column]},{plan['s']},{r['number']})")

    grid.add("name", "Hay or feed", "name", of("name"), "label", 28)
    grid.add("what", "Kind", "word", of("what"), "text", 13)
    grid.add("says", "What to look at", "words", _says, "verdict", 14)
    grid.add("start", "There at the start", "tons as fed", _start, "result1", NARROW)
    grid.add("used", "Put out, all winter", "tons as fed", put_out("tons"), "result1", NARROW)
    grid.add("left", "Left at turnout", "tons as fed", _left_in_all, "result1", NARROW)
    grid.band("Put out")
    for k in range(1, n + 1):
        grid.add(f"fed_{k}", f"Month {k}", "tons as fed", _fed(plan, k), "number_or_dash", NARROW)
    grid.band("Left")
    for k in range(1, n + 1):
        grid.add(f"left_{k}", f"Month {k}: left", "tons as fed", _left(k), "number1", NARROW)
    grid.band("Workings")
    grid.add("tons", "Stored", "tons as fed", of("tons"), "number1")
    grid.add("loss", "Lost in store", "% DM", of("loss"), "number1")
    grid.add(
        "over",
        "Overdrawn",
        "tons as fed",
        lambda r: Formula(f"=IF(ISNUMBER({r['left']}),MAX(0,-{r['left']}),0)"),
        "number1",
    )
    grid.add("wasted", "Wasted at the feeder", "tons as fed", put_out("wasted"), "number1")
    grid.add("number", "Row of Winter feeds", "1", lambda r: r.number, "number0")
    grid.done("stocks")
    at = book.marks["stocks_at"]
    for k in range(1, n + 1):  # the month's name heads its columns
        label = f"INDEX({months['label']},{k})"
        sheet.put(FIRST - 2, at[f"fed_{k}"], Formula(f'={label}&""'), "head")
        sheet.put(FIRST - 2, at[f"left_{k}"], Formula(f'=IF({label}="","",{label}&", left")'), "head")
    sheet.printed_cols = at[f"left_{n}"] + 1
    sheet.freeze = (FIRST, 3)
    sheet.flags += [Flagging((FIRST, 2, FIRST + sources["n"] - 1, 2), OVERDRAWN, "flag_bad")]


def _says(r: Row) -> Formula:
    return Formula(f'=IF({r["over"]}>{SLACK_TONS},"{OVERDRAWN}",IF({r["used"]}=0,"not used","used"))')


def _start(r: Row) -> Formula:
    return Formula(f'=IF(ISNUMBER({r["tons"]}),{r["tons"]}*(1-{r["loss"]}/100),"{NO_END}")')


def _left_in_all(r: Row) -> Formula:
    return Formula(f'=IF(ISNUMBER({r["start"]}),{r["start"]}-{r["used"]},"{NO_END}")')


def _fed(plan: dict[str, str], k: int) -> Callable[[Row], Formula]:
    return lambda r: Formula(f"=SUMIFS({plan['tons']},{plan['s']},{r['number']},{plan['m']},{k})")


def _left(k: int) -> Callable[[Row], Formula]:
    def left(r: Row) -> Formula:
        first, last = local(r.at, r.places["fed_1"]), local(r.at, r.places[f"fed_{k}"])
        return Formula(f'=IF(ISNUMBER({r["start"]}),{r["start"]}-SUM({first}:{last}),"{NO_END}")')

    return left
