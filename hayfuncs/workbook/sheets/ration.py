"""Ration: one lot, one group, one supplement - the gap and what closes it, on one screen."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Picture, Series, Sheet, call
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin, list_row
from hayfuncs.workbook.styles import BLUE, VERMILLION

# the numbers the workbook is for, by name, so that a reader or an audit finds them
HEADLINES = {
    "supplement_by_pounds": "rate_pounds", "supplement_by_share": "rate_share", "cost_per_cow_day": "cost",
    "energy_short": "tdn_short", "protein_short": "cp_short",
}  # fmt: skip
# the chosen case, by name, for the sheets that go on from it
CHOSEN = {
    "chosen_weight": "weight", "chosen_hay_eaten": "hay", "chosen_hay_tdn": "hay_tdn", "chosen_hay_cp": "hay_cp",
    "chosen_tdn_need": "tdn_need", "chosen_cp_need": "cp_need",
}  # fmt: skip


WITHHELD = "$B$64"  # why no answer may be shown; empty where all that it rests on holds
NO_ANSWER = "✗ No answer while a check fails:"


def fill(book: Book) -> None:
    sheet = begin(
        book, "Ration", "The gap and what closes it",
        "The working of the answer: lot, group, supplement and dials are chosen on What to feed; everything below follows.", "Result",
    )  # fmt: skip
    sheet.width(36, 22, 16, 13, 2, 60)
    sheet.zoom = 190
    _chosen(sheet)
    book.marks["ration"] = {}
    _places(book, sheet)
    _gap(book, sheet)
    _rates(book, sheet)
    _cautions(book, sheet)
    _picture(book, sheet)
    _withheld(book, sheet)


def _chosen(sheet: Sheet) -> None:
    for row, (label, name) in enumerate(
        (("Hay lot", "chosen_lot"), ("Cow group", "chosen_group"), ("Supplement", "chosen_feed")), 4
    ):
        sheet.put(row, 0, label, "label")
        sheet.put(row, 1, Formula(f"={name}"), "result_text")


def or_dial(name: str, own: str) -> Formula:
    """What is typed in a dial of What to feed, else the value of its own."""
    return Formula(f"=IF(COUNT({name})=0,{own},{name})")


def _places(book: Book, sheet: Sheet) -> None:
    """Where the three choices stand in their tables, below the screen."""
    row = 38
    sheet.put(row, 0, "Where the choices stand", "section")
    for i, (label, name, table) in enumerate(
        (
            ("Row of Lots", "chosen_lot", "lots"),
            ("Row of Herd", "chosen_group", "herd"),
            ("Row of Feeds", "chosen_feed", "feeds"),
        ),
        1,
    ):
        ref = list_row(
            sheet,
            row + i,
            label,
            Formula(f"=MATCH({name},{book.marks[table]['name']},0)"),
            f"row of {table.title()}",
            "number0",
        )
        book.marks["ration"][table] = ref
    looked_up = (
        ("Body weight", "weight", "herd", "weight", "lb", "number0"),
        ("Head in the group", "head", "herd", "head", "head", "number0"),
        ("Supplement, dry matter", "feed_dm", "feeds", "dm_pct", "% as fed", "number2"),
        ("Supplement, TDN", "feed_tdn", "feeds", "tdn_pct", "% DM", "number2"),
        ("Supplement, crude protein", "feed_cp", "feeds", "cp_pct", "% DM", "number2"),
        ("Supplement, price", "price", "feeds", "price", "$/ton as fed", "money"),
    )
    for i, (label, mark, table, column, unit, style) in enumerate(looked_up, row + 4):
        own = f"INDEX({book.marks[table][column]},{book.marks['ration'][table].split('!')[1]})"
        content = or_dial("dial_price", own) if mark == "price" else Formula(f"={own}")
        book.marks["ration"][mark] = list_row(sheet, i, label, content, unit, style)


def _gap(book: Book, sheet: Sheet) -> None:
    marks = book.marks["ration"]
    lots, herd, match = book.marks["lots"], book.marks["herd"], book.marks["match"]
    lot, group = (marks[k].split("!")[1] for k in ("lots", "herd"))
    sheet.put(9, 0, "What the hay does alone, per cow per day", "section")
    sheet.heads(10, 0, ["", "Energy (TDN)", "Protein (CP)", "Unit"])
    rows: tuple[tuple[int, str, str, str, tuple[Content, Content]], ...] = (
        (11, "Hay test", "result1", "% DM", (or_dial("dial_energy", f"INDEX({lots['tdn']},{lot})"), or_dial("dial_protein", f"INDEX({lots['cp']},{lot})"))),
        (12, "Hay gives", "number2", "lb/day", (Formula("=B22*B12/100"), Formula("=B22*C12/100"))),
        (13, "Cow needs", "number2", "lb/day", (Formula(f"=INDEX({herd['need_tdn']},{group})"), Formula(f"=INDEX({herd['need_cp']},{group})"))),
        (14, "Short", "result2", "lb/day", (call("NUTRIENT_SHORT", "B14", "B22", "B12"), call("NUTRIENT_SHORT", "C14", "B22", "C12"))),
        (15, "Hay covers", "number0", "%", (Formula("=100*B13/B14"), Formula("=100*C13/C14"))),
        (16, "Supplement adds (by pounds)", "number0", "%", (Formula("=100*B29*$B$46/100/B14"), Formula("=100*B29*$B$47/100/C14"))),
        (17, "Need in the diet", "number1", "% DM", (Formula(f"=INDEX({herd['density_tdn']},{group})"), Formula(f"=INDEX({herd['density_cp']},{group})"))),
        (18, "Diet with supplement (by share)", "number1", "% DM", (Formula("=(B13+C29*$B$46/100)/($B$22+C29)*100"), Formula("=(C13+C29*$B$47/100)/($B$22+C29)*100"))),
    )  # fmt: skip
    for row, label, style, unit, pair in rows:
        sheet.put(row, 0, label, "label")
        for col, content in enumerate(pair, 1):
            sheet.put(row, col, content, style, unit=unit)
        sheet.put(row, 3, unit, "unit_cell")
    low = 'IF(chosen_cow_caution="","",", too low for these cows")'
    sheet.put(13, 0, Formula(f'="Cow needs"&{low}'), "label")
    sheet.put(19, 0, "Hay this cow eats", "section")
    sheet.put(20, 0, "TDN of the hay is taken from", "label")
    sheet.put(20, 1, Formula(f"=INDEX({lots['tdn_by']},{lot})"), "text")
    row_of_match = f"({lot}-1)*group_count+{group}"
    list_row(
        sheet,
        21,
        "Hay eaten, dry matter",
        or_dial("dial_eats", f"INDEX({match['hay']},{row_of_match})"),
        "lb DM/day",
        "result1",
    )
    note, others = (f"INDEX({match[k]},{row_of_match})" for k in ("note", "others"))
    same = f'"By the other ways to TDN the same word: "&INDEX({lots["tdn_others"]},{lot})'
    other = f'IF({others}="",IF(INDEX({lots["tdn_others"]},{lot})="","",{same}),"But "&{others})'
    sheet.put(22, 0, Formula(f'=TRIM({note}&" "&{other})'), "text")
    marks |= {
        "hay": sheet.ref(21, 1), "hay_tdn": sheet.ref(11, 1), "hay_cp": sheet.ref(11, 2), "tdn_need": sheet.ref(13, 1),
        "cp_need": sheet.ref(13, 2), "tdn_short": sheet.ref(14, 1), "cp_short": sheet.ref(14, 2),
        "tdn_density": sheet.ref(17, 1), "cp_density": sheet.ref(17, 2),
    }  # fmt: skip


def _rates(book: Book, sheet: Sheet) -> None:
    """Both ways of counting side by side; rows 24 to 37 of the sheet."""
    marks = book.marks["ration"]
    sheet.put(23, 0, "Supplement that covers both", "section")
    sheet.heads(24, 0, ["", "Counted in pounds", "Share of the diet", "Unit"])
    hay = ("$B$22", "$B$12", "$C$12")
    feed = ("$B$46", "$B$47", "$B$45", "hay_displaced")
    pounds = ('"pounds"', "$B$14", "$C$14", *hay, *feed)
    share = ('"share"', "$B$18", "$C$18", *hay, *feed)
    sheet.put(25, 0, "Supplement, as fed", "label")
    sheet.put(26, 0, "Driven by", "label")
    for col, args in ((1, pounds), (2, share)):
        sheet.put(25, col, call("SUPPLEMENT_RATE", *args), "result2", unit="lb as fed/day")
        sheet.put(26, col, call("SUPPLEMENT_DRIVER", *args), "result_text")
    sheet.put(25, 3, "lb as fed/day", "unit_cell")
    sheet.put(26, 3, "word", "unit_cell")
    lines = (
        (27, "For the whole group", "={c}26*$B$44", "number0", "lb as fed/day"),
        (28, "Supplement, dry matter", "={c}26*$B$45/100", "number2", "lb DM/day"),
        (29, "Cost per cow", "={c}26*$B$48/lb_per_ton", "money", "$/day"),
        (30, "Cost for the group", "={c}30*$B$44", "money", "$/day"),
        (31, "Hay eaten beside it, dry matter", "=$B$22{left}", "number2", "lb DM/day"),
        (32, "TDN with supplement", "={c}32*$B$12/100+{c}29*$B$46/100", "number2", "lb/day"),
        (33, "CP with supplement", "={c}32*$C$12/100+{c}29*$B$47/100", "number2", "lb/day"),
    )
    for row, label, formula, style, unit in lines:
        sheet.put(row, 0, label, "label")
        # by share the hay is eaten to appetite; by pounds a pound of supplement may leave some hay uneaten
        for col, letter, left in ((1, "B", "-hay_displaced*B29"), (2, "C", "")):
            sheet.put(row, col, Formula(formula.format(c=letter, left=left)), style, unit=unit)
        sheet.put(row, 3, unit, "unit_cell")
    needed = f"INDEX({book.marks['herd']['need_dm']},{marks['herd'].split('!')[1]})"
    eaten = '="By share she eats "&TEXT($B$22+C29,"0.0")&" lb of dry matter; the need in percent was reckoned on "'
    sheet.put(34, 0, Formula(f'{eaten}&TEXT({needed},"0.0")&" lb."'), "text")
    more = "Share asks for more than pounds do: she eats more than the percentage was reckoned on."
    poor = "#NUM! above: no amount of this feed brings the diet there. Choose a richer one."
    covers = '"Share asks for no more than pounds do, and what it gives covers her as well."'
    sheet.put(
        35,
        0,
        Formula(
            f'=IF(COUNT(B26:C26)<2,"{poor}",IF(C26>B26,"{more}",IF({_left_short()}="",{covers},"By share she is left short: "&{_left_short()}&".")))'
        ),
        "text",
    )
    marks |= {
        "rate_pounds": sheet.ref(25, 1), "rate_share": sheet.ref(25, 2), "driver_pounds": sheet.ref(26, 1),
        "driver_share": sheet.ref(26, 2), "hay_beside": sheet.ref(31, 1), "herd_day": sheet.ref(27, 1), "cost": sheet.ref(29, 1),
    }  # fmt: skip
    for name, mark in (HEADLINES | CHOSEN).items():
        book.define(name, marks[mark])
    covers = 'IF(chosen_cow_caution="","covers her needs by itself.","meets a grown cow; these cows need more.")'
    nothing = f"IF(AND(B15=0,C15=0),{covers},"
    # a nutrient that the hay covers is not named
    short = (
        'IF(C15=0,TEXT(B15,"0.0#")&" lb TDN",IF(B15=0,TEXT(C15,"0.00")&" lb CP",'
        'TEXT(B15,"0.0#")&" lb TDN and "&TEXT(C15,"0.00")&" lb CP"))'
    )
    banner = Formula(
        f'=IF({WITHHELD}<>"","{NO_ANSWER}","This hay "&{nothing}"leaves her short of "&{short}&" a day."))'
    )
    sheet.put(7, 0, banner, "banner")
    second = Formula(
        f'=IF({WITHHELD}<>"","✗ "&{WITHHELD},IF(ISERROR(B26),"By pounds this supplement cannot close the gap: it is too poor in what is short.",IF(B26=0,IF(chosen_cow_caution="","No supplement is needed by pounds.","No supplement by pounds for a grown cow; these need more."),"Feed "&IF(chosen_cow_caution="","","at least ")&TEXT(B26,"0.0")&" lb of "&chosen_feed&" a day as fed; "'
        '&B27&" sets the rate.")))'
    )
    sheet.put(8, 0, second, "banner")
    for row in (7, 8):
        sheet.heights[row] = 26
        for col in (1, 2, 3):
            sheet.put(row, col, None, "banner_rest")


def _left_short() -> str:
    """What the share way's supplement leaves her short of, in pounds of each nutrient; "" when it covers her."""
    energy, protein = "ROUND(B14-C33,2)>0", "ROUND(C14-C34,2)>0"

    def said(need: str, given: str, word: str) -> str:
        return (
            f'TEXT({given},"0.00")&" lb {word} against "&TEXT({need},"0.00")&" ("&TEXT({need}-{given},"0.00")&" short)"'
        )

    tdn, cp = said("B14", "C33", "TDN"), said("C14", "C34", "CP")
    return f'(IF({energy},{tdn},"")&IF(AND({energy},{protein})," and ","")&IF({protein},{cp},""))'


