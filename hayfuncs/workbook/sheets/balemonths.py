"""Bale months: whole bales of each stack that go out in each month, and how many are left."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Flagging
from hayfuncs.workbook.sheets.baleplan import BaleRows
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.haytobuy import HayToBuy
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.stockmonths import NARROW, OVERDRAWN
from hayfuncs.workbook.sheets.winter import Months
from hayfuncs.workbook.sheets.winterfeeds import NO_END, WinterFeeds
from hayfuncs.workbook.table import Column, Table, computed

NO_BALES = "no bale weight"
SLACK_BALES = 0.001


def _of(head: str, unit: str, key: str, style: str = "number1", width: float = NARROW) -> Column:
    return computed(head, unit, f"=INDEX({{sources.{key}}},{{line}})", style, width)


class BaleMonths(Table[None]):
    """One row a hay of Winter feeds; between left and the row number stand the months."""

    frozen = 3
    name = _of("Hay", "name", "name", "label", 28)
    what = _of("Kind", "word", "what", "text", 13)
    says = computed("What to look at", "words", f'=IF({{name}}="","",IF({{left}}<-{SLACK_BALES},"{OVERDRAWN}",IF({{used}}=0,"not used in bales","used")))', "verdict", 14)  # fmt: skip
    bale = _of("A bale as it is fed", "lb as fed", "bale", "number0")
    start = computed("Bales at the start", "bales", f'=IF({{bale}}=0,"{NO_BALES}",IF(ISNUMBER({{tons}}),{{tons}}*{{kept}}/100*lb_per_ton/{{bale}},"{NO_END}"))', "result1", NARROW)  # fmt: skip
    used = computed("Put out, all winter", "bales", "=SUMIFS({plan.bales_out},{plan.s},{line})", "result_whole", NARROW)
    weighed = computed("Weighed out, all winter", "tons as fed", "=SUMIFS({plan.tons},{plan.s},{line},{plan.bales},0)", "number_or_dash", NARROW)  # fmt: skip
    left = computed("Bales left at turnout", "bales", '=IF(ISNUMBER({start}),{start}-{used}-{weighed}*lb_per_ton/{bale},"")', "result1", NARROW)  # fmt: skip
    tons = _of("Stored", "tons as fed", "tons")
    kept = _of("Kept in store", "% of what is stored", "kept")
    line = computed("Row of Winter feeds", "1", lambda row: row.number, "number0", key="number")
    sources, plan = another(lambda: WinterFeeds), another(lambda: BaleRows)


def fill(book: Book) -> None:
    sheet = begin(
        book, "Bale months", "Whole bales put out of each stack, month by month",
        "Counted by the feedings of Plan. A stack's bales are its tons by its bale weight, so a part of a bale may be left; below 0 there are not enough.", "Result",
    )  # fmt: skip
    months = book.find(Months)
    table = BaleMonths(sheet, [None] * (book.find(Lots).n + book.find(HayToBuy).n))
    for k in range(1, months.n + 1):
        out = f"=SUMIFS({{plan.bales_out}},{{plan.s}},{{line}},{{plan.m}},{k})"
        month = computed(f'=INDEX({months.label},{k})&""', "bales", out, "whole_or_dash", NARROW, "Bales put out" if k == 1 else "")  # fmt: skip
        table.add(month, f"out_{k}", BaleMonths.tons)
    table.place().filed("bale_months")
    sheet.printed_cols = table.col(BaleMonths.tons)
    sheet.flags.append(Flagging(table.area(BaleMonths.says), OVERDRAWN, "flag_bad"))
