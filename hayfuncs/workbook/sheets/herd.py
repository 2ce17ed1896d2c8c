"""Herd: the groups of cows, and what one cow of each needs in a day."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.importers.model import Group
from hayfuncs.workbook.model import Book, Formula, Input, call, input_for
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, fit_notes, local, table_heads

FIELDS = (
    ("body_weight_lb", "Body weight, full", "lb", ("SHRUNK_WEIGHT", "body_weight_lb")),
    ("month_since_calving", "Month since calving", "months", ("DAILY_NEED", "month_since_calving")),
    ("peak_milk_lb", "Milk at peak", "lb/day", ("DAILY_NEED", "peak_milk_lb")),
    ("calf_weight_lb", "Calf weight at birth", "lb", ("DAILY_NEED", "calf_weight_lb")),
    ("condition_score", "Body condition score", "score", ("NEED_NOTE", "condition_score")),
)
NEEDS = (("DM", "lb DM/day"), ("TDN", "lb/day"), ("CP", "lb/day"), ("NEm", "Mcal/day"), ("Ca", "g/day"), ("P", "g/day"))
DENSITIES = ("TDN", "CP", "Ca", "P")
FIRST_CALF = 2 + len(FIELDS)  # the column where it is typed
YOUNG = ("first-calf", "first calf", "heifer")  # in a group's name, where nothing is typed
COW = ("shrunk_weight_lb", "month_since_calving", "peak_milk_lb", "calf_weight_lb")


def fill(book: Book, groups: Sequence[Group]) -> None:
    sheet = begin(
        book, "Herd", "Cow groups and what one cow needs in a day",
        "One row is one group of like cows. Needs come from the NRC 2000 equations; the TDN need is found by inverting the NEm curve. For cows just calved type month 1: below it milk is only beginning.",
        "Inputs, then workings",
    )  # fmt: skip
    columns = [Column("Cow group", "name", width=26), Column("Head", "head", width=8)]
    columns += [Column(head, unit, width=11) for _, head, unit, _ in FIELDS]
    columns += [Column("First calf? 1 yes, 0 no", "yes/no", width=9)]
    columns += [Column("Shrunk weight", "lb", width=11), Column("Giving milk?", "yes/no", width=9)]
    columns += [Column(f"{n} need" if n != "DM" else "Dry matter eaten", unit, width=11) for n, unit in NEEDS]
    columns += [Column(f"{n} the diet must hold", "% of diet DM", width=10) for n in DENSITIES]
    columns += [Column("Outside a fitted range?", "words", width=40)]
    columns += [
        Column("Counts as first-calf?", "yes/no", width=10),
        Column("Before you rely on this need", "text", width=60),
        *doubts.COLUMNS,
    ]
    at = {
        "name": 0,
        "head": 1,
        "weight": 2,
        "month": 3,
        "milk": 4,
        "calf": 5,
        "score": 6,
        "shrunk": FIRST_CALF + 1,
        "lactating": FIRST_CALF + 2,
    }
    needs = FIRST_CALF + 3
    at |= {f"need_{n.lower()}": needs + k for k, (n, _) in enumerate(NEEDS)}
    densities = needs + len(NEEDS)
    at |= {f"density_{n.lower()}": densities + k for k, n in enumerate(DENSITIES)}
    notes = densities + len(DENSITIES)
    at |= {"first_calf_typed": FIRST_CALF, "first_calf": notes + 1, "caution": notes + 2}
    table_heads(sheet, columns, [(0, "Typed in"), (at["shrunk"], "Computed")])
    for i, group in enumerate(groups):
        row = FIRST + i
        prefix = f"Herd/{i + 1}"
        sheet.entry(
            row, 0, group.name, Input(f"{prefix}/name", "Cow group", "A name of your own", kind="text"), "input_text"
        )
        head = Input(f"{prefix}/head", "Head", "Number of cows, 1 to 100,000", lo=1, hi=100000, kind="whole")
        sheet.entry(row, 1, group.head, head, "input0", "head")
        for k, (field, _, unit, (function, argument)) in enumerate(FIELDS, 2):
            sheet.entry(
                row, k, getattr(group, field), input_for(f"{prefix}/{field}", function, argument), "input", unit
            )
        weight, month, milk, calf, score = (local(row, k) for k in range(2, 7))
        sheet.entry(row, FIRST_CALF, None, _first_calf(f"{prefix}/first_calf"), "input0", "yes/no")
        sheet.put(row, at["shrunk"], call("SHRUNK_WEIGHT", weight, "shrink_pct"), "number0", unit="lb")
        sheet.put(
            row, at["lactating"], Formula(f"=IF(AND({month}<=weaned_after,{milk}>0),1,0)"), "number0", unit="yes/no"
        )
        cow = (local(row, at["shrunk"]), month, milk, calf)
        for k, (nutrient, unit) in enumerate(NEEDS, needs):
            sheet.put(row, k, call("DAILY_NEED", f'"{nutrient}"', *cow), "number2", unit=unit)
        for k, nutrient in enumerate(DENSITIES, densities):
            sheet.put(row, k, call("NEED_DENSITY", f'"{nutrient}"', *cow), "number2", unit="% DM")
        uses = [("DAILY_NEED", name, ref) for name, ref in zip(COW, cow, strict=True) if _fitted(name)]
        sheet.put(row, notes, fit_notes(uses) if uses else "", "small")
        named = ",".join(f'ISNUMBER(SEARCH("{word}",{local(row, 0)}))' for word in YOUNG)
        typed = local(row, FIRST_CALF)
        sheet.put(
            row,
            at["first_calf"],
            Formula(f"=IF(COUNT({typed})=0,IF(OR({named}),1,0),{typed})"),
            "number0",
            unit="yes/no",
        )
        sheet.put(row, at["caution"], call("NEED_NOTE", score, local(row, at["first_calf"])), "note")
    last = FIRST + len(groups) - 1
    book.marks["herd"] = {"n": len(groups), **{k: sheet.span(FIRST, col, last, col) for k, col in at.items()}}
    book.marks["herd_at"] = at
    doubts.add(book, sheet, "herd", at, len(columns) - len(doubts.COLUMNS), [""] * len(groups))
    book.define(
        "group_count", sheet.put(last + 2, 1, Formula(f"=ROWS({sheet.span(FIRST, 0, last, 0)})"), "number0", unit="1")
    )
    sheet.put(last + 2, 0, "Number of groups", "label")


def _first_calf(key: str) -> Input:
    says = "1 where these cows have their first calf, or are bred heifers; else 0. Left empty, the group's name answers"
    return Input(key, "First calf?", says, lo=0, hi=1, kind="whole", required=False)


def _fitted(name: str) -> bool:
    arg = CATALOGUE["DAILY_NEED"].args[name]
    return isinstance(arg, Arg) and arg.fit is not None
