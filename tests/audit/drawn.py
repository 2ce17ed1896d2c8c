"""Faults drawn at random: the kind, the cell and the change come from a seed, over all sheets and editions.

`python tests/audit/drawn.py --count 60 --seed 7` builds the small farm, plants one fault after another, and prints
how many were found at their cell above a note, those that move a number apart, with what was missed.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import building
from audit.damagelib import File

from hayfuncs.audit.run import audit
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.reader import read
from hayfuncs.spreadsheet.tokens import pieces

EDITIONS = ("functions", "plain", "classic")
HELD = (0.97, 0.90)  # of the faults that move a number, and of the others
Draw = random.Random
Changed = str | None  # a formula anew, or None where the kind does not fit the cell


@dataclass
class Outcome:
    kind: str
    edition: str
    where: str
    change: str
    moves: bool  # a number of the workbook is another one
    found: bool
    first: bool  # it is the first finding
    elsewhere: list[str]


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
        letters = ""
        while number:
            number, rest = divmod(number - 1, 26)
            letters = chr(65 + rest) + letters
        return f"{match.group(1)}{letters}{match.group(3)}{row}"

    sheet, mark, area = text.rpartition("!")
    return sheet + mark + re.sub(r"(\$?)([A-Z]{1,3})(\$?)(\d+)", move, area)


def reference(draw: Draw, formula: str) -> Changed:
    """A reference one row or one column off."""
    at = _pick(draw, formula, ("ref",), lambda t: re.search(r"\d", t) is not None)
    if at is None:
        return None
    rows, cols = draw.choice(((1, 0), (-1, 0), (0, 1), (0, -1)))
    return _with(formula, at, _shifted(pieces(formula)[at].text, rows, cols))


def ranged(draw: Draw, formula: str) -> Changed:
    """A range that ends a row early or starts one late."""
    at = _pick(draw, formula, ("ref",), lambda t: ":" in t and re.search(r"\d", t) is not None)
    if at is None:
        return None
    text = pieces(formula)[at].text
    sheet, mark, area = text.rpartition("!")
    first, _, last = area.partition(":")
    made = f"{first}:{_shifted(last, -1, 0)}" if draw.random() < 0.7 else f"{_shifted(first, 1, 0)}:{last}"
    return _with(formula, at, sheet + mark + made)


def operator(draw: Draw, formula: str) -> Changed:
    swap = {"+": "-", "-": "+", "*": "/", "/": "*", "<": ">", ">": "<", "<=": ">=", ">=": "<="}
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


def dollars(draw: Draw, formula: str) -> Changed:
    """An anchor lost, in a copy one row down."""
    at = _pick(draw, formula, ("ref",), lambda t: re.search(r"\$\d", t) is not None)
    return None if at is None else _with(formula, at, _shifted(pieces(formula)[at].text, 1, 0))


def masked(draw: Draw, formula: str) -> Changed:
    return f"IFERROR({formula},0)"


FORMULAS = (reference, ranged, operator, constant, number_for_reference, factor, dollars, masked)
OTHERS = ("typed over", "emptied", "stored value", "text for a number", "label", "fixed number")


def plant(file: File, book: WorkbookData, draw: Draw) -> tuple[str, str, str] | None:
    """One fault: its kind, its cell, what changed; None where the drawn kind does not fit the drawn cell."""
    kind = draw.choice([*FORMULAS, *OTHERS])
    if callable(kind):
        at = draw.choice(list(book.formulas))
        formula = book.formulas[at]
        made = kind(draw, formula)
        if made is None or made == formula or (at in book.arrays and book.arrays[at].count(":")):
            return None
        file.set_formula(book.address(at), made)
        return kind.__name__, book.address(at), f"={formula[:70]} -> ={made[:70]}"
    numbers = [at for at in book.formulas if isinstance(book.values.get(at), float)]
    if kind in ("typed over", "emptied", "stored value"):
        at = draw.choice(numbers)
        where, value = book.address(at), book.values[at]
        assert isinstance(value, float)
        if kind == "typed over":
            file.number(where, round(value * 1.07 + 0.3, 3))
        elif kind == "emptied":
            file.empty(where)
        else:
            file.stored(where, repr(value * 1.02 + 0.01))
        return kind, where, str(value)
    fixed = [
        at
        for at, v in book.values.items()
        if at not in book.formulas and isinstance(v, float if kind != "label" else str)
    ]
    if kind == "fixed number":
        fixed = [at for at in fixed if book.look(at).locked]
    if kind == "text for a number":
        fixed = [at for at in fixed if not book.look(at).locked]
    if kind == "label":
        fixed = [at for at in fixed if book.look(at).locked and len(str(book.values[at])) > 2 and at not in book.arrays]
    at = draw.choice(fixed)
    where, old = book.address(at), book.values[at]
    if kind == "label":
        file.words(where, f"{old} (old)")
    elif kind == "fixed number":
        file.number(where, float(old or 0) * 1.1 + 1)
    else:
        file.words(where, f"{old:g}")
    return kind, where, f"{old!r}"[:60]


def drawn(edition: str, data: bytes, seed: int, folder: Path) -> Outcome | None:
    draw = random.Random(seed)
    path = folder / "drawn.xlsx"
    path.write_bytes(data)
    book = read(path)
    file = File(data)
    made = plant(file, book, draw)
    if made is None:
        return None
    kind, where, change = made
    if kind != "stored value":
        file = file.recalculated()
    path.write_bytes(file.bytes())
    after = read(path)
    moves = any(
        isinstance(value, float)
        and isinstance(then := after.values.get(at), float)
        and abs(then - value) > 1e-6 * max(1.0, abs(value))
        for at, value in book.values.items()
        if book.address(at) != where and at in book.formulas
    )
    told = [f for f in audit(path).findings if f.above_note]
    found = any(f.cell == where or where in f.evidence.split("; ")[0] for f in told if f.rule != "failed-check")
    rest = [f"{f.rule} {f.cell}" for f in told if f.cell != where]
    decisive = [f for f in told if f.rule != "failed-check"]
    return Outcome(kind, edition, where, change, moves, found, bool(decisive) and decisive[0].cell == where, rest)


def run(count: int, seed: int, editions: tuple[str, ...] = EDITIONS) -> list[Outcome]:
    """So many faults, each edition in turn."""
    out: list[Outcome] = []
    data = {edition: building.built(building.SMALL, edition)[2].read_bytes() for edition in editions}
    with tempfile.TemporaryDirectory() as folder:
        at = seed * 100_000
        while len(out) < count:
            edition = editions[at % len(editions)]
            outcome = drawn(edition, data[edition], at, Path(folder))
            at += 1
            if outcome is not None:
                out.append(outcome)
    return out


def said(out: list[Outcome], seed: int) -> list[str]:
    lines = []
    for moves, words in ((True, "that move another number"), (False, "that move none")):
        part = [o for o in out if o.moves is moves]
        if part:
            found = sum(o.found for o in part)
            lines.append(
                f"seed {seed}: {found} of {len(part)} faults {words} found at their cell above a note ({found / len(part):.0%})"
            )
    first = [o for o in out if o.moves and o.found]
    if first:
        lines.append(f"first of the findings: {sum(o.first for o in first)} of {len(first)} found that move a number")
    lines += [
        f"  missed: {o.kind}, {o.edition}, {o.where}: {o.change}; told: {o.elsewhere[:3]}" for o in out if not o.found
    ]
    return lines


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    print("\n".join(said(run(given.count, given.seed), given.seed)))
