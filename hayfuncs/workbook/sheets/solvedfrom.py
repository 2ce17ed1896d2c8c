"""One number that moves with whatever the plan is solved from, so that an old solution is known as old.

A plain sum would not see changes that cancel: 14 days later in one group, 14 days earlier in another.
So every cell counts by a weight of its own, the logarithm of its row and the root of its line in the list.
The shift keeps these from being whole multiples of one another (LN(2) and LN(4) are), so that no change
of one cell is undone by a change of another.
"""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.workbook.model import Book, Formula, Sheet
from hayfuncs.workbook.sheets.common import local

SHIFT = 0.3
WEIGHT_COL = 4  # where the rows' weights stand, right of the list
COLUMNS = (  # of Winter feeds
    ("allowed", "allowed"), ("despite", "fed in spite of a danger"), ("known", "all known"), ("counts", "price counted"), ("dm", "dry matter"), ("tdn", "TDN"), ("cp", "crude protein"),
    ("ndf", "NDF of hay"), ("fat", "fat"), ("s", "sulfur"), ("ca", "calcium"), ("p", "phosphorus"), ("wasted", "wasted at its own feeder"), ("loss", "lost in store"), ("tons", "tons that can be used"),
    ("most_calf", "most in calf, by nitrate"), ("most_open", "most for others, by nitrate"), ("grain", "starchy grain"), ("held", "at danger"), ("urea", "urea in it"),
    ("most_lb", "most a head"), ("most_bw", "most by weight"), ("most_diet", "most in the diet"),
)  # fmt: skip
COW = (
    ("head", "head"), ("weight", "body weight"), ("shrunk", "shrunk weight"), ("milk", "milk at peak"), ("calf", "calf weight"),
    ("score", "condition score"), ("wanted", "condition score wanted"), ("days", "days to reach it"),
)  # fmt: skip
CLASS = (
    ("way", "how they are counted"),
    ("milk", "milk of their own"),
    ("grown", "weight when grown"),
    ("gain", "gain"),
)
SEASON = (
    ("calving", "calving date"),
    ("nursed", "days to weaning"),
    ("loss", "wasted at the group's feeder"),
    ("least", "least dry matter"),
)
MONTHS = (("days", "days fed"), ("middle", "middle of the month"), ("more", "more energy"))
WEIGHED = {
    "feeds": "sources",
    "groups": "herd",
    "months": "months",
}  # whose rows have weights, and the table that says how many
TABLES = (
    ("sources", "feeds", COLUMNS),
    ("season_herd", "groups", SEASON),
    ("herd", "groups", COW),
    ("byclass", "groups", CLASS),
    ("months", "months", MONTHS),
)
SETTINGS = (
    ("plan_most_pct", "Most dry matter a cow eats"), ("plan_min_ca_p", "Least calcium to phosphorus"), ("plan_hay_pct", "Least hay"),
    ("plan_fiber_pct_bw", "Most hay fiber"), ("plan_grain_pct_bw", "Most starchy grain"), ("plan_calving_days", "Days of calving"),
    ("mix_fat_pct", "Most fat in the diet"), ("mix_s_pct", "Most sulfur in the diet"),
)  # fmt: skip


def fill(book: Book, sheet: Sheet, row: int, no_end: str) -> None:
    """`no_end` is the word for tons without an end."""
    sheet.put(row, 0, "What the plan is solved from: has anything changed?", "section")
    sheet.put(
        row + 1,
        0,
        f"Each cell times LN(its row + {SHIFT:g}), the column times SQRT(its line + {SHIFT:g}): numbers without a common measure, so that two changes cannot cancel.",
        "sentence",
    )
    sheet.heads(row + 2, 0, ["Column or setting", "Weighed sum", "Line"], ["name", "any", "1"])
    first = at = row + 4
    _weights(book, sheet, row + 2)
    for line, (label, value) in enumerate(_terms(book, sheet, first, no_end), 1):
        sheet.put(at, 0, label, "label")
        sheet.put(at, 1, Formula(f"={value}*SQRT({local(at, 2)}+{SHIFT:g})"), "number2", unit="any")
        sheet.put(at, 2, line, "number0", unit="1")
        at += 1
    at += 1  # a gap, so that the sum is not one of the list
    sheet.put(at, 0, "All together", "label")
    total = Formula(f"=SUM({local(first, 1)}:{local(at - 2, 1)})")
    book.define("plan_read", sheet.put(at, 1, total, "number3", unit="any"))


def _weights(book: Book, sheet: Sheet, row: int) -> None:
    """A weight for each row of the tables, a column for each length of table."""
    sheet.heads(row, WEIGHT_COL, ["Row", *(f"Weight, {what}" for what in WEIGHED)], ["1"] * (1 + len(WEIGHED)))
    longest = [book.marks[table]["n"] for table in WEIGHED.values()]
    for number in range(1, max(longest) + 1):
        at = row + 1 + number
        sheet.put(at, WEIGHT_COL, number, "number0", unit="1")
        for col, n in enumerate(longest, WEIGHT_COL + 1):
            if number <= n:
                sheet.put(at, col, Formula(f"=LN({local(at, WEIGHT_COL)}+{SHIFT:g})"), "number3", unit="1")


def _terms(book: Book, sheet: Sheet, first: int, no_end: str) -> Iterator[tuple[str, str]]:
    """A label and the formula of each line."""

    def weights(what: str) -> str:
        col = WEIGHT_COL + 1 + list(WEIGHED).index(what)
        return sheet.span(first, col, first + book.marks[WEIGHED[what]]["n"] - 1, col).split("!")[1]

    for table, what, columns in TABLES:
        for mark, label in columns:
            yield f"{what[0].upper()}{what[1:]}: {label}", f"SUMPRODUCT({book.marks[table][mark]},{weights(what)})"
    tons = book.marks["sources"]["tons"]  # no end to it, and none of it, are both 0 in a sum
    yield "Feeds: without an end", f'SUMIF({tons},"{no_end}",{weights("feeds")})'
    yield from ((label, name) for name, label in SETTINGS)
