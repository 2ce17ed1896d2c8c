"""Which hay: every lot for every group of cows, in pounds and words, and the best hay for each group."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet, a1
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.besthay import RULE
from hayfuncs.workbook.sheets.closecalls import CLOSE, ENOUGH, UNSURE
from hayfuncs.workbook.sheets.common import FIRST, begin, local, nth, pick, typed_names
from hayfuncs.workbook.sheets.levels import flag_dangers

NAME = "Which hay"
CHECK_FIRST = "check first"  # in place of a word that rests on what does not hold
BEST, BUT = "Best: ", "Best, but "
ON_A_PAGE = 16  # lots that stay readable on one page
ABOVE = FIRST - 4  # the row that says what is odd in a group
GROUPS = 5  # the first group's column; before it the lot's number, name, tons, TDN and protein


def fill(book: Book) -> None:
    lots, herd = book.marks["lots"], book.marks["herd"]
    sheet = begin(
        book, NAME, "Which hay for which cattle?",
        "Read across: one lot fed alone to each group. Enough, or pounds a day that each head is short; too close to call where the test cannot say.",
        "Result",
    )  # fmt: skip
    n, groups = lots["n"], herd["n"]
    sheet.width(7, 16, 8, 7, 7, *[14] * groups, 30, 40, 24, 34)
    _heads(book, sheet, groups)
    for i in range(n):
        _row(book, sheet, FIRST + i, i, groups)
    last = FIRST + n - 1
    area = (FIRST, GROUPS, last, GROUPS + groups - 1)
    for row, said in enumerate(RULE, last + 2):
        sheet.put(row, 1, said, "text")
    notes = last + 2 + len(RULE)
    _notes(book, sheet, notes, groups)
    right = GROUPS + groups
    free = typed_names(book, "herd").count("")  # free groups may stand further right, and their lines off the paper
    sheet.needed_cols = right - free
    sheet.printed_rows = notes + groups - free
    sheet.one_tall = n <= ON_A_PAGE
    _stopped(book, sheet, area, right)
    sheet.flags += [
        Flagging(area, BEST, "flag_best"), Flagging(area, BUT, "flag_best"), Flagging(area, CLOSE, "flag_close"), Flagging(area, " lb ", "flag_short"),
        Flagging(area, ENOUGH, "flag_enough"), Flagging(area, UNSURE, "flag_warn"),
    ]  # fmt: skip
    flag_dangers(sheet, (FIRST, right, last, right))
    sheet.freeze = (FIRST, 2)
    sheet.repeat_rows = (FIRST - 2, FIRST - 1)
    book.marks["verdict"] = sheet.span(*area)


def _heads(book: Book, sheet: Sheet, groups: int) -> None:
    herd = book.marks["herd"]
    heads: tuple[tuple[str, str], ...] = (
        ("Lot number", "row of Lots"), ("Hay lot", "name"), ("In the stack", "tons as fed"), ("TDN", "% DM"), ("CP", "% DM"),
    )  # fmt: skip
    for col, (head, unit) in enumerate(heads):
        sheet.put(FIRST - 2, col, head, "head")
        sheet.put(FIRST - 1, col, unit, "unit")
    sheet.put(FIRST - 3, 1, "Group number, row of Herd", "unit_cell")
    for col in range(GROUPS, GROUPS + groups):
        number = a1(FIRST - 3, col, "r")
        sheet.put(FIRST - 3, col, col - GROUPS + 1, "number0")
        named = f'{pick(herd["name"], number)}&", "&{pick(herd["head"], number)}&" head"'
        sheet.put(FIRST - 2, col, Formula(f'=IF({pick(herd["counted"], number)}="","",{named})'), "head")
        sheet.put(FIRST - 1, col, "words", "unit")
        sheet.put(ABOVE, col, Formula(f"={doubts.says(book, 'herd', number)}"), "small")
    heads = (
        ("Before it is fed: cautions on the lot", "words"), ("Check first", "words"), ("TDN is taken from", "words"),
        ("TDN by the other ways, and for how many groups the word on energy would change", "words"),
    )  # fmt: skip
    for col, (head, unit) in enumerate(heads, GROUPS + groups):
        sheet.put(FIRST - 2, col, head, "head")
        sheet.put(FIRST - 1, col, unit, "unit")
    sheet.heights[FIRST - 2] = 40


def _row(book: Book, sheet: Sheet, row: int, i: int, groups: int) -> None:
    lots, calls = book.marks["lots"], book.marks["closecalls"]
    place, right = local(row, 0), GROUPS + groups
    sheet.heights[row] = 22 if typed_names(book, "lots")[i] else 15
    sheet.put(row, 0, i + 1, "grid_0")
    sheet.put(row, 1, Formula(f"={nth(lots['counted'], i + 1)}"), "grid_name")
    sheet.put(row, 2, Formula(f"={nth(book.marks['register']['tons'], i + 1)}"), "grid_0", unit="tons as fed")
    for col, mark in ((3, "tdn"), (4, "cp")):
        sheet.put(row, col, Formula(f"={nth(lots[mark], i + 1)}"), "grid_1", unit="% DM")
    for col in range(GROUPS, right):
        at = f"({place}-1)*group_count+{a1(FIRST - 3, col, 'r')}"
        stopped = f"{a1(row, right + 1, 'c')}&{a1(ABOVE, col, 'r')}&verdict_stop"
        word = pick(calls["says"], at)
        best = f'IF(INDEX({book.marks["best_hay"]},1,{a1(FIRST - 3, col, "r")})={place},IF({word}="{CLOSE}","{BUT}","{BEST}"),"")'
        said = f'IF({stopped}="",{best}&{word},"{CHECK_FIRST}")'
        sheet.put(row, col, Formula(f"={said}"), "grid")
    sheet.put(row, right, Formula(f"={nth(book.marks['cautions']['says'], i + 1)}"), "small")
    sheet.put(row, right + 1, Formula(f"={doubts.says(book, 'lots', place)}"), "small")
    sheet.put(row, right + 2, Formula(f"={nth(lots['tdn_by'], i + 1)}"), "small")
    others = book.marks["match"]["others"]
    told = nth(lots["tdn_others"], i + 1)
    changed = "+".join(f'(INDEX({others},({place}-1)*group_count+{g})<>"")' for g in range(1, groups + 1))
    counted = f'{told}&" changes "&({changed})&" of "&SUMPRODUCT(--({book.marks["herd"]["counted"]}<>""))'
    sheet.put(row, right + 3, Formula(f'=IF({told}="","",{counted})'), "small")


def _notes(book: Book, sheet: Sheet, row: int, groups: int) -> None:
    """A line a group that the width of the page holds: the first sentence of its caution; Herd has the others."""
    herd = book.marks["herd"]
    for g in range(groups):
        caution, name = (pick(herd[k], a1(FIRST - 3, GROUPS + g, "r")) for k in ("caution", "name"))
        first = f'LEFT({caution},FIND(". ",{caution}&". "))'
        said = f'{name}&": "&{first}&" The need here does not hold: see Herd. Ask your vet."'
        sheet.put(row + g, 1, Formula(f'=IF({caution}="","",{said})'), "text")


def _stopped(book: Book, sheet: Sheet, area: tuple[int, int, int, int], right: int) -> None:
    grid = sheet.span(*area)
    row_or_column = "✗ Some wait for a check"  # which, says the row's right end or the column's top
    stopped = f'IF(COUNTIF({grid},"{CHECK_FIRST}")=0,dials_told,"{row_or_column}")'
    told = Formula(f'=IF(verdict_stop="",{stopped},"✗ No words: "&verdict_stop)')
    book.define("verdict_withheld", sheet.put(FIRST - 5, GROUPS, told, "text"))
    sheet.flags += [
        Flagging((FIRST - 5, GROUPS, FIRST - 5, GROUPS), "✗", "flag_bad"),
        Flagging((ABOVE, GROUPS, ABOVE, right - 1), ".", "flag_bad"),
        Flagging((area[0], right + 1, area[2], right + 1), ".", "flag_bad"), Flagging(area, CHECK_FIRST, "flag_bad"),
    ]  # fmt: skip
