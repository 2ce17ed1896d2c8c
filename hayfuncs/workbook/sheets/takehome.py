"""Take home: a page for each cow group, for the one who feeds; what is chosen for it stands above the pages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from hayfuncs import __version__
from hayfuncs.cow.classes import COW
from hayfuncs.importers.model import Group
from hayfuncs.workbook.model import Book, Formula, Input, Sheet
from hayfuncs.workbook.page import Page, given, heading
from hayfuncs.workbook.sheets import takehomenumbers
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.grid import text
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.mineral import mineral_mix
from hayfuncs.workbook.sheets.printed import WIDTHS, Printed
from hayfuncs.workbook.sheets.takehomechosen import Choices
from hayfuncs.workbook.sheets.takehomenumbers import Numbers
from hayfuncs.workbook.sheets.takehomewords import AFTER, MOST, TOO_MANY

NAME = "Take home"
BUCKET_LB = 25  # as a first value, to be weighed (our choice, no source)
DAYS = 30
LINE = "_" * 22  # where nothing is typed, room to write by hand
CLOSE_SAYS = "Too close to call: watch condition"  # where no feed is asked for
NONE = "–"
CAUTIONS = 190  # points: twelve lines


def fill(book: Book, groups: Sequence[Group], start: dt.date) -> None:
    sheet = begin(
        book, NAME, "A page for each group, to take home",
        "Change the choices in the straw-colored cells; every page below follows, and each prints on one sheet of paper. A group typed later has its page here at once, and in print by hayfuncs handout.", "Result",
    )  # fmt: skip
    sheet.portrait = True
    for_all = ForAll(sheet, of=start).place()
    free = book.find(Herd).n - len(groups)
    choices = Choices(sheet, [*groups, *[None] * free], heads_at=for_all.row_below + 1).place().filed("take_home")
    sheet.width(*WIDTHS)
    sheet.freeze, sheet.repeat_rows = (3, 0), None
    numbers = takehomenumbers.fill(book)
    top = choices.row_below + 2
    sheet.printed_from = top
    pages: list[tuple[int, int]] = []
    for choice in choices.rows():
        row = numbers.beside(choice)
        sheet.page_breaks.append(top)
        end = _Page(sheet, row, top).fill()
        pages.append((top, end))
        if row.number <= len(groups) and groups[row.number - 1].name:
            sheet.printed_rows = end + 1  # a free row's page is not printed
        top = end + 2
    book.marks["take_home_pages"] = {"rows": pages}


class ForAll(Page):
    """What every page says alike."""

    every = heading("For all pages")
    start = given("Good from", "date",
        lambda key: Input(f"{NAME}/from", "Good from", "The day from which the pages hold, a date from 1990 to 2100", kind="date"), lambda page: page.of, "input_date", name="page_from")  # fmt: skip
    days = given("Days of feed to buy", "days",
        lambda key: Input(key, "Days", "Days that hay and feed are counted for, 1 to 366", lo=1, hi=366, kind="whole"), DAYS, "input0", name="page_days")  # fmt: skip
    bucket = given("A full bucket of feed weighs", "lb",
        lambda key: Input(key, "Bucket", "Pounds of feed in one full bucket: weigh yours, 0.5 to 2,000. Empty: no buckets are counted", lo=0.5, hi=2000, required=False), BUCKET_LB, name="bucket_lb")  # fmt: skip
    vet = given("Veterinarian, name and phone", "text", text("Veterinarian", "Name and phone, as they stand on every page"), None, "input_text", name="page_vet")  # fmt: skip
    office = given("Extension office, name and phone", "text", text("Extension office", "Name and phone, as they stand on every page"), None, "input_text", name="page_office")  # fmt: skip
    fire = given("Fire service, phone", "text", text("Fire service", "Phone, as it stands on every page"), None, "input_text", name="page_fire")  # fmt: skip
    groups = heading("For each group", after=1)


class _Page(Printed):
    """The lines of one group's page."""

    heads_height, line_height, value_height = 17, 16, 22  # all of it on one sheet of paper

    def __init__(self, sheet: Sheet, numbers: Numbers, top: int) -> None:
        super().__init__(sheet, top)
        self.book, self.n = sheet.book, numbers

    def fill(self) -> int:
        """Hands back the last row."""
        n, top = self.n, self.row
        self.line(Formula(f'={n.name}&", "&{n.head}&" head"'), "take_title", 34)
        month, weight, kind = (pick(span, n.group) for span in (n.herd.month, n.herd.weight, n.herd.cattle_class))
        calved = f'OR({kind}="",ISNUMBER(SEARCH("{COW}",{kind})))'
        what = f'IF({calved}," lb cows, month "&{month}&" after calving"," lb each, class "&{kind})'
        apart = f"ABS({n.by_date}-N({month}))"  # months; the year is a ring
        other = f'"; by their calving date month "&{n.by_date}&" on "&TEXT(page_from,"d mmm yyyy")&"."'
        good = '". Good from "&TEXT(page_from,"d mmm yyyy")&" until cattle or hay change."'
        asked = f"AND({calved},{n.by_date}>0,{apart}>1,{apart}<11)"  # another month than the calendar's
        when = f"IF({asked},{other},{good})"
        self.line(Formula(f'=TEXT({weight},"#,##0")&{what}&{when}'))
        told = (
            f'IF({asked},"Feed this in month "&{month},"Feed this now")&IF({n.cow_caution}="",""," at the least")&":"'
        )
        self.answer(self.shown(told, f'"✗ No number on this page: "&{n.why}'), 26)
        self._put_out()
        self._month()
        self._cautions()
        self._test()
        free = f'{n.sheet.ref(n.at or 0, n.col(Numbers.why))}="free row"'
        for (row, _), cell in self.sheet.cells.items():
            if top <= row < self.row and isinstance(cell.content, Formula):
                cell.content = Formula(f'=IF({free},"",{cell.content.text[1:]})')
        return self.row - 1

    def shown(self, what: str, otherwise: str = f'"{NONE}"') -> Formula:
        return Formula(f"=IF({self.n.shown}=1,{what},{otherwise})")

    def _put_out(self) -> None:
        n = self.n
        self.heads("Every day", "A head", "Whole group")
        self.values(self.shown(n.hay, '"Hay"'), (self.shown(n.out), "lb as fed/day", "take_lb"), (self.shown(n.out_herd), "lb as fed/day", "take_lb"))  # fmt: skip
        feed = f'IF({n.fed}=0,IF({n.close}=1,"{CLOSE_SAYS}","No feed: the hay is enough"),{n.feed})'
        self.values(self.shown(feed, '"Feed"'), *((self.shown(f'IF({n.fed}=0,"none",{what})'), "lb as fed/day", look) for what, look in ((n.fed, "take_feed"), (n.fed_herd, "take_lb"))))  # fmt: skip
        often = f'IF({n.days}=1,"every day","every "&{n.days}&" days")'
        bales = f'"Set out "&{n.bales}&IF({n.bales}=1," bale "," bales ")&{often}&", "&TEXT({n.bale},"#,##0")&" lb a bale after storage loss."'
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
        self.line(self.shown(f'{words}&IF({n.fed}=0,""," "&IF({n.driver}="energy","Energy","Protein")&" sets the pounds.")', '""'))  # fmt: skip
        self.line(self.shown(mineral_mix(self.book, n.head), '""'))
        self.line(self.shown('"A winter plan may give them other hay and feed: look there before you choose."', '""'))

    def _month(self) -> None:
        n = self.n
        self.heads(Formula('="For "&page_days&" days"'), "Tons", "Cost")
        bales = f'IF({n.bale}=0,{n.hay},TEXT({n.hay_bales},"#,##0")&" bales of "&{n.hay})'
        self.values(self.shown(bales, '"Hay"'), (self.shown(f"{n.hay_lb}/lb_per_ton"), "tons as fed", "take_tons"), (self.shown(n.hay_cost), "$", "take_money"))  # fmt: skip
        feed = f'IF({n.fed}=0,"No feed to buy","Buy "&TEXT({n.feed_lb},"#,##0")&" lb of "&{n.feed})'
        self.values(self.shown(feed, '"Feed"'), (self.shown(f"{n.feed_lb}/lb_per_ton"), "tons as fed", "take_tons"), (self.shown(n.feed_cost), "$", "take_money"))  # fmt: skip
        self.values("A head a day, hay and feed", (None, "", "take_lb"), (self.shown(n.cow_day), "$/day", "take_cents"))
        others = f'IF({n.groups}>1," for the "&{n.groups}&" groups on it"," for this group")'
        lasts = f'"The pile of "&{n.hay}&" lasts "&TEXT({n.lasts},"#,##0")&" days"&{others}&IF({n.lasts}<page_days,": find more hay now.",".")'
        self.line(self.shown(f'IF({n.pile}=0,"How much of this hay there is was not entered.",{lasts})', '""'))  # fmt: skip

    def _cautions(self) -> None:
        n = self.n
        self.heads("Before you feed this", "", "Your vet decides")
        too_many = Formula(f'=IF(LEN({n.cautions})>{MOST},"{TOO_MANY}"&CHAR(10),"")&{n.cautions}')
        self.line(too_many, "take_caution", CAUTIONS)
        self.line(Formula(f'="{AFTER}"'), "take_strong")
        vet, fire, office = (
            Formula(f'="{word}: "&IF({name}="","{LINE}",{name})')
            for word, name in (
                ("Veterinarian", "page_vet"),
                ("Fire service", "page_fire"),
                ("Extension office", "page_office"),
            )
        )
        self.values(vet, (fire, "", "take_line"), style="take_line", height=20)
        self.line(office)

    def _test(self) -> None:
        n = self.n
        self.heads("The hay test behind it", "", "")

        def of(span: str) -> str:
            return pick(span, n.lot)

        test = f'"Dry matter "&TEXT({n.hay_dm},"0.0")&" %. Of that, protein is "&TEXT({n.hay_cp},"0.0")&" %, TDN "&TEXT({n.hay_tdn},"0.0")&" %, ADF "&TEXT({of(n.lots.adf)},"0.0")&" %, NDF "&TEXT({of(n.lots.ndf)},"0.0")&" %."'
        self.line(self.shown(test, f'"{NONE}"'), "take_line", 18)
        day, cores = of(n.register.sampled), of(n.register.cores)
        cored = f'IF({day}="","Not said when it was cored.","Cored "&TEXT({day},"d mmm yyyy")&IF({cores}="",".",", "&TEXT({cores},"0")&" cores."))'
        self.line(self.shown(f'{cored}&" TDN from "&{of(n.lots.tdn_by)}&". hayfuncs {__version__}."', f'"hayfuncs {__version__}."'), "take_line", 18)  # fmt: skip
