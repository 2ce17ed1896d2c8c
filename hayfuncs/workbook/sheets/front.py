"""Start: what the workbook is for, how to use it, what it cannot know, and where everything stands."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs import __version__
from hayfuncs.workbook.model import HEADER_ROWS, Book, Sheet
from hayfuncs.workbook.sheets.common import begin

# what to do, in the order of the tabs: each with the tab it speaks of, and left out where that is not there
STEPS = (
    ("Lots", "Type each lab sheet in a row; say if dry or as fed."),
    ("Herd", "Type each group of like cows: head, weight, month."),
    ("Feeds", "Type your prices, and the tag where you have one."),
    ("What to feed", "Choose hay, cows and feed: pounds, cost, caution."),
    ("Which hay", "See which lot is enough for which cows."),
    ("Which feed", "See which feed closes that gap for the least money."),
    ("Hay pile", "See whether the pile lasts to grass."),
    ("What could hurt", "Read it before anything is fed."),
    ("Plan", "Change an amount: what is short shows right away."),
    ("Checks", "Its result shows on line 3 of every tab."),
)
CAUTIONS = (
    "This workbook is arithmetic, not advice. Watch the cows' condition; the veterinarian has the last word on animal health.",
    "A hay test is a sample. Results for the same hay differ by lab and by core; use an index to grade hay, not to rank it closely.",
    "Nitrate, prussic acid, ergot and endophyte can kill or maim: test suspect hay and call the veterinarian before feeding it.",
    "Urea, whole cottonseed and grain have limits; bring cattle on to grain slowly. Read the label and ask a nutritionist.",
    "Hay baled too wet can heat and burn. At 160 deg F or hotter call the fire service before moving a bale; local code comes first.",
    "Needs are averages of published equations for beef cows of one year's cycle; cold, mud, parasites and breed move them.",
)
LEGEND = (
    ("input_shown", "example", "You may type here; click it to see what it accepts."),
    ("text", "example", "Computed or fixed; locked, no password needed."),
    ("unit_cell", "example", "The unit of the value at its left."),
    ("flag_good", "enough", "The need is met."),
    ("flag_best", "Best", "The hay that fits these cattle best."),
    ("flag_close", "too close to call", "The test cannot say: see How sure."),
    ("flag_bad", "short, Danger", "Look here."),
)
EDITIONS = {
    "functions": "Functions edition: each HAY. name is a function of this file. Excel 365, 2024, web and Mac work as they are; LibreOffice needs the extension.",
    "plain": "Plain edition: no HAY. functions, every step in ordinary formulas; for any spreadsheet since 2010, and for a phone.",
    "classic": "Classic edition: HAY_ names come from Python through xlwings on Excel for Windows.",
}
SIGN = "Where Excel 365 shows @ before INDEX in a formula, it says that one value of a column is meant. It changes no number."
# version, date, what changed, why, who by role
CHANGES = (
    (
        "0.2.0", "28 Nov 2026",
        "A thin cow's need is no longer lowered. TDN by the best way that was measured. Calcium, phosphorus and nitrate hold the plan. No number stands where a check fails. One tab for each question; the winter plan in a workbook of its own.",
        "The first version was right and could still mislead in use.", "The makers of the library hayfuncs",
    ),
    (
        "0.1.0", "25 Nov 2026", "First version.",
        "A lab's numbers are worth nothing until they say what to feed.", "The makers of the library hayfuncs",
    ),
)  # fmt: skip


NAME = "Start"


LEFT, RIGHT = (15, 41, 9), (14, 47)  # characters: tab, question, kind; then a gap, and words with what they mean
GAP = 2
TAB, QUESTION, KIND, BETWEEN, WORD, MEANING = range(6)  # columns


def fill(book: Book, what: str, told: Sequence[str] = ()) -> None:
    sheet = begin(
        book, NAME, "From a hay test to a fed cow",
        "Which hay lot is enough for which cows, what is short, how much supplement closes the gap, and what it costs.", "Start",
    )  # fmt: skip
    sheet.width(*LEFT, GAP, *RIGHT)
    sheet.freeze = (HEADER_ROWS, 0)
    taken = (("Taken", text) for text in told if text not in what)
    book.marks["what_this_is"] = [
        ("For", "A county agent and a producer, at a meeting or at the kitchen table."), ("Data", what), *taken,
        ("Edition", EDITIONS[book.edition]), ("Sign @", SIGN), ("Version", f"hayfuncs {__version__}"),
    ]  # fmt: skip


def finish(book: Book) -> None:
    """One screen: every tab with its question at the left, what to do and the legend at the right; then the small print."""
    sheet = book.by_name(NAME)
    end = max(_map(book, sheet), _guide(book, sheet))
    row = _lines(sheet, end + 2, "Cautions", [("!", text) for text in CAUTIONS], "text")  # a line each, over free cells
    sheet.printed_rows = row - 1  # what is below is for the screen
    row = _lines(sheet, row, "What this is", book.marks.pop("what_this_is"))
    _lines(sheet, row, "Changes", [
        (version, f"{date}: {what} Why: {why} Who: {who}.") for version, date, what, why, who in CHANGES
    ])  # fmt: skip


def _map(book: Book, sheet: Sheet) -> int:
    row = HEADER_ROWS
    sheet.put(row, TAB, "Where to go", "section")
    for tab in book.tabs:
        if NAME in tab.sheets:
            continue
        row += 1
        first = book.by_name(tab.sheets[0])
        sheet.put(row, TAB, tab.name, "link", link=f"{tab.sheets[0]}!A1")
        sheet.put(row, QUESTION, tab.title or first.title, "text")
        sheet.put(row, KIND, tab.kind, "text")
    return row


def _guide(book: Book, sheet: Sheet) -> int:
    row = HEADER_ROWS
    first = {tab.name: tab.sheets[0] for tab in book.tabs}
    sheet.put(row, WORD, "What to do", "section")
    for name, text in STEPS:
        if name in first:
            row += 1
            sheet.put(row, WORD, name, "link", link=f"{first[name]}!A1")
            sheet.put(row, MEANING, text, "text")
    row += 1
    sheet.put(row, WORD, "What it looks like", "section")
    for style, shown, text in LEGEND:
        row += 1
        sheet.put(row, WORD, shown, style)
        sheet.put(row, MEANING, text, "text")
    return row


def _lines(sheet: Sheet, row: int, title: str, lines: list[tuple[str, str]], style: str = "wrap") -> int:
    sheet.put(row, TAB, title, "section")
    for label, text in lines:
        row += 1
        sheet.put(row, TAB, label, "label")
        sheet.put(row, QUESTION, text, style)
    return row + 2
