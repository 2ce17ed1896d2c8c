"""Month cards: what the one who feeds puts out, a card for each group and month of the winter plan."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets import feedingdays
from hayfuncs.workbook.sheets.budget import Buying
from hayfuncs.workbook.sheets.common import begin, pick, typed_names
from hayfuncs.workbook.sheets.mineral import mineral_mix
from hayfuncs.workbook.sheets.printed import WIDTHS
from hayfuncs.workbook.table import Table, column

NAME, ROWS_NAME = "Month cards", "Month card rows"
LINES, BALE_LINES = 6, 12  # hays and feeds that a card has room for; of a plan in whole bales three rations of them
TO_MONTH, TO_GROUP = 10_000, 100  # a card's number: month, group and line in one
CARDS_ON_PAGE, BALE_CARDS = 3, 2
GAP = 2  # blank rows between cards
LINE_HEIGHT, BALE_HEIGHT = 20, 17  # points: as many cards on a sheet of letter paper, with room to spare
DAYS_HEIGHT, GAP_HEIGHT = 18, 7
SAID, HEAD, ALL = range(3)  # columns of a card: what, pounds a head, pounds for all
LINKS = 4  # beside the paper: a link to each group's cards
MARK = " *"


class PlanLines(Table[int]):
    """`self.item` is the row of the plan's table."""

    frozen = 1

    @column("Row of Plan", "row of Plan", style="number0", width=9)
    def line(self) -> Content:
        return self.item

    @column("Counted? 1 yes, 0 no", "yes/no", style="number0", width=9)
    def counted(self) -> Content:
        return Formula(f"={self.plan('ok')}")

    @column("Number of the month", "number", style="number0", width=9)
    def month(self) -> Content:
        return Formula(f"=N({self.plan('m')})")

    @column("Group number", "row of Herd", style="number0", width=9)
    def group(self) -> Content:
        return Formula(f"=N({self.plan('g')})")

    @column("Its card", "number", style="number0", width=12)
    def card(self) -> Content:
        return Formula(f"=IF({self.counted}=1,{TO_MONTH}*{self.month}+{TO_GROUP}*{self.group},0)")

    @column("Line on the card", "number", style="number0", width=9)
    def place_on_card(self) -> Content:
        col = self.col(PlanLines.card)
        top = self.sheet.ref(self.first_row, col).rpartition("!")[2]
        return Formula(f"=IF({self.card}=0,0,COUNTIF({top}:{self.card},{self.card}))")

    @column("Card and line", "number", style="number0", width=12)
    def code(self) -> Content:
        return Formula(f"={self.card}+{self.place_on_card}")

    @column("A head a day", "lb as fed/day", style="number2")
    def head_lb(self) -> Content:
        return Formula(f"=N({self.plan('lb')})*{self.counted}")

    @column("All of them a day", "lb as fed/day", style="number0")
    def herd_lb(self) -> Content:
        return Formula(f"=IF({self.counted}=1,{self.head_lb}*{self.head},0)")

    @column("The month", "lb as fed", style="number0")
    def month_lb(self) -> Content:
        days = pick(str(self.sheet.book.marks["months"]["days"]), self.month)
        return Formula(f"=IF({self.counted}=1,{self.herd_lb}*{days},0)")

    @column("Bale, own hay", "lb as fed", style="number0")
    def bale(self) -> Content:
        marks = self.sheet.book.marks
        at = f"MATCH({self.plan('feed')},{marks['lots']['name']},0)"
        own = f"IF({self.counted}=1,{self.plan('kind')}=1,FALSE)"
        return Formula(f"=IF({own},IF(ISNUMBER({at}),N(INDEX({marks['register']['weight']},{at})),0),0)")

    @column("Bales in the month", "bales", style="number0")
    def bales(self) -> Content:
        return call("BALES_NEEDED", self.month_lb, self.bale, unless=(f"{self.bale}=0", "0"))

    @column("As the card has it", "words", style="text", width=40)
    def said(self) -> Content:
        care = self.care
        bales = f'IF({self.bales}=0,"",", "&{self.bales}&" bales")'
        return Formula(f'=IF({self.counted}=1,{self.plan("feed")}&{bales}&IF({care}>0,"{MARK}",""),"")')

    @property
    def care(self) -> str:
        """How many dangers and cautions the hay has; 1 of a feed or bought hay with a caution."""
        marks = self.sheet.book.marks
        at = f"MATCH({self.plan('feed')},{marks['lots']['name']},0)"
        own = f"INDEX({marks['cautions']['count_dan']},{at})+INDEX({marks['cautions']['count_cau']},{at})"
        buying = self.book.find(Buying)
        bought = f"MATCH({self.plan('feed')},{buying.name},0)"
        fed = f'IF(INDEX({buying.caution},{bought})&{self.plan("caution")}="",0,1)'
        return f"IF(ISNUMBER({at}),{own},IF(ISNUMBER({bought}),{fed},0))"

    @property
    def head(self) -> str:
        return pick(str(self.sheet.book.marks["season_herd"]["head"]), self.group)

    def plan(self, mark: str) -> str:
        return pick(str(self.sheet.book.marks["plan"][mark]), self.line)


