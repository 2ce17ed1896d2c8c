"""Meeting handout: four pages with a picture each, from the chosen case to what could hurt."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Formula, Picture, Series, Sheet
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.halltables import Shares
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.printed import WIDTHS, WORDS, Printed
from hayfuncs.workbook.sheets.takehomenumbers import Numbers
from hayfuncs.workbook.sheets.takehomewords import AFTER
from hayfuncs.workbook.styles import BLUE, GRAY, PURPLE, VERMILLION
from hayfuncs.workbook.table import Item, Table, computed

NAME = "Meeting handout"
PICTURE_ROWS = 20
TOP = 5
MOST_LOTS = 12  # lots with a caution that the last page has room for
SHORT_NAMES = {
    "nitrate": "nitrate", "prussic": "prussic acid", "stack": "hot stack", "cap": "calcium to phosphorus", "sulfur": "sulfur",
    "ergot": "fescue toxin", "tetany": "grass tetany", "baling": "baled wet",
}  # fmt: skip

HALVES = (tuple(SHORT_NAMES)[:4], tuple(SHORT_NAMES)[4:])


class Drawn(Table[Item]):
    """What a picture is drawn from, beside it, right of the paper."""

    heads_height = units_height = 0
    from_column = len(WIDTHS) + 1


class Day(Drawn[str]):
    """One head's day."""

    label = computed("One head's day", "name", lambda row: row.item, "text", 0)
    hay = computed("From the hay", "%", "=INDEX({of.hay},{number})", width=0)
    feed = computed("From the feed", "%", "=INDEX({of.feed},{number})", width=0)
    need = computed("The need", "%", 100, width=0)
    of = another(lambda: Shares)


class Groups(Drawn[None]):
    """Pounds put out for each head."""

    name = computed("Cow group", "name", "=INDEX({of.name},{number})", "text", 0)
    hay = computed("Hay", "lb as fed/day", "=IF(INDEX({of.shown},{number})=1,INDEX({of.out},{number}),0)", width=0)
    feed = computed("Feed", "lb as fed/day", "=IF(INDEX({of.shown},{number})=1,INDEX({of.fed},{number}),0)", width=0)
    of = another(lambda: Numbers)


class Days(Drawn[tuple[str, Content, Content]]):
    """The ends of the picture's lines, two rows each."""

    line = computed("Line", "name", lambda row: row.item[0], "text", 0)
    day = computed("Day", "days", lambda row: row.item[1], width=0)
    left = computed("Hay left", "tons as fed", lambda row: row.item[2], width=0)


class Found(Drawn[None]):
    """Dangers and cautions of each lot, and on which line below it is named."""

    fixed = ""
    name = computed("Hay lot", "name", '=INDEX({lots.counted},{number})&""', "text", 0)
    dangers = computed("Dangers", "number", "=N(INDEX({cautions.count_dan},{number}))", width=0)
    caution = computed("Cautions", "number", "=N(INDEX({cautions.count_cau},{number}))", width=0)
    place_below = computed("Line below", "number", "=IF({dangers}+{caution}=0,0,SUMPRODUCT(--({down_to.dangers}+{down_to.caution}>0)))", width=0)  # fmt: skip
    first_half, second_half = (
        computed(head, "words", lambda row, part=part: Formula(f"={row.called(part)}"), width=0)
        for head, part in zip(("Named", "Named too"), HALVES, strict=True)
    )
    lots, cautions = another(lambda: Lots), another(lambda: Cautions)

    def called(self, marks: Sequence[str]) -> str:
        """The dangers and cautions of a lot by name, a comma before each, nitrate once."""
        parts = []
        for mark in marks:
            several = [f"nitrate_calf_{scale}" for scale in "ab"] if mark == "nitrate" else [mark]
            words = "&".join(pick(getattr(self.cautions, m), str(self.number)) for m in several)
            name = SHORT_NAMES[mark]
            found = f'IF(ISNUMBER(SEARCH("Danger",{words})),", DANGER {name}",IF(ISNUMBER(SEARCH("Caution",{words})),", {name}",""))'
            parts.append(found)
        return "&".join(parts)


