"""Plan, where it is one of whole bales: who is fed what starting when, a line a ration, bales and days typed.

Pounds follow from the bales by formula (Plan pounds), and everything else of the winter plan from the pounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hayfuncs.winter.feeding import EasyPlan, Given, Turn
from hayfuncs.winter.problem import LONGEST_DAYS
from hayfuncs.winter.sentences import OUNCES, SMALL_LB
from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Flagging, Formula
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import date, listed, number
from hayfuncs.workbook.sheets.groupmonths import GroupMonths
from hayfuncs.workbook.sheets.levels import flag_dangers
from hayfuncs.workbook.sheets.planrows import DIGITS, MOST_LB, SLACK_LB, PlanRows, place_in
from hayfuncs.workbook.sheets.winter import Months, WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import WinterFeeds
from hayfuncs.workbook.table import Column, Table, asked, computed

NAME, AMOUNTS = "Plan", "Plan pounds"
SPARE_TURNS = 6  # for lines that are added by hand
MOST_BALES, MOST_EVERY = 1000, 7
MINERAL_NAMES = tuple(name for name, *_ in MINERALS)
NOT_FOUND = "not found: pick month and group from the lists, and type the days"


def _hay(number_: int) -> Column:
    head = ("Hay", "Second hay")[number_ - 1]
    return asked(head, "name", listed(head, "A hay of the sheet Winter feeds", "{sources.name}"), "input_text", 20,
        of=lambda row: _part(row, "hays", number_, lambda given: given.name))  # fmt: skip


def _bales(number_: int) -> Column:
    return asked("Bales of it a feeding", "bales", number("Bales a feeding", "Whole bales put out at one feeding", 0, MOST_BALES, whole=True), "input0", 9,
        of=lambda row: _part(row, "hays", number_, lambda given: given.bales or None))  # fmt: skip


def _weighed(number_: int) -> Column:
    return asked("Or weighed out, a head", "lb as fed/day", number("Weighed out", "Pounds a head and a day of hay that is not fed in whole bales; empty where bales are typed", 0, MOST_LB), "input2", 11,
        of=lambda row: _part(row, "hays", number_, lambda given: None if given.bales else round(given.put_out_lb, DIGITS)))  # fmt: skip


def _feed(number_: int) -> Column:
    head = ("Feed", "Second feed")[number_ - 1]
    return asked(head, "name", listed(head, "A feed of the sheet Winter feeds", "{sources.name}"), "input_text", 20,
        of=lambda row: _part(row, "feeds", number_, lambda given: given.name))  # fmt: skip


def _pounds(number_: int) -> Column:
    return asked("Of it a head", "lb as fed/day", number("Pounds of it", "Pounds as fed, a head and a day", 0, MOST_LB), "input2", 10,
        of=lambda row: _part(row, "feeds", number_, lambda given: round(given.put_out_lb, DIGITS)))  # fmt: skip


def _mineral(name: str) -> Column:
    def held(row: BalePlan) -> Content:
        given = [] if row.item is None else [m for m in row.item.minerals if m.name == name]
        return round(given[0].put_out_lb, DIGITS) if given else None

    return asked(f"{name.capitalize()} a head", "lb as fed/day", number(f"{name.capitalize()} a head", "Pounds a head and a day", 0, MOST_LB), "input2", 11, of=held)  # fmt: skip


def _part(row: BalePlan, kind: str, number_: int, take: Any) -> Content:
    """Of the hay or feed of that number; nothing where the line has none."""
    found: Sequence[Given] = () if row.item is None else getattr(row.item, kind)
    made: Content = take(found[number_ - 1]) if len(found) >= number_ else None
    return made


def _of_turn(head: str, unit: str, of: str, style: str = "number2_seen") -> Column:
    """A sum over the line's hays and feeds, as it is fed, not in the mean of its month."""
    return computed(head, unit, f"=IF({{ok}}=1,SUMIFS({{parts.{of}}},{{parts.turn}},{{count}})/{{share}},0)", style)


def _need(head: str, unit: str, of: str) -> Column:
    return computed(head, unit, f"=IF({{ok}}=1,SUMIFS({{months_of.{of}}},{{months_of.m}},{{m}},{{months_of.g}},{{g}}),0)", "number2_seen")  # fmt: skip