class BaleLines(PlanLines):
    """Of a plan in whole bales: what is put out while it is fed so, not the mean of the month."""

    @column("A head a day", "lb as fed/day", style="number2")
    def head_lb(self) -> Content:
        return Formula(f"=N({self.plan('ration')})*{self.counted}")

    @column("The month", "lb as fed", style="number0")
    def month_lb(self) -> Content:
        return Formula(f"=IF({self.counted}=1,{self.herd_lb}*{self.turn('days')},0)")

    @column("Bales in the month", "bales", style="number0")
    def bales(self) -> Content:
        return Formula(f"=N({self.plan('bales_out')})*{self.counted}")

    @column("As the card has it", "words", style="text", width=40)
    def said(self) -> Content:
        from_day = f'IF({self.turn("share")}<1,"From "&TEXT({self.turn("first")},"d mmm")&": ","")'
        number = self.plan("bales")
        whole = f'IF({number}=0,"",{number}&" "&{self.kind_of_bale}&IF({number}=1," ","s "))'
        star = f'IF({self.care}>0,"{MARK}","")'
        return Formula(f'=IF({self.counted}=1,{from_day}&{whole}&{self.plan("feed")}&{star},"")')

    @property
    def kind_of_bale(self) -> str:
        """So that nobody takes a small square for a round."""
        marks = self.sheet.book.marks
        at = f"MATCH({self.plan('feed')},{marks['lots']['name']},0)"
        kind = f"INDEX({marks['register']['bale']},{at})"
        return f'IF(ISNUMBER({at}),IF({kind}="","bale",{kind}),"bale")'

    def turn(self, mark: str) -> str:
        return pick(str(self.sheet.book.marks["bale_plan"][mark]), self.plan("turn"))


def fill(book: Book) -> None:
    whole_bales = "bale_plan" in book.marks
    rows = begin(
        book, ROWS_NAME, "What stands behind the month cards",
        "One row is one row of the plan, with the card and the line of the card that it stands on.", "Workings",
    )  # fmt: skip
    kind = BaleLines if whole_bales else PlanLines
    lines = kind(rows, range(1, book.marks["plan"]["n"] + 1)).place().filed("card_rows")
    groups, months = typed_names(book, "herd"), book.marks["months"]["n"]
    if whole_bales:
        feedingdays.fill(rows, lines.row_below + 2, len(groups), months)
    sheet = begin(
        book, NAME, "What to put out, month by month",
        "By the winter plan, from calving dates. Take home is for now, by the month on Herd, and has its cautions; a star is for a hay or feed with one.", "Result",
    )  # fmt: skip
    sheet.width(*WIDTHS)
    sheet.portrait = True
    top, on_page = 5, 0
    sheet.printed_from, sheet.printed_cols = top, ALL + 1
    cards: list[tuple[int, int]] = []
    for group, name in enumerate(groups, 1):
        for month in range(1, months + 1):
            if on_page == (BALE_CARDS if whole_bales else CARDS_ON_PAGE):
                sheet.page_breaks.append(top)
                on_page = 0
            last = _card(book, sheet, lines, top, group, month)
            cards.append((top, last))
            sheet.heights |= dict.fromkeys(range(last + 1, last + 1 + GAP), GAP_HEIGHT)
            top, on_page = last + 1 + GAP, on_page + 1
            if name:
                sheet.printed_rows = last + 1  # the cards of a free row are not printed
    for group, name in enumerate(groups):  # beside the cards, not printed
        if name:
            first = cards[group * months][0]
            sheet.put(sheet.printed_from + group, LINKS, f"▶ {name}", "link", link=f"{NAME}!{a1(first, SAID)}")
    book.marks["month_cards"] = {"rows": cards}


