"""The tabs of a workbook, in the order of the questions asked: which sheets of the model stand on which tab.

A tab of one sheet is that sheet.  A tab of several has them one below the other, as parts with a head each;
`stack.py` puts them there.  The first part of an answer or of inputs begins at the top, so that the answer is
on the first screen, and the list of the other parts follows it; Workings and Reference begin with their list.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from hayfuncs.workbook.model import Book, Place, Sheet

INPUTS, ANSWER, WORKING, REFERENCE, START = "Inputs", "Answer", "Working", "Reference", "Start"
STEPS = " steps"  # ends the names of the plain edition's sheets of steps
WORKINGS = "Workings"  # of every sheet that no other tab names
HEAD = 4  # rows of a tab's head: title, sentence, kind and check, links
GAP = 2  # blank rows between two parts
SEEN = 20  # rows under a table that is typed in that its part has at least: what is typed there is found by a check
ROW_KEY = re.compile(r"(.+)/(\d+)/(.+)")  # of an input: table / row from 1 / column


@dataclass(frozen=True)
class Tab:
    """One tab: its kind, its parts from the top down, its title where it has several.

    The sentence under the title is the first part's, but for a tab that begins with its list.
    """

    name: str
    kind: str
    sheets: tuple[str, ...]
    title: str = ""
    sentence: str = ""
    printed: tuple[str, ...] = ()  # the parts that are printed, from the top; empty: all
    head_alone: bool = (
        False  # of inputs that are kept once and looked up on the screen the head is printed, unless all is asked for
    )
    widths: tuple[float, ...] = ()  # of the first columns, where the widest of all parts would be too wide


TABS = (
    Tab("What to feed", ANSWER, ("What to feed",)),
    Tab("Start", START, ("Start",), printed=("Start",), widths=(15, 39, 9, 1.5, 14, 47)),
    Tab("Lots", INPUTS, ("Lots",), "The lab sheets of your lots"),
    Tab("Stacks", INPUTS, ("Register", "Stock", "Bench", "Coring", "How sure"), "The stacks the lots came from", printed=("Register",), widths=(25, 19, 17, 15, 12, 57)),
    Tab("Herd", INPUTS, ("Herd", "Winter herd"), "Which cattle are fed?", printed=("Herd",)),
    Tab("Feeds", INPUTS, ("Feeds", "Hay to buy", "Winter feeds"), "What can be fed beside the hay?", printed=("Feeds",)),
    Tab("Assumptions", INPUTS, ("Assumptions", "Winter"), "What is taken as given", head_alone=True),
    Tab("Which hay", ANSWER, ("Which hay", "Lot picture"), "Which hay for which cattle?", printed=("Which hay",), widths=(14, 16, 13.5, 6.5, 6.5)),
    Tab("Which feed", ANSWER, ("Feed cost", "Mix"), "Which feed closes the gap for the least money?", printed=("Feed cost",), widths=(20, 32, 14, 12, 12, 12, 12, 30)),
    Tab("Cow year", ANSWER, ("Cow year", "Young cattle"), "Cows by month; what young cattle gain", printed=("Cow year",)),
    Tab("Hay pile", ANSWER, ("Hay pile", "Winter need", "Feeder waste"), "Does the pile last to grass?", printed=("Hay pile",), widths=(31, 17, 14, 10, 11, 12, 11, 35)),
    Tab("What could hurt", ANSWER, ("Ration cautions", "Hazards", "Cautions", "Herd care", "Minerals"), "What could hurt an animal or burn a barn?",
        printed=("Ration cautions",), widths=(34, 13, 14, 11, 75, 100, 36)),
    Tab("Take home", ANSWER, ("Take home",)),
    Tab("Meeting handout", ANSWER, ("Meeting handout",)),
    Tab("Lessons", ANSWER, ("Lessons",)),
    Tab("Month cards", ANSWER, ("Month cards",)),
    Tab("Plan", ANSWER, ("Plan",), "What each group gets, month by month"),
    Tab("Group months", ANSWER, ("Group months",)),
    Tab("Stock months", ANSWER, ("Stock months", "Bale months"), "What is taken from each stack?", printed=("Stock months", "Bale months")),
    Tab("Winter budget", ANSWER, ("Winter budget", "Asked beside the plan"), "What does the winter cost?", printed=("Winter budget", "Asked beside the plan")),
    Tab("Plain rule", WORKING, ("Plain rule",)),
    Tab("Checks", WORKING, ("Checks",)),
    Tab(WORKINGS, WORKING, ("Ration", "Longhand", "Longhand stock", "Match", "Mix answers", "Solved from", "Repeat tests", "Single figures", "Input list", "Contents"), "What the answers are worked out from",
        "The ration line by line, the same in longhand, and every table that only computes. Any cell may be followed."),
    Tab("Reference", REFERENCE, ("Functions", "Feed book", "Tables", "Sources"), "What it rests on",
        "Every function with its equation, the feeds' values, the published tables, and the sources."),
)  # fmt: skip


def arrange(book: Book) -> None:
    """Where each sheet of the model stands: its tab and how many rows below its own first one."""
    made, typed = [], typed_until(book)
    for tab in _tabs(book):
        sheets = [book.by_name(name) for name in tab.sheets]
        row = 0 if leads(tab) else list_of_parts(tab, HEAD)
        for i, sheet in enumerate(sheets):
            last = i == len(sheets) - 1
            end = bottom(sheet)
            gap = max(GAP, typed.get(sheet.name, -SEEN) + SEEN + 1 - end)
            book.places[sheet.name] = Place(tab.name, row, None if last else end + gap - 1)
            row += end + 1 + gap
            if i == 0 and not last and leads(tab):
                row = list_of_parts(tab, row)
        made.append(tab)
    book.tabs = tuple(made)


def typed_until(book: Book) -> dict[str, int]:
    """The last row of each sheet's table that is typed in."""
    last: dict[str, int] = {}
    for key, (name, row, _) in book.inputs.items():
        if ROW_KEY.fullmatch(key):
            last[name] = max(last.get(name, row), row)
    return last


