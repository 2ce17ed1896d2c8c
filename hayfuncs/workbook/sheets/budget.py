"""Winter budget: what the plan costs beside the plain rule, what to buy, and the hay pile month by month."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from hayfuncs.workbook.keyed import Made, another, calling, filled
from hayfuncs.workbook.model import Book, Flagging, Formula, Picture, Series, Sheet
from hayfuncs.workbook.page import Page, banner, sentence, worked
from hayfuncs.workbook.pair import Heads, Left, Right, pair
from hayfuncs.workbook.sheets.baleplan import BalePlan, BaleRows
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.feeds import NONE
from hayfuncs.workbook.sheets.groupmonths import MEETS, OUTSIDE, GroupMonths
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.mineral import Besides
from hayfuncs.workbook.sheets.planrows import SLACK_LB, PlainRows, PlanRows
from hayfuncs.workbook.sheets.stockmonths import OVERDRAWN, StockMonths
from hayfuncs.workbook.sheets.winter import Months, WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT, WinterFeeds
from hayfuncs.workbook.styles import BLUE, VERMILLION
from hayfuncs.workbook.table import Column, Table, computed

CAUTION_HEIGHT = 66
COLD_F, COLD_COAT = 0, "winter"  # the weather that is told beside a plan: common practice
NO_LONGER = "The plan no longer fits your entries. Solve it again."
STALE = 0.5  # dollars: a plan changed by less is as it was solved
BOUGHT_HAY = 2  # among the kinds of a row of Winter feeds
KINDS = ("own hay", "bought hay", "feeds", "limestone and phosphate")


def _both(label: str | Made, unit: str, formula: str, style: str) -> tuple[Left, Right]:
    """A line of the plan, and beside it the same of the plain rule."""
    return pair(label, unit, formula, re.sub(r"\{(\w+)", r"{plain_\1", formula), style)


def _tons(kind: int) -> tuple[Left, Right]:
    label = f"{KINDS[kind - 1].capitalize()}, put out"
    return _both(label, "tons as fed", f"=SUMIFS({{fed.tons}},{{fed.kind}},{kind})", "number1")


def _cost(kind: int) -> tuple[Left, Right]:
    own = Made('="Own hay, counted at "&plan_own_value_pct&" % of its price"')
    label = own if kind == 1 else f"{KINDS[kind - 1].capitalize()}, to buy"
    return _both(label, "$", f"=SUMIFS({{fed.cost}},{{fed.kind}},{kind})", "money0")


def _short(what: str, nutrient: str) -> tuple[Left, Right]:
    plan, plain = (f'=COUNTIF({{balance.{k}_{nutrient}}},">{SLACK_LB}")' for k in ("short", "plain"))
    return pair(f"Group months short of {what}", "group months", plan, plain, "number0")


class Budget(Page):
    """The answer in words, the plan's money beside the plain rule's, and what stands beside both."""

    @banner
    def answer(self) -> Formula:
        cost = '"The winter costs "&TEXT({total:fixed},{money})&", "&TEXT({per_head:fixed},{money})&" a head; "&TEXT({cash:fixed},{money})&" of that is cash."&IF(COUNT({bagged:fixed})=1," Mineral mix: "&TEXT({bagged:fixed},{money})&" more.","")'
        shown = f'IF(plan_stop="",{cost},"✗ No dollars while a check fails:")'
        held = f'IF(AND({{wrong}}=0,{{fits}}),{shown},"{NO_LONGER}")'
        return self._made(f'=IF({{amounts}}=0,"No plan yet: see the words below.",{held})')

    @banner
    def says(self) -> Formula:
        saves = "({plain_total:fixed}-{total:fixed})"
        told = f'TEXT(ABS({saves}),{{money}})&IF({saves}>=0," more"," less")'
        held = f'"Every need is met"&{weather(self.book)}&". The plain rule costs "&{told}&IF({{plain_energy:fixed}}+{{plain_protein:fixed}}>0," and leaves cows short.",".")'
        held = f'IF({{fits}},{held},"No cost is shown for a plan that does not fit.")'
        for fault in reversed(self.faults.rows()):
            held = f"IF({fault.count}>0,{fault.says},{held})"
        # the plan's own faults have words of their own
        return self._made(f'=IF(OR(plan_stop="",({{wrong}})>0),IF({{amounts}}=0,"",{held}),"✗ "&plan_stop&". See Checks.")')  # fmt: skip

    def _price(self) -> Formula:
        """Whether the plan is still the cheapest for the numbers as they stand; of a plan in whole bales, the price of ease."""
        dearer = '"It costs "&TEXT({above},{money})&" more than the cheapest plan that meets every need (changed by hand, or your entries have changed)."'
        cheapest = '"It is the cheapest: no plan that meets every need can cost less."'
        total = "{total:fixed}"
        bales = f'TEXT({total},{{money}})&"; no plan of any kind costs less than "&TEXT(plan_bound,{{money}})&". Whole bales, few hays and few feeds cost "&TEXT(N(plan_cost)-N(plan_cheapest),{{money}})&" of it."'
        changed = f'" Changed since it was solved: "&TEXT(ABS({total}-N(plan_cost)),{{money}})&IF({total}>N(plan_cost)," more."," less.")'
        bales = f'{bales}&IF(ABS({total}-N(plan_cost))<={STALE},"",{changed})'
        kept = f"IF(COUNT(plan_cheapest)=1,{bales},IF({{above}}<={STALE},{cheapest},{dearer}))"
        fits = f'IF(AND(({{wrong}})=0,{{fits}}),{kept},IF(plan_changes=0,"{NO_LONGER}",plan_changed))'
        return self._made(f"=IF(COUNT(plan_bound)=0,plan_words,{fits})")

    price = sentence(_price, name="plan_price")
    hay_to_buy = sentence(lambda page: page.bought("Hay", hay=True))
    feed_to_buy = sentence(lambda page: page.bought("Feed", hay=False))
    heads = Heads("For the whole winter", "This plan", "Plain rule", "Unit")
    own_tons, plain_own_tons = _tons(1)
    bought_tons, plain_bought_tons = _tons(2)
    feed_tons, plain_feed_tons = _tons(3)
    mineral_tons, plain_mineral_tons = _tons(4)
    own_cost, plain_own_cost = _cost(1)
    bought_cost, plain_bought_cost = _cost(2)
    feed_cost, plain_feed_cost = _cost(3)
    mineral_cost, plain_mineral_cost = _cost(4)
    cash, plain_cash = _both("To spend", "$", "={bought_cost}+{feed_cost}+{mineral_cost}", "result_money0")
    total, plain_total = _both("Cost in all", "$", "={cash}+{own_cost}", "result_money0")
    head, plain_head = pair("Head", "head", "={all_head}", "={all_head}", "number0")
    per_head, plain_per_head = _both("Cost a head", "$", "={total}/{head}", "money")
    per_day, plain_per_day = _both("Cost a head and a day", "$/day", "=IF(N(winter_days)=0,0,{per_head}/MAX(1,N(winter_days)))", "money")  # fmt: skip
    energy, plain_energy = _short("energy", "tdn")
    protein, plain_protein = _short("protein", "cp")
    bound = worked("Least that any plan can cost, as solved", "$", '=IF(COUNT(plan_bound)=1,plan_bound,"not solved")', "money0", after=1)  # fmt: skip
    above = worked("This plan above it", "$", '=IF(COUNT(plan_bound)=1,{total}-plan_bound,"not solved")', "money0")
    assumed = worked("Own lots at an assumed price", "lots", "=SUM({sources.assumed})", "number0")
    cold = worked(f"More energy at a wind chill of {COLD_F} deg F, {COLD_COAT} coat", "%", calling("COLD_INCREASE", str(COLD_F), f'"{COLD_COAT}"'), "number0")  # fmt: skip
    cold_lb = worked("That is, for the neediest group", "lb TDN/day", "=MAX({balance.base_tdn})*{cold:sideways}/100")
    # of a head till grass
    bagged = worked("Mineral mix in bags for all head, NOT in the sums above", "$", '=IF(COUNT({besides.cost})=0,"not entered",{besides.cost}*{all_head})', "money0")  # fmt: skip
    all_head = "SUM({herd.head})"
    amounts = "SUM({fed.ok})"
    money = '"$#,##0"'
    # whether the plan can still be the one for what is entered: solved from it, and not under the least it can cost
    fits = f"IF(COUNT(plan_bound)=0,TRUE,AND(plan_changes=0,{{above}}>=-{STALE}))"
    fed, plain_fed = another(lambda: PlanRows), another(lambda: PlainRows)
    herd, balance = another(lambda: WinterHerd), another(lambda: GroupMonths)
    sources, besides = another(lambda: WinterFeeds), another(lambda: Besides)
    faults = another(lambda: Faults)

    @property
    def wrong(self) -> str:
        return "+".join(fault.count for fault in self.faults.rows())

    def bought(self, what: str, *, hay: bool) -> Formula:
        said = self.book.find(Buying).said_of(hay=hay)
        told = f'"{what} to buy, tons and month first fed: "&IF({said}="","none",MID({said},3,999))&"."'
        return Formula(f'=IF(AND(({self.wrong})=0,plan_stop=""),{told},"")')

    def _made(self, formula: str) -> Formula:
        return Formula(filled(formula, self))


class Buying(Table[int]):
    """Each hay on offer and each feed: tons to buy, dollars, and the caution at the largest rate."""

    heads_height, units_height = 34, 32
    name = computed("Hay or feed", "name", "=INDEX({sources.name},{source})", "label")
    tons = computed("Tons to buy", "tons as fed", "=SUMIFS({plan.taken},{plan.s},{source})", "number_or_dash")
    price = computed("Price", "$/ton as fed", "=IF({tons}=0,0,INDEX({sources.price},{source}))", "money_or_dash")
    cost = computed("Cost", "$", "={tons}*{price}", "money_or_dash")
    since = computed("First fed in", "month",
        '=IF({tons}=0,"",INDEX({months.label},ROWS({months.label})+1-SUMPRODUCT(LARGE(({plan.s}={source})*{plan.ok}*(ROWS({months.label})+1-{plan.m}),1))))', "text", 14)  # fmt: skip
    caution = computed("Caution at the largest amount a head", "words",
        calling("FEED_CAUTION", "{booked}", "{rate}", "MIN({herd.weight})", unless=(f'OR({{rate}}=0,{{booked}}="{NONE}",{{booked}}="")', '""')), "small")  # fmt: skip
    rate = computed("Largest amount a head", "lb as fed/day", lambda row: row.largest(), "number_or_dash")  # fmt: skip
    source = computed("Row of Winter feeds", "1", lambda row: row.item, "number0")
    said = computed(
        "In words",
        "text",
        '=IF({tons}=0,"","; "&{name}&" "&TEXT({tons},"0.0")&", "&LEFT({since},MAX(0,LEN({since})-5)))',
        "small",
        30,
    )
    booked = "INDEX({sources.booked},{source})"
    plan, sources, herd = another(lambda: PlanRows), another(lambda: WinterFeeds), another(lambda: Herd)
    months = another(lambda: Months)

    def largest(self) -> Formula:
        """What a head gets while it is fed so, not the mean of a month."""
        plan = self.plan
        fed = f"{plan.ration}*{plan.ok}" if isinstance(plan, BaleRows) else plan.lb_fed
        # LARGE, since SUMPRODUCT(MAX(...)) is 0 in Gnumeric, without a word
        return Formula(f"=SUMPRODUCT(LARGE(({plan.s}={self.source})*{fed},1))")

    def said_of(self, *, hay: bool) -> str:
        """An expression: what is bought of hay or of feeds, how much, and the month in which it is first fed."""
        sources = self.sources.items
        rows = [i for i, source in enumerate(self.items, 1) if (sources[source - 1].kind == BOUGHT_HAY) == hay]
        return "&".join(self.some(Buying.said, i) for i in rows)

    @property
    def total_row(self) -> int:
        """After a gap, so that the sum is not one of the list."""
        return self.row_below + 1

    def total(self, column: Column) -> str:
        return self.sheet.ref(self.total_row, self.col(column))


class Pile(Table[int]):
    """What the picture draws: own hay left at each month's end, and hay bought so far."""

    heads_height = units_height = 0
    end = computed("At the end of", "month", '=IF({month}=0,"the start",INDEX({months.label},MAX(1,{month})))', "label")
    left = computed("Own hay left", "tons as fed", '=SUMIFS({stocks.start},{stocks.what},"own hay")-SUMIFS({plan.tons},{plan.kind},1,{till})')  # fmt: skip
    bought = computed("Hay bought so far", "tons as fed", "=SUMIFS({plan.tons},{plan.kind},2,{till})")
    month = computed("Month", "number", lambda row: row.item, "number0")
    till = '{plan.m},"<="&{month}'
    plan, stocks, months = another(lambda: PlanRows), another(lambda: StockMonths), another(lambda: Months)


