"""Longhand stock: the chosen lot's hay on hand and cost, and the chosen group's need, worked by hand."""

from __future__ import annotations

from hayfuncs.spreadsheet.a1 import split_address
from hayfuncs.workbook.model import Book, Formula
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import NOT_ENTERED
from hayfuncs.workbook.sheets.longhand import Line, Paper, compare


class StockPaper(Paper):
    """A page whose values may not be entered: such lines say so, and so do those that need them."""

    def from_table(self, label: str, span: str, place: str, unit: str, style: str = "number2") -> Line:
        at = f"INDEX({span},{place})"
        name = split_address(span)[0]
        content = Formula(f'=IF({at}="",{NOT_ENTERED},{at})')
        return self.line(label, content, unit, f"the row chosen on Ration, sheet {name}", "", style)

    def named(self, label: str, name: str, unit: str, style: str = "number2") -> Line:
        where = split_address(self.book.names[name])[0]
        content = Formula(f'=IF({name}="",{NOT_ENTERED},{name})')
        return self.line(label, content, unit, f"{name}, sheet {where}", "", style)


def missing(*lines: Line) -> tuple[str, str]:
    return (f"COUNT({','.join(line.ref for line in lines)})<{len(lines)}", NOT_ENTERED)


def fill(book: Book) -> None:
    sheet = begin(
        book, "Longhand stock", "Hay on hand and its cost, worked by hand",
        "The lot and the group chosen on Ration, line by line in ordinary arithmetic; [line n] means the value of line n. Each part ends with the function's answer.",
        "Workings",
    )  # fmt: skip
    sheet.width(9, 27, 14, 15, 44, 38)
    sheet.heads(4, 0, ["Line", "What", "Value", "Unit", "How, in words", "Source"])
    sheet.freeze = (5, 0)
    sheet.repeat_rows = (4, 4)
    paper = StockPaper(book, sheet, 4)
    lot, group = book.marks["ration"]["lots"], book.marks["ration"]["herd"]
    weight = _bale(book, paper, lot)
    dm, feeder, feeding = _on_hand(book, paper, lot)
    _cost(book, paper, lot, weight, dm)
    _need(book, paper, group, feeder, feeding)
    book.marks["longhand_stock_difference"] = compare(paper)


def _bale(book: Book, paper: StockPaper, lot: str) -> Line:
    register = book.marks["register"]
    paper.section("What is given of the lot")
    bale = paper.from_table("Kind of bale", register["bale"], lot, "word", "text")
    sizes = {k: paper.from_table(label, register[k], lot, unit) for k, label, unit in (
        ("height", "Height, or diameter of a round bale", "ft"), ("width", "Width", "ft"), ("length", "Length", "ft"), ("density", "Density", "lb/ft3"))}  # fmt: skip
    round_sizes = (sizes["height"], sizes["width"], sizes["density"])
    for name, args, of_kind, mark in (
        ("ROUND_BALE_WEIGHT", dict(zip(("diameter_ft", "width_ft", "density_lb_ft3"), round_sizes, strict=True)), f'{bale.ref}<>"round"', "round"),
        ("SQUARE_BALE_WEIGHT", {"height_ft": sizes["height"], "width_ft": sizes["width"], "length_ft": sizes["length"], "density_lb_ft3": sizes["density"]},
         f'OR({bale.ref}="round",{bale.ref}={NOT_ENTERED})', "square"),
    ):  # fmt: skip
        unknown = f"OR({of_kind},{missing(*args.values())[0]})"
        label = f"Weight of a {'round' if mark == 'round' else 'rectangular'} bale by its size"
        paper.function(name, args, f"INDEX({register[mark]},{lot})", label, (unknown, '"does not apply"'))
    paper.section("Weight of a bale")
    return paper.from_table("Bale weight used: weighed, else by size", register["weight"], lot, "lb as fed")


