"""Twelve workbooks by twelve hands, none of them ours, with faults to plant in each: invented farms, ordinary formulas.

A book is its cells by address; a fault is what some cells hold instead, and the cell where it must be found.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import openpyxl
from audit.damagelib import File
from openpyxl.utils import get_column_letter as letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.table import Table

Cells = dict[str, Any]


@dataclass
class Stranger:
    name: str
    cells: Cells
    faults: list[tuple[str, Cells, str]]
    merged: list[str] = field(default_factory=list)  # Sheet!A1:B1
    formats: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    tables: list[str] = field(default_factory=list)

    def bytes(self, changes: Cells | None = None) -> bytes:
        book = openpyxl.Workbook()
        book.remove(book.active)
        for address, value in (self.cells | (changes or {})).items():
            sheet, _, at = address.rpartition("!")
            page = book[sheet] if sheet in book.sheetnames else book.create_sheet(sheet)
            page[at] = value
        for address in self.merged:
            sheet, _, area = address.rpartition("!")
            book[sheet].merge_cells(area)
        for address, code in self.formats.items():
            sheet, _, area = address.rpartition("!")
            for row in book[sheet][area]:
                for cell in row:
                    cell.number_format = code
        for name, text in self.names.items():
            book.defined_names[name] = DefinedName(name, attr_text=text)
        for i, address in enumerate(self.tables):
            sheet, _, area = address.rpartition("!")
            book[sheet].add_table(Table(displayName=f"table{i}", ref=area))
        stream = io.BytesIO()
        book.save(stream)
        return File(stream.getvalue()).recalculated().bytes()


def rows(sheet: str, top: int, *lines: tuple[Any, ...], left: int = 1) -> Cells:
    """Lines of values from a cell on; `{r}` in a text stands for the row's number."""
    found: Cells = {}
    for r, line in enumerate(lines, top):
        for c, value in enumerate(line, left):
            if value is not None:
                text = value.replace("{r}", str(r)) if isinstance(value, str) else value
                found[f"{sheet}!{letter(c)}{r}"] = text
    return found


LOTS = (
    ("Creek 1", 86.5, 8.4, 39.5, 62.0), ("Creek 2", 88.0, 12.1, 34.2, 54.5), ("Hill 1", 84.0, 7.2, 41.0, 66.3),
    ("Hill 2", 89.5, 15.8, 31.0, 44.0), ("Road 1", 87.2, 9.9, 37.7, 59.1), ("Road 2", 85.1, 6.6, 42.4, 67.8),
)  # fmt: skip


def ten_years() -> Stranger:
    """One sheet, down, percents, the agent's own of ten years."""
    lines = [(*lot, "=88.9-0.779*D{r}", "=120/E{r}", "=F{r}*G{r}/1.29") for lot in LOTS]
    cells = rows(
        "Hay",
        1,
        ("Hay tests",),
        (),
        ("Lot", "DM %", "CP %", "ADF %", "NDF %", "DDM %", "Intake % of BW", "RFV"),
        *lines,
    )
    cells |= rows("Hay", 12, ("Cow weight, lb", 1250), ("Hay intake, lb DM/day", "=B12*G4/100"), ("Protein need, lb/day", 1.9),
                  ("Protein from hay, lb/day", "=B13*C4/100"), ("Short of protein, lb/day", "=MAX(0,B14-B15)"))  # fmt: skip
    faults: list[tuple[str, Cells, str]] = [
        ("a value typed over a formula", {"Hay!F6": 61.0}, "Hay!F6"),
        ("the wrong column read", {"Hay!G7": "=120/D7"}, "Hay!G7"),
        ("protein as a share", {"Hay!C5": 0.121}, "Hay!C5"),
        ("moisture for dry matter", {"Hay!B6": 11.5}, "Hay!B6"),
        ("ADF and NDF swapped", {"Hay!D8": 59.1, "Hay!E8": 37.7}, "Hay!D8"),
        ("a slip of the slope", {f"Hay!F{r}": f"=88.9-0.797*D{r}" for r in range(4, 10)}, "Hay!F4"),
        ("a slip of the constant", {f"Hay!G{r}": f"=110/E{r}" for r in range(4, 10)}, "Hay!G4"),
        ("kilograms for pounds", {"Hay!B12": 590}, "Hay!B12"),
        ("division by 100 dropped", {"Hay!B15": "=B13*C4"}, "Hay!B15"),
        ("the wrong lot's row", {"Hay!H6": "=F7*G6/1.29"}, "Hay!H6"),
        ("a number as a text", {"Hay!C7": "15.8"}, "Hay!C7"),
    ]
    return Stranger("ten years", cells, faults)


