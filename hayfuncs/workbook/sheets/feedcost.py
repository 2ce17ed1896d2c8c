"""Feed cost: what each feed on offer costs to close the chosen gap, and a pound of TDN and of CP in it."""

from __future__ import annotations

from hayfuncs.ration import feeds as feed_table
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Sheet, a1, call
from hayfuncs.workbook.sheets import feedpictures
from hayfuncs.workbook.sheets.common import Column, begin, local

OVER = "over its limit"
# every feed, in the order of Feeds
(PLACE, NAME, PRICE, DM, TDN, CP, RATE, CAN, COST, DRIVER, USED, LIMIT, TDN_COST, CP_COST, CAUTION) = range(15)
RESULTS = (
    Column("Row of Feeds", "1"), Column("Feed", "name"), Column("Price", "$/ton as fed"), Column("Dry matter", "% as fed"),
    Column("TDN", "% DM"), Column("CP", "% DM"), Column("Closes the gap at", "lb as fed/day"), Column("Can it close the gap?", "words"),
    Column("Cost a cow a day", "$/day"), Column("Rate set by", "word"), Column("Used of its tightest limit", "%"),
    Column("Within its limits?", "words"), Column("A pound of TDN costs", "$/lb"), Column("A pound of CP costs", "$/lb"),
    Column("Caution at this rate (on screen only; print the chosen feed's from Ration)", "text"),
)  # fmt: skip
# the workings, a second table in the same order
(W_PLACE, W_NAME, KNOWN, T_GAIN, C_GAIN, T_POOR, C_POOR, THIN, FILED, WHY, BY_LB, BY_WEIGHT, BY_DIET, SHARE, LABEL, OF_LB, OF_WEIGHT, OF_DIET,
 OF_TDN, OF_ROOM, KEPT_COST, RANK, T_RANK, C_RANK) = range(24)  # fmt: skip
WORKINGS = (
    Column("Row of Feeds", "1"), Column("Feed", "name"), Column("All typed in?", "yes/no"), Column("TDN a pound brings, less the hay it displaces", "% DM"),
    Column("CP a pound brings, less the hay it displaces", "% DM"), Column("Energy", "words"), Column("Protein", "words"), Column("The other nutrient", "words"),
    Column("Limits on file?", "yes/no"), Column("Why it cannot", "words"), Column("Most a head (0: none on file)", "lb as fed/day"),
    Column("Most by weight (0: none on file)", "% of body weight"), Column("Most of the diet (0: none on file)", "%"), Column("Share of the diet", "%"),
    Column("Name in the picture", "text"), Column("Used of the pounds", "%"), Column("Used of the weight's share", "%"), Column("Used of the diet's share", "%"),
    Column("Used of the TDN limit", "%"), Column("Used of the room for supplement", "%"), Column("Cost, where within its limits", "$/day"), Column("Place by cost a day", "1"),
    Column("Place by price of TDN", "1"), Column("Place by price of CP", "1"),
)  # fmt: skip
WIDTHS = (14, 40, 12, 12, 12, 12, 12, 36, 12, 36, 12, 18, 12, 12, 80, *[12] * 9)


def fill(book: Book) -> None:
    sheet = begin(
        book, "Feed cost", "What does each feed cost to close the gap?",
        "The lot and the group chosen on Ration, every feed of the sheet Feeds by itself, counted in pounds; prices are those of Feeds.",
        "Result",
    )  # fmt: skip
    sheet.zoom = 120
    sheet.width(*WIDTHS)
    sheet.printed_cols = CP_COST + 1
    sheet.freeze = (3, 0)
    n = book.marks["feeds"]["n"]
    first, second, top = feedpictures.rows(n)
    results = top + n + 5
    workings = results + n + 5
    lists = workings + n + 7
    _lists(sheet, lists)
    sheet.page_breaks = [top - 1, results - 1]
    sheet.printed_rows = workings - 3  # how it was worked out is for the screen
    tables = Tables(book, sheet, n, (top, results, workings, lists))
    tables.results()
    tables.workings()
    tables.sorted()
    _findings(sheet, tables, lists + 7)
    feedpictures.draw(sheet, (first, second), top + 2, n)


