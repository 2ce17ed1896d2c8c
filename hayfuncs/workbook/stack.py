"""The sheets of the model put on their tabs, one below the other, every reference with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hayfuncs.spreadsheet.a1 import a1, quoted
from hayfuncs.spreadsheet.limits import ROWS
from hayfuncs.spreadsheet.tokens import CUT, reference, sheet_of, written
from hayfuncs.workbook.model import (
    USUAL_WIDTH,
    Address,
    Book,
    Call,
    Cell,
    Content,
    Flagging,
    Formula,
    Picture,
    Place,
    Series,
    Sheet,
    is_formula,
)
from hayfuncs.workbook.sheets.common import KNOWN, MASTER, NOT_KNOWN
from hayfuncs.workbook.signposts import LEFT_ALONE, Signposts
from hayfuncs.workbook.tabs import ANSWER, HEAD, REFERENCE, START, WORKING, Tab, bottom, leads, list_row, listed

NARROWEST = (16.0, 14.0, 14.0)  # characters of the first columns: the links of the head stand in them
SOLVED = "Solved values"  # the role of a sheet of answers
WINDOW = 1180  # pixels of cells that a screen of 1,280 shows
SMALLEST_ZOOM = 75  # percent: smaller letters are for nobody in a hall
PRINTED_COLS = 8  # of a head that is printed alone
TITLE_HEIGHT = 30
PART_HEIGHT = 26  # points, of a part's title


def stacked(book: Book) -> Book:
    """The book as the file has it: its sheets are the tabs."""
    if not book.places:
        return book
    move = Mover(book.places)
    made = Book(book.edition, book.title)
    made.marks, made.kind = book.marks, book.kind
    for tab in book.tabs:
        parts = [book.by_name(name) for name in tab.sheets]
        first, alone = parts[0], len(parts) == 1
        sentence, home = (first.sentence, first.name) if leads(tab) else (tab.sentence, "")
        sheet = made.sheet(tab.name, first.title if alone else tab.title, move.signs.said(sentence, home), tab.kind)
        for part in parts:
            _put(move, part, sheet, book.places[first.name].down, alone, part is first and leads(tab))
        if not alone:
            sheet.portrait, sheet.freeze = first.portrait, (HEAD, 0)
            sheet.zoom = first.zoom if tab.kind == ANSWER else 100
            _contents(book, tab, sheet)
        sheet.widths |= dict(enumerate(tab.widths))
        for col, least in enumerate(NARROWEST if len(parts) > 1 and not tab.widths else ()):
            sheet.widths[col] = max(least, sheet.widths.get(col, 0))
        drawn = first.pictures if tab.kind == ANSWER else []
        wide = max(_right_edge(sheet, sheet.needed_cols), *(_right_edge(sheet, p.col, p.width) for p in drawn), 0)
        if wide:
            sheet.zoom = max(SMALLEST_ZOOM, min(sheet.zoom, 100 * WINDOW // wide // 5 * 5))
        _print(book, tab, sheet)
    for before, sheet, after in zip([None, *made.sheets], made.sheets, [*made.sheets[1:], None], strict=False):
        _head(made, sheet, before, after)
    made.names = {name: move.formula(ref, "") for name, ref in book.names.items()}
    made.tables = {key: move.formula(ref, "") for key, ref in book.tables.items()}
    made.inputs = {key: book.at(*at) for key, at in book.inputs.items()}
    return made


def by_sheet(book: Book, values: Mapping[tuple[str, int, int], Any]) -> dict[tuple[str, int, int], Any]:
    """Values of the file's tabs, by the sheets of the model."""
    found: dict[tuple[str, int, int], Any] = {}
    for sheet in book.sheets:
        for (row, col), cell in sheet.cells.items():
            at = book.at(sheet.name, row, col)
            if at in values and is_formula(cell):
                found[sheet.name, row, col] = values[at]
    return found