def _on_hand(book: Book, paper: StockPaper, lot: str) -> tuple[Line, Line, Line]:
    stock, lots = book.marks["stock"], book.marks["lots"]
    paper.section("What is given of the store")
    dm = paper.from_table("Dry matter", lots["lab_dm_pct"], lot, "% as fed")
    method = paper.from_table("Where stored", stock["storage"], lot, "name", "text")
    feeder = paper.from_table("Fed in", stock["feeder"], lot, "name", "text")
    bales = paper.from_table("Bales of that weight", stock["bales"], lot, "bales")
    bale = paper.from_table("Bale weight to count with", stock["weight"], lot, "lb as fed")
    untold = (f"{method.ref}={NOT_ENTERED}", NOT_ENTERED)
    storage = paper.function(
        "STORAGE_LOSS", {"method": method}, f"INDEX({stock['storage_loss']},{lot})", "Lost in storage", untold
    )
    untold = (f"{feeder.ref}={NOT_ENTERED}", NOT_ENTERED)
    feeding = paper.function(
        "FEEDING_LOSS", {"feeder": feeder}, f"INDEX({stock['feeding_loss']},{lot})", "Wasted at feeding", untold
    )
    args: dict[str, Line | str] = {
        "bales": bales,
        "bale_weight_lb": bale,
        "storage_loss_pct": storage,
        "feeding_loss_pct": feeding,
    }
    paper.function(
        "HAY_ON_HAND", args, f"INDEX({stock['net']},{lot})", "Hay that will be eaten", missing(bales, storage, feeding)
    )
    return dm, feeder, feeding


def _cost(book: Book, paper: StockPaper, lot: str, weight: Line, dm: Line) -> None:
    stock, lots = book.marks["stock"], book.marks["lots"]

    def of(mark: str) -> str:
        return f"INDEX({stock[mark]},{lot})"

    paper.section("What is given of the price")
    bale_price = paper.from_table("Price of a bale", stock["bale_price"], lot, "$", "money")
    paid = paper.from_table(
        "Price used: by the ton where typed, else by the bale", stock["paid"], lot, "$/ton as fed", "money"
    )
    tdn = paper.from_table("TDN", lots["tdn"], lot, "% DM")
    cp = paper.from_table("Crude protein", lots["cp"], lot, "% DM")
    paper.function(
        "BALE_PRICE_PER_TON",
        {"price_per_bale": bale_price, "bale_weight_lb": weight},
        of("by_bale"),
        "Price of a ton, from the bale's",
        missing(bale_price, weight),
    )
    price: dict[str, Line | str] = {"price_per_ton": paid, "dm_pct": dm}
    paper.function("PRICE_PER_DRY_TON", price, of("dry"), "Price of dry matter", missing(paid))
    for nutrient, line in (("tdn", tdn), ("cp", cp)):
        paper.function(
            "COST_PER_LB_NUTRIENT",
            price | {"nutrient_pct": line},
            of(nutrient),
            f"Price of {nutrient.upper()}",
            missing(paid),
        )
    paper.section("The reference lot")
    reference = {k: paper.named(f"Reference lot, {label}", f"reference_{k}", unit) for k, label, unit in (
        ("price", "price", "$/ton as fed"), ("dm", "dry matter", "% as fed"), ("tdn", "TDN", "% DM"), ("cp", "crude protein", "% DM"))}  # fmt: skip
    for nutrient, line in (("tdn", tdn), ("cp", cp)):
        args: dict[str, Line | str] = {"price_per_ton": reference["price"], "dm_pct": reference["dm"], "nutrient_pct": reference[nutrient],
                                       "other_dm_pct": dm, "other_nutrient_pct": line}  # fmt: skip
        paper.function(
            "BREAK_EVEN_PRICE",
            args,
            of(f"even_{nutrient}"),
            f"Worth by its {nutrient.upper()}, at the reference lot's price",
            missing(reference["price"]),
        )


