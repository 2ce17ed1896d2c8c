"""Winter budget: what the plan costs beside the plain rule, what to buy, and the hay pile month by month."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Picture, Series, Sheet, a1, call
from hayfuncs.workbook.sheets.common import begin, list_row, local
from hayfuncs.workbook.sheets.feeds import NONE
from hayfuncs.workbook.sheets.groupmonths import MEETS, OUTSIDE
from hayfuncs.workbook.sheets.mineral import Besides
from hayfuncs.workbook.sheets.planrows import SLACK_LB
from hayfuncs.workbook.sheets.stockmonths import OVERDRAWN
from hayfuncs.workbook.styles import BLUE, VERMILLION

TOP = 7  # row of the budget's headings
CAUTION_HEIGHT = 66
COLD_F, COLD_COAT = 0, "winter"  # the weather that is told beside a plan: common practice
NO_LONGER = "The plan no longer fits your entries. Solve it again."
STALE = 0.5  # dollars: a plan changed by less is as it was solved
KINDS = ("own hay", "bought hay", "feeds", "limestone and phosphate")


def fill(book: Book, months: int, bought: Sequence[int] = ()) -> None:
    """`bought`: the rows of Winter feeds that the solved plan buys."""
    sheet = begin(
        book, "Winter budget", "What the winter costs, and what to buy",
        "All from the sheet Plan as it stands, beside what the plain rule would cost at the same prices.", "Result",
    )  # fmt: skip
    sheet.width(36, 15, 15, 15, 2, 46, 12, 9)
    sheet.zoom = 110
    sheet.freeze = (3, 0)
    book.marks["budget"] = {}
    last = _money(book, sheet)
    last = _purchases(book, sheet, last + 2, bought)
    _picture(book, sheet, last + 2, months)
    _banner(book, sheet)


def _money(book: Book, sheet: Sheet) -> int:
    marks = book.marks
    plan, plain, herd, balance = marks["plan"], marks["plain"], marks["season_herd"], marks["balance"]
    sheet.heads(TOP, 0, ["For the whole winter", "This plan", "Plain rule", "Unit"])
    sheet.heights[TOP] = 24
    row = TOP
    letters = {1: "B", 2: "C"}
    at: dict[str, int] = {}

    def line(mark: str, label: str, made: dict[int, Content], unit: str, style: str) -> None:
        nonlocal row
        row += 1
        at[mark] = row
        sheet.put(row, 0, label, "label")
        for col, content in made.items():
            marks["budget"][f"{mark}_{col}"] = sheet.put(row, col, content, style, unit=unit)
        sheet.put(row, 3, unit, "unit_cell")

    tables: dict[int, dict[str, str]] = {1: plan, 2: plain}
    for kind, name in enumerate(KINDS, 1):
        label = name.capitalize()
        line(
            f"tons_{kind}",
            f"{label}, put out",
            {c: Formula(f"=SUMIFS({t['tons']},{t['kind']},{kind})") for c, t in tables.items()},
            "tons as fed",
            "number1",
        )
    for kind, name in enumerate(KINDS, 1):
        label = f"{name.capitalize()}, at what it would bring" if kind == 1 else f"{name.capitalize()}, to buy"
        line(
            f"cost_{kind}",
            label,
            {c: Formula(f"=SUMIFS({t['cost']},{t['kind']},{kind})") for c, t in tables.items()},
            "$",
            "money0",
        )

    def cells(pattern: str) -> dict[int, Content]:
        rows = {k: v + 1 for k, v in at.items()}
        return {c: Formula(pattern.format(c=letter, **rows)) for c, letter in letters.items()}

    line("cash", "To spend", cells("={c}{cost_2}+{c}{cost_3}+{c}{cost_4}"), "$", "result_money0")
    line("total", "Cost in all", cells("={c}{cash}+{c}{cost_1}"), "$", "result_money0")
    heads = f"SUM({herd['head']})"
    line("head", "Head", dict.fromkeys(letters, Formula(f"={heads}")), "head", "number0")
    line("per_head", "Cost a head", cells("={c}{total}/{c}{head}"), "$", "money")
    line(
        "per_day",
        "Cost a head and a day",
        cells("=IF(N(winter_days)=0,0,{c}{per_head}/MAX(1,N(winter_days)))"),
        "$/day",
        "money",
    )
    places = {1: ("short_tdn", "short_cp"), 2: ("plain_tdn", "plain_cp")}
    for k, name in enumerate(("energy", "protein")):
        counted: dict[int, Content] = {
            c: Formula(f'=COUNTIF({balance[pair[k]]},">{SLACK_LB}")') for c, pair in places.items()
        }
        line(f"short_{name}", f"Group months short of {name}", counted, "group months", "number0")
    row += 1
    solved = "COUNT(plan_bound)=1"
    marks["budget"]["bound"] = list_row(
        sheet,
        row + 1,
        "Least that any plan can cost, as solved",
        Formula('=IF(COUNT(plan_bound)=1,plan_bound,"not solved")'),
        "$",
        "money0",
    )
    above = Formula(f'=IF({solved},B{at["total"] + 1}-plan_bound,"not solved")')
    marks["budget"]["above"] = list_row(sheet, row + 2, "This plan above it", above, "$", "money0")
    assumed = Formula(f"=SUM({marks['sources']['assumed']})")
    list_row(sheet, row + 3, "Own lots at an assumed price", assumed, "lots", "number0")
    marks["budget"]["cold"] = list_row(
        sheet, row + 4, f"More energy at a wind chill of {COLD_F} deg F, {COLD_COAT} coat", call("COLD_INCREASE", str(COLD_F), f'"{COLD_COAT}"'), "%", "number0"
    )  # fmt: skip
    cold = Formula(f"=MAX({balance['base_tdn']})*{local(row + 4, 1)}/100")
    marks["budget"]["cold_lb"] = list_row(
        sheet, row + 5, "That is, for the neediest group", cold, "lb TDN/day", "number1"
    )
    mix = book.find(Besides).cost  # of a head till grass
    bagged = Formula(f'=IF(COUNT({mix})=0,"not entered",{mix}*{heads})')
    list_row(sheet, row + 6, "Mineral mix in bags for all head, beside this plan", bagged, "$", "money0")
    return row + 6


def _purchases(book: Book, sheet: Sheet, row: int, bought: Sequence[int]) -> int:
    """One row for each hay on offer and each feed: tons to buy, dollars, and the caution at the largest rate."""
    marks = book.marks
    plan, sources, cows = marks["plan"], marks["sources"], marks["herd"]
    lots: int = marks["lots"]["n"]
    sheet.put(row, 0, "Purchase list", "section")
    sheet.heads(
        row + 1, 0, ["Hay or feed", "Tons to buy", "Price", "Cost"], ["name", "tons as fed", "$/ton as fed", "$"]
    )
    for col, (head, unit) in enumerate(
        (
            ("Caution at the largest amount a head", "words"),
            ("Largest amount a head", "lb as fed/day"),
            ("Row of Winter feeds", "1"),
        ),
        5,
    ):
        sheet.put(row + 1, col, head, "head")
        sheet.put(row + 2, col, unit, "unit")
    sheet.heights[row + 1] = 34
    sheet.heights[row + 2] = 32
    first = row + 3
    for i, source in enumerate(range(lots + 1, sources["n"] + 1)):
        at = first + i
        place = local(at, 7)
        name = f"INDEX({sources['book']},{place})"
        sheet.put(at, 0, Formula(f"=INDEX({sources['name']},{place})"), "label")
        sheet.put(at, 1, Formula(f"=SUMIFS({plan['taken']},{plan['s']},{place})"), "number_or_dash", unit="tons as fed")
        sheet.put(
            at,
            2,
            Formula(f"=IF({local(at, 1)}=0,0,INDEX({sources['price']},{place}))"),
            "money_or_dash",
            unit="$/ton as fed",
        )
        sheet.put(at, 3, Formula(f"={local(at, 1)}*{local(at, 2)}"), "money_or_dash", unit="$")
        sheet.put(
            at,
            6,
            # LARGE, since SUMPRODUCT(MAX(...)) is 0 in Gnumeric, without a word
            Formula(f"=SUMPRODUCT(LARGE(({plan['s']}={place})*{plan['lb_fed']},1))"),
            "number_or_dash",
            unit="lb as fed/day",
        )
        sheet.put(at, 7, source, "number0", unit="1")
        if source in bought:  # room for its caution
            sheet.heights[at] = CAUTION_HEIGHT
        quiet = (f'OR({local(at, 6)}=0,{name}="{NONE}",{name}="")', '""')
        sheet.put(at, 5, call("FEED_CAUTION", name, local(at, 6), f"MIN({cows['weight']})", unless=quiet), "small")
    last = first + int(sources["n"]) - lots - 1
    last += 1  # a gap, so that the sum is not one of the list
    sheet.put(last + 1, 0, "All together", "label")
    marks["budget"]["buy_tons"] = sheet.put(
        last + 1, 1, Formula(f"=SUM({a1(first, 1)}:{a1(last - 1, 1)})"), "result1", unit="tons as fed"
    )
    marks["budget"]["buy_cost"] = sheet.put(
        last + 1, 3, Formula(f"=SUM({a1(first, 3)}:{a1(last - 1, 3)})"), "result_money0", unit="$"
    )
    return last + 1


def _picture(book: Book, sheet: Sheet, row: int, months: int) -> None:
    """The pile at each month's end as columns, what was bought as a line."""
    marks = book.marks
    stocks, labels = marks["stocks"], marks["months"]["label"]
    sheet.put(row, 0, "Table behind the picture", "section")
    sheet.heads(
        row + 1,
        0,
        ["At the end of", "Own hay left", "Hay bought so far", "Month"],
        ["month", "tons as fed", "tons as fed", "number"],
    )
    first = row + 3
    for k in range(months + 1):
        at = first + k
        number = local(at, 3)
        sheet.put(at, 3, k, "number0")
        sheet.put(at, 0, Formula(f'=IF({number}=0,"the start",INDEX({labels},MAX(1,{number})))'), "label")
        out = f'SUMIFS({marks["plan"]["tons"]},{marks["plan"]["kind"]},{{kind}},{marks["plan"]["m"]},"<="&{number})'
        sheet.put(
            at,
            1,
            Formula(f'=SUMIFS({stocks["start"]},{stocks["what"]},"own hay")-{out.format(kind=1)}'),
            "number1",
            unit="tons as fed",
        )
        sheet.put(at, 2, Formula(f"={out.format(kind=2)}"), "number1", unit="tons as fed")
    last = first + months
    marks["budget"]["pile"] = sheet.span(first, 1, last, 1)
    names = sheet.span(first, 0, last, 0)
    left = a1(last, 1, "rc")
    bought_all = a1(last, 2, "rc")
    end = '" tons of own hay left on "&TEXT(turnout,"d mmm yyyy")'
    title = Formula(
        f'=TEXT({left},"0")&{end}&IF({bought_all}<0.5,"; none bought","; "&TEXT({bought_all},"0")&" tons bought")'
    )
    sheet.put(last + 2, 0, title, "text")
    sheet.draw(
        Picture(
            "column", 7, 5, sheet.ref(last + 2, 0), "At the end of the month", "Hay, tons as fed",
            "Column chart of own hay left, in tons, at the start and at the end of each month to turnout, storage loss taken off; a dashed line shows the hay "
            "bought and fed so far. The table stands at the foot of this sheet.",
            [Series("Own hay left", names, sheet.span(first, 1, last, 1), BLUE, values_shown=False, gap=40)],
            width=520, height=430, y_range=(0, None), legend=True,
            line=Series("Hay bought and fed so far", names, sheet.span(first, 2, last, 2), VERMILLION, line="dash", marker="diamond", size=8),
        )
    )  # fmt: skip


