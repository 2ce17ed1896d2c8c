"""Ration cautions: everything that could hurt with the chosen lot, group and supplement, on one page."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another, calling
from hayfuncs.workbook.model import Book, Formula, Input, a1
from hayfuncs.workbook.page import TOP, Line, Page, banner, given, heading, sentence, worked
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.dietlines import OnTheWay, RationHazards
from hayfuncs.workbook.sheets.dietpage import HEADS, IN_SHORT, LEVEL, NAMED, RANK, SAYS
from hayfuncs.workbook.sheets.grid import of_record
from hayfuncs.workbook.sheets.herdcare import HerdCare
from hayfuncs.workbook.sheets.levels import WORDS, flag
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.ration import Cautions as Supplement
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.sheets.shortwords import NONE

UREA_PROTEIN = 281  # % crude protein equivalent of urea with 45 % nitrogen: University of Missouri G2071
NITRATE_SAFE = 1000  # ppm NO3-N: below it safe for all cattle, Clemson University
LINES = 7  # row of the headings of the lines


def _asked(label: str, unit: str, function: str, argument: str, value: float | None, name: str) -> Line:
    return given(label, unit, of_record(function, argument), value, name=name)


class Asked(Page):
    """What is fed besides, and what the water brings: below the answer, since most of it may stay empty."""

    besides = heading("Fed besides, and what the water brings: what is left empty is not entered")
    other_grain = _asked("Other grain fed besides", "lb as fed/day", "GRAIN_CAUTION", "grain_lb", 0, "other_grain")
    urea = _asked("Urea fed, in the supplement or apart", "lb/day", "UREA_CAUTION", "urea_lb", None, "urea_fed")
    water = _asked("Water one head drinks", "gal/day", "WATER_SULFUR", "water_gal", None, "water_gal")
    sulfate = _asked("Sulfate of the water", "mg/L", "WATER_SULFUR", "sulfate_mg_l", None, "water_sulfate")
    other_nitrate = _asked("Nitrate nitrogen, rest of the diet", "ppm", "NITRATE_CAUTION", "nitrate_n_ppm", None, "other_nitrate")  # fmt: skip
    nitrate_limit = given("Nitrate nitrogen the diet may hold", "ppm",
        lambda key: Input(key, "Nitrate limit", "ppm NO3-N that the whole diet may hold, 1 to 30,000", lo=1, hi=30000), NITRATE_SAFE, "input0", name="nitrate_limit",
        why="1,000 ppm NO3-N: below it safe for all cattle on Clemson University's scale.", why_at=4)  # fmt: skip


class Answer(Page):
    """How many dangers and cautions, in all, and the gravest; a kind that there is none of is not said."""

    framed = 5
    counted = banner(
        '=IF(COUNTIF({of[levels]},"DANGER")+COUNTIF({of[levels]},"CAUTION")=0,"Clear in what was tested, ","")'
        '&IF(COUNTIF({of[levels]},"DANGER")>0,COUNTIF({of[levels]},"DANGER")&" danger"&IF(COUNTIF({of[levels]},"DANGER")=1,", ","s, "),"")&IF(COUNTIF({of[levels]},"CAUTION")>0,COUNTIF({of[levels]},"CAUTION")&" caution"&IF(COUNTIF({of[levels]},"CAUTION")=1,", ","s, "),"")'
        '&COUNTIF({of[levels]},"UNTESTED")&" not tested or entered: "&chosen_lot&" to "&chosen_group&" with "&chosen_feed&IF(COUNTIF({of[levels]},"DANGER")+COUNTIF({of[levels]},"CAUTION")>1,". The gravest:","")'
        .replace("DANGER", WORDS[3]).replace("CAUTION", WORDS[2]).replace("UNTESTED", WORDS[0]))  # fmt: skip
    gravest = banner(
        f'=IF(MAX({{of[rank]}})=0,"{NONE}",INDEX({{of[short]}},MATCH(MAX({{of[rank]}}),{{of[rank]}},0)))')  # fmt: skip
    all_named = sentence(lambda page: page.named)

    @property
    def named(self) -> Formula:
        """What is at danger or caution, by its name: all of it on the first screen, however far down its line stands."""
        lines = self.book.find(RationHazards)
        said = "&".join(a1(row, NAMED, "c") for row in lines.at.values())
        return Formula(f'=IF(MAX({self.of["rank"]})=0,"","To read below: "&MID({said},3,999))')


class Urea(Page):
    """What the lines look up: the protein of urea."""

    protein = worked("Protein equivalent of urea", "% of CP", UREA_PROTEIN, "number0", name="urea_protein", why_at=4,
        why="University of Missouri G2071: urea with 45 % nitrogen counts as 281 % crude protein.")  # fmt: skip
    content = worked("Urea in urea bought as such", "% DM", 100, "number0", name="urea_content")


def fill(book: Book) -> None:
    sheet = begin(book, "Ration cautions", "What could hurt in this ration?",
        "Lot, group and supplement are those chosen on What to feed. Each line: value, level, what it means, its limit, who decides.", "Result")  # fmt: skip
    sheet.width(38, 15, 15, 12, 60, 50, 20, 40, 13, 12, 40)
    sheet.printed_cols = SAYS + 1  # limits, sources and who decides stand at the right, on the screen
    sheet.zoom = 110
    sheet.needed_cols = SAYS + 1  # no wider than a screen
    sheet.heads(LINES, RationHazards.column, [head for head, _ in HEADS], [unit for _, unit in HEADS])
    sheet.repeat_rows = (LINES, LINES + 1)
    lines = RationHazards(sheet, LINES + 2)
    asked = Asked(sheet, lines.row_below + 1).place()
    way = OnTheWay(sheet, asked.row_below + 1)
    lines.place()
    way.place()
    levels, short, rank = (sheet.span(lines.top, col, lines.row_below - 1, col) for col in (LEVEL, IN_SHORT, RANK))
    flag(sheet, (lines.top, LEVEL, lines.row_below - 1, LEVEL))
    answer = Answer(sheet, of={"levels": levels, "short": short, "rank": rank}).place()
    book.marks["dietcautions"] = {"banner": answer.counted, "gravest": answer.gravest, "short": short}
    sheet.printed_rows = lines.row_below
    Urea(sheet, way.row_below + 1).place()
    _at_the_ration(book)


def _at_the_ration(book: Book) -> None:
    """The chosen lot's cautions beside the supplement's, and the weather, on the sheet Ration."""
    sheet = book.by_name("Ration")
    AtTheLot(sheet, book.find(Supplement).at["proof"] - 1).place()
    cold = Cold(sheet, book.find(Ration).row_below)
    mild = Mild(sheet, TOP - 1).place()
    cold.place()
    book.marks["ration"] |= {"cold_tdn": cold.more_tdn, "weather": mild.says}


def near(ref: str) -> str:
    """A cell as its own sheet names it."""
    return ref.split("!")[1]


def _chosen(key: str) -> property:
    return property(lambda page: near(getattr(page.book.find(Ration), key)))


class AtTheLot(Page):
    column = Supplement.column
    says = Line("", None, lambda page: Formula(f"={page.said}"), "caution", look="", height=110)

    @property
    def said(self) -> str:
        cautions, lot = self.book.find(Cautions), near(self.book.find(Ration).lots)
        said = f'INDEX({cautions.says},{lot})&". "&INDEX({cautions.named},{lot})'
        return f'"This hay lot: "&{said}&" In full: the sheet Ration cautions."&IF(chosen_cow_caution="",""," "&chosen_cow_caution)'


class Cold(Page):
    """What 0 deg F would add to the weather that the headline counts."""

    cold = heading("Cold")
    coat = worked("Coat; winter where none is typed", "word", '=IF({typed}="","winter",{typed})', "text")
    more = worked("More energy for maintenance at 0 deg F wind chill", "%", calling("COLD_INCREASE", "0", "{coat}"), "number0")  # fmt: skip
    mild = worked("Energy for maintenance, mild weather", "Mcal/day", "=INDEX({care.maintenance},{group})", "number2")
    nem = worked("Energy of this hay", "Mcal/lb DM", "=INDEX({lots.nem},{lot})", "number3")
    more_tdn = worked("More TDN, as this hay's", "lb/day", "={more:free}/100*{mild:free}/{nem:free}*{hay_tdn}/100", "number2")  # fmt: skip
    typed = "INDEX({care.coat},{group})"
    care, lots = another(lambda: HerdCare), another(lambda: Lots)
    group, lot, hay_tdn = _chosen("herd"), _chosen("lots"), _chosen("hay_tdn")


class Mild(Page):
    """In the third line of the sheet, right of the master check."""

    column = 2
    says = Line("", None, '="Mild weather is counted. At 0 deg F wind chill each head needs "&TEXT({cold.more_tdn:free},"0.0")&" lb more TDN: see Herd care."', "sentence", look="")  # fmt: skip
    cold = another(lambda: Cold)