def _short(need: str, given: str, words: str) -> str:
    return f'IF({need}-{given}>{SLACK_LB},"{words} "&TEXT({need}-{given},"0.00")&" lb. ","")'


def _told_bales(n: int) -> str:
    return f'IF(N({{bales_{n}}})=0,"",{{bales_{n}}}&IF({{bales_{n}}}=1," bale of "," bales of ")&{{hay_{n}}})'


def _told_weighed(n: int) -> str:
    lb = f"{{weighed_{n}}}"
    return f'IF(OR({{hay_{n}}}="",N({lb})=0,N({{bales_{n}}})>0),"",", "&ROUND({lb},2)&" lb of "&{{hay_{n}}}&" a head a day ("&TEXT({lb}*{{head}},"#,##0")&" lb, weighed out)")'


def _told_feed(n: int) -> str:
    return f'IF(OR({{feed_{n}}}="",N({{lb_{n}}})=0),"",", "&ROUND({{lb_{n}}},2)&" lb of "&{{feed_{n}}}&" a head")'


def _told_mineral(key: str, name: str) -> str:
    lb = f"{{{key}}}"
    return f'IF(N({lb})=0,"",", "&IF({lb}<{SMALL_LB},TEXT({lb}*{OUNCES},"0.0")&" oz",TEXT({lb},"0.00")&" lb")&" of {name} a head")'


OFTEN = 'IF({every}=1," a day"," every "&{every}&" days")'
SAYS = f'=IF({{ok}}=1,IF({{faults}}="","",TRIM({{faults}})),IF({{group}}&{{month}}&{{hay_1}}&{{feed_1}}="","","{NOT_FOUND}"))'
FAULTS = (
    _short("{need_tdn}", "{tdn}", "energy short")
    + "&" + _short("{need_cp}", "{cp}", "protein short")
    + f'&IF({{dry}}>{{usual}}*plan_most_pct/100+{SLACK_LB},"more than they eat. ","")'
    + '&IF(SUMIFS({parts.over},{parts.turn},{count})>0,"over a limit of a feed. ","")'
    + '&IF(SUMIFS({parts.barred},{parts.turn},{count})>0,"not allowed on Winter feeds. ","")'
    + '&IF(COUNTIFS({parts.turn},{count},{parts.says},"not found*")>0,"a name is not found. ","")'
)  # fmt: skip