def _banner(book: Book, sheet: Sheet) -> None:
    marks = book.marks["budget"]

    def here(mark: str) -> str:
        return str(marks[mark]).split("!")[1]

    rows = f"SUM({book.marks['plan']['ok']})"
    cost = f'"The winter costs "&TEXT({here("total_1")},"$#,##0")&", "&TEXT({here("per_head_1")},"$#,##0")&" a head; "&TEXT({here("cash_1")},"$#,##0")&" of it to spend."'
    faults = _faults(book, sheet)
    holds = f"AND({'+'.join(count for count, _ in faults)}=0,{_fits(here('above'))})"
    shown = f'IF(plan_stop="",{cost},"✗ No dollars while a check fails:")'
    none = f'IF({rows}=0,"No plan yet: see the words below.",IF({holds},{shown},"{NO_LONGER}"))'
    sheet.put(4, 0, Formula(f"={none}"), "banner")
    saves = f"({here('total_2')}-{here('total_1')})"
    says = f'TEXT(ABS({saves}),"$#,##0")&IF({saves}>=0," more"," less")'
    held = f'"Every need is met"&{weather(book)}&". The plain rule costs "&{says}&IF({here("short_energy_2")}+{here("short_protein_2")}>0," and leaves cows short.",".")'
    held = f'IF({_fits(here("above"))},{held},"No cost is shown for a plan that does not fit.")'
    for count, words in reversed(faults):
        held = f"IF({count}>0,{words},{held})"
    known = f"({'+'.join(count for count, _ in faults)})>0"  # the plan's own faults have words of their own
    stopped = f'IF(OR(plan_stop="",{known}),IF({rows}=0,"",{held}),"✗ "&plan_stop&". See Checks.")'
    sheet.put(5, 0, Formula(f"={stopped}"), "banner")
    sheet.flags.append(Flagging((4, 0, 5, 3), "✗", "flag_bad"))
    for row in (4, 5):
        sheet.heights[row] = 26
        for col in (1, 2, 3):
            sheet.put(row, col, None, "banner_rest")
    state = _state(here("above"), here("total_1"), "+".join(count for count, _ in faults))
    book.define("plan_price", sheet.put(6, 0, state, "sentence"))