def across() -> Stranger:
    """Lots across, analytes down, both bases."""
    cells = rows(
        "Lab",
        1,
        ("Feed analysis summary, hay",),
        ("", *(lot[0] for lot in LOTS)),
        ("Dry matter, %", *(lot[1] for lot in LOTS)),
    )
    cells |= rows("Lab", 4, ("Crude protein, % as fed", *(round(lot[2] * lot[1] / 100, 2) for lot in LOTS)))
    for c in range(2, 8):
        k = letter(c)
        cells |= {
            f"Lab!{k}5": f"={k}4/{k}3*100",
            f"Lab!{k}6": LOTS[c - 2][3],
            f"Lab!{k}7": LOTS[c - 2][4],
            f"Lab!{k}8": f"=82.38-0.7515*{k}6",
        }
    cells |= {
        "Lab!A5": "Crude protein, % dry basis",
        "Lab!A6": "ADF, % dry basis",
        "Lab!A7": "NDF, % dry basis",
        "Lab!A8": "TDN, % dry basis",
    }
    cells |= rows(
        "Lab",
        11,
        ("Cows", 60),
        ("Body weight", 1300, "lb"),
        ("Dry matter intake", "=B12*0.02", "lb/day"),
        ("Protein from hay", "=B13*B5/100", "lb/day"),
    )
    faults = [
        (
            "multiplied by dry matter",
            {f"Lab!{letter(c)}5": f"={letter(c)}4*{letter(c)}3/100" for c in range(2, 8)},
            "Lab!B5",
        ),
        ("one column another way", {"Lab!D5": "=D4*D3/100"}, "Lab!D5"),
        ("a dry value typed in", {"Lab!E5": 14.1}, "Lab!E5"),
        ("the wrong lot read", {"Lab!F8": "=82.38-0.7515*E6"}, "Lab!F8"),
        ("a slip of the slope", {f"Lab!{letter(c)}8": f"=82.38-0.7151*{letter(c)}6" for c in range(2, 8)}, "Lab!B8"),
        ("as fed protein used as dry", {"Lab!B14": "=B13*B4/100"}, "Lab!B14"),
        ("TDN over 80", {"Lab!G8": 84.0}, "Lab!G8"),
        ("a share for a percent", {"Lab!C3": 0.88}, "Lab!C3"),
        ("fibers swapped", {"Lab!C6": 54.5, "Lab!C7": 34.2}, "Lab!C6"),
        ("weight in kilograms", {"Lab!B12": 590}, "Lab!B12"),
    ]
    return Stranger("across", cells, faults)


