"""Feeder waste: what the hay wasted at each kind of feeder costs in a winter."""

from __future__ import annotations

from hayfuncs.contract.tables import load
from hayfuncs.workbook.model import Book, Content, Formula, Picture, Series, call
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.grid import NOT_ENTERED
from hayfuncs.workbook.styles import VERMILLION
from hayfuncs.workbook.table import Table, column

PAIR = ("open ring", "modified cone")  # of one trial, Oklahoma State University 2011: only such may be compared
HERD = ("herd_head", "herd_intake", "winter_days", "mean_dm")


class Waste(Table[str]):
    """One row a kind of feeder."""

    @column("Feeder", "name", style="label", width=18)
    def name(self) -> Content:
        return self.item

    @column("Trial", "name", style="text", width=28)
    def trial(self) -> Content:
        feeder, trial = (self.sheet.book.table_range("feeding_loss", k) for k in ("feeder", "trial"))
        return Formula("=" + pick(trial, f"MATCH({self.name},{feeder},0)"))

    @column("Wasted of the hay put out", "% DM", width=11)
    def loss(self) -> Content:
        return call("FEEDING_LOSS", self.name)

    @column("Wasted in a winter", "lb as fed", style="number0")
    def wasted(self) -> Content:
        return call("HAY_WASTED", *HERD, self.loss, unless=(f"COUNT({','.join(HERD)})<4", NOT_ENTERED))

    @column("The same in tons", "tons as fed", width=11)
    def tons(self) -> Content:
        return Formula(f"=IF(COUNT({self.wasted})=0,{NOT_ENTERED},{self.wasted}/lb_per_ton)")

    @column("Cost in a winter", "$", style="money0")
    def cost(self) -> Content:
        unknown = (f"COUNT({self.wasted},bought_price)<2", NOT_ENTERED)
        return call("HAY_COST", self.wasted, "bought_price", unless=unknown)

    @column("Cost for each cow", "$", style="money", width=11)
    def cost_head(self) -> Content:
        return Formula(f"=IF(COUNT({self.cost})=0,{NOT_ENTERED},{self.cost}/herd_head)")

    @column("Name in the picture", "text", style="small", width=40)
    def label(self) -> Content:
        return Formula(f'={self.name}&" ("&{self.trial}&")"')


def fill(book: Book) -> None:
    sheet = begin(
        book, "Feeder waste", "What does wasted hay cost in a winter?",
        "One row is one kind of feeder, for the whole herd of the sheet Hay pile at the price of bought hay. Hold feeders of one trial against each other.", "Result",
    )  # fmt: skip
    waste = Waste(sheet, load("feeding_loss").names()).place(20).filed("waste")
    sheet.zoom = 185
    dear, cheap = (sheet.ref(waste.first_row + waste.items.index(name), waste.col(Waste.cost)) for name in PAIR)
    more = f'TEXT({dear}-{cheap},"$#,##0")&" more in a winter than a {PAIR[1]}, for "&herd_head&" cows"'
    untold = "Enter dates, herd and price to see the cost of waste"
    title = sheet.put(
        waste.row_below + 1,
        waste.col(Waste.name),
        Formula(f'=IF(COUNT({waste.cost})=0,"{untold}","An {PAIR[0]} wastes "&{more})'),
    )
    sheet.put(
        waste.row_below + 2, waste.col(Waste.name),
        "Sources: Michigan State University 2003 and Oklahoma State University 2011, as quoted by extension writers; no feeder: work of 1973 quoted by Oklahoma State.",
        "sentence",
    )  # fmt: skip
    sheet.draw(
        Picture(
            "bar", waste.row_below + 4, waste.col(Waste.name), title, "Cost of the hay wasted in a winter, dollars", "",
            "Bar chart of the cost of wasted hay in a winter for each kind of feeder, with its trial beside the name and the dollars at the end of "
            "the bar. The table is above.",
            [Series("Cost of waste", waste.label, waste.cost, VERMILLION, values_shown=True, pattern="wide_upward_diagonal", gap=40, label_position="outside_end")],
            width=1000, height=480, x_range=(0, None),
        )
    )  # fmt: skip
