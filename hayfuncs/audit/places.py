"""Where the parts of our own workbook stand now, and where they stood when it was built.

The list of parts says in words where each was built, and by a formula, which every program carries along, where it
stands now: a renamed sheet and a part that was moved are so known again.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace

from hayfuncs.audit.putin import put_in
from hayfuncs.spreadsheet import marks as carried
from hayfuncs.spreadsheet.a1 import Node, node, place, quoted
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.tokens import CUT, Malformed, pieces, reference, written

TITLE, FIRST = "Where every part stands", 7  # the title of the list of parts, and its first line below
NAME, TAB, TOP, END, NOW, MARKS = range(6)  # its columns
NOWHERE = 100_000  # rows below the end of a part: where nothing was built
SIGN = "Part {}. "  # how the third row of a part that shares its tab begins


@dataclass(frozen=True)
class Part:
    """Where a part stands now: the number of its sheet, its first and last row and its first column there, from 0."""

    sheet: int
    first: int
    last: int
    col: int = 0
    tab: str = ""  # where it was built
    top: int = 0  # its first row there
    end: int = 0
    marks: str = ""  # of its formulas, as its builder wrote them

    put_in: tuple[int, ...] = ()  # the rows that a user put into it, from its first

    def row_now(self, row: int) -> int:
        """The row of today that was built as a row of its tab."""
        inside = row - self.top
        for more in self.put_in:
            inside += more <= inside
        return inside + self.first

    def row_built(self, row: int) -> int:
        """The row of its tab that stands in a row of today; one far below for a row that was put in."""
        inside = row - self.first
        if inside in self.put_in:
            return self.end + NOWHERE + inside
        return inside - bisect_left(self.put_in, inside) + self.top

    @property
    def whole(self) -> bool:
        """Whether every row of it is known again."""
        return self.last - self.first - len(self.put_in) == self.end - self.top

    @property
    def stays(self) -> bool:
        return self.first == self.top and self.last == self.end and not self.col


class Places:
    """The parts by name, and the way from a cell as built to the cell as it stands, and back."""

    def __init__(self, book: WorkbookData) -> None:
        self.book = book
        self.parts: dict[str, Part] = {}
        self.renamed: dict[str, str] = {}  # tabs by the name they were built with
        self._read()
        self._grown()
        self._by_tab: dict[str, list[Part]] = {}
        self._by_sheet: dict[int, list[Part]] = {}
        for part in self.parts.values():
            self._by_tab.setdefault(part.tab.casefold(), []).append(part)
            self._by_sheet.setdefault(part.sheet, []).append(part)
        for part in self.parts.values():
            if self.book.sheets[part.sheet].name.casefold() != part.tab.casefold() and self._alone(part):
                self.renamed[part.tab] = self.book.sheets[part.sheet].name
        self.moved = sorted(name for name, part in self.parts.items() if not part.stays or not self._alone(part))

    def _alone(self, part: Part) -> bool:
        """Whether all parts of its tab went with it, so that the sheet is that tab under whatever name."""
        return all(p.sheet == part.sheet for p in self._by_tab[part.tab.casefold()])

    @property
    def same(self) -> bool:
        """Whether everything stands where it was built."""
        return not self.renamed and not self.moved

    def _read(self) -> None:
        book = self.book
        at = next((at for at, value in book.values.items() if value == TITLE and place(at)[2] == 0), None)
        if at is None:
            return
        number, row, _ = place(at)
        top = row + FIRST
        while isinstance(name := book.values.get(node(number, top, NAME)), str):
            tab, first, last, marks = (book.values.get(node(number, top, col)) for col in (TAB, TOP, END, MARKS))
            if isinstance(first, float) and isinstance(last, float):
                built = book.index(str(tab)), int(first) - 1, int(last) - 1, 0
                now = self._now(book.formulas.get(node(number, top, NOW), ""), number)
                found = now if now is not None and self._plausible(name, now, built) else built
                if found[0] is not None:
                    words = marks if isinstance(marks, str) else ""
                    self.parts[name] = Part(found[0], *found[1:], str(tab), int(first) - 1, int(last) - 1, words)
            top += 1

    def _grown(self) -> None:
        """The parts with more rows than were built: which of them were put in."""
        grown = {name: part for name, part in self.parts.items() if part.last - part.first > part.end - part.top}
        for name, part in grown.items():
            built: list[set[int]] = [set() for _ in range(part.end - part.top + 1)]
            for run in carried.read(part.marks):
                for row in range(run.row, min(run.row + run.length, len(built))):
                    built[row].add(run.col)
            now: list[set[int]] = [set() for _ in range(part.last - part.first + 1)]
            empty = [True] * len(now)
            for at in self.book.values:
                sheet, row, col = place(at)
                if sheet == part.sheet and part.first <= row <= part.last and self.book.filled(at):
                    empty[row - part.first] = False
                    if at in self.book.formulas:
                        now[row - part.first].add(col - part.col)
            found = put_in([frozenset(r) for r in built], [frozenset(r) for r in now], empty)
            self.parts[name] = replace(part, put_in=found)

    def _now(self, formula: str, home: int) -> tuple[int | None, int, int, int] | None:
        try:
            ref = next((reference(p.text) for p in pieces(formula) if p.kind == "ref"), None)
        except Malformed:
            return None
        if ref is None:
            return None
        sheet = home if ref.sheet is None else self.book.index(ref.sheet)
        return None if sheet is None else (sheet, ref.row, ref.last_row, ref.col)

    def _plausible(
        self, name: str, now: tuple[int | None, int, int, int], built: tuple[int | None, int, int, int]
    ) -> bool:
        """A formula that was changed by hand leads astray: the part's own words must stand where it leads to."""
        sheet, first, last, col = now
        if sheet is None or now == built:
            return now == built
        sign = SIGN.format(name)
        if str(self.book.values.get(node(sheet, first + 2, col), "")).startswith(sign):
            return True
        there = built[0] is not None and str(self.book.values.get(node(built[0], built[1] + 2, 0), "")).startswith(sign)
        if there or (built[0] is not None and built[0] == sheet and built[1] == first and last < built[2]):
            return False
        whole = built[1] == 0 and self.book.filled(node(sheet, first, col))
        return whole and not any(self.book.filled(node(sheet, row, c)) for row in range(first) for c in range(8))

    def sheet(self, tab: str) -> int | None:
        """The sheet that a tab is now."""
        return self.book.index(self.renamed.get(tab, tab))

    def now(self, tab: str, row: int, col: int) -> Node | None:
        """The cell of today that was built at a place."""
        parts = self._by_tab.get(tab.casefold(), ())
        part = max((p for p in parts if p.top <= row), key=lambda p: p.top, default=None)  # rows below it go with it
        if part is not None:
            return node(part.sheet, part.row_now(row), col + part.col)
        sheet = self.sheet(tab)
        return None if sheet is None else node(sheet, row + self._head(sheet), col)

    def built(self, sheet: str, row: int, col: int) -> tuple[str, int, int]:
        """Where a cell of today was built; where nothing says otherwise, where it stands."""
        number = self.book.index(sheet)
        if number is None:
            return sheet, row, col
        part = max((p for p in self._by_sheet.get(number, ()) if p.first <= row), key=lambda p: p.first, default=None)
        if part is not None:
            return part.tab, part.row_built(row), col - part.col
        tab = next((tab for tab, name in self.renamed.items() if name == self.book.sheets[number].name), sheet)
        return tab, max(0, row - self._head(number)), col

    def today(self, formula: str, tab: str) -> str:
        """A formula as built, with every reference to where that stands today."""
        if self.same:
            return formula
        home = self.sheet(tab)
        parts = CUT.split(formula)
        for i in range(1, len(parts), 2):
            if parts[i][0] == '"':
                continue
            ref = reference(parts[i])
            first = self.now(ref.sheet or tab, ref.row, ref.col)
            last = self.now(ref.sheet or tab, ref.last_row, ref.last_col)
            if ref.external or first is None or last is None:
                continue
            sheet, row, col = place(first)
            shown = written(ref._replace(row=row, col=col, last_row=place(last)[1], last_col=place(last)[2]))
            parts[i] = shown if sheet == home else f"{quoted(self.book.sheets[sheet].name)}!{shown}"
        return "".join(parts)

    def _head(self, sheet: int) -> int:
        """How many rows lower the head of a tab stands: as many as all its parts, where nothing is left above."""
        shifts = {p.first - p.top for p in self._by_sheet.get(sheet, ())}
        shift = shifts.pop() if len(shifts) == 1 else 0
        return shift if shift > 0 and not self.book.filled(node(sheet, 0, 0)) else 0


def places(book: WorkbookData) -> Places:
    """Worked out once for a workbook."""
    found = book.worked_out.get(TITLE)
    if not isinstance(found, Places):
        found = book.worked_out[TITLE] = Places(book)
    return found
