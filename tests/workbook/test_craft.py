"""Sixty points of good spreadsheet work: what craft.tsv says of each is so, in the files as they are opened.

A point is checked by tests that it names, or here: by a check that finds no fault, or, where the point is kept in part,
by a figure that stands in the table.  The small farm, with its winter plan, in both editions that need no Python.
"""

from __future__ import annotations

import ast
import csv
import re
from functools import cache
from pathlib import Path

import pytest
from building import SMALL, built
from workbook import craftbuilt, craftkept, craftseen
from workbook.craftlib import CHECKS, FIGURES, File, contrast, ifs, operators, twice_rounded
from workbook.craftplanted import PLANTED, spoiled

from hayfuncs.spreadsheet.parser import tree

ROOT = Path(__file__).parents[2]
ROWS = list(csv.DictReader((Path(__file__).parent / "craft.tsv").read_text("utf-8").splitlines(), delimiter="\t"))
STATES = ("kept", "kept in part", "not kept by choice")
EDITIONS = ("functions", "plain")
HERE = "here"
AWAY = 0.1  # of a figure, by which what is measured may be better: more, and the table no longer says what is so
TOPICS = (craftbuilt, craftkept, craftseen)  # each adds its checks


@pytest.fixture(scope="module", params=EDITIONS)
def file(request: pytest.FixtureRequest) -> File:
    return opened(request.param)


@cache
def opened(edition: str) -> File:
    return File(edition, built(SMALL, edition)[2].read_bytes())


@pytest.fixture(scope="module")
def with_faults() -> File:
    return spoiled(opened("functions"))


@pytest.mark.parametrize("number", sorted(CHECKS))
def test_no_fault(file: File, number: int) -> None:
    assert CHECKS[number](file) == []


def told(bound: str, value: float) -> bool:
    """Whether a figure is as `>=62` or `<=3` says, and not so much better that it should say more."""
    limit = float(bound[2:])
    if bound.startswith(">="):
        return limit <= value <= limit * (1 + AWAY)
    return limit * (1 - AWAY) <= value <= limit


@pytest.mark.parametrize("number", sorted(FIGURES))
def test_the_figure_is_as_told(file: File, number: int) -> None:
    row = ROWS[number - 1]
    value = FIGURES[number](file)
    assert told(row[file.edition], value), f"{row['rule']}: {value}, not {row[file.edition]}"
    limits = {row[edition][2:] for edition in EDITIONS}
    assert limits <= set(re.findall(r"\d+(?:\.\d+)?", row["reason"])), row["reason"]


@pytest.mark.parametrize("number", sorted(CHECKS))
def test_a_planted_fault_is_found(with_faults: File, number: int) -> None:
    assert CHECKS[number](with_faults) != []


def test_each_check_has_its_planted_fault() -> None:
    assert set(PLANTED) == set(CHECKS)
    assert not set(CHECKS) & set(FIGURES)


def test_a_figure_can_be_wrong_both_ways() -> None:
    assert [told(">=60", value) for value in (59, 60, 65, 67)] == [False, True, True, False]
    assert [told("<=20", value) for value in (17, 18, 20, 21)] == [False, True, True, False]


def test_what_formulas_are_measured_by() -> None:
    assert ifs(tree('IF(A1>0,IF(B1>0,1,2),"none")&IF(C1,1,2)')) == 2
    assert operators(tree("A1*B1+SUM(C1:C9)/2")) == 3
    assert twice_rounded(tree("ROUND(A1+INT(B1),1)"))
    assert not twice_rounded(tree("ROUNDUP(ROUND(A1/B1,6),0)+ROUND(C1,1)"))
    assert contrast("FF000000", "FFFFFFFF") == pytest.approx(21)
    assert contrast("FF777777", "FFFFFFFF") == pytest.approx(4.48, abs=0.01)


def functions(path: Path) -> set[str]:
    return {node.name for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.FunctionDef)}


def test_the_sixty_points_are_there_once_each_with_its_state() -> None:
    assert [row["number"] for row in ROWS] == [str(number) for number in range(1, 61)]
    for row in ROWS:
        assert row["state"] in STATES, row
        assert bool(row["reason"]) == (row["state"] != "kept" or bool(row["functions"])), row
        assert None not in row, row  # as many cells as heads
        assert row["rule"], row


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["number"])
def test_what_a_point_names_is_there(row: dict[str, str]) -> None:
    named = row["checked"].split("; ")
    number = int(row["number"])
    assert (HERE in named) == (number in CHECKS or number in FIGURES)
    assert bool(row["functions"]) == bool(row["plain"]) == (number in FIGURES)
    for one in named:
        if one != HERE:
            path, _, name = one.partition("::")
            assert name.startswith("test_"), one
            assert name in functions(ROOT / path), one
