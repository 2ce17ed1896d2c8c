"""Makes cases.tsv from the check rows and the records: `python tests/hosts/make_cases.py`.

Ordinary expectations are those of check rows.  Refusals are those of the contract: a blank
or a text for a number is #VALUE!, an impossible number #NUM!, an unknown name #N/A, an
error cell passes through.  Only inside the bounds of a range, where no source prints a
value, is the expectation the Python function's own, and the row is marked so.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import checklib
from hosts import caselib
from hosts.caselib import ERRORS, Case

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Block, Flag, Name, Record, Words

ORDINARY = 4  # check rows taken of each function
STEP = 1e-6  # relative distance beyond a bound
CORE = "python core"  # where no source prints a value: the Python function's own answer
WRONG_WORD, WRONG_NAME = "no such word", "no such name"
# refusals that belong to one function, beside those that every record has
OWN = {
    "WEIGHTED_MEAN": (
        ([[10, 14], [30, -10]], "#NUM!", "contract: a weight below 0"),
        ([[10, 14], [0, 0]], "#NUM!", "contract: weights that add up to 0"),
        ([[10, 14], [30, 10, 5]], "#VALUE!", "contract: blocks of unlike size"),
    ),
}
BOUND = "contract: outside the possible range"
BLANK, TEXT = "contract: a blank is never 0", "contract: text for a number"


class Maker:
    def __init__(self, record: Record) -> None:
        self.record = record
        self.checks = [c for c in checklib.every() if c.function == record.name]
        self.full = [c for c in self.checks if is_full(c)]
        self.cases: list[Case] = []

    def add(self, sort: str, arguments: list[Any], expected: str, comes_from: str, tolerance: str = "") -> None:
        if any(c.arguments == arguments for c in self.cases):
            return
        number = len(self.cases) + 1
        name = f"{self.record.name}-{number}"
        mark = caselib.OWN_ANSWER if comes_from == CORE else ""
        self.cases.append(Case(name, self.record.name, sort, arguments, expected, tolerance, comes_from, mark))

    def all(self) -> list[Case]:
        for check in spread(self.checks, ORDINARY):
            self.add(
                "ordinary", check.arguments, check.printed, f"check row: {check.kind}, {check.file}", check.tolerance
            )
        for arguments, expected, origin in OWN.get(self.record.name, ()):
            self.add("edge", arguments, expected, origin)
        if self.record.variadic:
            return self.cases
        if self.full:
            self.edges()
            self.refusals()
            self.words()
            self.columns()
        elif any(isinstance(a, Block) for a in self.record.args.values()):
            self.whole_blocks()
        return self.cases

    def base(self) -> list[Any]:
        return list(self.full[0].arguments)

    def changed(self, place: int, value: Any) -> list[Any]:
        arguments = self.base()
        arguments[place] = value
        return arguments

    def edges(self) -> None:
        for place, arg in enumerate(self.record.args.values()):
            if not isinstance(arg, Arg):
                continue
            for outside in beyond(arg):
                self.add("edge", self.changed(place, outside), "#NUM!", BOUND)
            for bound in (arg.lo, arg.hi):
                if arg.possible(bound) and math.isfinite(bound):
                    arguments = self.changed(place, bound)
                    answer = caselib.core(self.record, arguments)
                    if answer in ERRORS:
                        self.add("edge", arguments, answer, "contract: a rule or the result's range refuses it")
                    else:
                        shown = answer if isinstance(answer, str) else repr(answer)
                        self.add("edge", arguments, shown, CORE, "" if isinstance(answer, str) else "1e-9")

    def refusals(self) -> None:
        for place, arg in enumerate(self.record.args.values()):
            self.add("blank", self.changed(place, None), "#VALUE!", BLANK)
            if isinstance(arg, (Arg, Flag)):
                self.add("text", self.changed(place, "wet"), "#VALUE!", TEXT)
                self.add("error cell", self.changed(place, {"error": "#N/A"}), "#N/A", "contract: an error passes")
            elif isinstance(arg, Words):
                self.add("text", self.changed(place, WRONG_WORD), "#VALUE!", "contract: a word not in the closed list")
                self.add("text", self.changed(place, 7), "#VALUE!", "contract: a number for a word")
            elif isinstance(arg, Name):
                self.add("text", self.changed(place, WRONG_NAME), "#N/A", "contract: a name not in the table")
            if isinstance(arg, Flag):
                self.add("edge", self.changed(place, 2), "#VALUE!", "contract: neither yes nor no")
        self.add("error cell", self.changed(0, {"error": "#DIV/0!"}), "#DIV/0!", "contract: an error passes")

    def words(self) -> None:
        """A word in other capitals is the same word; 1 and TRUE are the same yes."""
        first = self.full[0]
        origin = f"check row: {first.kind}, {first.file}; contract: capitals do not matter"
        for place, arg in enumerate(self.record.args.values()):
            if isinstance(arg, Words):
                other = str(first.arguments[place]).upper()
                self.add("text", self.changed(place, other), first.printed, origin, first.tolerance)
            if isinstance(arg, Flag):
                same = bool(first.arguments[place])
                other = same if not isinstance(first.arguments[place], bool) else int(same)
                self.add("text", self.changed(place, other), first.printed, origin, first.tolerance)

    def columns(self) -> None:
        """Check rows as columns; then the same with a blank, a text, an impossible number and an error among them."""
        numbers = [i for i, a in enumerate(self.record.args.values()) if isinstance(a, Arg)]
        rows = [r for r in alike(spread(self.full, 6), numbers) if r.tolerance == self.full[0].tolerance][:3]
        if not numbers or len(rows) < 2 or self.record.result.block:
            return
        if not self.record.numeric and any(r.printed.startswith(checklib.CONTAINS) for r in rows):
            return
        # among rows whose words differ, the word stays one value, so only rows of one word are taken
        printed = [r.printed if self.record.numeric else json.dumps(r.printed) for r in rows]
        tolerance = rows[0].tolerance
        origin = "check rows: " + ", ".join(sorted({f"{r.kind}, {r.file}" for r in rows}))
        arguments = self.base()
        for place in numbers:
            arguments[place] = [r.arguments[place] for r in rows]
        self.add("block", arguments, block(printed), origin, tolerance)
        spoilt = beyond(next(a for a in self.record.args.values() if isinstance(a, Arg)))
        bad = [None, "wet", *spoilt[:1], {"error": "#N/A"}]
        mixed = list(arguments)
        for place in numbers:
            mixed[place] = arguments[place] + [rows[0].arguments[place]] * len(bad)
        mixed[numbers[0]] = arguments[numbers[0]] + bad
        expected = block([*printed, *["null"] * len(bad)])
        self.add("mixed", mixed, expected, origin + "; contract: a bad element is refused alone", tolerance)
        without = [*mixed]
        for place in numbers:
            without[place] = mixed[place][:-1]
        self.add("mixed", without, block([*printed, *["null"] * (len(bad) - 1)]), origin + "; contract", tolerance)

    def whole_blocks(self) -> None:
        """Functions that take blocks: an element that is blank, text or an error refuses the whole call."""
        first = next((c for c in self.checks if len(c.arguments) == len(self.record.args)), None)
        if first is None:
            return
        for place, arg in enumerate(self.record.args.values()):
            given = first.arguments[place]
            if not isinstance(arg, Block) or not isinstance(given, list):
                continue
            wanted = {"blank": None, "text": "wet"}
            for sort, value in wanted.items():
                arguments = list(first.arguments)
                arguments[place] = with_first(given, value)
                answer = caselib.core(self.record, arguments)
                if answer in ERRORS:  # a block may allow a blank where its layout says so
                    self.add(sort, arguments, "#VALUE!", "contract: a blank or a text in a block of numbers")


def with_first(given: list[Any], value: Any) -> list[Any]:
    head = with_first(given[0], value) if isinstance(given[0], list) else value
    return [head, *given[1:]]


def is_full(check: checklib.Check) -> bool:
    scalars = not any(isinstance(a, (list, type(None))) for a in check.arguments)
    return scalars and len(check.arguments) == len(check.record.args)


def spread(checks: list[checklib.Check], count: int) -> list[checklib.Check]:
    """Some of the rows, from the whole length of the list."""
    if len(checks) <= count:
        return checks
    return [checks[round(i * (len(checks) - 1) / (count - 1))] for i in range(count)]


def alike(checks: list[checklib.Check], numbers: list[int]) -> list[checklib.Check]:
    """The rows whose words and flags are those of the first."""

    def labels(check: checklib.Check) -> list[Any]:
        return [a for i, a in enumerate(check.arguments) if i not in numbers]

    return [c for c in checks if labels(c) == labels(checks[0])] if checks else []


def beyond(arg: Arg) -> list[float]:
    """Just outside the possible range, below and above."""
    found: list[float] = []
    if math.isfinite(arg.lo):
        found.append(arg.lo if arg.above else arg.lo - STEP * max(1.0, abs(arg.lo)))
    if math.isfinite(arg.hi):
        found.append(arg.hi + STEP * max(1.0, abs(arg.hi)))
    return [float(Decimal(repr(x))) for x in found]


def block(elements: list[str]) -> str:
    return "[" + ", ".join(e.replace(",", "") if e[:1].isdigit() else e for e in elements) + "]"


def every() -> Iterator[Case]:
    for record in CATALOGUE.values():
        yield from Maker(record).all()


def check_list() -> str:
    """The check rows that go into the check list for real Excel: hayfuncs/hosts/excelcheck.tsv."""
    lines = [
        "# calls of the check list for real Excel, taken from the check rows by tests/hosts/make_cases.py",
        "function\targuments\tprinted",
    ]
    for record in CATALOGUE.values():
        rows = [c for c in checklib.every() if c.function == record.name and is_full(c)]
        for check in spread(rows, 3):
            answer = caselib.core(record, check.arguments)
            if not record.variadic and answer not in ERRORS and isinstance(answer, (float, str)):
                arguments = json.dumps(check.arguments, ensure_ascii=False)
                lines.append(f"{record.name}\t{arguments}\t{check.printed.removeprefix(checklib.CONTAINS).strip()}")
    return "\n".join(dict.fromkeys(lines)) + "\n"


CHECK_LIST = Path(__file__).parents[2] / "hayfuncs/hosts/excelcheck.tsv"

if __name__ == "__main__":
    CHECK_LIST.write_text(check_list(), encoding="utf-8")
    made = list(every())
    caselib.write(made)
    print(len(made), "cases in tests/hosts/cases.tsv; the check list for Excel in hayfuncs/hosts/excelcheck.tsv")