class Fault(NamedTuple):
    label: str
    counted: str
    see: str


class Faults(Table[Fault]):
    """What a plan can do wrong, the worst first, counted at the foot of the sheet."""

    heads_height = units_height = 0
    fixed = "rc"
    label = computed("What is wrong with the plan", "words", lambda row: row.item.label, "label")
    count = computed("How many", "1", lambda row: Formula(f"={filled(row.item.counted, row)}"), "number0")
    balance, stocks, plan = another(lambda: GroupMonths), another(lambda: StockMonths), another(lambda: PlanRows)
    kept = f'COUNTIF({{balance.says}},"{MEETS}*")+COUNTIF({{balance.says}},"{OUTSIDE}")'

    @property
    def lines(self) -> str:
        """Of a plan in whole bales, its lines too."""
        return f'+COUNTIF({self.book.find(BalePlan).says},"not found*")' if BalePlan in self.book.placed else ""

    @property
    def says(self) -> str:
        return f'{self.label}&": "&{self.count}&". See {self.item.see}."'


FAULTS = (
    Fault("Group months not as they should be", "ROWS({balance.says})-({kept})", "Group months"),
    Fault("Hays and feeds of which more is fed than there is", f'COUNTIF({{stocks.says}},"{OVERDRAWN}")', "Stock months"),
    Fault("Amounts not allowed or not known", "SUM({plan.barred})", "Plan"),
    Fault("Amounts over a limit of their feed", "SUM({plan.over})", "Plan"),
    Fault("Amounts not counted, whose name is not found", 'COUNTIF({plan.says},"not found*"){lines}', "Plan"),
)  # fmt: skip