class Pages(Printed):
    """The pages from the top down; the pictures' numbers stand at the right in the same rows."""

    heads_height = 22

    def __init__(self, book: Book, sheet: Sheet) -> None:
        super().__init__(sheet, TOP)
        self.book, self.number = book, 0

    def page(self, question: str, withheld: str, answer: str, more: str = "") -> None:
        """A new page: the question, and the answer in a sentence or the reason that there is none."""
        if self.number:
            self.sheet.page_breaks.append(self.row)
        self.number += 1
        self.line(f"{self.number}. {question}", "take_title", 36)
        self.answer(Formula(f'=IF({withheld}="",{answer},"✗ No answer while a check fails: "&{withheld}&".")'), 28)
        self.line(Formula(f'=IF({withheld}="",{more},"")') if more else None)

    def titled(self, drawn: Table[Any], content: Content) -> str:
        """The picture's title, under what it is drawn from."""
        return self.sheet.put(drawn.row_below, drawn.col(drawn.columns[0]), content, "text")

    def picture(self, picture: Picture) -> None:
        self.sheet.draw(picture)
        self.row += PICTURE_ROWS


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "Four pages for the meeting",
        "Print it for everybody who comes. It follows the choices on What to feed and on Take home.", "Result",
    )  # fmt: skip
    sheet.width(*WIDTHS, 4, 30, 16, 16, 16)
    sheet.portrait, sheet.printed_cols = True, len(WIDTHS)
    pages = Pages(book, sheet)
    sheet.printed_from = pages.row
    _answer(pages)
    _which_hay(pages)
    _pile(pages)
    _hurt(pages)
    sheet.printed_rows = pages.row
    book.marks["meeting"] = {"last": pages.row - 1}


def _answer(pages: Pages) -> None:
    """The hall's own sentences and bars, on paper."""
    hall = pages.book.find(Working)
    what_if = f'IF({hall.dials}=0,"."," What if: dials are on, see What to feed.")'
    case = f'chosen_lot&" to "&chosen_group&", with "&chosen_feed&{what_if}'
    pages.page("What do these cattle need along with this hay?", "ration_withheld", hall.answer, hall.second_line)
    hidden = 'ration_withheld<>""'
    for said in (hall.third_line, case):
        pages.line(Formula(f'=IF({hidden},"",{said})'))
    day = Day(pages.sheet, ("Energy (TDN)", "Protein (CP)"), pages.row).place()
    title = pages.titled(day, Formula(f'=IF({hidden},"No picture while a check fails",{hall.have_title})'))
    pages.picture(Picture(
        "column", pages.row, WORDS, title, "", "% of what one head needs in a day",
        "Column chart of energy and protein: the part of the daily need of one head that the hay covers (solid) and that the feed covers (hatched), with the need as a line at 100 percent.",
        [Series("Hay", day.label, day.hay, BLUE, values_shown=True, label_position="inside_end", label_color="#FFFFFF", label_format="0"),
         Series("Feed", day.label, day.feed, VERMILLION, pattern="wide_upward_diagonal")],
        width=700, height=390, y_range=(0, None), legend=True, stacked=True,
        line=Series("The need = 100 %", day.label, day.need, "#1F1F1F", line="dash", marker="none"),
    ))  # fmt: skip
    pages.heads("Each head, each day", "Energy", "Protein")
    for label, pair, style in (
        ("The need, lb", ("chosen_tdn_need", "chosen_cp_need"), "take_tenths2"),
        ("The hay alone falls short by, lb", ("energy_short", "protein_short"), "take_tenths2"),
    ):
        pages.values(label, *((Formula(f'=IF({hidden},"–",{ref})'), "lb/day", style) for ref in pair))
    pages.line(Formula(f'=IF({hidden},"",{hall.caution})'), "take_strong")
    pages.line(AFTER)


