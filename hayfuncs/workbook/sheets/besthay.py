"""Best hay: the one rule of which hay is best for a group, for the grid and for pages where nobody has chosen."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Formula
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.closecalls import ENOUGH, Calls
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.winterfeeds import WinterFeeds
from hayfuncs.workbook.table import Column, Table, column, computed

NAME = "Best hay"
RULE = (
    "Best is a hay that is enough, with the fewest cautions, and of these the one least above the need, so that richer hay is saved.",
    "If none is enough, or the cows are thin or have a first calf: the hay that covers most.",
    "Never a hay at danger, one that nitrate keeps from being fed alone, one to check first, or one used up.",
)
PER_CAUTION = 2  # points: more than the place among hays that are enough can make
MOST_CAUTIONS = 20  # more than a hay can have


class Points(Table[int]):
    """One row a lot; a column of points for each group, the most of which is the best."""

    frozen = 2
    blank = '{lot}=""'
    lots, hazards, register = another(lambda: Lots), another(lambda: Cautions), another(lambda: Register)
    calls = another(lambda: Calls)

    @column("Lot number", "row of Lots", style="number0", width=9)
    def lot_row(self) -> Content:
        return self.item

    @column("Hay lot", "name", style="text", width=24)
    def lot(self) -> Content:
        return Formula(f"={self.of(self.lots.counted)}")

    @column("Dangers of the lot", "number", style="number0")
    def dangers(self) -> Content:
        return Formula(f"={self.of(self.hazards.count_dan)}")

    @column("Most of a mixed diet, by nitrate: 100 may be fed alone", "% DM", style="number0")
    def share(self) -> Content:
        planned = self.book.find(WinterFeeds)  # own lots stand first there, in the same order
        return Formula(f"=MIN({self.of(planned.mixed_calf)},{self.of(planned.mixed_open)})")

    @column("Cautions of the lot", "number", style="number0")
    def cautions(self) -> Content:
        return Formula(f"={self.of(self.hazards.count_cau)}")

    @column("Odd or wrong in its row", "words", style="small", width=30)
    def doubt(self) -> Content:
        return Formula(f"={doubts.says(self.sheet.book, 'lots', self.lot_row)}")

    @column("Used up? 1 yes, 0 no", "yes/no", style="number0")
    def gone(self) -> Content:
        """What was not entered is not used up."""
        tons = self.of(self.register.tons)
        return Formula(f"=IF(ISNUMBER({tons}),IF({tons}=0,1,0),0)")

    def of(self, span: str) -> str:
        return pick(span, self.lot_row)

    @property
    def groups(self) -> list[Column]:
        return self.columns[len(self.of_class) :]

    @property
    def best_row(self) -> int:
        """After a gap, so that the best is not one of the list."""
        return self.row_below + 1

    def best(self, group: str) -> str:
        """The lot that is best for a group, by the group's number."""
        first, last = self.col(self.groups[0]), self.col(self.groups[-1])
        return f"INDEX({self.sheet.span(self.best_row, first, self.best_row, last)},1,{group})"


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "How well each hay fits each group",
        "The most points of a column are the best hay for that group; 0 is not to be chosen. The rule in words stands on Which hay.",
        "Workings",
    )  # fmt: skip
    points = Points(sheet, range(1, book.find(Lots).n + 1))
    for group in range(1, book.find(Herd).n + 1):
        points.add(_column(group), f"group_{group}")
    points.place()
    sheet.put(points.best_row, points.col(Points.lot), "Row of Lots of the best", "label")
    for column_ in points.groups:
        span = points.local.ref(column_)
        best = f'=IF(MAX({span})=0,"none",MATCH(MAX({span}),{span},0))'
        sheet.put(points.best_row, points.col(column_), Formula(best), "number0", unit="row of Lots")


def _column(group: int) -> Column:
    def make(row: Points) -> Content:
        at = f"({row.lot_row}-1)*group_count+{group}"
        says, covered = (pick(span, at) for span in (row.calls.says, row.calls.covered))
        out = f'OR(COUNT({covered})=0,{row.dangers}>0,{row.share}<100,{row.doubt}<>"",{row.gone}=1)'
        enough = f"{PER_CAUTION}*({MOST_CAUTIONS}-{row.cautions})+100/{covered}"
        return Formula(f'=IF({out},0,IF({says}="{ENOUGH}",{enough},{covered}/(100+{covered})))')

    return computed(f"Points for group {group}", "points", make, style="number3")
