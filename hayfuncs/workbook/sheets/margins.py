"""How far each hay test and each feed's table value may be off: the margins that the answers carry on."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another, calling
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.page import Page, worked
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.table import Table, column

Z = "margin_z"  # standard errors on each side at the confidence of Assumptions
HAYS, FEEDS = "Hay margins", "Feed margins"
MEASURES = ("cp", "adf", "ndf", "ndfd")


def _of_lab(mark: str) -> str:
    """The margin that the laboratory alone leaves, however many cores are taken."""
    return f"{Z}*lab_sd_{mark}"


class Hays(Table[int]):
    """One row a lot of the sheet Lots, in its order."""

    mark = "haymargins"
    blank = '{name}=""'
    heads_height = 82

    lots, register = another(lambda: Lots), another(lambda: Register)

    def of(self, span: str) -> str:
        return pick(span, self.lot)

    @column("Lot number", "row of Lots", style="number0", width=9)
    def lot(self) -> Content:
        return self.item

    @column("Hay lot", "name", style="label", width=22)
    def name(self) -> Content:
        return Formula(f"={self.of(self.lots.counted)}")

    @column("Cores counted", "cores", style="number0", width=9)
    def cores(self) -> Content:
        typed = self.of(self.register.cores)
        return Formula(f"=IF(N({typed})>0,{typed},cores_unknown)")

    def _margin(self, mark: str) -> Content:
        return call("MARGIN_WITH_LAB_ERROR", f"core_sd_{mark}", self.cores, f"lab_sd_{mark}", "1", "confidence_pct")

    @column("Margin of the crude protein", "% DM", style="result2")
    def cp(self) -> Content:
        return self._margin("cp")

    @column("Margin of the ADF", "% DM", style="number2")
    def adf(self) -> Content:
        return self._margin("adf")

    @column("Margin of the NDF", "% DM", style="number2")
    def ndf(self) -> Content:
        return self._margin("ndf")

    @column("Margin of the NDF digestibility", "% of NDF", style="number2")
    def ndfd(self) -> Content:
        return self._margin("ndfd")

    @column("TDN taken from", "words", style="small", width=26)
    def by(self) -> Content:
        return Formula(f"={self.of(self.lots.tdn_by)}")

    @column("Was its digestibility measured?", "yes/no", style="number0", width=11)
    def summed(self) -> Content:
        return Formula(f"=IF(ISNUMBER({self.of(self.lots.tdn_fiber)}),1,0)")

    def _by_adf(self, adf: str) -> Content:
        return call(
            "TDN_MARGIN", self.of(self.lots.equation), adf, f"{Z}*tdn_adf_sd", unless=(f"{self.summed}=1", '""')
        )

    def _by_sum(self, cp: str, ndf: str, ndfd: str) -> Content:
        of_hay = (self.of(span) for span in (self.lots.ndf, self.lots.lab_ndfd48_pct, self.lots.rfq_forage))
        return call("TDN_SUM_MARGIN", *of_hay, cp, ndf, ndfd, f"{Z}*tdn_sum_sd", unless=(f"{self.summed}=0", '""'))

    @column("Margin of the TDN, by ADF, by lignin or by the laboratory", "% DM", style="number2", width=14)
    def tdn_by_adf(self) -> Content:
        return self._by_adf(self.adf)

    @column("Margin of the TDN, by digestibility", "% DM", style="number2", width=13)
    def tdn_by_sum(self) -> Content:
        return self._by_sum(self.cp, self.ndf, self.ndfd)

    @column("Margin of the TDN", "% DM", style="result2")
    def tdn(self) -> Content:
        return Formula(f"=N({self.tdn_by_adf})+N({self.tdn_by_sum})")

    @column("The same were every bale cored, by ADF", "% DM", style="number2", width=13)
    def least_by_adf(self) -> Content:
        return self._by_adf(_of_lab("adf"))

    @column("The same were every bale cored, by digestibility", "% DM", style="number2", width=13)
    def least_by_sum(self) -> Content:
        return self._by_sum(*(_of_lab(k) for k in ("cp", "ndf", "ndfd")))

    @column("Margin of the TDN that no core takes away", "% DM", style="number2", width=12)
    def tdn_least(self) -> Content:
        return Formula(f"=N({self.least_by_adf})+N({self.least_by_sum})")

    @column("Spread of the TDN from core to core", "% DM", style="number2")
    def tdn_core(self) -> Content:
        return Formula(f"=SQRT(MAX(0,{self.tdn}^2-{self.tdn_least}^2)*{self.cores})/{Z}")


class Offered(Table[int]):
    """One row a feed of the sheet Feeds, in its order."""

    mark = "feedmargins"

    feeds = another(lambda: Feeds)

    def of(self, span: str) -> str:
        return pick(span, self.feed)

    def _range(self, mark: str) -> Content:
        """What the feed book prints furthest from its own value; 0 for a feed that is not in it."""
        listed = self.sheet.book.table_range("supplements", "feed")
        at = f"MATCH({self.of(self.feeds.booked)},{listed},0)"
        return Formula(f"=IF(ISNUMBER({at}),{pick(self.sheet.book.marks['feedbook'][mark], at)},0)")

    def _margin(self, value: str, book: str, printed: str, share: str) -> Content:
        value, book = self.of(value), self.of(book)
        table = f"IF({printed}>0,{printed},{share}*{value}/100)"
        return Formula(f"=IF(N({value})=0,0,IF({value}={book},{table},0))")

    @column("Feed number", "row of Feeds", style="number0", width=9)
    def feed(self) -> Content:
        return self.item

    @column("Feed", "name", style="label", width=28)
    def name(self) -> Content:
        return Formula(f'={self.of(self.feeds.name)}&""')

    @column("TDN: furthest in print from the table", "% DM", style="number2", width=14)
    def tdn_range(self) -> Content:
        return self._range("tdn_pct")

    @column("CP: furthest in print from the table", "% DM", style="number2", width=14)
    def cp_range(self) -> Content:
        return self._range("cp_pct")

    @column("Margin of its TDN", "% DM", style="result2")
    def tdn(self) -> Content:
        return self._margin(self.feeds.tdn_pct, self.feeds.book_tdn, self.tdn_range, "feed_tdn_off_pct")

    @column("Margin of its protein", "% DM", style="result2")
    def cp(self) -> Content:
        return self._margin(self.feeds.cp_pct, self.feeds.book_cp, self.cp_range, "feed_cp_off_pct")


class Sides(Page):
    column = 1
    z = worked("Standard errors on each side, at the confidence of Assumptions", "ratio", calling("SAMPLING_MARGIN", "1", "1", "confidence_pct"), "number3", name=Z)  # fmt: skip


def fill(book: Book) -> None:
    sheet = begin(
        book, HAYS, "How far each hay test may be off",
        "Cores, laboratory and equation each have a spread on Assumptions; independent errors add in quadrature. One side, at the confidence asked there.",
        "Workings",
    )  # fmt: skip
    lots = Hays(sheet, range(1, book.find(Lots).n + 1)).place().filed("haymargins")
    Sides(sheet, lots.row_below + 1).place()
    sheet = begin(
        book, FEEDS, "How far each feed's own values may be off",
        "A value taken from the feed book is off by as much as the sources differ; where only one prints it, by the share of Assumptions. What you type from a tag counts as it is.",
        "Workings",
    )  # fmt: skip
    Offered(sheet, range(1, book.find(Feeds).n + 1)).place().filed("feedmargins")
