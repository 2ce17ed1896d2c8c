"""Cow year: in which months since calving the chosen hay carries the chosen cow by itself."""

from __future__ import annotations

from hayfuncs.contract.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.cow.requirement_model import CONCEPTION_DAY
from hayfuncs.workbook.keyed import another, calling, nearby
from hayfuncs.workbook.model import Book, Content, Formula, Picture, Series, Sheet
from hayfuncs.workbook.page import Page, banner, heading, list_heads, sentence, worked
from hayfuncs.workbook.sheets.closecalls import UNSURE
from hayfuncs.workbook.sheets.common import WITHHELD, begin
from hayfuncs.workbook.sheets.herd import AS_COW, AS_GROWING, AS_YOUNG, WEEKS_A_MONTH, Herd, NeedByClass
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import VERDICTS, hay_eaten, judged, most_counted
from hayfuncs.workbook.sheets.match import flag as flag_verdicts
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.styles import BLUE, VERMILLION
from hayfuncs.workbook.table import Column, Table, column, computed

PICTURES = 0  # column
MONTHS = 12
NAMED = 8  # the month beside which the line is named: her need is least there, so that the words stand clear
FIRST_PICTURE, TALL = 6, 340  # row, and pixels: both on one page
SECOND_PICTURE = FIRST_PICTURE + TALL // 20 + 1
TABLE = SECOND_PICTURE + TALL // 20 + 3  # row of the table's headings


class Cow(Page):
    """The chosen cow and hay, one line each; the table reads them here."""

    chosen = heading("The chosen cow and hay")
    heads = list_heads()
    shrunk = worked("Shrunk weight", "lb", "=INDEX({herd.shrunk},{ration.herd})", "number0")
    milk = worked("Milk at peak", "lb/day", "=INDEX({by.milk},{ration.herd})")
    calf = worked("Calf weight at birth", "lb", "=INDEX({herd.calf},{ration.herd})")
    now = worked("Month she is in now", "months", "=ROUNDUP(INDEX({herd.month},{ration.herd}),0)", "number0")  # fmt: skip
    way = worked("Counted as: 1 grown cow, 2 young cow, 3 growing", "1", "=INDEX({by.way},{ration.herd})", "number0")  # fmt: skip
    grown = worked("Shrunk weight when grown, of a young cow", "lb", "=INDEX({by.grown},{ration.herd})", "number0")  # fmt: skip
    gain = worked("Gain of her own, of a young cow", "lb/day", "=INDEX({by.gain},{ration.herd})", "number2")
    nem = worked("Energy of the hay", "Mcal/lb DM", "=INDEX({lots.nem},{ration.lots})", "number3")
    thin = worked("Is condition to be put on? 1 yes, 0 no", "yes/no", "=INDEX({by.counts},{ration.herd})", "number0")  # fmt: skip
    ndf = worked("NDF of the hay", "% DM", "=INDEX({lots.ndf},{ration.lots})")
    herd, lots, by = another(lambda: Herd), another(lambda: Lots), another(lambda: NeedByClass)
    ration = another(lambda: Ration)
    fiber = worked("Hay eaten by the fiber rule", "lb DM/day", calling("INTAKE_FROM_NDF", "{ndf}", "chosen_weight", "ndf_capacity_pct_bw"))  # fmt: skip


HER = ("{cow.shrunk}", "{month}", "{cow.milk}", "{cow.calf}")
YOUNG = ("{cow.grown}", "{cow.shrunk}", "{cow.gain}", *HER[1:])


def _need(nutrient: str) -> Column:
    """Of a grown cow by DAILY_NEED; growing cattle have no year, and need the same in each month."""
    low = nutrient.lower()
    other = f"IF({{cow.way}}={AS_YOUNG},{{young_{low}}},INDEX({{by.grow_{low}}},{{ration.herd}}))"
    call = calling("DAILY_NEED", f'"{nutrient}"', *HER, unless=(f"{{cow.way}}<>{AS_COW}", other))
    return computed(f"{nutrient} need", "lb/day", call, "number2")


def _young(nutrient: str) -> Column:
    call = calling("HEIFER_NEED", f'"{nutrient}"', *YOUNG, unless=(f"{{cow.way}}<>{AS_YOUNG}", '""'))
    return computed(f"{nutrient} need of a young cow", "lb/day", call, "number2")


# of either nutrient, N in its stead
LABEL = '=TRIM({month}&" "&{event}&IF(COUNT({N_short})=0,"",IF({N_short}>0," short "&IF(ROUND({N_short},1)=0,"under 0.1",TEXT({N_short},"0.0"))&" lb","")))'
# where a stretch of short months begins or ends; month 12 stands before month 1: the year is a ring
BEGINS = '=IF(AND({N_short}>0,INDEX({local.N_short},IF({month}=1,ROWS({local.N_short}),{month}-1))=0),{month},"")'
ENDS = '=IF(AND({N_short}>0,INDEX({local.N_short},IF({month}=ROWS({local.N_short}),1,{month}+1))=0),{month},"")'


