"""Hay pile: is there enough hay to reach grass, when does it run out, and what does the rest cost?"""

from __future__ import annotations

from typing import NamedTuple

from hayfuncs.workbook.barn import Winter
from hayfuncs.workbook.keyed import another, calling, filled, unknown, where
from hayfuncs.workbook.model import Book, Content, Formula, Picture, Series
from hayfuncs.workbook.page import TOP, Page, banner, given, heading, sentence, worked
from hayfuncs.workbook.pair import UNIT_AT
from hayfuncs.workbook.sheets.budget import Budget
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, date, number, of_record, words
from hayfuncs.workbook.sheets.planrows import PlanRows
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.stock import Stock
from hayfuncs.workbook.sheets.stockmonths import StockMonths
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT, WinterFeeds
from hayfuncs.workbook.sheets.winterneed import EATEN_FROM, WinterNeed
from hayfuncs.workbook.styles import BLUE, GRAY, PURPLE, VERMILLION
from hayfuncs.workbook.table import Table, column, computed

NAME = "Hay pile"
SWING = 15  # % more or less in the picture: how far intake and waste are easily off (our choice, no source)
COMPARED = 30  # row of the comparison with the winter plan
TABLE = 41  # row of the headings behind the picture
RIGHT = 4  # column of the picture
UNSHORT = unknown("hay_short")


class Asked(Page):
    """What is typed; the other sheets read it by name."""

    start = given("Hay feeding begins on", "date", date("Winter feeding begins", "First day of hay feeding", True), lambda page: page.of.start, "input_date", name="winter_start")  # fmt: skip
    turnout = given("Turnout to grass on", "date", date("Turnout to grass", "Day the cattle go to grass", True), lambda page: page.of.turnout, "input_date", name="turnout")  # fmt: skip
    eaten_from = given("Hay eaten is taken from", "word",
        words("Hay eaten", "match: all they want, by the sheet Match; need: dry matter of the sheet Herd", EATEN_FROM, True),
        EATEN_FROM[0], "input_text", name="hay_eaten_from")  # fmt: skip
    bought_price = given("Hay to buy costs", "$/ton as fed", of_record("HAY_COST", "price_per_ton"), lambda page: page.of.bought_price, "input_money", name="bought_price")  # fmt: skip
    swing = given("In the picture, more or less", "%", number("More or less", "Per cent more or less hay a day in the picture", 1, 90, True), SWING, "input0", name="pile_swing")  # fmt: skip


class Pile(Page):
    """The answer, and from the first day to grass how it comes about."""

    answer = banner(
        "=IF(COUNT(hay_short,days_of_hay)<2,{missing},IF(hay_short>0,"
        '"Short: the hay is gone on "&TEXT(runs_out,"d mmm yyyy")&", "&TEXT(winter_days-days_of_hay,"0")&" days before grass.",'
        '"Enough: "&TEXT(tons_spare,"0")&" tons are left at turnout."))'
    )
    money = banner(
        '=IF(COUNT(hay_short)=0,"What to buy is not known.",IF(hay_short>0,"To buy: "&TEXT(tons_short,"0")&" tons, "&IF(COUNT(cost_short)=0,"price not entered.",'
        'TEXT(cost_short,"$#,##0")&" at "&TEXT(bought_price,"$0")&" a ton."),"Nothing to buy."))'
        '&IF(lots_left_out>0," Not counted: "&lots_left_out&" of "&lots_left_out+COUNT({stock.net})&" lots (Stock).","")'
    )
    till_grass = heading("From the first day to grass")
    winter_days = worked("Days of hay feeding", "days", '=IF(turnout>winter_start,turnout-winter_start,"turnout is not after the start")', "number0", name="winter_days")  # fmt: skip
    head = worked("Head counted", "head", where(unknown("{need.dm_day}"), "SUM({need.counted})"), "number0", name="herd_head")  # fmt: skip
    intake = worked("Hay eaten, mean of all cattle", "lb DM/day", where(unknown("herd_head"), "SUM({need.dm_day})/herd_head"), "number2", name="herd_intake")  # fmt: skip
    needed = worked("Hay needed in the stack", "lb as fed", where(unknown("{need.needed}"), "SUM({need.needed})"), "number0", name="hay_needed")  # fmt: skip
    left_out = worked("Groups left out (not entered)", "1", '=SUMPRODUCT(--({need.name}<>""))-COUNT({need.needed})', "number0", name="groups_left_out")  # fmt: skip
    in_store = worked("Hay in store", "lb as fed", "=hay_in_store", "number0")
    kept = worked("Of it left after loss in storage", "tons as fed", where(("hay_in_store=0", NOT_ENTERED), "hay_in_store/lb_per_ton-SUM({stock.lost})"))  # fmt: skip
    eaten = worked("And eaten, after waste at the feeder", "tons as fed", where(("hay_in_store=0", NOT_ENTERED), "hay_eaten/lb_per_ton"))  # fmt: skip
    short = worked("Hay short", "lb as fed",
        calling("HAY_SHORT", "hay_needed", "hay_in_store", unless=("(COUNT(hay_needed,winter_days)=2)*(hay_in_store>0)=0", NOT_ENTERED)),
        "number0", name="hay_short")  # fmt: skip
    tons_short = worked("The same in tons", "tons as fed", where(UNSHORT, "hay_short/lb_per_ton"), "result1", name="tons_short")  # fmt: skip
    cost = worked("What it costs to buy", "$", calling("HAY_COST", "hay_short", "bought_price", unless=unknown("hay_short", "bought_price")), "result_money", name="cost_short")  # fmt: skip
    spare = worked("Hay to spare", "tons as fed", where(UNSHORT, "MAX(hay_in_store-hay_needed,0)/lb_per_ton"), name="tons_spare")  # fmt: skip
    days = worked("The hay in store lasts", "days",
        calling("DAYS_OF_HAY", "hay_eaten", "mean_dm", "0", "0", "herd_head", "herd_intake", unless=unknown("mean_dm", "herd_head", "herd_intake")),
        "result1", name="days_of_hay")  # fmt: skip
    runs_out = worked("It runs out on", "date", where(unknown("days_of_hay"), "winter_start+INT(days_of_hay)"), "date", name="runs_out")  # fmt: skip
    safe = sentence("Hay bought in winter loses less in storage, so the tons to buy are on the safe side. Cold and mud ask for more: see Herd care.", after=2)  # fmt: skip
    need = another(lambda: WinterNeed)
    stock = another(lambda: Stock)

    @property
    def missing(self) -> str:
        """What must be entered before the sheet can answer: the sheet, the column, how many are blank."""
        register, stock, need = self.book.find(Register), self.stock, self.need
        columns = (
            ("Register, Tons in store", register.tons, register.n, "lots"), ("Register, Where stored", stock.storage_loss, stock.n, "lots"),
            ("Stock, Fed in", stock.feeding_loss, stock.n, "lots"), ("Winter need, Hay like this lot", need.intake, need.n, "groups"),
        )  # fmt: skip
        said = [
            f'IF(COUNT({column})<{n},"; {where}: "&({n}-COUNT({column}))&" of {n} {what} blank","")'
            for where, column, n, what in columns
        ]
        dates = 'IF(COUNT(winter_days)=0,"; the dates on this sheet","")'
        empty = 'IF(lots_left_out+(hay_in_store>0)=0,"; no lot has tons in store","")'
        return f'"Not enough entered: "&MID({"&".join([dates, *said, empty])},3,300)&"."'


