"""Register: what each lot is before the lab - where it came from, its bales, where it lies, its cores."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin, local
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Grid, Row, date, listed, number, of_record, text, there, words
from hayfuncs.workbook.sheets.stock import FEEDER

BALES = ("small square", "round", "large square")
AGREE_PCT = 10  # tons typed and tons by bales further apart than this are looked at: common practice, no source


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(
        book, "Register", "Lot register: what each lot is, before the lab",
        "One row is one lot of the sheet Lots. Count and weigh bales, note dates, hours and storage; an empty cell means not entered.",
        "Inputs, then workings",
    )  # fmt: skip
    stored = [barn.lot(lot.name) for lot in lots]
    grid = Grid(sheet, len(lots))
    name, field, cutting, typed = (there(book, "Lots", "lots", k) for k in ("name", "field", "cutting", "tons"))
    grid.band("From the sheet Lots")
    grid.add("name", "Hay lot", "name", lambda r: Formula(f"={name(r)}"), "label", 22)
    grid.add("field", "Field", "name", lambda r: Formula(f'={field(r)}&""'), "text", 16)
    grid.add("cutting", "Cutting", "number", lambda r: Formula(f'={cutting(r)}&""'), "text", 9)
    grid.band("Typed in")
    grid.ask(
        "harvest",
        "Harvest date",
        "date",
        [x.harvest_date for x in lots],
        date("Harvest date", "Day the lot was baled"),
        "input_date",
        14,
    )
    grid.ask(
        "hours",
        "From the first bale to the last",
        "hours",
        [s.baling_hours for s in stored],
        of_record("LOT_NOTES", "baling_hours"),
    )
    grid.ask("bale", "Bale", "word", [x.bale for x in lots], words("Bale", "Kind of bale", BALES), "input_text", 14)
    for mark, head, says in (("height", "Height; of a round bale its diameter", "Height of the bale, or the diameter of a round one"),
                             ("width", "Width", "Width of the bale"), ("length", "Length, rectangular bales only", "Length of a rectangular bale")):  # fmt: skip
        limits = (0.5, 20) if mark == "length" else (0.5, 12)
        values = [getattr(s, f"{mark}_ft") for s in stored]
        grid.ask(mark, head, "ft", values, number(mark.capitalize(), f"{says}, ft", *limits))
    grid.ask(
        "density",
        "Density",
        "lb/ft3",
        [s.density_lb_ft3 for s in stored],
        of_record("ROUND_BALE_WEIGHT", "density_lb_ft3"),
    )
    grid.ask(
        "weighed",
        "Bale weight, when weighed",
        "lb as fed",
        [x.bale_weight_lb for x in lots],
        of_record("HAY_ON_HAND", "bale_weight_lb"),
    )
    grid.ask("bales", "Bales in store", "bales", [x.bales for x in lots], of_record("HAY_ON_HAND", "bales"), "input0")
    grid.ask("storage", "Where stored", "name of a method", [x.storage for x in lots],
             listed("Where stored", "How the lot lies in store: pick one of the list", book.table_range("storage_loss", "method")), "input_text", 24)  # fmt: skip
    grid.ask(
        "cores", "Cores taken", "cores", [x.cores for x in lots], of_record("SAMPLING_MARGIN", "cores"), "input0", 9
    )
    grid.ask(
        "sampled",
        "Sample date",
        "date",
        [x.sample_date for x in lots],
        date("Sample date", "Day the lot was cored"),
        "input_date",
        14,
    )
    grid.ask(
        "remarks",
        "Remarks",
        "text",
        [x.notes or None for x in lots],
        text("Remarks", "Rain, mould, anything to remember"),
        "input_text",
        24,
    )
    grid.band("Computed")
    grid.add("round", "Round bale, by size", "lb as fed", _round, "number0")
    grid.add("square", "Rectangular bale, by size", "lb as fed", _square, "number0")
    grid.add("weight", "Bale weight used", "lb as fed",
             lambda r: Formula(f'=IF({r["weighed"]}<>"",{r["weighed"]},IF({r["bale"]}="round",{r["round"]},{r["square"]}))'), "result1")  # fmt: skip
    grid.add("by_bales", "Tons, by bales", "tons as fed",
             lambda r: Formula(f"=IF(COUNT({r.all('bales', 'weight')})=2,{r['bales']}*{r['weight']}/lb_per_ton,{NOT_ENTERED})"), "number1")  # fmt: skip
    grid.add("tons", "Tons in store: Lots where typed, else bales", "tons as fed",
             lambda r: Formula(f'=IF({typed(r)}<>"",{typed(r)},{r["by_bales"]})'), "result1", 14)  # fmt: skip
    grid.add("apart", "By bales less Lots", "% of Lots",
             lambda r: Formula(f'=IF(AND(COUNT({r["by_bales"]},{typed(r)})=2,N({typed(r)})>0),100*({r["by_bales"]}/{typed(r)}-1),"")'), "number1")  # fmt: skip
    grid.add("relation", "How the two agree", "words",
             lambda r: Formula(f'=IF({r["apart"]}="","one of them only",IF(ABS({r["apart"]})>{AGREE_PCT},"differ: correct one","agree"))'), "text", 20)  # fmt: skip
    grid.add("notes", "Notes on the lot", "text", lambda r: _notes(r), "small", 60)
    grid.add("missing", "Still to enter", "text", _missing, "small", 34)
    grid.done("register", 46)


def _round(r: Row) -> Content:
    sizes = ("height", "width", "density")
    return call(
        "ROUND_BALE_WEIGHT", *(r[k] for k in sizes),
        unless=(f'OR({r["bale"]}<>"round",COUNT({r.all(*sizes)})<3)', '""'),
    )  # fmt: skip


def _square(r: Row) -> Content:
    sizes = ("height", "width", "length", "density")
    return call(
        "SQUARE_BALE_WEIGHT", *(r[k] for k in sizes),
        unless=(f'OR({r["bale"]}="round",COUNT({r.all(*sizes)})<4)', '""'),
    )  # fmt: skip


def _notes(r: Row) -> Content:
    """Hours not entered give no note of their own; cores not taken yet give the note on cores."""
    return call(
        "LOT_NOTES", r["tons"], f"MAX(1,{r['hours']})", f"MAX(1,{r['cores']})",
        unless=(f"N({r['tons']})=0", '"tons not entered"'),
    )  # fmt: skip


def _missing(r: Row) -> Formula:
    of_here = (("harvest", "harvest date"), ("hours", "hours"), ("bale", "bale"), ("weight", "bale weight"), ("bales", "bales"),
              ("storage", "storage"), ("cores", "cores"), ("sampled", "sample date"))  # fmt: skip
    wanted = (*((r[k], says) for k, says in of_here), (f"Stock!{local(r.at, FEEDER)}", "Fed in on Stock"))
    return Formula("=TRIM(" + "&".join(f'IF({ref}="","{says}; ","")' for ref, says in wanted) + ")")
