"""The workbook as a model: sheets of cells, named inputs, pictures; no file format in it.

The layout modules fill it; `plain_edition.py` spells calls out, `write.py` makes the file.  Rows and columns count from 0.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias, TypeVar

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Flag, Words
from hayfuncs.contract.units import WRITTEN
from hayfuncs.spreadsheet.a1 import a1 as a1
from hayfuncs.spreadsheet.a1 import a1_area, split_address
from hayfuncs.spreadsheet.a1 import place_of as place_of
from hayfuncs.spreadsheet.a1 import quoted as quoted

DIGIT, PADDING = 9, 7  # pixels: a digit of the body font, and what a column has beside its digits
TITLE_HEIGHT = 20  # pixels: the row above a picture, taken from its height
USUAL_WIDTH = 8.11  # characters, of a column that says nothing
Placed = TypeVar("Placed")
FIRST = 7  # the first data row of a table (row 8 on the sheet): band, heads and units stand above
HEADER_ROWS = 4  # title, sentence, role and master check, blank: content starts below


@dataclass(frozen=True)
class Call:
    """One call of a worksheet function.  A cell holds one call and nothing around it,
    except `unless`: (condition, what is shown instead), for a cell that may not apply."""

    name: str
    args: tuple[str, ...]
    unless: tuple[str, str] | None = None

    def formula(self, spelling: str = "HAY.") -> str:
        text = f"{spelling}{self.name}({','.join(self.args)})"
        return f"=IF({self.unless[0]},{self.unless[1]},{text})" if self.unless else f"={text}"


def call(name: str, *args: str, unless: tuple[str, str] | None = None) -> Call:
    record = CATALOGUE[name]
    if len(args) != len(record.args):
        raise ValueError(f"{name} takes {len(record.args)} arguments, the layout gives {len(args)}")
    return Call(name, args, unless)


@dataclass(frozen=True)
class Formula:
    """A formula as the layout writes it.  What a user typed is never one, whatever it starts with."""

    text: str  # with its equals sign
    at_once: bool = False  # worked out as the file is opened, by programs that else show what is stored

    def __post_init__(self) -> None:
        if not isinstance(self.text, str) or not self.text.startswith("="):
            raise ValueError(f"not a formula: {self.text!r}")

    def __str__(self) -> str:
        raise TypeError(f"a formula is not text: {self.text}")

    def formula(self, spelling: str = "HAY.") -> str:
        """The same in every edition, as `Call.formula` is not."""
        return self.text


class Address(str):
    """A text that says where cells of a sheet stand: `shows` "tab" (the tab's name), "cells" (`A8:A47`) or "both".

    It is written once the sheets stand on their tabs.
    """

    __slots__ = ("ref", "shows")
    ref: str
    shows: str

    def __new__(cls, ref: str, shows: str) -> Address:
        made = super().__new__(cls, split_address(ref)[shows != "tab"].replace("$", ""))
        made.ref, made.shows = ref, shows
        return made

    def __reduce__(self) -> tuple[type[Address], tuple[str, str]]:
        return Address, (self.ref, self.shows)


Content: TypeAlias = str | float | int | bool | datetime.date | Formula | Call | None


@dataclass(frozen=True)
class Input:
    """What may be typed in an input cell, and the words that say so."""

    key: str  # how a rebuild finds the value again: "sheet/row name/column"
    title: str
    message: str
    lo: float | None = None
    hi: float | None = None
    words: tuple[str, ...] = ()
    source: str = ""  # a range that holds the words
    kind: str = "number"  # number, whole, text, date, word
    required: bool = True
    above: bool = False
    # table and field in the row of the same number, and its words: with one of them needed, or needed with none of them
    needed: tuple[str, str, tuple[str, ...]] | None = None
    needless: tuple[str, str, tuple[str, ...]] | None = None


def input_for(key: str, record_name: str, argument: str, required: bool = True) -> Input:
    """An input whose range is the argument's own: the record is the one place that states it."""
    arg = CATALOGUE[record_name].args[argument]
    title = min((arg.meaning.partition(sign)[0] for sign in (",", ":", ";", " (")), key=len)
    said = f"{arg.meaning}: {arg.allowed()}"[:255]
    if isinstance(arg, Words):
        return Input(key, title, said, words=arg.words, kind="word", required=required)
    if isinstance(arg, Flag):
        return Input(key, title, said, lo=0, hi=1, kind="whole", required=required)
    assert isinstance(arg, Arg)
    text = f"{arg.meaning}: {arg.allowed()}."
    if arg.fit:
        text += f" The equation was fitted to {arg.fit[0]:g} to {arg.fit[1]:g}."
    return Input(key, title, text[:255], lo=arg.lo, hi=arg.hi, required=required, above=arg.above)


@dataclass
class Cell:
    content: Content
    style: str = "text"
    unit: str = ""
    entry: Input | None = None
    link: str = ""  # internal link target "Sheet!A1"
    solved: bool = False  # an answer that Python found and no cell can


def is_formula(cell: Cell) -> bool:
    """By what the layout put there: a text that starts with an equals sign (a lot's name, say) is text."""
    return isinstance(cell.content, (Formula, Call))


@dataclass
class Series:
    """One series of a picture; `x` and `y` are ranges, `name` may be a cell's reference."""

    name: str
    x: str
    y: str
    color: str = "#0072B2"
    named_points: tuple[bool, ...] = ()  # which points carry the series' name
    values_shown: bool = False
    marker: str = "circle"
    size: int = 10
    line: str = ""  # "", "solid", "dash", "round_dot"
    pattern: str = ""
    gap: int = 60
    label_position: str = ""
    label_color: str = "#1F1F1F"
    over_others: bool = False  # bars in one another's place, where only one of them is not 0
    label_format: str = ""  # a number format of the values shown: "0.0;;" shows no 0


@dataclass
class Picture:
    """A native chart: its kind, its series, its words."""

    kind: str  # "bar", "column", "scatter", "line"
    row: int
    col: int
    title: str  # a cell reference: the finding, or a bare picture's own words
    x_title: str
    y_title: str
    alt: str
    series: list[Series]
    width: int = 900
    height: int = 460
    x_range: tuple[float | None, float | None] = (None, None)
    y_range: tuple[float | None, float | None] = (None, None)
    x_step: float | None = None
    legend: bool = False
    reverse: bool = False
    stacked: bool = False
    line: Series | None = None  # a line over columns, drawn with the same categories
    every_name: bool = False  # no name of a bar or column is left out for want of room
    size: int = 12  # points of its words
    bare: bool = False  # no axis of numbers: the numbers stand at the marks
    mark_at: float | None = None  # of a bare picture: one line across the bars, at this value
    plot: tuple[float, float, float, float] | None = None  # the part inside its axes: left, top, width, height


@dataclass
class Flagging:
    """Cells of an area whose text contains `text` get a style as well as the word.

    With `when` (a condition over a fixed cell of the sheet) all of the area gets it.
    """

    area: tuple[int, int, int, int]
    text: str
    style: str
    when: str = ""


class Sheet:
    """One sheet of the model."""

    def __init__(self, book: Book, name: str, title: str, sentence: str, role: str) -> None:
        if len(name) > 31 or not name.replace(" ", "").isalnum():
            raise ValueError(f"sheet name {name!r}")
        self.book, self.name, self.title, self.sentence, self.role = book, name, title, sentence, role
        self.cells: dict[tuple[int, int], Cell] = {}
        self.widths: dict[int, float] = {}
        self.heights: dict[int, float] = {}
        self.pictures: list[Picture] = []
        self.flags: list[Flagging] = []
        self.freeze: tuple[int, int] = (HEADER_ROWS - 1, 0)
        self.zoom = 100
        self.portrait = False
        self.repeat_rows: tuple[int, int] | None = None
        self.last_row = 0
        self.last_col = 0
        self.page_breaks: list[int] = []
        self.printed_cols: int | None = None  # columns that are printed, when workings at the right are not
        self.printed_from: int | None = None  # first row that is printed, when inputs stand above what is
        self.needed_cols = 0  # columns that are printed whatever it takes, and seen on the first screen where they fit
        self.one_tall = False  # printed on one page, a little smaller where it must be
        self.one_wide = False  # printed one page wide, and no more of its columns than fit
        self.printed_rows: int | None = None  # rows that are printed, when the rest is workings

    def put(self, row: int, col: int, content: Content, style: str = "text", *, unit: str = "", link: str = "") -> str:
        """Place a cell and hand back its absolute reference with the sheet's name."""
        if style in ("unit", "unit_cell") and isinstance(content, str):
            content = WRITTEN.get(content, content)
        self.cells[row, col] = Cell(content, style, unit, None, link)
        self.last_row, self.last_col = max(self.last_row, row), max(self.last_col, col)
        return self.ref(row, col)

    def entry(self, row: int, col: int, content: Content, entry: Input, style: str = "input", unit: str = "") -> str:
        """Place an input cell: unlocked, validated, with a message."""
        if entry.key in self.book.inputs:
            raise ValueError(f"two inputs are called {entry.key!r}")
        if self.book.keeper is not None:
            content = self.book.keeper(self.book, entry, content)
        self.put(row, col, content, style, unit=unit)
        self.cells[row, col].entry = entry
        self.book.inputs[entry.key] = (self.name, row, col)
        return self.ref(row, col)

    def draw(self, picture: Picture) -> None:
        """A picture, with its finding in the cell above it: LibreOffice does not renew a chart's own title."""
        self.put(picture.row, picture.col, Formula(f"={picture.title}"), "picture_title")
        self.pictures.append(replace(picture, row=picture.row + 1, height=picture.height - TITLE_HEIGHT, title=""))

    def heads(self, row: int, col: int, texts: Sequence[str], units: Sequence[str] = ()) -> None:
        for i, text in enumerate(texts):
            self.put(row, col + i, text, "head")
            if units:
                self.put(row + 1, col + i, units[i], "unit")

    def ref(self, row: int, col: int, absolute: str = "rc") -> str:
        return f"{quoted(self.name)}!{a1(row, col, absolute)}"

    def pixels(self, col: int) -> int:
        """The width of a column on the screen."""
        return int(self.widths.get(col, USUAL_WIDTH) * DIGIT + PADDING)

    def picture_right(self, picture: Picture) -> int:
        """The last column that a picture covers."""
        col, left = picture.col, picture.width
        while left > 0:
            left -= self.pixels(col)
            col += 1
        return col - 1

    def span(self, row: int, col: int, last_row: int, last_col: int) -> str:
        return f"{quoted(self.name)}!{a1(row, col, 'rc')}:{a1(last_row, last_col, 'rc')}"

    def width(self, *widths: float) -> None:
        for i, w in enumerate(widths):
            self.widths[i] = w


@dataclass(frozen=True)
class Place:
    """Where a sheet stands: its tab, the rows it stands lower there, its last row (None: nothing stands below)."""

    tab: str
    down: int
    last: int | None


class Book:
    """All sheets, names and inputs, and where one sheet's results stand for the others."""

    def __init__(self, edition: str, title: str) -> None:
        self.edition = edition
        self.title = title
        self.sheets: list[Sheet] = []
        self.names: dict[str, str] = {}  # defined name -> absolute reference
        self.inputs: dict[str, tuple[str, int, int]] = {}
        self.tables: dict[tuple[str, str], str] = {}  # (table, column) -> range
        self.marks: dict[str, Any] = {}
        self.kind = "plan"  # which workbook it is: the farm's ("farm"), or with the winter plan in it too ("plan")
        self.placed: dict[type, Any] = {}  # tables and pages by their class
        self.keeper: Callable[[Book, Input, Content], Content] | None = None  # puts an older workbook's values in
        self.print_all = False  # workings and references are printed too
        self.tabs: tuple[Any, ...] = ()  # what stands on which tab, once that is settled (`tabs.py`)
        self.places: dict[str, Place] = {}  # sheet -> where it stands

    def sheet(self, name: str, title: str, sentence: str, role: str) -> Sheet:
        made = Sheet(self, name, title, sentence, role)
        self.sheets.append(made)
        return made

    def by_name(self, name: str) -> Sheet:
        return next(s for s in self.sheets if s.name == name)

    def find(self, kind: type[Placed]) -> Placed:
        """The table or page of this class: its columns and lines are references to their cells."""
        found: Placed = self.placed[kind]
        return found

    def at(self, sheet: str, row: int, col: int) -> tuple[str, int, int]:
        """Tab, row and column where a cell of a sheet stands in the file."""
        place = self.places.get(sheet)
        return (sheet, row, col) if place is None else (place.tab, row + place.down, col)

    def where(self, ref: str) -> str:
        """`Hazards!B7` as the file has it: `'What could hurt'!B64`."""
        sheet, row, col, last_row, last_col = place_of(ref)
        tab, row, col = self.at(sheet, row, col)
        return f"{quoted(tab)}!{a1_area(row, col, self.at(sheet, last_row, last_col)[1], last_col)}"

    def part(self, sheets: Sequence[str]) -> Book:
        """Some of the sheets, the same cells and marks, to compute what follows from them alone.

        Always with the names of functions: calls are not spelled out yet where parts are computed.
        """
        made = Book("functions", self.title)
        made.sheets = [s for s in self.sheets if s.name in sheets]
        made.names = {name: ref for name, ref in self.names.items() if place_of(ref)[0] in sheets}
        made.inputs, made.tables, made.marks, made.placed = self.inputs, self.tables, self.marks, self.placed
        return made

    def define(self, name: str, ref: str) -> str:
        if name in self.names:
            raise ValueError(f"the name {name} is taken")
        self.names[name] = ref
        return name

    def table_range(self, table: str, column: str) -> str:
        return self.tables[table, column]
