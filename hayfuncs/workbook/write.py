"""From the model to a file: one XlsxWriter pass to compute, a second that stores every value.

No shipped file has an empty or an error value behind a formula.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from hayfuncs import __version__
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.files import LONGEST_TEXT, UserError, replacing
from hayfuncs.formulas import lambdas
from hayfuncs.hosts import engine
from hayfuncs.spreadsheet.a1 import a1, quoted
from hayfuncs.spreadsheet.engine_values import plain_value
from hayfuncs.workbook import fileinfo, fit, marking
from hayfuncs.workbook.model import Book, Call, Cell, Content, Flagging, Formula, Input, Sheet, is_formula
from hayfuncs.workbook.page_setup import (
    BOTTOM,
    SIDE,
    breaks,
    first_row,
    last_column,
    last_row,
    page_head,
    paper,
    top_margin,
)  # fmt: skip
from hayfuncs.workbook.pictures import draw
from hayfuncs.workbook.stack import by_sheet, stacked
from hayfuncs.workbook.styles import BODY, FONT, TAB_COLORS, properties

FORMULA_MARKS = ("=", "+", "-", "@")  # how a text begins that a program may take for a formula
Values = dict[tuple[str, int, int], Any]
# on a protected sheet; objects are left free, since Excel's arrows to precedents are drawn as objects
ALLOWED = dict.fromkeys(
    ("objects", "select_locked_cells", "select_unlocked_cells", "format_columns", "format_rows"), True
)
SPELLING = {"functions": "HAY.", "classic": "HAY_", "plain": ""}
EXCEL_CALCULATION = (
    191029  # the calculation that Excel 2019 to 365 say they are; an older one's file is calculated anew
)


class Page(Worksheet):  # type: ignore[misc]  # XlsxWriter has no types
    """A worksheet that takes formulas as they are.

    XlsxWriter looks in each formula for some thirty newer functions, to add the prefixes that the
    file needs.  None of ours uses one outside the LAMBDA names, whose prefixes are written out,
    and on thousands of formulas that search was most of the time spent.
    """

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")

    def _xml_formula_element(self, formula: str, result: Any, attributes: list[tuple[str, Any]]) -> None:
        """An empty text is written as a text; without its kind it would stand for a number that is not there."""
        if result == "":
            attributes = [*attributes, ("t", "str")]
        super()._xml_formula_element(formula, result, attributes)


class Unfinished(UserError):
    """The computed workbook holds an error or an empty formula cell; it must not ship."""


def compute(book: Book) -> Values:
    """Every formula cell's value, by the embedded engine."""
    stream = io.BytesIO()
    _write(book, stream, {}, bare=True)
    running = engine.load(stream.getvalue(), SPELLING[book.edition] or "HAY.")
    running.evaluate_all()
    values: Values = {}
    for sheet in book.sheets:
        formulas = [at for at, cell in sheet.cells.items() if is_formula(cell)]
        if formulas:
            rows = engine.raw(running, sheet.name, sheet.last_row + 1, max(col for _, col in formulas) + 1)
            values |= {(sheet.name, row, col): plain_value(rows[row][col]) for row, col in formulas}
    return values


def faults(values: Values) -> list[str]:
    """Formula cells whose value is an error or nothing, as `Sheet!A1 #NUM!`."""
    return [
        f"{quoted(sheet)}!{a1(row, col)} {'empty' if value is None else value}"
        for (sheet, row, col), value in values.items()
        if value is None or (isinstance(value, str) and value.startswith("#"))
    ]


def save(
    book: Book, path: Path, force: bool = False, progress: Callable[[str], None] | None = None, own: bool = False
) -> Values:
    """Compute and write the workbook; refuse to write one with an error in it.

    A user's `own` numbers may have no answer (a supplement too poor for the need): then the cells
    say so by their error value, and whoever calls tells it in words (`errors_told`).
    """
    if progress is not None:
        progress("computing the workbook")
    file = stacked(book)
    marking.put(book, file, SPELLING[book.edition], dict(_definitions(file)))
    values = compute(file)
    bad = faults(values)
    if bad and not own:
        raise Unfinished(
            f"{len(bad)} cells of the workbook would hold errors: {'; '.join(bad[:8])}; look at what these rows were given; "
            "nothing was written"
        )
    whole = io.BytesIO()  # what fails on the disk then fails in one plain write, in the system's own words
    _write(file, whole, values)
    with replacing(path, force) as beside:
        beside.write_bytes(whole.getvalue())
    return by_sheet(book, values)


def values_alone(book: Book, stream: Any) -> None:
    """A file of a book without formulas, into a stream."""
    _write(book, stream, {})


