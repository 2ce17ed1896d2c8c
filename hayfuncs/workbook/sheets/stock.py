"""Stock: the hay of each lot net of losses, and what its dry matter, energy and protein cost."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, call
from hayfuncs.workbook.sheets.common import FIRST, begin, found, list_row
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Grid, Ref, Row, listed, of_record, there

STAND_IN = 1000  # lb: the weight cancels, so any would do
FEEDER = 2  # the column of Fed in; the Register, filled before, looks at it
REFERENCE = ("place", "price", "dm", "tdn", "cp")


def fill(book: Book, lots: Sequence[Lot], barn: Barn, reference: str) -> None:
    sheet = begin(
        book, "Stock", "Hay on hand and what it costs",
        "One row is one lot. Tons are those of the sheet Lots where typed, else bales times weight (sheet Register); losses are taken off in turn.",
        "Inputs, then workings",
    )  # fmt: skip
    stored = [barn.lot(lot.name) for lot in lots]
    grid = Grid(sheet, len(lots))
    lot_name, dm, tdn, cp = (there(book, "Lots", "lots", k) for k in ("name", "lab_dm_pct", "tdn", "cp"))
    storage, tons, weight = (there(book, "Register", "register", k) for k in ("storage", "tons", "weight"))
    feeders = book.table_range("feeding_loss", "feeder")
    grid.add("name", "Hay lot", "name", lambda r: Formula(f"={lot_name(r)}"), "label", 30)
    grid.add("storage", "Where stored", "name of a method", lambda r: Formula(f'={storage(r)}&""'), "text", 28)
    grid.band("Typed in")
    grid.ask("feeder", "Fed in", "name of a feeder", [s.feeder for s in stored],
             listed("Fed in", "What the lot is fed in: pick one of the list", feeders), "input_text", 18)  # fmt: skip
    grid.ask("price", "Price, by the ton", "$/ton as fed", [x.price_per_ton for x in lots],
             of_record("PRICE_PER_DRY_TON", "price_per_ton"), "input_money")  # fmt: skip
    grid.ask("bale_price", "Price, by the bale", "$", [s.price_per_bale for s in stored],
             of_record("BALE_PRICE_PER_TON", "price_per_bale"), "input_money")  # fmt: skip
    grid.band("Hay on hand")
    _on_hand(grid, tons, dm, weight)
    grid.band("What it costs")
    grid.add("by_bale", "Price per ton, from the bale's", "$/ton as fed",
             lambda r: call("BALE_PRICE_PER_TON", r["bale_price"], weight(r), unless=(f"COUNT({r['bale_price']},{weight(r)})<2", '""')), "money")  # fmt: skip
    grid.add("paid", "Price used", "$/ton as fed",
             lambda r: Formula(f'=IF({r["price"]}<>"",{r["price"]},IF({r["by_bale"]}="",{NOT_ENTERED},{r["by_bale"]}))'), "result_money")  # fmt: skip

    def unless(r: Row) -> tuple[str, str]:
        return (f"COUNT({r['paid']})=0", NOT_ENTERED)

    grid.add(
        "dry",
        "Price of dry matter",
        "$/ton DM",
        lambda r: call("PRICE_PER_DRY_TON", r["paid"], dm(r), unless=unless(r)),
        "money",
    )
    grid.add(
        "tdn",
        "Price of TDN",
        "$/lb",
        lambda r: call("COST_PER_LB_NUTRIENT", r["paid"], dm(r), tdn(r), unless=unless(r)),
        "number3",
    )
    grid.add(
        "cp",
        "Price of CP",
        "$/lb",
        lambda r: call("COST_PER_LB_NUTRIENT", r["paid"], dm(r), cp(r), unless=unless(r)),
        "number3",
    )
    for mark, at, word in (("even_tdn", tdn, "TDN"), ("even_cp", cp, "CP")):
        grid.add(mark, f"Worth by its {word}, at the reference lot's price", "$/ton as fed",
                 partial(_even, dm=dm, nutrient=at, word=word), "money", 14)  # fmt: skip
    grid.add("says", "By energy, against the reference", "words", _says, "text", 20)
    grid.add("value", "Hay in store at its price", "$",
             lambda r: Formula(f"=IF(COUNT({r['paid']},{r['tons']})<2,{NOT_ENTERED},{r['paid']}*{r['tons']})"), "money0", 14)  # fmt: skip
    grid.done("stock", 22)
    assert book.marks["stock_at"]["feeder"] == FEEDER
    sheet.put(FIRST - 4, 1, "Reference lot for prices", "unit_cell")
    pick = Input(
        "Stock/reference",
        "Reference lot",
        "The lot whose price the others are held against",
        source=book.marks["lots"]["name"],
        kind="word",
    )
    book.define("reference_lot", sheet.entry(FIRST - 4, 2, reference, pick, "input_text"))
    _below(book, sheet)


def _on_hand(grid: Grid, tons: Ref, dm: Ref, weight: Ref) -> None:
    grid.add("tons", "Hay in store", "tons as fed", lambda r: Formula(f"={tons(r)}"), "number1")
    grid.add("weight", "Bale weight to count with", "lb as fed",
             lambda r: Formula(f"=IF(COUNT({weight(r)})=0,stand_in_bale,{weight(r)})"), "number0", 13)  # fmt: skip
    grid.add("bales", "Bales of that weight", "bales",
             lambda r: Formula(f"=IF(COUNT({r['tons']})=0,{NOT_ENTERED},{r['tons']}*lb_per_ton/{r['weight']})"), "number1", 13)  # fmt: skip
    grid.add("storage_loss", "Lost in storage", "% DM",
             lambda r: call("STORAGE_LOSS", r["storage"], unless=(f'{r["storage"]}=""', NOT_ENTERED)), "number1")  # fmt: skip
    grid.add("feeding_loss", "Wasted at feeding", "% DM",
             lambda r: call("FEEDING_LOSS", r["feeder"], unless=(f'{r["feeder"]}=""', NOT_ENTERED)), "number1")  # fmt: skip

    grid.add("net", "Hay that will be eaten", "lb as fed",
             lambda r: call("HAY_ON_HAND", r["bales"], r["weight"], r["storage_loss"], r["feeding_loss"], unless=(_unknown(r), NOT_ENTERED)), "number0")  # fmt: skip
    lines: tuple[tuple[str, str, str, str], ...] = (
        ("eaten", "The same in tons", "tons as fed", "{net}/lb_per_ton"),
        ("lost", "Tons lost in storage", "tons as fed", "{tons}*{storage_loss}/100"),
        ("wasted", "Tons wasted at feeding", "tons as fed", "({tons}-{lost})*{feeding_loss}/100"),
        ("eaten_dm", "Dry matter eaten", "lb DM", "{net}*{dm}/100"),
    )
    for mark, head, unit, formula in lines:
        grid.add(
            mark,
            head,
            unit,
            partial(_line, formula=formula, dm=dm),
            "result1" if mark == "eaten" else "number0" if mark == "eaten_dm" else "number1",
        )
    grid.add(
        "counted",
        "Tons counted in the totals",
        "tons as fed",
        lambda r: Formula(f"=IF({_unknown(r)},0,{r['tons']})"),
        "number1",
    )


def _unknown(r: Row) -> str:
    return f"COUNT({r.all('tons', 'storage_loss', 'feeding_loss')})<3"


def _line(r: Row, formula: str, dm: Ref) -> Formula:
    refs = {
        k: r[k] for k in ("net", "eaten", "tons", "storage_loss", "lost", "feeding_loss") if "{" + k + "}" in formula
    }
    return Formula(f"=IF({_unknown(r)},{NOT_ENTERED},{formula.format(dm=dm(r), **refs)})")


def _even(r: Row, dm: Ref, nutrient: Ref, word: str) -> Content:
    known = "reference_price", "reference_dm", f"reference_{word.lower()}"
    return call("BREAK_EVEN_PRICE", *known, dm(r), nutrient(r), unless=("COUNT(reference_price)=0", NOT_ENTERED))


def _says(r: Row) -> Formula:
    paid, even = r["paid"], r["even_tdn"]
    return Formula(
        f'=IF(COUNT({paid},{even})<2,{NOT_ENTERED},CHOOSE(2+SIGN(ROUND({paid}-{even},2)),"cheaper","the same","dearer"))'
    )


def _below(book: Book, sheet: Sheet) -> None:
    """The reference lot's values, then totals and the means that the herd's need divides by."""
    lots, stock = book.marks["lots"], book.marks["stock"]
    row = FIRST + lots["n"] + 1
    sheet.put(row, 0, "The reference lot", "section")

    def of(column: str) -> Formula:
        return Formula(f"=IF(COUNT(reference_place)=0,{NOT_ENTERED},INDEX({column},reference_place))")

    values = (
        ("Row of Lots", found("reference_lot", lots["name"]), "row of Lots", "number0"), ("Price", of(stock["paid"]), "$/ton as fed", "money"),
        ("Dry matter", of(lots["lab_dm_pct"]), "% as fed", "number2"),
        ("TDN", of(lots["tdn"]), "% DM", "number2"), ("Crude protein", of(lots["cp"]), "% DM", "number2"),
    )  # fmt: skip
    for name, (label, content, unit, style) in zip(REFERENCE, values, strict=True):
        row += 1
        book.define(f"reference_{name}", list_row(sheet, row, label, content, unit, style))
    row += 1
    stand_in = list_row(sheet, row, "Bale to count with, none known", STAND_IN, "lb as fed", "number0")
    book.define("stand_in_bale", stand_in)
    sheet.put(row, 3, "Tons stay the same whatever it is: bales are tons over this weight.", "sentence")
    row += 2
    sheet.put(row, 0, "All lots together", "section")
    counted, lost, wasted, net, dm = (stock[k] for k in ("counted", "lost", "wasted", "net", "eaten_dm"))

    def share(part: str, whole: str) -> Formula:
        return Formula(f"=IF(SUM({counted})=0,{NOT_ENTERED},100*SUM({part})/({whole}))")

    totals = (
        ("lots_left_out", "Lots left out (not entered)", Formula(f"={lots['n']}-COUNT({stock['net']})"), "1", "number0"),
        ("hay_in_store", "Hay in store", Formula(f"=SUM({counted})*lb_per_ton"), "lb as fed", "number0"),
        ("hay_eaten", "Hay that will be eaten", Formula(f"=SUM({net})"), "lb as fed", "number0"),
        ("mean_storage_loss", "Lost in storage, of all", share(lost, f"SUM({counted})"), "% DM", "number2"),
        ("mean_feeding_loss", "Wasted, of what is fed", share(wasted, f"SUM({counted})-SUM({lost})"), "% DM", "number2"),
        ("mean_dm", "Dry matter of the hay eaten", share(dm, f"SUM({net})"), "% as fed", "number2"),
    )  # fmt: skip
    for name, label, content, unit, style in totals:
        row += 1
        book.define(name, list_row(sheet, row, label, content, unit, style))