class BalePlan(Table[Turn | None]):
    """One row a ration: a group, from a day on for so many days."""

    mark = NAME
    frozen = 4
    group = asked("Cow group", "name", listed("Cow group", "A group of the sheet Herd", "{herd.name}"), "input_text", 26, band="Solved for you; type over it")  # fmt: skip
    month = asked("Counted in", "month", listed("Month", "The month of the winter in which these feedings are counted: the one that asks for more of those they reach into", "{months.label}"), "input_text", 15, of="period")  # fmt: skip
    first = asked("From", "date", date("From", "The day of the first of these feedings"), "input_date", 14)
    last = computed("To", "date", '=IF(N({days})=0,"",{first}+{days}-1)', "date", 14)
    said = computed("What is put out for the group", "feed: a head a day", '=IF({ok}=0,"",IF({told}="","nothing",{told}))', "small", 52, band="In words")  # fmt: skip
    says = computed("What to look at", "words", SAYS, "small", 26)
    hay_lb = computed("Hay a head", "lb as fed/day", "=IF({ok}=1,SUMIFS({parts.ration},{parts.turn},{count},{parts.hay},1),0)", "number2_seen", 11)  # fmt: skip
    caution = computed("Cautions of the hays", "words", lambda row: row.hay_cautions(), "small", 34)
    days = asked("Days", "days", number("Days", "Days from the first of these feedings to the next line's", 1, LONGEST_DAYS, whole=True), "input0", 9, band="Solved for you; type over it")  # fmt: skip
    every = asked("Days between feedings of hay", "days", number("Days between feedings", "A bale is put out every so many days; the same all winter for a group", 1, MOST_EVERY, whole=True), "input0", 11, of="step")  # fmt: skip
    hay_1, bales_1, weighed_1 = _hay(1), _bales(1), _weighed(1)
    hay_2, bales_2, weighed_2 = _hay(2), _bales(2), _weighed(2)
    feed_1, lb_1 = _feed(1), _pounds(1)
    feed_2, lb_2 = _feed(2), _pounds(2)
    mineral_1, mineral_2 = (_mineral(name) for name in MINERAL_NAMES)
    m = computed("Number of the month", "1", place_in("{month}", "months.label"), "number0_seen", 10, band="Workings")
    g = computed("Row of Winter herd", "1", place_in("{group}", "herd.name", "herd.made"), "number0_seen", 10)
    ok = computed("Counted? 1 yes, 0 no", "yes/no", "=IF({m}*{g}*N({days})*N({every})>0,1,0)", "number0_seen", 10)
    head = computed("Head", "head", "=IF({ok}=1,INDEX({herd.head},{g}),0)", "number0_seen", 10)
    step = computed("Days between them", "days", "=IF({ok}=1,{every},0)", "number0_seen", 10)
    feedings = computed("Feedings of hay", "feedings", "=IF({ok}=1,ROUNDUP({days}/{every},0),0)", "number0_seen", 10)
    share = computed("Of the group's feedings of the month", "part of 1", "=IF({ok}=1,{feedings}/SUMIFS({local.feedings},{local.m},{m},{local.g},{g}),0)", "number3_seen", 12)  # fmt: skip
    tdn, cp, dry = _of_turn("TDN given", "lb/day", "tdn"), _of_turn("CP given", "lb/day", "cp"), _of_turn("Dry matter", "lb DM/day", "dry")  # fmt: skip
    need_tdn, need_cp, usual = _need("TDN need of the month", "lb/day", "need_tdn"), _need("CP need of the month", "lb/day", "need_cp"), _need("Dry matter eaten by the equations", "lb DM/day", "usual")  # fmt: skip
    faults = computed("What is not kept", "words", f"={FAULTS}", "text", 20)
    told_hay = computed("Bales in words", "words", f'={_told_bales(1)}&IF(AND(N({{bales_1}})>0,N({{bales_2}})>0)," and ","")&{_told_bales(2)}&IF(N({{bales_1}})+N({{bales_2}})=0,"",{OFTEN})', "text", 20)  # fmt: skip
    told_rest = computed("The rest in words", "words", "=" + "&".join([_told_weighed(1), _told_weighed(2), _told_feed(1), _told_feed(2), *(_told_mineral(f"mineral_{i}", name) for i, name in enumerate(MINERAL_NAMES, 1))]), "text", 20)  # fmt: skip
    told = computed(
        "All of it", "words", '=IF({told_hay}="",MID({told_rest},3,500),{told_hay}&{told_rest})', "text", 20
    )
    count = computed("Line of the plan", "1", lambda row: row.number, "number0", 10, key="number")
    months, herd, sources = another(lambda: Months), another(lambda: WinterHerd), another(lambda: WinterFeeds)
    months_of, parts = another(lambda: GroupMonths), another(lambda: BaleRows)

    def hay_cautions(self) -> Content:
        rows = self.book.find(BaleRows)
        one, two = (rows.some(BaleRows.caution, BaleRows.row_of(self.number, slot)) for slot in ("hay_1", "hay_2"))
        return Formula(f'=TRIM({one}&IF({two}="","",IF({one}="","","; ")&{two}))')


SLOTS = ("hay_1", "hay_2", "feed_1", "feed_2", "mineral_1", "mineral_2")