def many_sheets() -> Stranger:
    """Inputs, tests, ration and cost on sheets of their own."""
    cells = rows(
        "Inputs",
        1,
        ("What", "Value", "Unit"),
        ("Cow weight", 1200, "lb"),
        ("Number of cows", 85, "head"),
        ("Days to grass", 140, "days"),
        ("Hay waste", 15, "%"),
        ("Hay price per ton", 140, "$/ton"),
    )
    cells |= rows(
        "Tests",
        1,
        ("Field", "Dry matter %", "Crude protein %", "TDN %"),
        *((lot[0], lot[1], lot[2], round(88.9 - 0.779 * lot[3], 1)) for lot in LOTS),
    )
    lines = [
        (
            f"=Tests!A{r}",
            "=Inputs!$B$2*0.022",
            f"=B{{r}}*Tests!C{r}/100",
            f"=B{{r}}*Tests!D{r}/100",
            f"=B{{r}}/(Tests!B{r}/100)",
            "=E{r}/(1-Inputs!$B$5/100)",
        )
        for r in range(2, 8)
    ]
    cells |= rows(
        "Ration",
        1,
        ("Hay", "Dry matter eaten, lb/day", "Protein, lb/day", "TDN, lb/day", "As fed, lb/day", "Put out, lb/day"),
        *lines,
    )
    cost = [(f"=Ration!A{r}", f"=Ration!F{r}*Inputs!$B$3*Inputs!$B$4/2000", "=B{r}*Inputs!$B$6") for r in range(2, 8)]
    cells |= rows("Cost", 1, ("Hay", "Tons for the herd", "Cost of hay"), *cost) | {
        "Cost!A9": "Mean cost",
        "Cost!C9": "=AVERAGE(C2:C7)",
    }
    faults = [
        ("a row off", {"Ration!C4": "=B4*Tests!C5/100"}, "Ration!C4"),
        ("the next column", {"Ration!D5": "=B5*Tests!C5/100"}, "Ration!D5"),
        ("two cells read one row off", {"Ration!C4": "=B4*Tests!C5/100", "Ration!C5": "=B5*Tests!C6/100"}, "Ration!C4"),
        ("a dollar sign gone", {"Cost!C4": "=B4*Inputs!$B$7"}, "Cost!C4"),
        ("another ton", {f"Cost!B{r}": f"=Ration!F{r}*Inputs!$B$3*Inputs!$B$4/2204" for r in range(2, 8)}, "Cost!B2"),
        ("the range stops short", {"Cost!C9": "=AVERAGE(C2:C6)"}, "Cost!C9"),
        ("typed over", {"Ration!E3": 31}, "Ration!E3"),
        (
            "division by 100 dropped in the column",
            {f"Ration!D{r}": f"=B{r}*Tests!D{r}" for r in range(2, 8)},
            "Ration!D2",
        ),
        ("protein as a share", {"Tests!C3": 0.121}, "Tests!C3"),
        ("a link to the next field", {"Ration!A5": "=Tests!A6"}, "Ration!A5"),
        ("moisture typed", {"Tests!B6": 12.8}, "Tests!B6"),
    ]
    return Stranger("many sheets", cells, faults)


def metric() -> Stranger:
    """Kilograms, merged heads."""
    cells = rows("Forage", 1, ("Hay lots",), (None, None, "On dry matter"), ("Lot", "Dry matter, %", "Protein, %", "ADF, %", "NDF, %", "TDN, %"),
                 *((*lot, "=88.9-0.779*D{r}") for lot in LOTS))  # fmt: skip
    cells |= rows(
        "Forage",
        13,
        ("Body weight of the cow, kg", 560),
        ("Intake, kg/day", "=B13*2.1/100"),
        ("Protein supplied, kg/day", "=B14*C4/100"),
    )
    faults = [
        ("pounds for kilograms", {"Forage!B13": 1240}, "Forage!B13"),
        ("a constant of the line", {f"Forage!F{r}": f"=88.9-0.77*D{r}" for r in range(4, 10)}, "Forage!F4"),
        ("a wrong row", {"Forage!F8": "=88.9-0.779*D7"}, "Forage!F8"),
        ("a sign", {"Forage!F5": "=88.9+0.779*D5"}, "Forage!F5"),
        ("typed over", {"Forage!F9": 58}, "Forage!F9"),
        ("swapped", {"Forage!D6": 66.3, "Forage!E6": 41.0}, "Forage!D6"),
        ("100 forgotten", {"Forage!B15": "=B14*C4"}, "Forage!B15"),
    ]
    return Stranger("metric", cells, faults, merged=["Forage!C2:F2"])


def fractions() -> Stranger:
    """Shares shown as percents by their format."""
    lines = [(lot[0], *(v / 100 for v in lot[1:]), "=C{r}*B{r}") for lot in LOTS]
    cells = rows("Hays", 1, ("Hay", "DM", "CP", "ADF", "NDF", "CP as fed"), *lines)
    cells |= rows(
        "Hays",
        10,
        ("Cow weight (lb)", 1180),
        ("DM intake, % of body weight", 0.021),
        ("DM intake, lb/day", "=B10*B11"),
        ("Protein eaten, lb/day", "=B12*C2"),
    )
    faults = [
        ("a percent among shares", {"Hays!C4": 7.2}, "Hays!C4"),
        ("typed over", {"Hays!F4": 0.06}, "Hays!F4"),
        ("wrong row", {"Hays!F5": "=C6*B5"}, "Hays!F5"),
        ("swapped", {"Hays!D3": 0.545, "Hays!E3": 0.342}, "Hays!D3"),
        ("moisture", {"Hays!B7": 0.149}, "Hays!B7"),
        ("divided", {"Hays!F3": "=C3/B3"}, "Hays!F3"),
        ("kilograms", {"Hays!B10": 535}, "Hays!B10"),
    ]
    return Stranger("fractions", cells, faults, formats={"Hays!B2:F7": "0.0%", "Hays!B11:B11": "0.0%"})


