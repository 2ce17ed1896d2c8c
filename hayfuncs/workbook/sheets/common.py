"""What the sheets share: the head of a sheet, rows of a list, notes on fitted ranges."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.contract.catalogue import CATALOGUE, Arg
from hayfuncs.contract.remarks import fit_sentence
from hayfuncs.workbook.model import FIRST as FIRST
from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet, a1, place_of, quoted

MASTER, KNOWN = (
    "master_check",
    "known_functions",
)  # names: what the checks say, a call that fails where there are no functions
NOT_KNOWN = "✗ This program does not know the functions of this workbook: open the plain edition"


def begin(book: Book, name: str, title: str, sentence: str, role: str) -> Sheet:
    """A sheet with its title, its sentence, its role word and the master check.

    The title stands in A1, so that a reader (or a screen reader) starts with it.
    """
    sheet = book.sheet(name, title, sentence, role)
    sheet.put(0, 0, title, "title")
    sheet.put(1, 0, sentence, "sentence")
    sheet.put(2, 0, role, "role")
    sheet.heights[0] = 30
    return sheet


def without_errors(sheet: Sheet) -> None:
    """While the chosen hay's or group's row lacks a value, the sheet says which; no error beside it shouts it down."""
    first = (3, 0)
    when = f"AND({WITHHELD[0]},ISERROR({a1(*first, '')}))"
    sheet.flags.insert(0, Flagging((*first, sheet.last_row, sheet.last_col), "", "flag_no_number", when=when))


def fit_notes(uses: Sequence[tuple[str, str, str]]) -> Formula:
    """A formula that says which value is outside its fitted range: (function, argument, reference)."""
    parts: list[str] = []
    for function, argument, ref in uses:
        arg = CATALOGUE[function].args[argument]
        assert isinstance(arg, Arg)
        assert arg.fit is not None
        lo, hi = arg.fit
        parts.append(f'IF(OR({ref}<{lo:g},{ref}>{hi:g}),"{fit_sentence(argument, arg)} ","")')
    return Formula(f"=TRIM({'&'.join(parts)})")


def typed_names(book: Book, table: str) -> list[str]:
    """The names that stand in a table as it is filled."""
    name, row, col, _, _ = place_of(book.marks[table]["name"])
    cells = book.by_name(name).cells
    return [str(cells[row + i, col].content or "") for i in range(book.marks[table]["n"])]


# while the chosen hay or cattle are not as they should be, no sentence speaks of their months or cents
WITHHELD = ('hay_or_cattle_wrong<>""', '"✗ No answer while a check fails: "&hay_or_cattle_wrong')


def pick(range_ref: str, place: str) -> str:
    """The value at a place of a column."""
    return f"INDEX({range_ref},{place})"


def nth(range_ref: str, number: int) -> str:
    """The cell at a place that is known when the sheet is made: a direct reference, where Excel 365 shows INDEX with an @."""
    name, row, col, _, _ = place_of(range_ref)
    return f"{quoted(name)}!{a1(row + number - 1, col, 'c')}"


def found(name: str, range_ref: str) -> Formula:
    """A formula for the place of a name in a column; a name that is not there is said in words."""
    at = f"MATCH({name},{range_ref},0)"
    return Formula(f'=IF(ISNUMBER({at}),{at},"not found")')


def stepped(pounds: str) -> str:
    """An expression: a rate rounded up to the step that is weighed out; 18.0000001 steps are 18.

    The one rule of every sheet: pounds of the herd and dollars are taken from what this gives.
    """
    return f"ROUND(ROUNDUP(ROUND({pounds}/feed_step_lb,6),0)*feed_step_lb,6)"
