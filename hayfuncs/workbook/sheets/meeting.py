"""Meeting handout: four pages with a picture each, from the chosen case to what could hurt."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Picture, Series, Sheet, a1
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.halltables import Shares
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.takehome import WIDTHS
from hayfuncs.workbook.sheets.takehomewords import AFTER
from hayfuncs.workbook.styles import BLUE, GRAY, PURPLE, VERMILLION

NAME = "Meeting handout"
DATA = 4  # the first column of what the pictures are drawn from, right of the paper
PICTURE_ROWS = 20
MOST_LOTS = 12  # lots with a caution that the last page has room for
SHORT_NAMES = {
    "nitrate": "nitrate", "prussic": "prussic acid", "stack": "hot stack", "cap": "calcium to phosphorus", "sulfur": "sulfur",
    "ergot": "fescue toxin", "tetany": "grass tetany", "baling": "baled wet",
}  # fmt: skip

HALVES = (tuple(SHORT_NAMES)[:4], tuple(SHORT_NAMES)[4:])


class Pages:
    """The pages from the top down; the pictures' numbers stand at the right in the same rows."""

    def __init__(self, book: Book, sheet: Sheet) -> None:
        self.book, self.sheet, self.row, self.number = book, sheet, 5, 0

    def page(self, question: str, withheld: str, answer: str, more: str = "") -> None:
        """A new page: the question, and the answer in a sentence or the reason that there is none."""
        sheet = self.sheet
        if self.number:
            sheet.page_breaks.append(self.row)
        self.number += 1
        sheet.put(self.row, 0, f"{self.number}. {question}", "take_title")
        sheet.heights[self.row] = 36
        sheet.put(self.row + 1, 0, Formula(f'=IF({withheld}="",{answer},"✗ No answer while a check fails: "&{withheld}&".")'), "take_answer")  # fmt: skip
        sheet.flags.append(Flagging((self.row + 1, 0, self.row + 1, 2), "✗", "flag_bad"))
        sheet.heights[self.row + 1] = 28
        sheet.put(self.row + 2, 0, Formula(f'=IF({withheld}="",{more},"")') if more else None, "take_line")
        sheet.heights[self.row + 2] = 20
        self.row += 3

    def line(self, content: Content, style: str = "take_line", height: float = 20) -> str:
        ref = self.sheet.put(self.row, 0, content, style)
        self.sheet.heights[self.row] = height
        self.row += 1
        return ref

    def heads(self, *texts: str) -> None:
        for col, text in enumerate(texts):
            self.sheet.put(self.row, col, text or None, "take_head" if col == 0 else "take_head_right")
        self.sheet.heights[self.row] = 22
        self.row += 1

    def data(self, rows: list[list[Content]], heads: tuple[str, ...], units: tuple[str, ...], down: int = 0) -> int:
        """A table beside the page; hands back the sheet's row of its first line."""
        top = self.row + down
        self.sheet.heads(top, DATA, heads, units)
        for i, row in enumerate(rows, top + 2):
            for col, content in enumerate(row, DATA):
                look = "text" if col == DATA else "number1"
                self.sheet.put(i, col, content, look, unit=units[col - DATA] if col > DATA else "")
        return top + 2

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
    sheet = pages.sheet
    hall, drawn = pages.book.find(Working), pages.book.find(Shares)
    what_if = f'IF({hall.dials}=0,"."," What if: dials are on, see What to feed.")'
    case = f'chosen_lot&" to "&chosen_group&", with "&chosen_feed&{what_if}'
    pages.page("What do these cattle need beside this hay?", "ration_withheld", hall.answer, hall.second_line)
    hidden = 'ration_withheld<>""'
    for said in (hall.third_line, case):
        pages.line(Formula(f'=IF({hidden},"",{said})'))
    rows: list[list[Content]] = []
    for at, label in enumerate(("Energy (TDN)", "Protein (CP)"), 1):
        rows.append([label, *(Formula(f"={pick(key, str(at))}") for key in (drawn.hay, drawn.feed)), 100])
    top = pages.data(rows, ("One head's day", "From the hay", "From the feed", "The need"), ("name", "%", "%", "%"))
    title = sheet.put(top + 2, DATA, Formula(f'=IF({hidden},"No picture while a check fails",{hall.have_title})'), "text")  # fmt: skip
    names = sheet.span(top, DATA, top + 1, DATA)
    hay, added, need = (sheet.span(top, DATA + k, top + 1, DATA + k) for k in (1, 2, 3))
    pages.picture(Picture(
        "column", pages.row, 0, title, "", "% of what one head needs in a day",
        "Column chart of energy and protein: the part of the daily need of one head that the hay covers (solid) and that the feed covers (hatched), with the need as a line at 100 percent.",
        [Series("Hay", names, hay, BLUE, values_shown=True, label_position="inside_end", label_color="#FFFFFF", label_format="0"),
         Series("Feed", names, added, VERMILLION, pattern="wide_upward_diagonal")],
        width=700, height=390, y_range=(0, None), legend=True, stacked=True,
        line=Series("The need = 100 %", names, need, "#1F1F1F", line="dash", marker="none"),
    ))  # fmt: skip
    pages.heads("Each head, each day", "Energy", "Protein")
    for label, pair, style in (
        ("The need, lb", ("chosen_tdn_need", "chosen_cp_need"), "take_tenths2"),
        ("The hay alone falls short by, lb", ("energy_short", "protein_short"), "take_tenths2"),
    ):
        sheet.put(pages.row, 0, label, "take_item")
        for col, ref in enumerate(pair, 1):
            sheet.put(pages.row, col, Formula(f'=IF({hidden},"–",{ref})'), style, unit="lb/day")
        sheet.heights[pages.row] = 24
        pages.row += 1
    pages.line(Formula(f'=IF({hidden},"",{hall.caution})'), "take_strong")
    pages.line(AFTER)


