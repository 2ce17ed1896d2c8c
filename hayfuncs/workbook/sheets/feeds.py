"""Feeds: what can be bought, at what price; Feed book: the published composition behind it."""

from __future__ import annotations

from collections.abc import Mapping

from hayfuncs.ration import feeds as feed_table
from hayfuncs.winter.problem import MOST_PROTEIN_PCT
from hayfuncs.workbook.model import Book, Formula, Input, call, input_for
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, local, table_heads

NONE = "none"
SPARE = 4  # rows for feeds of the user's own
VALUES = (
    ("dm_pct", "Dry matter", "% as fed", "TO_DRY_BASIS", "dm_pct"),
    ("tdn_pct", "TDN", "% DM", "SUPPLEMENT_RATE", "feed_tdn_pct"),
    ("cp_pct", "Crude protein", "% DM", "SUPPLEMENT_RATE", "feed_cp_pct"),
)
EXTRA = (("ca_pct", "Calcium"), ("p_pct", "Phosphorus"), ("fat_pct", "Fat"), ("s_pct", "Sulfur"))
GRAIN_SAYS = (
    "Corn, wheat, barley, oats, milo, rye, hominy, or a mix with much of them: 1; any other feed: 0. Left empty, the feed "
    "book answers; a feed that is not in it counts as grain"
)
NOT_SAID = "yes, until it is answered"
UREA = "urea"  # in a feed's name, or in its name in the feed book


def fill_book(book: Book) -> None:
    """The wide table of published values that lookups read, each with its evidence class."""
    rows = feed_table.wide()
    columns = [c for c in rows[0] if c != "feed"]
    sheet = begin(
        book, "Feed book", "Supplements: composition as published",
        "Values as % of dry matter (dry matter as % as fed); an empty cell is a value no source here gives. Beside each value: what the sources that were read print. How each is known stands at the right.",
        "Table",
    )  # fmt: skip
    heads = [Column("Feed", "name", width=30)]
    for c in columns:
        heads += [
            Column(_head(c), _unit(c), width=11),
            Column(f"{_head(c)}: in print", "low to high, sources", width=15),
        ]
    heads += [Column(f"{_head(c)}: how known", "evidence", width=13) for c in columns]
    table_heads(sheet, heads)
    for i, row in enumerate(rows):
        at = FIRST + i
        sheet.put(at, 0, str(row["feed"]), "text")
        for k, column in enumerate(columns):
            figure = feed_table.figure(str(row["feed"]), column)
            if figure is not None:
                sheet.put(at, 1 + 2 * k, figure.value, "number2", unit=_unit(column))
                if figure.range_said:
                    sheet.put(at, 2 + 2 * k, figure.range_said, "small")
                sheet.put(at, 1 + 2 * len(columns) + k, figure.evidence, "small")
    last = FIRST + len(rows) - 1
    book.tables["supplements", "feed"] = sheet.span(FIRST, 0, last, 0)
    for k, column in enumerate(columns):
        book.tables["supplements", column] = sheet.span(FIRST, 1 + 2 * k, last, 1 + 2 * k)


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


