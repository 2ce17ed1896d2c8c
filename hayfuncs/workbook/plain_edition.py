"""The plain edition: every call spelled out from its longhand in ordinary operators.

A long calculation becomes helper cells on a sheet of its own ("Herd steps" for "Herd"),
in the row of the call it belongs to, so that a column stays one formula.
"""

from __future__ import annotations

import re
from dataclasses import replace

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.formulas.branches import live_steps, settled
from hayfuncs.formulas.template import Guard, both, fill, guard_parts
from hayfuncs.spreadsheet.a1 import a1, quoted
from hayfuncs.spreadsheet.tokens import on_sheet, pieces
from hayfuncs.workbook.model import HEADER_ROWS, Book, Call, Formula, Sheet
from hayfuncs.workbook.sheets.common import begin

ONE_LINE = 110  # characters of a guarded formula that still reads in one line
N_OF = re.compile(r"(?<![A-Za-z0-9_.])N\(")
FIRST_STEP_ROW = 7  # rows above hold the headings of a sheet of steps


def spell_out(book: Book) -> None:
    """Replace every call in the model by ordinary formulas, adding the sheets of steps."""
    for sheet in list(book.sheets):
        helper = Helper(book, sheet)
        for (row, col), cell in sorted(sheet.cells.items()):
            if isinstance(cell.content, Call):
                call = cell.content
                args = tuple(without_n(arg) for arg in call.args)
                unless = (without_n(call.unless[0]), without_n(call.unless[1])) if call.unless else None
                cell.content = helper.formula(row, col, replace(call, args=args, unless=unless))
            elif isinstance(cell.content, Formula):
                cell.content = Formula(without_n(cell.content.text))


def without_n(text: str) -> str:
    """What stands for `N(A1)`, which is #NUM! of a blank cell in Gnumeric: `SUM(A1)`, a text or a blank being 0 too.

    Of a cell that is looked up, `IF(ISTEXT(cell),0,0+cell)`: some engines add up only what is an address.
    """
    while found := N_OF.search(text):
        if text[: found.start()].count('"') % 2:
            raise ValueError(f"N( inside a text: {text}")
        inner, end = closed(text, found.end())
        put = f"IF(ISTEXT({inner}),0,0+{inner})" if inner.startswith("INDEX(") else f"SUM({inner})"
        text = f"{text[: found.start()]}{put}{text[end:]}"
    return text


def closed(text: str, start: int) -> tuple[str, int]:
    """What stands between an opened bracket and its own closing one, and the place behind that."""
    depth, quoted_text = 1, False
    for at in range(start, len(text)):
        quoted_text ^= text[at] == '"'
        if not quoted_text:
            depth += (text[at] == "(") - (text[at] == ")")
        if not depth:
            return text[start:at], at + 1
    raise ValueError(f"unclosed bracket in {text!r}")


class Helper:
    """Spells out the calls of one sheet and owns its sheet of steps."""

    def __init__(self, book: Book, home: Sheet) -> None:
        self.book, self.home = book, home
        self.sheet: Sheet | None = None
        self.columns: dict[tuple[int, str, str], int] = {}
        self.seen: dict[tuple[int, str, str], str] = {}

    def formula(self, row: int, col: int, call: Call) -> Formula:
        record = CATALOGUE[call.name]
        if record.longhand is None:
            raise ValueError(f"{call.name} has no longhand and cannot stand in the plain edition")
        refs = dict(zip(record.args, call.args, strict=True))
        given = {name: tidy(ref) for name, ref in refs.items()}
        known = dict(given)
        for step in live_steps(record, refs):
            text = fill(record, settled(record, step.formula, refs), known, self.book.table_range)
            known[step.name] = self.step(row, col, call, step.name, step.label, step.unit, text)
        body = fill(record, settled(record, record.longhand.result, refs), known, self.book.table_range)
        tests = guard_parts(record, given, lambda formula: settled(record, formula, refs))
        guarded = tests.around(body)
        # row numbers of one or of three digits must not make a column two formulas
        if len(re.sub(r"\d+", "0", guarded)) > ONE_LINE and guarded != body:
            guarded = f"IF({self.fits(row, col, call, tests)}=1,{body},0)"
        return Formula(f"=IF({call.unless[0]},{call.unless[1]},{guarded})" if call.unless else f"={guarded}")

    def fits(self, row: int, col: int, call: Call, tests: Guard) -> str:
        """A cell that is 1 where every input is possible, or the error to show; a cell for each test."""
        held = []
        for i, group in enumerate(tests.tests, 1):
            text = both([t for t in group if t != "TRUE"] or ["TRUE"])
            held.append(self.step(row, col, call, f"possible_{i}", f"test {i}: possible?", "yes/no", text))
        last = f"IF({both(held)},1,#NUM!)" if held else "1"
        if tests.kinds:
            number = self.step(row, col, call, "numbers", "all are numbers?", "yes/no", both(tests.kinds))
            last = f"IF({number},{last},{tests.wrong})"
        return self.step(row, col, call, "inputs_fit", "inputs possible: 1, or the error to show", "1", last)

    def step(self, row: int, col: int, call: Call, name: str, label: str, unit: str, text: str) -> str:
        """A helper cell for one step; the same arithmetic in the same row, under the same condition, is done once."""
        same = (row, call.unless[0] if call.unless else "", text)
        if same in self.seen:
            return self.seen[same]
        sheet = self.sheet or self._new_sheet()
        key = (col, call.name, name)
        if key not in self.columns:
            at = self.columns[key] = len(self.columns) + 1
            sheet.put(4, at, call.name.replace("_", " ").lower(), "head")
            sheet.put(5, at, label, "head")
            sheet.put(6, at, unit, "unit")
            sheet.widths[at] = 17
        at = self.columns[key]
        if (row, 0) not in sheet.cells and (row, 0) in self.home.cells:
            sheet.put(row, 0, Formula(f'={self.home.ref(row, 0)}&""'), "label")
        inside = on_sheet(text, self.home.name)
        if call.unless:
            inside = f"IF({on_sheet(call.unless[0], self.home.name)},0,{inside})"
        inside = inside.replace(f"{quoted(sheet.name)}!", "")
        sheet.put(row, at, Formula(f"={inside}"), "number0" if whole(name, unit) else "number3", unit=unit)
        self.seen[same] = f"{quoted(sheet.name)}!{a1(row, at)}"
        return self.seen[same]

    def _new_sheet(self) -> Sheet:
        name = f"{self.home.name} steps"
        title = "Steps behind it, one operator a cell"  # the audit knows them by the first two words
        sentence = f"Each row continues the same row of {self.home.name}; the headings name function, step and unit. Printed is this head alone."
        self.sheet = begin(self.book, name, title, sentence, "Workings")
        self.sheet.freeze = (FIRST_STEP_ROW, 1)
        self.sheet.widths[0] = 26
        self.sheet.printed_rows, self.sheet.printed_cols = HEADER_ROWS, 8
        return self.sheet


def whole(name: str, unit: str) -> bool:
    """Whether a step is a yes or no, or a place in a list."""
    return unit == "yes/no" or name in ("inputs_fit", "place")


def tidy(ref: str) -> str:
    """An argument that is itself an expression goes in brackets."""
    return ref if len(pieces(ref)) == 1 else f"({ref})"
