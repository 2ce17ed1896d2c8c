"""A page of cautions: one line a hazard - value, level, what it means, its limit and whose, who decides."""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.workbook.model import Book, Content, Formula, Sheet, a1
from hayfuncs.workbook.sheets.cautions import VET, whose
from hayfuncs.workbook.sheets.levels import WORDS
from hayfuncs.workbook.sheets.shortwords import SHORT, UNSAID, Short

LINES = 21  # row of the headings of the lines
NUMBERS = 13  # row of the first number on the way, above them
NOTED = ("For information", "nothing noted", WORDS[0], *WORDS[1:])
HEADS = (("Hazard", ""), ("Value", "unit at right"), ("", "unit"), ("Level", "word"), ("What it means", "text"),
         ("Limit, and whose", "text"), ("Who decides", "words"), ("In short", "words"), ("Comes first among its level", "number"),
         ("Gravest is highest", "number"))  # fmt: skip


@dataclass
class Page:
    """The lines of the page, top to bottom."""

    book: Book
    sheet: Sheet
    row: int = LINES + 2
    number_row: int = NUMBERS
    part: str = ""  # what the lines that follow are of

    @property
    def value(self) -> str:
        """The cell of the value of the line that comes next."""
        return f"$B${self.row + 1}"

    def number(self, what: str, value: Content, unit: str, style: str = "number2") -> str:
        """A number on the way to a hazard, above the lines; hands back its cell."""
        self.number_row += 1
        assert self.number_row < LINES
        return self._put(self.number_row - 1, what, value, unit, style)

    def _put(self, row: int, what: str, value: Content, unit: str, style: str) -> str:
        self.sheet.put(row, 0, what, "label")
        ref = self.sheet.put(row, 1, value, style, unit=unit)
        self.sheet.put(row, 2, unit, "unit_cell")
        return ref.split("!")[1]

    def line(
        self, what: str, value: Content, unit: str, text: Content, limit: str, function: str, who: str = VET,
        style: str = "number2", short: Short | None = None,
    ) -> str:  # fmt: skip
        """A hazard; hands back the cell of its value."""
        if short is None:
            short = SHORT.get(function, UNSAID)
        row, sheet = self.row, self.sheet
        self.row += 1
        ref = self._put(row, f"{self.part}: {what}", value, unit, style)
        said = sheet.put(row, 4, text, "note").split("!")[1].replace("$", "")
        first = f"MID({said},1,2)"
        place = f'1+({said}="")+2*(MID({said},1,4)="not ")+3*({first}="Cl")+4*({first}="Ca")+5*({first}="Da")'
        words = ",".join(f'"{word}"' for word in NOTED)
        sheet.put(row, 3, Formula(f"=CHOOSE({place},{words})"), "verdict")
        sheet.put(row, 5, f"{limit}. {whose(function)}", "note")
        sheet.put(row, 6, who, "note")
        sheet.heights[row] = 52
        self._in_short(row, short)
        return ref

    def _in_short(self, row: int, short: Short) -> None:
        """The line in a few words, for the sheet that the room sees, and how grave it is."""
        sheet, level = self.sheet, a1(row, 3, "c")
        told = (
            f'IF({level}="{WORDS[3]}",{short.danger},IF({level}="{WORDS[2]}",{short.caution},{short.else_said(level)}))'
        )
        sheet.put(row, 7, Formula(f"={told}"), "note")
        sheet.put(row, 8, short.weight, "number2", unit="number")
        graver = f'IF({level}="{WORDS[3]}",2,IF({level}="{WORDS[2]}",1,0))'
        said = a1(row, 7, "c")
        sheet.put(row, 9, Formula(f'=IF({said}="",0,{a1(row, 8, "c")}+{graver})'), "number2", unit="number")
