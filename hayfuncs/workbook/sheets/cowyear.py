"""Cow year: in which months since calving the chosen hay carries the chosen cow by itself."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Formula, Picture, Series, Sheet, a1, call
from hayfuncs.workbook.sheets.common import Column, begin, list_row, local
from hayfuncs.workbook.sheets.match import UNSURE, VERDICTS, hay_eaten, judged, most_counted
from hayfuncs.workbook.sheets.match import flag as flag_verdicts
from hayfuncs.workbook.styles import BLUE, VERMILLION

MONTHS = 12
NAMED = 8  # the month beside which the line is named: her need is least there, so that the words stand clear
TABLE = 51  # row of the table's headings
FIRST = TABLE + 2
LAST = FIRST + MONTHS - 1
LIST = LAST + 6  # the chosen cow and hay
(MONTH, EVENT, MILK, QUALITY, HAY, T_NEED, T_GIVES, T_SHORT, T_COVERED, C_NEED, C_GIVES, C_SHORT, C_COVERED, SAYS,
 T_LABEL, C_LABEL, T_BEGINS, T_ENDS, C_BEGINS, C_ENDS) = range(20)  # fmt: skip
COLUMNS = (
    Column("Months since calving", "months", width=32), Column("In her year", "words", width=14),
    Column("In milk?", "yes/no", width=10), Column("Hay eaten by quality class", "lb DM/day"),
    Column("Hay eaten, as chosen", "lb DM/day"), Column("TDN need", "lb/day"), Column("TDN the hay gives", "lb/day"),
    Column("TDN short", "lb/day"), Column("TDN need that the hay covers", "lb/day"), Column("CP need", "lb/day"),
    Column("CP the hay gives", "lb/day"), Column("CP short", "lb/day"), Column("CP need that the hay covers", "lb/day"),
    Column("By itself this hay", "verdict", width=16), Column("Name in the TDN picture", "text", width=20),
    Column("Name in the CP picture", "text", width=20), Column("TDN begins to be short", "months"), Column("TDN is short for the last time", "months"),
    Column("CP begins to be short", "months"), Column("CP is short for the last time", "months"),
)  # fmt: skip


def fill(book: Book) -> None:
    sheet = begin(
        book, "Cow year", "In which months does this hay carry her?",
        "The lot and the group chosen on Ration, through the twelve months from one calving to the next. Month 3 is the end of the third month.",
        "Result",
    )  # fmt: skip
    sheet.zoom = 120
    sheet.printed_cols = SAYS + 1  # the workings of the pictures stand at the right
    cow = _cow(book, sheet)
    _table(sheet, cow)
    _findings(sheet)
    _pictures(sheet)
    sheet.freeze = (3, 0)
    sheet.page_breaks = [TABLE - 1]


def _cow(book: Book, sheet: Sheet) -> dict[str, str]:
    """The chosen cow and hay, one line each; the table reads them here."""
    lots, herd, ration = (book.marks[k] for k in ("lots", "herd", "ration"))
    sheet.put(LIST - 3, 0, "The chosen cow and hay", "section")
    sheet.heads(LIST - 2, 0, ["What", "Value", "Unit"], ["text", "unit at right", "word"])
    of_cow, of_hay = f"INDEX({{}},{ration['herd']})", f"INDEX({{}},{ration['lots']})"
    lines = (
        ("shrunk", "Shrunk weight", of_cow.format(herd["shrunk"]), "lb", "number0"),
        ("milk", "Milk at peak", of_cow.format(herd["milk"]), "lb/day", "number1"),
        ("calf", "Calf weight at birth", of_cow.format(herd["calf"]), "lb", "number1"),
        ("now", "Month she is in now", f"ROUNDUP({of_cow.format(herd['month'])},0)", "months", "number0"),
        ("ndf", "NDF of the hay", of_hay.format(lots["ndf"]), "% DM", "number1"),
    )
    at: dict[str, str] = {}
    for row, (key, label, formula, unit, style) in enumerate(lines, LIST):
        list_row(sheet, row, label, Formula(f"={formula}"), unit, style)
        at[key] = a1(row, 1, "rc")
    row = LIST + len(lines)
    fibre = call("INTAKE_FROM_NDF", at["ndf"], "chosen_weight", "ndf_capacity_pct_bw")
    list_row(sheet, row, "Hay eaten by the fibre rule", fibre, "lb DM/day")
    at["fibre"] = a1(row, 1, "rc")
    return at


def _table(sheet: Sheet, cow: dict[str, str]) -> None:
    sheet.put(TABLE - 1, 0, "Table behind the pictures: one cow, one day, month by month", "section")
    for col, column in enumerate(COLUMNS):
        sheet.put(TABLE, col, column.head, "head")
        sheet.put(TABLE + 1, col, column.unit, "unit")
        sheet.widths[col] = column.width
    sheet.heights[TABLE] = 66
    shrunk, milk, calf = (cow[k] for k in ("shrunk", "milk", "calf"))
    for i in range(MONTHS):
        row = FIRST + i
        c = [local(row, k) for k in range(len(COLUMNS))]
        sheet.put(row, MONTH, i + 1, "number0", unit="months")
        event = f'IF({c[MONTH]}=1,"calving",IF({c[MONTH]}=weaned_after+1,"weaned",""))'
        sheet.put(row, EVENT, Formula(f'=TRIM({event}&IF({c[MONTH]}={cow["now"]}," now",""))'), "text_in")
        sheet.put(row, MILK, Formula(f"=IF(AND({c[MONTH]}<=weaned_after,{milk}>0),1,0)"), "number0", unit="yes/no")
        quality = call("INTAKE_BY_QUALITY", "chosen_hay_tdn", "chosen_weight", c[MILK])
        sheet.put(row, QUALITY, quality, "number1", unit="lb DM/day")
        chosen = Formula(f"={hay_eaten(cow['fibre'], most_counted('chosen_weight', c[MILK]), c[QUALITY])}")
        sheet.put(row, HAY, chosen, "number1", unit="lb DM/day")
        for nutrient, percent, need, gives, short, covered in (
            ("TDN", "chosen_hay_tdn", T_NEED, T_GIVES, T_SHORT, T_COVERED),
            ("CP", "chosen_hay_cp", C_NEED, C_GIVES, C_SHORT, C_COVERED),
        ):
            asked = call("DAILY_NEED", f'"{nutrient}"', shrunk, c[MONTH], milk, calf)
            sheet.put(row, need, asked, "number2", unit="lb/day")
            sheet.put(row, gives, Formula(f"={c[HAY]}*{percent}/100"), "number2", unit="lb/day")
            sheet.put(row, short, call("NUTRIENT_SHORT", c[need], c[HAY], percent), "number2", unit="lb/day")
            sheet.put(row, covered, Formula(f"={c[need]}-{c[short]}"), "number2", unit="lb/day")
        sheet.put(row, SAYS, judged(c[T_SHORT], c[C_SHORT], "chosen_cow_caution"), "verdict")
        for short, label, begins, ends in ((T_SHORT, T_LABEL, T_BEGINS, T_ENDS), (C_SHORT, C_LABEL, C_BEGINS, C_ENDS)):
            named = Formula(
                f'=TRIM({c[MONTH]}&" "&{c[EVENT]}&IF({c[short]}>0," short "&TEXT({c[short]},"0.00")&" lb",""))'
            )
            sheet.put(row, label, named, "text")
            # month 12 stands before month 1: the year is a ring
            count = f"ROWS({_span(short)})"
            before = f"INDEX({_span(short)},IF({c[MONTH]}=1,{count},{c[MONTH]}-1))"
            after = f"INDEX({_span(short)},IF({c[MONTH]}={count},1,{c[MONTH]}+1))"
            for col, beside in ((begins, before), (ends, after)):
                shown = Formula(f'=IF(AND({c[short]}>0,{beside}=0),{c[MONTH]},"")')
                sheet.put(row, col, shown, "number0", unit="months")
    flag_verdicts(sheet, (FIRST, SAYS, LAST, SAYS))


def _span(col: int) -> str:
    return f"{a1(FIRST, col, 'rc')}:{a1(LAST, col, 'rc')}"


def _findings(sheet: Sheet) -> None:
    """How many months the hay carries, and which are short, in words."""
    book = sheet.book
    book.marks["cowyear"] = {}
    row = LIST + 11
    sheet.put(row - 2, 0, "What the pictures say", "section")
    sheet.heads(row - 1, 0, ["What", "Value", "Unit"], ["text", "unit at right", "word"])
    met = "+".join(f'COUNTIF({_span(SAYS)},"{word}")' for word in (VERDICTS[0], UNSURE))
    carried = list_row(sheet, row + 1, "Months the hay carries her", Formula(f"={met}"), "months", "number0")
    said = {}
    for k, (nutrient, short, begins, ends) in enumerate(
        (("TDN", T_SHORT, T_BEGINS, T_ENDS), ("CP", C_SHORT, C_BEGINS, C_ENDS))
    ):
        at = row + 2 + 6 * k
        count, stretches, first, last, spelt = (a1(at + i, 1) for i in range(5))
        several = f'"from month "&{first}&IF({first}>{last},", past calving,","")&" to month "&{last}'
        lines = (
            (f"Months short of {nutrient}", Formula(f'=COUNTIF({_span(short)},">0")'), "months", "number0"),
            ("stretches of such months", Formula(f"=COUNT({_span(begins)})"), "1", "number0"),
            ("the first stretch begins with", Formula(f"=MIN({_span(begins)})"), "months", "number0"),
            ("and ends with", Formula(f"=MIN({_span(ends)})"), "months", "number0"),
            (
                "when",
                Formula(f'=IF({count}=1,"in month "&{first},IF({stretches}=1,{several},"in "&{count}&" months"))'),
                "",
                "text_in",
            ),
        )
        for i, line in enumerate(lines, at):
            list_row(sheet, i, *line)
        sheet.put(at + 5, 0, "in words", "label")
        month = f'IF({count}=0,"in no month",IF({stretches}=0,"in every month",{spelt}))'
        book.marks["cowyear"][nutrient] = sheet.put(at + 5, 1, Formula(f'="{nutrient} is short "&{month}'), "text_in")
        said[nutrient] = a1(at + 5, 1)
    of_months = f'{carried.split("!")[1]}&" of "&ROWS({_span(SAYS)})&" months"'
    sure = f'chosen_lot&" carries "&chosen_group&" by itself in "&{of_months}'
    unsure = f'chosen_lot&" meets a grown cow in "&{of_months}&"; "&chosen_group&" need more: see Ration"'
    sheet.put(4, 0, Formula(f'=IF(chosen_cow_caution="",{sure},{unsure})'), "banner")
    sheet.put(5, 0, Formula(f'={said["TDN"]}&"; "&{said["CP"]}&"."'), "banner")
    for banner in (4, 5):
        sheet.heights[banner] = 26
        for col in range(1, SAYS):
            sheet.put(banner, col, None, "banner_rest")
    notes = (
        "Hay is eaten to appetite, by the way chosen on Assumptions; needs are those of Herd for each month, with this cow's weight, milk and calf.",
        "Cold, mud and a thin cow ask for more than these columns show: see Herd care.",
    )
    for k, note in enumerate(notes):
        sheet.put(row + 15 + k, 0, note, "sentence")
    marks = {"carried": carried, "banner": sheet.ref(4, 0), "which": sheet.ref(5, 0)}
    marks |= {k: sheet.span(FIRST, col, LAST, col) for k, col in (("hay", HAY), ("tdn_need", T_NEED), ("cp_need", C_NEED), ("tdn_short", T_SHORT), ("cp_short", C_SHORT), ("says", SAYS), ("event", EVENT))}  # fmt: skip
    book.marks["cowyear"] |= marks


def _pictures(sheet: Sheet) -> None:
    """Need as columns; the part the hay covers solid, the gap hatched; what the hay gives as a line."""
    named = tuple(i + 1 == NAMED for i in range(MONTHS))
    for at, name, nutrient, label, covered, short, gives in (
        (6, "Energy (TDN)", "TDN", T_LABEL, T_COVERED, T_SHORT, T_GIVES),
        (28, "Protein (CP)", "CP", C_LABEL, C_COVERED, C_SHORT, C_GIVES),
    ):
        x, met, gap, hay = (sheet.span(FIRST, col, LAST, col) for col in (label, covered, short, gives))
        sheet.pictures.append(
            Picture(
                "column", at, 0, sheet.book.marks["cowyear"][nutrient], "Months since calving", f"{name} one cow needs in a day, lb",
                f"Column chart of the {nutrient} one cow needs in a day, in pounds, for each month since calving: the part that the hay covers is "
                "solid, what is short is hatched on top, and a dashed line shows what the hay gives. Under each month that is short stand the word and the pounds. The table is below.",
                [
                    Series(f"{nutrient} need that the hay covers", x, met, BLUE, gap=35),
                    Series(f"{nutrient} short", x, gap, VERMILLION, pattern="wide_upward_diagonal", gap=35),
                ],
                width=1290, height=420, y_range=(0, None), stacked=True, every_name=True,
                line=Series("hay gives", x, hay, "#1F1F1F", named, line="dash", marker="none", label_position="above"),
            )
        )  # fmt: skip
