"""Feeder waste: what the hay wasted at each kind of feeder costs in a winter."""

from __future__ import annotations

from hayfuncs.contract.tables import load
from hayfuncs.workbook.model import Book, Content, Picture, Series, call
from hayfuncs.workbook.sheets.common import FIRST, begin, pick
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Grid, Row
from hayfuncs.workbook.styles import VERMILLION

PAIR = ("open ring", "modified cone")  # of one trial, Oklahoma State University 2011: only such may be compared


def fill(book: Book) -> None:
    feeders = load("feeding_loss").names()
    sheet = begin(
        book, "Feeder waste", "What does wasted hay cost in a winter?",
        "One row is one kind of feeder, for the whole herd of the sheet Hay pile at the price of bought hay. Hold feeders of one trial against each other.", "Result",
    )  # fmt: skip
    column = {k: book.table_range("feeding_loss", k) for k in ("feeder", "trial")}
    grid = Grid(sheet, len(feeders))
    grid.add("name", "Feeder", "name", lambda r: feeders[r.number - 1], "label", 18)
    grid.add(
        "trial",
        "Trial",
        "name",
        lambda r: "=" + pick(column["trial"], f"MATCH({r['name']},{column['feeder']},0)"),
        "text",
        28,
    )
    grid.add("loss", "Wasted of the hay put out", "% DM", lambda r: call("FEEDING_LOSS", r["name"]), "number1", 11)
    grid.add("wasted", "Wasted in a winter", "lb as fed", _wasted, "number0", 12)
    grid.add(
        "tons",
        "The same in tons",
        "tons as fed",
        lambda r: f"=IF(COUNT({r['wasted']})=0,{NOT_ENTERED},{r['wasted']}/lb_per_ton)",
        "number1",
        11,
    )
    grid.add("cost", "Cost in a winter", "$",
             lambda r: call("HAY_COST", r["wasted"], "bought_price", unless=(f"COUNT({r['wasted']},bought_price)<2", NOT_ENTERED)), "money0", 12)  # fmt: skip
    grid.add(
        "cost_head",
        "Cost for each cow",
        "$",
        lambda r: f"=IF(COUNT({r['cost']})=0,{NOT_ENTERED},{r['cost']}/herd_head)",
        "money",
        11,
    )
    grid.add("label", "Name in the picture", "text", lambda r: f'={r["name"]}&" ("&{r["trial"]}&")"', "small", 40)
    grid.done("waste", 20)
    sheet.zoom = 185
    marks, grid_cost = book.marks["waste"], book.marks["waste_at"]["cost"]
    row = 8 + len(feeders)
    dear, cheap = (sheet.ref(FIRST + feeders.index(name), grid_cost) for name in PAIR)
    more = f'TEXT({dear}-{cheap},"$#,##0")&" more in a winter than a {PAIR[1]}, for "&herd_head&" cows"'
    untold = "Enter dates, herd and price to see the cost of waste"
    title = f'=IF(COUNT({marks["cost"]})=0,"{untold}","An {PAIR[0]} wastes "&{more})'
    ref = sheet.put(row, 0, title, "text")
    sheet.put(
        row + 1,
        0,
        "Sources: Michigan State University 2003 and Oklahoma State University 2011, as quoted by extension writers; no feeder: work of 1973 quoted by Oklahoma State.",
        "sentence",
    )
    sheet.pictures.append(
        Picture(
            "bar", row + 3, 0, ref, "Cost of the hay wasted in a winter, dollars", "",
            "Bar chart of the cost of wasted hay in a winter for each kind of feeder, with its trial beside the name and the dollars at the end of "
            "the bar. The table is above.",
            [Series("Cost of waste", marks["label"], marks["cost"], VERMILLION, values_shown=True, pattern="wide_upward_diagonal", gap=40, label_position="outside_end")],
            width=1000, height=480, x_range=(0, None),
        )
    )  # fmt: skip


def _wasted(r: Row) -> Content:
    known = ("herd_head", "herd_intake", "winter_days", "mean_dm")
    return call("HAY_WASTED", *known, r["loss"], unless=(f"COUNT({','.join(known)})<4", NOT_ENTERED))
