"""Which cell is what, on a sheet that nobody made for us: by the heading above it and the words left of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from hayfuncs.audit.labels import KNOWN
from hayfuncs.audit.stranger.quantities import BY_NAME, SHARES, Meaning, read
from hayfuncs.importers.headings import basis_word, unit_and_basis
from hayfuncs.spreadsheet.a1 import Node, area, node, place
from hayfuncs.spreadsheet.contents import ErrorValue, WorkbookData

FAR_LEFT, FAR_UP = 14, 80
MOST = 60_000  # numbers that are looked at
WHOLE = 100.0


TRADE = re.compile(
    r"\b(hay|forage|cows?|heifers?|calving|cattle|silage|baleage|tdn|ndf|adf|crude protein|dry matter|bales?|herd)\b",
    re.IGNORECASE,
)
LEAST_WORDS = 2  # of the trade, that a workbook must speak for its numbers to be judged by it


def of_the_trade(book: WorkbookData) -> set[str]:
    """The words of the trade in a workbook's texts."""
    found: set[str] = set()
    for value in book.values.values():
        if isinstance(value, str):
            found.update(word.casefold().rstrip("s") for word in TRADE.findall(value))
            if len(found) > LEAST_WORDS + 1:
                break
    return found


@dataclass
class Sheetwise:
    """What is known of one workbook's cells; `records` joins the cells of one lot, cow group or feed."""

    of: dict[Node, Meaning] = field(default_factory=dict)
    labels: dict[Node, str] = field(default_factory=dict)
    groups: dict[Node, int] = field(default_factory=dict)  # cells under one heading (or beside one label)
    across: set[Node] = field(default_factory=set)  # cells whose meaning stands left of them: their record is a column
    shares: set[Node] = field(default_factory=set)  # a share written 0.08 and meant so

    def value(self, at: Node, raw: float) -> float:
        """The cell's number in its unit: a share that is shown as a percent counts in percent."""
        return raw * WHOLE if at in self.shares else raw


def learn(book: WorkbookData) -> Sheetwise:
    out = Sheetwise()
    merged = _merged(book)
    heads: Heads = {}
    if len(of_the_trade(book)) < LEAST_WORDS:
        return out
    numbers = [at for at, value in book.values.items() if isinstance(value, float) and not isinstance(value, bool)]
    headed: dict[tuple[Node, str], int] = {}
    for at in numbers[:MOST]:
        if _is_date(book, at):
            continue
        found = _one(book, merged, heads, at)
        if found is None:
            continue
        meaning, anchor, across, label = found
        out.of[at], out.labels[at] = meaning, label
        out.groups[at] = headed.setdefault((anchor, "across" if across else "down"), len(headed))
        if across:
            out.across.add(at)
    _find_shares(book, out)
    return out


Heads = dict[Node, tuple[list[str], Node | None]]


def _one(
    book: WorkbookData, merged: dict[Node, Node], heads: Heads, at: Node
) -> tuple[Meaning, Node, bool, str] | None:
    """The meaning, the cell that gives it, whether that is left of it, and the words."""
    over = node(*_over(at)) if place(at)[1] else -1
    above, top = heads[at] = heads.get(over) or _above(book, merged, at)
    left, first = _left(book, at)
    unit = _unit_right(book, at)
    by_left = read(f"{left} {unit}".strip()) if left else None
    by_above = _first_read(above)
    if by_above is None and top is not None and _heads_columns(book, merged, top):
        by_left = None  # under heads of columns the words at the left are a lot or a group
    if by_left is not None and by_above is not None and by_left.quantity != by_above.quantity:
        return None  # a table of needs by nutrient, and the like: neither alone is certain
    if by_above is not None and top is not None:
        return by_above, top, False, " ".join(above)
    if by_left is not None and first is not None:
        basis = by_left.basis or next((word for text in above if (word := basis_word(text))), "")
        return replace(by_left, basis=basis), first, True, left
    return None


def _first_read(words: list[str]) -> Meaning | None:
    """The heading with all that stands over and under it; else its lowest part that says something."""
    if not words:
        return None
    whole = read(" ".join(words))
    return whole or next((found for text in reversed(words) if (found := read(text)) is not None), None)


def _heads_columns(book: WorkbookData, merged: dict[Node, Node], top: Node) -> bool:
    """Whether the row of a heading has others that say what their columns are."""
    sheet, row, col = place(top)
    texts = [
        _text(book, merged.get(at, at))
        for c in range(max(0, col - FAR_LEFT), col + FAR_LEFT)
        if (at := node(sheet, row, c)) != top
    ]
    return sum(read(text) is not None for text in texts if text) >= 2


