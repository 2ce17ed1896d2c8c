"""Every formula of a workbook by its pattern, and which cells feed which."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.limits import AREA, PATTERNS
from hayfuncs.spreadsheet.parser import Area, FunctionCall, NameRef, Number, Other, Tree, plain_name, tree, walk
from hayfuncs.spreadsheet.tokens import CellRef, Malformed, pattern

PARSED = 25_000  # formulas whose reading is kept: of the three editions of one farm, and of those held against them
VOLATILE = {"NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "OFFSET", "INDIRECT", "CELL", "INFO"}
OUTWARD = {
    "WEBSERVICE",
    "RTD",
    "DDE",
    "CUBEVALUE",
    "CUBEMEMBER",
    "CUBESET",
    "SQL.REQUEST",
    "CALL",
    "REGISTER.ID",
    "IMAGE",
    "STOCKHISTORY",
}
PREFIXES = ("HAY.", "HAY_", "_xldudf_HAY_")
Rectangle = tuple[int, int, int, int, int]  # sheet, first row and column, last row and column


@lru_cache(maxsize=PARSED)
def hay_name(call: str) -> str:
    """The catalogue's name in a call such as HAY.DRY_WEIGHT; empty for any other call."""
    for prefix in PREFIXES:  # as written: a name of the user's own may well begin with hay_
        if call.startswith(prefix):
            return call[len(prefix) :].upper()
    return ""


@dataclass
class Pattern:
    """One formula as it stands in all cells that hold its copies on one sheet."""

    sheet: int
    text: str  # in R1C1 form
    head: Node
    formula: str  # as the head cell has it
    tree: Tree | None
    fault: str
    cells: list[Node] = field(default_factory=list)
    refs: tuple[CellRef, ...] = ()
    names: tuple[str, ...] = ()
    calls: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    external: bool = False
    tables: bool = False
    parts: tuple[Tree, ...] = ()  # of the tree, all of them, from the top, left to right

    @property
    def hay(self) -> tuple[str, ...]:
        return tuple(name for name in map(hay_name, self.calls) if name)


