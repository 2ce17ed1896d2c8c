"""Herd care: what cold, wind, wet and mud ask of each group, and what its hay's nitrate means for it."""

from __future__ import annotations

from hayfuncs.workbook.barn import Barn, Yard
from hayfuncs.workbook.keyed import another, calling, same_row, unknown, where
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin, typed_names
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, of_record
from hayfuncs.workbook.sheets.hazards import Hazards
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.winterneed import WinterNeed
from hayfuncs.workbook.table import Column, Table, asked, computed

TEXT = 46
NO_MUD = ('{mud}=""', NOT_ENTERED)


def _of_hay(head: str, unit: str, column: str, style: str, width: float = 12) -> Column:
    return computed(head, unit, where(unknown("{winter.place_of}"), f"INDEX({column},{{winter.place_of}})"), style, width)  # fmt: skip


def _nitrate(head: str, scale: str, band: str = "") -> Column:
    calf, others = (f"INDEX({{hazards.nitrate_{of}_{scale}}},{{winter.place_of}})" for of in ("calf", "open"))
    said = where(unknown("{winter.place_of}", "{pregnant}"), f"IF({{pregnant}}=1,{calf},{others})")
    return computed(head, "text", said, "note", TEXT, band)


class HerdCare(Table[Yard]):
    """One row a group where it stands today."""

    blank = '{name}=""'
    name = computed("Cow group", "name", "={herd.counted}", "label", 26)
    pregnant = asked("In calf? 1 yes, 0 no", "yes/no", of_record("NITRATE_CAUTION", "pregnant"), "input0", 9, band="Typed in")  # fmt: skip
    coat = asked("Coat; wet is wet to the skin", "word", of_record("COLD_INCREASE", "coat"), "input_text", 14)
    air = asked("Air temperature", "deg F", of_record("EFFECTIVE_TEMPERATURE", "air_temp_f"), "input0", of="air_temp_f")
    wind = asked("Wind", "mph", of_record("EFFECTIVE_TEMPERATURE", "wind_mph"), "input0", 9, of="wind_mph")
    mud = asked("Depth of mud", "in", of_record("MUD_CAUTION", "mud_in"), "input0", 9, of="mud_in")
    felt = computed("Temperature as she feels it", "deg F",
        calling("EFFECTIVE_TEMPERATURE", "{air}", "{wind}", unless=unknown("{air}", "{wind}")), "number0", band="Cold")  # fmt: skip
    increase = computed("More energy for maintenance", "%",
        calling("COLD_INCREASE", "{felt}", "{coat}", unless=('OR(COUNT({felt})=0,{coat}="")', NOT_ENTERED)), "number0")  # fmt: skip
    maintenance = computed("Energy for maintenance, mild weather", "Mcal/day", calling("NEM_FOR_MAINTENANCE", "{herd.shrunk}", "{herd.lactating}"), "number2", 13)  # fmt: skip
    lot = _of_hay("Her hay", "name", "{lots.name}", "text", 20)
    nem = _of_hay("Energy of her hay", "Mcal/lb DM", "{lots.nem}", "number3")
    extra = computed("More of this hay for the cold", "lb DM/day", where(unknown("{increase}", "{nem}"), "{increase}/100*{maintenance}/{nem}"), "result1")  # fmt: skip
    cold = computed("What the cold means", "text", calling("COLD_CAUTION", "{increase}", unless=unknown("{increase}")), "note", TEXT)  # fmt: skip
    cut = computed("Less eaten in mud", "%", calling("MUD_INTAKE_CUT", "{mud}", unless=NO_MUD), "number0", 9, "Mud")
    left = computed("Hay eaten in mud", "lb DM/day", where(unknown("{cut}", "{winter.intake}"), "{winter.intake}*(1-{cut}/100)"))  # fmt: skip
    mud_says = computed("What the mud means", "text", calling("MUD_CAUTION", "{mud}", unless=NO_MUD), "note", TEXT)
    nitrate_a = _nitrate("Clemson scale", "a", "Nitrate of her hay")
    nitrate_b = _nitrate("Midwest laboratory's scale", "b")
    herd = same_row(lambda: Herd)

    lots, hazards = another(lambda: Lots), another(lambda: Hazards)
    winter = same_row(lambda: WinterNeed)


def fill(book: Book, barn: Barn) -> None:
    sheet = begin(book, "Herd care", "What weather and hazards ask of each group",
        "One row is one group where it stands today: type coat, temperature, wind, mud and whether it is in calf. Its hay is the lot of the sheet Winter need.",
        "Inputs, then workings")  # fmt: skip
    HerdCare(sheet, [barn.yard(group) for group in typed_names(book, "herd")]).place(84).filed("care")
