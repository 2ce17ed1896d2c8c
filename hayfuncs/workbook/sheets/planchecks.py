"""Checks of the winter plan: dates, rows, limits, stock, and the same sums reached by two ways."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Formula
from hayfuncs.workbook.sheets.balemonths import BaleMonths
from hayfuncs.workbook.sheets.baleplan import NOT_FOUND, BalePlan, BaleRows
from hayfuncs.workbook.sheets.budget import Budget, Buying
from hayfuncs.workbook.sheets.checks import Check
from hayfuncs.workbook.sheets.groupmonths import CA_P_UNDER, MEETS, OUTSIDE, GroupMonths
from hayfuncs.workbook.sheets.planrows import TOGETHER, PlanRows
from hayfuncs.workbook.sheets.stockmonths import OVERDRAWN, StockMonths
from hayfuncs.workbook.sheets.winter import Months, WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import NO_PRICE, WinterFeeds

NEAR = 1e-6


def _of_bales(book: Book) -> list[Check]:
    """Of a plan in whole bales too."""
    if "bale_plan" not in book.marks:
        return []
    lines, stacks = book.find(BalePlan), book.find(BaleMonths)
    days = f"SUMIFS({lines.days},{lines.ok},1)-COUNT({book.find(WinterHerd).head})*N(winter_days)"
    return [
        Check("Plan: lines whose month or group is not found, or without days", "completeness", Formula(f'=COUNTIF({lines.says},"{NOT_FOUND[:9]}*")'), "equals", 0, 0, "1"),
        Check("Plan: days of its lines, less the winter's days of every group", "completeness", Formula(f"=IF(SUM({lines.ok})=0,0,{days})"), "equals", 0, 0, "days"),
        Check("Plan: stacks with fewer bales than its feedings take", "balance", Formula(f'=COUNTIF({stacks.says},"{OVERDRAWN}")'), "equals", 0, 0, "1"),
        Check("Plan: bales of its lines, less bales of the stacks", "reconciliation", Formula(f"=SUM({book.find(BaleRows).bales_out})-SUM({stacks.used})"), "equals", 0, 0, "bales"),
    ]  # fmt: skip


def every(book: Book) -> list[Check]:
    months, sources, plan, budget = book.find(Months), book.find(WinterFeeds), book.find(PlanRows), book.find(Budget)
    balance, stocks = book.find(GroupMonths), book.find(StockMonths)
    last = book.marks["stocks"][f"left_{months.n}"]
    missed = f'ROWS({balance.says})-COUNTIF({balance.says},"{MEETS}*")-COUNTIF({balance.says},"{OUTSIDE}")'
    return [
        *_of_bales(book),
        Check("Winter: days of the months, less days from start to turnout", "completeness", Formula(f"=SUM({months.days})-N(winter_days)"), "equals", 0, 0, "days"),
        Check("Winter feeds: names used twice", "completeness", Formula(f"=SUM({sources.twice})"), "equals", 0, 0, "1"),
        Check("Winter feeds: own hay without any price to count", "completeness", Formula(f'=SUMIFS({sources.assumed},{sources.priced},"{NO_PRICE}")'), "equals", 0, 0, "1"),
        Check("Plan: rows whose month, group or feed is not found", "completeness", Formula(f'=COUNTIF({plan.says},"not found*")'), "equals", 0, 0, "1"),
        Check("Plan: amounts below 0", "range", Formula(f'=COUNTIF({plan.lb},"<0")'), "equals", 0, 0, "1"),
        Check("Plan: feeds over a limit of theirs", "range", Formula(f"=SUM({plan.over})"), "equals", 0, 0, "1"),
        Check("Plan: feeds that are not allowed or not known", "range", Formula(f"=SUM({plan.barred})"), "equals", 0, 0, "1"),
        Check("Plan: hays over the most share that their nitrate allows, in calf or not", "range", Formula(f"=SUM({plan.share_over})"), "equals", 0, 0, "1"),
        Check("Plan: group months where the nitrate of all hays together is over", "range", Formula(f'=COUNTIF({balance.says},"*{TOGETHER}*")'), "equals", 0, 0, "1"),
        Check("Plan: group months with more starchy grain than the most", "range", Formula(f'=COUNTIF({balance.says},"*grain over*")'), "equals", 0, 0, "1"),
        Check("Plan: group months with calcium under its least share of phosphorus", "range", Formula(f'=COUNTIF({balance.says},"*{CA_P_UNDER}*")'), "equals", 0, 0, "1"),
        Check("Plan: group months where a need or limit is not kept", "balance", Formula(f"=IF(SUM({plan.ok})=0,0,{missed})"), "equals", 0, 0, "1"),
        Check("Plan: tons overdrawn", "balance", Formula(f"=SUM({stocks.over})"), "at most", 0, 0.01, "tons as fed"),
        Check("Plan: tons of its rows, less tons of the stocks", "reconciliation", Formula(f"=SUM({plan.tons})-SUM({stocks.used})"), "equals", 0, NEAR, "tons as fed"),
        Check("Plan: left at turnout, less left after the last month", "reconciliation", Formula(f"=SUM({stocks.left})-SUM({last})"), "equals", 0, NEAR, "tons as fed"),
        Check("Plan: cost of its rows, less cost of the group months", "reconciliation", Formula(f"=SUM({plan.cost})-SUM({balance.cost})"), "equals", 0, NEAR, "$"),
        Check("Winter budget: purchase list, less what is to spend", "reconciliation", Formula(f"={book.find(Buying).total(Buying.cost)}-{budget.cash}"), "equals", 0, NEAR, "$"),
    ]  # fmt: skip
