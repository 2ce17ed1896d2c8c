"""Best hay: the one rule of which hay is best for a group, for the grid and for pages where nobody has chosen."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Content, Formula, a1
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.closecalls import ENOUGH
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.table import Column, Table, column, computed

NAME = "Best hay"
RULE = (
    "Best is a hay that is enough, with the fewest cautions, and of these the one least above the need, so that richer hay is saved.",
    "If none is enough, or the cows are thin or have a first calf: the hay that covers most.",
    "Never a hay at danger, one to check first, or one used up.",
)
PER_CAUTION = 2  # points: more than the place among hays that are enough can make
MOST_CAUTIONS = 20  # more than a hay can have


class Points(Table[int]):
    """One row a lot; a column of points for each group, the most of which is the best."""

    frozen = 2
    blank = '{lot}=""'

    @column("Lot number", "row of Lots", style="number0", width=9)
    def lot_row(self) -> Content:
        return self.item

    @column("Hay lot", "name", style="text", width=24)
    def lot(self) -> Content:
        return Formula(f"={self.of('lots', 'counted')}")

    @column("Dangers of the lot", "number", style="number0")
    def dangers(self) -> Content:
        return Formula(f"={self.of('cautions', 'count_dan')}")

    @column("Cautions of the lot", "number", style="number0")
    def cautions(self) -> Content:
        return Formula(f"={self.of('cautions', 'count_cau')}")

    @column("Odd or wrong in its row", "words", style="small", width=30)
    def doubt(self) -> Content:
        return Formula(f"={doubts.says(self.sheet.book, 'lots', self.lot_row)}")

    @column("Used up? 1 yes, 0 no", "yes/no", style="number0")
    def gone(self) -> Content:
        """What was not entered is not used up."""
        tons = self.of("register", "tons")
        return Formula(f"=IF(ISNUMBER({tons}),IF({tons}=0,1,0),0)")

    def of(self, table: str, mark: str) -> str:
        return pick(self.sheet.book.marks[table][mark], self.lot_row)


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "How well each hay fits each group",
        "The most points of a column are the best hay for that group; 0 is not to be chosen. The rule in words stands on Which hay.",
        "Workings",
    )  # fmt: skip
    points = Points(sheet, range(1, book.marks["lots"]["n"] + 1))
    columns = [points.add(_column(book, g), f"group_{g}") for g in range(1, book.marks["herd"]["n"] + 1)]
    points.place()
    first, last = points.first_row, points.row_below - 1
    row = last + 2
    sheet.put(row, points.col(Points.lot), "Row of Lots of the best", "label")
    for column_ in columns:
        col = points.col(column_)
        span = f"{a1(first, col, 'rc')}:{a1(last, col, 'rc')}"
        best = f'=IF(MAX({span})=0,"none",MATCH(MAX({span}),{span},0))'
        sheet.put(row, col, Formula(best), "number0", unit="row of Lots")
    book.marks["best_hay"] = sheet.span(row, points.col(columns[0]), row, points.col(columns[-1]))


def _column(book: Book, group: int) -> Column:
    calls = book.marks["closecalls"]

    def make(row: Points) -> Content:
        at = f"({row.lot_row}-1)*group_count+{group}"
        says, covered = (pick(calls[k], at) for k in ("says", "covered"))
        out = f'OR(COUNT({covered})=0,{row.dangers}>0,{row.doubt}<>"",{row.gone}=1)'
        enough = f"{PER_CAUTION}*({MOST_CAUTIONS}-{row.cautions})+100/{covered}"
        return Formula(f'=IF({out},0,IF({says}="{ENOUGH}",{enough},{covered}/(100+{covered})))')

    return computed(f"Points for group {group}", "points", make, style="number3")
