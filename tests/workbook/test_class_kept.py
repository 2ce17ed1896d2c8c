"""A farm with every kind of group is saved, and comes over whole when its workbook is renewed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workbook.byhand import typed
from workbook.test_class_plan import GROUPS

from hayfuncs.contract.files import UserError
from hayfuncs.workbook import build, write
from hayfuncs.workbook import rebuild as making
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of


@pytest.fixture(scope="module")
def saved(tmp_path_factory):
    path = tmp_path_factory.mktemp("classes") / "FARM.xlsx"
    farm = replace(DEMO, groups=GROUPS, choice=("Heron Flat 1", GROUPS[5].name, "corn gluten feed"))
    return *build.save(farm, path, kind=build.FARM), path


def test_a_rebuild_keeps_class_gain_and_condition(saved, tmp_path):
    book, values, path = saved
    done = making.rebuild(path, tmp_path / "new.xlsx")
    assert write.input_values(done.book) == write.input_values(book)
    sheet, row, col, last, _ = place_of(book.marks["herd"]["need_tdn"])
    for at in range(row, last + 1):
        assert done.values[sheet, at, col] == pytest.approx(values[sheet, at, col])
    assert done.left_out() == []


def test_calves_without_a_gain_are_refused_with_the_cell(saved, tmp_path):
    book, _, path = saved
    old = tmp_path / "old.xlsx"
    old.write_bytes(path.read_bytes())
    typed(book, old, {"Herd/6/gain_wanted_lb": None, "Herd/3/grown_weight_lb": None, "Herd/2/peak_milk_lb": None})
    with pytest.raises(UserError) as error:
        making.rebuild(old, tmp_path / "new.xlsx")
    for words in ("Gain wanted", "Weight when grown", "Milk at peak; of young cows the grown cows'"):
        assert f"({words}) is empty, and a value is needed" in str(error.value)
    assert str(error.value).count("is empty") == 3
