"""What to feed: the sheet that the room sees - choose, read the pounds, the cost and the caution.

All of it fits a window of 1,280 x 800 with nothing to scroll.  The number is the largest thing on the screen, and
everything around it is quiet.  Where each number comes from stands on Answer working and Ration.
"""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Flagging, Formula, Input, Picture, Series, Sheet
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.halltables import Bars, Shares
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots

NAME = "What to feed"
WIDE = (25, 28, 25.6, 10.2, 10.2, 10.2, 10.2)
HAY, CATTLE, FEED, DIALS = range(4)  # columns; the dials are four
# rows, and the heights in points of those that are not as high as a line of the body
WAYS, LABELS, CHOICES, OWN, ANSWER, SECOND, THIRD, CAUTION, PICTURES, PERCENT = 3, 4, 5, 6, 7, 8, 9, 10, 11, 18
HEIGHTS = {
    0: 19, 1: 16, 2: 16, WAYS: 16, LABELS: 20, CHOICES: 25, OWN: 20, ANSWER: 68, SECOND: 31, THIRD: 24, CAUTION: 31,
    **dict.fromkeys(range(PICTURES, PERCENT), 15), PERCENT: 20,
}  # fmt: skip
PICTURE_HEIGHT = 138  # pixels
DEEP, PALE, HATCH = "#1F5C43", "#A9BFB2", "#B4551D"


def fill_inputs(book: Book, lot: str, group: str, feed: str) -> None:
    """Choosers and dials; the answer follows when the sheets that it rests on are there."""
    sheet = begin(
        book, NAME, "What do we feed?",
        "Choose the hay, the cattle and the feed. To ask what if, type over a dial; clear it to go back.", "Answer",
    )  # fmt: skip
    sheet.width(*WIDE)
    sheet.heights |= HEIGHTS
    sheet.cells[0, HAY].style = "hall_title"
    sheet.freeze = (0, 0)
    lots, herd, feeds = book.find(Lots).name, book.find(Herd).name, book.find(Feeds).name
    for col, label, key, value, source in (
        (HAY, "Which hay?", "lot", lot, lots),
        (CATTLE, "Which cattle?", "group", group, herd),
        (FEED, "Which feed?", "feed", feed, feeds),
    ):
        sheet.put(LABELS, col, label, "hall_label")
        entry = Input(f"{NAME}/{key}", label, "Pick one from the list", source=source, kind="word")
        book.define(f"chosen_{key}", sheet.entry(CHOICES, col, value, entry, "hall_choice"))
    _dials(book, sheet)


def _dials(book: Book, sheet: Sheet) -> None:
    back = "Empty: the value in gray below."
    dials = (
        ("Protein %", "protein", Input(f"{NAME}/protein", "What if: protein", f"Crude protein of the hay, % of dry matter, 1 to 40. {back}", lo=1, hi=40, required=False), "% DM", "hall_dial"),
        ("TDN %", "energy", Input(f"{NAME}/energy", "What if: energy", f"TDN of the hay, % of dry matter, 30 to 80. {back}", lo=30, hi=80, required=False), "% DM", "hall_dial"),
        ("Eats, lb", "eats", Input(f"{NAME}/eats", "What if: how much they eat", f"Hay one head eats, lb of dry matter a day, 5 to 60. {back}", lo=5, hi=60, required=False), "lb DM/day", "hall_dial"),
        ("$ a ton", "price", Input(f"{NAME}/price", "What if: feed price", f"Price of the feed, $ per short ton as fed, 0 to 100,000. {back}", lo=0, hi=100000, required=False), "$/ton as fed", "hall_dial_money"),
    )  # fmt: skip
    for col, (label, key, entry, unit, style) in enumerate(dials, DIALS):
        sheet.put(LABELS, col, label, "hall_label")
        book.define(f"dial_{key}", sheet.entry(CHOICES, col, None, entry, style, unit))