def producer() -> Stranger:
    """A producer's list: one column of values, words at the left, dollars."""
    cells = rows("Sheet1", 1, ("Winter feed for the cows",), (), ("Cows", 120), ("Average cow weight lbs", 1350), ("Hay eaten % of body weight", 2.2),
                 ("Hay eaten lb per day dry", "=B4*B5/100"), ("Hay dry matter %", 87), ("Hay as fed lb per day", "=B6/(B7/100)"), ("Waste %", 18), ("Hay put out lb per day", "=B8/(1-B9/100)"),
                 ("Days", 150), ("Tons for herd", "=B10*B3*B11/2000"), ("Tons on hand", 380), ("Tons to buy", "=MAX(0,B12-B13)"), ("Price per ton $", 165), ("Cost to buy $", "=B14*B15"))  # fmt: skip
    faults = [
        ("weight in kilograms", {"Sheet1!B4": 612}, "Sheet1!B4"),
        ("moisture", {"Sheet1!B7": 13}, "Sheet1!B7"),
        ("multiplied by dry matter", {"Sheet1!B8": "=B6*B7/100"}, "Sheet1!B8"),
        ("long ton", {"Sheet1!B12": "=B10*B3*B11/2240"}, "Sheet1!B12"),
        ("100 forgotten", {"Sheet1!B6": "=B4*B5"}, "Sheet1!B6"),
        ("a share", {"Sheet1!B5": 0.022}, "Sheet1!B5"),
        ("a price as text", {"Sheet1!B15": "165"}, "Sheet1!B15"),
        ("price of a bale", {"Sheet1!B15": 6.5}, "Sheet1!B15"),
        ("an empty cell read", {"Sheet1!B14": "=MAX(0,B12-C13)"}, "Sheet1!B14"),
    ]
    return Stranger("producer", cells, faults)


def table_book() -> Stranger:
    """A list as a table, names for the constants."""
    lines = [(*lot, "=88.9-0.779*D{r}", "=cow_weight*1.2/E{r}", "=G{r}*C{r}/100") for lot in LOTS]
    cells = rows(
        "Results",
        1,
        ("Sample", "Dry matter", "Crude protein", "ADF", "NDF", "TDN", "NDF intake lb/day", "Protein lb/day"),
        *lines,
    )
    cells |= rows("Setup", 1, ("Cow weight lb", 1275))
    faults = [
        ("typed over", {"Results!F4": 57.0}, "Results!F4"),
        ("wrong row", {"Results!H6": "=G5*C6/100"}, "Results!H6"),
        ("wrong column", {"Results!H5": "=G5*B5/100"}, "Results!H5"),
        ("a slip of the line", {f"Results!F{r}": f"=89.8-0.779*D{r}" for r in range(2, 8)}, "Results!F2"),
        ("a share", {"Results!C2": 0.084}, "Results!C2"),
        ("swapped", {"Results!D2": 62.0, "Results!E2": 39.5}, "Results!D2"),
        ("kilograms", {"Setup!B1": 578}, "Setup!B1"),
        ("100 dropped", {f"Results!H{r}": f"=G{r}*C{r}" for r in range(2, 8)}, "Results!H2"),
    ]
    return Stranger("a table", cells, faults, names={"cow_weight": "Setup!$B$1"}, tables=["Results!A1:H7"])


