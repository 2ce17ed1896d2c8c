"""Match: every lot against every group."""

from __future__ import annotations

from hayfuncs.workbook.keyed import blank_where
from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet, call
from hayfuncs.workbook.sheets.assumptions import INTAKE_METHODS
from hayfuncs.workbook.sheets.closecalls import UNSURE
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, local, pick, table_heads
from hayfuncs.workbook.sheets.herd import AS_GROWING, AS_YOUNG
from hayfuncs.workbook.sheets.lots import WAYS
from hayfuncs.workbook.sheets.younggain import POOREST, RICHEST

VERDICTS = ("enough", "needs energy", "needs protein", "needs both")


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
        Column("Hay eaten by the fiber rule", "lb DM/day", "number1"), Column("Hay eaten by quality class", "lb DM/day", "number1"),
        Column("Hay eaten, as chosen", "lb DM/day", "number1"),
        Column("TDN the hay gives", "lb/day", "number2"), Column("TDN need", "lb/day", "number2"), Column("TDN short", "lb/day", "number2"),
        Column("CP the hay gives", "lb/day", "number2"), Column("CP need", "lb/day", "number2"), Column("CP short", "lb/day", "number2"),
        Column("By itself this hay", "verdict", "verdict", 16),
        Column("Most hay counted by the fiber rule", "lb DM/day", "number1"), Column("Note on the hay eaten", "text", "small", 58),
        *(Column(f"TDN short, TDN by {name}", "lb/day", "number2", 14) for _, name in WAYS),
        Column("By another TDN, at the same hay eaten", "text", "small", 50),
        Column("Hay eaten by growing cattle", "lb DM/day", "number1"), Column("Most hay that a young cow eats", "lb DM/day", "number1"),
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
            sheet.put(row, 2, Formula(f"={pick(lots['counted'], c[0])}"))
            sheet.put(row, 3, Formula(f"={pick(herd['counted'], c[1])}"))
            weight = pick(herd["weight"], c[1])
            tdn = pick(lots["tdn"], c[0])
            fiber = call("INTAKE_FROM_NDF", pick(lots["ndf"], c[0]), weight, "ndf_capacity_pct_bw")
            sheet.put(row, 4, fiber, "number1", unit="lb DM/day")
            quality = call("INTAKE_BY_QUALITY", tdn, weight, pick(herd["lactating"], c[1]))
            sheet.put(row, 5, quality, "number1", unit="lb DM/day")
            grown = [pick(book.marks["byclass"][k], c[1]) for k in ("way", "kind")]
            grows = local(row, 17 + len(WAYS))
            young = local(row, 18 + len(WAYS))
            by_rule = hay_eaten(c[4], c[14], c[5])
            eaten = f"IF(ISNUMBER({grows}),{grows},IF(ISNUMBER({young}),MIN({young},{by_rule}),{by_rule}))"
            sheet.put(row, 6, Formula(f"={eaten}"), "number1", unit="lb DM/day")
            unlike = (f"OR({grown[0]}<>{AS_GROWING},{tdn}<{POOREST},{tdn}>{RICHEST})", '""')
            growing = call("GROWING_INTAKE", grown[1], pick(herd["shrunk"], c[1]), tdn, unless=unlike)
            sheet.put(row, 17 + len(WAYS), growing, "number1", unit="lb DM/day")
            hers = [pick(book.marks["byclass"][k], c[1]) for k in ("milk_day", "in_calf")]
            other = (f"OR({grown[0]}<>{AS_YOUNG},COUNT({pick(lots['nem'], c[0])})=0)", '""')
            appetite = call("INTAKE_FROM_NEM", pick(lots["nem"], c[0]), pick(herd["shrunk"], c[1]), *hers, unless=other)
            sheet.put(row, 18 + len(WAYS), appetite, "number1", unit="lb DM/day")
            for k, (density, need) in enumerate(((lots["tdn"], herd["need_tdn"]), (lots["cp"], herd["need_cp"]))):
                at = 7 + 3 * k
                percent = pick(density, c[0])
                sheet.put(row, at, Formula(f"={c[6]}*{percent}/100"), "number2", unit="lb/day")
                sheet.put(row, at + 1, Formula(f"={pick(need, c[1])}"), "number2", unit="lb/day")
                sheet.put(row, at + 2, call("NUTRIENT_SHORT", c[at + 1], c[6], percent), "number2", unit="lb/day")
            sheet.put(row, 13, judged(c[9], c[12], pick(herd["caution"], c[1])), "verdict")
            most = most_counted(weight, pick(herd["lactating"], c[1]))
            sheet.put(row, 14, Formula(f"={most}"), "number1", unit="lb DM/day")
            sheet.put(row, 15, _held(c[4], c[14], weight, grows), "small")
            _other_ways(sheet, row, lots, c)
            for col in range(4, len(columns)):  # a free row of Lots or Herd is matched with nothing
                cell = sheet.cells[row, col]
                cell.content = blank_where(f'OR({c[2]}="",{c[3]}="")', cell.content)
            row += 1
    last = row - 1
    book.marks["match"] = {
        k: sheet.span(FIRST, col, last, col)
        for k, col in (
            ("fiber", 4),
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


def _other_ways(sheet: Sheet, row: int, lots: dict[str, str], c: list[str]) -> None:
    """Where another way to TDN would change the word on energy, and which."""
    told: list[str] = []
    for k, (way, name) in enumerate(WAYS, 16):
        value = pick(lots[way], c[0])
        short = call("NUTRIENT_SHORT", c[8], c[6], value, unless=(f"COUNT({value})=0", '""'))
        sheet.put(row, k, short, "number2", unit="lb/day")
        here = local(row, k)
        changed = f"AND(COUNT({here})=1,(N({here})>0)<>({c[9]}>0))"
        told.append(f'IF({changed},IF(N({here})>0,"needs energy by {name}. ","enough energy by {name}. "),"")')
    sheet.put(row, 16 + len(WAYS), Formula(f"=TRIM({'&'.join(told)})"), "small")


def judged(tdn_short: str, cp_short: str, caution: str) -> Formula:
    """One word for hay and cow.  Where the need is known to be too low, `needs` holds and `enough` does not."""
    first, *others = (f'"{v}"' for v in VERDICTS)
    return Formula(
        f'=CHOOSE(1+({tdn_short}>0)+2*({cp_short}>0),IF({caution}="",{first},"{UNSURE}"),{",".join(others)})'
    )


def most_counted(weight: str, milking: str) -> str:
    """Pounds of hay above which the fiber rule is not followed, as Assumptions says."""
    return f"{weight}*IF({milking}=1,fiber_most_milk_pct_bw,fiber_most_dry_pct_bw)/100"


def hay_eaten(fiber: str, most: str, quality: str) -> str:
    """Hay eaten by the rule that is chosen on Assumptions; every sheet that asks for it takes it from here."""
    return f'IF(intake_method="{INTAKE_METHODS[0]}",MIN({fiber},{most}),{quality})'


def _held(fiber: str, most: str, weight: str, grows: str) -> Formula:
    """Low-fiber hay: the fiber rule asks a cow to eat more than any was seen to eat."""
    says = f'"Caution: the fiber rule says "&TEXT(100*{fiber}/{weight},"0.00")&" % of body weight, more than cattle are reckoned to eat; "'
    return Formula(
        f'=IF(AND({grows}="",intake_method="{INTAKE_METHODS[0]}",{fiber}>{most}),{says}&TEXT(100*{most}/{weight},"0.00")&" % is counted.","")'
    )


def flag(sheet: Sheet, area: tuple[int, int, int, int]) -> None:
    sheet.flags += [
        Flagging(area, "needs", "flag_bad"),
        Flagging(area, VERDICTS[0], "flag_good"),
        Flagging(area, UNSURE, "flag_warn"),
    ]