class Formulas:
    """All patterns; the areas that a cell reads; names resolved to areas."""

    def __init__(self, book: WorkbookData) -> None:
        self.book = book
        self.patterns: dict[tuple[int, str], Pattern] = {}
        self.of: dict[Node, Pattern] = {}
        self.name_trees: dict[str, Tree | None] = {}
        self.name_areas: dict[str, tuple[CellRef, ...]] = {}
        self.name_circles: set[str] = set()
        self.unreadable: dict[Node, str] = {}
        self.known_calls: set[str] = set()
        self._numbers = {info.name.casefold(): i for i, info in enumerate(book.sheets)}
        self._names()
        self._patterns()
        self._set_aside()

    def _names(self) -> None:
        for name in sorted(self.book.names, key=lambda n: n.sheet is None):  # the workbook's own count
            if name.name.startswith("_xlnm."):  # print areas and titles: no formula reads them
                continue
            self.name_trees[name.name.casefold()] = _contents(name.text)["tree"]
        for key in self.name_trees:
            self.name_areas[key] = tuple(self._areas_of_name(key, set()))
        self._circles()

    def _circles(self) -> None:
        """Names that lead back to themselves."""
        leads: dict[str, set[str]] = {}
        for key, found in self.name_trees.items():
            parts = walk(found) if found is not None else ()
            leads[key] = {p.name.casefold() for p in parts if isinstance(p, NameRef)} & set(self.name_trees)
        for key, first in leads.items():
            seen: set[str] = set()
            waiting = list(first)
            while waiting and key not in seen:
                name = waiting.pop()
                if name not in seen:
                    seen.add(name)
                    waiting.extend(leads[name])
            if key in seen:
                self.name_circles.add(key)

    def _areas_of_name(self, key: str, seen: set[str]) -> Iterator[CellRef]:
        if key in seen or len(seen) > 200:  # a name that leads back to itself
            return
        seen.add(key)
        found = self.name_trees.get(key)
        if found is None:
            return
        for part in walk(found):
            if isinstance(part, Area):
                yield part.ref
            elif isinstance(part, NameRef) and part.name.casefold() in self.name_trees:
                yield from self._areas_of_name(part.name.casefold(), seen)

    def _patterns(self) -> None:
        for at, formula in self.book.formulas.items():
            sheet, row, col = place(at)
            key = (sheet, pattern(formula, row, col))
            known = self.patterns.get(key)
            if known is None:
                if len(self.patterns) >= PATTERNS:
                    raise UserError(
                        f"{self.book.path} holds more than {PATTERNS:,} formulas that are not copies of one another; "
                        "the audit reads at most that many"
                    )
                known = self.patterns[key] = _parsed(sheet, key[1], at, formula)
            known.cells.append(at)
            self.of[at] = known

    def _set_aside(self) -> None:
        """Cells that cannot or must not be recomputed, with the reason."""
        for one in self.patterns.values():
            why = self._why_not(one)
            if why:
                self.unreadable |= dict.fromkeys(one.cells, why)
        for at, what in self.book.strange:
            if at in self.book.formulas:
                self.unreadable[at] = what

    def _why_not(self, one: Pattern) -> str:
        if one.fault:
            return f"the formula cannot be read: {one.fault}"
        if one.external:
            return "it reads another workbook, which is not opened"
        calls = {plain_name(name) for name in one.calls}
        if calls & OUTWARD:
            return f"it calls {min(calls & OUTWARD)}, which reaches outside the workbook"
        if calls & VOLATILE:
            return f"it calls {min(calls & VOLATILE)}, whose answer changes by itself or moves"
        for name in one.names:
            if name.casefold() not in self.name_trees:
                return f"it uses the name {name[:60]}, which the workbook does not define"
            if name.casefold() in self.name_circles:
                return f"it uses the name {name[:60]}, which leads back to itself"
        for ref in one.refs:
            if ref.sheet is not None and ref.sheet.casefold() not in self._numbers:
                return f"it reads the sheet {ref.sheet[:40]}, which is not in the workbook"
        size = max((self._size(area) for area in self.reads(one.head)), default=0)
        if size > AREA:
            return f"it reads an area of {size:,} cells; at most {AREA:,} are worked out"
        return ""

    def _size(self, area: Rectangle) -> int:
        """The cells of an area within the filled part of its sheet."""
        sheet, row, col, last_row, last_col = area
        info = self.book.sheets[sheet]
        return max(0, min(last_row, info.last_row) - row + 1) * max(0, min(last_col, info.last_col) - col + 1)

    def sheet_number(self, ref: CellRef, home: int) -> int | None:
        return home if ref.sheet is None else self._numbers.get(ref.sheet.casefold())

    def reads(self, at: Node) -> Iterator[Rectangle]:
        """The areas that a cell's formula names, directly or by a defined name."""
        one = self.of.get(at)
        if one is None:
            return
        _, head_row, head_col = place(one.head)
        _, row, col = place(at)
        rows, cols = row - head_row, col - head_col
        for ref in one.refs:
            number = self.sheet_number(ref, one.sheet)
            if number is None:
                continue
            to = ref.moved(rows, cols) if (rows or cols) and ref.fixed != 15 else ref
            yield number, to.row, to.col, to.last_row, to.last_col
        for name in (*one.names, *one.calls):
            for ref in self.name_areas.get(name.casefold(), ()):
                number = self.sheet_number(ref, one.sheet)
                if number is not None:
                    yield number, ref.row, ref.col, ref.last_row, ref.last_col


def _parsed(sheet: int, text: str, at: Node, formula: str) -> Pattern:
    return Pattern(sheet, text, at, formula, **_contents(formula))


@lru_cache(maxsize=PARSED)
def _contents(formula: str) -> dict[str, Any]:
    """What a pattern holds of its formula; read once for an older file and the one held against it."""
    try:
        root = tree(formula)
    except (Malformed, RecursionError) as error:
        return {"tree": None, "fault": str(error) or "nested too deep"}
    external = tables = False
    refs: list[CellRef] = []
    names: list[str] = []
    calls: list[str] = []
    numbers: list[Number] = []
    own = local_names(root)
    parts = tuple(walk(root))
    for part in parts:
        if isinstance(part, Area):
            refs.append(part.ref)
            external = external or part.ref.external
        elif isinstance(part, NameRef):
            external = external or part.name.startswith(("[", "'["))
            if plain_name(part.name) not in own:
                names.append(part.name)
        elif isinstance(part, FunctionCall):
            calls.append(part.name)
        elif isinstance(part, Number):
            numbers.append(part)
        elif isinstance(part, Other) and "[" in part.text:
            tables = True
    seen: dict[str, list[Any]] = {"refs": refs, "names": names, "calls": calls}
    return {
        "tree": root, "fault": "", "parts": parts, "numbers": tuple(numbers), "external": external, "tables": tables,
        **{key: tuple(dict.fromkeys(found)) for key, found in seen.items()},
    }  # fmt: skip


