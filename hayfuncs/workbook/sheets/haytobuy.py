"""Hay to buy: what is on offer, from its own lab sheet, and what its nitrate lets it be in the diet."""

from __future__ import annotations

from functools import partial

from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.season import SPARE_OFFERS, USUAL_FEEDER, Season
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Row, listed, number, of_record, text
from hayfuncs.workbook.sheets.hazards import counted_nitrate

CLEMSON, MIDWEST = '"clemson"', '"midwest laboratory"'
MINERALS = (("ca", "Calcium", 10), ("p", "Phosphorus", 5))  # mark, heading, highest; need not be known
ASK = "Not tested for nitrate: ask for a test before it is bought."
COLUMNS = (  # of hay that can be bought: mark, heading, unit, lowest, highest
    ("dm", "Dry matter", "% as fed", 1, 100), ("tdn", "TDN", "% DM", 1, 100), ("cp", "Crude protein", "% DM", 0, 60),
    ("ndf", "NDF", "% DM", 1, 95), ("fat", "Fat", "% DM", 0, 30), ("s", "Sulfur", "% DM", 0, 3),
)  # fmt: skip


def fill(book: Book, season: Season) -> None:
    sheet = begin(
        book, "Hay to buy", "Hay that can be bought",
        "Type what is on offer, from its own lab sheet, dry basis. An empty price is the one on Hay pile; empty tons mean as much as you like.",
        "Inputs, then workings",
    )  # fmt: skip
    offers = [*season.offers, *[None] * SPARE_OFFERS]
    grid = Grid(sheet, len(offers))

    def held(name: str) -> list[Content]:
        return [None if o is None else getattr(o, name) for o in offers]

    grid.band("Typed in")
    grid.ask(
        "name",
        "Hay on offer",
        "name",
        held("name"),
        text("Hay on offer", "A name of your own, unlike any lot's; empty when not used"),
        "input_text",
        30,
    )
    grid.ask(
        "typed",
        "Price, delivered",
        "$/ton as fed",
        held("price"),
        of_record("PRICE_PER_DRY_TON", "price_per_ton"),
        "input_money",
    )
    grid.ask(
        "tons",
        "Tons on offer",
        "tons as fed",
        held("tons"),
        number("Tons on offer", "Tons as fed that can be had", 0, 100000),
    )
    for mark, head, unit, lo, hi in COLUMNS:
        grid.ask(mark, head, unit, held(f"{mark}_pct"), number(head, f"{head}, {unit}", lo, hi))
    for mark, head, hi in MINERALS:
        says = f"{head}, % DM; empty counts at the untested hay's of Assumptions"
        grid.ask(mark, head, "% DM", held(f"{mark}_pct"), number(head, says, 0, hi))
    feeders = book.table_range("feeding_loss", "feeder")
    usual = [None if o is None else USUAL_FEEDER for o in offers]
    grid.ask("feeder", "Fed in, where the group names no feeder", "name of a feeder", usual,
             listed("Fed in", "What this hay is fed in; empty is an open ring", feeders), "input_text", 18)  # fmt: skip
    grid.ask(
        "loss",
        "Lost before it is fed",
        "% DM",
        held("storage_loss_pct"),
        number("Lost before it is fed", "Dry matter lost in your own store", 0, 95),
    )
    grid.ask(
        "nitrate_n_ppm",
        "Nitrate nitrogen (NO3-N)",
        "ppm of dry matter",
        held("nitrate_n_ppm"),
        of_record("NITRATE_MOST_SHARE", "nitrate_n_ppm"),
        "input0",
    )
    grid.band("Computed")
    grid.add(
        "price",
        "Price used",
        "$/ton as fed",
        lambda r: Formula(f'=IF({r["typed"]}<>"",{r["typed"]},IF(COUNT(bought_price)=0,"not entered",bought_price))'),
        "result_money",
        14,
    )
    fed_in = f'IF({{feeder}}="","{USUAL_FEEDER}",{{feeder}})'
    grid.add(
        "wasted",
        "Wasted at feeding",
        "% DM",
        lambda r: call("FEEDING_LOSS", fed_in.format(feeder=r["feeder"])),
        "number1",
    )
    grid.add("known", "All known? 1 yes, 0 no", "yes/no", _known, "number0", 10)
    grid.add("nitrate", "What its nitrate says", "words", _offers_nitrate, "small", 58)
    grid.band("Workings")
    for who, pregnant, words in (("calf", "1", "cows in calf"), ("open", "0", "other cattle")):
        for mark, scale, of in (("a", CLEMSON, "Clemson scale"), ("b", MIDWEST, "midwest laboratory's scale")):
            head = f"Most of a mixed diet by nitrate, {words}, {of}"
            grid.add(
                f"share_{who}_{mark}", head, "% DM", partial(_share, pregnant=pregnant, scale=scale), "number0", 14
            )
        grid.add(f"share_{who}", f"The stricter, {words}", "% DM", partial(_stricter, who=who), "number0", 12)
    grid.done("offers")
    sheet.printed_cols = book.marks["offers_at"]["nitrate"] + 1
    sheet.put(
        FIRST + len(offers) + 1,
        0,
        "The hays shown first are invented. Ask for a lab sheet before you buy, nitrate too; the veterinarian has the last word on suspect hay.",
        "sentence",
    )


def _share(r: Row, pregnant: str, scale: str) -> Content:
    """100 where it was not tested, which does not make it safe."""
    untested = (f'{r["nitrate_n_ppm"]}=""', "100")
    return call("NITRATE_MOST_SHARE", counted_nitrate(r["nitrate_n_ppm"]), pregnant, scale, unless=untested)


def _stricter(r: Row, who: str) -> Content:
    return Formula(f"=MIN({r.all(f'share_{who}_a', f'share_{who}_b')})")


def _offers_nitrate(r: Row) -> Formula:
    who = f'IF({r["share_open"]}<100,"any cattle","cows in calf")'
    held = f'"Nitrate: as the whole diet not for "&{who}&"; fed to them only where Winter says that hay is ground and mixed, then at most a part. The veterinarian decides."'
    tested = f'IF(MIN({r["share_calf"]},{r["share_open"]})<100,{held},"Tested for nitrate: it holds nothing back.")'
    return Formula(f'=IF({r["name"]}="","",IF({r["nitrate_n_ppm"]}="","{ASK}",{tested}))')


def _known(r: Row) -> Formula:
    return Formula(
        f'=IF(AND({r["name"]}<>"",COUNT({r.all("price", *(mark for mark, *_ in COLUMNS))})={len(COLUMNS) + 1}),1,0)'
    )
