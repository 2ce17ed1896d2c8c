"""Checks of the sheets before the lab, of the stock and of the cautions."""

from __future__ import annotations

from hayfuncs.workbook.book import Book, call
from hayfuncs.workbook.sheets.checks import Check

PUBLISHED = "published example"


def before_the_lab(book: Book) -> list[Check]:
    register, bench, sure = (book.marks[k] for k in ("register", "bench", "howsure"))
    impossible = "+".join(f'COUNTIF({bench[k]},"weigh again")' for k in ("first", "second"))
    short = f"=IF(COUNT({sure['reached']},margin_wanted)<2,0,{sure['reached']}-margin_wanted)"
    return [
        Check("Register: lots whose tons on Lots and by bales are more than 10 % apart", "reconciliation", f'=COUNTIF({register["relation"]},"differ*")', "equals", 0, 0, "1"),
        Check("Bench: weights that cannot be", "range", f"={impossible}", "equals", 0, 0, "1"),
        Check("How sure: margin of the cores advised, less the margin wanted", "balance", short, "at most", 0, 1e-9, "any"),
        Check("Round bale of 5 x 5 ft at 11.2045 lb/ft3", PUBLISHED, call("ROUND_BALE_WEIGHT", "5", "5", "11.2045"), "equals", 1100, 0.5, "lb as fed", "Texas A&M AgriLife Extension E-319, 2012: 1,100 lb"),
    ]  # fmt: skip
