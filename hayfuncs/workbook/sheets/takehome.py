"""Take home: a page for each cow group, for the one who feeds; what is chosen for it stands above the pages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from hayfuncs import __version__
from hayfuncs.cow.classes import COW
from hayfuncs.importers.model import Group
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Input, Sheet
from hayfuncs.workbook.sheets import takehomenumbers
from hayfuncs.workbook.sheets.common import begin, input_row, nth
from hayfuncs.workbook.sheets.grid import listed
from hayfuncs.workbook.sheets.takehomenumbers import Numbers
from hayfuncs.workbook.sheets.takehomewords import AFTER, MOST, TOO_MANY
from hayfuncs.workbook.table import Table, asked, column

NAME = "Take home"
BUCKET_LB = 25  # as a first value, to be weighed (our choice, no source)
DAYS = 30
LINE = "_" * 22  # where nothing is typed, room to write by hand
NONE = "–"
CAUTIONS = 190  # points: twelve lines
WIDTHS = (46, 17, 14)  # of a page that prints at full size


class Choices(Table[Group | None]):
    """What the agent may choose for each group; what is left empty is chosen by rule."""

    heads_height = 52

    @column("Cow group", "name", style="label")
    def name(self) -> Content:
        return Formula(f"={nth(self.sheet.book.marks['herd']['counted'], self.number)}")

    hay = asked("Hay", "a lot, or empty", by_row=lambda row, key: row.ask(key, "Hay", "lots", "the best hay for these cows by the rule on Which hay, and for the cows chosen on What to feed the hay chosen there"), of=lambda row: None, style="input_text")  # fmt: skip
    feed = asked("Feed", "a feed, or empty", by_row=lambda row, key: row.ask(key, "Feed", "feeds", "the feed chosen on What to feed"), of=lambda row: None, style="input_text")  # fmt: skip

    def ask(self, key: str, title: str, table: str, otherwise: str) -> Input:
        says = f"{title} of this group's page, picked from the list. Empty: {otherwise}"
        return listed(title, says, self.sheet.book.marks[table]["name"])(key)


def fill(book: Book, groups: Sequence[Group], start: dt.date) -> None:
    sheet = begin(
        book, NAME, "A page for each group, to take home",
        "Change the choices in the straw-colored cells; every page below follows, and each prints on one sheet of paper. A group typed later has its page here at once, and in print by hayfuncs handout.", "Result",
    )  # fmt: skip
    sheet.portrait = True
    _inputs(book, sheet, start)
    free = book.marks["herd"]["n"] - len(groups)
    choices = Choices(sheet, [*groups, *[None] * free], heads_at=14).place().filed("take_home")
    sheet.width(*WIDTHS)
    sheet.freeze, sheet.repeat_rows = (3, 0), None
    numbers = takehomenumbers.fill(book)
    top = choices.row_below + 2
    sheet.printed_from = top
    pages: list[tuple[int, int]] = []
    for choice in choices.rows():
        row = numbers.beside(choice)
        sheet.page_breaks.append(top)
        end = _Page(book, sheet, row, top).fill()
        pages.append((top, end))
        if row.number <= len(groups) and groups[row.number - 1].name:
            sheet.printed_rows = end + 1  # a free row's page is not printed
        top = end + 2
    book.marks["take_home_pages"] = {"rows": pages}


def _inputs(book: Book, sheet: Sheet, start: dt.date) -> None:
    lines: tuple[tuple[str, str, Content, Input, str, str], ...] = (
        ("page_from", "Good from", start, Input(f"{NAME}/from", "Good from", "The day from which the pages hold, a date from 1990 to 2100", kind="date"), "date", "input_date"),
        ("page_days", "Days that are bought for", DAYS, Input(f"{NAME}/days", "Days", "Days that hay and feed are counted for, 1 to 366", lo=1, hi=366, kind="whole"), "days", "input0"),
        ("bucket_lb", "A full bucket of feed weighs", BUCKET_LB, Input(f"{NAME}/bucket", "Bucket", "Pounds of feed in one full bucket: weigh yours, 0.5 to 2,000. Empty: no buckets are counted", lo=0.5, hi=2000, required=False), "lb", "input"),
        ("page_vet", "Veterinarian, name and phone", None, Input(f"{NAME}/vet", "Veterinarian", "Name and phone, as they stand on every page", kind="text", required=False), "text", "input_text"),
        ("page_office", "Extension office, name and phone", None, Input(f"{NAME}/office", "Extension office", "Name and phone, as they stand on every page", kind="text", required=False), "text", "input_text"),
        ("page_fire", "Fire service, phone", None, Input(f"{NAME}/fire", "Fire service", "Phone, as it stands on every page", kind="text", required=False), "text", "input_text"),
    )  # fmt: skip
    sheet.put(4, 0, "For all pages", "section")
    for row, (name, label, value, entry, unit, style) in enumerate(lines, 5):
        book.define(name, input_row(sheet, row, label, value, entry, unit, style))
    sheet.put(12, 0, "For each group", "section")


class _Page:
    """The lines of one group's page, from the top down."""

    def __init__(self, book: Book, sheet: Sheet, numbers: Numbers, top: int) -> None:
        self.book, self.sheet, self.n, self.row = book, sheet, numbers, top

    def fill(self) -> int:
        """Hands back the last row."""
        n, top = self.n, self.row
        self.line(f'={n.name}&", "&{n.head}&" head"', "take_title", 34)
        month, weight, kind = (
            f"INDEX({self.book.marks['herd'][k]},{n.group})" for k in ("month", "weight", "cattle_class")
        )
        calved = f'OR({kind}="",ISNUMBER(SEARCH("{COW}",{kind})))'
        what = f'IF({calved}," lb cows, month "&{month}&" after calving"," lb each, class "&{kind})'
        said = (
            f'TEXT({weight},"#,##0")&{what}&". Good from "&TEXT(page_from,"d mmm yyyy")&" until cattle or hay change."'
        )
        self.line(f"={said}", "take_line", 20)
        self.line(f'=IF({n.shown}=1,"{{}}","✗ No number on this page: "&{n.why})'.format('Feed this"&IF(' + n.cow_caution + '="",""," at the least")&":'), "take_answer", 26)  # fmt: skip
        self.sheet.flags.append(Flagging((self.row - 1, 0, self.row - 1, 2), "✗", "flag_bad"))
        self._put_out()
        self._month()
        self._cautions()
        self._test()
        free = f'{n.sheet.ref(n.at or 0, n.col(Numbers.why))}="free row"'
        for (row, _), cell in self.sheet.cells.items():
            if top <= row < self.row and isinstance(cell.content, Formula):
                cell.content = Formula(f'=IF({free},"",{cell.content.text[1:]})')
        return self.row - 1

    def line(self, formula: str, style: str, height: float) -> None:
        self.sheet.put(self.row, 0, Formula(formula), style)
        self.sheet.heights[self.row] = height
        self.row += 1

    def heads(self, *texts: str) -> None:
        for col, text in enumerate(texts):
            self.sheet.put(self.row, col, text or None, "take_head" if col == 0 else "take_head_right")
        self.sheet.heights[self.row] = 20
        self.row += 1

    def shown(self, what: str, otherwise: str = f'"{NONE}"') -> str:
        return f"=IF({self.n.shown}=1,{what},{otherwise})"

    def numbers(self, label: str, *values: tuple[str, str, str], height: float = 24) -> None:
        """A line of the page's tables: words, then value, unit and look of each."""
        self.sheet.put(self.row, 0, Formula(label) if label.startswith("=") else label, "take_item")
        for col, (value, unit, style) in enumerate(values, 1):
            self.sheet.put(self.row, col, Formula(value) if value else None, style, unit=unit)
        self.sheet.heights[self.row] = height
        self.row += 1

    def _put_out(self) -> None:
        n = self.n
        self.heads("Every day", "A head", "All of them")
        self.numbers(f'=IF({n.shown}=1,{n.hay},"Hay")', (self.shown(n.out), "lb as fed/day", "take_lb"), (self.shown(n.out_herd), "lb as fed/day", "take_lb"))  # fmt: skip
        feed = f'IF({n.fed}=0,"No feed: the hay is enough",{n.feed})'
        self.numbers(f'=IF({n.shown}=1,{feed},"Feed")', *((self.shown(f'IF({n.fed}=0,"none",{what})'), "lb as fed/day", look) for what, look in ((n.fed, "take_feed"), (n.fed_herd, "take_lb"))))  # fmt: skip
        often = f'IF({n.days}=1,"every day","every "&{n.days}&" days")'
        bales = (
            f'"Set out "&{n.bales}&IF({n.bales}=1," bale "," bales ")&{often}&", "&TEXT({n.bale},"#,##0")&" lb a bale."'
        )
        self.line(self.shown(f'IF({n.bale}=0,"Weigh a bale of this hay, and type it on Register.",{bales})', '""'), "take_big", 24)  # fmt: skip
        rest = f'IF(ROUND({n.beside_buckets},0)=0,"",", and "&TEXT({n.beside_buckets},"0")&" lb more")'
        full = (
            f'"Feed "&{n.buckets}&" full bucket"&IF({n.buckets}=1,"","s")&" of "&bucket_lb&" lb"&{rest}&", every day."'
        )
        less = f'"Feed "&TEXT({n.beside_buckets},"0.0")&" lb in all, less than a full bucket, every day."'
        buckets = f"IF({n.buckets}=0,{less},{full})"
        counted = f'IF({n.fed}=0,"",IF(N(bucket_lb)=0,"Weigh a full bucket, and type it on Take home.",{buckets}))'
        self.line(self.shown(counted, '""'), "take_big", 24)
        words = f'"They eat all but "&TEXT({n.wasted},"0.0")&" % of the hay; that waste is counted in."'
        self.line(self.shown(f'{words}&IF({n.fed}=0,""," "&IF({n.driver}="energy","Energy","Protein")&" sets the pounds.")', '""'), "take_line", 20)  # fmt: skip

    def _month(self) -> None:
        n = self.n
        self.sheet.put(self.row, 0, Formula('="For "&page_days&" days"'), "take_head")
        for col, text in ((1, "Tons"), (2, "Cost")):
            self.sheet.put(self.row, col, text, "take_head_right")
        self.sheet.heights[self.row] = 20
        self.row += 1
        bales = f'IF({n.bale}=0,{n.hay},TEXT({n.hay_bales},"#,##0")&" bales of "&{n.hay})'
        self.numbers(f'=IF({n.shown}=1,{bales},"Hay")', (self.shown(f"{n.hay_lb}/lb_per_ton"), "tons as fed", "take_tons"), (self.shown(n.hay_cost), "$", "take_money"))  # fmt: skip
        feed = f'IF({n.fed}=0,"No feed to buy","Buy "&TEXT({n.feed_lb},"#,##0")&" lb of "&{n.feed})'
        self.numbers(f'=IF({n.shown}=1,{feed},"Feed")', (self.shown(f"{n.feed_lb}/lb_per_ton"), "tons as fed", "take_tons"), (self.shown(n.feed_cost), "$", "take_money"))  # fmt: skip
        self.numbers("A head a day, hay and feed", ("", "", "take_lb"), (self.shown(n.cow_day), "$/day", "take_cents"))
        others = f'IF({n.groups}>1," for the "&{n.groups}&" groups on it"," for this group")'
        lasts = f'"The pile of "&{n.hay}&" lasts "&TEXT({n.lasts},"#,##0")&" days"&{others}&IF({n.lasts}<page_days,": find more hay now.",".")'
        self.line(self.shown(f'IF({n.pile}=0,"How much of this hay there is was not entered.",{lasts})', '""'), "take_line", 20)  # fmt: skip

    def _cautions(self) -> None:
        n = self.n
        self.heads("Before you feed this", "", "Your vet decides")
        self.sheet.put(
            self.row, 0, Formula(f'=IF(LEN({n.cautions})>{MOST},"{TOO_MANY}"&CHAR(10),"")&{n.cautions}'), "take_caution"
        )
        self.sheet.heights[self.row] = CAUTIONS
        self.row += 1
        self.line(f'="{AFTER}"', "take_strong", 20)
        vet, fire, office = (
            f'"{word}: "&IF({name}="","{LINE}",{name})'
            for word, name in (
                ("Veterinarian", "page_vet"),
                ("Fire service", "page_fire"),
                ("Extension office", "page_office"),
            )
        )
        self.sheet.put(self.row, 1, Formula(f"={fire}"), "take_line")
        self.line(f"={vet}", "take_line", 20)
        self.line(f"={office}", "take_line", 20)

    def _test(self) -> None:
        n, lots, register = self.n, self.book.marks["lots"], self.book.marks["register"]
        self.heads("The hay test behind it", "", "")

        def of(mark: str, table: dict[str, str] = lots) -> str:
            return f"INDEX({table[mark]},{n.lot})"

        test = f'"Dry matter "&TEXT({n.hay_dm},"0.0")&" %. Of that, protein is "&TEXT({n.hay_cp},"0.0")&" %, TDN "&TEXT({n.hay_tdn},"0.0")&" %, ADF "&TEXT({of("adf")},"0.0")&" %, NDF "&TEXT({of("ndf")},"0.0")&" %."'
        self.line(self.shown(test, f'"{NONE}"'), "take_line", 18)
        day, cores = of("sampled", register), of("cores", register)
        cored = f'IF({day}="","Not said when it was cored.","Cored "&TEXT({day},"d mmm yyyy")&IF({cores}="",".",", "&TEXT({cores},"0")&" cores."))'
        self.line(self.shown(f'{cored}&" TDN from "&{of("tdn_by")}&". hayfuncs {__version__}."', f'"hayfuncs {__version__}."'), "take_line", 18)  # fmt: skip
