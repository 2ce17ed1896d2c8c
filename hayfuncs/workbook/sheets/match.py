"""Match: every lot against every group; Verdict: the same as one grid of words."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.assumptions import INTAKE_METHODS
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, local, pick, table_heads
from hayfuncs.workbook.sheets.lots import WAYS

CHECK_FIRST = "check first"  # in place of a verdict that rests on what does not hold
ABOVE = FIRST - 4  # the row of Verdict that says what is odd in a group
VERDICTS = ("carries", "energy short", "protein short", "both short")
UNSURE = "not sure"  # the need is met, but it is too low for these cows: thin, or with a first calf


def fill(book: Book) -> None:
    lots, herd = book.marks["lots"], book.marks["herd"]
    sheet = begin(
        book, "Match", "Each lot against each group: what hay alone gives, and what is short",
        "One row is one lot fed alone to one group. Short means pounds a day below the need; 0 means the hay covers it.",
        "Workings",
    )  # fmt: skip
    columns = [
        Column("Lot number", "row of Lots", "number0", 8), Column("Group number", "row of Herd", "number0", 8),
        Column("Hay lot", "name", "text", 22), Column("Cow group", "name", "text", 26),
        Column("Hay eaten by the fibre rule", "lb DM/day", "number1"), Column("Hay eaten by quality class", "lb DM/day", "number1"),
        Column("Hay eaten, as chosen", "lb DM/day", "number1"),
        Column("TDN the hay gives", "lb/day", "number2"), Column("TDN need", "lb/day", "number2"), Column("TDN short", "lb/day", "number2"),
        Column("CP the hay gives", "lb/day", "number2"), Column("CP need", "lb/day", "number2"), Column("CP short", "lb/day", "number2"),
        Column("By itself this hay", "verdict", "verdict", 16),
        Column("Most hay counted by the fibre rule", "lb DM/day", "number1"), Column("Note on the hay eaten", "text", "small", 58),
        *(Column(f"TDN short, TDN by {name}", "lb/day", "number2", 14) for _, name in WAYS),
        Column("By another TDN, at the same hay eaten", "text", "small", 50),
    ]  # fmt: skip
    table_heads(sheet, columns)
    sheet.freeze = (FIRST, 4)
    sheet.widths[0] = 12
    row = FIRST
    for lot in range(lots["n"]):
        for group in range(herd["n"]):
            c = [local(row, k) for k in range(16)]
            sheet.put(row, 0, lot + 1, "number0")
            sheet.put(row, 1, group + 1, "number0")
            sheet.put(row, 2, Formula(f"={pick(lots['name'], c[0])}"))
            sheet.put(row, 3, Formula(f"={pick(herd['name'], c[1])}"))
            weight = pick(herd["weight"], c[1])
            tdn = pick(lots["tdn"], c[0])
            fibre = call("INTAKE_FROM_NDF", pick(lots["ndf"], c[0]), weight, "ndf_capacity_pct_bw")
            sheet.put(row, 4, fibre, "number1", unit="lb DM/day")
            quality = call("INTAKE_BY_QUALITY", tdn, weight, pick(herd["lactating"], c[1]))
            sheet.put(row, 5, quality, "number1", unit="lb DM/day")
            sheet.put(row, 6, Formula(f"={hay_eaten(c[4], c[14], c[5])}"), "number1", unit="lb DM/day")
            for k, (density, need) in enumerate(((lots["tdn"], herd["need_tdn"]), (lots["cp"], herd["need_cp"]))):
                at = 7 + 3 * k
                percent = pick(density, c[0])
                sheet.put(row, at, Formula(f"={c[6]}*{percent}/100"), "number2", unit="lb/day")
                sheet.put(row, at + 1, Formula(f"={pick(need, c[1])}"), "number2", unit="lb/day")
                sheet.put(row, at + 2, call("NUTRIENT_SHORT", c[at + 1], c[6], percent), "number2", unit="lb/day")
            sheet.put(row, 13, judged(c[9], c[12], pick(herd["caution"], c[1])), "verdict")
            most = most_counted(weight, pick(herd["lactating"], c[1]))
            sheet.put(row, 14, Formula(f"={most}"), "number1", unit="lb DM/day")
            sheet.put(row, 15, _held(c[4], c[14], weight), "small")
            _other_ways(sheet, row, lots, c)
            row += 1
    last = row - 1
    book.marks["match"] = {
        k: sheet.span(FIRST, col, last, col)
        for k, col in (
            ("fibre", 4),
            ("quality", 5),
            ("hay", 6),
            ("tdn_short", 9),
            ("cp_short", 12),
            ("verdict", 13),
            ("most", 14),
            ("note", 15),
            ("tdn_gives", 7),
            ("tdn_need", 8),
            ("cp_gives", 10),
            ("cp_need", 11),
            ("others", 16 + len(WAYS)),
        )
    }
    area = (FIRST, 13, last, 13)
    flag(sheet, area)
    verdict(book)


def _other_ways(sheet: Sheet, row: int, lots: dict[str, str], c: list[str]) -> None:
    """Where another way to TDN would change the word on energy, and which."""
    told: list[str] = []
    for k, (way, name) in enumerate(WAYS, 16):
        value = pick(lots[way], c[0])
        short = call("NUTRIENT_SHORT", c[8], c[6], value, unless=(f"COUNT({value})=0", '""'))
        sheet.put(row, k, short, "number2", unit="lb/day")
        here = local(row, k)
        changed = f"AND(COUNT({here})=1,(N({here})>0)<>({c[9]}>0))"
        told.append(f'IF({changed},IF(N({here})>0,"energy short by {name}. ","enough energy by {name}. "),"")')
    sheet.put(row, 16 + len(WAYS), Formula(f"=TRIM({'&'.join(told)})"), "small")


def judged(tdn_short: str, cp_short: str, caution: str) -> Formula:
    """One word for hay and cow.  Where the need is known to be too low, `short` holds and `carries` does not."""
    first, *others = (f'"{v}"' for v in VERDICTS)
    return Formula(
        f'=CHOOSE(1+({tdn_short}>0)+2*({cp_short}>0),IF({caution}="",{first},"{UNSURE}"),{",".join(others)})'
    )


def most_counted(weight: str, milking: str) -> str:
    """Pounds of hay above which the fibre rule is not followed, as Assumptions says."""
    return f"{weight}*IF({milking}=1,fibre_most_milk_pct_bw,fibre_most_dry_pct_bw)/100"


def hay_eaten(fibre: str, most: str, quality: str) -> str:
    """Hay eaten by the rule that is chosen on Assumptions; every sheet that asks for it takes it from here."""
    return f'IF(intake_method="{INTAKE_METHODS[0]}",MIN({fibre},{most}),{quality})'


def _held(fibre: str, most: str, weight: str) -> Formula:
    """Low-fibre hay: the fibre rule asks a cow to eat more than any was seen to eat."""
    says = f'"Caution: the fibre rule says "&TEXT(100*{fibre}/{weight},"0.00")&" % of her weight, more than a cow is reckoned to eat; "'
    return Formula(
        f'=IF(AND(intake_method="{INTAKE_METHODS[0]}",{fibre}>{most}),{says}&TEXT(100*{most}/{weight},"0.00")&" % is counted.","")'
    )


def flag(sheet: Sheet, area: tuple[int, int, int, int]) -> None:
    sheet.flags += [
        Flagging(area, "short", "flag_bad"),
        Flagging(area, VERDICTS[0], "flag_good"),
        Flagging(area, UNSURE, "flag_warn"),
    ]


def verdict(book: Book) -> None:
    """The grid the agent shows: lots down, groups across, one word a cell."""
    lots, herd, match = book.marks["lots"], book.marks["herd"], book.marks["match"]
    sheet = begin(
        book, "Verdict", "Which lot carries which cows by itself?",
        "Read across: one lot fed alone to each group. The word says which nutrient is short; the pounds stand on the sheet Match.",
        "Result",
    )  # fmt: skip
    n = herd["n"]
    sheet.width(8, 21, 9, 8, 8, *[17] * n, 28, 40)
    for col, (head, unit) in enumerate(
        (("Lot number", "row of Lots"), ("Hay lot", "name"), ("Forage", "word"), ("TDN", "% DM"), ("CP", "% DM"))
    ):
        sheet.put(FIRST - 2, col, head, "head")
        sheet.put(FIRST - 1, col, unit, "unit")
    sheet.put(FIRST - 3, 1, "Group number, row of Herd", "unit_cell")
    for g in range(n):
        number = a1(FIRST - 3, 5 + g, "r")
        sheet.put(FIRST - 3, 5 + g, g + 1, "number0")
        sheet.put(
            FIRST - 2,
            5 + g,
            Formula(f'={pick(herd["name"], number)}&", "&{pick(herd["head"], number)}&" head"'),
            "head",
        )
        sheet.put(FIRST - 1, 5 + g, "word", "unit")
        sheet.put(ABOVE, 5 + g, Formula(f"={doubts.says(book, 'herd', number)}"), "small")
    sheet.put(FIRST - 2, 6 + n, "Check first", "head")
    sheet.put(FIRST - 1, 6 + n, "words", "unit")
    sheet.heights[FIRST - 2] = 50
    for i in range(lots["n"]):
        row = FIRST + i
        place = local(row, 0)
        sheet.put(row, 0, i + 1, "number0")
        sheet.put(row, 1, Formula(f"={pick(lots['name'], place)}"), "label")
        sheet.put(row, 2, Formula(f"={pick(lots['forage'], place)}"))
        sheet.put(row, 3, Formula(f"={pick(lots['tdn'], place)}"), "number1", unit="% DM")
        sheet.put(row, 4, Formula(f"={pick(lots['cp'], place)}"), "number1", unit="% DM")
        for g in range(n):
            at = f"({place}-1)*group_count+{a1(FIRST - 3, 5 + g, 'r')}"
            stopped = f"{a1(row, 6 + n, 'c')}&{a1(ABOVE, 5 + g, 'r')}&verdict_stop"
            sheet.put(row, 5 + g, Formula(f'=IF({stopped}="",{pick(match["verdict"], at)},"{CHECK_FIRST}")'), "verdict")
        sheet.put(row, 6 + n, Formula(f"={doubts.says(book, 'lots', place)}"), "small")
    flag(sheet, (FIRST, 5, FIRST + lots["n"] - 1, 4 + n))
    below = FIRST + lots["n"] + 1
    for g in range(n):
        caution, name = (pick(herd[k], a1(FIRST - 3, 5 + g, "r")) for k in ("caution", "name"))
        sheet.put(below + g, 1, Formula(f'=IF({caution}="","",{name}&": "&{caution})'), "text")
    sheet.freeze = (FIRST, 2)
    sheet.repeat_rows = (FIRST - 2, FIRST - 1)
    sheet.zoom = 160
    grid = sheet.span(FIRST, 5, FIRST + lots["n"] - 1, 4 + n)
    row_or_column = "✗ Some wait for a check"  # which, says the row's right end or the column's top
    stopped = f'IF(COUNTIF({grid},"{CHECK_FIRST}")=0,"","{row_or_column}")'
    told = Formula(f'=IF(verdict_stop="",{stopped},"✗ No verdicts: "&verdict_stop)')
    book.define("verdict_withheld", sheet.put(FIRST - 5, 5, told, "text"))
    last = FIRST + lots["n"] - 1
    sheet.flags += [
        Flagging((FIRST - 5, 5, FIRST - 5, 5), "✗", "flag_bad"), Flagging((ABOVE, 5, ABOVE, 4 + n), ".", "flag_bad"),
        Flagging((FIRST, 6 + n, last, 6 + n), ".", "flag_bad"), Flagging((FIRST, 5, last, 4 + n), CHECK_FIRST, "flag_bad"),
    ]  # fmt: skip
    book.marks["verdict"] = sheet.span(FIRST, 5, FIRST + lots["n"] - 1, 4 + n)
