"""Winter need: hay each group needs until grass, in pounds, tons and bales, and how long one lot lasts it."""

from __future__ import annotations

from dataclasses import replace

from hayfuncs.workbook.barn import Barn, Yard
from hayfuncs.workbook.keyed import another, calling, same_row, unknown, where
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin, found, typed_names
from hayfuncs.workbook.sheets.grid import listed
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.stock import Stock
from hayfuncs.workbook.table import Column, Table, asked, computed

EATEN_FROM = ("match", "need")  # hay eaten to appetite on the lot, or dry matter of the requirement equations
NO_LOT, UNFED = unknown("{place_of}"), unknown("{intake}")
MEANS = ("winter_days", "mean_dm", "mean_storage_loss", "mean_feeding_loss")
ALONE = ("{lot_tons}", "{lot_dm}", "{lot_storage}", "{lot_feeding}", "{intake}")


def _looked_up(head: str, unit: str, column: str, style: str = "number1") -> Column:
    return computed(head, unit, where(NO_LOT, f"INDEX({column},{{place_of}})"), style)


class WinterNeed(Table[Yard]):
    """One row a group; its lot says how much of such hay one head eats."""

    blank = '{name}=""'
    name = computed("Cow group", "name", "={herd.counted}", "label", 26)
    lot = asked(
        "Hay like this lot", "name of a lot", listed("Hay like this lot", "The lot whose quality says how much one head eats", "{lots.name}"),
        "input_text", 22, band="Typed in")  # fmt: skip
    group = computed("Group number", "row of Herd", lambda row: row.number, "number0", 9, band="Computed")
    place_of = computed("Lot number", "row of Lots", lambda row: found(row.lot, row.lots.name), "number0", 11)  # fmt: skip
    head = computed("Head", "head", "={herd.head}", "number0", 8)
    appetite = computed("Hay eaten of this lot", "lb DM/day",
        where(NO_LOT, "INDEX({match.hay},({place_of}-1)*group_count+{group})"))  # fmt: skip
    need = computed("Dry matter, from Herd", "lb DM/day", "={herd.need_dm}")
    intake = computed("Hay eaten, as chosen", "lb DM/day", f'=IF(hay_eaten_from="{EATEN_FROM[0]}",{{appetite}},{{need}})', "result1")  # fmt: skip
    dm_day = computed("The group eats", "lb DM/day", where(UNFED, "{head}*{intake}"), "number0")
    counted = computed("Head counted in the totals", "head", where((UNFED[0], "0"), "{head}"), "number0", 9)
    needed = computed("Hay needed, at storing", "lb as fed",
        calling("HAY_NEEDED", "{head}", "{intake}", *MEANS, unless=unknown("{intake}", *MEANS)), "number0")  # fmt: skip
    tons = computed("The same in tons", "tons as fed", where(unknown("{needed}"), "{needed}/lb_per_ton"), "result1")
    weight = _looked_up("Bale of this lot", "lb as fed", "{register.weight}", "number0")
    lot_tons = _looked_up("This lot in store", "tons as fed", "{register.tons}")
    lot_dm = _looked_up("Its dry matter", "% as fed", "{lots.lab_dm_pct}")
    lot_storage = _looked_up("Lost in storage", "% DM", "{stock.storage_loss}")
    lot_feeding = _looked_up("Wasted at feeding", "% DM", "{stock.feeding_loss}")
    bales = computed("Bales like these needed", "bales", calling("BALES_NEEDED", "{needed}", "{weight}", unless=unknown("{needed}", "{weight}")), "number0")  # fmt: skip
    alone_days = computed("This lot alone lasts this group", "days",
        calling("DAYS_OF_HAY", "{lot_tons}*lb_per_ton", "{lot_dm}", "{lot_storage}", "{lot_feeding}", "{head}", "{intake}", unless=unknown(*ALONE)),
        "number0")  # fmt: skip
    herd = same_row(lambda: Herd)

    lots, match = another(lambda: Lots), another(lambda: Match)
    register = another(lambda: Register)
    stock = another(lambda: Stock)


def fill(book: Book, barn: Barn, first_lot: str) -> None:
    sheet = begin(book, "Winter need", "Hay each group needs until grass",
        "One row is one group. The lot says how much of such hay one head eats; losses and dry matter are those of all hay in store. Dates stand on the sheet Hay pile.",
        "Inputs, then workings")  # fmt: skip
    yards = [barn.yard(group) for group in typed_names(book, "herd")]
    WinterNeed(sheet, [replace(yard, lot=yard.lot or first_lot) for yard in yards]).place(22).filed("winter")
