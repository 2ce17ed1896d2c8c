"""Stock months: how much of each hay and feed goes out in each month, and what is left."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Flagging, Formula
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.planrows import PlanRows
from hayfuncs.workbook.sheets.winter import Months
from hayfuncs.workbook.sheets.winterfeeds import NO_END, WinterFeeds
from hayfuncs.workbook.table import Column, Table, computed

SLACK_TONS = 0.001  # two pounds
NARROW = 10
OVERDRAWN = "overdrawn"


def _of(head: str, unit: str, key: str, style: str = "number1", width: float = 12, band: str = "") -> Column:
    return computed(head, unit, f"=INDEX({{sources.{key}}},{{line}})", style, width, band)


class StockMonths(Table[None]):
    """One row a row of Winter feeds; between left and tons stand the months."""

    frozen = 3
    name = _of("Hay or feed", "name", "name", "label", 28)
    what = _of("Kind", "word", "what", "text", 13)
    says = computed("What to look at", "words", f'=IF({{over}}>{SLACK_TONS},"{OVERDRAWN}",IF({{used}}=0,"not used","used"))', "verdict", 14)  # fmt: skip
    start = computed("There at the start", "tons as fed", f'=IF(ISNUMBER({{tons}}),{{tons}}*(1-{{loss}}/100),"{NO_END}")', "result1", NARROW)  # fmt: skip
    used = computed("Put out, all winter", "tons as fed", "=SUMIFS({plan.tons},{plan.s},{line})", "result1", NARROW)
    left = computed("Left at turnout", "tons as fed", f'=IF(ISNUMBER({{start}}),{{start}}-{{used}},"{NO_END}")', "result1", NARROW)  # fmt: skip
    tons = _of("Stored", "tons as fed", "tons", band="Workings")
    loss = _of("Lost in store", "% DM", "loss")
    over = computed("Overdrawn", "tons as fed", "=IF(ISNUMBER({left}),MAX(0,-{left}),0)")
    wasted = computed("Wasted at the feeder", "tons as fed", "=SUMIFS({plan.wasted},{plan.s},{line})")
    line = computed("Row of Winter feeds", "1", lambda row: row.number, "number0", key="number")
    sources, plan = another(lambda: WinterFeeds), another(lambda: PlanRows)


def _left(first: Column, last: Column) -> Column:
    def left(row: StockMonths) -> Content:
        return Formula(f'=IF(ISNUMBER({row.start}),{row.start}-SUM({row.ref(first)}:{row.ref(last)}),"{NO_END}")')

    return computed("", "tons as fed", left, width=NARROW)


def fill(book: Book) -> None:
    sheet = begin(
        book, "Stock months", "What is taken from each stack, month by month",
        "Tons put out, waste at the feeder in them. Loss in storage is taken off before the first month; below 0 is overdrawn.", "Result",
    )  # fmt: skip
    months = book.find(Months)
    table = StockMonths(sheet, [None] * book.find(WinterFeeds).n)
    fed: list[Column] = []
    for k in range(1, months.n + 1):
        out = f"=SUMIFS({{plan.tons}},{{plan.s}},{{line}},{{plan.m}},{k})"
        month = computed(f'=INDEX({months.label},{k})&""', "tons as fed", out, "number_or_dash", NARROW, "" if fed else "Put out")  # fmt: skip
        fed.append(table.add(month, f"fed_{k}", StockMonths.tons))
    for k, month in enumerate(fed, 1):
        left, label = _left(fed[0], month), f"INDEX({months.label},{k})"
        left.head, left.band = f'=IF({label}="","",{label}&", left")', "Left" if k == 1 else ""
        table.add(left, f"left_{k}", StockMonths.tons)
    table.place().filed("stocks")
    sheet.printed_cols = table.col(StockMonths.tons)
    sheet.flags += [Flagging(table.area(StockMonths.says), OVERDRAWN, "flag_bad")]