def _faults(book: Book, sheet: Sheet) -> list[tuple[str, str]]:
    """What a plan can do wrong, the worst first, counted at the foot of the sheet: the count's cell, and the words behind it."""
    balance, stocks, plan = (book.marks[k] for k in ("balance", "stocks", "plan"))
    lines = f'+COUNTIF({book.marks["bale_plan"]["says"]},"not found*")' if "bale_plan" in book.marks else ""
    kept = f'COUNTIF({balance["says"]},"{MEETS}*")+COUNTIF({balance["says"]},"{OUTSIDE}")'
    counts = (
        ("Group months not as they should be", f"ROWS({balance['says']})-({kept})", "Group months"),
        ("Hays and feeds of which more is fed than there is", f'COUNTIF({stocks["says"]},"{OVERDRAWN}")', "Stock months"),
        ("Amounts not allowed or not known", f"SUM({plan['barred']})", "Plan"),
        ("Amounts over a limit of their feed", f"SUM({plan['over']})", "Plan"),
        ("Amounts not counted, whose name is not found", f'COUNTIF({plan["says"]},"not found*"){lines}', "Plan"),
    )  # fmt: skip
    top = sheet.last_row + 2
    sheet.heads(top, 0, ["What is wrong with the plan", "How many"], ["words", "1"])
    found = []
    for row, (label, count, see) in enumerate(counts, top + 2):
        sheet.put(row, 0, label, "label")
        sheet.put(row, 1, Formula(f"={count}"), "number0", unit="1")
        said, counted = a1(row, 0, "rc"), a1(row, 1, "rc")
        found.append((counted, f'{said}&": "&{counted}&". See {see}."'))
    return found