def _lists(sheet: Sheet, row: int) -> None:
    sheet.put(row - 3, 0, "The gap, and the limit of every supplement", "section")
    sheet.heads(row - 2, 1, ["What", "Value", "Unit"], ["text", "unit at right", "word"])
    limit = feed_table.tdn_limit().value
    lines = (
        ("TDN need less what the hay gives", Formula("=chosen_tdn_need-chosen_hay_eaten*chosen_hay_tdn/100"), "lb/day", "number2"),
        ("CP need less what the hay gives", Formula("=chosen_cp_need-chosen_hay_eaten*chosen_hay_cp/100"), "lb/day", "number2"),
        ("Most TDN from supplement", limit, "% of body weight", "number1"),
    )  # fmt: skip
    for i, (label, content, unit, style) in enumerate(lines, row):
        sheet.put(i, 1, label, "label")
        sheet.put(i, 2, content, style, unit=unit)
        sheet.put(i, 3, unit, "unit_cell")
    why = "Above it the diet always fell below the sum of hay and supplement (J. Anim. Sci. 1999, abstract)."
    sheet.put(row + 2, 5, why, "text")


class Tables:
    """The table of every feed, its workings, and the same sorted; all in the order of Feeds or of cost."""

    def __init__(self, book: Book, sheet: Sheet, n: int, rows: tuple[int, int, int, int]) -> None:
        self.top, results, workings, lists = rows
        self.book, self.sheet, self.n = book, sheet, n
        self.first = {"results": results + 2, "workings": workings + 2}
        self.gap = {"tdn": a1(lists, 2, "rc"), "cp": a1(lists + 1, 2, "rc"), "limit": a1(lists + 2, 2, "rc")}

    def heads(self, table: str, columns: tuple[Column, ...], title: str) -> None:
        row = self.first[table] - 2
        self.sheet.put(row - 1, 0, title, "section")
        for col, column in enumerate(columns):
            self.sheet.put(row, col, column.head, "head")
            self.sheet.put(row + 1, col, column.unit, "unit")
        self.sheet.heights[row] = 66
        self.sheet.heights[row + 1] = 32

    def span(self, table: str, col: int) -> str:
        first = self.first[table]
        return f"{a1(first, col, 'rc')}:{a1(first + self.n - 1, col, 'rc')}"

    def row(self, i: int) -> tuple[list[str], list[str]]:
        """The cells of one feed, in the table of results and in that of workings."""
        first = self.first
        cells = [local(first["results"] + i, k) for k in range(len(RESULTS))]
        return cells, [local(first["workings"] + i, k) for k in range(len(WORKINGS))]

    def results(self) -> None:
        sheet, feeds = self.sheet, self.book.marks["feeds"]
        self.heads("results", RESULTS, "Every feed on Feeds")
        for i in range(self.n):
            row, (c, w) = self.first["results"] + i, self.row(i)
            sheet.put(row, PLACE, i + 1, "number0", unit="1")
            sheet.put(row, NAME, Formula(f'=INDEX({feeds["name"]},{c[PLACE]})&""'), "text_in")
            for col, mark, style in ((PRICE, "price", "money"), (DM, "dm_pct", "number1"), (TDN, "tdn_pct", "number1"), (CP, "cp_pct", "number1"),
                                     (TDN_COST, "tdn_cost", "number3"), (CP_COST, "cp_cost", "number3")):  # fmt: skip
                value = f"INDEX({feeds[mark]},{c[PLACE]})"
                sheet.put(row, col, Formula(f'=IF({value}="","",{value})'), style, unit=RESULTS[col].unit)
            case = ("chosen_tdn_need", "chosen_cp_need", "chosen_hay_eaten", "chosen_hay_tdn", "chosen_hay_cp")
            args = ('"pounds"', *case, c[TDN], c[CP], c[DM], "hay_displaced")
            cannot = (f'{c[CAN]}<>"yes"', '""')
            sheet.put(row, RATE, call("SUPPLEMENT_RATE", *args, unless=cannot), "number2", unit="lb as fed/day")
            sheet.put(row, DRIVER, call("SUPPLEMENT_DRIVER", *args, unless=cannot), "text_in")
            said = f'IF({w[WHY]}="","yes","no: "&{w[WHY]})'
            sheet.put(row, CAN, Formula(f'=IF({c[NAME]}="","",{said})'), "text_in")
            sheet.put(
                row, COST, Formula(f'=IF({c[CAN]}="yes",{c[RATE]}*{c[PRICE]}/lb_per_ton,"")'), "money", unit="$/day"
            )
            used = f"MAX({w[OF_LB]}:{w[OF_ROOM]})"
            sheet.put(row, USED, Formula(f'=IF({c[CAN]}="yes",{used},"")'), "number0", unit="%")
            sheet.put(row, LIMIT, Formula(f'=IF({c[CAN]}="yes",IF({c[USED]}>100,"{OVER}","within"),"")'), "verdict")
            book_name = f"INDEX({feeds['book']},{c[PLACE]})"
            untold = (
                f'IF({c[CAN]}="yes","No feeding limit is on file for this feed: ask the maker and a nutritionist.","")'
            )
            unless = (f'OR({c[CAN]}<>"yes",{w[FILED]}=0)', untold)
            caution = call("FEED_CAUTION", book_name, c[RATE], "chosen_weight", unless=unless)
            sheet.put(row, CAUTION, caution, "text")
        first, last = self.first["results"], self.first["results"] + self.n - 1
        area = (first, LIMIT, last, LIMIT)
        sheet.flags += [Flagging(area, OVER, "flag_bad"), Flagging(area, "within", "flag_good")]

    def workings(self) -> None:
        sheet, feeds, gap = self.sheet, self.book.marks["feeds"], self.gap
        limits = {k: self.book.table_range("feeding_limits", k) for k in ("feed", "limit_lb_day", "limit_pct_bw", "limit_pct_diet")}  # fmt: skip
        self.heads("workings", WORKINGS, "Workings behind it, feed by feed in the same order")
        for i in range(self.n):
            row, (c, w) = self.first["workings"] + i, self.row(i)
            typed = f"{c[PRICE]}:{c[CP]}"
            put: dict[int, tuple[Content, str]] = {
                W_PLACE: (i + 1, "number0"),
                W_NAME: (Formula(f"={c[NAME]}"), "text_in"),
                KNOWN: (Formula(f'=IF(AND({c[NAME]}<>"",COUNT({typed})=4,N({c[DM]})>0),1,0)'), "number0"),
                T_GAIN: (Formula(f"=N({c[TDN]})-hay_displaced*chosen_hay_tdn"), "number2"),
                C_GAIN: (Formula(f"=N({c[CP]})-hay_displaced*chosen_hay_cp"), "number2"),
                T_POOR: (_poor(w[KNOWN], "energy_short", w[T_GAIN], "chosen_tdn_need", c[TDN], "too little TDN"), "text_in"),
                C_POOR: (_poor(w[KNOWN], "protein_short", w[C_GAIN], "chosen_cp_need", c[CP], "too little CP"), "text_in"),
                THIN: (_thin(w, gap["tdn"], gap["cp"]), "text"),
                WHY: (Formula(f'=IF({w[KNOWN]}=1,{_why(w)},"not all typed in")'), "text_in"),
                SHARE: (Formula(f'=IF({c[CAN]}="yes",{_share(c)},0)'), "number1"),
                OF_LB: (Formula(f"=IF({w[BY_LB]}=0,0,100*N({c[RATE]})/{w[BY_LB]})"), "number0"),
                OF_WEIGHT: (Formula(f"=IF({w[BY_WEIGHT]}=0,0,100*N({c[RATE]})/({w[BY_WEIGHT]}/100*chosen_weight))"), "number0"),
                OF_DIET: (Formula(f"=IF({w[BY_DIET]}=0,0,100*{w[SHARE]}/{w[BY_DIET]})"), "number0"),
                OF_TDN: (Formula(f"=100*N({c[RATE]})*N({c[DM]})/100*N({c[TDN]})/100/({gap['limit']}/100*chosen_weight)"), "number0"),
                OF_ROOM: (Formula(f"=100*N({c[RATE]})*N({c[DM]})/100/(mix_room_pct_bw/100*chosen_weight)"), "number0"),
                FILED: (Formula(f"=COUNTIF({limits['feed']},INDEX({feeds['book']},{w[W_PLACE]}))"), "number0"),
                KEPT_COST: (Formula(f'=IF({c[LIMIT]}="within",{c[COST]},"")'), "money"),
                RANK: (self._place_by_cost(c), "number0"),
                T_RANK: (self._rank(TDN_COST, c[TDN_COST]), "number0"),
                C_RANK: (self._rank(CP_COST, c[CP_COST]), "number0"),
                LABEL: (Formula(f'={c[NAME]}&IF({c[LIMIT]}="{OVER}"," ({OVER})",IF(OR({c[CAN]}="yes",{c[CAN]}=""),""," ("&{c[CAN]}&")"))'), "text"),
            }  # fmt: skip
            for col, column in ((BY_LB, "limit_lb_day"), (BY_WEIGHT, "limit_pct_bw"), (BY_DIET, "limit_pct_diet")):
                named = f"({limits['feed']}=INDEX({feeds['book']},{w[W_PLACE]}))"
                put[col] = (Formula(f"=SUMPRODUCT({named}*{limits[column]})"), "number2")
            for col, (content, style) in sorted(put.items()):
                sheet.put(row, col, content, style, unit=WORKINGS[col].unit)

    def _rank(self, col: int, cell: str) -> Formula:
        """The place of a price among all, the first of equal ones first; a feed without one has none."""
        return Formula(f'=IF(ISNUMBER({cell}),{self._placed(col, cell)},"")')

    def _placed(self, col: int, cell: str) -> str:
        top = a1(self.first["results"], col, "rc")
        return f"RANK({cell},{self.span('results', col)},1)+COUNTIF({top}:{cell},{cell})-1"

    def _place_by_cost(self, c: list[str]) -> Formula:
        """Feeds that can, by their cost; below them those that cannot, in the order of Feeds."""
        top = a1(self.first["results"], CAN, "rc")
        below = f'COUNT({self.span("results", COST)})+COUNTIF({top}:{c[CAN]},"no*")'
        return Formula(f'=IF({c[CAN]}="","",IF({c[CAN]}="yes",{self._placed(COST, c[COST])},{below}))')

    def sorted(self) -> None:
        sheet, top = self.sheet, self.top
        sheet.put(top - 1, 0, "Tables behind the pictures, cheapest first", "section")
        for col, (head, unit) in enumerate(feedpictures.HEADS):
            sheet.put(top, col, head, "head")
            sheet.put(top + 1, col, unit, "unit")
        sheet.heights[top] = 50
        name = self.span("workings", LABEL)
        for i in range(self.n):
            row = top + 2 + i
            place, at = local(row, 0), local(row, 2)
            ranks = self.span("workings", RANK)
            over = f'(INDEX({self.span("results", LIMIT)},{at})="{OVER}")'
            cost = f"N(INDEX({self.span('results', COST)},{at}))"
            rate = f"INDEX({self.span('results', RATE)},{at})"
            rows: list[tuple[Content, str]] = [
                (i + 1, "number0"),
                (Formula(f'=IF({at}="","",INDEX({self.span("workings", LABEL)},{at}))'), "text_in"),
                (Formula(f'=IF({place}>COUNT({ranks}),"",MATCH({place},{ranks},0))'), "number0"),
                (Formula(f'=IF({at}="","",{rate})'), "number2"),
                (Formula(f'=IF({at}="",0,{cost}*(1-{over}))'), "money_seen"),
                (Formula(f'=IF({at}="",0,{cost}*{over})'), "money_seen"),
                (Formula(f'=IF({at}="","",INDEX({self.span("results", DRIVER)},{at}))'), "text_in"),
            ]
            for prices, places in ((TDN_COST, T_RANK), (CP_COST, C_RANK)):
                ranked, priced = self.span("workings", places), self.span("results", prices)
                rows += [
                    (Formula(f'=IF({place}>COUNT({ranked}),"",INDEX({name},MATCH({place},{ranked},0)))'), "text_in"),
                    (Formula(f"=IF({place}>COUNT({priced}),0,SMALL({priced},{place}))"), "number3_seen"),
                ]
            for col, (content, style) in enumerate(rows):
                sheet.put(row, col, content, style, unit=feedpictures.HEADS[col][1])