class Months(Table[int]):
    """One row a month since calving."""

    units_height = 0
    month = computed("Months since calving", "months", lambda row: row.item, "number0", 32)
    event = computed("In her year", "words",
        '=TRIM(IF({month}=1,"calving",IF({month}=weaned_after+1,"weaned",""))&IF({month}={cow.now}," now",""))', "text_in", 14)  # fmt: skip
    milking = computed("In milk?", "yes/no", "=IF(AND({month}<=weaned_after,{cow.milk}>0),1,0)", "number0", 10)
    quality = computed("Hay eaten by quality class", "lb DM/day", calling("INTAKE_BY_QUALITY", "chosen_hay_tdn", "chosen_weight", "{milking}"))  # fmt: skip

    @column("Hay eaten, as chosen", "lb DM/day")
    def hay(self) -> Content:
        by_cows = hay_eaten(self.cow.fiber, most_counted("chosen_weight", self.milking), self.quality)
        young = f"MIN({self.young_most},{by_cows})"
        return Formula(
            f"=IF({self.cow.way}={AS_GROWING},chosen_hay_eaten,IF(ISNUMBER({self.young_most}),{young},{by_cows}))"
        )

    tdn_need = _need("TDN")
    tdn_gives = computed("TDN the hay gives", "lb/day", "={hay}*chosen_hay_tdn/100", "number2")
    tdn_short = computed("TDN short", "lb/day", calling("NUTRIENT_SHORT", "{tdn_need}", "{hay}", "chosen_hay_tdn"), "number2")  # fmt: skip
    tdn_covered = computed("TDN need that the hay covers", "lb/day", "={tdn_need}-{tdn_short}", "number2")
    cp_need = _need("CP")
    cp_gives = computed("CP the hay gives", "lb/day", "={hay}*chosen_hay_cp/100", "number2")
    cp_short = computed("CP short", "lb/day", calling("NUTRIENT_SHORT", "{cp_need}", "{hay}", "chosen_hay_cp"), "number2")  # fmt: skip
    cp_covered = computed("CP need that the hay covers", "lb/day", "={cp_need}-{cp_short}", "number2")
    says = computed("By itself this hay", "verdict", lambda row: judged(row.tdn_short, row.cp_short, "chosen_cow_caution"), "verdict", 16)  # fmt: skip
    tdn_label = computed("Name in the TDN picture", "text", LABEL.replace("N_", "tdn_"), "text", 20)
    cp_label = computed("Name in the CP picture", "text", LABEL.replace("N_", "cp_"), "text", 20)
    tdn_begins = computed("TDN begins to be short", "months", BEGINS.replace("N_", "tdn_"), "number0")
    tdn_ends = computed("TDN is short for the last time", "months", ENDS.replace("N_", "tdn_"), "number0")
    cp_begins = computed("CP begins to be short", "months", BEGINS.replace("N_", "cp_"), "number0")
    cp_ends = computed("CP is short for the last time", "months", ENDS.replace("N_", "cp_"), "number0")
    young_tdn, young_cp = _young("TDN"), _young("CP")
    young_milk = computed("Milk a young cow gives", "lb/day", calling("MILK_YIELD", "{cow.milk}", f"{{month}}*{WEEKS_A_MONTH}", unless=(f"OR({{cow.way}}<>{AS_YOUNG},{{milking}}=0)", "0")))  # fmt: skip
    young_in_calf = computed("Young cow in calf? 1 yes, 0 no", "yes/no", f"=IF({{month}}*{DAYS_PER_YEAR:g}/{MONTHS_PER_YEAR:g}>{CONCEPTION_DAY:g},1,0)", "number0")  # fmt: skip
    young_most = computed("Most hay that a young cow eats", "lb DM/day", calling("INTAKE_FROM_NEM", "{cow.nem}", "{cow.shrunk}", "{young_milk}", "{young_in_calf}", unless=(f"OR({{cow.way}}<>{AS_YOUNG},COUNT({{cow.nem}})=0)", '""')))  # fmt: skip
    cow, by = another(lambda: Cow), another(lambda: NeedByClass)
    ration = another(lambda: Ration)


WHEN = (
    '=IF({N_count}=1,"in month "&{N_first},IF({N_several}=1,'
    '"from month "&{N_first}&IF({N_first}>{N_last}," through calving","")&" to month "&{N_last},"in "&{N_count}&" months"))'
)
SAID = '"NUTRIENT is short "&IF({N_count}=0,"in no month",IF({N_several}=0,"in every month",{N_when}))'


def _said(nutrient: str, key: str) -> str:
    said = SAID.replace("NUTRIENT", nutrient).replace("N_", key)
    return f'=IF({WITHHELD[0]},"No picture while a check fails",{said})'