class BesideThePlan(Page):
    """Why this sheet and Winter budget may say different things: what each lets the groups eat."""

    beside = heading("Why the winter plan differs")
    here = worked("Hay here, to be eaten till grass", "tons as fed", where(unknown("hay_needed"), "hay_needed/lb_per_ton"))  # fmt: skip
    hay = worked("Hay in the winter plan", "tons as fed", "=SUMIFS({plan.taken},{plan.hay},1)")
    feeds = worked("Other feeds in the winter plan", "tons as fed", "=SUMIFS({plan.tons},{plan.kind},3)")  # fmt: skip
    bought = worked("Hay to buy in the winter plan", "tons as fed", "=SUMIFS({plan.taken},{plan.kind},2)")  # fmt: skip
    left = worked("Own hay left by the winter plan", "tons as fed", '=SUMIFS({stocks.left},{stocks.what},"own hay")')  # fmt: skip
    barred = worked("Of it hay left out for safety", "tons as fed", f'=SUMIFS({{stocks.left}},{{sources.state}},"{LEFT_OUT}*")')  # fmt: skip
    pile_says = sentence(
        '=IF(COUNT(hay_needed)=0,"Not enough entered here to hold against the winter plan.",'
        f'"Here all groups "&IF(hay_eaten_from="{EATEN_FROM[0]}","eat all the hay they want","eat as much hay as the dry matter of Herd")'
        '&", and nothing else: "&TEXT({here},"0")&" tons from the stack till grass.")'
    )
    plan_says = sentence(
        '=IF(plan_stop<>"","No plan to hold this against while a check fails: "&plan_stop,IF(SUM({plan.ok})=0,"There is no winter plan to hold this against.",'
        '"The winter plan rations each group by its need: "&TEXT({hay},"0")&" tons of hay from the stack, "&{than}&", "&{fed}&". "&{buys}&{end}&": see Winter budget."))'
    )
    than = (
        'IF(COUNT({here})=0,"how that compares is not known",IF(ABS({hay}-{here})<0.5,"as much as here",'
        'TEXT(ABS({hay}-{here}),"0")&IF({hay}<{here}," less than here"," more than here")))'
    )
    fed = 'IF({feeds}<0.05,"and no other feed","with "&TEXT({feeds},"0.0")&" tons of other feeds")'
    buys = 'IF({bought}<0.05,"It buys no hay","It buys "&TEXT({bought},"0.0")&" tons of hay")'
    end = 'IF({left}<0," and own hay is overdrawn by "&TEXT(-{left},"0")," and leaves "&TEXT({left},"0"))&" tons"&IF({barred}<0.5,"",", "&TEXT({barred},"0")&" of them hay left out for safety")'
    plan, stocks, sources = another(lambda: PlanRows), another(lambda: StockMonths), another(lambda: WinterFeeds)
    # both answers to "do we run out?" in one sentence, at the top of both sheets, and why they differ
    both = (
        '=IF(AND(COUNT(hay_short,{here})=2,SUM({plan.ok})>0,plan_stop=""),'
        '"Hay alone, all they want: "&TEXT({here},"0")&" tons, the pile "&IF(hay_short>0,"is short by "&TEXT(tons_short,"0")&" tons","is enough")'
        '&". The plan rations by need: "&TEXT({hay},"0")&" tons"&IF({feeds}<0.05,"",", with "&TEXT({feeds},"0.0")&" tons of other feeds")'
        '&", and "&IF({bought}<0.05,"buys no hay","buys "&TEXT({bought},"0.0")&" tons of hay")&".","")'
    )


