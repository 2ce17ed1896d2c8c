"""Two workbooks compared, and the inputs moved."""

from __future__ import annotations

from pathlib import Path

import pytest
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit import sensitivity
from hayfuncs.audit.against import compare, text
from hayfuncs.audit.run import audit
from hayfuncs.contract.files import UserError


@pytest.fixture(scope="module")
def files(small_files: dict[str, Path]) -> dict[str, Path]:
    """The small farm's: every input of it is tried, and every change of one held against the old file."""
    return small_files


@pytest.fixture(scope="module")
def spots(files: dict[str, Path]) -> Spots:
    return Spots(files["functions"].read_bytes())


def changed(files, tmp_path, *edits):
    file = File(files["functions"].read_bytes())
    for edit in edits:
        edit(file)
    path = tmp_path / "new.xlsx"
    path.write_bytes(file.recalculated().bytes())
    return path


def test_an_unchanged_copy_has_no_change(files, tmp_path):
    path = tmp_path / "copy.xlsx"
    path.write_bytes(files["functions"].read_bytes())
    made = compare(path, files["functions"])
    assert made.differences == []
    assert not made.beyond_inputs
    assert "Nothing changed." in text(made)
    with pytest.raises(UserError, match="same file"):
        compare(path, path)


def test_inputs_are_kept_apart_from_formulas_and_each_has_its_effect(files, spots, tmp_path):
    price = spots.cell("Feeds", "Price", 9)
    unused = spots.cell("Lots", "Crude protein", 12)
    cost = spots.line("Ration", "Cost a head")
    tdn = spots.column("Lots", "TDN")
    last = spots.last("Lots")

    def raise_tdn(f):
        for row in range(8, last + 1):
            f.set_formula(f"Lots!{tdn}{row}", f.formula(f"Lots!{tdn}{row}") + "+1")

    path = changed(files, tmp_path, lambda f: f.number(price, 250.0), lambda f: f.number(unused, 13.3), raise_tdn)
    made = compare(path, files["functions"])
    assert {d.where for d in made.of_kind("input")} == {price, unused}
    assert [d.where for d in made.of_kind("formula")] == [f"Lots!{tdn}8:{tdn}{last}"]
    assert made.beyond_inputs
    by_place = {d.where: d for d in made.differences}
    assert f"({cost})" in by_place[price].effect
    assert by_place[unused].effect == "moves no headline number with the old inputs"
    rate = spots.line("Ration", "Supplement, as fed")
    assert f"({rate})" in by_place[f"Lots!{tdn}8:{tdn}{last}"].effect
    before, after = next((old, new) for cell, _, old, new, _ in made.headlines if cell == cost)
    assert before != after


def test_names_definitions_and_texts_are_told(files, spots, tmp_path):
    label = spots.line("Ration", "Short", "A")

    def edit(f):
        f.sub("xl/workbook.xml", "0.7515", "0.7514")
        f.words(label, "Lacking")

    made = compare(changed(files, tmp_path, edit), files["functions"])
    assert "HAY.TDN_FROM_ADF" in {d.where for d in made.of_kind("definition")}
    assert [(d.where, d.old, d.new) for d in made.of_kind("text")] == [(label, '"Short"', '"Lacking"')]


def test_sensitivity_moves_what_the_answer_rests_on_and_names_what_it_does_not(files, spots):
    moved = []
    case = audit(files["functions"], after=lambda c, engine: moved.append(sensitivity.work(c, engine)))
    made = moved[0]
    by_cell: dict[str, list] = {}
    for m in made.moves:
        by_cell.setdefault(case.address(m.at), []).append(m)
    price = by_cell[spots.cell("Feeds", "Price", 9)]
    cost = case.heads.index(case.book.at(spots.tab("Ration"), *row_col(spots.line("Ration", "Cost a head"))))
    for m in price:  # cost is price x rate: 10 % of the one is 10 % of the other, and nothing else moves
        assert m.answers[cost] / made.base[cost] == pytest.approx(m.tried / m.was, rel=1e-12)
    assert {round(m.tried / m.was, 3) for m in price} == {0.9, 1.1}
    assert spots.line("Assumptions", "Fiber a cow will eat in a day") in by_cell
    still = {case.address(at) for at in made.still}
    assert spots.cell("Lots", "Crude protein", 12) in still  # a lot that is neither chosen nor planned, for its nitrate
    # every lot of the demo has its fiber's digestibility measured, so no line by ADF is asked
    assert spots.line("Assumptions", "TDN equation for grass hay") in still
    words = {
        m.tried for at, ms in by_cell.items() if at.startswith("Assumptions!") for m in ms if isinstance(m.tried, str)
    }
    assert words, "a word is tried for every other word of its list"
    assert all(a.largest >= b.largest for a, b in zip(made.moves, made.moves[1:], strict=False))


def row_col(address):
    from hayfuncs.spreadsheet.a1 import cell, split_address

    return cell(split_address(address)[1])
