"""Longhand stock: the chosen lot's hay on hand and cost, and the chosen group's need, worked by hand."""

from __future__ import annotations

from hayfuncs.spreadsheet.a1 import split_address
from hayfuncs.workbook.keyed import NOT_ENTERED
from hayfuncs.workbook.model import Book, Formula
from hayfuncs.workbook.sheets.longhand import Line, Paper, begin_paper, compare
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.stock import Stock
from hayfuncs.workbook.sheets.waste import Waste
from hayfuncs.workbook.sheets.winterneed import WinterNeed

NO_SUCH = '"does not apply"'


class StockPaper(Paper):
    """A page whose values may not be entered: such lines say so, and so do those that need them."""

    def of_lot(self, span: str) -> str:
        return f"INDEX({span},{self.book.find(Ration).lots})"

    def of_group(self, span: str) -> str:
        return f"INDEX({span},{self.book.find(Ration).herd})"

    def lot(self, label: str, span: str, unit: str, style: str = "number2") -> Line:
        return self._chosen(label, span, self.of_lot(span), unit, style)

    def group(self, label: str, span: str, unit: str, style: str = "number2") -> Line:
        return self._chosen(label, span, self.of_group(span), unit, style)

    def _chosen(self, label: str, span: str, at: str, unit: str, style: str) -> Line:
        content = Formula(f'=IF({at}="",{NOT_ENTERED},{at})')
        return self.line(
            label,
            content,
            unit,
            f"the row of what is chosen on What to feed, sheet {split_address(span)[0]}",
            "",
            style,
        )

    def named(self, label: str, name: str, unit: str, style: str = "number2") -> Line:
        where = split_address(self.book.names[name])[0]
        content = Formula(f'=IF({name}="",{NOT_ENTERED},{name})')
        return self.line(label, content, unit, f"{name}, sheet {where}", "", style)


def missing(*lines: Line) -> tuple[str, str]:
    return (f"COUNT({','.join(line.ref for line in lines)})<{len(lines)}", NOT_ENTERED)


def fill(book: Book) -> None:
    paper = begin_paper(
        book, "Longhand stock", "Hay on hand and its cost, worked by hand",
        "The lot and the group chosen on What to feed, line by line in ordinary arithmetic; [line n] means the value of line n. Each part ends with the function's answer.",
        StockPaper,
    )  # fmt: skip
    weight = _bale(paper)
    dm, feeder, feeding = _on_hand(paper)
    _cost(paper, weight, dm)
    _need(paper, feeder, feeding)
    book.marks["longhand_stock_difference"] = compare(paper)


def _bale(paper: StockPaper) -> Line:
    register = paper.book.find(Register)
    paper.section("What is given of the lot")
    bale = paper.lot("Kind of bale", register.bale, "word", "text")
    height = paper.lot("Height, or diameter of a round bale", register.height, "ft")
    width = paper.lot("Width", register.width, "ft")
    length = paper.lot("Length", register.length, "ft")
    density = paper.lot("Density", register.density, "lb/ft3")
    not_round = f'OR({bale.ref}<>"round",{missing(height, width, density)[0]})'
    paper.function(
        "ROUND_BALE_WEIGHT", paper.of_lot(register.round), "Weight of a round bale by its size", (not_round, NO_SUCH),
        diameter_ft=height, width_ft=width, density_lb_ft3=density,
    )  # fmt: skip
    not_square = f'OR(OR({bale.ref}="round",{bale.ref}={NOT_ENTERED}),{missing(height, width, length, density)[0]})'
    paper.function(
        "SQUARE_BALE_WEIGHT", paper.of_lot(register.square), "Weight of a rectangular bale by its size", (not_square, NO_SUCH),
        height_ft=height, width_ft=width, length_ft=length, density_lb_ft3=density,
    )  # fmt: skip
    paper.section("Weight of a bale")
    return paper.lot("Bale weight used: weighed, else by size", register.weight, "lb as fed")


def _on_hand(paper: StockPaper) -> tuple[Line, Line, Line]:
    stock = paper.book.find(Stock)
    paper.section("What is given of the store")
    dm = paper.lot("Dry matter", paper.book.find(Lots).lab_dm_pct, "% as fed")
    method = paper.lot("Where stored", stock.storage, "name", "text")
    feeder = paper.lot("Fed in", stock.feeder, "name", "text")
    bales = paper.lot("Bales of that weight", stock.bales, "bales")
    bale = paper.lot("Bale weight to count with", stock.weight, "lb as fed")
    storage = paper.function("STORAGE_LOSS", paper.of_lot(stock.storage_loss), "Lost in storage", (f"{method.ref}={NOT_ENTERED}", NOT_ENTERED), method=method)  # fmt: skip
    feeding = paper.function("FEEDING_LOSS", paper.of_lot(stock.feeding_loss), "Wasted at feeding", (f"{feeder.ref}={NOT_ENTERED}", NOT_ENTERED), feeder=feeder)  # fmt: skip
    paper.function(
        "HAY_ON_HAND", paper.of_lot(stock.net), "Hay that will be eaten", missing(bales, storage, feeding),
        bales=bales, bale_weight_lb=bale, storage_loss_pct=storage, feeding_loss_pct=feeding,
    )  # fmt: skip
    return dm, feeder, feeding