def arrays() -> Stranger:
    """A column entered as one array, units in a row of their own."""
    cells = rows(
        "Data", 1, ("Lot", "DM", "CP", "ADF", "NDF", "TDN"), (None, "%", "% DM", "% DM", "% DM", "% DM"), *LOTS
    )
    cells |= {f"Data!F{r}": f"=88.9-0.779*D{r}" for r in range(3, 9)}
    cells |= {
        "Data!A11": "Hay lots: mean of crude protein",
        "Data!C11": ArrayFormula("C11", "=SUM(B3:B8*C3:C8)/SUM(B3:B8)"),
        "Data!A12": "Highest NDF",
        "Data!E12": "=MAX(E3:E8)",
    }
    faults = [
        ("typed over", {"Data!F5": 57.4}, "Data!F5"),
        ("a wrong row", {"Data!F7": "=88.9-0.779*D6"}, "Data!F7"),
        ("a range cut", {"Data!E12": "=MAX(E3:E7)"}, "Data!E12"),
        ("a share", {"Data!C5": 0.072}, "Data!C5"),
        ("moisture", {"Data!B4": 12}, "Data!B4"),
        ("swapped", {"Data!D4": 54.5, "Data!E4": 34.2}, "Data!D4"),
        ("a slip", {f"Data!F{r}": f"=88.9-0.779*E{r}" for r in range(3, 9)}, "Data!F3"),
    ]
    return Stranger("arrays", cells, faults)


def balance() -> Stranger:
    """Needs and what the hay gives, by cow group; a Pearson square."""
    groups = (
        ("Dry cows", 1250, 1.75),
        ("Late pregnant", 1280, 2.05),
        ("In milk", 1220, 2.6),
        ("Young cows", 1050, 2.2),
    )
    lines = [
        (g, w, "=B{r}*2.1/100", need, "=C{r}*$B$1/100", "=MAX(0,D{r}-E{r})", "=F{r}/($B$2/100)")
        for g, w, need in groups
    ]
    cells = rows(
        "Balance",
        1,
        ("Hay crude protein %", 7.8),
        ("Supplement crude protein %", 38),
        (),
        (
            "Cow group",
            "Body weight, lb",
            "Hay intake, lb/day",
            "Protein need, lb/day",
            "Protein from hay, lb/day",
            "Short, lb/day",
            "Supplement, lb/day",
        ),
        *lines,
    )
    cells |= rows(
        "Balance", 11, ("Wanted protein %", 11), ("Share of supplement %", "=ABS(B1-B11)/(ABS(B1-B11)+ABS(B2-B11))*100")
    )
    faults = [
        ("typed over", {"Balance!E6": 2.4}, "Balance!E6"),
        ("the wrong need", {"Balance!F7": "=MAX(0,D6-E7)"}, "Balance!F7"),
        ("no floor", {"Balance!F6": "=D6-E6"}, "Balance!F6"),
        ("a share", {"Balance!B1": 0.078}, "Balance!B1"),
        ("kilograms", {"Balance!B8": 476}, "Balance!B8"),
        ("anchor lost", {"Balance!E8": "=C8*$B$2/100"}, "Balance!E8"),
        ("supplement by the hay's protein", {"Balance!G6": "=F6/($B$1/100)"}, "Balance!G6"),
        ("100 dropped", {f"Balance!E{r}": f"=C{r}*$B$1" for r in range(5, 9)}, "Balance!E5"),
    ]
    return Stranger("balance", cells, faults)


def feeds() -> Stranger:
    """Prices: cost of a pound of protein, bales to tons."""
    items = (
        ("Soybean meal", 48, 90, 430),
        ("Corn gluten feed", 22, 88, 210),
        ("Distillers grains", 29, 89, 235),
        ("Alfalfa cubes", 17, 90, 260),
        ("Range cube 20", 20, 89, 310),
    )
    lines = [(n, cp, dm, p, "=D{r}/(2000*C{r}/100*B{r}/100)") for n, cp, dm, p in items]
    cells = rows(
        "Prices", 1, ("Feed", "Crude protein % DM", "Dry matter %", "Price $ per ton", "Cost per lb protein"), *lines
    )
    cells |= rows(
        "Prices",
        9,
        ("Hay bale weight lb", 1150),
        ("Price per bale", 70),
        ("Hay price $ per ton", "=B10/B9*2000"),
        ("Cheapest protein", "=MIN(E2:E6)"),
    )
    faults = [
        ("typed over", {"Prices!E4": 0.4}, "Prices!E4"),
        ("metric ton", {f"Prices!E{r}": f"=D{r}/(2204.6*C{r}/100*B{r}/100)" for r in range(2, 7)}, "Prices!E2"),
        ("wrong row", {"Prices!E5": "=D4/(2000*C5/100*B5/100)"}, "Prices!E5"),
        ("dry matter left out", {"Prices!E3": "=D3/(2000*B3/100)"}, "Prices!E3"),
        ("a range cut", {"Prices!B12": "=MIN(E2:E5)"}, "Prices!B12"),
        ("moisture", {"Prices!C4": 11}, "Prices!C4"),
        ("a share", {"Prices!B3": 0.22}, "Prices!B3"),
        ("ton of 2,240", {"Prices!B11": "=B10/B9*2240"}, "Prices!B11"),
    ]
    return Stranger("feeds", cells, faults)