def _poor(known: str, short: str, gain: str, need: str, feed: str, words: str) -> Formula:
    """Words where no amount of the feed brings the nutrient, the same tests as in SUPPLEMENT_RATE."""
    enough = f"{need}*hay_displaced<=chosen_hay_eaten*N({feed})/100"
    return Formula(f'=IF(OR({known}=0,{short}=0,AND({gain}>0,{enough})),"","{words}")')


def _thin(w: list[str], tdn: str, cp: str) -> Formula:
    """Words where the rate for one nutrient takes away too much hay that carries the other."""
    energy = f"AND({tdn}>0,{cp}<=0,{cp}*{w[T_GAIN]}>{tdn}*{w[C_GAIN]})"
    protein = f"AND({cp}>0,{tdn}<=0,{tdn}*{w[C_GAIN]}>{cp}*{w[T_GAIN]})"
    return Formula(
        f'=IF(AND({w[KNOWN]}=1,{w[T_POOR]}&{w[C_POOR]}="",OR({energy},{protein})),"displaces too much hay","")'
    )


def _why(w: list[str]) -> str:
    both = f'IF(AND({w[T_POOR]}<>"",{w[C_POOR]}<>"")," and ","")'
    return f"{w[T_POOR]}&{both}&{w[C_POOR]}&{w[THIN]}"


