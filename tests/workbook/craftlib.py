"""A built workbook as it lies in its file, for the points of craft.tsv; a copy of it with faults planted.

A check gives the faults it sees, a figure how far a point is kept that is not kept wholly; both read the file alone.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

import openpyxl

from hayfuncs.audit.graph import Formulas
from hayfuncs.spreadsheet.a1 import Node, a1, place
from hayfuncs.spreadsheet.parser import Binary, FunctionCall, Tree, children, plain_name
from hayfuncs.spreadsheet.reader import read

MIST, GRAY, PAPER, INK = "FFE8EEF2", "FF595959", "FFFFFFFF", "FF000000"
ROUNDS = ("ROUND", "ROUNDUP", "ROUNDDOWN", "INT")


class Seen(NamedTuple):
    """What the eye sees of a cell."""

    size: float
    face: str
    bold: bool
    italic: bool
    ink: str
    ground: str
    centered: bool
    code: str  # of its number


class File:
    """The package's parts, what the audit's reader finds in them, and the same opened with openpyxl."""

    def __init__(self, edition: str, data: bytes) -> None:
        self.edition, self.bytes = edition, data

    @cached_property
    def parts(self) -> dict[str, str]:
        with zipfile.ZipFile(io.BytesIO(self.bytes)) as box:
            return {name: box.read(name).decode() for name in box.namelist()}

    @cached_property
    def data(self) -> Any:
        return read(Path("craft.xlsx"), self.bytes)

    @cached_property
    def formulas(self) -> Formulas:
        return Formulas(self.data)

    @cached_property
    def book(self) -> Any:
        return openpyxl.load_workbook(io.BytesIO(self.bytes))

    @property
    def tabs(self) -> list[Any]:
        return list(self.book.worksheets)

    @cached_property
    def kinds(self) -> list[str]:
        """What each tab says it is, in its third line."""
        return [str(tab["A3"].value) for tab in self.tabs]

    @cached_property
    def typed(self) -> list[Node]:
        """The cells that may be typed in."""
        return [at for at in self.data.styles if not self.data.look(at).locked]

    def patterns(self) -> Iterator[Any]:
        yield from self.formulas.patterns.values()

    def share(self, fits: Callable[[Any], bool]) -> float:
        """Of all formulas, in percent, those of whose pattern it is true."""
        every = list(self.patterns())
        return 100 * sum(len(p.cells) for p in every if fits(p)) / sum(len(p.cells) for p in every)

    def shown(self, tab: Any, address: str) -> Any:
        """The value stored in a cell, of a formula too."""
        cell = tab[address]
        return self.data.values.get(self.data.at(tab.title, cell.row - 1, cell.column - 1))

    @cached_property
    def cells(self) -> list[tuple[Any, Any, Seen]]:
        """Each filled cell with its tab and what is seen of it; styles are read once each."""
        looks: dict[int, Seen] = {}
        found = []
        tabs = self.tabs
        for at in sorted({*self.data.formulas, *self.data.values}):  # a walk through every row is ten times as slow
            sheet, row, col = place(at)
            cell = tabs[sheet].cell(row + 1, col + 1)
            if filled(cell):
                if cell.style_id not in looks:
                    looks[cell.style_id] = seen(cell)
                found.append((tabs[sheet], cell, looks[cell.style_id]))
        return found

    def called(self, tab: Any, cell: Any) -> str:
        return f"{tab.title}!{cell.coordinate}"


def filled(cell: Any) -> bool:
    return cell.value not in (None, "")


CHECKS: dict[int, Callable[[File], list[str]]] = {}
FIGURES: dict[int, Callable[[File], float]] = {}


def check(number: int) -> Callable[[Callable[[File], Any]], Callable[[File], Any]]:
    """The faults of a point of craft.tsv; none where it is kept."""

    def keep(found: Callable[[File], Any]) -> Callable[[File], Any]:
        CHECKS[number] = lambda file: list(found(file))
        return found

    return keep


def figure(number: int) -> Callable[[Callable[[File], float]], Callable[[File], float]]:
    """How far a point is kept, against what craft.tsv says of it."""

    def keep(found: Callable[[File], float]) -> Callable[[File], float]:
        FIGURES[number] = found
        return found

    return keep


# formulas


def ifs(tree: Tree | None) -> int:
    """How deep IF stands inside IF; 1 for one by itself."""
    inner = max(map(ifs, children(tree)), default=0)
    return inner + (isinstance(tree, FunctionCall) and plain_name(tree.name) == "IF")


def operators(tree: Tree) -> int:
    return sum(map(operators, children(tree))) + isinstance(tree, Binary)


def twice_rounded(tree: Tree, within: int | None = None) -> bool:
    """A rounding within a rounding where neither is to six digits or more, which only takes off what binary adds."""
    digits = _digits(tree)
    if digits is not None and within is not None and max(digits, within) < 6:
        return True
    return any(twice_rounded(part, within if digits is None else digits) for part in children(tree))


def _digits(tree: Tree) -> int | None:
    if not isinstance(tree, FunctionCall) or plain_name(tree.name) not in ROUNDS:
        return None
    return int(getattr(tree.args[1], "value", 0)) if len(tree.args) > 1 else 0


# colors


def contrast(one: str, other: str) -> float:
    """Of two colors, 1 to 21."""
    low, high = sorted((_light(one), _light(other)))
    return (high + 0.05) / (low + 0.05)


def _light(color: str) -> float:
    parts = [int(color[-6:][i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def seen(cell: Any) -> Seen:
    font, fill, color = cell.font, cell.fill, cell.font.color
    ink = str(color.rgb) if color is not None and color.type == "rgb" else INK
    ground = str(fill.fgColor.rgb) if fill.fill_type == "solid" else PAPER
    centered = cell.alignment.horizontal == "center"
    return Seen(font.sz, font.name, bool(font.b), bool(font.i), ink, ground, centered, cell.number_format)


# planting


class Spoiled:
    """A file's parts to be changed, and the file that they then make."""

    def __init__(self, file: File) -> None:
        self.file, self.parts = file, dict(file.parts)

    def change(self, part: str, old: str, new: str) -> None:
        """The first place of a pattern in the first part of that name."""
        for name in sorted(n for n in self.parts if re.fullmatch(part, n)):
            text, hits = re.subn(old, new, self.parts[name], count=1)
            if hits:
                self.parts[name] = text
                return
        raise AssertionError(f"nothing like {old} in {part}")

    def sheet(self, tab: str) -> str:
        return rf"xl/worksheets/sheet{self.file.book.sheetnames.index(tab) + 1}\.xml"

    def cell(self, tab: str, address: str, inside: str, kind: str = "", style: str = "") -> None:
        """A cell's content; its style kept where no other is given."""
        found = re.search(rf'<c r="{address}"([^>]*?)(?:/>|>.*?</c>)', self.parts[self.sheet(tab).replace("\\", "")])
        assert found is not None, f"{tab}!{address}"
        style = style or (re.search(r' s="\d+"', found[1]) or [""])[0]
        made = f'<c r="{address}"{style}{kind}>{inside}</c>'
        self.change(self.sheet(tab), re.escape(found[0]), made.replace("\\", r"\\"))

    def text(self, tab: str, address: str, words: str) -> None:
        self.cell(tab, address, f"<is><t>{words}</t></is>" if words else "", ' t="inlineStr"' if words else "")

    def formula(self, tab: str, address: str, formula: str, value: str = "1") -> None:
        self.cell(tab, address, f"<f>{formula}</f><v>{value}</v>")

    def file_of(self) -> File:
        stream = io.BytesIO()
        with zipfile.ZipFile(stream, "w") as box:
            for name, text in self.parts.items():
                box.writestr(name, text)
        return File(self.file.edition, stream.getvalue())


def address(at: Node) -> str:
    _, row, col = place(at)
    return a1(row, col)