def weather(book: Book) -> str:
    """What weather the needs count, in words that follow "Every need is met"."""
    more = f"MAX({book.marks['months']['more']})"
    none = '", no cold counted (Winter)"'
    return f'IF({more}=0,{none},", counting up to "&TEXT({more},"0")&" % more energy for cold and mud")'


def _fits(above: str) -> str:
    """Whether the plan can still be the one for what is entered: solved from it, and not under the least it can cost."""
    return f"IF(COUNT(plan_bound)=0,TRUE,AND(plan_changes=0,{above}>=-{STALE}))"


def _state(above: str, total: str, faults: str) -> Formula:
    """Whether the plan is still the cheapest for the numbers as they stand; of a plan in whole bales, the price of ease."""
    dearer = f'"It costs "&TEXT({above},"$#,##0")&" more than the cheapest plan that meets every need (changed by hand, or your entries have changed)."'
    cheapest = '"It is the cheapest: no plan that meets every need can cost less."'
    money = '"$#,##0"'
    bales = f'TEXT({total},{money})&"; no plan of any kind costs less than "&TEXT(plan_bound,{money})&". Whole bales, few hays and few feeds cost "&TEXT(N(plan_cost)-N(plan_cheapest),{money})&" of it."'
    changed = f'" Changed since it was solved: "&TEXT(ABS({total}-N(plan_cost)),{money})&IF({total}>N(plan_cost)," more."," less.")'
    bales = f'{bales}&IF(ABS({total}-N(plan_cost))<={STALE},"",{changed})'
    kept = f"IF(COUNT(plan_cheapest)=1,{bales},IF({above}<={STALE},{cheapest},{dearer}))"
    fits = f"AND(({faults})=0,{_fits(above)})"
    return Formula(
        f'=IF(COUNT(plan_bound)=0,plan_words,IF({fits},{kept},IF(plan_changes=0,"{NO_LONGER}",plan_changed)))'
    )