class BaleRows(PlanRows):
    """One row a hay, feed or mineral of a line of the plan: pounds a head in the mean of the month, from bales and days."""

    month = computed("Month", "name", '=IF({feed}="","",{line_month}&"")', "text", 14)
    group = computed("Cow group", "name", '=IF({feed}="","",{line_group}&"")', "text", 26)
    feed = computed("Hay or feed", "name", lambda row: row.name_of(), "text", 26)
    lb = computed("Put out, mean of the month", "lb as fed/day", "=ROUND({ration}*{line_share},12)", "number2_seen", 11)
    over = computed("Over a limit? 1 yes, 0 no", "yes/no", f"=IF(OR({{ration}}*{{ok}}>{{most}}+{SLACK_LB},{{dry}}>{{most_dry}}+{SLACK_LB}),1,0)", "number0_seen", 10)  # fmt: skip
    ration = computed("A head, while it is fed so", "lb as fed/day", lambda row: row.ration_of(), "number2_seen", band="From bales to pounds")  # fmt: skip
    bale = computed("A bale, storage loss taken off", "lb as fed", "=IF({s}=0,0,INDEX({sources.bale},MAX(1,{s})))", "number1", 10)  # fmt: skip
    bales = computed("Bales a feeding", "bales", lambda row: row.bales_of(), "number0_seen", 10)
    bales_out = computed("Bales put out", "bales", "={bales}*{line_feedings}", "number0_seen", 10)
    turn = computed("Line of Plan", "1", lambda row: (row.number - 1) // len(SLOTS) + 1, "number0", 10)
    lines = another(lambda: BalePlan)

    @staticmethod
    def row_of(turn: int, slot: str) -> int:
        return (turn - 1) * len(SLOTS) + SLOTS.index(slot) + 1

    @property
    def slot(self) -> str:
        return SLOTS[(self.number - 1) % len(SLOTS)]

    def line(self, key: str) -> str:
        """The cell of that column in the row's line of the plan."""
        column: Column = getattr(BalePlan, key)
        return self.lines.some(column, (self.number - 1) // len(SLOTS) + 1)

    @property
    def line_month(self) -> str:
        return self.line("month")

    @property
    def line_group(self) -> str:
        return self.line("group")

    @property
    def line_share(self) -> str:
        return self.line("share")

    @property
    def line_feedings(self) -> str:
        return self.line("feedings")

    def name_of(self) -> Content:
        kind, _, which = self.slot.partition("_")
        if kind != "mineral":
            return Formula(f'={self.line(self.slot)}&""')
        return Formula(f'=IF(N({self.line(self.slot)})=0,"","{MINERAL_NAMES[int(which) - 1]}")')

    def bales_of(self) -> Content:
        kind, _, which = self.slot.partition("_")
        return Formula(f"=N({self.line(f'bales_{which}')})") if kind == "hay" else 0

    def ration_of(self) -> Content:
        kind, _, which = self.slot.partition("_")
        if kind == "hay":
            head, every = self.line("head"), self.line("every")
            whole = f"IF(N({head})*N({every})>0,{self.bales}*{self.bale}/({head}*{every}),0)"
            return Formula(f"=IF({self.bales}>0,{whole},N({self.line(f'weighed_{which}')}))")
        return Formula(f"=N({self.line(f'lb_{which}' if kind == 'feed' else self.slot)})")


def in_order(plan: EasyPlan | None) -> list[Turn]:
    """Group by group, from the first day on."""
    if plan is None:
        return []
    names = [g.name for g in plan.farm.groups]
    return sorted(plan.turns, key=lambda t: (names.index(t.group), t.first))


def begun(book: Book, turns: Sequence[Turn], kept: int) -> None:
    """The two tables, so that other sheets see them; `kept` lines are left for an older workbook's; without, the solved ones."""
    sheet = begin(
        book, NAME, "The winter plan in whole bales: who is fed what, starting when",
        "One row is one ration. Change bales, days, pounds or names, or use the free rows: pounds, needs, stacks and dollars follow at once. A changed test does not change the bales: solve again.",
        "Inputs, then workings",
    )  # fmt: skip
    table = BalePlan(sheet, [*([None] * kept if kept else turns), *[None] * SPARE_TURNS]).filed("bale_plan")
    amounts = begin(
        book, AMOUNTS, "What the lines of the plan come to",
        "One row is one hay, feed or mineral of a line of Plan: pounds from its bales and days, the mean of the month, and what follows.", "Workings",
    )  # fmt: skip
    book.placed[PlanRows] = BaleRows(amounts, [None] * (table.n * len(SLOTS))).filed("plan")


def settle(book: Book) -> None:
    """The cells, once the needs of the months stand."""
    table, sheet = book.find(BalePlan), book.by_name(NAME)
    table.place()
    sheet.printed_cols = table.col(BalePlan.caution) + 1
    bad = ("short", "over", "not", "more")
    sheet.flags += [Flagging(table.area(BalePlan.says), word, "flag_bad") for word in bad]
    flag_dangers(sheet, table.area(BalePlan.caution))
    book.find(BaleRows).place()
