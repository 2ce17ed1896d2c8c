"""Longhand against function: two statements of each equation, over thousands of points in the embedded engine."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import points
import pytest
import sheetlib

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Flag, Name, Record, Words
from hayfuncs.hosts import engine

GOOD = 2000  # answered points of each function
ANY = 300  # points of possible arguments, which rules or the result's range may still refuse
TOLERANCE = 1e-9
WITH_LONGHAND = [r for r in CATALOGUE.values() if r.longhand is not None and not r.variadic]
each_record = pytest.mark.parametrize(
    "record", [r for r in WITH_LONGHAND if not points.takes_blocks(r)], ids=lambda r: r.name
)


def agree(record: Record, rows: list[list[Any]], found: list[Any]) -> None:
    faults = []
    for values, got in zip(rows, found, strict=True):
        want = points.outcome(record, values)
        if isinstance(want, str) or not isinstance(got, float):
            same = want == got
        else:
            same = points.same(want, got, TOLERANCE)
        if not same:
            faults.append(f"{values}: function {want!r}, longhand {got!r}")
    assert not faults, f"{len(faults)} of {len(rows)} points differ:\n" + "\n".join(faults[:6])


@each_record
def test_longhand_is_the_function(record: Record) -> None:
    rows = points.good(record, GOOD)
    constant = not record.numbers()  # a lookup has only as many points as its words
    assert constant or len(rows) == GOOD
    for name, arg in record.args.items():
        if isinstance(arg, Words):
            seen = {row[list(record.args).index(name)] for row in rows}
            assert seen == set(arg.words), f"{name}: no answered point for {set(arg.words) - seen}"
    rows += points.candidates(record, ANY, salt=5)
    agree(record, rows, sheetlib.longhand_values(record, rows))


NUMBER = re.compile(r"(?<![\w.$#@{])\d+(?:\.\d+)?")
QUOTED = re.compile(r'"[^"]*"')


@each_record
def test_longhand_is_the_function_at_every_number_it_compares_with(record: Record) -> None:
    """At a limit itself `>` and `>=` part: each number of the longhand is tried as each argument, and what adjoins it."""
    assert record.longhand is not None
    written = " ".join((record.longhand.result, *(step.formula for step in record.longhand.steps)))
    limits = sorted({float(n) for n in NUMBER.findall(QUOTED.sub("", written))} | {0.0})
    rows: list[list[Any]] = []
    for at, arg in enumerate(record.args.values()):
        if isinstance(arg, Arg):
            for limit in (x for x in limits if arg.possible(x)):
                rows += [
                    [*base[:at], limit, *base[at + 1 :]] for base in points.good(record, 20)[:: 1 + len(rows) // 200]
                ]
    if rows:
        agree(record, rows, sheetlib.longhand_values(record, rows))


@each_record
def test_longhand_refuses_what_the_function_refuses(record: Record) -> None:
    rows: list[list[Any]] = []
    bases = points.good(record, 20)
    for at, arg in enumerate(record.args.values()):
        bad: list[Any] = [None]
        if isinstance(arg, Arg):
            bad += ["text", "", True, False, *(x for x in points.outside(arg) if math.isfinite(x))]
        elif isinstance(arg, Flag):
            bad += ["yes", "", 2, -1, 0.5]
        elif isinstance(arg, (Words, Name)):
            bad += ["no such word", "", 7]
        for one in bad:
            rows += [[*base[:at], one, *base[at + 1 :]] for base in bases[:: 10 if one is None else 20]]
    want = [points.outcome(record, row) for row in rows]
    assert all(isinstance(w, str) and w.startswith("#") for w in want)
    agree(record, rows, sheetlib.longhand_values(record, rows))


@each_record
def test_longhand_reads_yes_and_no_and_words_as_the_function_does(record: Record) -> None:
    """1 and 0 for yes and no, and words in any case."""
    rows: list[list[Any]] = []
    for base in points.good(record, 20):
        for at, arg in enumerate(record.args.values()):
            old = base[at]
            others: list[Any] = []
            if isinstance(arg, Flag):
                others = [int(old), float(old)]
            elif isinstance(arg, (Words, Name)):
                others = [str(old).upper(), str(old).lower()]
            rows += [[*base[:at], other, *base[at + 1 :]] for other in others]
    if rows:
        agree(record, rows, sheetlib.longhand_values(record, rows))


@pytest.mark.parametrize("record", [r for r in WITH_LONGHAND if points.takes_blocks(r)], ids=lambda r: r.name)
def test_longhand_over_blocks(record: Record) -> None:
    """Functions of whole blocks: each block is a row of cells, with bad ones among them."""
    rng = points.generator(record, salt=6)
    wide = 5
    rows = [list(rng.uniform(0, 60, wide * len(record.args))) for _ in range(GOOD)]
    for row in rows[::20]:
        row[int(rng.integers(len(row)))] = [None, "text", True, -1.0, -1e6, 0.0][int(rng.integers(6))]
    rows.append([7.0] * wide + [0.0] * wide * (len(record.args) - 1))
    book = engine.new_book()
    sheet = book.add_sheet("S") or book.sheet("S")
    sheet.set_values_batch(1, 1, len(rows), len(rows[0]), rows)
    formulas = []
    for at in range(1, len(rows) + 1):
        starts = range(0, len(rows[0]), wide)
        cells = [f"{sheetlib.letter(s)}{at}:{sheetlib.letter(s + wide - 1)}{at}" for s in starts]
        formulas.append([f"={sheetlib.one_formula(record, dict(zip(record.args, cells, strict=True)))}"])
    sheet.set_formulas_batch(1, len(rows[0]) + 1, len(rows), 1, formulas)
    book.evaluate_all()
    found = [row[-1] for row in engine.values(book, "S", len(rows), len(rows[0]) + 1)]
    calls = [[row[s : s + wide] for s in range(0, len(row), wide)] for row in rows]
    agree(record, calls, found)


def test_every_numeric_function_has_longhand_or_a_reason() -> None:
    without = {r.name: r.no_longhand for r in CATALOGUE.values() if r.numeric and r.longhand is None}
    assert all(len(reason) > 20 for reason in without.values())
    assert len(without) <= 3, f"functions without longhand: {sorted(without)}"


def test_the_comparison_can_fail() -> None:
    record = CATALOGUE["DRY_WEIGHT"]
    rows = points.good(record, 5)
    found = [float(x) for x in points.public(record)(*np.array(rows).T)]
    agree(record, rows, found)
    with pytest.raises(AssertionError, match="1 of 5 points differ"):
        agree(record, rows, [*found[:4], found[4] * (1 + 1e-6) + 1e-6])
    with pytest.raises(AssertionError, match="1 of 5 points differ"):
        agree(record, rows, [*found[:4], "#NUM!"])