def fill(book: Book, months: int, bought: Sequence[int] = ()) -> None:
    """`bought`: the rows of Winter feeds that the solved plan buys."""
    sheet = begin(
        book, "Winter budget", "What the winter costs, and what to buy",
        "All from the sheet Plan as it stands, beside what the plain rule would cost at the same prices.", "Result",
    )  # fmt: skip
    sheet.width(36, 15, 15, 15, 14, 46, 12, 9)
    sheet.zoom = 110
    sheet.freeze = (3, 0)
    budget = Budget(sheet)
    sheet.heights[budget.at["heads"]] = 24
    buying = _purchases(book, sheet, budget.row_below + 1, bought)
    sheet.needed_cols = buying.col(Buying.caution) + 1  # each caution whole on the screen
    _picture(sheet, budget.at["heads"], buying, months)
    Faults(sheet, FAULTS, sheet.last_row + 2).place()
    budget.place()
    top, last = budget.at["answer"], budget.at["says"]
    sheet.flags.append(Flagging((top, budget.column, last, budget.framed - 1), "✗", "flag_bad"))


def _purchases(book: Book, sheet: Sheet, row: int, bought: Sequence[int]) -> Buying:
    offered = range(book.find(Lots).n + 1, book.find(WinterFeeds).n + 1)
    buying = Buying(sheet, offered, row + 1).place(title="Purchase list")
    for at, source in enumerate(offered, buying.first_row):
        if source in bought:  # room for its caution
            sheet.heights[at] = CAUTION_HEIGHT
    sheet.put(buying.total_row, buying.col(Buying.name), "All together", "label")
    for column, style in ((Buying.tons, "result1"), (Buying.cost, "result_money0")):
        total = Formula(filled(f"=SUM({{{column.key}:free}})", buying.local))
        sheet.put(buying.total_row, buying.col(column), total, style, unit=column.unit)
    return buying


