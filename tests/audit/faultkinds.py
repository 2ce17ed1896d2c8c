"""Kinds of fault that a seed draws from: each changes one thing in the file's own XML and says where it stands.

After field studies of errors in spreadsheets: mechanical (typed over, off by one, a sign), logical (another function,
a branch, a basis), omission (emptied, a range cut), and what hides or mislabels.  A kind that does not fit the drawn
cell gives None, and another one is drawn.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from html import unescape

from audit.damagelib import File

from hayfuncs.spreadsheet.a1 import Node, a1, node, place
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.tokens import pieces


class Draw(random.Random):
    """A seed's choices; `among` keeps the cells to these, where it is given."""

    among: frozenset[Node] | None = None


Changed = str | None  # a formula anew, or None where the kind does not fit the cell


@dataclass(frozen=True)
class Planted:
    kind: str
    where: str  # the cell, the name or the sheet at which it must be found; `Sheet!` for a picture on it
    change: str
    also: tuple[str, ...] = ()  # other places that name the same fault: cells of the same line, of the same block
    recalculated: bool = True  # whether a program saved it afterwards


# formulas


def _pick(draw: Draw, formula: str, kinds: tuple[str, ...], fits: Callable[[str], bool] = lambda _: True) -> int | None:
    every = [i for i, p in enumerate(pieces(formula)) if p.kind in kinds and fits(p.text)]
    return draw.choice(every) if every else None


def _with(formula: str, at: int, text: str) -> str:
    found = [p.text for p in pieces(formula)]
    found[at] = text
    return "".join(found)


def _shifted(text: str, rows: int, cols: int) -> str:
    def move(match: re.Match[str]) -> str:
        col, row = match.group(2), int(match.group(4)) + rows
        number = sum((ord(c) - 64) * 26**i for i, c in enumerate(reversed(col))) + cols
        if row < 1 or number < 1:
            return match.group(0)
        letters = a1(row - 1, number - 1).rstrip("0123456789")
        return f"{match.group(1)}{letters}{match.group(3)}{row}"

    sheet, mark, area = text.rpartition("!")
    return sheet + mark + re.sub(r"(\$?)([A-Z]{1,3})(\$?)(\d+)", move, area)


def _numbered(text: str) -> bool:
    return re.search(r"\d", text.rpartition("!")[2]) is not None


def reference(draw: Draw, formula: str) -> Changed:
    """A reference one row or one column off."""
    at = _pick(draw, formula, ("ref",), _numbered)
    if at is None:
        return None
    rows, cols = draw.choice(((1, 0), (-1, 0), (0, 1), (0, -1)))
    return _with(formula, at, _shifted(pieces(formula)[at].text, rows, cols))


def ranged(draw: Draw, formula: str) -> Changed:
    """A range that ends a row early or starts one late."""
    at = _pick(draw, formula, ("ref",), lambda t: ":" in t and _numbered(t))
    if at is None:
        return None
    sheet, mark, area = pieces(formula)[at].text.rpartition("!")
    first, _, last = area.partition(":")
    made = f"{first}:{_shifted(last, -1, 0)}" if draw.random() < 0.7 else f"{_shifted(first, 1, 0)}:{last}"
    return _with(formula, at, sheet + mark + made)


def operator(draw: Draw, formula: str) -> Changed:
    swap = {"+": "-", "-": "+", "*": "/", "/": "*", "<": ">", ">": "<", "<=": "<", ">=": ">", "=": "<>", "<>": "="}
    at = _pick(draw, formula, ("op",), lambda t: t in swap)
    return None if at is None else _with(formula, at, swap[pieces(formula)[at].text])


def constant(draw: Draw, formula: str) -> Changed:
    at = _pick(draw, formula, ("number",), lambda t: float(t) not in (0.0, 1.0))
    if at is None:
        return None
    value = float(pieces(formula)[at].text)
    return _with(formula, at, f"{value * draw.choice((0.9, 1.1, 10, 0.1)):.12g}")


def number_for_reference(draw: Draw, formula: str) -> Changed:
    """A number typed in the place of a cell."""
    at = _pick(draw, formula, ("ref",), lambda t: ":" not in t)
    return None if at is None else _with(formula, at, f"{draw.uniform(1, 90):.1f}")


def factor(draw: Draw, formula: str) -> Changed:
    return f"({formula})*{draw.choice((0.9, 1.05, 1.1, 100, 0.01))}"


def anchor(draw: Draw, formula: str) -> Changed:
    """An anchor lost, in a copy one row down."""
    at = _pick(draw, formula, ("ref",), lambda t: re.search(r"\$\d", t) is not None)
    return None if at is None else _with(formula, at, _shifted(pieces(formula)[at].text, 1, 0))


