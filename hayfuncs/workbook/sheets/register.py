"""Register: what each lot is before the lab - where it came from, its bales, where it lies, its cores."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn, Stored
from hayfuncs.workbook.keyed import calling, same_row, unknown
from hayfuncs.workbook.model import Book, Content, Formula
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import date, listed, number, of_record, text, words
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.table import Table, asked, column, computed

BALES = ("small square", "round", "large square")
AGREE_PCT = 10  # tons typed and tons by bales further apart than this are looked at: common practice, no source
ROUND, SQUARE = ("{height}", "{width}", "{density}"), ("{height}", "{width}", "{length}", "{density}")


# of the table Stock, which looks at the register; here, since it is missed here
FEEDER = asked("Fed in", "name of a feeder", listed("Fed in", "What the lot is fed in: pick one of the list", "{table[feeding_loss.feeder]}"),
    "input_text", 18, of="stored.feeder", band="Typed in")  # fmt: skip


def _no_size(other: str, sizes: tuple[str, ...]) -> tuple[str, str]:
    return f"OR({other},{unknown(*sizes)[0]})", '""'


class Registered(NamedTuple):
    lot: Lot
    stored: Stored


class Register(Table[Registered]):
    """One row a lot of the sheet Lots."""

    blank = '{name}=""'
    name = computed("Hay lot", "name", "={typed.counted}", "label", 22, band="From the sheet Lots")
    field = computed("Field", "name", '={typed.field}&""', "text", 16)
    cutting = computed("Cutting", "number", '={typed.cutting}&""', "text", 9)
    harvest = asked("Harvest date", "date", date("Harvest date", "Day the lot was baled"), "input_date", 14, of="lot.harvest_date", band="Typed in")  # fmt: skip
    hours = asked("From the first bale to the last", "hours", of_record("LOT_NOTES", "baling_hours"), of="stored.baling_hours")  # fmt: skip
    bale = asked("Bale", "word", words("Bale", "Kind of bale", BALES), "input_text", 14, of="lot.bale")
    height = asked("Height; of a round bale its diameter", "ft",
        number("Height", "Height of the bale, or the diameter of a round one, ft", 0.5, 12), of="stored.height_ft")  # fmt: skip
    width = asked("Width", "ft", number("Width", "Width of the bale, ft", 0.5, 12), of="stored.width_ft")
    length = asked("Length, rectangular bales only", "ft", number("Length", "Length of a rectangular bale, ft", 0.5, 20), of="stored.length_ft")  # fmt: skip
    density = asked("Density", "lb/ft3", of_record("ROUND_BALE_WEIGHT", "density_lb_ft3"), of="stored.density_lb_ft3")
    weighed = asked("Bale weight, when weighed", "lb as fed", of_record("HAY_ON_HAND", "bale_weight_lb"), of="lot.bale_weight_lb")  # fmt: skip
    bales = asked("Bales in store", "bales", of_record("HAY_ON_HAND", "bales"), "input0", of="lot.bales")
    storage = asked("Where stored", "name of a method",
        listed("Where stored", "How the lot lies in store: pick one of the list", "{table[storage_loss.method]}"), "input_text", 24, of="lot.storage")  # fmt: skip
    cores = asked("Cores taken", "cores", of_record("SAMPLING_MARGIN", "cores"), "input0", 9, of="lot.cores")
    sampled = asked("Sample date", "date", date("Sample date", "Day the lot was cored"), "input_date", 14, of="lot.sample_date")  # fmt: skip
    remarks = asked("Remarks", "text", text("Remarks", "Rain, mold, anything to remember"), "input_text", 24, of=lambda row: row.item.lot.notes or None)  # fmt: skip
    round = computed("Round bale, by size", "lb as fed", calling("ROUND_BALE_WEIGHT", *ROUND, unless=_no_size('{bale}<>"round"', ROUND)), "number0", band="Computed")  # fmt: skip
    square = computed("Rectangular bale, by size", "lb as fed", calling("SQUARE_BALE_WEIGHT", *SQUARE, unless=_no_size('{bale}="round"', SQUARE)), "number0")  # fmt: skip
    weight = computed("Bale weight used", "lb as fed", '=IF({weighed}<>"",{weighed},IF({bale}="round",{round},{square}))', "result1")  # fmt: skip
    by_bales = computed("Tons, by bales", "tons as fed", "=IF(COUNT({bales},{weight})=2,{bales}*{weight}/lb_per_ton,{not_entered})")  # fmt: skip
    tons = computed("Tons in store: Lots where typed, else bales", "tons as fed", '=IF({typed.tons}<>"",{typed.tons},{by_bales})', "result1", 14)  # fmt: skip
    apart = computed("By bales less Lots", "% of Lots",
        '=IF(AND(COUNT({by_bales},{typed.tons})=2,N({typed.tons})>0),100*({by_bales}/{typed.tons}-1),"")')  # fmt: skip
    relation = computed("How the two agree", "words",
        f'=IF({{apart}}="","one of them only",IF(ABS({{apart}})>{AGREE_PCT},"differ: correct one","agree"))', "text", 20)  # fmt: skip
    # hours not entered give no note of their own; cores not taken yet give the note on cores
    notes = computed("Notes on the lot", "text",
        calling("LOT_NOTES", "{tons}", "MAX(1,{hours})", "MAX(1,{cores})", unless=("N({tons})=0", '"tons not entered"')), "small", 60)  # fmt: skip

    @column("Still to enter", "text", "small", 70)
    def missing(self) -> Content:
        wanted = (
            (self.harvest, "harvest date"), (self.hours, "hours"), (self.bale, "bale"), (self.weight, "bale weight"), (self.bales, "bales"),
            (self.storage, "storage"), (self.cores, "cores"), (self.sampled, "sample date"), (self.elsewhere(FEEDER), "Fed in on Stock"),
        )  # fmt: skip
        return Formula("=TRIM(" + "&".join(f'IF({ref}="","{says}; ","")' for ref, says in wanted) + ")")

    typed = same_row(lambda: Lots)


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(book, "Register", "Lot register: what each lot is, before the lab",
        "One row is one lot of the sheet Lots. Count and weigh bales, note dates, hours and storage; an empty cell means not entered.",
        "Inputs, then workings")  # fmt: skip
    Register(sheet, [Registered(lot, barn.lot(lot.name)) for lot in lots]).place(20).filed("register")
