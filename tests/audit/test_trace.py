"""Derivations: every cell followed to what is typed and to sourced constants, in both editions."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from audit.spots import Spots

import hayfuncs
from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.locate import locate
from hayfuncs.audit.recompute import same
from hayfuncs.audit.trace import LONGEST, Step, Tracer
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.errors import HayError
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.reader import read


def tracer(path: Path) -> Tracer:
    book = read(path)
    return Tracer(Formulas(book), Labels(book))


def trace(path: Path, address: str) -> list[Step]:
    made = tracer(path)
    return made.trace(locate(made.book, address))


@pytest.mark.parametrize("edition", ["functions", "plain", "classic"])
def test_the_result_goes_down_to_inputs_and_sources(edition, files):
    spots = Spots(files[edition].read_bytes())
    at = spots.line("Ration", "Supplement, as fed")
    steps = trace(files[edition], at)
    assert steps[0].cell == at
    assert steps[0].unit == "lb as fed/day"
    cells = {s.cell for s in steps}
    typed = {s.cell for s in steps if s.kind == "input"}
    for needed in (
        spots.named("chosen_lot"), spots.cell("Lots", "Crude protein"), spots.cell("Herd", "Body weight, full"),
        spots.line("Assumptions", "Fiber a cow will eat in a day"),
    ):  # fmt: skip
        assert needed in typed, f"{needed} is not reached"
    assert spots.cell("Lots", "TDN") in cells
    said = " ".join(f"{s.label} {s.source}" for s in steps)
    assert "[published" in said
    assert "[from memory" in said or "weakest link: from memory" in said
    assert all(s.depth <= p.depth + 1 for p, s in itertools.pairwise(steps))
    assert steps[0].depth == 0
    assert sum(s.depth == 0 for s in steps) == 1


def test_arithmetic_stands_in_figures(files):
    spots = Spots(files["functions"].read_bytes())
    hay = next(s for s in trace(files["functions"], spots.line("Ration", "Hay gives")) if s.depth == 0)
    assert hay.text().endswith("13.7264 lb/day = 24.0385 lb DM/day x 57.1019 % DM")
    intake = trace(files["functions"], spots.cell("Match", "Hay eaten by the fiber rule"))
    worked = next(s for s in intake if s.label == "Dry matter intake")
    assert worked.arithmetic == "1,250 lb x 1.2 % of body weight / 62.4 % DM"
    tdn = trace(files["plain"], spots.cell("Lots", "TDN from ADF"))[0]
    assert tdn.arithmetic == "88.9 - 0.779 x 39.2 % DM"
    assert "TDN_FROM_ADF" in tdn.source
    assert "[published]" in tdn.source


def test_a_verdict_says_on_what_test_it_rests(files):
    spots = Spots(files["functions"].read_bytes())
    step = trace(files["functions"], spots.line("Checks", "Ration, pounds: TDN over need", "H"))[0]
    assert step.arithmetic.startswith("since ")
    assert ">=" in step.arithmetic


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_every_formula_cell_can_be_traced(edition, files):
    """No cell of the workbook brings the tracer down, and each tree ends within its bounds."""
    made = tracer(files[edition])
    cells = sorted(made.book.formulas)[:: 23 if edition == "functions" else 61]
    assert len(cells) > 60
    for at in cells:
        steps = made.trace(at)
        assert steps
        assert len(steps) <= LONGEST + 1
        assert (len(steps) > LONGEST) == steps[-1].label.startswith("The rest is left out after 1,500 lines"), at
        assert all(s.text() for s in steps)


def test_an_unknown_place_is_told_in_a_sentence(files):
    book = read(files["functions"])
    for address, words in (
        ("Nowhere!A1", "no sheet Nowhere"),
        ("Checks!rubbish", "is no cell"),
        ("Checks!", "names no cell of the sheet Checks"),
        ("B13", "does not say which sheet; give sheet and cell"),
        ("Checks!XFE1", "no column"),
        ("Checks!Z99", "is empty"),
    ):
        with pytest.raises(UserError, match=words):
            locate(book, address)


@pytest.mark.parametrize("name", [r.name for r in CATALOGUE.values() if r.longhand is not None and not r.variadic])
def test_the_working_of_each_function_ends_in_its_answer(name):
    """The longhand in figures, worked by the small engine, against the function itself."""
    import points

    from hayfuncs.formulas.explain import Desk, work

    record = CATALOGUE[name]
    tried = 0
    for values in points.good(record, 6):
        try:
            answer = getattr(hayfuncs, record.python_name)(*values)
        except HayError:
            continue
        if hasattr(answer, "shape") or any(isinstance(v, (list, tuple)) or hasattr(v, "shape") for v in values):
            continue
        done = work(record, list(values))
        assert done is not None
        assert Desk is not None
        assert same(done.result.value, float(answer) if isinstance(answer, (int, float)) else answer)
        tried += 1
    assert tried or any(arg.kind == "block" for arg in record.args.values())


def test_explain_in_python():
    text = hayfuncs.explain("AS_FED_WEIGHT", 24, 70)
    assert "34.2857 = 24 / (70 % as fed / 100)" in text
    assert "Texas A&M AgriLife Extension" in text
    assert "Evidence, weakest link: published" in text
    assert "outside 20 to 55" in hayfuncs.explain("hay.tdn_from_adf", 62, "digestible dry matter")
    with pytest.raises(HayError, match="dm_pct"):
        hayfuncs.explain("AS_FED_WEIGHT", 24, 170)
    with pytest.raises(HayError):
        hayfuncs.explain("NO_SUCH_FUNCTION", 1)
