"""Ration cautions: everything that could hurt with the chosen lot, group and supplement, on one page."""

from __future__ import annotations

from hayfuncs.importers.model import AT_LEAST
from hayfuncs.workbook.model import Book, Formula, Input, Sheet, call, input_for
from hayfuncs.workbook.sheets import dietlines
from hayfuncs.workbook.sheets.cautions import FIRE, LAB, OFFICE, VET
from hayfuncs.workbook.sheets.common import begin, input_row, list_row
from hayfuncs.workbook.sheets.dietpage import HEADS, LINES, Page
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, NOT_TESTED
from hayfuncs.workbook.sheets.levels import WORDS, flag

UREA_PROTEIN = 281  # % crude protein equivalent of urea with 45 % nitrogen: University of Missouri G2071
NITRATE_SAFE = 1000  # ppm NO3-N: below it safe for all cattle, Clemson University
UNMEASURED = '"not measured"'


def fill(book: Book) -> None:
    sheet = begin(
        book, "Ration cautions", "What could hurt in this ration?",
        "Lot, group and supplement are those chosen on Ration. Each line: value, level, what it means, its limit, who decides.", "Result",
    )  # fmt: skip
    sheet.width(38, 15, 15, 12, 60, 50, 20, 40, 13, 12)
    sheet.printed_cols = 7
    sheet.zoom = 140
    _inputs(book, sheet)
    sheet.heads(LINES, 0, [head for head, _ in HEADS], [unit for _, unit in HEADS])
    page = Page(book, sheet)
    _lot(page)
    dietlines.fill(page)
    _group(page)
    _banner(page)
    _below(page)
    _at_the_ration(book)


def _inputs(book: Book, sheet: Sheet) -> None:
    rows = (
        ("Other grain fed besides", "other_grain", "other_grain", 0, ("GRAIN_CAUTION", "grain_lb"), "lb as fed/day"),
        ("Urea fed, in the supplement or apart", "urea_fed", "urea", None, ("UREA_CAUTION", "urea_lb"), "lb/day"),
        ("Water a cow drinks", "water_gal", "water", None, ("WATER_SULFUR", "water_gal"), "gal/day"),
        ("Sulfate of the water", "water_sulfate", "sulfate", None, ("WATER_SULFUR", "sulfate_mg_l"), "mg/L"),
        ("Nitrate nitrogen, rest of the diet", "other_nitrate", "other_nitrate", None, ("NITRATE_CAUTION", "nitrate_n_ppm"), "ppm"),
    )  # fmt: skip
    for row, (label, name, key, value, (function, argument), unit) in enumerate(rows, 6):
        entry: Input = input_for(f"Ration cautions/{key}", function, argument, False)
        book.define(name, input_row(sheet, row, label, value, entry, unit, "input"))
    says = "ppm NO3-N that the whole diet may hold, 1 to 30,000"
    limit = Input("Ration cautions/nitrate_limit", "Nitrate limit", says, lo=1, hi=30000)
    at = input_row(sheet, 11, "Nitrate nitrogen the diet may hold", NITRATE_SAFE, limit, "ppm", "input0")
    book.define("nitrate_limit", at)
    sheet.put(11, 4, "1,000 ppm NO3-N: below it safe for all cattle on Clemson University's scale.", "small")