def leads(tab: Tab) -> bool:
    """Whether the first part begins at the top of its tab, under the tab's own head."""
    return len(tab.sheets) == 1 or tab.kind not in (WORKING, REFERENCE)


def listed(tab: Tab) -> tuple[str, ...]:
    """The parts that the list on a tab names."""
    return tab.sheets[1:] if leads(tab) else tab.sheets


def list_of_parts(tab: Tab, row: int) -> int:
    """The first row below the list of parts that begins at a row."""
    return row + 1 + len(listed(tab)) + GAP


def list_row(book: Book, tab: Tab) -> int:
    """Where that list stands: above the first part that it names."""
    return book.places[listed(tab)[0]].down - GAP - len(listed(tab)) - 1


def bottom(sheet: Sheet) -> int:
    """The last row that a sheet takes, its pictures counted."""
    return max(sheet.last_row, max((p.row + p.height // 20 + 1 for p in sheet.pictures), default=0))


def _tabs(book: Book) -> list[Tab]:
    """The tabs of those sheets that the book has; on Workings every other sheet too, the plain edition's steps at the end."""
    listed = {name for tab in TABS for name in tab.sheets}
    there = [sheet.name for sheet in book.sheets]
    found = []
    for tab in TABS:
        more = [name for name in there if name not in listed] if tab.name == WORKINGS else []
        more.sort(key=lambda name: name.endswith(STEPS))
        sheets = (*(name for name in tab.sheets if name in there), *more)
        if sheets:
            printed = tuple(name for name in tab.printed if name in there)
            found.append(replace(tab, sheets=sheets, printed=printed))
    return found


def in_order(name: str) -> int:
    """The place of a sheet among all, for the order in which they are read."""
    listed = [name for tab in TABS for name in tab.sheets]
    return listed.index(name) if name in listed else len(listed)
