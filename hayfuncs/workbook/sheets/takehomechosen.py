"""What was chosen for each group's page, and where the other sheets have it."""

from __future__ import annotations

from hayfuncs.importers.model import Group
from hayfuncs.workbook.keyed import another, same_row
from hayfuncs.workbook.model import Content, Formula, Input
from hayfuncs.workbook.sheets.besthay import Points
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.common import pick
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.grid import listed
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.herdcare import HerdCare
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.stock import Stock
from hayfuncs.workbook.sheets.winter import WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import WinterFeeds
from hayfuncs.workbook.table import Column, Table, asked, column, computed


class Choices(Table[Group | None]):
    """What the agent may choose for each group; what is left empty is chosen by rule."""

    heads_height = 52
    herd = same_row(lambda: Herd)

    name = computed("Cow group", "name", "={herd.counted}", "label")

    hay = asked("Hay", "a lot, or empty", by_row=lambda row, key: row.ask(key, "Hay", row.book.find(Lots).name, "the best hay for these cows by the rule on Which hay, and for the cows chosen on What to feed the hay chosen there"), of=lambda row: None, style="input_text")  # fmt: skip
    feed = asked("Feed", "a feed, or empty", by_row=lambda row, key: row.ask(key, "Feed", row.book.find(Feeds).name, "the feed chosen on What to feed"), of=lambda row: None, style="input_text")  # fmt: skip

    def ask(self, key: str, title: str, names: str, otherwise: str) -> Input:
        says = f"{title} of this group's page, picked from the list. Empty: {otherwise}"
        return listed(title, says, names)(key)


class Chosen(Table[int]):
    """`self.item` is the group's row of Herd."""

    frozen = 2

    @column("Group number", "row of Herd", style="number0", width=9)
    def group(self) -> Content:
        return self.item

    @column("Cow group", "name", style="text", width=26)
    def name(self) -> Content:
        return Formula(f'={pick(self.herd.name, self.group)}&""')

    @column("Hay: row of Lots", "row of Lots", style="number0", width=10, band="What was chosen")
    def lot(self) -> Content:
        typed, best = pick(self.choices.hay, self.group), self.best.best(self.group)
        otherwise = f"IF({self.name}=chosen_group,MATCH(chosen_lot,{self.lots.name},0),{best})"
        place = f"MATCH({typed},{self.lots.name},0)"
        return Formula(f'=IF({typed}="",{otherwise},IF(ISNUMBER({place}),{place},"not found"))')

    @column("Hay", "name", style="text", width=22)
    def hay(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.lot}),{pick(self.lots.name, self.lot)},"none")')

    @column("Feed: row of Feeds", "row of Feeds", style="number0", width=10)
    def feed_row(self) -> Content:
        typed = pick(self.choices.feed, self.group)
        place = f'MATCH(IF({typed}="",chosen_feed,{typed}),{self.feeds.name},0)'
        return Formula(f'=IF(ISNUMBER({place}),{place},"not found")')

    @column("Feed", "name", style="text", width=24)
    def feed(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.feed_row}),{pick(self.feeds.name, self.feed_row)},"none")')

    @column("Row of Match", "row", style="number0", width=9)
    def match_row(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.lot}),({self.lot}-1)*group_count+{self.group},"none")')

    @column("Nitrate by both scales, for this group", "words", style="small", width=20)
    def nitrate(self) -> Content:
        """A group that is not said to be open counts as in calf."""
        calf, others = (
            "&".join(f"{pick(getattr(self.hazards, f'nitrate_{kind}_{scale}'), self.lot)}" for scale in "ab")
            for kind in ("calf", "open")
        )
        return Formula(f'=IF(ISNUMBER({self.lot}),IF({self.is_open},{others},{calf}),"")')

    @column("Most of a mixed diet for this group, by nitrate", "% DM", style="number0", width=9)
    def share(self) -> Content:
        planned = self.book.find(WinterFeeds)  # own lots stand first there, in the same order
        most = f"IF({self.is_open},{pick(planned.mixed_open, self.lot)},{pick(planned.mixed_calf, self.lot)})"
        return Formula(f"=IF(ISNUMBER({self.lot}),{most},100)")

    @column("Days since calving by their date, on the day of the page; -1 not known", "days", style="number0", width=9)
    def since(self) -> Content:
        day = pick(self.winter.calving, self.group)
        past = f"(page_from-{day})"
        return Formula(f"=IF(COUNT({day},page_from)=2,{past}-days_per_year*INT({past}/days_per_year),-1)")

    @column("The month that is; 0 not known", "months", style="number0", width=9)
    def by_date(self) -> Content:
        return Formula(f"=IF({self.since}<0,0,INT({self.since}*months_per_year/days_per_year)+1)")

    @property
    def is_open(self) -> str:
        return f'{pick(self.care.pregnant, self.group)}&""="0"'

    choices, best = another(lambda: Choices), another(lambda: Points)
    lots, stock, register = another(lambda: Lots), another(lambda: Stock), another(lambda: Register)
    herd, match, feeds = another(lambda: Herd), another(lambda: Match), another(lambda: Feeds)
    hazards, care, winter = another(lambda: Cautions), another(lambda: HerdCare), another(lambda: WinterHerd)

    def if_lot(self, what: str) -> Formula:
        return Formula(f'=IF(ISNUMBER({self.lot}),{what},"no hay")')

    def if_feed(self, span: str) -> Formula:
        return Formula(f'=IF(ISNUMBER({self.feed_row}),{pick(span, self.feed_row)},"no feed")')

    def whole(self, column: Column) -> str:
        return self.local.ref(column)
