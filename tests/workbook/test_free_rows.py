"""Rows of Lots and Herd that are free, half typed, typed at once, or cleared: what every other sheet makes of them."""

from __future__ import annotations

import re
from dataclasses import replace

import building
import openpyxl
import pytest
from workbook.opened import Open

from hayfuncs.audit.run import audit
from hayfuncs.workbook import build, rebuild, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import is_formula
from hayfuncs.workbook.sheets import whichhay
from hayfuncs.workbook.sheets.common import FIRST

ROOMY = building.ROOMY
# the same farm with one lot and one group more in it from the beginning
MORE = replace(
    building.SMALL, lots=(*building.SMALL.lots, DEMO.lots[5]), groups=(*building.SMALL.groups, DEMO.groups[3])
)
LOTS, GROUPS = len(ROOMY.lots), len(ROOMY.groups)
LIKE = (
    "Lots",
    "Herd",
    "Need by class",
    "Match",
    "Close calls",
    "Hay margins",
    "Stock",
    "Hazards",
    "Cautions",
    "Winter need",
)
EDITIONS = ("functions", "plain")


def opened(farm, edition, kind=build.FARM) -> Open:
    return Open(*building.built(farm, edition, kind)[::2])


def errors(made: Open) -> list[str]:
    cells = ((s, r, c) for s in made.book.sheets for (r, c), cell in s.cells.items() if is_formula(cell))
    return [s.ref(r, c) for s, r, c in cells if str(made.at(s.ref(r, c))).startswith("#")]


def failing(made: Open) -> list[str]:
    sheet = made.book.by_name("Checks")
    return [str(sheet.cells[r, 0].content) for r, c in sheet.cells if made.at(sheet.ref(r, c)) == "FAILS"]


def clear(made: Open, sheet: str, number: int) -> None:
    for (row, col), cell in made.book.by_name(sheet).cells.items():
        if row == FIRST + number - 1 and cell.entry is not None:
            made.made.set_value(sheet, row + 1, col + 1, None)
    made.made.evaluate_all()


def typed(made: Open, wanted: Open) -> None:
    """Into the inputs of one workbook what another has in those of the same keys."""
    for key, (sheet, row, col) in made.book.inputs.items():
        at = wanted.book.inputs.get(key)
        if at is None or not re.match(rf"\w[\w ]*/({LOTS + 1}|{GROUPS + 1})/", key):
            continue
        value = wanted.book.by_name(at[0]).cells[at[1], at[2]].content
        if value != made.book.by_name(sheet).cells[row, col].content:
            made.made.set_value(sheet, row + 1, col + 1, value)
    made.made.evaluate_all()


def grid(made: Open) -> list[list[object]]:
    sheet = made.book.by_name("Which hay")
    return [[made.at(sheet.ref(FIRST + i, whichhay.GROUPS + g)) for g in range(GROUPS + 1)] for i in range(LOTS + 2)]


