"""The days on which hay goes out, card by card of the month cards: to be ticked off by the one who feeds."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Sheet
from hayfuncs.workbook.sheets.baleplan import MOST_EVERY, BalePlan
from hayfuncs.workbook.sheets.winter import Months
from hayfuncs.workbook.table import Table, computed

WIDE = 3  # letters of a day in a list: two digits and a space
LONGEST_MONTH = 31
LATE = 100_000  # a day number after every winter
ALL = "({plan.g}={group})*({plan.m}={month})*"
HERE = ALL + "({plan.bales_1}+{plan.bales_2}>0)*"  # hay that is weighed out goes out each day


class DayLists(Table[tuple[int, int]]):
    """Each way in which feedings fall in a month: every so many days, from one of the first days on."""

    every = computed("Days between feedings", "days", lambda row: row.item[0], "number0")
    first = computed("First of the month", "days", lambda row: row.item[1], "number0")
    days = computed("Days of the month", "days", lambda row: row.listed(), "text", 40)
    line = computed("Row of the lists", "1", lambda row: row.number, "number0", key="number")

    def listed(self) -> str:
        every, first = self.item
        return "".join(f"{day:<{WIDE}}" for day in range(first, LONGEST_MONTH + 1, every))


class Feedings(Table[tuple[int, int]]):
    """One row a card: a group and a month.  A feeding that reaches into a month may lie in the month before."""

    group = computed("Group number", "row of Herd", lambda row: row.item[0], "number0")
    month = computed("Number of the month", "1", lambda row: row.item[1], "number0")
    every = computed("Days between feedings of hay", "days", f"=SUMPRODUCT(LARGE({HERE}{{plan.step}},1))", "number0")
    first = computed("First feeding", "date", f"=IF({{every}}=0,0,{LATE}-SUMPRODUCT(LARGE({HERE}({LATE}-{{plan.first}}),1)))", "number0")  # fmt: skip
    last = computed("Last day of them", "date", f"=SUMPRODUCT(LARGE({HERE}({{plan.first}}+{{plan.days}}-1),1))", "number0")  # fmt: skip
    fed = computed("Feedings", "feedings", "=IF({every}=0,0,INT(({last}-{first})/{every})+1)", "number0")
    wanted = computed("Feedings of bales by the plan", "feedings", f"=SUMPRODUCT({HERE}{{plan.feedings}})", "number0")
    early = computed("Of them in the month before", "feedings", "=IF({every}=0,0,IF({first}<INDEX({months.first},{month}),1,0))", "number0")  # fmt: skip
    day = computed("First in the month itself", "days", "=IF({every}=0,0,DAY({first}+{every}*{early}))", "number0")
    skipped = computed("Feedings of such a list before it", "1", "=IF({every}=0,0,INT(({day}-1)/{every}))", "number0")
    begins = computed("First day of such a list", "days", "={day}-{every}*{skipped}", "number0")
    which = computed("Row of the lists", "1", "=SUMPRODUCT(({lists.every}={every})*({lists.first}={begins})*{lists.line})", "number0")  # fmt: skip
    days = computed("In the month itself", "days", f'=IF({{every}}=0,"",TRIM(MID(INDEX({{lists.days}},{{which}}),{WIDE}*{{skipped}}+1,{WIDE}*({{fed}}-{{early}}))))', "text", 40)  # fmt: skip
    after = computed("The next feeding", "date", "=IF({every}=0,0,{first}+{every}*{fed})", "number0")
    over = computed("Day after the month, or after the winter", "date", "=INDEX({months.end},{month})", "number0")
    till = computed("Last day of all that the card holds", "date", f"=SUMPRODUCT(LARGE({ALL}({{plan.first}}+{{plan.days}}-1),1))", "number0")  # fmt: skip
    then = computed("Who goes on", "words", '=IF(OR({every}=0,{after}>={over},{till}>={after}),""," From "&TEXT({after},"d mmm")&" on: the next card.")', "text", 30)  # fmt: skip
    says = computed("In words", "words",
        '=IF({every}=0,"",IF({fed}<>{wanted},"Bales go out on some of the days: see Plan.",IF({every}=1,"Bales go out every day.","Bales go out on "&IF({early}=1,TEXT({first},"d mmm")&IF({days}="","",", "),"")&{days}&"."&{then})))', "text", 60)  # fmt: skip
    plan, months, lists = another(lambda: BalePlan), another(lambda: Months), another(lambda: DayLists)


def fill(sheet: Sheet, heads_at: int, groups: int, months: int) -> Feedings:
    ways = [(every, first) for every in range(1, MOST_EVERY + 1) for first in range(1, every + 1)]
    lists = DayLists(sheet, ways, heads_at).place(title="How feedings fall in a month")
    cards = [(group, month) for group in range(1, groups + 1) for month in range(1, months + 1)]
    return Feedings(sheet, cards, lists.row_below + 2).place(title="When hay goes out, by card")