def _print(book: Book, tab: Tab, sheet: Sheet) -> None:
    """One page wide; of workings, references and what is kept once the head alone is printed, unless all is asked for."""
    sheet.one_wide = tab.kind in (ANSWER, START) or not book.print_all
    if (tab.head_alone or tab.kind in (WORKING, REFERENCE)) and not book.print_all:
        sheet.printed_rows, sheet.printed_cols = HEAD, PRINTED_COLS
        return
    if tab.printed:
        part = book.by_name(tab.printed[-1])
        down = book.places[part.name].down
        sheet.printed_rows = None if book.print_all else down + (part.printed_rows or bottom(part) + 1)
        if len(tab.printed) == 1 and not book.print_all:
            sheet.printed_cols = part.printed_cols


def _right_edge(sheet: Sheet, cols: int, more: int = 0) -> int:
    """Pixels, at 100 %, from the left to the end of so many columns, or of a picture that begins there."""
    return sum(sheet.pixels(col) for col in range(cols)) + more


def _contents(book: Book, tab: Tab, sheet: Sheet) -> None:
    """The list of the parts, each a link to its title; where a part stands above it, the head leads to it."""
    top = list_row(book, tab)
    sheet.put(top, 0, "Further on this tab" if leads(tab) else "On this tab", "section")
    for row, name in enumerate(listed(tab), top + 1):
        down = book.places[name].down
        sheet.put(row, 0, f"{name}: {book.by_name(name).title}", "link", link=f"{tab.name}!{a1(down, 0)}")
    if leads(tab):
        sheet.put(HEAD - 1, 3, f"▼ {', '.join(listed(tab))}", "link", link=f"{tab.name}!{a1(top, 0)}")


def _head(book: Book, sheet: Sheet, before: Sheet | None, after: Sheet | None) -> None:
    """Title, sentence, kind, the check over all checks, and the ways from here."""
    sheet.put(0, 0, sheet.title, sheet.cells[0, 0].style if (0, 0) in sheet.cells else "title")
    sheet.put(1, 0, sheet.sentence, "sentence")
    sheet.put(2, 0, sheet.role, "role")
    sheet.heights.setdefault(0, TITLE_HEIGHT)
    # on every tab by itself: where the functions are not known, the stored words of the checks say nothing
    told = Formula(f'=IF(ISERROR({KNOWN}),"{NOT_KNOWN}",{MASTER})', at_once=True)
    sheet.put(2, 1, told, "master", link="Checks!A1")
    first = book.sheets[0]
    ways = ((0, "◀ ", before), (1, "▶ ", after), (2, "⌂ ", None if sheet is first else first))
    for col, sign, other in ways:
        if other is not None and (3, col) not in sheet.cells:
            sheet.put(3, col, f"{sign}{other.name}", "link", link=f"{other.name}!A1")


def _put(move: Mover, part: Sheet, sheet: Sheet, first: int, alone: bool, leading: bool) -> None:
    """A part in its place; `alone` on its tab, or `leading` it, under the tab's own head."""
    down = move.places[part.name].down
    for (row, col), cell in part.cells.items():
        if cell.style in ("role", "title") and not leading:
            if cell.style == "role":
                continue
            cell = replace(cell, style="part")
        sheet.cells[row + down, col] = move.cell(cell, part.name, part.role == SOLVED and not is_formula(cell))
    sheet.last_row = max(sheet.last_row, part.last_row + down)
    sheet.last_col = max(sheet.last_col, part.last_col)
    for col in range(part.last_col + 1):
        width = part.widths.get(col, USUAL_WIDTH)
        sheet.widths[col] = max(width, sheet.widths.get(col, 0))
    for col, width in part.widths.items():
        sheet.widths[col] = max(width, sheet.widths.get(col, 0))
    for row, height in part.heights.items():
        sheet.heights[row + down] = height
    sheet.pictures += [move.picture(p, part.name) for p in part.pictures]
    sheet.flags += [move.flag(f, part.name) for f in part.flags]
    sheet.needed_cols = max(sheet.needed_cols, part.needed_cols)
    sheet.one_tall = sheet.one_tall or part.one_tall
    sheet.page_breaks += [row + down for row in part.page_breaks]
    if alone:
        sheet.freeze, sheet.zoom, sheet.portrait = part.freeze, part.zoom, part.portrait
        sheet.printed_from = part.printed_from
        sheet.repeat_rows, sheet.printed_cols, sheet.printed_rows = (
            part.repeat_rows,
            part.printed_cols,
            part.printed_rows,
        )
    if leading:
        return
    sheet.heights[down] = PART_HEIGHT
    sheet.put(down + 2, 0, f"Part {part.name}. ▲ To the top of {sheet.name}", "link", link=f"{sheet.name}!A1")
    if down > first:  # the first part stays with the head
        sheet.page_breaks.append(down)


