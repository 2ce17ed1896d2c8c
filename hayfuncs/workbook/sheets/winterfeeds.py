"""Winter feeds: everything that can be fed this winter - own hay, hay to buy, supplements - in one table."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, a1
from hayfuncs.workbook.season import Season
from hayfuncs.workbook.sheets import solvedfrom
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import FIRST, begin, list_row
from hayfuncs.workbook.sheets.feeds import NONE
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Asking, AskingSome, Grid, Row, number

OWN, BOUGHT, FEED, MINERAL = "own hay", "bought hay", "feed", "mineral"  # kinds 1 to 4
OPEN_LB, OPEN_PCT = 1000, 100  # a limit that does not count
NO_END = "no end"
HOMES = ("Winter lots", "Winter offers", "Winter supplements", "Winter minerals")  # in the keys of inputs
IN_PLAN = "yes"
NOT_ALLOWED, MISSING = "not allowed", "not known: "  # and which values
FEED_NEEDS = {"price": "price", "dm_pct": "dry matter", "tdn_pct": "TDN", "cp_pct": "CP", "fat_pct": "fat", "s_pct": "sulfur", "ca_pct": "calcium", "p_pct": "phosphorus"}  # fmt: skip
OFFER_NEEDS = {
    "price": "price",
    "dm": "dry matter",
    "tdn": "TDN",
    "cp": "CP",
    "ndf": "NDF",
    "fat": "fat",
    "s": "sulfur",
}
LEFT_OUT = "left out, danger: "  # and by what
# hazards that keep a lot out until the user says otherwise: column of the sheet Hazards, name
DEADLY = (("prussic", "prussic acid"), ("ergot", "ergovaline"))
NITRATE_OUT = "nitrate"  # no share at all, however it is fed
NOT_MIXED = "nitrate, as hay is not ground and mixed (Winter)"
NO_UREA = "urea: never in the plan"
# where the price of own hay comes from: typed there, else of the lots that have one, else that of hay to buy
STOCK, MEAN, PILE, NO_PRICE = "Stock", "mean of lots with a price", "Hay pile, hay to buy", "not entered"
LIMITS = (  # mark, heading, unit, column of the table, what stands for no limit
    ("most_lb", "Most a head", "lb as fed/day", "limit_lb_day", OPEN_LB),
    ("most_bw", "Most by weight", "% of body weight", "limit_pct_bw", OPEN_PCT),
    ("most_diet", "Most in the diet", "% DM", "limit_pct_diet", OPEN_PCT),
)


def fill(book: Book, season: Season) -> None:
    lots, stock, offers, feeds, hazards = (book.marks[k] for k in ("lots", "stock", "offers", "feeds", "hazards"))
    register = book.marks["register"]
    sheet = begin(
        book, "Winter feeds", "Everything that can be fed this winter",
        "Own hay, hay to buy and supplements, each from its own sheet. Say 0 for what must not be fed, and tons where they count. Urea is never fed here.",
        "Inputs, then workings",
    )  # fmt: skip
    counts = [lots["n"], offers["n"], feeds["n"], len(MINERALS)]
    places = [(kind, row) for kind, n in enumerate(counts, 1) for row in range(1, n + 1)]
    names = [_name_first(book, kind, row) for kind, row in places]
    grid = Grid(sheet, len(places))

    def of(own: str, bought: str, feed: str, mineral: str = "0") -> Callable[[Row], Content]:
        return lambda r: Formula(f"=CHOOSE({r['kind']},{own},{bought},{feed},{mineral})".replace("#", r["row"]))

    def of_mineral(what: str) -> str:
        return f"CHOOSE(#,{','.join(f'{mark}_{what}' for _, mark, _ in MINERALS)})"

    def each(own: str, bought: str, feed: str) -> Callable[[Row], Content]:
        """The value of a column of each of the three sheets; what is not known shows 0 and is not fed."""
        return of(*(f"N(INDEX({column},#))" if ":" in column else column for column in (own, bought, feed)))

    listed_minerals = ",".join(f'"{name}"' for name, *_ in MINERALS)
    named = [f'INDEX({t["name"]},#)&""' for t in (lots, offers, feeds)]
    grid.add(
        "name", "Hay or feed", "name", of(named[0], named[1], named[2], f"CHOOSE(#,{listed_minerals})"), "label", 28
    )
    grid.add(
        "what",
        "Kind",
        "word",
        lambda r: Formula(f'=CHOOSE({r["kind"]},"{OWN}","{BOUGHT}","{FEED}","{MINERAL}")'),
        "text",
        13,
    )
    grid.add(
        "state",
        "In the plan?",
        "word",
        _state,
        "text",
        26,
    )
    grid.band("Typed in")
    grid.ask("allowed", "Allowed? 1 yes, 0 no", "yes/no", [0 if n in season.barred else 1 for n in names],
             _keyed(places, number("Allowed?", "May the plan feed it? 1 yes, 0 no", 0, 1, required=True, whole=True)), "input0", 10)  # fmt: skip
    grid.ask("limit", "At most, where that counts", "tons as fed", [None] * len(places),
             _keyed(places, number("At most", "Tons as fed that may be used this winter; empty for no limit", 0, 100000)))  # fmt: skip
    despite = number("Feed it in spite of a danger?", f"A lot at danger by {' or '.join(n for _, n in DEADLY)} as the whole diet is left out unless 1 stands here", 0, 1, whole=True)  # fmt: skip
    own_only = [0 if kind == 1 else None for kind, _ in places]
    grid.ask("despite", "Feed it in spite of a danger? 1 yes, 0 no", "yes/no", own_only, _keyed(places, despite, 1), "input0", 12)  # fmt: skip
    grid.band("From the other sheets")
    paid = f"INDEX({stock['paid']},#)"
    assumed = f"IF(COUNT(own_dry_price)=1,own_dry_price*INDEX({lots['lab_dm_pct']},#)/100,own_hay_price)"
    bought, fed = (f"N(INDEX({column},#))" for column in (offers["price"], feeds["price"]))
    grid.add(
        "price",
        "Price",
        "$/ton as fed",
        of(f"IF(COUNT({paid})=1,{paid},{assumed})", bought, fed, f"N({of_mineral('price')})"),
        "money",
    )
    source = f'IF(COUNT({paid})=1,"{STOCK}",IF(COUNT(own_dry_price)=1,"{MEAN}",IF(COUNT(own_hay_price)=1,"{PILE}","{NO_PRICE}")))'
    grid.add("priced", "Price from", "words", of(source, '"Hay to buy"', '"Feeds"', '"Assumptions"'), "text", 24)
    grid.add(
        "counts",
        "Price counted",
        "$/ton as fed",
        lambda r: Formula(
            f"=IF({r['kind']}>1,N({r['price']}),IF(plan_own_value_pct=0,0,IF(COUNT({r['price']})=0,{NOT_ENTERED},{r['price']}*plan_own_value_pct/100)))"
        ),
        "money",
    )
    grid.add("dm", "Dry matter", "% as fed", each(lots["lab_dm_pct"], offers["dm"], feeds["dm_pct"]), "number2")
    grid.add("tdn", "TDN", "% DM", each(lots["tdn"], offers["tdn"], feeds["tdn_pct"]), "number2")
    heated = f"N(INDEX({hazards['bound']},#))>plan_heat_pct"
    own_cp = f"IF({heated},N(INDEX({hazards['available']},#)),N(INDEX({lots['cp']},#)))"
    bought_cp, feed_cp = (f"N(INDEX({column},#))" for column in (offers["cp"], feeds["cp_pct"]))
    grid.add("cp", "CP, less what heat has bound", "% DM", of(own_cp, bought_cp, feed_cp), "number2")
    grid.add("ndf", "NDF of hay", "% DM", each(lots["ndf"], offers["ndf"], "0"), "number2")
    fat = f"IF(ISNUMBER(INDEX({lots['fat']},#)),INDEX({lots['fat']},#),hay_fat_untested)"
    grid.add(
        "fat", "Fat", "% DM", of(fat, f"N(INDEX({offers['fat']},#))", f"N(INDEX({feeds['fat_pct']},#))"), "number2"
    )
    lab_s = f"INDEX({lots['lab_s_pct']},#)"
    sulfur = f'IF({lab_s}="",hay_s_untested,{lab_s}/INDEX({lots["divisor"]},#)*100)'
    grid.add(
        "s", "Sulfur", "% DM", of(sulfur, f"N(INDEX({offers['s']},#))", f"N(INDEX({feeds['s_pct']},#))"), "number2"
    )
    for part, head in (("ca", "Calcium"), ("p", "Phosphorus")):
        lab = f"INDEX({lots[f'lab_{part}_pct']},#)"
        own = f'IF({lab}="",hay_{part}_untested,{lab}/INDEX({lots["divisor"]},#)*100)'
        bought = f'IF(INDEX({offers[part]},#)="",hay_{part}_untested,INDEX({offers[part]},#))'
        fed = f"N(INDEX({feeds[f'{part}_pct']},#))"
        grid.add(part, head, "% DM; minerals as fed", of(own, bought, fed, of_mineral(f"{part}_pct")), "number2")
    wasted = f"INDEX({stock['feeding_loss']},#)"
    usual = f"IF(ISNUMBER({wasted}),{wasted},plan_feeding_unsaid)"
    grid.add(
        "wasted",
        "Wasted at its own feeder",
        "% of what is put out",
        of(usual, f"N(INDEX({offers['wasted']},#))", "0"),
        "number1",
    )
    lost = f"INDEX({stock['storage_loss']},#)"
    grid.add(
        "loss",
        "Lost in store",
        "% DM",
        of(f"IF(ISNUMBER({lost}),{lost},plan_storage_unsaid)", f"N(INDEX({offers['loss']},#))", "0"),
        "number1",
    )
    grid.add("kept", "Kept in store", "% of what is stored", lambda r: Formula(f"=100-{r['loss']}"), "number1")
    grid.add(
        "there",
        "There is",
        "tons as fed",
        of(
            f"N(INDEX({register['tons']},#))",
            f'IF(INDEX({offers["tons"]},#)="","",INDEX({offers["tons"]},#))',
            '""',
            '""',
        ),
        "number1",
    )
    grid.add("tons", "Tons that can be used", "tons as fed", _tons, "number1", 14)
    grid.add("lacks", "What is not known", "words", of('""', _lacks(offers, OFFER_NEEDS, "name"), _lacks(feeds, FEED_NEEDS, "name"), '""'), "text", 20)  # fmt: skip
    needed = [feeds[k] for k in FEED_NEEDS]
    counted = ",".join(f"INDEX({column},#)" for column in needed)
    has_name = f'(INDEX({feeds["name"]},#)<>"")'
    grid.add(
        "known",
        "All known? 1 yes, 0 no",
        "yes/no",
        lambda r: of(
            f"COUNT({r['counts']})", f"INDEX({offers['known']},#)", f"{has_name}*(COUNT({counted})={len(needed)})", "1"
        )(r),
        "number0",
        10,
    )
    limits = {column: book.table_range("feeding_limits", column) for column in ("feed", *(c for *_, c, _ in LIMITS))}
    grid.band("Limits of the feed")
    grid.add(
        "book",
        "Name in the feed book",
        "name",
        of(f'"{NONE}"', f'"{NONE}"', f'INDEX({feeds["book"]},#)&""', f'"{NONE}"'),
        "text",
        22,
    )
    for who, words in (("calf", "cows in calf"), ("open", "others")):
        pair = ",".join(f"INDEX({hazards[f'share_{who}{scale}']},#)" for scale in ("_a", "_b"))
        # words there mean not tested; an error means that the value is impossible, and such hay is not fed
        untold = f"IF(ISTEXT(INDEX({hazards[f'share_{who}_a']},#)),{OPEN_PCT},0)"
        own = f"IF(COUNT({pair})=0,{untold},MIN({pair}))"
        bought = f"N(INDEX({offers[f'share_{who}']},#))"
        head = f"Most of a mixed diet for {words}, by nitrate"
        grid.add(f"mixed_{who}", head, "% DM", of(own, bought, str(OPEN_PCT), str(OPEN_PCT)), "number0", 12)
    for who, words in (("calf", "cows in calf"), ("open", "others")):
        grid.add(f"most_{who}", f"Most for {words}, by nitrate, as hay is fed", "% DM", partial(_as_fed, who=who), "number0", 12)  # fmt: skip
    deadly = "+".join(f'{2**i}*(MID(INDEX({hazards[mark]},#),1,2)="Da")' for i, (mark, _) in enumerate(DEADLY))
    grid.add("held", "At danger: 1 prussic acid, 2 ergovaline, 3 both", "1", of(deadly, "0", "0"), "number0", 14)
    grid.add("grain", "Starchy grain? 1 yes, 0 no", "yes/no", of("0", "0", f"N(INDEX({feeds['is_grain']},#))"), "number0", 11)  # fmt: skip
    grid.add("urea", "Urea in it? 1 yes, 0 no", "yes/no", of("0", "0", f"N(INDEX({feeds['is_urea']},#))"), "number0", 11)  # fmt: skip
    for mark, head, unit, column, otherwise in LIMITS:
        found = f"SUMPRODUCT(({limits['feed']}={{book}})*{limits[column]})"
        style = "lb_or_none" if mark == "most_lb" else "pct_or_none"
        grid.add(mark, head, unit, lambda r, f=found, o=otherwise, m=mark: _limit(r, f, o, m == "most_bw"), style)  # type: ignore[misc]  # bound early on purpose
    grid.add(
        "assumed",
        "Fed at an assumed price? 1 yes, 0 no",
        "yes/no",
        lambda r: Formula(
            f'=IF(AND({r["kind"]}=1,plan_own_value_pct>0,{r["allowed"]}=1,N({r["tons"]})>0,{r["priced"]}<>"{STOCK}"),1,0)'
        ),
        "number0",
        12,
    )
    grid.band("Where it stands")
    grid.add(
        "kind", "Kind: 1 own hay, 2 bought, 3 feed, 4 mineral", "1", lambda r: places[r.number - 1][0], "number0", 12
    )
    grid.add("row", "Row of its sheet", "1", lambda r: places[r.number - 1][1], "number0", 10)
    span = f"{a1(FIRST, 0, 'rc')}:{a1(FIRST + len(places) - 1, 0, 'rc')}"
    made = [_name_first(book, kind, row, bought=True) for kind, row in places]
    grid.add("made", "Its name when this workbook was made", "name", lambda r: made[r.number - 1], "text", 22)
    grid.add("twice", "Is its name used twice? 1 yes, 0 no", "yes/no",
             lambda r: Formula(f'=IF(SUMPRODUCT(--({span}={r["name"]}))*({r["name"]}<>"")>1,1,0)'), "number0", 12)  # fmt: skip
    grid.done("sources")
    sheet.printed_cols = book.marks["sources_at"]["tons"] + 1
    sheet.freeze = (sheet.freeze[0], 1)
    _unpriced(book, sheet, FIRST + len(places) + 1)
    solvedfrom.fill(book, sheet, FIRST + len(places) + 5, NO_END)


def _unpriced(book: Book, sheet: Sheet, row: int) -> None:
    """What own hay is worth whose price is not entered: it is not free."""
    dry = book.marks["stock"]["dry"]
    lines = (
        ("own_dry_price", "Mean of the lots with a price", Formula(f"=IF(COUNT({dry})=0,{NOT_ENTERED},AVERAGE({dry}))"), "$/ton DM"),
        ("own_hay_price", "Else, hay to buy", Formula(f"=IF(COUNT(bought_price)=0,{NOT_ENTERED},bought_price)"), "$/ton as fed"),
    )  # fmt: skip
    sheet.put(row, 0, "Own hay without a price on Stock counts at", "section")
    for i, (name, label, content, unit) in enumerate(lines, 1):
        book.define(name, list_row(sheet, row + i, label, content, unit, "money"))


def _keyed(places: list[tuple[int, int]], asking: Asking, only: int | None = None) -> AskingSome:
    """Keys by the row of the home sheet, so that a further lot does not move what is said of the feeds.

    With `only` the rows of one kind are asked.
    """

    def asked(key: str) -> Input | None:
        _, number, mark = key.split("/")
        kind, row = places[int(number) - 1]
        return asking(f"{HOMES[kind - 1]}/{row}/{mark}") if only in (None, kind) else None

    return asked


def _lacks(table: dict[str, str], needs: dict[str, str], name: str) -> str:
    """The values that a row of its own sheet still lacks; nothing of a row without a name."""
    blank = "&".join(f'IF(COUNT(INDEX({table[mark]},#))=0,", {word}","")' for mark, word in needs.items())
    return f'IF(INDEX({table[name]},#)="","",MID({blank},3,200))'


def _as_fed(r: Row, who: str) -> Formula:
    """All of it where it is safe alone; a share, the margin off, where it is mixed in; else none."""
    share = r[f"mixed_{who}"]
    return Formula(f"=IF({share}>={OPEN_PCT},{OPEN_PCT},IF(plan_mixed=1,{share}*(1-plan_nitrate_below_pct/100),0))")


def _state(r: Row) -> Formula:
    """In the plan, or why not: a lot at danger is left out until the user says that it is fed in spite of it.

    Nitrate is not asked about in that way: hay that nobody may eat as it is fed is left out.
    """
    (_, one), (_, other) = DEADLY
    held = f'"{LEFT_OUT}"&CHOOSE(MAX(1,{r["held"]}),"{one}","{other}","{one} and {other}")'
    free = f"IF(OR({r['held']}=0,N({r['despite']})=1),1,0)"
    eaten = f"IF(MAX({r.all('most_calf', 'most_open')})=0,0,1)"
    mixed = f'IF(MAX({r.all("mixed_calf", "mixed_open")})=0,"{NITRATE_OUT}","{NOT_MIXED}")'
    place = f"1+{r['allowed']}+{r['allowed']}*{r['known']}*(1+{free}*(1+{eaten}))"
    why = f'CHOOSE({place},"{NOT_ALLOWED}","{MISSING}"&{r["lacks"]},{held},"{LEFT_OUT}"&{mixed},"{IN_PLAN}")'
    return Formula(f'=IF({r["name"]}="","",IF({r["urea"]}=1,"{NO_UREA}",{why}))')


def _limit(r: Row, found: str, otherwise: int, by_weight: bool) -> Formula:
    """The limit on file; a grain without one is held by the limit of all grain together."""
    text = found.replace("{book}", r["book"])
    none = f"IF({r['grain']}=1,plan_grain_pct_bw,{otherwise})" if by_weight else str(otherwise)
    if otherwise == OPEN_LB:
        none = f"IF({r['kind']}=4,mineral_most_lb,{otherwise})"
    return Formula(f"=IF({text}=0,{none},{text})")


def _tons(r: Row) -> Formula:
    """The smaller of what there is and what may be used; text where there is no end to it."""
    return Formula(
        f'=IF(COUNT({r.all("there", "limit")})=0,IF({r["name"]}="","","{NO_END}"),MIN({r.all("there", "limit")}))'
    )


def _name_first(book: Book, kind: int, row: int, bought: bool = False) -> str:
    """The name that a row starts with; of hay to buy only where it is asked for."""
    if kind == 2:
        cell = book.by_name("Hay to buy").cells[FIRST + row - 1, book.marks["offers_at"]["name"]]
        return str(cell.content or "") if bought else ""
    if kind == 4:
        return MINERALS[row - 1][0]
    sheet, key = ("Lots", "lots_at") if kind == 1 else ("Feeds", "feeds_at")
    cell = book.by_name(sheet).cells[FIRST + row - 1, book.marks[key]["name"]]
    return str(cell.content or "")
