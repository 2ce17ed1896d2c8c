"""Mix: the cheapest mix for the chosen lot and group, and its proof in ordinary cells."""

from __future__ import annotations

from hayfuncs.workbook.mixing import OPEN_LB, OPEN_PCT, Answer, Offer
from hayfuncs.workbook.model import Book, Content, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, table_heads

NUTRIENTS = (
    "TDN",
    "CP",
    "calcium",
    "phosphorus",
    "room",
    "fat",
    "sulfur",
    "grain",
    "urea protein",
    "calcium beside phosphorus",
)
CA_P = "Calcium beside phosphorus, over the hay's"
EXACT = 1e-6  # largest difference between cost and bound that still counts as equal
LINES_AT = 17  # rows between the head of the sheet and the feeds, for the lines of needs and limits
# columns of the feed table
(NAME, LB, COST, PLACE, PRICE, DM, TDN, CP, CA, P, FAT, S, GRAIN, NPN, MOST, MOST_BW, MOST_DIET, CAP, WITHIN, DRY, G_TDN, G_CP, G_CA, G_P,
 G_FAT, G_S, CAP_PRICE, SHARE_PRICE, WORTH, SPARE) = range(30)  # fmt: skip


def fill_answers(book: Book, offered: list[Offer], answers: list[Answer]) -> None:
    """The solved amounts and prices, a row for each pair: values, since no cell can solve them."""
    sheet = begin(
        book, "Mix answers", "Cheapest mixes as solved, one row a pair of lot and group",
        "Solved by hayfuncs as linear programs when the workbook was made. The sheet Mix proves the chosen one against the numbers as they stand.",
        "Solved values",
    )  # fmt: skip
    columns = [
        Column("Lot number", "row of Lots", width=8),
        Column("Group number", "row of Herd", width=8),
        Column("Solved?", "yes/no", width=8),
    ]
    columns += [Column(o.name, "lb as fed/day", width=10) for o in offered]
    columns += [Column(f"Saved by one unit of {n}", "$ per unit", width=11) for n in NUTRIENTS]
    columns += [Column(f"Saved by 1 lb more of {o.name} allowed", "$/lb as fed", width=11) for o in offered]
    columns += [Column(f"Saved by 1 lb more share of {o.name}", "$/lb DM", width=11) for o in offered]
    columns += [Column("What binds, or why there is no mix", "words", width=90)]
    table_heads(sheet, columns)
    n = len(offered)
    for i, answer in enumerate(answers):
        row = FIRST + i
        values = (
            answer.lot,
            answer.group,
            int(answer.solved),
            *answer.pounds,
            *answer.prices,
            *answer.caps,
            *answer.shares,
        )
        for col, value in enumerate(values):
            sheet.put(row, col, value, "number0" if col < 3 else "number3")
        sheet.put(row, len(values), answer.words, "small")
    last = FIRST + len(answers) - 1
    where = {
        "solved": 2,
        "pounds": 3,
        "prices": 3 + n,
        "caps": 3 + n + len(NUTRIENTS),
        "shares": 3 + 2 * n + len(NUTRIENTS),
    }
    where["words"] = 3 + 3 * n + len(NUTRIENTS)
    sheet.printed_cols = where["prices"]  # pounds alone: prices and words are workings of the sheet Mix
    book.marks["answers"] = {"n": len(answers), "at": where, "sheet": sheet, "last": last}


def _answer(book: Book, kind: str, k: int = 0) -> str:
    """The chosen pair's value from the sheet of answers."""
    marks = book.marks["answers"]
    col = marks["at"][kind] + k
    return f"INDEX({marks['sheet'].span(FIRST, col, marks['last'], col)},$B$7)"


