"""Repeat tests: two values of one sample, and whether they lie further apart than laboratories usually do."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn, Stored
from hayfuncs.workbook.keyed import calling, same_row, unknown, where
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import number, of_record
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.table import Column, Table, asked, computed

NOT_REPEATED = '"not repeated"'


def _second(k: str, band: str = "") -> Column:
    asking = number(k.upper(), f"Second {k.upper()} of the same ground sample, % of dry matter", 0, 100)
    return asked(k.upper(), "% DM", asking, of=f"second_{k}_pct", band=band)


def _apart(k: str, band: str = "") -> Column:
    second = f"{{second_{k}}}"
    formula = where(unknown(second, shown=NOT_REPEATED), f"{second}-{{first.{k}}}")
    return computed(f"{k.upper()}: second less first", "% DM", formula, "number2", 13, band)


def _usual(k: str) -> Column:
    untyped = unknown("{same_lab}", f"{{second_{k}}}", shown=NOT_REPEATED)
    usual = calling("LAB_TOLERANCE", f'"{k.upper()}"', "{same_lab}", unless=untyped)
    return computed(f"{k.upper()}: usual error", "% DM, each side", usual, width=13)


def _note(k: str) -> Column:
    untyped = unknown("{same_lab}", f"{{second_{k}}}", shown=NOT_REPEATED)
    said = calling("LAB_DIFFERENCE_NOTE", f'"{k.upper()}"', f"{{first.{k}}}", f"{{second_{k}}}", "{same_lab}", unless=untyped)  # fmt: skip
    return computed(f"{k.upper()}: what it means", "text", said, "note", 44)


class Repeats(Table[Stored]):
    """One row a lot of the sheet Lots."""

    blank = '{name}=""'
    name = computed("Hay lot", "name", "={first.counted}", "label", 22)
    same_lab = asked("Same laboratory? 1 yes, 0 no", "yes/no", of_record("LAB_TOLERANCE", "same_lab"), "input0", 13, band="Typed in: the second test")  # fmt: skip
    second_cp, second_adf, second_ndf = _second("cp"), _second("adf"), _second("ndf")
    apart_cp, usual_cp, note_cp = _apart("cp", "Computed"), _usual("cp"), _note("cp")
    apart_adf, usual_adf, note_adf = _apart("adf"), _usual("adf"), _note("adf")
    apart_ndf, usual_ndf, note_ndf = _apart("ndf"), _usual("ndf"), _note("ndf")
    twice = computed("Values tested twice", "1", "=COUNT({second_cp},{second_adf},{second_ndf})*(COUNT({same_lab})>0)", "number0")  # fmt: skip
    far = computed("Further apart than usual", "1",
        '=(MID({note_cp},1,3)="The")+(MID({note_adf},1,3)="The")+(MID({note_ndf},1,3)="The")', "number0")  # fmt: skip
    first = same_row(lambda: Lots)


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(book, "Repeat tests", "Two tests of one sample",
        "Where a sample was tested twice, type the second values on dry basis; a difference beyond the laboratories' usual error is said in words.",
        "Inputs, then workings")  # fmt: skip
    Repeats(sheet, [barn.lot(lot.name) for lot in lots]).place(66).filed("repeats")