def fill(book: Book, prices: Mapping[str, float]) -> None:
    """One row a feed on offer: the name, the name in the feed book, price and composition."""
    sheet = begin(
        book, "Feeds", "Supplements on offer, with prices",
        "Type your own price, and the tag's analysis where you have it. Values of the feed book stand beside it. The last rows are free for feeds of your own: say of each whether it is starchy grain.",
        "Inputs, then workings",
    )  # fmt: skip
    columns = [
        Column("Feed", "name", width=28),
        Column("Name in the feed book", f"name or {NONE}", width=28),
        Column("Price", "$/ton as fed"),
    ]
    columns += [Column(head, unit) for _, head, unit, _, _ in VALUES]
    columns += [Column(head, "% DM") for _, head in EXTRA]
    columns += [Column("Starchy grain? 1 yes, 0 no", "yes/no", width=11)]
    columns += [
        Column("Counts as starchy grain?", "words", width=20),
        Column("The same: 1 yes, 0 no", "yes/no", width=9),
        Column("Urea in it? 1 yes, 0 no", "yes/no", width=9),
    ]
    columns += [Column("Feed book: TDN", "% DM"), Column("Feed book: CP", "% DM")]
    columns += [
        Column("Price of dry matter", "$/ton DM"),
        Column("Price of TDN", "$/lb"),
        Column("Price of CP", "$/lb"),
        *doubts.COLUMNS,
    ]
    table_heads(sheet, columns, [(0, "Typed in"), (4 + len(VALUES) + len(EXTRA), "Computed")])
    wide = {str(row["feed"]): row for row in feed_table.wide()}
    names = [*prices, *[""] * SPARE]
    for i, name in enumerate(names):
        row = FIRST + i
        prefix = f"Feeds/{i + 1}"
        known = wide.get(name)
        text = Input(
            f"{prefix}/name",
            "Feed",
            "A name of your own; leave the row empty when not used",
            kind="text",
            required=False,
        )
        sheet.entry(row, 0, name or None, text, "input_text")
        source = Input(
            f"{prefix}/book",
            "Name in the feed book",
            f"The feed book's name whose feeding limits apply, or {NONE}",
            kind="text",
        )
        sheet.entry(row, 1, name if known else NONE, source, "input_text")
        price = Input(
            f"{prefix}/price",
            "Price",
            "Dollars per short ton as fed, delivered, 0 to 100,000",
            lo=0,
            hi=100000,
            required=False,
        )
        sheet.entry(row, 2, prices.get(name), price, "input_money", "$/ton as fed")
        for k, (column, _, unit, function, argument) in enumerate(VALUES, 3):
            value = known.get(column) if known else None
            sheet.entry(row, k, value, input_for(f"{prefix}/{column}", function, argument, False), "input", unit)
        for k, (column, head) in enumerate(EXTRA, 3 + len(VALUES)):
            entry = Input(
                f"{prefix}/{column}",
                head,
                f"{head}, % of dry matter, 0 to 100; empty when not known",
                lo=0,
                hi=100,
                required=False,
            )
            sheet.entry(row, k, known.get(column) if known else None, entry, "input2", "% DM")
        at = 3 + len(VALUES) + len(EXTRA)
        grain = Input(f"{prefix}/grain", "Starchy grain?", GRAIN_SAYS, lo=0, hi=1, kind="whole", required=False)
        sheet.entry(row, at, None, grain, "input0", "yes/no")
        sheet.put(row, at + 1, _grain_said(book, row, at), "small")
        sheet.put(row, at + 2, Formula(f'=IF(MID({local(row, at + 1)},1,3)="yes",1,0)'), "number0", unit="yes/no")
        sheet.put(row, at + 3, _urea(row), "number0", unit="yes/no")
        at += 4
        unbooked = (f'{local(row, 1)}="{NONE}"', '""')
        for k, column in enumerate(("TDN", "CP")):
            sheet.put(
                row,
                at + k,
                call("FEED_ANALYSIS", local(row, 1), f'"{column}"', unless=unbooked),
                "number2",
                unit="% DM",
            )
        price_ref, dm, tdn, cp = (local(row, k) for k in range(2, 6))
        empty = (f"COUNT({price_ref},{dm},{tdn},{cp})<4", '""')
        sheet.put(row, at + 2, call("PRICE_PER_DRY_TON", price_ref, dm, unless=empty), "money", unit="$/ton DM")
        for k, nutrient in enumerate((tdn, cp), 3):
            nothing = (f"OR(COUNT({price_ref},{dm},{nutrient})<3,N({nutrient})=0)", '""')
            cost = call("COST_PER_LB_NUTRIENT", price_ref, dm, nutrient, unless=nothing)
            sheet.put(row, at + k, cost, "number3", unit="$/lb")
    last = FIRST + len(names) - 1
    order = (
        "name",
        "book",
        "price",
        *(c for c, *_ in VALUES),
        *(c for c, _ in EXTRA),
        "grain",
        "grain_said",
        "is_grain",
        "is_urea",
    )
    book.marks["feeds"] = {"n": len(names), **{k: sheet.span(FIRST, col, last, col) for col, k in enumerate(order)}}
    book.marks["feeds"] |= {k: sheet.span(FIRST, at + i, last, at + i) for i, k in ((3, "tdn_cost"), (4, "cp_cost"))}
    book.marks["feeds_at"] = {k: col for col, k in enumerate(order)}
    doubts.add(book, sheet, "feeds", book.marks["feeds_at"], len(columns) - len(doubts.COLUMNS), [""] * len(names))


def _urea(row: int) -> Formula:
    """By its names, or by more protein than protein itself holds."""
    named = ",".join(f'ISNUMBER(SEARCH("{UREA}",{local(row, col)}))' for col in (0, 1))
    cp = local(row, 3 + [column for column, *_ in VALUES].index("cp_pct"))
    return Formula(f"=IF(OR({named},N({cp})>{MOST_PROTEIN_PCT:g}),1,0)")


def _grain_said(book: Book, row: int, at: int) -> Formula:
    """Whether a feed counts as starchy grain, and who says so; what nobody has answered counts as grain.

    The feeding limits give a danger line by body weight for starchy grains alone.
    """
    typed, name = local(row, at), f"({book.table_range('feeding_limits', 'feed')}={local(row, 1)})"
    danger = f"SUMPRODUCT({name}*{book.table_range('feeding_limits', 'danger_pct_bw')})"
    by_book = f'IF(SUMPRODUCT(--{name})=0,"{NOT_SAID}",IF({danger}>0,"yes, by the feed book","no, by the feed book"))'
    return Formula(
        f'=IF({local(row, 0)}="","",IF(COUNT({typed})=0,{by_book},IF({typed}=0,"no, as typed","yes, as typed")))'
    )