def _lot(page: Page) -> None:
    marks = page.book.marks
    hazards, lots, lot = marks["hazards"], marks["lots"], marks["ration"]["lots"]

    def of(mark: str, table: dict[str, str] = hazards) -> str:
        return f"INDEX({table[mark]},{lot})"

    def typed(ref: str, otherwise: str = NOT_TESTED) -> Formula:
        return Formula(f'=IF({ref}="",{otherwise},{ref})')

    page.part = "Lot"
    # a group that is not said to be open counts as in calf, for which the scales are stricter
    calf = f'INDEX({marks["care"]["pregnant"]},{marks["ration"]["herd"]})&""'
    shown = Formula(f"={of('nitrate')}")
    whose_scale = (
        ("a", "Clemson scale", "In calf: caution from 1,000 ppm, danger from 2,000; others: 1,500 and 3,500"),
        ("b", "midwest laboratory's scale", "Limits from 700 ppm; high from 2,100"),
    )
    for scale, name, limit in whose_scale:
        told = Formula(f'=IF({calf}="0",{of(f"nitrate_open_{scale}")},{of(f"nitrate_calf_{scale}")})')
        what = f"nitrate nitrogen, {name}, for this group"
        nitrate = page.line(what, shown, "ppm", told, limit, "NITRATE_CAUTION", f"{VET}; {OFFICE}", "number0")
    # a test that says only "at least" gives no share
    none = f'OR(COUNT({nitrate},other_nitrate)<2,N(other_nitrate)>nitrate_limit,{of("nitrate_limit")}="{AT_LEAST}")'
    share = call("DIET_SHARE_LIMIT", nitrate, "other_nitrate", "nitrate_limit", unless=(none, NOT_ENTERED))
    says = "Share at which the whole diet reaches the limit typed above."
    page.line("most of this hay in the diet, by nitrate", share, "% DM", says, "Typed above", "DIET_SHARE_LIMIT")
    lines = (
        ("tetany ratio K/(Ca+Mg)", "tetany_ratio", "ratio", "tetany", "Above 2.2; magnesium below 0.20 %", "TETANY_CAUTION", VET),
        ("calcium to phosphorus", "cap_ratio", "ratio", "cap", "1.5 to 7; below 1 danger", "CALCIUM_PHOSPHORUS_CAUTION", VET),
        ("protein bound by heat", "bound", "% of CP", "heat", "Above 10 %, strongly above 12 %", "HEAT_DAMAGE_NOTE", LAB),
    )  # fmt: skip
    for what, value, unit, text, limit, function, who in lines:
        page.line(what, Formula(f"={of(value)}"), unit, Formula(f"={of(text)}"), limit, function, who)
    says = "Balance a heated lot with this in place of crude protein."
    page.line(
        "protein left after heat",
        Formula(f"={of('available')}"),
        "% DM",
        says,
        "CP less ADICP",
        "AVAILABLE_PROTEIN",
        LAB,
    )
    limit = "200 and 600 ppm, held to both bases"
    page.line(
        "Prussic acid of the wet sample",
        Formula(f"={of('hcn_wet')}"),
        "ppm",
        Formula(f"={of('prussic')}"),
        limit,
        "PRUSSIC_ACID_CAUTION",
        f"{VET}; {OFFICE}",
        "number0",
    )
    limit = "120 and 150 deg F; 160 call the fire service"
    page.line(
        "Hottest place in the stack",
        typed(of("temp"), UNMEASURED),
        "deg F",
        Formula(f"={of('stack')}"),
        limit,
        "STACK_HEAT_CAUTION",
        FIRE,
        "number0",
    )
    limit = "Small square 20, round 18, large square 16 %"
    page.line(
        "Moisture at baling",
        typed(of("moisture"), UNMEASURED),
        "% as fed",
        Formula(f"={of('baling')}"),
        limit,
        "BALING_MOISTURE_CAUTION",
        FIRE,
        "number1",
    )
    says = "Read the index as a class; hay inside one class is the same hay."
    for end in ("low", "high"):
        value_of = call("CLASS_LIMIT", of("rfv", lots), '"RFV"', f'"{end}"')
        page.line(
            f"relative feed value, {end} end of its class",
            value_of,
            "index",
            says,
            "5 points either way",
            "CLASS_LIMIT",
            LAB,
            "number0",
        )
    page.line(
        "the lab sheet", "see Hazards", "", Formula(f"={of('lab')}"), "Usual ranges and sums", "LAB_NOTES", LAB, "text"
    )


def _group(page: Page) -> None:
    care, group = page.book.marks["care"], page.book.marks["ration"]["herd"]

    def of(mark: str) -> Formula:
        return Formula(f"=INDEX({care[mark]},{group})")

    page.part = "Group"
    limit = "Below the coat's limit; above 100 % danger"
    page.line("more energy for the cold", of("increase"), "%", of("cold"), limit, "COLD_INCREASE", style="number0")
    page.line("less eaten in mud", of("cut"), "%", of("mud_says"), "4 and 12 inches", "MUD_CAUTION", style="number0")