def moistures() -> Stranger:
    """Moisture and dry matter, as fed and dry side by side under merged heads."""
    lines = [
        (
            lot[0],
            round(100 - lot[1], 1),
            "=100-B{r}",
            round(lot[2] * lot[1] / 100, 2),
            "=D{r}/C{r}*100",
            round(lot[4] * lot[1] / 100, 2),
            "=F{r}/C{r}*100",
        )
        for lot in LOTS
    ]
    cells = rows(
        "Samples",
        1,
        ("Hay samples",),
        (),
        ("Sample", "Moisture %", "Dry matter %", "Protein % as fed", "Protein % dry", "NDF % as fed", "NDF % dry"),
        *lines,
    )
    faults = [
        ("multiplied", {f"Samples!E{r}": f"=D{r}*C{r}/100" for r in range(4, 10)}, "Samples!E4"),
        ("by moisture", {"Samples!E6": "=D6/B6*100"}, "Samples!E6"),
        ("typed over", {"Samples!G5": 52}, "Samples!G5"),
        ("wrong row", {"Samples!G7": "=F7/C8*100"}, "Samples!G7"),
        ("dry matter typed", {"Samples!C8": 88.9}, "Samples!C8"),
        ("a share", {"Samples!D5": 0.106}, "Samples!D5"),
        ("a sign", {"Samples!C6": "=100+B6"}, "Samples!C6"),
    ]
    return Stranger("moistures", cells, faults)


def herd() -> Stranger:
    """Groups by month, an amount a day, totals at the foot."""
    months = ("Nov", "Dec", "Jan", "Feb", "Mar")
    lines = [
        (m, d, "=$B$2*2.2/100", "=C{r}/($B$3/100)", "=D{r}*$B$4*B{r}/2000", "=E{r}*$B$5")
        for m, d in zip(months, (30, 31, 31, 28, 31), strict=True)
    ]
    cells = rows(
        "Winter",
        1,
        ("Hay for the winter herd",),
        ("Cow weight (lb)", 1225),
        ("Hay dry matter (%)", 86),
        ("Head of cows", 95),
        ("Hay $/ton", 150),
    )
    cells |= rows(
        "Winter", 7, ("Month", "Days", "Dry matter intake lb/day", "Hay as fed lb/day", "Tons", "Cost"), *lines
    ) | {
        "Winter!A13": "Total",
        "Winter!B13": "=SUM(B8:B12)",
        "Winter!E13": "=SUM(E8:E12)",
        "Winter!F13": "=SUM(F8:F12)",
    }
    faults = [
        ("a range cut", {"Winter!E13": "=SUM(E8:E11)"}, "Winter!E13"),
        ("a range starts late", {"Winter!F13": "=SUM(F9:F12)"}, "Winter!F13"),
        ("typed over", {"Winter!E10": 60}, "Winter!E10"),
        ("wrong row", {"Winter!E11": "=D11*$B$4*B10/2000"}, "Winter!E11"),
        ("long ton", {f"Winter!E{r}": f"=D{r}*$B$4*B{r}/2240" for r in range(8, 13)}, "Winter!E8"),
        ("wrong anchor", {"Winter!F9": "=E9*$B$4"}, "Winter!F9"),
        ("moisture", {"Winter!B3": 14}, "Winter!B3"),
        ("kilograms", {"Winter!B2": 556}, "Winter!B2"),
        ("multiplied", {"Winter!D9": "=C9*($B$3/100)"}, "Winter!D9"),
    ]
    return Stranger("herd", cells, faults)


HANDS: tuple[Callable[[], Stranger], ...] = (
    ten_years, across, many_sheets, metric, fractions, producer, table_book, arrays, balance, feeds, moistures, herd,
)  # fmt: skip


def every() -> Iterator[Stranger]:
    for hand in HANDS:
        yield hand()
