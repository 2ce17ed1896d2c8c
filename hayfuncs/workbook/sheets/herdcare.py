"""Herd care: what cold, wind, wet and mud ask of each group, and what its hay's nitrate means for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin, pick
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, Grid, Ref, Row, of_record, there

TEXT = 46


def fill(book: Book, barn: Barn) -> None:
    herd, lots, hazards = (book.marks[k] for k in ("herd", "lots", "hazards"))
    sheet = begin(
        book, "Herd care", "What weather and hazards ask of each group",
        "One row is one group where it stands today: type coat, temperature, wind, mud and whether it is in calf. Its hay is the lot of the sheet Winter need.",
        "Inputs, then workings",
    )  # fmt: skip
    yards = [barn.yard(str(book.by_name("Herd").cells[7 + i, 0].content)) for i in range(herd["n"])]
    name, shrunk, milk = (there(book, "Herd", "herd", k) for k in ("name", "shrunk", "lactating"))
    place, intake = (there(book, "Winter need", "winter", k) for k in ("place", "intake"))
    grid = Grid(sheet, herd["n"])
    grid.add("name", "Cow group", "name", lambda r: Formula(f"={name(r)}"), "label", 26)
    grid.band("Typed in")
    grid.ask(
        "pregnant",
        "In calf? 1 yes, 0 no",
        "yes/no",
        [y.pregnant for y in yards],
        of_record("NITRATE_CAUTION", "pregnant"),
        "input0",
        9,
    )
    grid.ask(
        "coat",
        "Coat; wet is wet to the skin",
        "word",
        [y.coat for y in yards],
        of_record("COLD_INCREASE", "coat"),
        "input_text",
        14,
    )
    grid.ask(
        "air",
        "Air temperature",
        "deg F",
        [y.air_temp_f for y in yards],
        of_record("EFFECTIVE_TEMPERATURE", "air_temp_f"),
        "input0",
    )
    grid.ask(
        "wind", "Wind", "mph", [y.wind_mph for y in yards], of_record("EFFECTIVE_TEMPERATURE", "wind_mph"), "input0", 9
    )
    grid.ask("mud", "Depth of mud", "in", [y.mud_in for y in yards], of_record("MUD_CAUTION", "mud_in"), "input0", 9)
    grid.band("Cold")
    grid.add("felt", "Temperature as she feels it", "deg F",
             lambda r: call("EFFECTIVE_TEMPERATURE", r["air"], r["wind"], unless=(f"COUNT({r.all('air', 'wind')})<2", NOT_ENTERED)), "number0")  # fmt: skip
    grid.add("increase", "More energy for maintenance", "%",
             lambda r: call("COLD_INCREASE", r["felt"], r["coat"], unless=(f'OR(COUNT({r["felt"]})=0,{r["coat"]}="")', NOT_ENTERED)), "number0")  # fmt: skip
    grid.add(
        "maintenance",
        "Energy for maintenance, mild weather",
        "Mcal/day",
        lambda r: call("NEM_FOR_MAINTENANCE", shrunk(r), milk(r)),
        "number2",
        13,
    )

    def of_hay(what: str) -> Callable[[Row], Formula]:
        return lambda r: Formula(f"=IF(COUNT({place(r)})=0,{NOT_ENTERED},{pick(what, place(r))})")

    grid.add("lot", "Her hay", "name", of_hay(lots["name"]), "text", 20)
    grid.add("nem", "Energy of her hay", "Mcal/lb DM", of_hay(lots["nem"]), "number3")
    grid.add("extra", "More of this hay for the cold", "lb DM/day",
             lambda r: Formula(f"=IF(COUNT({r.all('increase', 'nem')})<2,{NOT_ENTERED},{r['increase']}/100*{r['maintenance']}/{r['nem']})"), "result1")  # fmt: skip
    grid.add(
        "cold",
        "What the cold means",
        "text",
        lambda r: call("COLD_CAUTION", r["increase"], unless=(f"COUNT({r['increase']})=0", NOT_ENTERED)),
        "note",
        TEXT,
    )
    grid.band("Mud")
    unless = _no_mud
    grid.add(
        "cut", "Less eaten in mud", "%", lambda r: call("MUD_INTAKE_CUT", r["mud"], unless=unless(r)), "number0", 9
    )
    grid.add(
        "left",
        "Hay eaten in mud",
        "lb DM/day",
        lambda r: Formula(f"=IF(COUNT({r['cut']},{intake(r)})<2,{NOT_ENTERED},{intake(r)}*(1-{r['cut']}/100))"),
        "number1",
    )
    grid.add(
        "mud_says",
        "What the mud means",
        "text",
        lambda r: call("MUD_CAUTION", r["mud"], unless=unless(r)),
        "note",
        TEXT,
    )
    grid.band("Nitrate of her hay")
    for mark, head, calf, others in (
        ("nitrate_a", "Clemson scale", "nitrate_calf_a", "nitrate_open_a"),
        ("nitrate_b", "Midwest laboratory's scale", "nitrate_calf_b", "nitrate_open_b"),
    ):
        grid.add(
            mark, head, "text", partial(_nitrate, place=place, calf=hazards[calf], others=hazards[others]), "note", TEXT
        )
    grid.done("care", 84)


def _no_mud(r: Row) -> tuple[str, str]:
    return (f'{r["mud"]}=""', NOT_ENTERED)


def _nitrate(r: Row, place: Ref, calf: str, others: str) -> Content:
    at = place(r)
    known = f"COUNT({at},{r['pregnant']})<2"
    return Formula(f"=IF({known},{NOT_ENTERED},IF({r['pregnant']}=1,{pick(calf, at)},{pick(others, at)}))")