class Findings(Page):
    """How many months the hay carries, and which are short, in words."""

    found = heading("What the pictures say")
    heads = list_heads()
    carried = worked("Months the hay carries her", "months", f'=COUNTIF({{months.says}},"{VERDICTS[0]}")+COUNTIF({{months.says}},"{UNSURE}")', "number0")  # fmt: skip
    tdn_count = worked("Months short of TDN", "months", '=COUNTIF({months.tdn_short},">0")', "number0")
    tdn_several = worked("stretches of such months", "1", "=COUNT({months.tdn_begins})", "number0")
    tdn_first = worked("the first stretch begins with", "months", "=MIN({months.tdn_begins})", "number0")
    tdn_last = worked("and ends with", "months", "=MIN({months.tdn_ends})", "number0")
    tdn_when = worked("when", "", WHEN.replace("N_", "tdn_"), "text_in")
    tdn = worked("in words", None, _said("TDN", "tdn_"), "text_in")
    cp_count = worked("Months short of CP", "months", '=COUNTIF({months.cp_short},">0")', "number0")
    cp_several = worked("stretches of such months", "1", "=COUNT({months.cp_begins})", "number0")
    cp_first = worked("the first stretch begins with", "months", "=MIN({months.cp_begins})", "number0")
    cp_last = worked("and ends with", "months", "=MIN({months.cp_ends})", "number0")
    cp_when = worked("when", "", WHEN.replace("N_", "cp_"), "text_in")
    cp = worked("in words", None, _said("CP", "cp_"), "text_in")
    appetite = sentence(
        "Hay is eaten to appetite, by the way chosen on Assumptions; needs are those of Herd for each month, with this cow's weight, milk and calf.",
        after=1,
    )
    weather = sentence("Cold, mud and a thin cow ask for more than these columns show: see Herd care.")
    months = nearby(lambda: Months)


class Answer(Page):
    """The two lines above the pictures."""

    framed = 13  # columns
    carries = banner(
        f'=IF({WITHHELD[0]},{WITHHELD[1]},IF({{cow.way}}={AS_GROWING},chosen_group&" do not calve: the need is the same in each month. See Young cattle.",'
        'IF(chosen_cow_caution="",chosen_lot&" is enough for "&chosen_group&" by itself in "&{of_months},'
        'chosen_lot&" meets a grown cow in "&{of_months}&"; "&chosen_group&" need more: see Ration")))'
    )
    which = banner(f'=IF({WITHHELD[0]},"",{{found.tdn}}&"; "&{{found.cp}}&".")')
    of_months = '{found.carried}&" of "&ROWS({found.months.says})&" months"&IF({cow.thin}=1,"; gaining condition takes more","")'
    found, cow = another(lambda: Findings), another(lambda: Cow)


def fill(book: Book) -> None:
    sheet = begin(book, "Cow year", "In which months does this hay carry her?",
        "The lot and the group chosen on What to feed, through the twelve months from one calving to the next. Month 3 is the end of the third month.",
        "Result")  # fmt: skip
    sheet.zoom = 120
    months = Months(sheet, range(1, MONTHS + 1), heads_at=TABLE)
    sheet.printed_cols = months.col(Months.says) + 1  # the workings of the pictures stand at the right
    cow = Cow(sheet, months.row_below + 2)
    found = Findings(sheet, cow.row_below + 3)
    answer = Answer(sheet)
    months.place(title="Table behind the pictures: one cow, one day, month by month").filed("cowyear")
    flag_verdicts(sheet, months.area(Months.says))
    for page in (answer, cow, found):
        page.place()
    book.marks["cowyear"] |= {
        "carried": found.carried, "banner": answer.carries, "which": answer.which, "TDN": found.tdn, "CP": found.cp,
    }  # fmt: skip
    _picture(sheet, FIRST_PICTURE, "Energy (TDN)", "TDN", found.tdn, months.tdn_label, months.tdn_covered, months.tdn_short, months.tdn_gives)  # fmt: skip
    _picture(sheet, SECOND_PICTURE, "Protein (CP)", "CP", found.cp, months.cp_label, months.cp_covered, months.cp_short, months.cp_gives)  # fmt: skip
    sheet.freeze = (3, 0)
    sheet.page_breaks, sheet.printed_rows = [TABLE - 1], TABLE - 1  # the table is for the screen


def _picture(sheet: Sheet, at: int, name: str, nutrient: str, title: str, x: str, met: str, gap: str, hay: str) -> None:
    """Need as columns; the part the hay covers solid, the gap hatched; what the hay gives as a line."""
    named = tuple(i + 1 == NAMED for i in range(MONTHS))
    sheet.draw(
        Picture(
            "column", at, PICTURES, title, "Months since calving", f"{name} one cow needs in a day, lb",
            f"Column chart of the {nutrient} one cow needs in a day, in pounds, for each month since calving: the part that the hay covers is "
            "solid, what is short is hatched on top, and a dashed line shows what the hay gives. Under each month that is short stand the word and the pounds. The table is below.",
            [
                Series(f"{nutrient} need that the hay covers", x, met, BLUE, gap=35),
                Series(f"{nutrient} short", x, gap, VERMILLION, pattern="wide_upward_diagonal", gap=35),
            ],
            width=1290, height=TALL, y_range=(0, None), stacked=True, every_name=True,
            line=Series("hay gives", x, hay, "#1F1F1F", named, line="dash", marker="none", label_position="above"),
        )
    )  # fmt: skip