@pytest.mark.parametrize("kind", build.KINDS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_free_row_says_nothing_and_fails_no_check(edition, kind):
    made = opened(ROOMY, edition, kind)
    assert errors(made) == []
    assert failing(made) == []
    for name in LIKE[:2]:
        at = LOTS if name == "Lots" else GROUPS
        cells = made.book.by_name(name).cells
        blank = [made.at(made.book.by_name(name).ref(r, c)) for r, c in cells if r == FIRST + at]
        assert {value for value in blank if value not in (None, "")} == set(), name
    assert [row[-1] for row in grid(made)] == [""] * (LOTS + 2)
    assert grid(made)[-1] == [""] * (GROUPS + 1)
    for counted in ("lots_left_out", "groups_left_out"):
        assert made.name(counted) == opened(building.SMALL, edition, kind).name(counted) == 0
    found = [f for f in audit(building.built(ROOMY, edition, kind)[2]).findings if f.above_note]
    assert [f"{f.cell} {f.rule} {f.evidence}" for f in found] == []


@pytest.mark.parametrize("edition", EDITIONS)
def test_what_is_typed_into_a_free_row_counts_at_once_as_if_it_had_been_there(edition):
    made, wanted = opened(ROOMY, edition), opened(MORE, edition)
    typed(made, wanted)
    assert errors(made) == []
    for name in LIKE:
        here, there = made.book.by_name(name), wanted.book.by_name(name)
        last = FIRST + (GROUPS + 1 if name in ("Herd", "Need by class", "Winter need") else LOTS + 1)
        if name in ("Match", "Close calls"):
            last = FIRST + (LOTS + 1) * (GROUPS + 1)
        for (row, col), cell in there.cells.items():
            if is_formula(cell) and FIRST <= row < last:
                got, want = made.at(here.ref(row, col)), wanted.at(there.ref(row, col))
                assert got == (pytest.approx(want) if isinstance(want, float) else want), (name, row, col)
    assert grid(made)[: LOTS + 1] == grid(wanted)[: LOTS + 1]
    assert [f for f in failing(made) if "Mix" not in f] == [f for f in failing(wanted) if "Mix" not in f]


@pytest.mark.parametrize("kind", build.KINDS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_row_that_is_cleared_is_out_of_every_sheet(edition, kind):
    made = opened(building.SMALL, edition, kind)
    clear(made, "Lots", LOTS)
    clear(made, "Herd", GROUPS)
    assert errors(made) == []
    # a plan that feeds the group which is gone says so; nothing else is amiss
    assert set(failing(made)) <= {"Plan: rows whose month, group or feed is not found"}
    last = made.book.by_name("Which hay").ref(FIRST + LOTS - 1, whichhay.GROUPS)
    assert made.at(last) == ""


def test_half_a_row_says_what_it_lacks_and_nothing_is_worked_out_of_it():
    made = opened(ROOMY, "functions")
    lots, herd = (made.book.marks[f"{name}_at"] for name in ("lots", "herd"))
    row = FIRST + LOTS + 1
    made.made.set_value("Lots", row, lots["name"] + 1, "Half Field")
    for mark, value in (("lab_cp_pct", 9.5), ("lab_ndfd48_pct", 48)):
        made.made.set_value("Lots", row, lots[mark] + 1, value)
    made.made.set_value("Herd", FIRST + GROUPS + 1, herd["name"] + 1, "Newcomers")
    made.made.evaluate_all()
    assert errors(made) == []
    assert made.get("lots", "wrong", LOTS + 1) == "a needed value is empty: forage, basis, dry matter, ADF, NDF."
    assert made.get("herd", "wrong", GROUPS + 1) == (
        "a needed value is empty: head, weight, month, milk, calf weight or score."
    )
    assert set(failing(made)) == {
        "Lots: needed cells left empty",
        "Herd: needed cells left empty",
        "Lots: basis is dry or as fed in every row",
    }


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_poison_in_half_a_row_is_told_all_the_same(edition):
    """What is wrong with a lab sheet hides no danger: with the basis it is said, without it it is never clear."""
    made = opened(ROOMY, edition)
    lots, row = made.book.marks["lots_at"], FIRST + LOTS + 1
    for mark, value in (("name", "Half Field"), ("lab_nitrate_n_ppm", 9000)):
        made.made.set_value("Lots", row, lots[mark] + 1, value)
    made.made.evaluate_all()
    said = made.get("cautions", "says", LOTS + 1)
    assert "not worked out" in said
    assert "clear" not in said
    made.made.set_value("Lots", row, lots["basis"] + 1, "dry")
    made.made.evaluate_all()
    assert "danger 1" in made.get("cautions", "says", LOTS + 1)
    assert "danger 1" in made.get("lots", "cautions", LOTS + 1)
    # and of the chosen hay, whose protein is emptied
    made.made.set_value("Lots", FIRST + 1, lots["lab_nitrate_n_ppm"] + 1, 9000)
    made.made.set_value("Lots", FIRST + 1, lots["lab_cp_pct"] + 1, None)
    made.made.evaluate_all()
    assert "danger" in made.at(made.book.marks["dietcautions"]["banner"])
    for said in (made.at(made.book.marks[sheet]["banner"]) for sheet in ("cowyear", "feedcost")):
        assert said.startswith("✗ No answer while a check fails: Heron Flat 1: a needed value is empty: protein.")


def test_values_without_a_name_are_not_passed_over():
    made = opened(ROOMY, "functions")
    made.made.set_value("Lots", FIRST + LOTS + 1, made.book.marks["lots_at"]["lab_cp_pct"] + 1, 9.5)
    made.made.evaluate_all()
    assert failing(made) == ["Lots: needed cells left empty"]


def test_a_rebuild_leaves_out_what_was_cleared_takes_what_was_typed_and_every_choice_stays_with_its_group(tmp_path):
    book, _, path = building.built(ROOMY, "plain", build.FARM)
    file = openpyxl.load_workbook(path)

    def put(key, value):
        sheet, row, col = book.at(*book.inputs[key])
        file[sheet].cell(row + 1, col + 1).value = value

    for key in book.inputs:
        if re.match(r"(Lots|Herd)/2/", key):
            put(key, None)
    put(f"Take home/{GROUPS}/hay", ROOMY.lots[3].name)
    new = {"name": "Bought cows", "head": 12, "body_weight_lb": 1200, "month_since_calving": 10, "peak_milk_lb": 18, "calf_weight_lb": 80, "condition_score": 5}  # fmt: skip
    for field, value in new.items():
        put(f"Herd/{GROUPS + 1}/{field}", value)
    file.save(tmp_path / "typed.xlsx")
    done = rebuild.rebuild(tmp_path / "typed.xlsx", tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    names = [now[f"Herd/{i}/name"] for i in range(1, GROUPS + 1)]
    assert names == [ROOMY.groups[0].name, ROOMY.groups[2].name, "Bought cows"]
    assert [now[f"Lots/{i}/name"] for i in (1, 2, LOTS)] == [ROOMY.lots[0].name, ROOMY.lots[2].name, None]
    chosen = {i: now[f"Take home/{i}/hay"] for i in range(1, GROUPS + 1)}
    assert chosen == {1: None, 2: ROOMY.lots[3].name, 3: None}
    # no date was typed: it follows from the month, whose middle is nine and a half months after calving
    start = ROOMY.barn.winter.start
    assert (start - now["Winter herd/3/calving"]).days % 365 == pytest.approx(9.5 * 365 / 12, abs=1)
    assert now[f"Lots/{LOTS + 3}/name"] is None, "as many free rows as ever"
