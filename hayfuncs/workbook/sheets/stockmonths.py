"""Stock months: how much of each hay and feed goes out in each month, and what is left."""

from __future__ import annotations

from hayfuncs.workbook.book import Book, Flagging
from hayfuncs.workbook.sheets.common import FIRST, begin, local
from hayfuncs.workbook.sheets.grid import Grid, Row
from hayfuncs.workbook.sheets.winterfeeds import NO_END

SLACK_TONS = 0.001  # two pounds


def fill(book: Book) -> None:
    months, sources, plan = (book.marks[k] for k in ("months", "sources", "plan"))
    sheet = begin(
        book, "Stock months", "What is taken from each stack, month by month",
        "Tons put out, waste at the feeder in them. Loss in storage is taken off before the first month; below 0 is overdrawn.", "Result",
    )  # fmt: skip
    n = months["n"]
    grid = Grid(sheet, sources["n"])

    def of(column: str, text: bool = False):  # type: ignore[no-untyped-def]
        return lambda r: f"=INDEX({sources[column]},{r['number']})"

    grid.add("name", "Hay or feed", "name", of("name"), "label", 28)
    grid.add("what", "Kind", "word", of("what"), "text", 13)
    grid.add(
        "says",
        "What to look at",
        "words",
        lambda r: f'=IF({r["over"]}>{SLACK_TONS},"overdrawn",IF({r["used"]}=0,"not used",""))',
        "verdict",
        15,
    )
    grid.add("tons", "There is", "tons as fed", of("tons"), "number1")
    grid.add("loss", "Lost in store", "% DM", of("loss"), "number1", 9)
    grid.add(
        "start",
        "To put out, from the first day",
        "tons as fed",
        lambda r: f'=IF(ISNUMBER({r["tons"]}),{r["tons"]}*(1-{r["loss"]}/100),"{NO_END}")',
        "result1",
    )
    grid.add(
        "used",
        "Put out, all winter",
        "tons as fed",
        lambda r: f"=SUMIFS({plan['tons']},{plan['s']},{r['number']})",
        "result1",
    )
    grid.add(
        "left",
        "Left at turnout",
        "tons as fed",
        lambda r: f'=IF(ISNUMBER({r["start"]}),{r["start"]}-{r["used"]},"{NO_END}")',
        "result1",
    )
    grid.add(
        "over", "Overdrawn", "tons as fed", lambda r: f"=IF(ISNUMBER({r['left']}),MAX(0,-{r['left']}),0)", "number1"
    )
    grid.add(
        "wasted",
        "Wasted at the feeder",
        "tons as fed",
        lambda r: f"=SUMIFS({plan['wasted']},{plan['s']},{r['number']})",
        "number1",
    )
    grid.add("number", "Row of Winter feeds", "1", lambda r: r.number, "number0", 10)
    grid.band("Put out in the month")
    for k in range(1, n + 1):
        grid.add(f"fed_{k}", f"Month {k}", "tons as fed", lambda r, k=k: _fed(plan, r, k), "number1", 11)  # type: ignore[misc]
    grid.band("Left at its end")
    for k in range(1, n + 1):
        grid.add(f"left_{k}", f"Month {k}: left", "tons as fed", lambda r, k=k: _left(r, k), "number1", 11)  # type: ignore[misc]
    grid.done("stocks")
    at = book.marks["stocks_at"]
    for k in range(1, n + 1):  # the month's name heads its columns
        label = f"INDEX({months['label']},{k})"
        sheet.put(FIRST - 2, at[f"fed_{k}"], f'={label}&""', "head")
        sheet.put(FIRST - 2, at[f"left_{k}"], f'=IF({label}="","",{label}&", left")', "head")
    sheet.pages_wide = 2
    sheet.freeze = (FIRST, 3)
    sheet.flags += [Flagging((FIRST, 2, FIRST + sources["n"] - 1, 2), "overdrawn", "flag_bad")]


def _fed(plan: dict[str, str], r: Row, k: int) -> str:
    return f"=SUMIFS({plan['tons']},{plan['s']},{r['number']},{plan['m']},{k})"


def _left(r: Row, k: int) -> str:
    first, last = local(r.at, r.places["fed_1"]), local(r.at, r.places[f"fed_{k}"])
    return f'=IF(ISNUMBER({r["start"]}),{r["start"]}-SUM({first}:{last}),"{NO_END}")'