def local_names(root: Tree) -> set[str]:
    """The variables that LET and LAMBDA of a formula bring with them."""
    found: set[str] = set()
    for part in walk(root):
        if isinstance(part, FunctionCall) and plain_name(part.name) in ("LET", "LAMBDA"):
            step = 2 if plain_name(part.name) == "LET" else 1
            found |= {plain_name(a.name) for a in part.args[:-1:step] if isinstance(a, NameRef)}
    return found


class Columns:
    """The filled cells of each column; each is handed out once, however many areas cover it."""

    def __init__(self, cells: Iterable[Node]) -> None:
        rows: dict[tuple[int, int], list[int]] = {}
        for at in cells:
            sheet, row, col = place(at)
            rows.setdefault((sheet, col), []).append(row)
        self.rows = {key: sorted(found) for key, found in rows.items()}
        self.next = {key: list(range(len(found) + 1)) for key, found in self.rows.items()}
        self.of_sheet: dict[int, list[int]] = {}
        for sheet, col in sorted(self.rows):
            self.of_sheet.setdefault(sheet, []).append(col)

    def take(self, area: Rectangle) -> Iterator[Node]:
        sheet, row, col, last_row, last_col = area
        columns = self.of_sheet.get(sheet, [])
        for c in columns[bisect_left(columns, col) :]:
            if c > last_col:
                return
            rows, following = self.rows[sheet, c], self.next[sheet, c]
            i = _find(following, bisect_left(rows, row))
            while i < len(rows) and rows[i] <= last_row:
                yield node(sheet, rows[i], c)
                following[i] = i + 1
                i = _find(following, i + 1)

    def any_in(self, area: Rectangle, but: Node = -1) -> bool:
        """Whether a cell not yet handed out, other than `but`, lies in the area."""
        sheet, row, col, last_row, last_col = area
        columns = self.of_sheet.get(sheet, [])
        for c in columns[bisect_left(columns, col) :]:
            if c > last_col:
                return False
            rows = self.rows[sheet, c]
            i = bisect_left(rows, row)
            while i < len(rows) and rows[i] <= last_row:
                if node(sheet, rows[i], c) != but:
                    return True
                i += 1
        return False


def _find(following: list[int], i: int) -> int:
    root = i
    while following[root] != root:
        root = following[root]
    while following[i] != root:
        following[i], i = root, following[i]
    return root


def feeding(formulas: Formulas, ends: Iterable[Node]) -> set[Node]:
    """Every filled cell that the given cells depend on, at any depth, themselves included."""
    ends = list(ends)
    columns = Columns([*formulas.book.values, *(at for at in formulas.book.formulas if at not in formulas.book.values)])
    found = set(ends)
    seen: set[Rectangle] = set()
    waiting = ends
    while waiting:
        for area in formulas.reads(waiting.pop()):
            if area in seen:
                continue
            seen.add(area)
            for at in columns.take(area):
                if at not in found:
                    found.add(at)
                    waiting.append(at)
    return found


def using(formulas: Formulas, name: str) -> Iterator[Node]:
    """Every cell whose formula uses a defined name."""
    for group in formulas.patterns.values():
        if name.casefold() in (n.casefold() for n in group.names):
            yield from group.cells


def read_cells(formulas: Formulas) -> set[Node]:
    """Every filled cell that some formula reads directly."""
    columns = Columns(formulas.book.values)
    seen: set[Rectangle] = set()
    found: set[Node] = set()
    for at in formulas.of:
        for area in formulas.reads(at):
            if area not in seen:
                seen.add(area)
                found.update(columns.take(area))
    return found