def _cost(paper: StockPaper, weight: Line, dm: Line) -> None:
    stock, lots, of = paper.book.find(Stock), paper.book.find(Lots), paper.of_lot
    paper.section("What is given of the price")
    bale_price = paper.lot("Price of a bale", stock.bale_price, "$", "money")
    paid = paper.lot("Price used: by the ton where typed, else by the bale", stock.paid, "$/ton as fed", "money")
    tdn = paper.lot("TDN", lots.tdn, "% DM")
    cp = paper.lot("Crude protein", lots.cp, "% DM")
    paper.function("BALE_PRICE_PER_TON", of(stock.by_bale), "Price of a ton, from the bale's", missing(bale_price, weight), price_per_bale=bale_price, bale_weight_lb=weight)  # fmt: skip
    paper.function("PRICE_PER_DRY_TON", of(stock.dry), "Price of dry matter", missing(paid), price_per_ton=paid, dm_pct=dm)  # fmt: skip
    for word, line, answer in (("TDN", tdn, stock.tdn), ("CP", cp, stock.cp)):
        paper.function("COST_PER_LB_NUTRIENT", of(answer), f"Price of {word}", missing(paid), price_per_ton=paid, dm_pct=dm, nutrient_pct=line)  # fmt: skip
    paper.section("The reference lot")
    price = paper.named("Reference lot, price", "reference_price", "$/ton as fed")
    other = paper.named("Reference lot, dry matter", "reference_dm", "% as fed")
    held = (paper.named("Reference lot, TDN", "reference_tdn", "% DM"), paper.named("Reference lot, crude protein", "reference_cp", "% DM"))  # fmt: skip
    for word, of_reference, line, answer in (("TDN", held[0], tdn, stock.even_tdn), ("CP", held[1], cp, stock.even_cp)):
        paper.function(
            "BREAK_EVEN_PRICE", of(answer), f"Worth by its {word}, at the reference lot's price", missing(price),
            price_per_ton=price, dm_pct=other, nutrient_pct=of_reference, other_dm_pct=dm, other_nutrient_pct=line,
        )  # fmt: skip


def _need(paper: StockPaper, feeder: Line, feeding: Line) -> None:
    winter, waste, of = paper.book.find(WinterNeed), paper.book.find(Waste), paper.of_group
    paper.section("What is given of the group and the winter")
    head = paper.group("Head", winter.head, "head")
    intake = paper.group("Hay eaten, as chosen", winter.intake, "lb DM/day")
    days = paper.named("Days of hay feeding", "winter_days", "days")
    dm = paper.named("Dry matter of the hay eaten", "mean_dm", "% as fed")
    lost = paper.named("Lost in storage, of all", "mean_storage_loss", "% DM")
    wasted = paper.named("Wasted, of what is fed", "mean_feeding_loss", "% DM")
    group_needs = paper.function(
        "HAY_NEEDED", of(winter.needed), "Hay the group needs, at storing", missing(intake, days, dm, lost, wasted),
        head=head, intake_dm_lb=intake, days=days, dm_pct=dm, storage_loss_pct=lost, feeding_loss_pct=wasted,
    )  # fmt: skip
    bale = paper.group("Bale of the lot named for the group", winter.weight, "lb as fed")
    paper.function("BALES_NEEDED", of(winter.bales), "Bales the group needs", missing(group_needs, bale), hay_needed_lb=group_needs, bale_weight_lb=bale)  # fmt: skip
    paper.section("The farm: needed against store")
    needed = paper.named("Hay needed, all groups", "hay_needed", "lb as fed", "number0")
    store = paper.named("Hay in store", "hay_in_store", "lb as fed", "number0")
    price = paper.named("Price of hay to buy", "bought_price", "$/ton as fed", "money")
    cows = paper.named("Head counted", "herd_head", "head")
    eaten = paper.named("Hay eaten, mean of all cows", "herd_intake", "lb DM/day")
    net = paper.named("Hay that will be eaten", "hay_eaten", "lb as fed", "number0")
    unknown = f"({missing(needed, days)[0]})+({store.ref}<=0)>0", NOT_ENTERED
    short = paper.function("HAY_SHORT", "hay_short", "Hay short", unknown, hay_needed_lb=needed, hay_lb=store)
    paper.function("HAY_COST", "cost_short", "What the hay short costs", missing(short, price), hay_lb=short, price_per_ton=price)  # fmt: skip
    said = f"IF(COUNT({feeding.ref})=0,{NOT_ENTERED},INDEX({waste.wasted},MATCH({feeder.ref},{waste.name},0)))"
    paper.function(
        "HAY_WASTED", said, "What the chosen lot's feeder wastes in a winter, all cows", missing(cows, eaten, days, dm, feeding),
        head=cows, intake_dm_lb=eaten, days=days, dm_pct=dm, feeding_loss_pct=feeding,
    )  # fmt: skip
    paper.function(
        "DAYS_OF_HAY", "days_of_hay", "How long the hay in store lasts", missing(dm, cows, eaten),
        hay_lb=net, dm_pct=dm, storage_loss_pct="0", feeding_loss_pct="0", head=cows, intake_dm_lb=eaten,
    )  # fmt: skip