class Mover:
    """References rewritten from where a cell stands in the model to where it stands in the file."""

    def __init__(self, places: dict[str, Place]) -> None:
        self.places = places
        self.signs = Signposts(places)
        self.known: dict[tuple[str, str], str] = {}

    def formula(self, text: str, home: str) -> str:
        """A formula of a cell of the sheet `home`; a reference alone is one too."""
        parts = CUT.split(text)
        for i in range(1, len(parts), 2):
            parts[i] = self.signs.said(parts[i], home) if parts[i][0] == '"' else self._reference(parts[i], home)
        return "".join(parts)

    def _reference(self, text: str, home: str) -> str:
        key = (home, text)
        if key not in self.known:
            ref = reference(text)
            target = self.places[ref.sheet or home]
            if target.down and (ref.row == 0 and ref.last_row == ROWS - 1):
                raise ValueError(f"{text} on {home}: a whole column of a sheet that shares its tab")
            last = ref.last_row if target.last is None else max(ref.row, min(ref.last_row, target.last))
            shown = written(ref._replace(row=ref.row + target.down, last_row=last + target.down))
            mine = self.places[home].tab if home else ""
            self.known[key] = shown if mine == target.tab else f"{quoted(target.tab)}!{shown}"
        return self.known[key]

    def cell(self, cell: Cell, home: str, solved: bool) -> Cell:
        if cell.entry is not None:
            source = cell.entry.source and self.formula(cell.entry.source, "")
            entry = replace(cell.entry, source=source, message=self.signs.said(cell.entry.message, home))
            return replace(
                cell, content=self.content(cell.content, home), entry=entry, link=self.link(cell.link), solved=solved
            )
        content = self.content(cell.content, home)
        if type(content) is str and cell.style not in LEFT_ALONE:
            content = self.signs.said(content, home)
        return replace(cell, content=content, link=self.link(cell.link), solved=solved)

    def content(self, content: Content, home: str) -> Content:
        if isinstance(content, Formula):
            return replace(content, text=self.formula(content.text, home))
        if isinstance(content, Call):
            unless = content.unless and (self.formula(content.unless[0], home), self.formula(content.unless[1], home))
            return Call(content.name, tuple(self.formula(arg, home) for arg in content.args), unless)
        if isinstance(content, Address):
            moved = self.formula(content.ref, "")
            tab, cells = sheet_of(moved[: moved.rindex("!") + 1]), str(Address(moved, "cells"))
            return {"tab": tab, "cells": cells, "both": f"taken from {tab}, cell {cells}"}[content.shows]
        return content

    def link(self, link: str) -> str:
        if not link:
            return ""
        sheet, _, cell = link.partition("!")
        return f"{self.places[sheet].tab}!{self._reference(cell, sheet)}"

    def picture(self, picture: Picture, home: str) -> Picture:
        return replace(
            picture,
            row=picture.row + self.places[home].down,
            title=picture.title and self.formula(picture.title, ""),
            alt=self.signs.said(picture.alt, home),
            series=[self.series(s) for s in picture.series],
            line=picture.line and self.series(picture.line),
        )

    def series(self, series: Series) -> Series:
        name = self.formula(series.name, "") if "!" in series.name else series.name
        return replace(series, name=name, x=self.formula(series.x, ""), y=self.formula(series.y, ""))

    def flag(self, flag: Flagging, home: str) -> Flagging:
        row, col, last_row, last_col = flag.area
        down = self.places[home].down
        when = flag.when and self.formula(flag.when, home)
        return replace(flag, area=(row + down, col, last_row + down, last_col), when=when)