def _which_hay(pages: Pages) -> None:
    numbers = pages.book.find(Numbers)
    enough = f"SUMPRODUCT(({numbers.shown}=1)*({numbers.fed}=0))"
    groups = f"SUMPRODUCT(--({numbers.shown}=1))"
    close = f'IF(SUM({numbers.close})=0,""," ("&SUM({numbers.close})&" too close to call)")'
    said = f'{enough}&" of "&{groups}&" groups need only hay"&{close}&"; the rest need feed with it."'
    pages.page(
        "Which hay for which cattle?",
        "verdict_withheld",
        said,
        '"As chosen on Take home. Pounds put out, waste included."',
    )
    drawn = Groups(pages.sheet, [None] * numbers.n, pages.row).place()
    title = pages.titled(drawn, "Hay and feed for each head, pounds a day")
    pages.picture(Picture(
        "bar", pages.row, WORDS, title, "lb as fed, each head each day", "",
        "Bar chart of the groups: pounds of hay (solid) and of feed (hatched) that are put out for each head each day.",
        [Series("Hay", drawn.name, drawn.hay, BLUE, values_shown=True, label_format="0;;"),
         Series("Feed", drawn.name, drawn.feed, VERMILLION, pattern="wide_upward_diagonal", values_shown=True, label_format="0.00;;")],
        width=700, height=390, x_range=(0, None), legend=True, reverse=True, every_name=True,
    ))  # fmt: skip
    pages.heads("Cattle, and their hay", "Feed a head", "$ a head a day")
    of_each = (numbers.name, numbers.shown, numbers.hay, numbers.fed, numbers.feed, numbers.cow_day)
    for g in range(1, numbers.n + 1):
        name, shown, hay, fed, feed, cost = (pick(span, str(g)) for span in of_each)
        said = f'{name}&": "&IF({shown}=1,{hay}&IF({fed}=0,"",", "&{feed}),"no number, see Take home")'
        pounds = Formula(f'=IF({shown}=1,IF({fed}=0,"none",{fed}),"")'), "lb as fed/day", "take_feed_small"
        paid = Formula(f'=IF({shown}=1,{cost},"")'), "$/day", "take_cents"
        pages.values(Formula(f'=IF({name}="","",{said})'), pounds, paid, style="take_line", height=20)