def _share(c: list[str]) -> str:
    dry = f"{c[RATE]}*{c[DM]}/100"
    return f"100*{dry}/(chosen_hay_eaten+(1-hay_displaced)*{dry})"


def _findings(sheet: Sheet, tables: Tables, row: int) -> None:
    sheet.put(row - 3, 0, "What the pictures say", "section")
    sheet.heads(row - 2, 1, ["What", "Value", "Unit"], ["text", "unit at right", "word"])
    can, limit, cost = (tables.span("results", k) for k in (CAN, LIMIT, COST))
    kept = tables.span("workings", KEPT_COST)
    at = {k: a1(row + i, 2) for i, k in enumerate(("named", "able", "over", "within", "least", "best"))}
    lines = (
        ("Feeds named on Feeds", Formula(f'=COUNTIF({can},"yes")+COUNTIF({can},"no*")'), "1", "number0"),
        ("can close the gap", Formula(f"=COUNT({cost})"), "1", "number0"),
        ("of these over a limit", Formula(f'=COUNTIF({limit},"{OVER}")'), "1", "number0"),
        ("within their limits", Formula(f"=COUNT({kept})"), "1", "number0"),
        ("Least cost within the limits", Formula(f"=MIN({kept})"), "$/day", "money"),
        (
            "Row of Feeds of that feed",
            Formula(f'=IF({at["within"]}=0,"none",MATCH({at["least"]},{kept},0))'),
            "1",
            "number0",
        ),
    )
    for i, (label, content, unit, style) in enumerate(lines, row):
        sheet.put(i, 1, label, "label")
        sheet.put(i, 2, content, style, unit=unit)
        sheet.put(i, 3, unit, "unit_cell")
    none = '"No supplement is needed: "&chosen_lot&" carries "&chosen_group&" by itself."'
    name = f"INDEX({tables.span('results', NAME)},{at['best']})"
    best = f'"Cheapest way to close the gap that keeps within its limit: "&{name}&", "&TEXT({at["least"]},"$0.00")&" a cow a day."'
    found = f'IF({at["within"]}=0,"No feed on Feeds closes the gap by itself within its limits.",{best})'
    sheet.put(4, 0, Formula(f"=IF(MAX(energy_short,protein_short)=0,{none},{found})"), "banner")
    told = f'{at["named"]}&" feeds: "&{at["within"]}&" close the gap within their limits, "&{at["over"]}&" would be over a limit, "&({at["named"]}-{at["able"]})&" cannot."'
    sheet.put(5, 0, Formula(f"={told}"), "banner")
    for banner in (4, 5):
        sheet.heights[banner] = 26
        for col in range(1, CP_COST + 1):
            sheet.put(banner, col, None, "banner_rest")
    cheapest = 'INDEX({0},1)&" for "&TEXT(INDEX({1},1),"$0.00")'
    first, last = tables.top + 2, tables.top + 1 + tables.n
    pairs = [tuple(f"{a1(first, k, 'rc')}:{a1(last, k, 'rc')}" for k in (col, col + 1)) for col in (7, 9)]
    marks: dict[str, str] = {"banner": sheet.ref(4, 0), "counts": sheet.ref(5, 0)}
    for i, (nutrient, pair) in enumerate(zip(("TDN", "CP"), pairs, strict=True), row + len(lines) + 1):
        priced = f"COUNT({tables.span('results', TDN_COST if nutrient == 'TDN' else CP_COST)})"
        title = f'"Cheapest pound of {nutrient}: "&{cheapest.format(*pair)}'
        marks[nutrient] = sheet.put(i, 1, Formula(f'=IF({priced}=0,"No price of {nutrient} is known",{title})'), "text")
    notes = (
        "Limits: pounds a head, share of body weight and of the diet where on file; for every feed 0.7 % of body weight of TDN, and the room for supplement on Assumptions.",
        "Within its limits is no proof of safety, and fat and sulfur of the whole diet stand on Ration cautions: read the cautions of the feed you take. The veterinarian has the last word.",
    )
    for i, note in enumerate(notes, row + len(lines) + 4):
        sheet.put(i, 0, note, "sentence")
    for mark, table, col in (("name", "results", NAME), ("can", "results", CAN), ("rate", "results", RATE), ("cost", "results", COST), ("used", "results", USED),
                             ("limit", "results", LIMIT), ("driver", "results", DRIVER), ("caution", "results", CAUTION), ("place", "workings", RANK)):  # fmt: skip
        marks[mark] = f"'{sheet.name}'!{tables.span(table, col)}"
    for mark, col in (
        ("sorted", 1),
        ("sorted_within", 4),
        ("sorted_over", 5),
        ("by_tdn", 7),
        ("tdn_prices", 8),
        ("by_cp", 9),
        ("cp_prices", 10),
    ):
        marks[mark] = sheet.span(first, col, last, col)
    sheet.book.marks["feedcost"] = marks
