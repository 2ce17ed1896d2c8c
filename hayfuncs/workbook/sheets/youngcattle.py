"""Young cattle: what they gain on a hay alone and with so many pounds of a feed, a sentence each, and what could hurt them."""

from __future__ import annotations

from typing import Any

from hayfuncs.workbook.keyed import another, calling, filled
from hayfuncs.workbook.model import Book, Formula, a1
from hayfuncs.workbook.page import Line, Page, banner, heading, sentence, worked
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.dietlines import TOO_MUCH_UREA
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.levels import WORDS, flag
from hayfuncs.workbook.sheets.shortwords import SHORT, UNBOOKED
from hayfuncs.workbook.sheets.youngcows import ROWS, YoungCows, YoungHerd, said
from hayfuncs.workbook.sheets.younggain import DIETS, STILL, STOPPED, Asked, Found, Gains, Ranges

NAME = "Young cattle"
FRAMED = 13  # columns of a banner, and of the page
_, CLEAR, CAUTION, DANGER = WORDS
LINE = 120  # letters of a caution in full that stand in one line, and those that may follow to the next blank
MORE = 20
WORKS = 20  # column of the texts that only the lines read, right of the tables
MUCH = 0.7  # % of body weight of TDN from feed: above it the sum of hay and feed is too high (J. Anim. Sci. 1999)
NO_MORE = 0.005  # lb a day of protein: less is not shown
NO_PROOF = "nothing was found in what was tested, which is no proof of safety."
LAST_WORD = "The veterinarian has the last word."


def _end(before: str) -> Line:
    """The letter at which a line of the caution in full ends: a blank."""
    found = f'IF(LEN({{whole}})-{before}<={LINE + MORE},LEN({{whole}}),FIND(" ",{{whole}}&" ",{before}+{LINE}))'
    return worked("A line ends at letter", "letters", f"={found}", "number0")


class Texts(Page):
    """The cautions of the functions in full, and where the lines at the left break them."""

    column = WORKS
    grain_lb = worked("Starchy grain fed", "lb as fed/day", '=IF({asked.stop}<>"",0,{typed.pounds}*INDEX({feeds.is_grain},{asked.feed_place}))', "number2")  # fmt: skip
    urea_lb = worked("Urea fed", "lb/day",
        '=IF({asked.stop}<>"",0,INDEX({feeds.is_urea},{asked.feed_place})*{fed}*MIN(urea_content/100,N({asked.feed_cp})/urea_protein))', "number3")  # fmt: skip
    grain = worked("Of the grain", None, calling("GRAIN_CAUTION", "{grain_lb}", "{typed.weight}", unless=STOPPED), "text_in")  # fmt: skip
    urea = worked("Of the urea", None,
        calling("UREA_CAUTION", "{urea_lb}", "{typed.weight}", "{eaten}", "{cp}",
                unless=('IF({asked.stop}<>"",TRUE,urea_protein*{urea_lb}>100*{cp})', f'IF({STOPPED[0]},"",{TOO_MUCH_UREA})')), "text_in")  # fmt: skip
    listed = worked("Is the feed in the feed book? 1 yes, 0 no", "yes/no",
        '=IF({asked.stop}<>"",0,SUMPRODUCT(--({table[feeding_limits.feed]}=INDEX({feeds.booked},{asked.feed_place}))))', "number0")  # fmt: skip
    feed = worked("Of the feed", None,
        calling("FEED_CAUTION", "INDEX({feeds.booked},{asked.feed_place})", "{typed.pounds}", "{typed.weight}",
                unless=("{listed}=0", f'IF(OR({STOPPED[0]},N({{typed.pounds}})=0),"","{UNBOOKED}")')), "text_in")  # fmt: skip
    whole = worked("All that is no clear", None,
        '=TRIM(IF(MID({grain},1,5)="Clear","",{grain})&" "&IF(MID({urea},1,5)="Clear","",{urea})&" "&{feed})', "text_in")  # fmt: skip
    end_1, end_2, end_3 = _end("0"), _end("{end_1}"), _end("{end_2}")
    end_4, end_5, end_6 = _end("{end_3}"), _end("{end_4}"), _end("{end_5}")
    typed, asked, feeds = another(lambda: Asked), another(lambda: Found), another(lambda: Feeds)

    def with_feed(self, column: Any) -> str:
        """A value of the row with the feed."""
        return self.book.find(Gains).some(column, len(DIETS))

    @property
    def fed(self) -> str:
        return self.with_feed(Gains.feed_lb)

    @property
    def eaten(self) -> str:
        return self.with_feed(Gains.eaten)

    @property
    def cp(self) -> str:
        return self.book.find(Ranges).some(Ranges.cp_given, len(DIETS))