def _cautions(book: Book, sheet: Sheet) -> None:
    sheet.put(48, 0, "Feeding limits looked up as", "label")
    name = f"INDEX({book.marks['feeds']['book']},$B$42)"
    sheet.put(48, 1, Formula(f"={name}"), "text")
    listed = Formula(f"=SUMPRODUCT(--({book.table_range('feeding_limits', 'feed')}=$B$49))")
    list_row(sheet, 49, "Is it in the feed book? 1 yes, 0 no", listed, "yes/no", "number0")
    grain = Formula(f"=N(INDEX({book.marks['feeds']['is_grain']},$B$42))")
    list_row(sheet, 50, "Counts as starchy grain? 1 yes, 0 no", grain, "yes/no", "number0")
    none = '"No feeding limit is on file for this feed: ask the maker and a nutritionist."'
    unbooked = ("$B$50=0", f'{none}&IF($B$51=1," It counts as starchy grain: see Ration cautions.","")')
    text = call("FEED_CAUTION", "$B$49", "MAX(B26,C26)", "$B$43", unless=unbooked)
    sheet.put(35, 5, "Caution for this supplement at the larger of the two rates", "section")
    sheet.put(36, 5, text, "caution")
    sheet.put(38, 5, "An empty line is no proof of safety; the veterinarian has the last word.", "sentence")
    sheet.heights[36] = 110
    book.marks["ration"]["caution"] = sheet.ref(36, 5)
    sheet.put(66, 0, "Caution on these cows", "label")
    cows = Formula(f"=INDEX({book.marks['herd']['caution']},$B$41)")
    book.marks["ration"]["cow_caution"] = sheet.put(66, 1, cows, "text")
    book.define("chosen_cow_caution", book.marks["ration"]["cow_caution"])