def fill(book: Book, offered: list[Offer], left_out: list[str]) -> None:
    sheet = begin(
        book, "Mix", "The cheapest mix for the chosen lot and group",
        "The lot and group of the sheet Ration. Amounts were solved by hayfuncs; every limit, every price and the bound are worked out here.",
        "Result",
    )  # fmt: skip
    marks, ration = book.marks, book.marks["ration"]
    sheet.width(30, 13, *[11] * 26)
    sheet.put(4, 0, Formula('=chosen_lot&", "&chosen_group'), "section")
    sheet.put(6, 0, "Row of the answer", "label")
    sheet.put(6, 1, Formula(f"=({ration['lots']}-1)*group_count+{ration['herd']}"), "number0", unit="1")
    first = FIRST + LINES_AT
    last = first + len(offered) - 1
    _feeds(book, sheet, offered, first)
    _lines(book, sheet, first, last)
    _proof(book, sheet, first, last)
    sheet.put(
        last + 2,
        0,
        f"Left out, because a price or a value of the mix is not known: {', '.join(left_out) or 'none'}.",
        "sentence",
    )
    sheet.put(last + 3, 0, "Grain, fat, sulfur and whole cottonseed can hurt cattle: limits are set with the veterinarian or a nutritionist, "
              "and cattle are brought on to a feed slowly.", "sentence")  # fmt: skip
    grain = f"SUMPRODUCT({a1(first, GRAIN)}:{a1(last, GRAIN)},{a1(first, LB)}:{a1(last, LB)})"
    sheet.put(last + 4, 0, "Starchy grain in this mix, as fed", "label")
    sheet.put(last + 4, 1, Formula(f"={grain}"), "number2", unit="lb as fed/day")
    sheet.put(last + 4, 2, call("GRAIN_CAUTION", a1(last + 4, 1), ration["weight"]), "text")
    sheet.freeze = (FIRST - 3, 1)
    marks["mix"] = {"proof": sheet.ref(5, 0), "cost": sheet.ref(first - 3, LB)}


def _feeds(book: Book, sheet: Sheet, offered: list[Offer], first: int) -> None:
    heads = {
        NAME: ("Feed", "name"), LB: ("Cheapest mix", "lb as fed/day"), COST: ("Cost", "$/day"), PLACE: ("Row of Feeds", "row of Feeds"),
        PRICE: ("Price", "$/ton as fed"), DM: ("Dry matter", "% as fed"), TDN: ("TDN", "% DM"), CP: ("CP", "% DM"), CA: ("Calcium", "% DM"),
        P: ("Phosphorus", "% DM"), GRAIN: ("Starchy grain?", "yes/no"), NPN: ("Protein from urea", "% of CP"), FAT: ("Fat", "% DM"), S: ("Sulfur", "% DM"), MOST: ("Most a day", "lb as fed/day"),
        MOST_BW: ("Most by weight", "% of body weight"), MOST_DIET: ("Most of the diet's dry matter", "%"), CAP: ("Most allowed", "lb as fed/day"),
        WITHIN: ("Within its limits?", "word"), DRY: ("Dry matter given", "lb DM/day"), G_TDN: ("TDN given", "lb/day"), G_CP: ("CP given", "lb/day"),
        G_CA: ("Calcium given", "g/day"), G_P: ("Phosphorus given", "g/day"), G_FAT: ("Fat given", "lb/day"), G_S: ("Sulfur given", "lb/day"),
        CAP_PRICE: ("1 lb more allowed saves", "$/lb as fed"), SHARE_PRICE: ("1 lb more share saves", "$/lb DM"),
        WORTH: ("Worth of 1 lb at these prices", "$/lb as fed"), SPARE: ("Price less worth", "$/lb as fed"),
    }  # fmt: skip
    for col, (head, unit) in heads.items():
        sheet.put(first - 2, col, head, "head")
        sheet.put(first - 1, col, unit, "unit")
    sheet.heights[first - 2] = 50
    feeds, ration = book.marks["feeds"], book.marks["ration"]
    columns = (
        (PRICE, "price"),
        (DM, "dm_pct"),
        (TDN, "tdn_pct"),
        (CP, "cp_pct"),
        (CA, "ca_pct"),
        (P, "p_pct"),
        (FAT, "fat_pct"),
        (S, "s_pct"),
        (GRAIN, "is_grain"),
    )
    hay, weight = ration["hay"], ration["weight"]
    total = f"{a1(first, DRY, 'rc')}:{a1(first + len(offered) - 1, DRY, 'rc')}"
    for i, offer in enumerate(offered):
        row = first + i

        def c(col: int, row: int = row) -> str:
            return a1(row, col, "c")

        name: Content = offer.name if offer.mineral else Formula(f"=INDEX({feeds['name']},{c(PLACE)})")
        sheet.put(row, NAME, name, "label")
        sheet.put(row, PLACE, offer.row, "number0")
        # what a mineral holds is given as fed, and all of it counts as dry matter
        minerals = {
            PRICE: _of_mineral(c(NAME), "price"), DM: "100", GRAIN: "0",
            **{col: f"{_of_mineral(c(NAME), mark)}/{c(DM)}*100" for col, mark in ((CA, "ca_pct"), (P, "p_pct"))},
        }  # fmt: skip
        for col, mark in columns:
            held = f"=IF({c(PLACE)}=0,{minerals.get(col, '0')},N(INDEX({feeds[mark]},{c(PLACE)})))"
            sheet.put(row, col, Formula(held), "number0" if col == GRAIN else "number2", unit=heads[col][1])
        sheet.put(row, NPN, offer.npn_pct, "number0", unit="% of CP")
        for col, value, none in (
            (MOST, offer.most_lb, OPEN_LB), (MOST_BW, offer.most_pct_bw, OPEN_PCT), (MOST_DIET, offer.most_pct_diet, OPEN_PCT)
        ):  # fmt: skip
            # a feed without such a limit: the number stands for it in the formulas, the words are shown
            shown: Content = Formula("=mineral_most_lb") if offer.mineral and col == MOST else value
            sheet.put(row, col, shown, "no_limit" if value == none else "number2", unit=heads[col][1])
        sheet.put(row, LB, Formula(f"={_answer(book, 'pounds', i)}"), "result2", unit="lb as fed/day")
        sheet.put(row, COST, Formula(f"={c(LB)}*{c(PRICE)}/lb_per_ton"), "money", unit="$/day")
        sheet.put(row, DRY, Formula(f"={c(LB)}*{c(DM)}/100"), "number3", unit="lb DM/day")
        for col, part, factor in (
            (G_TDN, TDN, ""),
            (G_CP, CP, ""),
            (G_CA, CA, "*grams_per_lb"),
            (G_P, P, "*grams_per_lb"),
            (G_FAT, FAT, ""),
            (G_S, S, ""),
        ):
            sheet.put(row, col, Formula(f"={c(DRY)}*{c(part)}/100{factor}"), "number3", unit=heads[col][1])
        sheet.put(row, CAP, Formula(f"=MIN({c(MOST)},{weight}*{c(MOST_BW)}/100)"), "lb_or_none", unit="lb as fed/day")
        share = f"{c(DRY)}<={c(MOST_DIET)}/100*({hay}+SUM({total}))+0.000001"
        sheet.put(row, WITHIN, Formula(f'=IF(AND({c(LB)}<={c(CAP)}+0.000001,{share}),"yes","NO")'), "verdict")
        sheet.put(row, CAP_PRICE, Formula(f"={_answer(book, 'caps', i)}"), "number3", unit="$/lb as fed")
        sheet.put(row, SHARE_PRICE, Formula(f"={_answer(book, 'shares', i)}"), "number3", unit="$/lb DM")