def masked(draw: Draw, formula: str) -> Changed:
    return f"IFERROR({formula},0)"


def rounded(draw: Draw, formula: str) -> Changed:
    """Rounded in the middle of the reckoning."""
    return f"ROUND({formula},0)"


def added(draw: Draw, formula: str) -> Changed:
    """Something is counted twice."""
    at = _pick(draw, formula, ("ref",), lambda t: ":" not in t)
    return None if at is None else f"{formula}+{pieces(formula)[at].text}"


def hundred_dropped(draw: Draw, formula: str) -> Changed:
    """A percent is no longer divided by 100."""
    return re.sub(r"/100(?![0-9.])", "", formula, count=1) if re.search(r"/100(?![0-9.])", formula) else None


def another_function(draw: Draw, formula: str) -> Changed:
    swap = {
        "MIN": "MAX", "MAX": "MIN", "SUM": "AVERAGE", "AVERAGE": "SUM", "COUNT": "COUNTA", "COUNTA": "COUNT", "AND": "OR", "OR": "AND",
        "ROUNDUP": "ROUND", "ROUND": "ROUNDUP", "SUMIF": "AVERAGEIF", "COUNTIFS": "SUMIFS", "TO_DRY_BASIS": "TO_AS_FED_BASIS",
        "INTAKE_FROM_NDF": "INTAKE_BY_QUALITY", "FLOOR": "CEILING", "CEILING": "FLOOR", "SMALL": "LARGE", "LARGE": "SMALL",
    }  # fmt: skip
    every = [m for m in re.finditer(r"([A-Z_]+)\(", formula) if m.group(1) in swap]
    if not every:
        return None
    one = draw.choice(every)
    return formula[: one.start(1)] + swap[one.group(1)] + formula[one.end(1) :]


def swapped(draw: Draw, formula: str) -> Changed:
    """Two references change places."""
    every = [i for i, p in enumerate(pieces(formula)) if p.kind == "ref"]
    if len(every) < 2:
        return None
    first, second = draw.sample(every, 2)
    texts = [p.text for p in pieces(formula)]
    texts[first], texts[second] = texts[second], texts[first]
    return "".join(texts)


FORMULAS = (
    reference, ranged, operator, constant, number_for_reference, factor, anchor, masked, rounded, added, hundred_dropped,
    another_function, swapped,
)  # fmt: skip
Kind = Callable[[File, WorkbookData, Draw], "Planted | None"]


def of_sheet(book: WorkbookData, draw: Draw, cells: list[Node]) -> Node | None:
    """A sheet first, then a cell of it, so that a small sheet is drawn as often as a large one."""
    if draw.among is not None:
        cells = [at for at in cells if at in draw.among]
    if not cells:
        return None
    sheet = draw.choice(sorted({place(at)[0] for at in cells}))
    return draw.choice([at for at in cells if place(at)[0] == sheet])


