"""Best hay: which lot goes to which group where nobody has chosen otherwise."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Content, Formula, a1
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.table import Column, Table, column, computed

NAME = "Best hay"
NOT_THIS = 9999  # no hay that may be chosen has so many points
SHORT_FROM = 5000  # points of a hay that leaves her short: after every hay that is enough
PER_SHORT = 1500  # points where all that she needs is short
PER_CAUTION = 200  # points of a caution: more than the place among the lots can make


class Points(Table[int]):
    """One row a lot; a column of points for each group, the fewest of which is the best."""

    frozen = 2

    @column("Lot number", "row of Lots", style="number0", width=9)
    def lot_row(self) -> Content:
        return self.item

    @column("Hay lot", "name", style="text", width=24)
    def lot(self) -> Content:
        return Formula(f"={pick(self.of('lots', 'name'), self.lot_row)}")

    @column("TDN", "% DM")
    def tdn(self) -> Content:
        return Formula(f"={pick(self.of('lots', 'tdn'), self.lot_row)}")

    @column("Dangers of the lot", "number", style="number0")
    def dangers(self) -> Content:
        return Formula(f"={pick(self.of('cautions', 'count_dan'), self.lot_row)}")

    @column("Cautions of the lot", "number", style="number0")
    def cautions(self) -> Content:
        return Formula(f"={pick(self.of('cautions', 'count_cau'), self.lot_row)}")

    @column("Odd or wrong in its row", "words", style="small", width=30)
    def doubt(self) -> Content:
        return Formula(f"={doubts.says(self.sheet.book, 'lots', self.lot_row)}")

    @column("Place among the lots, plainest first", "number", style="number0")
    def plain(self) -> Content:
        return self.ranked(1)

    @column("Place among the lots, richest first", "number", style="number0")
    def rich(self) -> Content:
        return self.ranked(0)

    def ranked(self, order: int) -> Formula:
        col = self.col(Points.tdn)
        every = self.sheet.span(self.first_row, col, self.row_below - 1, col).rpartition("!")[2]
        return Formula(f"=IF(ISNUMBER({self.tdn}),RANK({self.tdn},{every},{order}),0)")

    def of(self, table: str, mark: str) -> str:
        return str(self.sheet.book.marks[table][mark])


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "Which hay for which cows, where nobody has chosen",
        "Fewest points is best: enough hay before short hay, then fewest cautions, then the plainest hay, so that the better is saved. Thin and first-calf cows get the richest. Hay at danger is left out.",
        "Workings",
    )  # fmt: skip
    points = Points(sheet, range(1, book.marks["lots"]["n"] + 1))
    groups = range(1, book.marks["herd"]["n"] + 1)
    columns = [points.add(_column(book, g), f"group_{g}") for g in groups]
    points.place()
    first, last = points.first_row, points.row_below - 1
    row = last + 2
    sheet.put(row, 1, "Row of Lots of the best", "label")
    for column_ in columns:
        col = points.col(column_)
        span = f"{a1(first, col, 'rc')}:{a1(last, col, 'rc')}"
        sheet.put(row, col, Formula(f'=IF(MIN({span})>={NOT_THIS},"none",MATCH(MIN({span}),{span},0))'), "number0", unit="row of Lots")  # fmt: skip
    book.marks["best_hay"] = sheet.span(row, points.col(columns[0]), row, points.col(columns[-1]))


def _column(book: Book, group: int) -> Column:
    match, herd = book.marks["match"], book.marks["herd"]
    richest = f'{pick(herd["caution"], str(group))}=""'

    def make(row: Points) -> Content:
        at = f"({row.lot_row}-1)*group_count+{group}"
        tdn, cp, need_tdn, need_cp = (pick(match[k], at) for k in ("tdn_short", "cp_short", "tdn_need", "cp_need"))
        out = f'OR(COUNT({tdn},{cp},{row.tdn})<3,{row.dangers}>0,{row.doubt}<>"")'
        short = f"{SHORT_FROM}+{PER_SHORT}*({tdn}/{need_tdn}+{cp}/{need_cp})"
        enough = f"{PER_CAUTION}*{row.cautions}+IF({richest},{row.plain},{row.rich})"
        return Formula(f"=IF({out},{NOT_THIS},IF({tdn}+{cp}>0,{short},{enough}))")

    return computed(f"Points for group {group}", "points", make)
