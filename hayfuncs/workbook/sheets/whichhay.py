"""Which hay: every lot for every group of cows, in pounds and words, and the best hay for each group."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.keyed import another, same_row
from hayfuncs.workbook.model import Book, Flagging, Formula, a1
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.besthay import RULE, Points
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.closecalls import CLOSE, ENOUGH, UNSURE, Calls
from hayfuncs.workbook.sheets.common import FIRST, begin, pick, typed_names
from hayfuncs.workbook.sheets.haypile import Pile
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.levels import flag_dangers
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT, NOT_MIXED, WinterFeeds
from hayfuncs.workbook.table import Column, Table, computed

NAME = "Which hay"
CHECK_FIRST = "check first"  # in place of a word that rests on what does not hold
CROSS = "✗"
BEST, BUT = "Best: ", "Best, but "
AT_DANGER, NOT_ALONE = " ✗ danger", " ✗ not alone: nitrate"  # beside the name, so that no "enough" reads as safe
ON_A_PAGE = 16  # lots that stay readable on one page
ABOVE = FIRST - 4  # the row that says what is odd in a group


class Grid(Table[str]):
    """One row a lot, from its name as built; the groups' columns stand between the hay and what is said of it."""

    frozen = 2
    heads_height, units_height = 40, 0
    lot = computed("Lot number", "row of Lots", lambda row: row.number, "grid_0", 7)
    held = f'AND(LEFT({{planned.state}},{len(LEFT_OUT)})="{LEFT_OUT}",{{planned.state}}<>"{LEFT_OUT}{NOT_MIXED}")'
    hay = computed("Hay lot", "name",
        f'={{lots.counted}}&IF(OR(N({{hazards.count_dan}})>0,{held}),"{AT_DANGER}",IF(MIN({{planned.mixed_calf}},{{planned.mixed_open}})<100,"{NOT_ALONE}",""))', "grid_name", 16)  # fmt: skip
    tons = computed("In the stack", "tons as fed", "={register.tons}", "grid_0", 8)
    tdn, cp = (computed(mark.upper(), "% DM", f"={{lots.{mark}}}", "grid_1", 7) for mark in ("tdn", "cp"))
    cautions = computed("Before it is fed: cautions on the lot", "words", "={hazards.says}", "small", 30)
    doubt = computed("Check first", "words", lambda row: Formula(f"={doubts.says(row.book, 'lots', row.lot)}"), "small", 40)  # fmt: skip
    tdn_by = computed("TDN is taken from", "words", "={lots.tdn_by}", "small", 24)
    others = computed("TDN by the other ways, and for how many groups the word on energy would change", "words",
        '=IF({lots.tdn_others}="","",{lots.tdn_others}&" changes "&({changed})&" of "&SUMPRODUCT(--({herd.counted}<>"")))', "small", 34)  # fmt: skip
    lots, register, hazards = same_row(lambda: Lots), same_row(lambda: Register), same_row(lambda: Cautions)
    planned = same_row(lambda: WinterFeeds)  # own lots stand first there, in the same order
    herd, match = another(lambda: Herd), another(lambda: Match)
    calls, points = another(lambda: Calls), another(lambda: Points)

    @property
    def changed(self) -> str:
        groups = range(1, self.herd.n + 1)
        return "+".join(f'(INDEX({self.match.others},({self.lot}-1)*group_count+{g})<>"")' for g in groups)

    def top(self, group: Column) -> str:
        """The cell of a group's number, above its heads."""
        return a1(self.row_above, self.col(group), "r")

    def word(self, group: Column) -> Formula:
        number = self.top(group)
        word = pick(self.calls.says, f"({self.lot}-1)*group_count+{number}")
        is_best = f"{self.points.best(number)}={self.lot}"
        best = f'IF({is_best},IF({word}="{CLOSE}","{BUT}","{BEST}"),"")'
        good = f'OR({word}="{ENOUGH}",{word}="{CLOSE}",{word}="{UNSURE}")'
        barred = f'AND(ISNUMBER(FIND("{CROSS}",{self.hay})),{good})'  # it would read as safe
        word_or_mark = f'IF({barred},MID({self.hay},FIND("{CROSS}",{self.hay}),LEN({self.hay})),{best}&{word})'
        stopped = f"{self.doubt}&{a1(ABOVE, self.col(group), 'r')}&verdict_stop"
        return Formula(f'=IF({stopped}="",{word_or_mark},"{CHECK_FIRST}")')