def _of_mineral(name: str, what: str) -> str:
    """A mineral source's value on Assumptions, by its name."""
    *others, (_, last, _) = MINERALS
    held = f"{last}_{what}"
    for mineral, mark, _ in reversed(others):
        held = f'IF({name}="{mineral}",{mark}_{what},{held})'
    return held


def _lines(book: Book, sheet: Sheet, first: int, last: int) -> None:
    """Needs and limits, one a line: what the mix gives, what is asked, and the price of one unit."""
    ration, herd, lots = book.marks["ration"], book.marks["herd"], book.marks["lots"]
    hay, lot, group = ration["hay"], ration["lots"], ration["herd"]
    top = FIRST + 1
    for col, (head, unit) in enumerate(
        (("Need or limit", "name"), ("Given", "unit at right"), ("Asked", "unit at right"), ("Unit", ""), ("Spare", "unit at left"),
         ("Holds?", "word"), ("Price of one unit, for the first part of it", "$ per unit at left"), ("Side in the bound", "unit at left"), ("Counted in the bound", "$/day"))
    ):  # fmt: skip
        sheet.put(top - 1, col, head, "head")
        sheet.put(top, col, unit, "unit")

    def total(col: int) -> str:
        return f"SUM({a1(first, col, 'rc')}:{a1(last, col, 'rc')})"

    def both(one: int, other: int) -> str:
        spans = (f"{a1(first, col, 'rc')}:{a1(last, col, 'rc')}" for col in (one, other))
        return f"SUMPRODUCT({','.join(spans)})"

    def tested(mark: str) -> str:
        return f"INDEX({lots[f'lab_{mark}']},{lot})/INDEX({lots['divisor']},{lot})*100"

    def or_else(mark: str, name: str) -> str:
        return f'IF(INDEX({lots[f"lab_{mark}"]},{lot})="",{name},{tested(mark)})'

    def held(mark: str) -> str:
        """Grams a day in the hay, at the untested hay's content where the lab gives none."""
        return f"{hay}*{or_else(f'{mark}_pct', f'hay_{mark}_untested')}/100*grams_per_lb"

    def mineral(mark: str) -> str:
        return f"MAX(0,INDEX({herd[f'need_{mark}']},{group})-{held(mark)})"

    rows = (
        ("TDN", total(G_TDN), ration["tdn_short"], "lb/day", True, None),
        ("Crude protein", total(G_CP), ration["cp_short"], "lb/day", True, None),
        ("Calcium", total(G_CA), mineral("ca"), "g/day", True, None),
        ("Phosphorus", total(G_P), mineral("p"), "g/day", True, None),
        ("Room for supplement", total(DRY), f"{ration['weight']}*mix_room_pct_bw/100", "lb DM/day", False, None),
        (
            "Fat over the hay's, at most",
            total(G_FAT),
            "",
            "lb/day",
            False,
            ("mix_fat_pct", or_else("fat_pct", "hay_fat_untested")),
        ),
        (
            "Sulfur over the hay's, at most",
            total(G_S),
            "",
            "lb/day",
            False,
            ("mix_s_pct", or_else("s_pct", "hay_s_untested")),
        ),
        (
            "Starchy grain together",
            both(GRAIN, DRY),
            f"{ration['weight']}*mix_grain_pct_bw/100",
            "lb DM/day",
            False,
            None,
        ),
        ("Protein from urea", f"{both(NPN, G_CP)}/100", "", "lb/day", False, None),
        (CA_P, total(G_CA), "", "g/day", True, None),
    )
    for i, (name, given, asked, unit, least, diet) in enumerate(rows):
        row = top + 1 + i
        given_ref, asked_ref = a1(row, 1, "c"), a1(row, 2, "c")
        sheet.put(row, 0, name, "label")
        sheet.put(row, 1, Formula(f"={given}"), "number3", unit=unit)
        side = Formula(f"={asked_ref}")
        if diet is not None:  # the hay's own fat is given; the limit grows with every pound fed
            most, own = diet
            asked = f"{most}/100*({hay}+{total(DRY)})-{hay}*{own}/100"
            side = Formula(f"={hay}*({most}-{own})/100")
        if name == "Protein from urea":
            of_hay = f"{hay}*INDEX({lots['cp']},{lot})/100"
            asked, side = f"mix_npn_pct/100*({of_hay}+{total(G_CP)})", Formula(f"=mix_npn_pct/100*{of_hay}")
        if name == CA_P:
            side = Formula(f"=plan_min_ca_p*{held('p')}-{held('ca')}")
            asked = f"plan_min_ca_p*({held('p')}+{total(G_P)})-{held('ca')}"
        sheet.put(row, 2, Formula(f"={asked}"), "number3", unit=unit)
        sheet.put(row, 3, unit, "unit_cell")
        sheet.put(
            row,
            4,
            Formula(f"={given_ref}-{asked_ref}") if least else Formula(f"={asked_ref}-{given_ref}"),
            "number3",
            unit=unit,
        )
        sheet.put(row, 5, Formula(f'=IF({a1(row, 4, "c")}>=-0.000001,"yes","NO")'), "verdict")
        sheet.put(row, 6, Formula(f"={_answer(book, 'prices', i)}"), "number3", unit="$ per unit")
        sheet.put(row, 7, side, "number3", unit=unit)
        sheet.put(
            row, 8, Formula(f"={'' if least else '-'}{a1(row, 6, 'c')}*{a1(row, 7, 'c')}"), "number3", unit="$/day"
        )


