"""About: what the workbook is for, how to use it, what it cannot know, and where everything stands."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs import __version__
from hayfuncs.workbook.model import Book, Sheet
from hayfuncs.workbook.sheets.common import begin

STEPS = (
    "Register, Coring, How sure, Bench: before the lab - what each lot is, which bales to core, how many, and dry matter by weight.",
    "Lots: type each lab sheet into a row, and say whether its values are dry or as fed.",
    "Herd: type each group of like cows: weight, months since calving, milk at peak, calf weight, condition.",
    "Feeds: type the prices you can get, and the tag's analysis where you have one.",
    "What to feed: choose hay, cows and feed; read the pounds a day, the cost and the caution. Dials ask what if; clear them to go back.",
    "Which hay and Lot picture: see which lot is enough for which cows, and what the others lack. Ration is the working of What to feed.",
    "Cow year, Feed cost: in which months of her year this hay is enough for the chosen cow, and which feed closes the gap for the least money.",
    "Stock, Winter need, Hay pile, Feeder waste: is there enough hay to reach grass, what is it worth, and what does waste cost?",
    "Winter, Winter herd, Hay to buy, Winter feeds: dates, calving, feeders, hay on offer and what may be fed; hayfuncs plan solves the winter.",
    "Plan, Group months, Stock months, Winter budget: what each group gets, what is short or overdrawn, what to buy. Change any amount on Plan.",
    "Hazards, Cautions, Herd care, Ration cautions: what could hurt an animal or burn a barn, and who decides.",
    "Longhand and Longhand stock: follow the chosen case line by line in ordinary arithmetic.",
    "Single figures: one question at a time that the other sheets do not ask, such as milk in a week or a bale's weathered share.",
    "Checks: the word in the third line of every sheet says whether everything holds.",
)
CAUTIONS = (
    "This workbook is arithmetic, not advice. Watch the cows' condition; the veterinarian has the last word on animal health.",
    "A hay test is a sample. Values of a class of hay differ by lab and by core; treat an index as a class, not as a score.",
    "Nitrate, prussic acid, ergot and endophyte can kill or maim: test suspect hay and call the veterinarian before feeding it.",
    "Urea, whole cottonseed and grain have limits; bring cattle on to grain slowly. Read the label and ask a nutritionist.",
    "Hay baled too wet can heat and burn. From 160 deg F call the fire service before moving a bale; local code comes first.",
    "Needs are averages of published equations for beef cows of one year's cycle; cold, mud, parasites and breed move them.",
)
LEGEND = (
    ("input_shown", "Straw colour with a dotted frame: a value you may type (the cell tells what is possible)."),
    ("text", "No colour: computed, or fixed. Locked without a password: Review, Unprotect Sheet opens it."),
    ("unit_cell", "Slanted grey: the unit of the value at its left."),
    ("flag_good", "Words such as enough and holds, on blue: the need is met."),
    ("flag_bad", "Words such as short and FAILS, on vermilion: look here."),
)
EDITIONS = {
    "functions": "Functions edition: each HAY. name is a function of this file. Excel 365, 2024, web and Mac work as they are; LibreOffice needs the extension.",
    "plain": "Plain edition: no functions at all, every step in ordinary operators; for any spreadsheet since 2010, and for a phone.",
    "classic": "Classic edition: HAY_ names come from Python through xlwings on Excel for Windows.",
}
# version, date, what changed, why, who by role
CHANGES = (
    (
        "0.2.0", "28 Nov 2026",
        "A thin cow's need is no longer lowered. TDN by the best way that was measured. Calcium, phosphorus and nitrate hold the plan. No number stands where a check fails.",
        "The first version was right and could still mislead in use.", "The makers of the library hayfuncs",
    ),
    (
        "0.1.0", "25 Nov 2026", "First version.",
        "A lab's numbers are worth nothing until they say what to feed.", "The makers of the library hayfuncs",
    ),
)  # fmt: skip


ROOM_FOR_BACK = 13  # characters of column A that "back to About" takes


def fill(book: Book, what: str, told: Sequence[str] = ()) -> None:
    sheet = begin(
        book, "About", "From a hay test to a fed cow",
        "Which hay lot is enough for which cows, what is short, how much supplement closes the gap, and what it costs.", "About",
    )  # fmt: skip
    sheet.width(22, 94)
    sheet.portrait = True
    sheet.freeze = (3, 0)
    row = 4
    row = _lines(sheet, row, "What this is", [
        ("For", "A county agent and a producer, at a meeting or at the kitchen table."),
        ("Data", what), *(("Taken", text) for text in told if text not in what), ("Edition", EDITIONS[book.edition]), ("Version", f"hayfuncs {__version__}"),
    ])  # fmt: skip
    row = _lines(sheet, row, "How to use it", [(str(i), text) for i, text in enumerate(STEPS, 1)])
    row = _lines(sheet, row, "Cautions", [("!", text) for text in CAUTIONS])
    sheet.put(row, 0, "Legend", "section")
    for style, text in LEGEND:
        row += 1
        sheet.put(row, 0, "example", style)
        sheet.put(row, 1, text, "wrap")
    book.marks["map_row"] = row + 2


def finish(book: Book) -> None:
    """The map of sheets and the change log, once all sheets exist."""
    sheet = book.by_name("About")
    row = book.marks["map_row"]
    sheet.put(row, 0, "Sheets", "section")
    for other in book.sheets:
        if other is sheet:
            continue
        row += 1
        sheet.put(row, 0, other.name, "link", link=f"{other.name}!A1")
        sheet.put(row, 1, f"{other.role}. {other.sentence}", "wrap")
        if (3, 0) not in other.cells:
            says = "back to About" if other.widths.get(0, 0) >= ROOM_FOR_BACK else "About"
            other.put(3, 0, says, "link", link="About!A1")
    _lines(sheet, row + 2, "Changes", [
        (version, f"{date}: {what} Why: {why} Who: {who}.") for version, date, what, why, who in CHANGES
    ])  # fmt: skip


def _lines(sheet: Sheet, row: int, title: str, lines: list[tuple[str, str]]) -> int:
    sheet.put(row, 0, title, "section")
    for label, text in lines:
        row += 1
        sheet.put(row, 0, label, "label")
        sheet.put(row, 1, text, "wrap")
    return row + 2
