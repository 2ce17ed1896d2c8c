"""Solved from: every number and word that the winter plan was solved from, as it was then beside what stands there now.

A plan is old once one of them differs. The reader sees which: the list names each with its part of the workbook, and the
first changes are told in words on Plan, on Winter budget and on Asked beside the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, place_of
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.herd import Herd, NeedByClass
from hayfuncs.workbook.sheets.winter import Months, WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import WinterFeeds
from hayfuncs.workbook.table import Column, Table, computed
from hayfuncs.workbook.tabs import WORKINGS

NAME = "Solved from"
SAME = 1e-6  # far under any change that can be typed, far over the last digits of two engines
BLANK, ERROR = "blank", "error"  # so that an empty cell is not a 0, and a change from or to an error is one
NO_UNIT = ("1", "word", "yes/no", "name of a feeder")  # not said behind a value
MOST_NAMED = 2  # changes told in words
SINCE = "since it was solved"  # in every sentence on changes
LONGEST = 255  # letters of the sentence
WORDS, COUNT = 0, 1  # columns of what stands above the heads
SETTINGS = (
    ("winter_start", "Hay feeding begins on", "date"), ("turnout", "Turnout to grass on", "date"),
    ("plan_most_pct", "Most dry matter a cow eats", "%"), ("plan_min_ca_p", "Least calcium to phosphorus", "ratio"),
    ("plan_hay_pct", "Least hay", "%"), ("plan_fiber_pct_bw", "Most hay fiber", "% of body weight"),
    ("plan_grain_pct_bw", "Most starchy grain", "% of body weight"), ("plan_calving_days", "Days of calving", "days"),
    ("plan_halves", "Months in halves: 1 yes, 0 no", ""),
    ("mix_fat_pct", "Most fat in the diet", "% DM"), ("mix_s_pct", "Most sulfur in the diet", "% DM"), ("shrink_pct", "Shrink", "%"),
)  # fmt: skip
GROUP = (
    NeedByClass.cattle_class, Herd.head, Herd.weight, Herd.milk, Herd.calf, Herd.score, Herd.wanted, Herd.days, Herd.grown,
    NeedByClass.gain, WinterHerd.calving, WinterHerd.weaning, WinterHerd.feeder, WinterHerd.least,
)  # fmt: skip
FED = (WinterFeeds.state, WinterFeeds.counts, WinterFeeds.tons)
HAY = (
    *FED, WinterFeeds.dm, WinterFeeds.tdn, WinterFeeds.cp, WinterFeeds.ndf, WinterFeeds.fat, WinterFeeds.s, WinterFeeds.ca, WinterFeeds.p,
    WinterFeeds.wasted, WinterFeeds.loss, WinterFeeds.most_calf, WinterFeeds.most_open,
)  # fmt: skip
FEED = (
    *FED, WinterFeeds.dm, WinterFeeds.tdn, WinterFeeds.cp, WinterFeeds.fat, WinterFeeds.s, WinterFeeds.ca, WinterFeeds.p,
    WinterFeeds.grain, WinterFeeds.most_lb, WinterFeeds.most_bw, WinterFeeds.most_diet,
)  # fmt: skip
KINDS = {
    1: (*HAY, WinterFeeds.despite, WinterFeeds.held),
    2: HAY,
    3: FEED,
    4: (*FED, WinterFeeds.ca, WinterFeeds.p, WinterFeeds.most_lb),
}


class Read(NamedTuple):
    """One cell that the plan is solved from."""

    whose: str  # the cell that holds its group's or feed's name
    instead: str  # what it is called where that is empty
    what: str
    unit: str
    ref: str


class Then(NamedTuple):
    """What it was called and what stood there when the plan was solved."""

    what: str = ""
    value: Content = None


def every(book: Book) -> list[Read]:
    return [*_settings(book), *_groups(book), *_feeds(book)]


def then(book: Book, value: Callable[[str], Content]) -> list[Then]:
    """`value` gives what stands in a cell now, typed or worked out."""
    return [Then(_called(read, value), _shown(value(read.ref))) for read in every(book)]


def _settings(book: Book) -> Iterator[Read]:
    yield from (Read("", "", what, unit, book.names[name]) for name, what, unit in SETTINGS)
    months = book.find(Months)
    for i in range(1, months.n + 1):
        yield _read(months.some(Months.label, i), f"Month {i} of the winter", Months.more, months.some(Months.more, i))


def _groups(book: Book) -> Iterator[Read]:
    herd = book.find(Herd)
    for i in range(1, herd.n + 1):
        for column in GROUP:
            assert column.owner is not None
            yield _read(herd.some(Herd.name, i), f"Group {i}", column, book.find(column.owner).some(column, i))


def _feeds(book: Book) -> Iterator[Read]:
    feeds = book.find(WinterFeeds)
    for i, source in enumerate(feeds.items, 1):
        for column in KINDS[source.kind]:
            yield _read(feeds.some(WinterFeeds.name, i), f"Winter feeds, row {i}", column, feeds.some(column, i))


def _read(whose: str, instead: str, column: Column, ref: str) -> Read:
    head = column.head
    unit = "" if column.unit in NO_UNIT else column.unit
    return Read(whose, instead, head[0].lower() + head[1:] if head[1].islower() else head, unit, ref)


def _called(read: Read, value: Callable[[str], Content]) -> str:
    return f"{value(read.whose) or read.instead}: {read.what}" if read.whose else read.what


def _shown(value: Content) -> Content:
    if value is None or value == "":
        return BLANK
    return ERROR if isinstance(value, str) and value.startswith("#") else value


class SolvedFrom(Table[tuple[Read, Then]]):
    """One row a cell."""

    what = computed("What it is", "name", lambda row: row.item[1].what, "label", 64)
    part = computed("Where it stands", "part", lambda row: f"on {place_of(row.item[0].ref)[0]}", "text", 28)
    then = computed("Then, as the plan was solved", "unit at right", lambda row: row.item[1].value, lambda row: row.look(), 20)  # fmt: skip
    now = computed("Now", "unit at right", lambda row: row.live(), lambda row: row.look(), 20)
    unit = computed("Unit", "word", lambda row: row.item[0].unit, "unit_cell", 20)
    changed = computed("Changed? 1 yes, 0 no", "yes/no", f"=IF(COUNT({{then}},{{now}})=2,IF(ABS({{now}}-{{then}})>{SAME},1,0),IF({{then}}={{now}},0,1))", "number0")  # fmt: skip
    line = computed("Line", "1", lambda row: row.number, "number0", key="number")

    def look(self) -> str:
        return "date" if self.item[0].unit == "date" else "number3"  # LibreOffice puts another's look on a plain cell

    def live(self) -> Formula:
        ref = self.item[0].ref
        return Formula(f'=IF(ISERROR({ref}),"{ERROR}",IF({ref}="","{BLANK}",{ref}))')


def _told(column: str) -> str:
    """A value in words."""
    value = f"INDEX({{read.{column}}},{{line}})"
    day = f'TEXT({value},"d mmm yyyy")'
    return f'=IF({{line}}=0,"",IF(ISTEXT({value}),{value},IF({{unit}}="date",{day},ROUND({value},3))))'


class Changes(Table[int]):
    """The first cells that have changed, for the sentence."""

    change = computed("Change", "1", lambda row: row.item, "number0")
    line = computed("Line of the list", "1", "=IF({change}>plan_changes,0,ROWS({read.line})+1-SUMPRODUCT(LARGE({read.changed}*(ROWS({read.line})+1-{read.line}),{change})))", "number0")  # fmt: skip
    then, now = computed("Then", "words", _told("then"), "text"), computed("Now", "words", _told("now"), "text")
    unit = computed("Unit", "word", '=IF({line}=0,"",INDEX({read.unit},{line})&"")', "text")
    words = computed("In words", "words", '=IF({line}=0,"",INDEX({read.what},{line})&" (was "&{then}&", now "&{now}&IF(OR({unit}="",{unit}="date",ISTEXT({now})),""," "&{unit})&")")', "text")  # fmt: skip
    read = another(lambda: SolvedFrom)


def fill(book: Book, solved_from: Sequence[Then] | None) -> None:
    """None: no plan has been solved."""
    sheet = begin(book, NAME, "What the plan was solved from",
        "Each number and word that the winter plan starts from: as it was when the plan was solved, and as it stands now.", "Solved values")  # fmt: skip
    at = (FIRST - 3, WORDS)
    sheet.put(FIRST - 4, WORDS, "Changed since", "label")
    if solved_from is None:
        book.define("plan_changes", sheet.put(FIRST - 4, COUNT, 0, "number0"))
        book.define("plan_changed", sheet.put(FIRST - 4, COUNT + 1, None, "text"))
        sheet.put(*at, "No plan has been solved in this workbook.", "text")
        return
    table = SolvedFrom(sheet, list(zip(every(book), solved_from, strict=True))).place()
    book.define("plan_changes", sheet.put(FIRST - 4, COUNT, Formula(f"=SUM({table.local.changed})"), "number0"))
    changes = Changes(sheet, list(range(1, MOST_NAMED + 1)), table.row_below + 2).place(title="The first changes")
    book.define("plan_changed", sheet.put(*at, Formula(_sentence(changes)), "text"))
    sheet.flags += [Flagging((*at, *at), SINCE, "flag_bad"), Flagging(table.area(SolvedFrom.changed), "1", "flag_bad")]


def _sentence(changes: Changes) -> str:
    first, *others = (changes.local.some(Changes.words, i) for i in range(1, MOST_NAMED + 1))
    named = first + "".join(f'&IF(plan_changes>{i},"; "&{words},"")' for i, words in enumerate(others, 1))
    more = f'IF(plan_changes>{MOST_NAMED},"; and "&plan_changes-{MOST_NAMED}&" more","")'
    count = 'plan_changes&IF(plan_changes=1," change"," changes")'
    told = f'{count}&" {SINCE}: "&{named}&{more}&". All on {WORKINGS}: {NAME}."'
    return f'=IF(plan_changes=0,"",LEFT("Solve it again, "&{told},{LONGEST}))'