def _pile(pages: Pages) -> None:
    known = "COUNT(hay_short,days_of_hay,winter_days)=3"
    short = '"Short: the hay is gone on "&TEXT(runs_out,"d mmm yyyy")&", "&TEXT(winter_days-days_of_hay,"0")&" days before grass."'
    reach = '"The hay reaches grass, with "&TEXT(tons_spare,"0")&" tons to spare."'
    withheld = f'IF({known},"","type the dates on Hay pile, and the herd")'
    more = 'IF(tons_short>0,"To buy: "&TEXT(tons_short,"0.0")&" tons"&IF(ISNUMBER(cost_short),", $"&TEXT(cost_short,"#,##0"),"")&", if all cattle eat all the hay they want.","If all cattle eat all the hay they want, and nothing else.")'
    pages.page("Do we run out before grass?", withheld, f"IF(hay_short>0,{short},{reach})", more)

    def cell(content: str) -> Formula:
        return Formula(f"=IF({known},{content},0)")

    rows: list[tuple[str, Content, Content]] = []
    for word, factor in (
        ("As reckoned", "1"),
        ("More a day", "(1+pile_swing/100)"),
        ("Less a day", "(1-pile_swing/100)"),
    ):
        rows += [(word, 0, cell("hay_eaten/lb_per_ton")), (word, cell(f"days_of_hay/{factor}"), 0)]
    rows += [("Grass", cell("winter_days"), 0), ("Grass", cell("winter_days"), cell("hay_eaten/lb_per_ton"))]
    ends = Days(pages.sheet, rows, pages.row).place()
    title = pages.titled(ends, Formula(f'=IF({known},"The pile, day by day: "&TEXT(days_of_hay,"0")&" days of hay for "&winter_days&" days till grass","No picture while something is missing")'))  # fmt: skip
    looks = ((BLUE, "solid"), (VERMILLION, "dash"), (PURPLE, "round_dot"), (GRAY, "solid"))
    series = [
        Series(ends.some(Days.line, k), ends.some(Days.day, k, k + 1), ends.some(Days.left, k, k + 1), color, marker="none", line=line)
        for k, (color, line) in zip(range(1, ends.n, 2), looks, strict=True)
    ]  # fmt: skip
    pages.picture(Picture(
        "scatter", pages.row, WORDS, title, "Days from the first day of hay feeding", "Hay left, after losses, tons",
        "Line chart of the hay that is left, in tons, against days of feeding: solid as figured, dashed for more hay a day and dotted for less, with an upright line at turnout to grass.",
        series, width=700, height=390, x_range=(0, None), y_range=(0, None), legend=True,
    ))  # fmt: skip
    pages.heads("The winter in tons", "", "Tons")
    for label, value in (
        ("Hay in the stacks", "hay_in_store/lb_per_ton"), ("Hay needed till grass", "IF(ISNUMBER(hay_needed),hay_needed/lb_per_ton,0)"),
        ("Short", "IF(ISNUMBER(tons_short),tons_short,0)"),
    ):  # fmt: skip
        pages.values(label, None, (Formula(f'=IF({known},{value},"–")'), "tons as fed", "take_tons"))
    pages.line(
        Formula(
            '="More or less a day in the picture: "&TEXT(pile_swing,"0")&" %. Waste at the feeder is the cheapest hay to save."'
        )
    )


def _hurt(pages: Pages) -> None:
    cautions, lots = pages.book.find(Cautions), pages.book.find(Lots)
    danger, caution = cautions.count_dan, cautions.count_cau
    dangers = f'COUNTIF({danger},">0")'
    touched = f'({dangers}+COUNTIFS({danger},0,{caution},">0"))'
    named = f'SUMPRODUCT(--({lots.counted}<>""))'
    said = f'IF({dangers}>0,{dangers}&" lots are at DANGER: do not feed them before your vet agrees.",{touched}&" of "&{named}&" lots have a caution.")'
    pages.page(
        "What could hurt?", '""', said, '"Nothing found is no proof: some things were not tested. Ask your vet."'
    )
    found = Found(pages.sheet, [None] * lots.n, pages.row).place()
    title = pages.titled(found, "Dangers and cautions of each lot")
    pages.picture(Picture(
        "bar", pages.row, WORDS, title, "number found", "",
        "Bar chart of the lots: the number of dangers (hatched) and of cautions (solid) that its tests and its stack show.",
        [Series("Dangers", found.name, found.dangers, VERMILLION, pattern="wide_upward_diagonal"),
         Series("Cautions", found.name, found.caution, BLUE)],
        width=700, height=390, x_range=(0, None), x_step=1, legend=True, reverse=True, stacked=True, every_name=True,
    ))  # fmt: skip
    pages.line(AFTER, "take_strong")
    pages.heads("What was found", "", "")
    for k in range(1, min(lots.n, MOST_LOTS) + 1):
        at = f"MATCH({k},{found.place_below},0)"
        first, second = (pick(span, at) for span in (found.first_half, found.second_half))
        said = f'{pick(found.name, at)}&": "&MID({first}&{second},3,200)&"."'
        pages.line(Formula(f'=IF(ISNUMBER({at}),{said},"")'), height=17)
    pages.line(Formula(f'=IF({touched}>{MOST_LOTS},"More lots have one: see Cautions.","")'), height=17)
