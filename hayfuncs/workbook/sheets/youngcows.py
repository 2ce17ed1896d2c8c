"""Young cattle, the second table: what bred heifers and young cows need, in pounds and in percent, against the chosen hay."""

from __future__ import annotations

from typing import NamedTuple

from hayfuncs.cow.growth import POINTS
from hayfuncs.cow.heifer_need import CALVES
from hayfuncs.workbook.keyed import another, calling, unknown, where
from hayfuncs.workbook.page import Page, given, heading, worked
from hayfuncs.workbook.sheets.closecalls import CLOSE, ENOUGH, SHORT
from hayfuncs.workbook.sheets.grid import number, of_record
from hayfuncs.workbook.sheets.younggain import Found
from hayfuncs.workbook.table import Column, Table, asked, computed


class Young(NamedTuple):
    """One kind of cow that still grows; her figures are invented."""

    name: str
    calf: str
    point: str
    weight: float
    month: float
    gain: float


ROWS = (
    Young("Bred heifer, a month before calving", CALVES[0], POINTS[1], 1010, 11, 0.85),
    Young("First-calf cow in milk", CALVES[0], POINTS[2], 1020, 2, 0.4),
    Young("Second-calf cow in milk", CALVES[1], POINTS[3], 1140, 2, 0.15),
    Young("Grown cow in milk, beside them", CALVES[2], POINTS[3], 1250, 2, 0),
)
UNTYPED = unknown("{shrunk}", "{month}", "{gain}", "{milk}", "{herd.grown}", "{herd.calf}")
HER = ("{herd.grown}", "{shrunk}", "{gain}", "{month}", "{milk}", "{herd.calf}")
NO_HAY = ("COUNT({hay.hay_tdn},{hay.hay_cp},{hay.hay_off},{eats})<4", '""')


class YoungHerd(Page):
    """The herd that they belong to."""

    belongs = heading("Bred heifers and young cows: can they live on this hay?")
    full = given("Weight of the grown cows, full", "lb", number("Weight of the grown cows", "Full pounds of the cows they become", 450, 3000, True), 1250, "input0")  # fmt: skip
    peak = given("Milk of the grown cows at the peak", "lb/day", of_record("YOUNG_COW_MILK", "grown_peak_milk_lb", True), 20)  # fmt: skip
    calf = given("Calf weight at birth", "lb", of_record("HEIFER_NEED", "calf_birth_weight_lb", True), 80, "input0")
    grown = worked("Shrunk weight of the grown cows", "lb", calling("SHRUNK_WEIGHT", "{full}", "shrink_pct", unless=unknown("{full}")), "number0")  # fmt: skip


def _need(head: str, nutrient: str, style: str = "number2") -> Column:
    return computed(head, "lb DM/day" if nutrient == "DM" else "lb/day", calling("HEIFER_NEED", f'"{nutrient}"', *HER, unless=UNTYPED), style)  # fmt: skip


def _density(nutrient: str) -> Column:
    return computed(f"{nutrient} the diet must hold", "% DM", calling("HEIFER_DENSITY", f'"{nutrient}"', *HER, unless=UNTYPED), "result1")  # fmt: skip


def _against(head: str, unit: str, formula: str, style: str = "number1") -> Column:
    return computed(head, unit, where(NO_HAY, formula), style)


class YoungCows(Table[Young]):
    """One row a kind of cow; percent is what fails first, because she eats less."""

    name = computed("Kind of cow", "name", lambda row: row.item.name, "label", 0)
    weight = asked("Weight now, full, without the calf", "lb", number("Weight now", "Full pounds, without calf and womb", 350, 3000, True), "input0")  # fmt: skip
    month = asked("Month since calving", "months", of_record("HEIFER_NEED", "month_since_calving", True), "input0")
    gain = asked("Gain of her own", "lb/day", of_record("HEIFER_NEED", "gain_lb", True), "input2")
    eats = _need("Dry matter she can eat", "DM", "number1")
    tdn_need, cp_need = _need("TDN need", "TDN"), _need("CP need", "CP")
    tdn_pct, cp_pct = _density("TDN"), _density("CP")
    tdn_points = _against("TDN the hay is short of it", "% DM", "MAX(0,{tdn_pct}-{hay.hay_tdn})")
    tdn_short = _against("The same in what she eats", "lb/day", "{eats}*{tdn_points}/100", "number2")
    cp_short = _against("CP the hay is short of it", "lb/day", "{eats}*MAX(0,{cp_pct}-{hay.hay_cp})/100", "number2")
    energy = computed("Energy of the hay", "verdict", calling("CLOSE_CALL", "{tdn_pct}", "{hay.hay_tdn}", "{hay.hay_off}", unless=NO_HAY), "verdict")  # fmt: skip
    protein = computed("Protein of the hay", "verdict", calling("CLOSE_CALL", "{cp_pct}", "{hay.hay_cp}", "{hay.hay_cp_off}", unless=NO_HAY), "verdict")  # fmt: skip
    shrunk = computed("Shrunk weight", "lb", calling("SHRUNK_WEIGHT", "{weight}", "shrink_pct", unless=unknown("{weight}")), "number0")  # fmt: skip
    milk = computed("Milk of hers at the peak", "lb/day", calling("YOUNG_COW_MILK", "{herd.peak}", '"{calf_nursed}"', unless=unknown("{herd.peak}")))  # fmt: skip
    target = computed("Weight to have at the next calving", "lb", calling("TARGET_WEIGHT", "{herd.full}", '"{next_calving}"', unless=unknown("{herd.full}")), "number0")  # fmt: skip
    herd, hay = another(lambda: YoungHerd), another(lambda: Found)

    @property
    def calf_nursed(self) -> str:
        return self.item.calf

    @property
    def next_calving(self) -> str:
        return self.item.point


def said(rows: YoungCows) -> str:
    """An expression: which of the kinds this hay alone is enough for, and which not."""
    parts = []
    for i, kind in enumerate(("Bred heifers", "first-calf cows", "second-calf cows"), 1):
        energy, protein = rows.some(YoungCows.energy, i), rows.some(YoungCows.protein, i)
        points, pounds = rows.some(YoungCows.tdn_points, i), rows.some(YoungCows.cp_short, i)
        short = f'IF({energy}="{SHORT}",TEXT({points},"0.0")&" points of TDN","")'
        less = f'IF({protein}="{SHORT}",IF({energy}="{SHORT}"," and ","")&TEXT({pounds},"0.00")&" lb CP","")'
        close = f'IF(OR({energy}="{CLOSE}",{protein}="{CLOSE}"),"{CLOSE}",IF({energy}="","not known","{ENOUGH}"))'
        joined = '"; "&' if i > 1 else ""
        parts.append(
            f'{joined}TRIM("{kind} "&IF(OR({energy}="{SHORT}",{protein}="{SHORT}"),"short of "&{short}&{less},{close}))'
        )
    return "&".join(parts)