def _which_hay(pages: Pages) -> None:
    book, sheet = pages.book, pages.sheet
    numbers = book.marks["take_home_numbers"]
    n = numbers["n"]
    enough = f"SUMPRODUCT(({numbers['shown']}=1)*({numbers['fed']}=0))"
    groups = f"SUMPRODUCT(--({numbers['shown']}=1))"
    said = f'{enough}&" of "&{groups}&" groups need only hay; the others need feed with it."'
    pages.page(
        "Which hay for which cattle?",
        "verdict_withheld",
        said,
        '"As chosen on Take home. Pounds are put out, waste counted in."',
    )
    rows: list[list[Content]] = []
    for g in range(1, n + 1):
        name, shown, hay, fed = (pick(numbers[k], str(g)) for k in ("name", "shown", "hay", "fed"))
        parts = [f"{pick(numbers['out'], str(g))}", fed]
        rows.append([Formula(f"={name}"), *(Formula(f"=IF({shown}=1,{part},0)") for part in parts)])
    top = pages.data(rows, ("Cow group", "Hay", "Feed"), ("name", "lb as fed/day", "lb as fed/day"))
    title = sheet.put(top + n, DATA, "Hay and feed for each head, pounds a day", "text")
    names = sheet.span(top, DATA, top + n - 1, DATA)
    pages.picture(Picture(
        "bar", pages.row, 0, title, "lb as fed, each head each day", "",
        "Bar chart of the groups: pounds of hay (solid) and of feed (hatched) that are put out for each head each day.",
        [Series("Hay", names, sheet.span(top, DATA + 1, top + n - 1, DATA + 1), BLUE, values_shown=True, label_format="0;;"),
         Series("Feed", names, sheet.span(top, DATA + 2, top + n - 1, DATA + 2), VERMILLION, pattern="wide_upward_diagonal", values_shown=True, label_format="0.00;;")],
        width=700, height=390, x_range=(0, None), legend=True, reverse=True, every_name=True,
    ))  # fmt: skip
    pages.heads("Cattle, and their hay", "Feed a head", "$ a head a day")
    for g in range(1, n + 1):
        name, shown, hay, fed, feed, cost = (
            pick(numbers[k], str(g)) for k in ("name", "shown", "hay", "fed", "feed", "cow_day")
        )
        said = f'{name}&": "&IF({shown}=1,{hay}&IF({fed}=0,"",", "&{feed}),"no number, see Take home")'
        sheet.put(pages.row, 0, Formula(f'=IF({name}="","",{said})'), "take_line")
        sheet.put(
            pages.row,
            1,
            Formula(f'=IF({shown}=1,IF({fed}=0,"none",{fed}),"")'),
            "take_feed_small",
            unit="lb as fed/day",
        )
        sheet.put(pages.row, 2, Formula(f'=IF({shown}=1,{cost},"")'), "take_cents", unit="$/day")
        sheet.heights[pages.row] = 20
        pages.row += 1


