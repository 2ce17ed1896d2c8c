"""A line of Ration cautions: value, level, what it means, its limit and whose, who decides; and in few words for the room."""

from __future__ import annotations

from typing import Any

from hayfuncs.workbook.keyed import Made, Making, filled
from hayfuncs.workbook.model import Formula, a1
from hayfuncs.workbook.page import Line
from hayfuncs.workbook.sheets.cautions import VET, whose
from hayfuncs.workbook.sheets.levels import WORDS
from hayfuncs.workbook.sheets.shortwords import SHORT, UNSAID, Short

HIGH, LOW = 43, 30  # points: three lines of words, and two where no level says more
NOTED = ("For information", "nothing noted", WORDS[0], *WORDS[1:])
HEADS = (("Hazard", ""), ("Value", "unit at right"), ("", "unit"), ("Level", "word"), ("What it means", "text"),
         ("Limit, and whose", "text"), ("Who decides", "words"), ("In short", "words"), ("Comes first among its level", "number"),
         ("Gravest is highest", "number"), ("Named where it is at caution or danger", "words"))  # fmt: skip
LEVEL, SAYS, LIMIT, WHO, IN_SHORT, WEIGHT, RANK, NAMED = range(3, len(HEADS))  # right of label, value and unit


class Hazard(Line):
    """One hazard; its value is read by its key."""

    def __init__(
        self, what: str, unit: str, value: Making | Made, text: Making | Made, limit: str, function: str, who: str = VET,
        style: str = "number2", short: Short | None = None, height: int = HIGH,
    ) -> None:  # fmt: skip
        super().__init__(what, unit, value, style, height=height)
        self.text = text if isinstance(text, Made) else Made(text)
        self.limit, self.who, self.short = f"{limit}. {whose(function)}", who, short or SHORT.get(function, UNSAID)

    def beside(self, page: Any, row: int) -> None:
        sheet, said, level, short = page.sheet, a1(row, SAYS, "c"), a1(row, LEVEL, "c"), self.short
        sheet.put(row, SAYS, self.text(page), "note")
        first = f"MID({said},1,2)"
        place = f'1+({said}="")+2*(MID({said},1,4)="not ")+3*({first}="Cl")+4*({first}="Ca")+5*({first}="Da")'
        sheet.put(row, LEVEL, Formula(f"=CHOOSE({place},{','.join(f'{chr(34)}{word}{chr(34)}' for word in NOTED)})"), "verdict")  # fmt: skip
        sheet.put(row, LIMIT, self.limit, "note")
        sheet.put(row, WHO, self.who, "note")
        # in a few words, for the sheet that the room sees, and how grave it is
        told = f'IF({level}="{WORDS[3]}",{short.danger},IF({level}="{WORDS[2]}",{short.caution},{short.else_said(level)}))'  # fmt: skip
        sheet.put(row, IN_SHORT, Formula(f"={filled(told, page)}"), "note")
        sheet.put(row, WEIGHT, short.weight, "number2")
        graver = f'IF({level}="{WORDS[3]}",2,IF({level}="{WORDS[2]}",1,0))'
        rank = f'=IF({a1(row, IN_SHORT, "c")}="",0,{a1(row, WEIGHT, "c")}+{graver})'
        sheet.put(row, RANK, Formula(rank), "number2")
        grave = f'OR({level}="{WORDS[2]}",{level}="{WORDS[3]}")'
        sheet.put(row, NAMED, Formula(f'=IF({grave},"; "&{a1(row, page.column, "c")},"")'), "text")
