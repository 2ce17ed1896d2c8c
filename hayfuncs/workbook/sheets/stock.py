"""Stock: the hay of each lot net of losses, and what its dry matter, energy and protein cost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn, Stored
from hayfuncs.workbook.keyed import another, calling, same_row, unknown, where
from hayfuncs.workbook.model import Book, Input
from hayfuncs.workbook.page import Line, Page, heading, worked
from hayfuncs.workbook.sheets.common import begin, found
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, of_record
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import FEEDER, Register
from hayfuncs.workbook.table import FIRST, Table, asked, computed

STAND_IN = 1000  # lb: the weight cancels, so any would do
UNKNOWN = unknown("{tons}", "{storage_loss}", "{feeding_loss}")
UNPAID, NO_REFERENCE = unknown("{paid}"), unknown("reference_price")
KNOWN = ("reference_price", "reference_dm")


class Kept(NamedTuple):
    lot: Lot
    stored: Stored


class Stock(Table[Kept]):
    """One row a lot; losses are taken off in turn."""

    blank = '{name}=""'
    on = "Stock"
    name = computed("Hay lot", "name", "={lot.counted}", "label", 30)
    storage = computed("Where stored", "name of a method", '={register.storage}&""', "text", 28)
    feeder = FEEDER
    price = asked("Price, by the ton", "$/ton as fed", of_record("PRICE_PER_DRY_TON", "price_per_ton"), "input_money", of="lot.price_per_ton")  # fmt: skip
    bale_price = asked("Price, by the bale", "$", of_record("BALE_PRICE_PER_TON", "price_per_bale"), "input_money", of="stored.price_per_bale")  # fmt: skip
    tons = computed("Hay in store", "tons as fed", "={register.tons}", band="Hay on hand")
    weight = computed("Bale weight to count with", "lb as fed",
        where(unknown("{register.weight}", shown="stand_in_bale"), "{register.weight}"), "number0", 13)  # fmt: skip
    bales = computed("Bales of that weight", "bales", where(unknown("{tons}"), "{tons}*lb_per_ton/{weight}"), width=13)
    storage_loss = computed("Lost in storage", "% DM", calling("STORAGE_LOSS", "{storage}", unless=('{storage}=""', NOT_ENTERED)))  # fmt: skip
    feeding_loss = computed("Wasted at feeding", "% DM", calling("FEEDING_LOSS", "{feeder}", unless=('{feeder}=""', NOT_ENTERED)))  # fmt: skip
    net = computed("Hay that will be eaten", "lb as fed",
        calling("HAY_ON_HAND", "{bales}", "{weight}", "{storage_loss}", "{feeding_loss}", unless=UNKNOWN), "number0")  # fmt: skip
    eaten = computed("The same in tons", "tons as fed", where(UNKNOWN, "{net}/lb_per_ton"), "result1")
    lost = computed("Tons lost in storage", "tons as fed", where(UNKNOWN, "{tons}*{storage_loss}/100"))
    wasted = computed("Tons wasted at feeding", "tons as fed", where(UNKNOWN, "({tons}-{lost})*{feeding_loss}/100"))
    eaten_dm = computed("Dry matter eaten", "lb DM", where(UNKNOWN, "{net}*{lot.lab_dm_pct}/100"), "number0")
    counted = computed("Tons counted in the totals", "tons as fed", where((UNKNOWN[0], "0"), "{tons}"))
    by_bale = computed("Price per ton, from the bale's", "$/ton as fed",
        calling("BALE_PRICE_PER_TON", "{bale_price}", "{register.weight}", unless=unknown("{bale_price}", "{register.weight}", shown='""')),
        "money", band="What it costs")  # fmt: skip
    paid = computed("Price used", "$/ton as fed", '=IF({price}<>"",{price},IF({by_bale}="",{not_entered},{by_bale}))', "result_money")  # fmt: skip
    dry = computed("Price of dry matter", "$/ton DM", calling("PRICE_PER_DRY_TON", "{paid}", "{lot.lab_dm_pct}", unless=UNPAID), "money")  # fmt: skip
    tdn = computed("Price of TDN", "$/lb", calling("COST_PER_LB_NUTRIENT", "{paid}", "{lot.lab_dm_pct}", "{lot.tdn}", unless=UNPAID), "number3")  # fmt: skip
    cp = computed("Price of CP", "$/lb", calling("COST_PER_LB_NUTRIENT", "{paid}", "{lot.lab_dm_pct}", "{lot.cp}", unless=UNPAID), "number3")  # fmt: skip
    even_tdn = computed("Worth by its TDN, at the reference lot's price", "$/ton as fed",
        calling("BREAK_EVEN_PRICE", *KNOWN, "reference_tdn", "{lot.lab_dm_pct}", "{lot.tdn}", unless=NO_REFERENCE), "money", 14)  # fmt: skip
    even_cp = computed("Worth by its CP, at the reference lot's price", "$/ton as fed",
        calling("BREAK_EVEN_PRICE", *KNOWN, "reference_cp", "{lot.lab_dm_pct}", "{lot.cp}", unless=NO_REFERENCE), "money", 14)  # fmt: skip
    says = computed("By energy, against the reference", "words",
        where(unknown("{paid}", "{even_tdn}"), 'CHOOSE(2+SIGN(ROUND({paid}-{even_tdn},2)),"cheaper","the same","dearer")'), "text", 20)  # fmt: skip
    value = computed(
        "Hay in store at its price", "$", where(unknown("{paid}", "{tons}"), "{paid}*{tons}"), "money0", 14
    )
    lot = same_row(lambda: Lots)

    register = same_row(lambda: Register)


def _share(label: str, part: str, whole: str, name: str, unit: str = "% DM") -> Line:
    return worked(label, unit, where(("SUM({stock.counted})=0", NOT_ENTERED), f"100*SUM({part})/({whole})"), style="number2", name=name)  # fmt: skip


def _reference(label: str, column: str, unit: str, name: str, style: str = "number2") -> Line:
    return worked(label, unit, where(unknown("reference_place"), f"INDEX({column},reference_place)"), style=style, name=name)  # fmt: skip


class Totals(Page):
    """The reference lot's values, then totals and the means that the herd's need divides by."""

    the_reference = heading("The reference lot")
    place_of = worked("Row of Lots", "row of Lots", lambda page: found("reference_lot", page.lots.name), style="number0", name="reference_place")  # fmt: skip
    price = _reference("Price", "{stock.paid}", "$/ton as fed", "reference_price", "money")
    dm = _reference("Dry matter", "{lots.lab_dm_pct}", "% as fed", "reference_dm")
    tdn = _reference("TDN", "{lots.tdn}", "% DM", "reference_tdn")
    cp = _reference("Crude protein", "{lots.cp}", "% DM", "reference_cp")
    stand_in = worked("Bale to count with, none known", "lb as fed", STAND_IN, style="number0", name="stand_in_bale",
        why="Tons stay the same whatever it is: bales are tons over this weight.", why_look="sentence")  # fmt: skip
    together = heading("All lots together", after=1)
    left_out = worked("Lots left out (not entered)", "1", '=SUMPRODUCT(--({stock.name}<>""))-COUNT({stock.net})', style="number0", name="lots_left_out")  # fmt: skip
    stored = worked("Hay in store", "lb as fed", "=SUM({stock.counted})*lb_per_ton", style="number0", name="hay_in_store")  # fmt: skip
    eaten = worked("Hay that will be eaten", "lb as fed", "=SUM({stock.net})", style="number0", name="hay_eaten")
    storage = _share("Lost in storage, of all", "{stock.lost}", "SUM({stock.counted})", "mean_storage_loss")
    feeding = _share("Wasted, of what is fed", "{stock.wasted}", "SUM({stock.counted})-SUM({stock.lost})", "mean_feeding_loss")  # fmt: skip
    mean_dm = _share("Dry matter of the hay eaten", "{stock.eaten_dm}", "SUM({stock.net})", "mean_dm", "% as fed")
    lots = another(lambda: Lots)
    stock = another(lambda: Stock)


class Chosen(Page):
    column = 1
    reference = Line("Reference lot for prices", None, lambda page: page.of, "input_text", look="unit_cell", name="reference_lot",
        asking=lambda key: Input(key, "Reference lot", "The lot whose price the others are held against", source="{lots.name}", kind="word"))  # fmt: skip
    lots = another(lambda: Lots)


def fill(book: Book, lots: Sequence[Lot], barn: Barn, reference: str) -> None:
    sheet = begin(book, "Stock", "Hay on hand and what it costs",
        "One row is one lot. Tons are those of the sheet Lots where typed, else bales times weight (sheet Register); losses are taken off in turn.",
        "Inputs, then workings")  # fmt: skip
    stock = Stock(sheet, [Kept(lot, barn.lot(lot.name)) for lot in lots]).place(22).filed("stock")
    Chosen(sheet, FIRST - 4, reference).place()
    Totals(sheet, stock.row_below + 1).place()