def _proof(book: Book, sheet: Sheet, first: int, last: int) -> None:
    """Price less worth is never below 0, and the cost equals the bound: nothing is cheaper."""
    ration = book.marks["ration"]
    top = FIRST + 2
    prices = [a1(top + i, 6, "rc") for i in range(len(NUTRIENTS))]
    hay = ration["hay"]
    shares = f"{a1(first, SHARE_PRICE, 'rc')}:{a1(last, SHARE_PRICE, 'rc')}"
    diet = f"{a1(first, MOST_DIET, 'rc')}:{a1(last, MOST_DIET, 'rc')}"
    below = first - 3
    sheet.put(below, NAME, "All feeds together", "label")
    sheet.put(below, LB, Formula(f"=SUM({a1(first, LB)}:{a1(last, LB)})"), "result2", unit="lb as fed/day")
    sheet.put(below, COST, Formula(f"=SUM({a1(first, COST)}:{a1(last, COST)})"), "result_money", unit="$/day")
    sheet.put(below, DRY, Formula(f"=SUM({a1(first, DRY)}:{a1(last, DRY)})"), "number3", unit="lb DM/day")
    sheet.put(below, SHARE_PRICE - 1, "Shares together", "label")
    sheet.put(below, SHARE_PRICE, Formula(f"=SUMPRODUCT({shares},{diet})/100"), "number3", unit="$/lb DM")
    for row in range(first, last + 1):
        own = a1(row, DM, "c")
        fat = f"{prices[5]}*({a1(row, FAT, 'c')}-mix_fat_pct)/100"
        sulfur = f"{prices[6]}*({a1(row, S, 'c')}-mix_s_pct)/100"
        good = f"{prices[0]}*{a1(row, TDN, 'c')}+{prices[1]}*{a1(row, CP, 'c')}"
        beside = f"{prices[9]}*({a1(row, CA, 'c')}-plan_min_ca_p*{a1(row, P, 'c')})"
        minerals = f"({prices[2]}*{a1(row, CA, 'c')}+{prices[3]}*{a1(row, P, 'c')}+{beside})*grams_per_lb"
        urea = f"{prices[8]}*{a1(row, CP, 'c')}/100*({a1(row, NPN, 'c')}-mix_npn_pct)/100"
        grain = f"{prices[7]}*{a1(row, GRAIN, 'c')}"
        held = f"{prices[4]}+{grain}+{urea}+{fat}+{sulfur}+{a1(row, SHARE_PRICE, 'c')}-{a1(below, SHARE_PRICE, 'rc')}"
        worth = Formula(f"={own}/100*(({good}+{minerals})/100-({held}))-{a1(row, CAP_PRICE, 'c')}")
        sheet.put(row, WORTH, worth, "number3", unit="$/lb as fed")
        spare = Formula(f"={a1(row, PRICE, 'c')}/lb_per_ton-{a1(row, WORTH, 'c')}")
        sheet.put(row, SPARE, spare, "number3", unit="$/lb as fed")
    caps = f"SUMPRODUCT({a1(first, CAP_PRICE, 'rc')}:{a1(last, CAP_PRICE, 'rc')},{a1(first, CAP, 'rc')}:{a1(last, CAP, 'rc')})"
    bound_row = top + len(NUTRIENTS)
    sheet.put(bound_row, 0, "Bound: no mix can cost less", "label")
    counted = f"SUM({a1(top, 8)}:{a1(bound_row - 1, 8)})"
    sheet.put(bound_row, 1, Formula(f"={counted}-{caps}-{a1(below, SHARE_PRICE)}*{hay}"), "result_money", unit="$/day")
    sheet.put(bound_row, 3, "$/day", "unit_cell")
    sheet.put(bound_row + 1, 0, "Cost less bound", "label")
    sheet.put(bound_row + 1, 1, Formula(f"={a1(below, COST)}-{a1(bound_row, 1)}"), "number6", unit="$/day")
    sheet.put(bound_row + 1, 3, "$/day", "unit_cell")
    lines_hold = f'COUNTIF({a1(top, 5)}:{a1(bound_row - 1, 5)},"NO")=0'
    feeds_hold = f'COUNTIF({a1(first, WITHIN)}:{a1(last, WITHIN)},"NO")=0'
    cheap = f"MIN({a1(first, SPARE)}:{a1(last, SPARE)})>=-{EXACT:.6f}"
    equal = f"ABS({a1(bound_row + 1, 1)})<={EXACT:.6f}"
    good = '"✓ proven cheapest: every limit is met and the cost equals the bound"'
    stale = '"✗ not proven for the numbers as they stand: an input changed since it was solved; run hayfuncs rebuild"'
    none = '"✗ no mix of these feeds does it: see the words below"'
    sheet.put(
        5,
        0,
        Formula(
            f"=IF({_answer(book, 'solved')}=0,{none},IF(AND({lines_hold},{feeds_hold},{cheap},{equal}),{good},{stale}))"
        ),
        "master",
    )
    sheet.put(6, 2, Formula(f"={_answer(book, 'words')}"), "text")
