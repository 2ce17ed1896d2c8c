"""Faults drawn at random: the kind, the cell and the change come from a seed, over all sheets, editions and both workbooks.

`python tests/audit/drawn.py --count 60 --seed 7` plants one fault after another in small workbooks and prints how many
were found at their cell above a note, those that move a number apart, how often a fault that moves a headline number
is the first finding, and every miss.
"""

from __future__ import annotations

import argparse
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import building
from audit.damagelib import File
from audit.faultkinds import KINDS, Draw
from audit.faultlooks import LOOKS

from hayfuncs.audit import headline
from hayfuncs.audit.graph import Formulas, feeding
from hayfuncs.audit.judge import moved
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.run import audit
from hayfuncs.spreadsheet.a1 import Node
from hayfuncs.spreadsheet.contents import Value, WorkbookData
from hayfuncs.spreadsheet.reader import read
from hayfuncs.workbook import build

EDITIONS = ("functions", "plain", "classic")
BOOKS = tuple((kind, edition) for edition in EDITIONS for kind in build.KINDS)
WANTED = (0.97, 0.90, 0.90)  # of the faults that move a number, of the others, and first of those that move a headline


@dataclass
class Outcome:
    kind: str
    book: str
    where: str
    change: str
    moves: bool  # a formula of the workbook gives something else
    decides: bool  # a headline number does
    found: bool
    first: bool  # it is the first finding
    told: list[str]


@cache
def honest(kind: str, edition: str) -> tuple[bytes, WorkbookData]:
    path = building.built(building.SMALL, edition, kind)[2]
    return path.read_bytes(), read(path)


@cache
def headlines(kind: str, edition: str) -> tuple[list[Node], frozenset[Node]]:
    """The headline numbers of the honest workbook, and every cell that they depend on."""
    book = honest(kind, edition)[1]
    formulas = Formulas(book)
    heads = headline.find(book, formulas, Labels(book))
    return heads, frozenset(feeding(formulas, heads))


def other(was: Value, now: Value) -> bool:
    if isinstance(was, float) and isinstance(now, float):
        return abs(now - was) > 1e-6 * max(1.0, abs(was))
    return (was or "") != (now or "")


def drawn(kind: str, edition: str, seed: int, folder: Path, heads: bool = False) -> Outcome | None:
    draw = Draw(seed)
    data, book = honest(kind, edition)
    file = File(data)
    looks = draw.random() >= len(KINDS) / (len(KINDS) + len(LOOKS)) and not heads
    draw.among = headlines(kind, edition)[1] if heads else None
    plant = draw.choice(LOOKS if looks else KINDS)
    made = plant(file, book, draw)
    if made is None or (heads and "!" not in made.where):  # a name or a definition is no cell
        return None
    if made.recalculated and plant in KINDS:
        file = file.recalculated()
    path = folder / "drawn.xlsx"
    path.write_bytes(file.bytes())
    case = audit(path)
    after = case.book.values
    moves = any(other(book.values.get(at), after.get(at)) for at in book.formulas)
    decides = any(moved(book.values.get(at), after.get(at)) for at in headlines(kind, edition)[0])
    places = {made.where, *made.also}
    named = re.compile("(?<![A-Za-z0-9!'$])" + re.escape(made.where) + r"(?!\d)")
    told = [f for f in case.findings if f.above_note]
    at_place = [
        f.cell in places or named.search(f.evidence.split("; ")[0]) is not None
        if not made.where.endswith("!")
        else f.rule == "look" and f.cell.startswith(made.where)
        for f in told
    ]
    found = any(hit for hit, f in zip(at_place, told, strict=True) if f.rule != "failed-check" or f.cell == made.where)
    rest = [f"{f.rule} {f.cell}" for f, hit in zip(told, at_place, strict=True) if not hit]
    return Outcome(
        made.kind,
        f"{kind}, {edition}",
        made.where,
        made.change,
        moves,
        decides,
        found,
        bool(told) and at_place[0],
        rest,
    )


def run(
    count: int, seed: int, books: tuple[tuple[str, str], ...] = BOOKS, seconds: float = 1e9, heads: bool = False
) -> Iterator[Outcome]:
    """So many faults, one workbook after another; none begins after the seconds."""
    end = time.monotonic() + seconds
    with tempfile.TemporaryDirectory() as folder:
        for i, book in enumerate(books):
            at = seed * 1_000_000 + BOOKS.index(book) * 100_000 + 50_000 * heads
            left = (count + len(books) - 1 - i) // len(books)
            while left and time.monotonic() < end:
                outcome = drawn(*book, at, Path(folder), heads)
                at += 1
                if outcome is not None:
                    left -= 1
                    yield outcome


def share(part: int, whole: int) -> str:
    return f"{part} of {whole} ({part / whole:.0%})" if whole else "0 of 0"


def told(out: list[Outcome], seed: int) -> list[str]:
    """The figures, each with the seed they were drawn from."""
    lines = []
    for moves, words in ((True, "that move a number"), (False, "that move none")):
        part = [o for o in out if o.moves is moves]
        lines.append(
            f"seed {seed}: {share(sum(o.found for o in part), len(part))} {words} found at their cell above a note"
        )
    deciding = [o for o in out if o.decides]
    lines.append(
        f"seed {seed}: {share(sum(o.first for o in deciding), len(deciding))} that move a headline number are the first finding"
    )
    kinds = Counter(o.kind for o in out if not o.found)
    return [*lines, *(f"  missed {n} of {sum(o.kind == k for o in out)}: {k}" for k, n in kinds.most_common())]


def line(o: Outcome) -> str:
    what = "found" if o.found else "MISSED"
    first = "" if not o.decides else ", first" if o.first else ", NOT FIRST"
    return f"{what}{first}: {o.kind}, {o.book}, {o.where}{', moves' if o.moves else ''}: {o.change}; told besides: {o.told[:3]}"


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=1e9, help="no fault begins after them")
    parser.add_argument("--book", choices=[f"{k}-{e}" for k, e in BOOKS], help="this workbook alone")
    parser.add_argument("--headline", action="store_true", help="only cells that headline numbers depend on")
    given = parser.parse_args()
    books = tuple(b for b in BOOKS if given.book in (None, "-".join(b)))
    out = []
    for one in run(given.count, given.seed, books, given.seconds, given.headline):
        out.append(one)
        print(line(one), flush=True)
    print("\n".join(told(out, given.seed)))