def _picture(book: Book, sheet: Sheet) -> None:
    """Need against have: hay solid, supplement hatched, the need a line at 100 %."""
    sheet.put(51, 0, "Table behind the picture", "section")
    sheet.heads(52, 0, ["% of need", "Energy (TDN)", "Protein (CP)", "Unit"])
    for row, label, formula in (
        (53, "Hay, beside the supplement", "=IF({no},0,100*$B$32*{c}12/100/{c}14)"),
        (54, "Supplement, by pounds", "=IF({no},0,{c}17)"),
        (55, "Need", "=100*{c}14/{c}14"),
    ):
        sheet.put(row, 0, label, "label")
        for col, letter in ((1, "B"), (2, "C")):
            sheet.put(row, col, Formula(formula.format(c=letter, no=f'{WITHHELD}<>""')), "number0", unit="%")
        sheet.put(row, 3, "%", "unit_cell")
    covers = 'chosen_lot&": hay covers "&TEXT(B16,"0")&" % of her energy, "&TEXT(C16,"0")&" % of her protein"'
    title = Formula(f'=IF({WITHHELD}<>"","No picture while a check fails",{covers})')
    sheet.put(56, 0, title, "text")
    ref = sheet.span
    names = ref(52, 1, 52, 2)
    sheet.pictures.append(
        Picture(
            "column", 4, 5, sheet.ref(56, 0), "", "% of what one cow needs in a day",
            "Column chart of energy and protein: what the hay gives (solid) and what the supplement adds (hatched), each as percent of one "
            "cow's need, with the need drawn as a line at 100 percent. The table behind it stands in rows 53 to 56.",
            [
                Series("Hay", names, ref(53, 1, 53, 2), BLUE, values_shown=True, label_position="inside_end", label_colour="#FFFFFF"),
                Series("Supplement", names, ref(54, 1, 54, 2), VERMILLION, pattern="wide_upward_diagonal"),
            ],
            width=540, height=470, y_range=(0, None), legend=True, stacked=True,
            line=Series("Her need = 100 %", names, ref(55, 1, 55, 2), "#1F1F1F", line="dash", marker="none"),
        )
    )  # fmt: skip