def formula_kind(change: Callable[[Draw, str], Changed]) -> Kind:
    def plant(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
        at = of_sheet(book, draw, [at for at in book.formulas if at not in book.arrays])
        if at is None:
            return None
        before = book.formulas[at]
        made = change(draw, before)
        if made is None or made == before:
            return None
        where = book.address(at)
        file.set_formula(where, made)
        return Planted(change.__name__.replace("_", " "), where, f"={before[:90]} -> ={made[:90]}")

    return plant


def neighbor(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """The formula of the cell above, pasted as it stands there."""
    pairs = [at for at in book.formulas if book.formulas.get(at - _row(book, at)) not in (None, book.formulas[at])]
    at = of_sheet(book, draw, [at for at in pairs if at not in book.arrays])
    if at is None:
        return None
    where, above = book.address(at), book.formulas[at - _row(book, at)]
    file.set_formula(where, above)
    return Planted("neighbor's formula", where, f"={book.formulas[at][:90]} -> ={above[:90]}")


def _row(book: WorkbookData, at: Node) -> int:
    """What lies between a cell's number and that of the cell above."""
    sheet, row, col = place(at)
    return at - node(sheet, row - 1, col) if row else 0


def whole_column(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A factor put into every formula of a run: no cell differs from its neighbors."""
    at = of_sheet(book, draw, [at for at in book.formulas if at not in book.arrays])
    if at is None:
        return None
    step, cells = _row(book, at), [at]
    while step and cells[-1] + step in book.formulas and cells[-1] + step not in book.arrays:
        cells.append(cells[-1] + step)
    share = draw.choice((0.95, 1.1, 2))
    for each in cells:
        file.set_formula(book.address(each), f"({book.formulas[each]})*{share}")
    every = tuple(book.address(c) for c in cells)
    return Planted("whole column", every[0], f"{len(cells)} cells times {share}", every)


# values


def value_kind(kind: str) -> Kind:
    def plant(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
        at = of_sheet(book, draw, [at for at in book.formulas if isinstance(book.values.get(at), float)])
        if at is None:
            return None
        where, value = book.address(at), book.values[at]
        assert isinstance(value, float)
        if kind == "typed over":
            file.number(where, round(value * 1.07 + 0.3, 3))
        elif kind == "text over":
            file.words(where, f"{value:.4g}")
        elif kind == "emptied":
            file.empty(where)
        else:
            file.stored(where, repr(value * 1.02 + 0.01))
        return Planted(kind, where, f"{value!r}", recalculated=kind != "stored value")

    return plant


def _fixed(book: WorkbookData, kind: type, locked: bool) -> list[Node]:
    return [
        at
        for at, v in book.values.items()
        if at not in book.formulas and type(v) is kind and book.look(at).locked is locked
    ]


def text_for_number(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, _fixed(book, float, False))
    if at is None:
        return None
    file.words(book.address(at), f"{book.values[at]:g}")
    return Planted("text for a number", book.address(at), f"{book.values[at]!r}")


def hundredfold(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """An input a hundred times too large or too small, as a percent is taken for a share."""
    at = of_sheet(book, draw, [at for at in _fixed(book, float, False) if book.values[at]])
    if at is None:
        return None
    value = book.values[at]
    assert isinstance(value, float)
    made = value * draw.choice((100, 0.01))
    file.number(book.address(at), made)
    return Planted("input a hundredfold", book.address(at), f"{value:g} -> {made:g}")


def label(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, [at for at in _fixed(book, str, True) if len(str(book.values[at])) > 2])
    if at is None:
        return None
    file.words(book.address(at), f"{book.values[at]} (old)")
    return Planted("label", book.address(at), f"{book.values[at]!r}"[:60])


def unit(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A unit or basis said otherwise."""
    swap = {
        "lb": "kg",
        "% DM": "% as fed",
        "$/ton": "$/bale",
        "days": "months",
        "lb/day": "lb",
        "DM": "as fed",
        "%": "share",
    }
    at = of_sheet(book, draw, [at for at in _fixed(book, str, True) if book.values[at] in swap])
    if at is None:
        return None
    file.words(book.address(at), swap[str(book.values[at])])
    return Planted("unit", book.address(at), f"{book.values[at]!r} -> {swap[str(book.values[at])]!r}")


def fixed_number(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, _fixed(book, float, True))
    if at is None:
        return None
    value = book.values[at]
    assert isinstance(value, float)
    file.number(book.address(at), value * 1.1 + 1)
    return Planted("fixed number", book.address(at), f"{value:g} -> {value * 1.1 + 1:g}")


def name_moved(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A name that leads one row further."""
    every = [n for n in book.names if "LAMBDA" not in n.text and _numbered(n.text) and n.sheet is None]
    if not every:
        return None
    one = draw.choice(every)
    made = re.sub(r"\$(\d+)", lambda m: f"${int(m.group(1)) + 1}", one.text)
    part = file.text("xl/workbook.xml")
    found = re.search(rf'(<definedName name="{re.escape(one.name)}"[^>]*>)([^<]*)</definedName>', part)
    if found is None or unescape(found.group(2)).removeprefix("=") != one.text.removeprefix("="):
        return None
    file.sub("xl/workbook.xml", found.group(0), f"{found.group(1)}{made.replace('&', '&amp;')}</definedName>")
    return Planted("name moved", one.name, f"{one.text[:60]} -> {made[:60]}")


def definition(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A number in a function's definition."""
    every = [n for n in book.names if "LAMBDA(" in n.text and re.search(r"[ ,*/+(-]\d+\.\d", n.text)]
    if not every:
        return None
    one = draw.choice(every)
    found = re.search(
        rf'<definedName name="{re.escape(one.name)}"[^>]*>([^<]*)</definedName>', file.text("xl/workbook.xml")
    )
    if found is None:
        return None
    number = draw.choice(list(re.finditer(r"(?<=[ ,*/+(-])\d+\.\d+", found.group(1))))
    made = f"{float(number.group()) * 1.01:.10g}"
    text = found.group(1)[: number.start()] + made + found.group(1)[number.end() :]
    file.sub("xl/workbook.xml", found.group(0), found.group(0).replace(found.group(1), text))
    return Planted("definition", one.name, f"{number.group()} -> {made}")


NUMBERS = ("typed over", "text over", "emptied", "stored value")
KINDS: tuple[Kind, ...] = (
    *(formula_kind(change) for change in FORMULAS), *(value_kind(kind) for kind in NUMBERS), neighbor, whole_column,
    text_for_number, hundredfold, label, unit, fixed_number, name_moved, definition,
)  # fmt: skip