GROUPS = Grid.of_class.index(Grid.cautions)  # the first group's column


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "Which hay for which cattle?",
        "Read across: one lot fed alone to each group. Enough, or pounds a day that each head is short; too close to call where the test cannot say.",
        "Result",
    )  # fmt: skip
    lots = typed_names(book, "lots")
    grid = Grid(sheet, lots)
    groups = [_group(grid, number) for number in range(1, book.find(Herd).n + 1)]
    grid.place()
    for at, name in enumerate(lots, grid.first_row):
        sheet.heights[at] = 22 if name else 15
    area = grid.area(groups[0], groups[-1])
    for row, said in enumerate(RULE, grid.row_below + 1):
        sheet.put(row, grid.col(Grid.hay), said, "text")
    notes = grid.row_below + 1 + len(RULE)
    _notes(grid, notes, groups)
    free = typed_names(book, "herd").count("")  # free groups may stand further right, and their lines off the paper
    sheet.needed_cols = grid.col(Grid.cautions) - free
    sheet.printed_rows = notes + len(groups) - free
    sheet.one_tall = grid.n <= ON_A_PAGE
    _stopped(grid, groups)
    sheet.flags += [
        Flagging(area, BEST, "flag_best"), Flagging(area, BUT, "flag_best"), Flagging(area, CLOSE, "flag_close"), Flagging(area, " lb ", "flag_short"),
        Flagging(area, ENOUGH, "flag_enough"), Flagging(area, UNSURE, "flag_warn"), Flagging(area, CROSS, "flag_bad"),
    ]  # fmt: skip
    flag_dangers(sheet, grid.area(Grid.cautions))
    sheet.flags.append(Flagging(grid.area(Grid.hay), CROSS, "flag_bad"))
    book.marks["verdict"] = sheet.span(*area)
    _at_the_pile(grid)


def _at_the_pile(grid: Grid) -> None:
    """Hay that is marked here counts in the pile all the same: what is said there must not hide it."""
    pile = grid.book.find(Pile)
    marked = f'SUMIFS({grid.tons},{grid.hay},"*{CROSS}*")'
    said = f'TEXT({marked},"0")&" tons of the hay in store are marked {CROSS} on Which hay: not to be fed alone, or not at all."'
    pile.sheet.put(pile.at["safe"] - 2, pile.column, Formula(f'=IF({marked}=0,"",{said})'), "sentence")


def _group(grid: Grid, number: int) -> Column:
    """A group's column: its number, its name over the words, and above it what is odd in the group."""
    group: Column = grid.add(
        computed("", "words", lambda row: row.word(group), "grid", 14), f"group_{number}", Grid.cautions
    )
    sheet, herd, at = grid.sheet, grid.herd, grid.top(group)
    sheet.put(grid.row_above, grid.col(Grid.hay), "Group number, row of Herd", "unit_cell")
    sheet.put(grid.row_above, grid.col(group), number, "number0")
    sheet.put(ABOVE, grid.col(group), Formula(f"={doubts.says(grid.book, 'herd', at)}"), "small")
    named = f'{pick(herd.name, at)}&", "&{pick(herd.head, at)}&" head"'
    group.head = f'=IF({pick(herd.counted, at)}="","",{named})'
    return group


def _notes(grid: Grid, row: int, groups: Sequence[Column]) -> None:
    """A line a group that the width of the page holds: the first sentence of its caution; Herd has the others."""
    for at, group in enumerate(groups, row):
        caution, name = (pick(span, grid.top(group)) for span in (grid.herd.caution, grid.herd.name))
        first = f'LEFT({caution},FIND(". ",{caution}&". "))'
        said = f'{name}&": "&{first}&" The need here does not hold: see Herd. Ask your vet."'
        grid.sheet.put(at, grid.col(Grid.hay), Formula(f'=IF({caution}="","",{said})'), "text")


def _stopped(grid: Grid, groups: Sequence[Column]) -> None:
    sheet, area = grid.sheet, grid.area(groups[0], groups[-1])
    row_or_column = "✗ Some wait for a check"  # which, says the row's right end or the column's top
    stopped = f'IF(COUNTIF({sheet.span(*area)},"{CHECK_FIRST}")=0,dials_told,"{row_or_column}")'
    told = Formula(f'=IF(verdict_stop="",{stopped},"✗ No words: "&verdict_stop)')
    first, last = grid.col(groups[0]), grid.col(groups[-1])
    grid.book.define("verdict_withheld", sheet.put(ABOVE - 1, first, told, "text"))
    sheet.flags += [
        Flagging((ABOVE - 1, first, ABOVE - 1, first), "✗", "flag_bad"),
        Flagging((ABOVE, first, ABOVE, last), ".", "flag_bad"),
        Flagging(grid.area(Grid.doubt), ".", "flag_bad"), Flagging(area, CHECK_FIRST, "flag_bad"),
    ]  # fmt: skip