def errors_told(book: Book, values: Values) -> list[str]:
    """A line about the cells that show an error, where they stand in the file; empty where none does."""
    bad = faults({book.at(*at): value for at, value in values.items()})
    if not bad:
        return []
    more = f" and {len(bad) - 1} that follow from it" if len(bad) > 1 else ""
    return [
        f"Note: {bad[0]}{more}: these numbers have no answer; the sheet says why, or choose another feed on What to feed."
    ]


def _write(book: Book, stream: Any, values: Values, bare: bool = False) -> None:
    """The file; a `bare` one holds what computing needs, and nothing for the eye."""
    file = xlsxwriter.Workbook(
        stream,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            # columns are as wide as so many digits of this font, in every program and on every machine
            "default_format_properties": {"font_name": FONT, "font_size": BODY, "font_scheme": "none"},
            "default_column_width": 80,  # pixels, of this font
            "default_row_height": 20,
        },
    )
    file.set_size(2400, 1500)
    if book.edition == "classic":  # calculated anew on opening, its calls would lose their values where Python is not
        file.set_calc_mode("auto", EXCEL_CALCULATION)
        file.calc_on_load = False
    fileinfo.tell(file, book)
    formats: dict[tuple[str, bool, bool], Any] = {}

    def look(style: str, col: int = 0, content: Content = None) -> Any:
        """`content` that begins like a formula is marked as text, so that a program does not read it anew."""
        like_one = isinstance(content, str) and content.startswith(FORMULA_MARKS)
        key = style, col > 0, like_one
        if key not in formats:
            formats[key] = file.add_format(properties(style, col) | ({"quote_prefix": True} if like_one else {}))
        return formats[key]

    for sheet in book.sheets:
        out = file.add_worksheet(sheet.name, Page)
        for (row, col), cell in sorted(sheet.cells.items()):
            _cell(book, sheet, out, row, col, cell, look(cell.style, col, cell.content), values)
        if not bare:
            _dress(book, sheet, out, look, values, file)
    for name, ref in book.names.items():
        file.define_name(name, f"={ref}")
    for name, text in _definitions(book):
        file.define_name(name, "=" + text)
    file.get_worksheet_by_name(book.sheets[0].name).activate()
    file.close()


def _definitions(book: Book) -> Iterator[tuple[str, str]]:
    """The functions that the file itself defines, where its edition has them."""
    for record in lambdas.all_with_lambda() if book.edition == "functions" else ():
        if all(need in book.tables for need in lambdas.needs(record)):
            yield record.sheet_name, lambdas.lambda_text(record, book.table_range)


def _dress(book: Book, sheet: Sheet, out: Any, look: Callable[..., Any], values: Values, file: Any) -> None:
    """Widths, heights, rules, pictures and paper of a sheet."""
    for col, width in sheet.widths.items():
        out.set_column(col, col, width, look("text"))
    heights = fit.heights(sheet, values)
    for row, height in heights.items():
        out.set_row(row, height)
    for entry, first, last, col in runs(sheet):
        out.data_validation(first, col, last, col, validation(entry))
    for flag in sheet.flags:
        out.conditional_format(*flag.area, flag_rule(flag) | {"format": look(flag.style)})

    def read(name: str, row: int, col: int) -> Any:
        cell = book.by_name(name).cells.get((row, col))
        return values.get((name, row, col), None if cell is None or is_formula(cell) else cell.content)

    for picture in sheet.pictures:
        draw(file, out, sheet, picture, read)
    if sheet.role in TAB_COLORS:
        out.set_tab_color(TAB_COLORS[sheet.role])
    out.freeze_panes(*sheet.freeze)
    out.set_zoom(sheet.zoom)
    out.hide_gridlines(2)
    out.protect("", ALLOWED)
    _page(sheet, out, heights)


def flag_rule(flag: Flagging) -> dict[str, Any]:
    if flag.when:
        return {"type": "formula", "criteria": f"={flag.when}"}
    return {"type": "text", "criteria": "containing", "value": flag.text}


