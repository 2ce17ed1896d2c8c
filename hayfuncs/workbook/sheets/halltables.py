"""Answer working as a sheet: its lines, and under them the tables that the two pictures of What to feed draw."""

from __future__ import annotations

from typing import NamedTuple

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.hallwork import NAME, Working
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.table import Table, computed

DRAWN = 149  # % of need: the end of the picture


class Nutrient(NamedTuple):
    name: str
    mark: str
    pounds: str  # the lines of the working: pounds of feed for it, and for the other
    others: str


NUTRIENTS = (
    Nutrient("energy", "tdn", "for_energy", "for_protein"),
    Nutrient("protein", "cp", "for_protein", "for_energy"),
)


class Bars(Table[Nutrient]):
    """Pounds of the feed for each nutrient: one of the two values is 0, so that the larger has a color of its own."""

    heads_height = units_height = 0
    name = computed("To cover", "word", lambda row: row.item.name, "label")
    larger = computed("The larger: the answer", "lb as fed/day", "=IF({none},0,IF({own}>=N({others}),{own},0))", "number2")  # fmt: skip
    other = computed("The other", "lb as fed/day", "=IF({none},0,IF({own}>=N({others}),0,{own}))", "number2")
    none = "OR({page.case}<=2,COUNT({own})=0)"
    page = another(lambda: Working)

    @property
    def own(self) -> str:
        return str(getattr(self.page, self.item.pounds))

    @property
    def others(self) -> str:
        return str(getattr(self.page, self.item.others))


class Shares(Table[Nutrient]):
    """Need against have."""

    heads_height = units_height = 0
    name = computed("Nutrient", "word", lambda row: row.item.name, "label")
    hay = computed("This hay, beside the feed", "%", f"=IF({{page.case}}=1,0,MIN({DRAWN},({{ration.hay}}-hay_displaced*{{fed}})*{{of_hay}}/{{need}}))", "number0")  # fmt: skip
    feed = computed("This feed", "%", f"=IF({{page.case}}=1,0,MIN({DRAWN}-{{hay:free}},{{fed}}*{{of_feed}}/{{need}}))", "number0")  # fmt: skip
    fed = "N({page.rate})*{ration.feed_dm}/100"
    page, ration = another(lambda: Working), another(lambda: Ration)

    @property
    def of_hay(self) -> str:
        return str(getattr(self.ration, f"hay_{self.item.mark}"))

    @property
    def of_feed(self) -> str:
        return str(getattr(self.ration, f"feed_{self.item.mark}"))

    @property
    def need(self) -> str:
        return str(getattr(self.ration, f"{self.item.mark}_need"))


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "The working of What to feed",
        "One line a number, from the dials to the words. The ration itself is worked on Ration, the margins on Hay margins and Feed margins.",
        "Workings",
    )  # fmt: skip
    sheet.width(58, 26, 16, 14)
    page = Working(sheet)
    bars = Bars(sheet, NUTRIENTS, page.row_below + 2).place(title="Table behind the bars: pounds of this feed")
    Shares(sheet, NUTRIENTS, bars.row_below + 2).place(title="Table behind need against have: of the need")
    page.place()