def _picture(sheet: Sheet, top: int, buying: Buying, months: int) -> None:
    """The pile at each month's end as columns, what was bought as a line."""
    pile = Pile(sheet, range(months + 1), buying.total_row + 3).place(title="Table behind the picture")
    left, bought_all = (pile.local.some(column, pile.n) for column in (Pile.left, Pile.bought))
    end = '" tons of own hay left on "&TEXT(turnout,"d mmm yyyy")'
    stocks, sources = sheet.book.find(StockMonths), sheet.book.find(WinterFeeds)
    barred = f'SUMIFS({stocks.left},{sources.state},"{LEFT_OUT}*")'
    danger = f'IF({barred}<0.5,""," ("&TEXT({barred},"0")&" left out)")'
    title = Formula(
        f'=TEXT({left},"0")&{end}&{danger}&IF({bought_all}<0.5,"; none bought","; "&TEXT({bought_all},"0")&" tons bought")'
    )
    title_at = sheet.put(pile.row_below + 1, pile.col(Pile.end), title, "text")
    sheet.draw(
        Picture(
            "column", top, buying.col(Buying.caution), title_at, "At the end of the month", "Hay, tons as fed",
            "Column chart of own hay left, in tons, at the start and at the end of each month to turnout, storage loss taken off; a dashed line shows the hay "
            "bought and fed so far. The table stands at the foot of this sheet.",
            [Series("Own hay left", pile.end, pile.left, BLUE, values_shown=False, gap=40)],
            width=415, height=430, y_range=(0, None), legend=True,
            line=Series("Hay bought and fed so far", pile.end, pile.bought, VERMILLION, line="dash", marker="diamond", size=8),
        )
    )  # fmt: skip


def weather(book: Book) -> str:
    """What weather the needs count, in words that follow "Every need is met"."""
    more = f"MAX({book.find(Months).more})"
    none = '", no cold counted (Winter)"'
    return f'IF({more}=0,{none},", counting up to "&TEXT({more},"0")&" % more energy for cold and mud")'
