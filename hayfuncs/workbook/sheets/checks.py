"""Checks: what must hold, its value, its tolerance, and one word; one master check over all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Address, Book, Call, Content, Flagging, Formula, call
from hayfuncs.workbook.page import Line, Page, heading, worked
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import KNOWN, MASTER, NOT_KNOWN, begin
from hayfuncs.workbook.sheets.herd import Herd, NeedByClass
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.sheets.reference import Functions
from hayfuncs.workbook.table import FIRST, NOTHING, Column, Table, computed
from hayfuncs.workbook.tabs import typed_until

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
    where: str = ""  # an expression that names the row at fault
    waits: tuple[str, ...] = ()  # the answers that are not shown while it fails; else by the sheet it is of

    def __post_init__(self) -> None:
        assert not isinstance(self.value, Call) or self.source, "a check by function names its source"


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
    '=IF(ISNUMBER({value}),IF(OR(AND({relation}="equals",ABS({value}-{want})<={tolerance}),'
    'AND({relation}="at least",{value}>={want}-{tolerance}),'
    f'AND({{relation}}="at most",{{value}}<={{want}}+{{tolerance}})),"{HOLDS}","{FAILS}"),"{FAILS}")'
)


def standard(book: Book) -> list[Check]:
    """Six kinds: completeness, range, basis, balance, reconciliation, published example."""
    lots, herd, ration = book.find(Lots), book.find(Herd), book.find(Ration)
    pounds_rate, hay = ration.rate_pounds, ration.hay
    feed_dm = f"{pounds_rate}*{ration.feed_dm}/100"
    share_dm = f"{ration.rate_share}*{ration.feed_dm}/100"
    given = [f"{hay}*{getattr(ration, f'hay_{k}')}/100" for k in ("tdn", "cp")]
    beside = f"({hay}-hay_displaced*{feed_dm})"  # by pounds the supplement may leave some hay uneaten
    left = [f"{beside}*{getattr(ration, f'hay_{k}')}/100" for k in ("tdn", "cp")]
    surplus = [
        f"({g}+{feed_dm}*{getattr(ration, f'feed_{k}')}/100-{getattr(ration, f'{k}_need')})"
        for g, k in zip(left, ("tdn", "cp"), strict=True)
    ]
    diet = [
        f"(({g}+{share_dm}*{getattr(ration, f'feed_{k}')}/100)/({hay}+{share_dm})*100-{getattr(ration, f'{k}_density')})"
        for g, k in zip(given, ("tdn", "cp"), strict=True)
    ]
    needed = (lots.forage, lots.basis, lots.lab_dm_pct, lots.lab_cp_pct, lots.lab_adf_pct, lots.lab_ndf_pct)
    # in a row with a name every needed cell is filled, in a free row none is
    blanks = "+".join(f'SUMPRODUCT(--(({lots.name}="")<>({column}="")))' for column in needed)
    herd_blanks = "+".join(f'SUMPRODUCT(--(({herd.name}="")<>({column}="")))' for column in (herd.head, herd.weight))
    herd_blanks += f"+SUMPRODUCT(--({herd.name}<>{herd.counted}))+SUM({book.find(NeedByClass).lacking})"
    return [
        Check("Lots: needed cells left empty", "completeness", Formula(f"={blanks}"), "equals", 0, 0, "1", where=_lacking(lots.name, lots.wrong)),
        Check("Herd: needed cells left empty", "completeness", Formula(f"={herd_blanks}"), "equals", 0, 0, "1", where=_lacking(herd.name, herd.wrong)),
        Check("The three choices of the ration are found in their tables", "completeness", Formula(f"=COUNT({ration.lots},{ration.herd},{ration.feeds})"), "equals", 3, 0, "1"),
        Check("Lots: basis is dry or as fed in every row", "basis", Formula(f'=COUNTIF({lots.basis},"dry")+COUNTIF({lots.basis},"as fed")-SUMPRODUCT(--({lots.name}<>""))'), "equals", 0, 0, "1"),
        Check("Lots: protein that fell when put on dry basis", "basis", Formula(f"=SUMPRODUCT(--({lots.cp}<{lots.lab_cp_pct}-0.000001))"), "equals", 0, 0, "1"),
        Check("Ration, pounds: TDN over need", "balance", Formula(f"={surplus[0]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: CP over need", "balance", Formula(f"={surplus[1]}"), "at least", 0, 1e-9, "lb/day"),
        Check("Ration, pounds: the nutrient that drives is met exactly, or no supplement is fed", "balance", Formula(f"=IF({pounds_rate}=0,0,MIN({surplus[0]},{surplus[1]}))"), "equals", 0, 1e-9, "lb/day"),
        Check("Ration, share: TDN of the diet over need", "balance", Formula(f"={diet[0]}"), "at least", 0, 1e-9, "% DM"),
        Check("Ration, share: CP of the diet over need", "balance", Formula(f"={diet[1]}"), "at least", 0, 1e-9, "% DM"),
        Check("Longhand against the functions, largest difference", "reconciliation", Formula(f"={book.marks['longhand_difference']}"), "equals", 0, 1e-9, "any"),
        Check("Functions listed", "version", Formula(f"=COUNTA({book.find(Functions).name})"), "equals", len(CATALOGUE), 0, "1"),
        *of_the_rows(book),
        *examples(),
    ]  # fmt: skip


def _lacking(names: str, wrong: str) -> str:
    """The first row that lacks what it needs; one that lacks its name has none to be told by."""
    return f'IF(COUNTIF({wrong},"{doubts.EMPTY}*")=0,"a row",INDEX({names},MATCH("{doubts.EMPTY}*",{wrong},0)))'


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


def waits(check: Check) -> tuple[str, ...]:
    """The answers that rest on what a check looks at; on the functions themselves all of them do."""
    if check.waits or check.kind == "published example":
        return check.waits or ANSWERS
    return next((answers for start, answers in WAITS if check.what.startswith(start)), ())


def _stop(answer: str) -> Column:
    asked = f'ISNUMBER(SEARCH("{answer}",{{waiting}}))'
    return computed(f"Stops the {answer}? 1 yes, 0 no", "yes/no", f'=IF(AND({{result}}<>"{HOLDS}",{asked}),1,0)', "number0", 9)  # fmt: skip


def _where(row: Checked) -> Formula | object:
    return Formula(f'=IF({row.result}="{HOLDS}","",{row.item.where})') if row.item.where else NOTHING


class Checked(Table[Check]):
    """One row a check."""

    fixed = ""
    what = computed("What must hold", "words", lambda row: row.item.what, "label", 44)
    kind = computed("Kind", "word", lambda row: row.item.kind, "text", 18)
    value = computed("Value", "unit at right", lambda row: row.item.value, "number3")
    relation = computed("Must be", "relation", lambda row: row.item.relation, "text", 10)
    want = computed("This", "unit at right", lambda row: row.item.want, "general", 9)
    tolerance = computed("Tolerance", "unit at right", lambda row: row.item.tolerance, "general", 10)
    unit = computed("Unit", "", lambda row: row.item.unit, "unit_cell", 9)
    result = computed("Result", "word", TEST, "verdict", 10)
    source = computed("Source", "", lambda row: row.item.source, "small", 26)
    where = computed("Where", "name", _where, "small", 24)
    waiting = computed("Answers that wait for it", "words", lambda row: ", ".join(waits(row.item)) or "none", "small", 18)  # fmt: skip
    stops_ration, stops_verdict, stops_plan = (_stop(answer) for answer in ANSWERS)


RESULT = Checked.of_class.index(Checked.result)


class Under(Table[tuple[str, str, int]]):
    """One row an area under a table that is typed in."""

    fixed = ""
    heads_height, units_height = 50, 0
    name = computed("Sheet", "name", lambda row: row.item[0], "label")
    cells = computed("Cells", "area", lambda row: Address(row.item[1], "cells"), "text")
    filled = computed("Filled now", "cells", lambda row: Formula(f"=COUNTA({row.item[1]})"), "number0")
    own = computed("Filled by the layout", "cells", lambda row: row.item[2], "number0")
    more = computed("More", "cells", "={filled}-{own}", "number0")
    typed = computed("Typed there? 1 yes, 0 no", "yes/no", "=IF({more}=0,0,1)", "number0")


def fill(book: Book, checks: list[Check]) -> None:
    sheet = begin(book, "Checks", "Does everything hold?",
        "Each line compares a value with what it must be. The word says whether it holds; the third line of every sheet repeats the whole.", "Result")  # fmt: skip
    areas = list(under_tables(book))
    under = Under(sheet, areas, heads_at=FIRST + len(checks) + 3)  # below all checks
    typed = Check("Filled cells under a table, which no sheet reads", "completeness", Formula(f"=SUM({under.typed})"), "equals", 0, 0, "1",
        where=f'"sheet "&INDEX({under.name},MATCH(1,{under.typed},0))')  # fmt: skip
    placed = Checked(sheet, [*checks, typed]).place()
    area, flagged = placed.result, placed.area(Checked.result)
    sheet.flags += [Flagging(flagged, FAILS, "flag_bad"), Flagging(flagged, HOLDS, "flag_good")]
    good = f'"✓ sums and entries: all "&ROWS({area})&" checks hold"'
    bad = f'"✗ "&(ROWS({area})-COUNTIF({area},"{HOLDS}"))&" of "&ROWS({area})&" checks FAIL: see Checks"'
    said = f'IF(COUNTIF({area},"{HOLDS}")=ROWS({area}),{good},{bad})'
    # a call that fails only where the functions are missing
    asked = sheet.put(placed.row_above, RESULT, call("DRY_WEIGHT", "2000", "87"), "number0", unit="any weight")
    sheet.put(placed.row_above, RESULT + 1, "lb dry: 2,000 lb at 87 %", "note")
    master = sheet.put(
        placed.row_above,
        placed.col(Checked.what),
        Formula(f'=IF(ISERROR({asked}),"{NOT_KNOWN}",{said})', at_once=True),
        "banner",
    )
    book.define(MASTER, master)
    book.define(KNOWN, asked)
    under.place(title="Cells under the tables that are typed in")
    Stops(sheet, under.row_below + 1).place()


def under_tables(book: Book) -> Iterator[tuple[str, str, int]]:
    """Under each table that is typed in: the sheet, the area, and how many cells of it the layout fills."""
    for name, last in typed_until(book).items():
        sheet = book.by_name(name)
        inputs = [row for (row, _), cell in sheet.cells.items() if row > last and cell.entry is not None]
        pages = [] if sheet.printed_from is None else [sheet.printed_from]  # the layout's own, below what is typed
        end = min([last + UNDER, *(row - 1 for row in (*inputs, *pages))])
        own = [c for (row, _), c in sheet.cells.items() if last < row <= end and c.content not in (None, "")]
        if end > last:
            yield name, sheet.span(last + 1, 0, end, sheet.last_col), len(own)


def _waits(answer: str) -> Line:
    stopped, first = f"{{checked.stops_{answer}}}", f"MATCH(1,{{checked.stops_{answer}}},0)"
    named = f'INDEX({{checked.what}},{first})&IF(INDEX({{checked.where}},{first})="","",", "&INDEX({{checked.where}},{first}))'
    more = f'IF(SUM({stopped})>1," (and "&SUM({stopped})-1&" more)","")'
    return worked(f"The {answer} waits for", None, f'=IF(SUM({stopped})=0,"",{named}&{more})', "text", name=f"{answer}_stop")  # fmt: skip


class Stops(Page):
    """For each answer the first failing check that it rests on, in words; empty where all hold."""

    waiting = heading("Answers that wait for a check")
    ration, verdict, plan = (_waits(answer) for answer in ANSWERS)
    checked = another(lambda: Checked)