def _need(book: Book, paper: StockPaper, group: str, feeder: Line, feeding: Line) -> None:
    winter, waste = book.marks["winter"], book.marks["waste"]
    paper.section("What is given of the group and the winter")
    head = paper.from_table("Head", winter["head"], group, "head")
    intake = paper.from_table("Hay eaten, as chosen", winter["intake"], group, "lb DM/day")
    days = paper.named("Days of hay feeding", "winter_days", "days")
    mean = {k: paper.named(label, k, unit) for k, label, unit in (
        ("mean_dm", "Dry matter of the hay eaten", "% as fed"), ("mean_storage_loss", "Lost in storage, of all", "% DM"), ("mean_feeding_loss", "Wasted, of what is fed", "% DM"))}  # fmt: skip
    herd: dict[str, Line | str] = {"head": head, "intake_dm_lb": intake, "days": days}
    of_store: dict[str, Line | str] = {
        "dm_pct": mean["mean_dm"],
        "storage_loss_pct": mean["mean_storage_loss"],
        "feeding_loss_pct": mean["mean_feeding_loss"],
    }
    unknown = missing(intake, days, mean["mean_dm"], mean["mean_storage_loss"], mean["mean_feeding_loss"])
    group_needs = paper.function(
        "HAY_NEEDED", herd | of_store, f"INDEX({winter['needed']},{group})", "Hay the group needs, at storing", unknown
    )
    bale = paper.from_table("Bale of the lot named for the group", winter["weight"], group, "lb as fed")
    paper.function(
        "BALES_NEEDED",
        {"hay_needed_lb": group_needs, "bale_weight_lb": bale},
        f"INDEX({winter['bales']},{group})",
        "Bales the group needs",
        missing(group_needs, bale),
    )
    paper.section("The farm: needed against store")
    needed, store = (
        paper.named(label, name, "lb as fed", "number0")
        for label, name in (("Hay needed, all groups", "hay_needed"), ("Hay in store", "hay_in_store"))
    )
    price = paper.named("Price of hay to buy", "bought_price", "$/ton as fed", "money")
    cows, eaten = (
        paper.named("Head counted", "herd_head", "head"),
        paper.named("Hay eaten, mean of all cows", "herd_intake", "lb DM/day"),
    )
    net = paper.named("Hay that will be eaten", "hay_eaten", "lb as fed", "number0")
    known = missing(needed, days)
    short = paper.function(
        "HAY_SHORT",
        {"hay_needed_lb": needed, "hay_lb": store},
        "hay_short",
        "Hay short",
        (f"({known[0]})+({store.ref}<=0)>0", NOT_ENTERED),
    )
    paper.function(
        "HAY_COST",
        {"hay_lb": short, "price_per_ton": price},
        "cost_short",
        "What the hay short costs",
        missing(short, price),
    )
    last: dict[str, Line | str] = {
        "hay_lb": net,
        "dm_pct": mean["mean_dm"],
        "storage_loss_pct": "0",
        "feeding_loss_pct": "0",
        "head": cows,
        "intake_dm_lb": eaten,
    }
    wasted: dict[str, Line | str] = {
        "head": cows,
        "intake_dm_lb": eaten,
        "days": days,
        "dm_pct": mean["mean_dm"],
        "feeding_loss_pct": feeding,
    }
    row = f"MATCH({feeder.ref},{waste['name']},0)"
    paper.function("HAY_WASTED", wasted, f"IF(COUNT({feeding.ref})=0,{NOT_ENTERED},INDEX({waste['wasted']},{row}))", "What the chosen lot's feeder wastes in a winter, all cows",
                   missing(cows, eaten, days, mean["mean_dm"], feeding))  # fmt: skip
    paper.function(
        "DAYS_OF_HAY", last, "days_of_hay", "How long the hay in store lasts", missing(mean["mean_dm"], cows, eaten)
    )
