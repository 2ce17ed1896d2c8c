"""Feeds: what can be bought, at what price; Feed book: the published composition behind it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hayfuncs.ration import feeds as feed_table
from hayfuncs.winter.problem import MOST_PROTEIN_PCT
from hayfuncs.workbook.keyed import calling, unknown
from hayfuncs.workbook.model import Book, Flagging, Input
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import of_record, text
from hayfuncs.workbook.sheets.shortwords import FEEDS
from hayfuncs.workbook.table import NOTHING, Column, Table, asked, computed

NONE = "none"
SPARE = 4  # rows for feeds of the user's own
GRAIN_SAYS = (
    "Corn, wheat, barley, oats, milo, rye, hominy, or a mix with much of them: 1; any other feed: 0. Left empty, the feed "
    "book answers; a feed that is not in it counts as grain"
)
NOT_SAID = "yes, until it is answered"
OFF = ("tdn_pct", "cp_pct")  # whose range in print goes into the margin of an answer
UREA = "urea"  # in a feed's name, or in its name in the feed book


class FeedBook(Table[str]):
    """One row a feed, its columns those of the published table."""

    feed = computed("Feed", "name", lambda row: row.item, "text", 30)


def _figure(column: str, of: str) -> Callable[[FeedBook], object]:
    def held(row: FeedBook) -> object:
        figure = feed_table.figure(row.item, column)
        return NOTHING if figure is None or getattr(figure, of) == "" else getattr(figure, of)

    return held


def _furthest(column: str) -> Callable[[FeedBook], float]:
    return lambda row: feed_table.furthest(row.item, column)


def fill_book(book: Book) -> None:
    """The wide table of published values that lookups read, each with its evidence class."""
    rows = feed_table.wide()
    columns = [c for c in rows[0] if c != "feed"]
    sheet = begin(book, "Feed book", "Supplements: composition as published",
        "Values as % of dry matter (dry matter as % as fed); an empty cell is a value no source here gives. Beside each value: what the sources that were read print. How each is known stands at the right.",
        "Table")  # fmt: skip
    table = FeedBook(sheet, [str(row["feed"]) for row in rows])
    values = {}
    for c in columns:
        values[c] = table.add(computed(_head(c), _unit(c), _figure(c, "value"), "number2", 11), c)
        table.add(computed(f"{_head(c)}: in print", "low to high, sources", _figure(c, "range_said"), "small", 15), f"{c}_print")  # fmt: skip
    for c in columns:
        table.add(computed(f"{_head(c)}: how known", "evidence", _figure(c, "evidence"), "small", 13), f"{c}_known")
    off = {c: table.add(computed(f"{_head(c)}: furthest in print from the value here", "% DM", _furthest(c), "number2", 13), f"{c}_off") for c in OFF}  # fmt: skip
    off["words"] = table.add(computed("In short, for the hall", "words", lambda row: FEEDS.get(row.item), "small", 40), "words")  # fmt: skip
    table.place()
    book.marks["feedbook"] = {mark: table.ref(column) for mark, column in off.items()}
    book.tables["supplements", "feed"] = table.feed
    for c, column in values.items():
        book.tables["supplements", c] = table.ref(column)


def _head(column: str) -> str:
    known = {
        "dm_pct": "Dry matter",
        "bulk_lb_ft3": "Bulk density",
        "fat_pct": "Fat",
        "ca_pct": "Calcium",
        "p_pct": "Phosphorus",
        "s_pct": "Sulfur",
    }
    return known.get(column, column.removesuffix("_pct").upper() if len(column) < 8 else column.removesuffix("_pct"))


def _unit(column: str) -> str:
    return {"dm_pct": "% as fed", "bulk_lb_ft3": "lb/ft3"}.get(column, "% DM")


def _extra(head: str) -> Column:
    says = f"{head}, % of dry matter, 0 to 100; empty when not known"
    return asked(head, "% DM", lambda key: Input(key, head, says, lo=0, hi=100, required=False), "input2")


def _analysis(head: str, column: str) -> Column:
    return computed(head, "% DM", calling("FEED_ANALYSIS", "{booked}", f'"{column}"', unless=(f'{{booked}}="{NONE}"', '""')), "number2")  # fmt: skip


def _cost(head: str, nutrient: str) -> Column:
    nothing = (f"OR(COUNT({{price}},{{dm_pct}},{nutrient})<3,N({nutrient})=0)", '""')
    return computed(head, "$/lb", calling("COST_PER_LB_NUTRIENT", "{price}", "{dm_pct}", nutrient, unless=nothing), "number3")  # fmt: skip


class Feeds(Table[Mapping[str, object]]):
    """One row a feed on offer: the name, the name in the feed book, price and composition."""

    name = asked("Feed", "name", text("Feed", "A name of your own; leave the row empty when not used"), "input_text", 28, band="Typed in")  # fmt: skip
    booked = asked("Name in the feed book", f"name or {NONE}",
        text("Name in the feed book", f"The feed book's name whose feeding limits apply, or {NONE}", True), "input_text", 28, key="book")  # fmt: skip
    price = asked("Price", "$/ton as fed",
        lambda key: Input(key, "Price", "Dollars per short ton as fed, delivered, 0 to 100,000", lo=0, hi=100000, required=False), "input_money")  # fmt: skip
    dm_pct = asked("Dry matter", "% as fed", of_record("TO_DRY_BASIS", "dm_pct"))
    tdn_pct = asked("TDN", "% DM", of_record("SUPPLEMENT_RATE", "feed_tdn_pct"))
    cp_pct = asked("Crude protein", "% DM", of_record("SUPPLEMENT_RATE", "feed_cp_pct"))
    ca_pct, p_pct, fat_pct, s_pct = _extra("Calcium"), _extra("Phosphorus"), _extra("Fat"), _extra("Sulfur")
    grain = asked("Starchy grain? 1 yes, 0 no", "yes/no",
        lambda key: Input(key, "Starchy grain?", GRAIN_SAYS, lo=0, hi=1, kind="whole", required=False), "input0", 11)  # fmt: skip
    # who says so; what nobody has answered counts as grain.  A danger line by weight is given for starchy grains alone
    grain_said = computed("Counts as starchy grain?", "words",
        f'=IF({{name}}="","",IF(COUNT({{grain}})=0,IF(SUMPRODUCT(--{{limited}})=0,"{NOT_SAID}",'
        'IF(SUMPRODUCT({limited}*{table[feeding_limits.danger_pct_bw]})>0,"yes, by the feed book","no, by the feed book")),'
        'IF({grain}=0,"no, as typed","yes, as typed")))', "small", 20, "Computed")  # fmt: skip
    is_grain = computed("The same: 1 yes, 0 no", "yes/no", '=IF(MID({grain_said},1,3)="yes",1,0)', "number0", 9)
    # by its names, or by more protein than protein itself holds
    is_urea = computed("Urea in it? 1 yes, 0 no", "yes/no",
        f'=IF(OR(ISNUMBER(SEARCH("{UREA}",{{name}})),ISNUMBER(SEARCH("{UREA}",{{booked}})),N({{cp_pct}})>{MOST_PROTEIN_PCT:g}),1,0)', "number0", 9)  # fmt: skip
    book_tdn, book_cp = _analysis("Feed book: TDN", "TDN"), _analysis("Feed book: CP", "CP")
    dm_cost = computed("Price of dry matter", "$/ton DM",
        calling("PRICE_PER_DRY_TON", "{price}", "{dm_pct}", unless=unknown("{price}", "{dm_pct}", "{tdn_pct}", "{cp_pct}", shown='""')), "money")  # fmt: skip
    tdn_cost, cp_cost = _cost("Price of TDN", "{tdn_pct}"), _cost("Price of CP", "{cp_pct}")
    wrong, odd, accepted = doubts.columns("feeds")
    limited = "({table[feeding_limits.feed]}={booked})"


def fill(book: Book, prices: Mapping[str, float]) -> None:
    sheet = begin(book, "Feeds", "Supplements on offer, with prices",
        "Type your own price, and the tag's analysis where you have it. Values of the feed book stand beside it. The last rows are free for feeds of your own: say of each whether it is starchy grain.",
        "Inputs, then workings")  # fmt: skip
    wide = {str(row["feed"]): row for row in feed_table.wide()}
    offered = [{**wide.get(name, {}), "name": name, "book": name if name in wide else NONE, "price": price} for name, price in prices.items()]  # fmt: skip
    feeds = Feeds(sheet, [*offered, *[{"book": NONE}] * SPARE]).place().filed("feeds")
    sheet.flags.append(Flagging(feeds.area(Feeds.wrong, Feeds.odd), ".", "flag_bad"))