class Told(Line):
    """One thing that could hurt: its level, how grave that is, and its short words."""

    def __init__(self, what: str, level: str, words: str) -> None:
        super().__init__(what, None, f"={level}", "verdict")
        self.words = words

    def beside(self, page: Any, row: int) -> None:
        level = a1(row, page.column + 1, "c")
        page.sheet.put(row, page.column + 2, Formula(f'=2*({level}="{DANGER}")+({level}="{CAUTION}")'), "number0")
        page.sheet.put(row, page.column + 3, Formula(f"={filled(self.words, page)}"), "text_in")


def _of_text(text: str, function: str, what: str) -> Told:
    """By the first word of a function's caution; its words are those of the hall."""
    short = SHORT[function]
    level = f'IF(MID({text},1,2)="Da","{DANGER}",IF(MID({text},1,2)="Ca","{CAUTION}","{CLEAR}"))'
    return Told(what, level, f'IF(MID({text},1,2)="Da",{short.danger},IF(MID({text},1,2)="Ca",{short.caution},""))')


def _lot(column: str) -> str:
    return f"INDEX({{cautions.{column}}},{{asked.lot_place}})"


def _line(first: str, last: str) -> Line:
    return sentence(f"=TRIM(MID({{texts.whole}},1+{first},{last}-{first}))", "text")


class Hurts(Page):
    """What could hurt these cattle, the gravest first among the answers; below it the cautions in full."""

    hurts = heading("What could hurt them")
    lot = Told("This hay, by its tests",
        f'IF({{asked.stop}}<>"","{CLEAR}",IF({_lot("count_dan")}>0,"{DANGER}",IF({_lot("count_cau")}+{_lot("count_loo")}+{_lot("count_err")}>0,"{CAUTION}","{CLEAR}")))',
        f'IF({{asked.stop}}<>"","",IF({_lot("count_dan")}>0,"this hay: "&{_lot("dangers")}&" Do not feed it before your vet says so.","this hay: "&SUBSTITUTE({_lot("named")},": {CAUTION}.",".")))')  # fmt: skip
    grain = _of_text("{texts.grain}", "GRAIN_CAUTION", "Starchy grain")
    urea = _of_text("{texts.urea}", "UREA_CAUTION", "Urea")
    much = Told("Feed against hay", f'IF(N({{feed_tdn}})>{MUCH},"{CAUTION}","{CLEAR}")',
        f'IF(N({{feed_tdn}})>{MUCH},"with so much feed beside hay, calves in three trials gained 0.4 to 0.7 lb a day less than this says.","")')  # fmt: skip
    protein = Told("Protein for the gain", f'IF(N({{cp_short}})>={NO_MORE},"{CAUTION}","{CLEAR}")',
        f'IF(N({{cp_short}})>={NO_MORE},"protein is short by "&TEXT({{cp_short}},"0.00")&" lb a day, with the feed counted: they gain less than this says.","")')  # fmt: skip
    upkeep = Told("Hay alone", f'IF(AND({{asked.stop}}="",N({{alone}})<{STILL}),"{CAUTION}","{CLEAR}")',
        f'IF(AND({{asked.stop}}="",N({{alone}})<{STILL}),"on this hay alone they stand still or lose weight.","")')  # fmt: skip
    feed = Told("This feed", f'IF({{texts.feed}}="","{CLEAR}","{CAUTION}")',
        f'IF({{texts.feed}}="","",IF({{texts.listed}}=0,"{UNBOOKED}",INDEX({{marks[feedbook][words]}},{{booked_place}})&""))')  # fmt: skip
    gravest = worked("The gravest", None,
        f'=IF({{asked.stop}}<>"","",IF(MAX({{ranks}})=0,"{NO_PROOF}",INDEX({{levels}},{{first}})&": "&INDEX({{words}},{{first}})))', "text_in")  # fmt: skip
    full = heading("The cautions of the feed in full", after=1)
    line_1, line_2, line_3 = _line("0", "{texts.end_1}"), _line("{texts.end_1}", "{texts.end_2}"), _line("{texts.end_2}", "{texts.end_3}")  # fmt: skip
    line_4, line_5, line_6 = _line("{texts.end_3}", "{texts.end_4}"), _line("{texts.end_4}", "{texts.end_5}"), _line("{texts.end_5}", "{texts.end_6}")  # fmt: skip
    not_counted = sentence("Counted: energy and protein. Not counted: cold, mud, sickness, an implant, an ionophore, and the calf that a bred heifer carries (see below).")  # fmt: skip
    last_word = sentence(LAST_WORD)
    first = "MATCH(MAX({ranks}),{ranks},0)"
    booked_place = "MATCH(INDEX({feeds.booked},{asked.feed_place}),{table[supplements.feed]},0)"
    texts, asked, feeds = another(lambda: Texts), another(lambda: Found), another(lambda: Feeds)
    cautions = another(lambda: Cautions)

    def _beside(self, col: int) -> str:
        rows = [self.at[line.key] for line in self.of_class if isinstance(line, Told)]
        return f"{a1(rows[0], col, 'rc')}:{a1(rows[-1], col, 'rc')}"

    @property
    def levels(self) -> str:
        return self._beside(1)

    @property
    def ranks(self) -> str:
        return self._beside(2)

    @property
    def words(self) -> str:
        return self._beside(3)

    @property
    def feed_tdn(self) -> str:
        return self.book.find(Ranges).some(Ranges.feed_tdn_pct, len(DIETS))

    @property
    def cp_short(self) -> str:
        return self.book.find(Ranges).some(Ranges.cp_short, len(DIETS))

    @property
    def alone(self) -> str:
        return self.book.find(Gains).some(Gains.gain, 1)