class Point(NamedTuple):
    """One end of a line of the picture; without a share, of the upright line at turnout."""

    line: str
    share: str
    end: bool


class Lines(Table[Point]):
    """The pile as the tons that will be eaten, falling to nothing; three rates, and the day of turnout."""

    fixed = ""
    heads_height, units_height = 34, 0

    @column("Line", "text", "text")
    def label(self) -> Content:
        if not self.item.share:
            return Formula('="turnout "&TEXT(turnout,"d mmm")')
        gone = f'IF(COUNT(days_of_hay)=0,{NOT_ENTERED},TEXT(winter_start+INT({self.days}),"d mmm"))'
        return Formula(f'="{self.item.line}: gone "&{gone}') if self.item.end else f"{self.item.line}: the start"

    share = computed("Hay a day", "% of reckoned", lambda row: Formula(f"={row.item.share}") if row.item.share else None, "number0")  # fmt: skip

    @column("Days from the start", "days", "number0")
    def days(self) -> Content:
        if not self.item.share:
            return Formula("=winter_days")
        return Formula(where(unknown("days_of_hay"), f"100*days_of_hay/{self.share}")) if self.item.end else 0

    @column("Hay left", "tons as fed")
    def left(self) -> Content:
        whole = self.item.end != bool(self.item.share)  # each rate falls from it, the upright line rises to it
        return Formula("=hay_eaten/lb_per_ton") if whole else 0


def inputs(book: Book, winter: Winter) -> None:
    """The sheet and its typed values, by name, before the sheets that use them."""
    sheet = begin(book, NAME, "Is there enough hay to reach grass?",
        "All groups fed hay alone, all they want, against all hay in store, losses counted. A winter plan rations them, with feeds, and may buy less.", "Result")  # fmt: skip
    sheet.width(37, 17, 14, 12, 2, 60)
    Asked(sheet, of=winter).place()


def fill(book: Book) -> None:
    sheet = book.by_name(NAME)
    pile = Pile(sheet, top=book.find(Asked).row_below).place()
    book.marks["haypile"] = {"banner": pile.answer, "money": pile.money}
    looks = (("as figured", "100", BLUE, "solid", "circle"), ("more a day", "100+pile_swing", VERMILLION, "dash", "diamond"),
             ("less a day", "100-pile_swing", PURPLE, "round_dot", "triangle"), ("turnout", "", GRAY, "solid", "none"))  # fmt: skip
    points = [Point(line, share, end) for line, share, *_ in looks for end in (False, True)]
    lines = Lines(sheet, points, heads_at=TABLE).place(title="Table behind the picture")
    sheet.printed_rows = TABLE - 1  # the table is for the screen
    series = []
    for first, (_, share, color, dash, marker) in zip(range(1, 9, 2), looks, strict=True):
        named = lines.some(Lines.label, first + bool(share))
        x, y = (lines.some(c, first, first + 1) for c in (Lines.days, Lines.left))
        series.append(Series(named, x, y, color, marker=marker, size=9 if share else 10, line=dash))
    sheet.draw(
        Picture(
            "scatter", TOP, RIGHT, pile.answer, "Days from the first day of hay feeding", "Hay left, after losses, tons",
            "Line chart of the hay that is left, in tons, against days from the first day of hay feeding: a solid line as figured, a dashed one for more hay a day and a dotted "
            "one for less, each ending at the day the hay is gone, and an upright line at turnout. The table is on this sheet.",
            series, width=500, height=470, x_range=(0, None), y_range=(0, None), legend=True,
        )
    )  # fmt: skip


def beside_the_plan(book: Book) -> None:
    sheet = book.by_name(NAME)
    page = BesideThePlan(sheet, COMPARED)
    both = Formula(filled("{both}", page))  # of the same sheet, so before the page is placed
    page.place()
    pile, budget = book.find(Pile), book.find(Budget)
    at = sheet.put(pile.at["safe"] - 1, pile.column, both, "sentence")
    budget.sheet.put(budget.top - 1, budget.column + UNIT_AT, Formula(f"={at}"), "sentence")
    book.marks["haypile"] |= {"both": at, "beside": [page.pile_says, page.plan_says]}