def _card(book: Book, sheet: Sheet, lines: PlanLines, top: int, group: int, month: int) -> int:
    months, herd, rows = book.marks["months"], book.marks["season_herd"], book.marks["card_rows"]
    label, days = (pick(months[k], str(month)) for k in ("label", "days"))
    name, head = (pick(herd[k], str(group)) for k in ("name", "head"))
    empty = f'OR({name}="",N({days})=0)'
    code = TO_MONTH * month + TO_GROUP * group
    sheet.put(top, SAID, Formula(f'=IF({empty},"",{name}&", "&{head}&" head")'), "take_title")
    sheet.put(top + 1, SAID, Formula(f'=IF({empty},"",{label}&", "&{days}&" days"{_often(book, group, month)})'), "take_head")  # fmt: skip
    for col, text in ((HEAD, "A head a day"), (ALL, "Whole group")):
        sheet.put(top + 1, col, Formula(f'=IF({empty},"","{text}")'), "take_head_right")
    sheet.heights[top], sheet.heights[top + 1] = 29, 20
    bar = (top + 1, SAID, top + 1, ALL)
    sheet.flags.append(Flagging(bar, "", "flag_no_number", when=f'{a1(*bar[:2], "rc")}=""'))  # no empty bar
    row = top + 2
    if "bale_plan" in book.marks:
        found = book.find(feedingdays.Feedings)
        says = found.some(feedingdays.Feedings.says, found.items.index((group, month)) + 1)
        sheet.put(row, SAID, Formula(f'=IF(OR({empty},plan_stop<>""),"",{says})'), "take_line")
        sheet.heights[row] = DAYS_HEIGHT
        row += 1
    room, height = (BALE_LINES, BALE_HEIGHT) if "bale_plan" in book.marks else (LINES, LINE_HEIGHT)
    for line in range(1, room + 1):
        at = f"MATCH({code + line},{rows['code']},0)"
        for col, (mark, style, unit) in enumerate((("said", "card_item", ""), ("head_lb", "card_tenths", "lb as fed/day"), ("herd_lb", "card_lb", "lb as fed/day"))):  # fmt: skip
            shown = f'IF({empty},"",IF(plan_stop<>"","",IF(ISNUMBER({at}),INDEX({rows[mark]},{at}),"")))'
            sheet.put(row, col, Formula(f"={shown}"), style, unit=unit)
        sheet.heights[row] = height
        row += 1
    mineral = f'IF(OR({empty},plan_stop<>""),"",{mineral_mix(book, head)})'
    sheet.put(row, SAID, Formula(f"={mineral}"), "take_line")
    sheet.heights[row] = height
    row += 1
    more = f'IF(ISNUMBER(MATCH({code + room + 1},{rows["code"]},0)),"There is more than this card holds: see Plan.","A star: it has a caution. See Take home, Plan and Winter budget first.")'
    stopped = '"✗ Do not feed by this card while a check fails: "&plan_stop'
    sheet.put(row, SAID, Formula(f'=IF({empty},"",IF(plan_stop="",{more},{stopped}))'), "take_line")
    sheet.flags.append(Flagging((row, SAID, row, SAID), "✗", "flag_bad"))
    sheet.heights[row] = DAYS_HEIGHT
    return row


def _often(book: Book, group: int, month: int) -> str:
    """How often hay is put out, of a plan in whole bales; the same all month."""
    if "bale_plan" not in book.marks:
        return ""
    plan = book.marks["bale_plan"]
    most = f"SUMPRODUCT(LARGE(({plan['g']}={group})*({plan['m']}={month})*{plan['step']},1))"
    return f'&IF({most}>1,", bales every "&{most}&" days","")'


def cards_of(book: Book, group: int) -> Sequence[tuple[int, int]]:
    """First and last rows of a group's cards."""
    months = book.marks["months"]["n"]
    found: Sequence[tuple[int, int]] = book.marks["month_cards"]["rows"][(group - 1) * months : group * months]
    return found
