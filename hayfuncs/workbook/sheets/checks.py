"""Checks: what must hold, its value, its tolerance, and one word; one master check over all."""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook.model import Book, Call, Content, Flagging, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets.common import FIRST, MASTER, Column, begin, table_heads

HOLDS, FAILS = "holds", "FAILS"


@dataclass
class Check:
    """`value` must be `want` within `tolerance` (a number each), or at least / at most it."""

    what: str
    kind: str
    value: Content
    relation: str  # "equals", "at least", "at most"
    want: float
    tolerance: float
    unit: str
    source: str = ""


TESTS = {
    "equals": "=IF(ISNUMBER({v}),IF(ABS({v}-{w})<={t},{yes},{no}),{no})",
    "at least": "=IF(ISNUMBER({v}),IF({v}>={w}-{t},{yes},{no}),{no})",
    "at most": "=IF(ISNUMBER({v}),IF({v}<={w}+{t},{yes},{no}),{no})",
}


def standard(book: Book) -> list[Check]:
    """Six kinds: completeness, range, basis, balance, reconciliation, published example."""
    lots, herd, ration = book.marks["lots"], book.marks["herd"], book.marks["ration"]
    n = lots["n"]
    pounds_rate, hay = ration["rate_pounds"], ration["hay"]
    feed_dm = f"{pounds_rate}*{ration['feed_dm']}/100"
    share_dm = f"{ration['rate_share']}*{ration['feed_dm']}/100"
    given = [f"{hay}*{ration[f'hay_{k}']}/100" for k in ("tdn", "cp")]
    beside = f"({hay}-hay_displaced*{feed_dm})"  # by pounds the supplement may leave some hay uneaten
    left = [f"{beside}*{ration[f'hay_{k}']}/100" for k in ("tdn", "cp")]
    surplus = [
        f"({g}+{feed_dm}*{ration[f'feed_{k}']}/100-{ration[f'{k}_need']})"
        for g, k in zip(left, ("tdn", "cp"), strict=True)
    ]
    diet = [
        f"(({g}+{share_dm}*{ration[f'feed_{k}']}/100)/({hay}+{share_dm})*100-{ration[f'{k}_density']})"
        for g, k in zip(given, ("tdn", "cp"), strict=True)
    ]
    blanks = "+".join(
        f"COUNTBLANK({lots[k]})"
        for k in ("name", "forage", "basis", "lab_dm_pct", "lab_cp_pct", "lab_adf_pct", "lab_ndf_pct")
    )
    herd_blanks = "+".join(
        f"COUNTBLANK({herd[k]})" for k in ("name", "head", "weight", "month", "milk", "calf", "score")
    )
    return [
        Check("Lots: needed cells left empty", "completeness", Formula(f"={blanks}"), "equals", 0, 0, "1"),
        Check("Herd: needed cells left empty", "completeness", Formula(f"={herd_blanks}"), "equals", 0, 0, "1"),
        Check("The three choices of the ration are found in their tables", "completeness", Formula(f"=COUNT({ration['lots']},{ration['herd']},{ration['feeds']})"), "equals", 3, 0, "1"),
        Check("Lots: names used twice", "completeness", Formula(f"=SUM({lots['twice']})"), "equals", 0, 0, "1"),
        Check("Lots: dry matter, smallest", "range", Formula(f"=MIN({lots['lab_dm_pct']})"), "at least", 70, 0, "% as fed"),
        Check("Lots: dry matter, largest", "range", Formula(f"=MAX({lots['lab_dm_pct']})"), "at most", 98, 0, "% as fed"),
        Check("Lots: ADF above NDF", "range", Formula(f"=SUMPRODUCT(--({lots['adf']}>{lots['ndf']}))"), "equals", 0, 0, "1"),
        Check("Lots: TDN, smallest", "range", Formula(f"=MIN({lots['tdn']})"), "at least", 35, 0, "% DM"),
        Check("Lots: TDN, largest", "range", Formula(f"=MAX({lots['tdn']})"), "at most", 80, 0, "% DM"),
        Check("Lots: basis is dry or as fed in every row", "basis", Formula(f'=COUNTIF({lots["basis"]},"dry")+COUNTIF({lots["basis"]},"as fed")'), "equals", n, 0, "1"),
        Check("Lots: protein that fell when put on dry basis", "basis", Formula(f"=SUMPRODUCT(--({lots['cp']}<{lots['lab_cp_pct']}-0.000001))"), "equals", 0, 0, "1"),
        Check("Ration, pounds: TDN over need", "balance", Formula(f"={surplus[0]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: CP over need", "balance", Formula(f"={surplus[1]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: the nutrient that drives is met exactly, or no supplement is fed", "balance", Formula(f"=IF({pounds_rate}=0,0,MIN({surplus[0]},{surplus[1]}))"), "equals", 0, 1e-9, "lb/day"),
        Check("Ration, share: TDN of the diet over need", "balance", Formula(f"={diet[0]}"), "at least", 0, 1e-9, "% DM"),
        Check("Ration, share: CP of the diet over need", "balance", Formula(f"={diet[1]}"), "at least", 0, 1e-9, "% DM"),
        Check("Longhand against the functions, largest difference", "reconciliation", Formula(f"={book.marks['longhand_difference']}"), "equals", 0, 1e-9, "any"),
        Check("Functions listed", "version", Formula(f"=COUNTA({book.marks['functions_rows']})"), "equals", len(CATALOGUE), 0, "1"),
        *examples(),
    ]  # fmt: skip


def examples() -> list[Check]:
    """Published examples, worked by this workbook's own functions."""
    return [
        Check("Relative feed value of full-bloom alfalfa, ADF 41, NDF 53", "published example", call("RELATIVE_FEED_VALUE", "41", "53"), "equals", 100, 0.5, "index", "UW-Extension: 100"),
        Check("24 lb of dry matter as forage of 70 % dry matter", "published example", call("AS_FED_WEIGHT", "24", "70"), "equals", 34, 0.5, "lb", "University of Wisconsin Extension 2018: 34 lb"),
        Check("Pearson square, hay 8.95 and supplement 40 to 9.8 % CP: hay", "published example", call("PEARSON_SHARE", "8.95", "40", "9.8"), "equals", 97.3, 0.05, "%", "Montana State Extension: 97.3 %"),
        Check("Short of protein: need 3, 10 lb of hay at 9 %", "published example", call("NUTRIENT_SHORT", "3", "10", "9"), "equals", 2.1, 0.05, "lb/day", "Alabama Extension 2007: 2.1 lb"),
    ]  # fmt: skip


def fill(book: Book, checks: list[Check]) -> None:
    sheet = begin(
        book, "Checks", "Does everything hold?",
        "Each line compares a value with what it must be. The word says whether it holds; the third line of every sheet repeats the whole.", "Result",
    )  # fmt: skip
    columns = [
        Column("What must hold", "words", width=44), Column("Kind", "word", width=18), Column("Value", "unit at right", "number3", 12),
        Column("Must be", "relation", width=10), Column("This", "unit at right", width=9), Column("Tolerance", "unit at right", width=10),
        Column("Unit", "", width=9), Column("Result", "word", width=10), Column("Source", "", width=26),
    ]  # fmt: skip
    table_heads(sheet, columns)
    for i, check in enumerate(checks):
        _row(sheet, FIRST + i, check)
    last = FIRST + len(checks) - 1
    area = sheet.span(FIRST, 7, last, 7)
    sheet.flags += [Flagging((FIRST, 7, last, 7), FAILS, "flag_bad"), Flagging((FIRST, 7, last, 7), HOLDS, "flag_good")]
    good = f'"✓ all "&ROWS({area})&" checks hold"'
    bad = f'"✗ "&(ROWS({area})-COUNTIF({area},"{HOLDS}"))&" of "&ROWS({area})&" checks FAIL: see Checks"'
    sheet.put(FIRST - 3, 0, Formula(f'=IF(COUNTIF({area},"{HOLDS}")=ROWS({area}),{good},{bad})'), "banner")
    book.define(MASTER, sheet.ref(FIRST - 3, 0))


def _row(sheet: Sheet, row: int, check: Check) -> None:
    sheet.put(row, 0, check.what, "label")
    sheet.put(row, 1, check.kind, "text")
    sheet.put(row, 2, check.value, "number3", unit=check.unit)
    sheet.put(row, 3, check.relation, "text")
    sheet.put(row, 4, check.want, "general", unit=check.unit)
    sheet.put(row, 5, check.tolerance, "general", unit=check.unit)
    sheet.put(row, 6, check.unit, "unit_cell")
    test = TESTS[check.relation].format(v=a1(row, 2), w=a1(row, 4), t=a1(row, 5), yes=f'"{HOLDS}"', no=f'"{FAILS}"')
    sheet.put(row, 7, Formula(test), "verdict")
    sheet.put(row, 8, check.source, "small")
    assert not isinstance(check.value, Call) or check.source, "a check by function names its source"