def _over(at: Node) -> tuple[int, int, int]:
    sheet, row, col = place(at)
    return sheet, row - 1, col


def _text(book: WorkbookData, at: Node) -> str:
    value = book.values.get(at)
    return value.strip() if isinstance(value, str) and not isinstance(value, ErrorValue) else ""


def _above(book: WorkbookData, merged: dict[Node, Node], at: Node) -> tuple[list[str], Node | None]:
    """The words at the head of the column: the nearest text, a unit under it, a merged head over it."""
    sheet, row, col = place(at)
    words: list[str] = []
    top: Node | None = None
    for above in range(row - 1, max(row - FAR_UP, -1), -1):
        where = node(sheet, above, col)
        text = _text(book, merged.get(where, where))
        if text and where not in book.formulas:
            words.insert(0, text)
            top = where
            small = text in KNOWN or unit_and_basis(text) is not None or where in merged
            if (not small and len(words) > 1) or len(words) == 3:
                break
            over = node(sheet, above - 1, col)
            if not small and over not in merged and unit_and_basis(_text(book, over)) is None:
                break
        elif words or (book.values.get(where) is None and not _gap_inside(book, where)):
            break
    return words, top


def _gap_inside(book: WorkbookData, at: Node) -> bool:
    """An empty cell in a row that has others: a value not given, not the end of the table."""
    sheet, row, col = place(at)
    return any(book.filled(node(sheet, row, c)) for c in range(max(0, col - 3), col + 4) if c != col)


def _left(book: WorkbookData, at: Node) -> tuple[str, Node | None]:
    sheet, row, col = place(at)
    unit = ""
    for other in range(col - 1, max(col - FAR_LEFT, -1), -1):
        where = node(sheet, row, other)
        text = _text(book, where)
        if not text:
            continue
        if text in KNOWN or (unit_and_basis(text) is not None and read(text) is None):
            unit = unit or text
            continue
        return f"{text} {unit}".strip(), where
    return "", None


def _unit_right(book: WorkbookData, at: Node) -> str:
    sheet, row, col = place(at)
    text = _text(book, node(sheet, row, col + 1))
    return text if text and len(text) < 24 and (text in KNOWN or unit_and_basis(text) is not None) else ""


def _merged(book: WorkbookData) -> dict[Node, Node]:
    """Each cell of a merged head with the cell that holds its words."""
    found: dict[Node, Node] = {}
    for number, info in enumerate(book.sheets):
        for text in info.merged[:2000]:
            try:
                row, col, last_row, last_col = area(text)
            except ValueError:
                continue
            if last_row - row > 3 or last_col - col > 40:
                continue
            for r in range(row, last_row + 1):
                for c in range(col, last_col + 1):
                    found[node(number, r, c)] = node(number, row, col)
    return found


def _is_date(book: WorkbookData, at: Node) -> bool:
    code = book.look(at).number_format.casefold()
    return "yy" in code or "mmm" in code or "d/m" in code


def _find_shares(book: WorkbookData, out: Sheetwise) -> None:
    """Shares that are meant: shown with a % by their number format, or all of a heading between 0 and 1."""
    by_group: dict[int, list[Node]] = {}
    for at, meaning in out.of.items():
        card = BY_NAME.get(meaning.quantity)
        if card is not None and card.unit.startswith("%"):
            by_group.setdefault(out.groups[at], []).append(at)
    for cells in by_group.values():
        values = [book.values[at] for at in cells]
        shown = [at for at in cells if "%" in book.look(at).number_format]
        out.shares.update(shown)
        small = all(isinstance(v, float) and 0 <= v <= 1 for v in values)
        if small and len(cells) > 1 and not SHARES.search(out.labels[cells[0]]):
            out.shares.update(cells)


def records(book: WorkbookData, out: Sheetwise) -> Iterator[dict[str, Node]]:
    """The cells of one lot or feed: of one row under headings, or of one column beside labels."""
    rows: dict[tuple[int, int, bool], dict[str, Node]] = {}
    twice: set[tuple[int, int, bool, str]] = set()
    for at, meaning in out.of.items():
        sheet, row, col = place(at)
        across = at in out.across
        key = (sheet, col if across else row, across)
        name = meaning.quantity + (f" {meaning.basis}" if meaning.basis else "")
        if name in rows.setdefault(key, {}):
            twice.add((*key, name))
        rows[key].setdefault(name, at)
    for key, found in rows.items():
        yield {name: at for name, at in found.items() if (*key, name) not in twice}