def fill(book: Book) -> None:
    """The answer, below what was chosen."""
    sheet = book.by_name(NAME)
    page = book.find(Working)
    for col, (ref, style, unit) in enumerate(
        ((page.own_protein, "hall_own", "% DM"), (page.own_energy, "hall_own", "% DM"), (page.own_eats, "hall_own", "lb DM/day"),
         (page.own_price, "hall_own_money", "$/ton as fed")), DIALS,
    ):  # fmt: skip
        sheet.put(OWN, col, Formula(f"={ref}"), style, unit=unit)
    sheet.put(OWN, HAY, Formula(f"={page.cold_says}"), "hall_label")
    on = f'IF({page.dials}=0,"No dial is set; as it stands:","Dials on: clear to go back")'
    sheet.put(OWN, FEED, Formula(f"={on}"), "hall_own_text")
    for row, ref, style in (
        (ANSWER, page.answer, "hall_answer"), (SECOND, page.second_line, "hall_second"), (THIRD, page.third_line, "hall_third"),
        (CAUTION, page.caution, "hall_caution"), (PERCENT, page.percent_says, "hall_label"),
    ):  # fmt: skip
        sheet.put(row, HAY, Formula(f"={ref}"), style)
    for col in range(HAY + 1, len(WIDE)):
        sheet.put(CAUTION, col, None, "hall_caution")
    _ways(book, sheet)
    _pictures(book, sheet, page)
    sheet.flags += [
        Flagging((OWN, FEED, OWN, FEED), "Dials on", "flag_dials"),
        Flagging((ANSWER, HAY, ANSWER, HAY), "No answer", "flag_stop"), Flagging((SECOND, HAY, SECOND, HAY), "", "flag_stop", when="ration_withheld<>\"\""),
        Flagging((ANSWER, HAY, ANSWER, HAY), "Too close", "flag_unsure"),
    ]  # fmt: skip


def _ways(book: Book, sheet: Sheet) -> None:
    """Links to what is asked next; Start has all of them, and the way there stands in the second column."""
    planned = (("Plan", "Plan"), ("Winter budget", "Winter budget"))
    alone = (("Take home", "Take home"), ("Cow year", "Cow year"))
    first, second = planned if book.kind == "plan" else alone
    for row, col, (tab, part) in (
        (WAYS - 1, DIALS, ("Which feed", "Feed cost")), (WAYS - 1, DIALS + 2, ("Hay pile", "Hay pile")),
        (WAYS, HAY, ("Which hay", "Which hay")), (WAYS, FEED, ("What could hurt", "Ration cautions")), (WAYS, DIALS, first), (WAYS, DIALS + 2, second),
    ):  # fmt: skip
        sheet.put(row, col, f"▶ {tab}", "link", link=f"{part}!A1")


def _pictures(book: Book, sheet: Sheet, page: Working) -> None:
    bars, shares = book.find(Bars), book.find(Shares)

    def bar(span: str, title: str, color: str) -> Series:
        return Series(
            title, bars.name, span, color, values_shown=True, gap=35, label_position="outside_end", over_others=True,
            label_format="0.0#;;",
        )  # fmt: skip

    sheet.pictures += [
        Picture(
            "bar", PICTURES, HAY, page.bars_title, "", "",
            "Two bars: pounds of the chosen feed a head a day that cover the energy needed, and pounds that cover the protein. The longer, dark bar is the answer. "
            "The table behind it stands on Answer working.",
            [bar(bars.larger, "The larger", DEEP), bar(bars.other, "The other", PALE)],
            width=560, height=PICTURE_HEIGHT, x_range=(0, None), reverse=True, size=16, bare=True,
            plot=(0.14, 0.24, 0.70, 0.74), every_name=True,
        ),
        Picture(
            "bar", PICTURES, FEED, page.share_title, "", "",
            "Two bars, energy and protein: what this hay brings (solid) and what the feed adds (hatched), in percent of the need; the line across stands at the need, 100 percent. "
            "The table behind it stands on Answer working.",
            [
                Series("Hay", shares.name, shares.hay, DEEP, values_shown=True, gap=35, label_position="inside_base", label_color="#FFFFFF", label_format="0;;"),
                Series("Feed", shares.name, shares.feed, HATCH, pattern="wide_upward_diagonal", gap=35),
            ],
            width=590, height=PICTURE_HEIGHT, x_range=(0, 150), reverse=True, stacked=True, size=16, bare=True, mark_at=100,
            plot=(0.14, 0.24, 0.82, 0.74), every_name=True,
        ),
    ]  # fmt: skip
