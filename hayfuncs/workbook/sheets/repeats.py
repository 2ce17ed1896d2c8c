"""Repeat tests: two values of one sample, and whether they lie further apart than laboratories usually do."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from hayfuncs.importers.model import Lot
from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import Grid, Ref, Row, number, of_record, there

MEASURES = ("cp", "adf", "ndf")
NOT_REPEATED = '"not repeated"'


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(
        book, "Repeat tests", "Two tests of one sample",
        "Where a sample was tested twice, type the second values on dry basis; a difference beyond the laboratories' usual error is said in words.",
        "Inputs, then workings",
    )  # fmt: skip
    stored = [barn.lot(lot.name) for lot in lots]
    grid = Grid(sheet, len(lots))
    name = there(book, "Lots", "lots", "name")
    grid.add("name", "Hay lot", "name", lambda r: Formula(f"={name(r)}"), "label", 22)
    grid.band("Typed in: the second test")
    grid.ask(
        "same_lab",
        "Same laboratory? 1 yes, 0 no",
        "yes/no",
        [s.same_lab for s in stored],
        of_record("LAB_TOLERANCE", "same_lab"),
        "input0",
        13,
    )
    for k in MEASURES:
        asking = number(k.upper(), f"Second {k.upper()} of the same ground sample, % of dry matter", 0, 100)
        grid.ask(f"second_{k}", k.upper(), "% DM", [getattr(s, f"second_{k}_pct") for s in stored], asking)
    grid.band("Computed")
    for k in MEASURES:
        first = there(book, "Lots", "lots", k)
        grid.add(f"apart_{k}", f"{k.upper()}: second less first", "% DM",
                 partial(_apart, k=k, first=first), "number2", 13)  # fmt: skip
        grid.add(f"usual_{k}", f"{k.upper()}: usual error", "% DM, each side", partial(_usual, k=k), "number1", 13)
        grid.add(
            f"note_{k}",
            f"{k.upper()}: what it means",
            "text",
            partial(_note, k=k, first=first),
            "note",
            44,
        )
    grid.add(
        "twice",
        "Values tested twice",
        "1",
        lambda r: Formula(f"=COUNT({r.all(*(f'second_{k}' for k in MEASURES))})*(COUNT({r['same_lab']})>0)"),
        "number0",
    )
    apart = "+".join('(MID({},1,3)="The")' for _ in MEASURES)
    grid.add(
        "far",
        "Further apart than usual",
        "1",
        lambda r: Formula("=" + apart.format(*(r[f"note_{k}"] for k in MEASURES))),
        "number0",
    )
    grid.done("repeats", 66)


def _untyped(r: Row, k: str) -> tuple[str, str]:
    return (f"COUNT({r['same_lab']},{r[f'second_{k}']})<2", NOT_REPEATED)


def _apart(r: Row, k: str, first: Ref) -> Formula:
    second = r[f"second_{k}"]
    return Formula(f"=IF(COUNT({second})=0,{NOT_REPEATED},{second}-{first(r)})")


def _usual(r: Row, k: str) -> Content:
    return call("LAB_TOLERANCE", f'"{k.upper()}"', r["same_lab"], unless=_untyped(r, k))


def _note(r: Row, k: str, first: Ref) -> Content:
    return call(
        "LAB_DIFFERENCE_NOTE", f'"{k.upper()}"', first(r), r[f"second_{k}"], r["same_lab"], unless=_untyped(r, k)
    )
