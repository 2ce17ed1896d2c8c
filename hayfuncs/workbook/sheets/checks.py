"""Checks: what must hold, its value, its tolerance, and one word; one master check over all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook.model import Book, Call, Content, Flagging, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import FIRST, MASTER, Column, begin, table_heads
from hayfuncs.workbook.sheets.inputlist import ROW_KEY

HOLDS, FAILS = "holds", "FAILS"
NOT_KNOWN = "✗ This program does not know the functions of this workbook: open the plain edition"
RESULT = 7  # the column of the word


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
    where: str = ""  # an expression that names the row at fault
    waits: tuple[str, ...] = ()  # the answers that are not shown while it fails; else by the sheet it is of


ANSWERS = ("ration", "verdict", "plan")
# by how the check's words begin, the first that fits
WAITS = (
    ("Lots: needed", ANSWERS), ("Lots: basis", ANSWERS), ("Lots: protein that fell", ANSWERS), ("Herd: needed", ANSWERS),
    ("Lots", ("plan",)), ("Herd", ("plan",)), ("Feeds", ("plan",)),  # the other two ask the rows that they use
    ("Filled cells", ANSWERS), ("Functions", ANSWERS), ("The three choices", ("ration",)), ("Ration", ("ration",)),
    ("Longhand against", ("ration",)), ("Winter", ("plan",)), ("Plan", ("plan",)), ("Hay pile: days", ("plan",)),
    ("Stock", ("plan",)), ("Cautions", ("plan",)), ("Hazards", ("plan",)),
)  # fmt: skip
UNDER = 60  # rows under a table that are looked at

# one formula for every row: the relation stands beside it as a word
TEST = (
    '=IF(ISNUMBER({v}),IF(OR(AND({r}="equals",ABS({v}-{w})<={t}),AND({r}="at least",{v}>={w}-{t}),'
    'AND({r}="at most",{v}<={w}+{t})),{yes},{no}),{no})'
)


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
        Check("Lots: basis is dry or as fed in every row", "basis", Formula(f'=COUNTIF({lots["basis"]},"dry")+COUNTIF({lots["basis"]},"as fed")'), "equals", n, 0, "1"),
        Check("Lots: protein that fell when put on dry basis", "basis", Formula(f"=SUMPRODUCT(--({lots['cp']}<{lots['lab_cp_pct']}-0.000001))"), "equals", 0, 0, "1"),
        Check("Ration, pounds: TDN over need", "balance", Formula(f"={surplus[0]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: CP over need", "balance", Formula(f"={surplus[1]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: the nutrient that drives is met exactly, or no supplement is fed", "balance", Formula(f"=IF({pounds_rate}=0,0,MIN({surplus[0]},{surplus[1]}))"), "equals", 0, 1e-9, "lb/day"),
        Check("Ration, share: TDN of the diet over need", "balance", Formula(f"={diet[0]}"), "at least", 0, 1e-9, "% DM"),
        Check("Ration, share: CP of the diet over need", "balance", Formula(f"={diet[1]}"), "at least", 0, 1e-9, "% DM"),
        Check("Longhand against the functions, largest difference", "reconciliation", Formula(f"={book.marks['longhand_difference']}"), "equals", 0, 1e-9, "any"),
        Check("Functions listed", "version", Formula(f"=COUNTA({book.marks['functions_rows']})"), "equals", len(CATALOGUE), 0, "1"),
        *of_the_rows(book),
        *examples(),
    ]  # fmt: skip


def of_the_rows(book: Book) -> list[Check]:
    """One check for each thing that a typed row can have against it, with the first such row named."""
    found = []
    for table, (name, kinds) in doubts.TABLES.items():
        marks = book.marks[table]
        for mark, rules in zip(("wrong", "odd"), kinds, strict=True):
            for doubt in rules:
                if doubt.words == doubts.EMPTY:  # said by the checks of needed cells, with what is not a number
                    continue
                named = f'INDEX({marks["name"]},MATCH("*{doubt.words}*",{marks[mark]},0))'
                count = Formula(f'=COUNTIF({marks[mark]},"*{doubt.words}*")')
                found.append(Check(f"{name}: {doubt.words}", "range", count, "equals", 0, 0, "1", where=named))
    return found


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
        Column("Where", "name", width=24), Column("Answers that wait for it", "words", width=18),
        *(Column(f"Stops the {answer}? 1 yes, 0 no", "yes/no", width=9) for answer in ANSWERS),
    ]  # fmt: skip
    table_heads(sheet, columns)
    areas = list(under_tables(book))
    top = FIRST + len(checks) + 1 + 4  # of the table of areas, below all checks
    more = sheet.span(top, 5, top + len(areas) - 1, 5)
    names = sheet.span(top, 0, top + len(areas) - 1, 0)
    typed = Check(
        "Filled cells under a table, which no sheet reads", "completeness", Formula(f"=SUM({more})"), "equals", 0, 0, "1",
        where=f'"sheet "&INDEX({names},MATCH(1,{more},0))',
    )  # fmt: skip
    checks = [*checks, typed]
    for i, check in enumerate(checks):
        _row(sheet, FIRST + i, check)
    last = FIRST + len(checks) - 1
    area = sheet.span(FIRST, 7, last, 7)
    sheet.flags += [Flagging((FIRST, 7, last, 7), FAILS, "flag_bad"), Flagging((FIRST, 7, last, 7), HOLDS, "flag_good")]
    good = f'"✓ all "&ROWS({area})&" checks hold"'
    bad = f'"✗ "&(ROWS({area})-COUNTIF({area},"{HOLDS}"))&" of "&ROWS({area})&" checks FAIL: see Checks"'
    said = f'IF(COUNTIF({area},"{HOLDS}")=ROWS({area}),{good},{bad})'
    asked = sheet.put(FIRST - 3, 7, call("DRY_WEIGHT", "2000", "87"), "number0", unit="any weight")
    sheet.put(
        FIRST - 3, 8, "lb dry: 2,000 lb at 87 %", "note"
    )  # a call that fails only where the functions are missing
    sheet.put(FIRST - 3, 0, Formula(f'=IF(ISERROR({asked}),"{NOT_KNOWN}",{said})'), "banner")
    book.define(MASTER, sheet.ref(FIRST - 3, 0))
    _under(sheet, top, areas)
    _stops(book, sheet, top + len(areas) + 2, last)


def under_tables(book: Book) -> Iterator[tuple[str, str, int]]:
    """Under each table that is typed in: the sheet, the area, and how many cells of it the layout fills."""
    tables: dict[str, int] = {}
    for key, (name, row, _) in book.inputs.items():
        if ROW_KEY.fullmatch(key):
            tables[name] = max(tables.get(name, row), row)
    for name, last in tables.items():
        sheet = book.by_name(name)
        inputs = [row for (row, _), cell in sheet.cells.items() if row > last and cell.entry is not None]
        end = min([last + UNDER, *(row - 1 for row in inputs)])
        own = [c for (row, _), c in sheet.cells.items() if last < row <= end and c.content not in (None, "")]
        if end > last:
            yield name, sheet.span(last + 1, 0, end, sheet.last_col), len(own)


def _under(sheet: Sheet, top: int, areas: Sequence[tuple[str, str, int]]) -> None:
    sheet.put(top - 3, 0, "Cells under the tables that are typed in", "section")
    heads = ("Sheet", "Cells", "Filled now", "Filled by the layout", "More", "Typed there? 1 yes, 0 no")
    sheet.heads(top - 2, 0, heads, ("name", "area", "cells", "cells", "cells", "yes/no"))
    sheet.heights[top - 2] = 50
    for row, (name, area, own) in enumerate(areas, top):
        sheet.put(row, 0, name, "label")
        sheet.put(row, 1, area.split("!")[1].replace("$", ""), "text")
        sheet.put(row, 2, Formula(f"=COUNTA({area})"), "number0", unit="cells")
        sheet.put(row, 3, own, "number0", unit="cells")
        sheet.put(row, 4, Formula(f"={a1(row, 2)}-{a1(row, 3)}"), "number0", unit="cells")
        sheet.put(row, 5, Formula(f"=IF({a1(row, 4)}=0,0,1)"), "number0", unit="yes/no")


def _stops(book: Book, sheet: Sheet, top: int, last: int) -> None:
    """For each answer the first failing check that it rests on, in words; empty where all hold."""
    sheet.put(top - 1, 0, "Answers that wait for a check", "section")
    what, where = (sheet.span(FIRST, col, last, col) for col in (0, 9))
    for i, answer in enumerate(ANSWERS):
        stopped = sheet.span(FIRST, 11 + i, last, 11 + i)
        first = f"MATCH(1,{stopped},0)"
        named = f'INDEX({what},{first})&IF(INDEX({where},{first})="","",", "&INDEX({where},{first}))'
        more = f'IF(SUM({stopped})>1," (and "&SUM({stopped})-1&" more)","")'
        sheet.put(top + i, 0, f"The {answer} waits for", "label")
        sheet.put(top + i, 1, Formula(f'=IF(SUM({stopped})=0,"",{named}&{more})'), "text")
        book.define(f"{answer}_stop", sheet.ref(top + i, 1))


def _row(sheet: Sheet, row: int, check: Check) -> None:
    sheet.put(row, 0, check.what, "label")
    sheet.put(row, 1, check.kind, "text")
    sheet.put(row, 2, check.value, "number3", unit=check.unit)
    sheet.put(row, 3, check.relation, "text")
    sheet.put(row, 4, check.want, "general", unit=check.unit)
    sheet.put(row, 5, check.tolerance, "general", unit=check.unit)
    sheet.put(row, 6, check.unit, "unit_cell")
    test = TEST.format(v=a1(row, 2), r=a1(row, 3), w=a1(row, 4), t=a1(row, 5), yes=f'"{HOLDS}"', no=f'"{FAILS}"')
    sheet.put(row, 7, Formula(test), "verdict")
    sheet.put(row, 8, check.source, "small")
    if check.where:
        sheet.put(row, 9, Formula(f'=IF({a1(row, 7)}="{HOLDS}","",{check.where})'), "small")
    sheet.put(row, 10, ", ".join(waits(check)) or "none", "small")
    for col, answer in enumerate(ANSWERS, 11):
        asked = f'ISNUMBER(SEARCH("{answer}",{a1(row, 10)}))'
        sheet.put(row, col, Formula(f'=IF(AND({a1(row, 7)}<>"{HOLDS}",{asked}),1,0)'), "number0", unit="yes/no")
    assert not isinstance(check.value, Call) or check.source, "a check by function names its source"


def waits(check: Check) -> tuple[str, ...]:
    """The answers that rest on what a check looks at; on the functions themselves all of them do."""
    if check.waits or check.kind == "published example":
        return check.waits or ANSWERS
    return next((answers for start, answers in WAITS if check.what.startswith(start)), ())