def _pile(pages: Pages) -> None:
    sheet = pages.sheet
    known = "COUNT(hay_short,days_of_hay,winter_days)=3"
    short = '"Short: the hay is gone on "&TEXT(runs_out,"d mmm yyyy")&", "&TEXT(winter_days-days_of_hay,"0")&" days before grass."'
    reach = '"The hay reaches grass, with "&TEXT(tons_spare,"0")&" tons to spare."'
    withheld = f'IF({known},"","type the dates on Hay pile, and the herd")'
    more = 'IF(tons_short>0,"To buy: "&TEXT(tons_short,"0.0")&" tons"&IF(ISNUMBER(cost_short),", $"&TEXT(cost_short,"#,##0"),"")&", if all cattle eat hay to appetite.","If all cattle eat hay to appetite, and nothing else.")'
    pages.page("Do we run out before grass?", withheld, f"IF(hay_short>0,{short},{reach})", more)

    def cell(content: str) -> Formula:
        return Formula(f"=IF({known},{content},0)")

    rows: list[list[Content]] = []
    for word, factor in (
        ("As reckoned", "1"),
        ("More a day", "(1+pile_swing/100)"),
        ("Less a day", "(1-pile_swing/100)"),
    ):
        rows += [[word, 0, cell("hay_eaten/lb_per_ton")], [word, cell(f"days_of_hay/{factor}"), 0]]
    rows += [["Grass", cell("winter_days"), 0], ["Grass", cell("winter_days"), cell("hay_eaten/lb_per_ton")]]
    top = pages.data(rows, ("Line", "Day", "Hay left"), ("name", "days", "tons as fed"))
    title = sheet.put(top + len(rows), DATA, Formula(f'=IF({known},"The pile, day by day: "&TEXT(days_of_hay,"0")&" days of hay for "&winter_days&" days till grass","No picture while something is missing")'), "text")  # fmt: skip
    looks = ((BLUE, "solid"), (VERMILLION, "dash"), (PURPLE, "round_dot"), (GRAY, "solid"))
    series = [
        Series(sheet.ref(top + 2 * k, DATA), sheet.span(top + 2 * k, DATA + 1, top + 2 * k + 1, DATA + 1),
               sheet.span(top + 2 * k, DATA + 2, top + 2 * k + 1, DATA + 2), color, marker="none", line=line)
        for k, (color, line) in enumerate(looks)
    ]  # fmt: skip
    pages.picture(Picture(
        "scatter", pages.row, 0, title, "Days from the first day of hay feeding", "Hay left that will be eaten, tons",
        "Line chart of the hay that is left, in tons, against days of feeding: solid as reckoned, dashed for more hay a day and dotted for less, with an upright line at turnout to grass.",
        series, width=700, height=390, x_range=(0, None), y_range=(0, None), legend=True,
    ))  # fmt: skip
    pages.heads("The winter in tons", "", "Tons")
    for label, value in (
        ("Hay in the stacks", "hay_in_store/lb_per_ton"), ("Hay needed till grass", "IF(ISNUMBER(hay_needed),hay_needed/lb_per_ton,0)"),
        ("Short", "IF(ISNUMBER(tons_short),tons_short,0)"),
    ):  # fmt: skip
        sheet.put(pages.row, 0, label, "take_item")
        sheet.put(pages.row, 2, Formula(f'=IF({known},{value},"–")'), "take_tons", unit="tons as fed")
        sheet.heights[pages.row] = 24
        pages.row += 1
    pages.line(
        Formula(
            '="More or less a day in the picture: "&TEXT(pile_swing,"0")&" %. Waste at the feeder is the cheapest hay to save."'
        )
    )