def _gains(page: Answer, number: int) -> str:
    """What one row of the workings says: the gain, its range, and when they weigh what they are to."""
    gains, ranges = page.book.find(Gains), page.book.find(Ranges)
    gain, days = gains.some(Gains.gain, number), gains.some(Gains.days, number)
    short = ranges.some(Ranges.cp_short, number)
    low, high = ranges.some(Ranges.gain_low, number), ranges.some(Ranges.gain_high, number)
    between = f'" ("&TEXT({low},"0.0")&" to "&TEXT({high},"0.0")&")"'
    when = f'IF(ISNUMBER({days}),IF({days}=0,"."," and weighs "&TEXT({page.typed.target},"#,##0")&" lb in "&TEXT({days},"#,##0")&" days."),".")'
    protein = f'IF({short}>={NO_MORE}," Protein is short by "&TEXT({short},"0.00")&" lb.","")'
    return f'IF({gain}<{STILL},"makes no gain"&{between}&".","gains "&TEXT({gain},"0.0")&" lb a day"&{between}&{when})&{protein}'


class Answer(Page):
    """The answers, a sentence each."""

    framed = FRAMED
    alone = banner(
        '=IF({asked.stop}<>"","✗ "&{asked.stop},{typed.lot}&" alone: the "&TEXT({typed.weight},"#,##0")&"-lb "&{typed.kind}&" "&{on_hay})')  # fmt: skip
    fed = banner(
        '=IF({asked.stop}<>"","",IF({typed.pounds}=0,"No feed is counted: type its pounds below.","With "&TEXT({typed.pounds},"0.0#")&" lb of "&{typed.feed}&": it "&{on_both}))')  # fmt: skip
    gravest = banner("={hurts.gravest}")
    typed, asked, hurts = another(lambda: Asked), another(lambda: Found), another(lambda: Hurts)

    @property
    def on_hay(self) -> str:
        return _gains(self, 1)

    @property
    def on_both(self) -> str:
        return _gains(self, len(DIETS))


class OfCows(Page):
    """The answer for those that still grow and have a calf."""

    framed = FRAMED
    answer = banner(lambda page: Formula(f"={said(page.book.find(YoungCows))}"))


def fill(book: Book, lot: str, feed: str) -> None:
    sheet = begin(book, NAME, "What will the heifers, calves and bulls gain on this hay?",
        "Choose a hay, the cattle and a feed. Below: what bred heifers, first- and second-calf cows need of the same hay. The figures typed are invented.", "Inputs, then results")  # fmt: skip
    sheet.zoom = 120
    sheet.widths[WORKS] = 44  # a label that wraps there would make the rows at the left tall
    answer = Answer(sheet)
    asked = Asked(sheet, answer.row_below + 1, of=(lot, feed))
    hurts = Hurts(sheet, asked.row_below + 1)
    herd = YoungHerd(sheet, hurts.row_below + 1)
    of_cows = OfCows(sheet, herd.row_below)
    cows = YoungCows(sheet, ROWS, heads_at=of_cows.row_below + 1)
    found = Found(sheet, cows.row_below + 2, of=asked)
    gains = Gains(sheet, DIETS, heads_at=found.row_below + 2)
    ranges = Ranges(sheet, DIETS, heads_at=gains.row_below + 2)
    texts = Texts(sheet, answer.top)
    for page in (answer, asked, hurts, herd, of_cows, found, texts):
        page.place()
    cows.place()
    gains.place(title="How the gain is worked out")
    ranges.place(title="The protein that it takes, and how far it may be off")
    flag(sheet, (hurts.top, 1, hurts.row_below - 1, 1))
    sheet.printed_cols = FRAMED
    book.marks["youngcattle"] = {
        "alone": answer.alone, "fed": answer.fed, "gravest": answer.gravest, "cows": of_cows.answer, "stop": found.stop,
        **{key: getattr(asked, key) for key in ("lot", "kind", "weight", "grown", "target", "feed", "pounds")},
    }  # fmt: skip
    for table in (gains, ranges, cows):
        table.filed(type(table).__name__.lower())
