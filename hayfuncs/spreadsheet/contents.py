"""What the reader found in a workbook: values, formulas and everything that can hide or lock them."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

from hayfuncs.spreadsheet.a1 import Node, a1, node, place, quoted


class ErrorValue(str):
    """An error as a cell shows it: #NUM!"""


Value: TypeAlias = float | str | bool | ErrorValue | None


@dataclass(frozen=True)
class Look:
    """What a cell's style says that matters to an audit."""

    locked: bool = True
    formula_hidden: bool = False
    number_format: str = "General"
    bold: bool = False
    ink: str = ""
    fill: str = ""

    @property
    def unseen(self) -> str:
        """Why the eye does not see the value, or nothing."""
        if self.number_format.replace(" ", "") in (";;;", ";;;;"):
            return "its number format shows nothing"
        if self.ink and self.ink == (self.fill or "FFFFFFFF"):
            return "its text has the color of its background"
        return ""


@dataclass(frozen=True)
class Validation:
    kind: str  # list, whole, decimal, date, textLength, custom, ...
    operator: str
    first: str
    second: str
    areas: tuple[tuple[int, int, int, int], ...]
    stops: bool = True
    blank: bool = True

    def covers(self, row: int, col: int) -> bool:
        return any(r1 <= row <= r2 and c1 <= col <= c2 for r1, c1, r2, c2 in self.areas)


@dataclass
class Flag:
    """A conditional format: the areas it covers, and the conditions as texts."""

    areas: list[tuple[int, int, int, int]]
    conditions: list[str] = field(default_factory=list)


@dataclass
class Chart:
    """What a chart draws: the areas, the words typed into it, the ends of its axes."""

    areas: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)


@dataclass(frozen=True)
class DefinedName:
    name: str
    text: str
    hidden: bool = False
    sheet: int | None = None


@dataclass
class SheetInfo:
    name: str
    part: str
    state: str = "visible"
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    validations: list[Validation] = field(default_factory=list)
    protected: bool = False
    password: bool = False
    merged: list[str] = field(default_factory=list)
    last_row: int = -1
    last_col: int = -1
    links: dict[tuple[int, int], str] = field(default_factory=dict)  # cells that lead to a place of the workbook
    flags: list[Flag] = field(default_factory=list)
    widths: list[tuple[int, int, float]] = field(default_factory=list)  # first and last column, width in characters
    heights: dict[int, float] = field(default_factory=dict)
    charts: list[Chart] = field(default_factory=list)
    boxes: list[tuple[int, int, int, int]] = field(default_factory=list)  # cells under shapes and pictures
    pictured: list[str] = field(default_factory=list)  # references that charts on it draw


@dataclass
class WorkbookData:
    path: Path
    program: str = ""  # that saved it last, by its own word
    sheets: list[SheetInfo] = field(default_factory=list)
    values: dict[Node, Value] = field(default_factory=dict)
    formulas: dict[Node, str] = field(default_factory=dict)
    arrays: dict[Node, str] = field(default_factory=dict)  # formula cells entered as arrays: the area
    styles: dict[Node, int] = field(default_factory=dict)
    looks: list[Look] = field(default_factory=lambda: [Look()])
    names: list[DefinedName] = field(default_factory=list)
    calculation: dict[str, str] = field(default_factory=dict)
    links: list[str] = field(default_factory=list)  # external links and connections, never followed
    programs: list[str] = field(default_factory=list)  # links that start another program
    clicked: list[tuple[str, str]] = field(default_factory=list)  # sheet and target of a cell's link to outside
    macros: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    strange: list[tuple[Node, str]] = field(default_factory=list)  # cells whose XML is not as it should be
    worked_out: dict[str, object] = field(default_factory=dict, compare=False)  # by those who read it, once

    def index(self, sheet: str) -> int | None:
        """A sheet's number by name, without regard to case."""
        wanted = sheet.casefold()
        for i, info in enumerate(self.sheets):
            if info.name.casefold() == wanted:
                return i
        return None

    def at(self, sheet: str, row: int, col: int) -> Node:
        number = self.index(sheet)
        if number is None:
            raise KeyError(sheet)
        return node(number, row, col)

    def address(self, at: Node) -> str:
        sheet, row, col = place(at)
        return f"{quoted(self.sheets[sheet].name)}!{a1(row, col)}"

    def look(self, at: Node) -> Look:
        number = self.styles.get(at, 0)
        return self.looks[number] if number < len(self.looks) else self.looks[0]

    def filled(self, at: Node) -> bool:
        return at in self.formulas or self.values.get(at) not in (None, "")

    def flag_at(self, sheet: int, row: int, col: int) -> list[str] | None:
        """The conditions that may color a cell; None where there is no conditional format."""
        found = [f for f in self.sheets[sheet].flags if any(a <= row <= c and b <= col <= d for a, b, c, d in f.areas)]
        return [text for flag in found for text in flag.conditions] if found else None

    def hidden(self, at: Node) -> bool:
        sheet, row, col = place(at)
        info = self.sheets[sheet]
        return row in info.hidden_rows or any(a <= col <= b for a, b in info.hidden_columns)
