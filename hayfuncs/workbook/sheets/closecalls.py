"""Close calls: what a hay alone does for a group, with the margin of its test, and the words of the grid."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.margins import Hays
from hayfuncs.workbook.sheets.match import UNSURE as UNSURE
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.table import Table, column

NAME = "Close calls"
ENOUGH, SHORT, CLOSE = "enough", "short", "too close to call"


def shown(pounds: str, nutrient: str) -> str:
    """Pounds short and of what, to the tenth; what is short by less is not shown as nothing."""
    return f'IF(ROUND({pounds},1)=0,"under 0.1",TEXT({pounds},"0.0"))&" lb {nutrient}"'


def words(energy: str, protein: str, tdn_short: str, cp_short: str, caution: str) -> str:
    """An expression: pounds and words of one hay for one group, of the verdicts on energy and on protein."""
    first, second = f'{energy}="{SHORT}"', f'{protein}="{SHORT}"'
    protein_short = shown(cp_short, "protein")
    short = f'IF({first},{shown(tdn_short, "energy")}&IF({second},", "&{protein_short},""),{protein_short})'
    met = f'IF({caution}="","{ENOUGH}","{UNSURE}")'
    close = f'OR({energy}="{CLOSE}",{protein}="{CLOSE}")'
    return f'IF(OR({first},{second}),{short},IF({close},"{CLOSE}",{met}))'


class Calls(Table[tuple[int, int]]):
    """One row a lot and a group, in the order of the sheet Match."""

    mark = "closecalls"
    frozen = 4
    blank = 'OR({hay}="",{cows}="")'

    lots, herd = another(lambda: Lots), another(lambda: Herd)
    margins, matched = another(lambda: Hays), another(lambda: Match)

    def match(self, mark: str) -> str:
        return pick(getattr(self.matched, mark), f"({self.lot}-1)*group_count+{self.group}")

    @column("Lot number", "row of Lots", style="number0", width=9)
    def lot(self) -> Content:
        return self.item[0]

    @column("Group number", "row of Herd", style="number0", width=9)
    def group(self) -> Content:
        return self.item[1]

    @column("Hay lot", "name", style="text", width=22)
    def hay(self) -> Content:
        return Formula(f"={pick(self.lots.counted, self.lot)}")

    @column("Cow group", "name", style="text", width=26)
    def cows(self) -> Content:
        return Formula(f"={pick(self.herd.counted, self.group)}")

    def _margin(self, mark: str) -> Content:
        return Formula(f"={self.match('hay')}*{pick(getattr(self.margins, mark), self.lot)}/100")

    def _call(self, mark: str, margin: str) -> Content:
        return call("CLOSE_CALL", self.match(f"{mark}_need"), self.match(f"{mark}_gives"), margin)

    @column("Margin of the TDN it gives", "lb/day", style="number2")
    def tdn_margin(self) -> Content:
        return self._margin("tdn")

    @column("On energy", "word", style="verdict", width=16)
    def energy(self) -> Content:
        return self._call("tdn", self.tdn_margin)

    @column("Margin of the CP it gives", "lb/day", style="number2")
    def cp_margin(self) -> Content:
        return self._margin("cp")

    @column("On protein", "word", style="verdict", width=16)
    def protein(self) -> Content:
        return self._call("cp", self.cp_margin)

    @column("Pounds and words", "words", style="verdict", width=32)
    def says(self) -> Content:
        caution = pick(self.herd.caution, self.group)
        return Formula(f"={words(self.energy, self.protein, self.match('tdn_short'), self.match('cp_short'), caution)}")

    @column("Covered of energy and protein, the lesser", "% of need", style="number0")
    def covered(self) -> Content:
        parts = (f"{self.match(f'{k}_gives')}/{self.match(f'{k}_need')}" for k in ("tdn", "cp"))
        return Formula(f"=100*MIN({','.join(parts)})")


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "Each lot for each group: enough, short, or too close to call",
        "A hay test is a sample: where what the hay gives lies nearer to the need than the margin of its test, no test of it can say which.",
        "Workings",
    )  # fmt: skip
    lots, groups = book.find(Lots).n, book.find(Herd).n
    pairs = [(lot, group) for lot in range(1, lots + 1) for group in range(1, groups + 1)]
    Calls(sheet, pairs).place().filed("closecalls")