def _withheld(book: Book, sheet: Sheet) -> None:
    """Why the answer may not be shown: the rows that were chosen, then the checks that it rests on."""
    sheet.put(58, 0, "May the answer be shown?", "section")
    for row, label, table, place, name in (
        (59, "The lot's row", "lots", "$B$40", "chosen_lot"), (60, "The cow group's row", "herd", "$B$41", "chosen_group"),
        (61, "The supplement's row", "feeds", "$B$42", "chosen_feed"),
    ):  # fmt: skip
        said = doubts.says(book, table, place)
        told = f'IF({said}="","",{name}&": "&{said}&" See {table.title()}.")'
        sheet.put(row, 0, label, "label")
        sheet.put(row, 1, Formula(f'=IF(ISNUMBER({place}),{told},"{label} is not found: choose again.")'), "text")
    sheet.put(62, 0, "The checks", "label")
    sheet.put(62, 1, Formula('=IF(ration_stop="","",ration_stop&". See Checks.")'), "text")
    sheet.put(63, 0, "Why no answer is shown", "label")
    book.define(
        "ration_withheld", sheet.put(63, 1, Formula('=IF(B60<>"",B60,IF(B61<>"",B61,IF(B62<>"",B62,B63)))'), "text")
    )
    hidden = f'{WITHHELD}<>""'
    for area in ((11, 1, 18, 2), (21, 1, 21, 1), (25, 1, 33, 2)):
        sheet.flags.append(Flagging(area, "", "flag_withheld", when=hidden))
    sheet.flags.append(Flagging((7, 0, 8, 3), "", "flag_bad", when=hidden))
    for row in (22, 34, 35):  # sentences with numbers in them
        cell = sheet.cells[row, 0]
        assert isinstance(cell.content, Formula)
        cell.content = Formula(f'=IF({hidden},"",{cell.content.text[1:]})')
