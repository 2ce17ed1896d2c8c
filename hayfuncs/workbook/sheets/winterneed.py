"""Winter need: hay each group needs until grass, in pounds, tons and bales, and how long one lot lasts it."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin, found, pick
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Grid, Row, listed, there

EATEN_FROM = ("match", "need")  # hay eaten to appetite on the lot, or dry matter of the requirement equations


def fill(book: Book, barn: Barn, first_lot: str) -> None:
    herd, lots, match, register, stock = (book.marks[k] for k in ("herd", "lots", "match", "register", "stock"))
    sheet = begin(
        book, "Winter need", "Hay each group needs until grass",
        "One row is one group. The lot says how much of such hay a cow eats; losses and dry matter are those of all hay in store. Dates stand on the sheet Hay pile.",
        "Inputs, then workings",
    )  # fmt: skip
    name, head, need = (there(book, "Herd", "herd", k) for k in ("name", "head", "need_dm"))
    names = [str(book.by_name("Herd").cells[7 + i, 0].content) for i in range(herd["n"])]
    grid = Grid(sheet, herd["n"])
    grid.add("name", "Cow group", "name", lambda r: Formula(f"={name(r)}"), "label", 26)
    grid.band("Typed in")
    grid.ask("lot", "Hay like this lot", "name of a lot", [barn.yard(g).lot or first_lot for g in names],
             listed("Hay like this lot", "The lot whose quality says how much a cow eats", lots["name"]), "input_text", 22)  # fmt: skip
    grid.band("Computed")
    grid.add("number", "Group number", "row of Herd", lambda r: r.number, "number0", 9)
    grid.add("place", "Lot number", "row of Lots", lambda r: found(r["lot"], lots["name"]), "number0", 11)
    grid.add("head", "Head", "head", lambda r: Formula(f"={head(r)}"), "number0", 8)

    def looked_up(what: str) -> Callable[[Row], Formula]:
        return lambda r: Formula(f"=IF(COUNT({r['place']})=0,{NOT_ENTERED},{pick(what, r['place'])})")

    grid.add("appetite", "Hay eaten of this lot, from Match", "lb DM/day",
             lambda r: Formula(f"=IF(COUNT({r['place']})=0,{NOT_ENTERED},{pick(match['hay'], '(' + r['place'] + '-1)*group_count+' + r['number'])})"))  # fmt: skip
    grid.add("need", "Dry matter, from Herd", "lb DM/day", lambda r: Formula(f"={need(r)}"))
    grid.add(
        "intake",
        "Hay eaten, as chosen",
        "lb DM/day",
        lambda r: Formula(f'=IF(hay_eaten_from="{EATEN_FROM[0]}",{r["appetite"]},{r["need"]})'),
        "result1",
    )
    grid.add(
        "dm_day",
        "The group eats",
        "lb DM/day",
        lambda r: Formula(f"=IF(COUNT({r['intake']})=0,{NOT_ENTERED},{r['head']}*{r['intake']})"),
        "number0",
    )
    grid.add(
        "counted",
        "Head counted in the totals",
        "head",
        lambda r: Formula(f"=IF(COUNT({r['intake']})=0,0,{r['head']})"),
        "number0",
        9,
    )
    grid.add("needed", "Hay needed, at storing", "lb as fed", _needed, "number0")
    grid.add(
        "tons",
        "The same in tons",
        "tons as fed",
        lambda r: Formula(f"=IF(COUNT({r['needed']})=0,{NOT_ENTERED},{r['needed']}/lb_per_ton)"),
        "result1",
    )
    for mark, head_text, unit, what, style in (
        ("weight", "Bale of this lot", "lb as fed", register["weight"], "number0"), ("lot_tons", "This lot in store", "tons as fed", register["tons"], "number1"),
        ("lot_dm", "Its dry matter", "% as fed", lots["lab_dm_pct"], "number1"), ("lot_storage", "Lost in storage", "% DM", stock["storage_loss"], "number1"),
        ("lot_feeding", "Wasted at feeding", "% DM", stock["feeding_loss"], "number1"),
    ):  # fmt: skip
        grid.add(mark, head_text, unit, looked_up(what), style)
    grid.add("bales", "Bales like these needed", "bales",
             lambda r: call("BALES_NEEDED", r["needed"], r["weight"], unless=(f"COUNT({r.all('needed', 'weight')})<2", NOT_ENTERED)), "number0")  # fmt: skip
    grid.add("alone", "This lot alone lasts this group", "days", _alone, "number0")
    grid.done("winter", 22)


def _needed(r: Row) -> Content:
    means = ("winter_days", "mean_dm", "mean_storage_loss", "mean_feeding_loss")
    unless = (f"COUNT({r['intake']},{','.join(means)})<5", NOT_ENTERED)
    return call("HAY_NEEDED", r["head"], r["intake"], *means, unless=unless)


def _alone(r: Row) -> Content:
    given = ("lot_tons", "lot_dm", "lot_storage", "lot_feeding", "intake")
    unless = (f"COUNT({r.all(*given)})<5", NOT_ENTERED)
    losses = (r["lot_dm"], r["lot_storage"], r["lot_feeding"])
    return call("DAYS_OF_HAY", f"{r['lot_tons']}*lb_per_ton", *losses, r["head"], r["intake"], unless=unless)