def _hurt(pages: Pages) -> None:
    book, sheet = pages.book, pages.sheet
    cautions, lots = book.marks["cautions"], book.marks["lots"]
    n = lots["n"]
    danger, caution = cautions["count_dan"], cautions["count_cau"]
    dangers = f'COUNTIF({danger},">0")'
    touched = f'({dangers}+COUNTIFS({danger},0,{caution},">0"))'
    named = f'SUMPRODUCT(--({lots["counted"]}<>""))'
    said = f'IF({dangers}>0,{dangers}&" lots are at DANGER: do not feed them before your vet agrees.",{touched}&" of "&{named}&" lots have a caution.")'
    pages.page(
        "What could hurt?", '""', said, '"Nothing found is no proof: some things were not tested. Ask your vet."'
    )
    rows: list[list[Content]] = []
    col, first = DATA, pages.row + 2
    for i in range(n):
        name = pick(lots["counted"], str(i + 1))
        count = f"{a1(first + i, col + 1)}+{a1(first + i, col + 2)}"
        place = f"IF({count}=0,0,SUMPRODUCT(--({a1(first, col + 1, 'rc')}:{a1(first + i, col + 1)}+{a1(first, col + 2, 'rc')}:{a1(first + i, col + 2)}>0)))"
        rows.append([Formula(f'={name}&""'), *(Formula(f"=N({pick(k, str(i + 1))})") for k in (danger, caution)), Formula(f"={place}"), *(Formula(f"={_named(book, i + 1, part)}") for part in HALVES)])  # fmt: skip
    top = pages.data(
        rows,
        ("Hay lot", "Dangers", "Cautions", "Line below", "Named", "Named too"),
        ("name", "number", "number", "number", "words", "words"),
    )
    title = sheet.put(top + n, DATA, "Dangers and cautions of each lot", "text")
    names = sheet.span(top, DATA, top + n - 1, DATA)
    pages.picture(Picture(
        "bar", pages.row, 0, title, "number found", "",
        "Bar chart of the lots: the number of dangers (hatched) and of cautions (solid) that its tests and its stack show.",
        [Series("Dangers", names, sheet.span(top, DATA + 1, top + n - 1, DATA + 1), VERMILLION, pattern="wide_upward_diagonal"),
         Series("Cautions", names, sheet.span(top, DATA + 2, top + n - 1, DATA + 2), BLUE)],
        width=700, height=390, x_range=(0, None), x_step=1, legend=True, reverse=True, stacked=True, every_name=True,
    ))  # fmt: skip
    pages.line(AFTER, "take_strong")
    pages.heads("What was found", "", "")
    places = sheet.span(top, DATA + 3, top + n - 1, DATA + 3)
    for k in range(1, min(n, MOST_LOTS) + 1):
        at = f"MATCH({k},{places},0)"
        first_half, second_half = (f"INDEX({sheet.span(top, c, top + n - 1, c)},{at})" for c in (DATA + 4, DATA + 5))
        found = f'INDEX({names},{at})&": "&MID({first_half}&{second_half},3,200)&"."'
        pages.line(Formula(f'=IF(ISNUMBER({at}),{found},"")'), height=17)
    pages.line(Formula(f'=IF({touched}>{MOST_LOTS},"More lots have one: see Cautions.","")'), height=17)


def _named(book: Book, place: int, marks: Sequence[str]) -> str:
    """The dangers and cautions of a lot by name, a comma before each, nitrate once."""
    cautions = book.marks["cautions"]
    parts = []
    for mark in marks:
        several = [f"nitrate_calf_{scale}" for scale in "ab"] if mark == "nitrate" else [mark]
        words = "&".join(pick(cautions[m], str(place)) for m in several)
        name = SHORT_NAMES[mark]
        found = f'IF(ISNUMBER(SEARCH("Danger",{words})),", DANGER {name}",IF(ISNUMBER(SEARCH("Caution",{words})),", {name}",""))'
        parts.append(found)
    return "&".join(parts)