def _banner(page: Page) -> None:
    sheet = page.sheet
    area = (LINES + 2, 3, page.row - 1, 3)
    flag(sheet, area)
    span = sheet.span(*area)
    danger, caution, none = (f'COUNTIF({span},"{WORDS[i]}")' for i in (3, 2, 0))
    says = f'"danger "&{danger}&", caution "&{caution}&", not tested or entered "&{none}'
    sheet.put(4, 0, Formula(f'=chosen_lot&" to "&chosen_group&" with "&chosen_feed&": "&{says}'), "banner")
    for col in range(1, 5):
        sheet.put(4, col, None, "banner_rest")
    sheet.heights[4] = 26
    sheet.repeat_rows = (LINES, LINES + 1)
    page.book.marks["dietcautions"] = {
        "banner": sheet.ref(4, 0), "levels": span, **{k: sheet.span(LINES + 2, c, page.row - 1, c) for k, c in (("short", 7), ("rank", 9))},
    }  # fmt: skip


def _below(page: Page) -> None:
    """What the lines look up: the protein of urea."""
    sheet, row = page.sheet, page.row + 1
    at = list_row(sheet, row, "Protein equivalent of urea", UREA_PROTEIN, "% of CP", "number0")
    page.book.define("urea_protein", at)
    at = list_row(sheet, row + 1, "Urea in urea bought as such", 100, "% DM", "number0")
    page.book.define("urea_content", at)
    sheet.put(row, 4, "University of Missouri G2071: urea with 45 % nitrogen counts as 281 % crude protein.", "small")


def _at_the_ration(book: Book) -> None:
    """The chosen lot's cautions beside the supplement's, on the sheet Ration."""
    sheet = book.by_name("Ration")
    cautions, lot = book.marks["cautions"], book.marks["ration"]["lots"].split("!")[1]
    said = f'INDEX({cautions["says"]},{lot})&". "&INDEX({cautions["named"]},{lot})'
    sheet.put(
        37,
        5,
        Formula(
            f'="This hay lot: "&{said}&" In full: the sheet Ration cautions."&IF(chosen_cow_caution="",""," "&chosen_cow_caution)'
        ),
        "caution",
    )
    sheet.heights[37] = 110
    _weather(book, sheet)


def _weather(book: Book, sheet: Sheet) -> None:
    """What weather the headline counts, and what 0 deg F would add to it."""
    marks, care = book.marks["ration"], book.marks["care"]
    group, lot = (marks[k].split("!")[1] for k in ("herd", "lots"))
    row = 69
    sheet.put(row - 1, 0, "Cold", "section")
    coat = f"INDEX({care['coat']},{group})"
    list_row(
        sheet,
        row,
        "Coat; winter where Herd care does not say",
        Formula(f'=IF({coat}="","winter",{coat})'),
        "word",
        "text",
    )
    list_row(
        sheet,
        row + 1,
        "More energy for maintenance at 0 deg F wind chill",
        call("COLD_INCREASE", "0", f"$B${row + 1}"),
        "%",
        "number0",
    )
    mild = Formula(f"=INDEX({care['maintenance']},{group})")
    list_row(sheet, row + 2, "Energy for maintenance, mild weather", mild, "Mcal/day", "number2")
    nem = Formula(f"=INDEX({book.marks['lots']['nem']},{lot})")
    list_row(sheet, row + 3, "Energy of this hay", nem, "Mcal/lb DM", "number3")
    more = Formula(f"=B{row + 2}/100*B{row + 3}/B{row + 4}*$B$12/100")
    marks["cold_tdn"] = list_row(sheet, row + 4, "More TDN, as this hay's", more, "lb/day", "number2")
    says = f'="Mild weather is counted. At 0 deg F wind chill each cow needs "&TEXT(B{row + 5},"0.0")&" lb more TDN: see Herd care."'
    marks["weather"] = sheet.put(3, 2, Formula(says), "sentence")
