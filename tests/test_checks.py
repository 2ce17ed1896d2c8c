"""Every published and hand-worked value, and that every function has one."""

from __future__ import annotations

import json
from collections import Counter

import checklib
import pytest

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.tables import sources

CHECKS = checklib.every()
each_check = pytest.mark.parametrize("check", CHECKS, ids=lambda c: f"{c.place} {c.function}")
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)


@each_check
def test_printed_value(check: checklib.Check) -> None:
    assert check.function in CATALOGUE, f"{check.place}: no function {check.function}"
    fault = check.fault(check.call())
    assert not fault, f"{check.place}: {check.function}{check.arguments}: {fault}"


@each_check
def test_row_says_where_it_comes_from(check: checklib.Check) -> None:
    assert check.kind in checklib.KINDS, f"{check.place}: kind {check.kind!r} is none of {checklib.KINDS}"
    if check.kind == "hand":
        assert check.source == "hand", f"{check.place}: a hand row has the source 'hand'"
        assert check.working, f"{check.place}: a hand row shows its working"
    else:
        assert check.source in sources(), (
            f"{check.place}: source {check.source!r} is not in the bibliography, hayfuncs/contract/tables/sources.tsv"
        )
    assert check.where, f"{check.place}: says not where the value stands"
    if check.tolerance:
        assert check.working, f"{check.place}: a tolerance of its own needs its reason in `working`"
        assert float(check.tolerance.removesuffix("%")) > 0, f"{check.place}: the tolerance is not above 0"
    if not check.record.numeric:
        assert not check.tolerance, f"{check.place}: a text has no tolerance"


@each_record
def test_function_has_a_row(record: Record) -> None:
    rows = [c for c in CHECKS if c.function == record.name]
    assert rows, f"{record.name} has no check row in tests/checks/*.tsv"
    if record.numeric:
        kinds = [c.kind for c in rows]
        assert "published" in kinds or "hand" in kinds, f"{record.name} has no published or hand row"


def test_no_row_twice() -> None:
    counted = Counter((c.function, json.dumps(c.arguments), c.printed) for c in CHECKS)
    assert [row for row, n in counted.items() if n > 1] == []


# The reader itself: each way of being wrong is noticed.


def made(printed: str, tolerance: str = "", function: str = "DRY_WEIGHT") -> checklib.Check:
    return checklib.Check("made.tsv", 1, function, [1, 2], printed, tolerance, "hand", "hand", "here", "by hand")


@pytest.mark.parametrize(
    ("printed", "tolerance", "good", "bad"),
    [
        ("30.6", "", 30.5501, 30.549),
        ("30.60", "", 30.604, 30.606),
        ("1,740", "", 1740.4, 1740.6),
        ("34", "", 34.29, 34.51),
        ("-0.5", "", -0.54, 0.5),
        ("10", "5 %", 10.4, 10.6),
        ("10.00", "0.5", 10.4, 10.6),
    ],
)
def test_tolerance(printed: str, tolerance: str, good: float, bad: float) -> None:
    check = made(printed, tolerance)
    assert check.fault(good) == ""
    assert check.fault(bad) != ""
    assert check.fault(float("nan")) != ""
    assert check.fault("text") != ""


def test_text_and_block_results() -> None:
    assert made("none", function="SOURCE").fault("none") == ""
    assert made("none", function="SOURCE").fault("None") != ""
    assert made("contains: fire", function="SOURCE").fault("call the fire service") == ""
    assert made("contains: fire", function="SOURCE").fault("") != ""
    assert made("contains:", function="SOURCE").fault("anything") != ""
    assert made("[1.0, 2.50]").fault([1.04, 2.504]) == ""
    assert made("[1.0, 2.50]").fault([1.04, 2.506]) != ""
    assert made("[1.0, 2.50]").fault([1.04]) != ""
    assert made('["corn", null]').fault(["corn", float("nan")]) == ""
    assert made('["corn", null]').fault(["corn", 0.0]) != ""


def test_bad_files_are_named(tmp_path) -> None:
    head = "\t".join(checklib.COLUMNS)
    for name, text in {
        "columns": "a\tb\n",
        "json": f"{head}\nF\t[1,\t2\n",
        "list": f"{head}\nF\t7\t2\n",
        "cells": f"{head}\n" + "\t".join("x" * 9) + "\n",
    }.items():
        path = tmp_path / f"{name}.tsv"
        path.write_text(text)
        with pytest.raises(checklib.BadRow, match=f"{name}.tsv"):
            checklib.read(path)