def _cell(book: Book, sheet: Sheet, out: Any, row: int, col: int, cell: Cell, look: Any, values: Values) -> None:
    content = cell.content
    value = values.get((sheet.name, row, col), 0)
    if isinstance(content, Call):
        # one-cell dynamic array: Excel would otherwise put an @ before a LAMBDA name
        text = content.formula(SPELLING[book.edition])
        if book.edition == "functions":
            out.write_dynamic_array_formula(row, col, row, col, text, look, value)
        else:
            out.write_formula(row, col, text, look, value)
    elif isinstance(content, Formula):
        if cell.link:  # the link is kept beside the cells: the formula takes the place of its text
            out.write_url(row, col, linked(cell.link), look, "", f"Go to {cell.link.split('!')[0]}")
        if content.at_once and book.edition == "functions":  # a one-cell array, as the calls it looks at are
            out.write_dynamic_array_formula(row, col, row, col, content.text, look, value)
        else:
            out.write_formula(row, col, content.text, look, value)
    elif isinstance(content, str) and cell.link:
        out.write_url(row, col, linked(cell.link), look, content, f"Go to {cell.link.split('!')[0]}")
    elif isinstance(content, str):
        out.write_string(row, col, content, look)
    elif isinstance(content, datetime.date):
        out.write_datetime(row, col, datetime.datetime(content.year, content.month, content.day), look)
    elif content is None:
        out.write_blank(row, col, None, look)
    else:
        out.write(row, col, content, look)


def linked(link: str) -> str:
    target, _, ref = link.partition("!")
    return f"internal:{quoted(target)}!{ref}"


def runs(sheet: Sheet) -> list[tuple[Input, int, int, int]]:
    """Inputs of one rule that stand under one another, as (input, first row, last row, column)."""
    found: list[tuple[Input, int, int, int]] = []
    by_column = sorted((col, row) for (row, col), cell in sheet.cells.items() if cell.entry is not None)
    for col, row in by_column:
        entry = sheet.cells[row, col].entry
        assert entry is not None
        if found:
            before, first, last, column = found[-1]
            if column == col and last == row - 1 and replace(before, key="") == replace(entry, key=""):
                found[-1] = (before, first, row, col)
                continue
        found.append((entry, row, row, col))
    return found


def validation(entry: Input) -> dict[str, Any]:
    """The cell's rule and both its messages, in the words of the input."""
    rule: dict[str, Any] = {
        "ignore_blank": True,
        "input_title": fit.heading(entry.title),
        "input_message": entry.message[:255],
        "error_title": "Not possible here",
        "error_message": f"{entry.message[:240]}",
        "error_type": "stop",
    }
    if entry.source:
        return rule | {"validate": "list", "source": "=" + entry.source}
    if entry.words:
        return rule | {"validate": "list", "source": list(entry.words)}
    if entry.kind == "text":
        return rule | {"validate": "length", "criteria": "between", "minimum": 0, "maximum": LONGEST_TEXT}
    if entry.kind == "date":
        first, last = datetime.date(1990, 1, 1), datetime.date(2100, 1, 1)
        return rule | {"validate": "date", "criteria": "between", "minimum": first, "maximum": last}
    kind = {"whole": "integer"}.get(entry.kind, "decimal")
    lo = -1e15 if entry.lo in (None, float("-inf")) else entry.lo
    hi = 1e15 if entry.hi in (None, float("inf")) else entry.hi
    if entry.above and entry.hi in (None, float("inf")):
        return rule | {"validate": kind, "criteria": ">", "value": lo}
    return rule | {"validate": kind, "criteria": "between", "minimum": lo, "maximum": hi}


def _page(sheet: Sheet, out: Any, heights: dict[int, float]) -> None:
    out.set_portrait() if sheet.portrait else out.set_landscape()
    out.set_paper(1)  # US letter
    on_paper = paper(sheet, breaks=True)
    rows = breaks(sheet, heights, on_paper)
    if not rows:
        on_paper = paper(sheet, breaks=False)
    out.set_margins(SIDE, SIDE, top_margin(on_paper), BOTTOM)
    out.print_area(first_row(on_paper, sheet), 0, last_row(sheet), last_column(sheet))
    if on_paper.scale is None:
        out.fit_to_pages(1, int(sheet.one_tall))
    else:  # breaks count only where the scale is given
        out.set_print_scale(on_paper.scale)
    if on_paper.cuts:
        out.set_v_pagebreaks(list(on_paper.cuts))
        out.set_header(page_head(sheet))
        out.repeat_columns(0, 0)
        out.print_across()  # the parts of a row lie one after the other
    if sheet.repeat_rows:
        out.repeat_rows(*sheet.repeat_rows)
    middle = "" if sheet.portrait else "&C&A"  # no room for it beside a long name of a file
    out.set_footer(f"&L&F, hayfuncs {__version__}, printed &D{middle}&RPage &P of &N")
    if rows:
        out.set_h_pagebreaks(rows)


def input_values(book: Book) -> dict[str, Any]:
    """What the model holds in each input, by key."""
    return {key: book.by_name(s).cells[r, c].content for key, (s, r, c) in book.inputs.items()}


def uses(book: Book) -> set[str]:
    """The functions the workbook calls."""
    calls = {c.content.name for s in book.sheets for c in s.cells.values() if isinstance(c.content, Call)}
    return calls & set(CATALOGUE)
