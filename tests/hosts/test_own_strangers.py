"""Workbooks from elsewhere, with the functions put in and taken out again, compared part by part."""

from __future__ import annotations

from pathlib import Path

import formulon
import pytest
from hosts import officelib, strangers
from hosts.ownlib import ADF, PARTS, TDN, differing

from hayfuncs.hosts import engine
from hayfuncs.hosts.own_workbook.into import added, removed

FILES = strangers.found()
FEW = 30  # of the issue of this size; a machine with fewer says so
CALL = f'=HAY.TDN_FROM_ADF({ADF},"western alfalfa")'
FREE = 5000, 40  # a row and column, from 0, that none of them fills

pytestmark = pytest.mark.skipif(
    not FILES,
    reason=f"not run: no workbook from elsewhere on this machine (tests/hosts/strangers.py, {strangers.VARIABLE})",
)

each_file = pytest.mark.parametrize("path", FILES or [Path("none")], ids=lambda p: p.name)


@each_file
def test_nothing_else_moves_and_all_comes_back(path) -> None:
    before = path.read_bytes()
    for with_help in (False, True):
        done = added(path, before, [], with_help)
        changed = differing(before, done.data)
        if with_help:
            assert changed > set(PARTS)
            assert len(changed) == len(PARTS) + 1
        else:
            assert changed == {PARTS[0]}
        assert added(path, done.data, [], False).data == done.data
        assert removed(path, done.data).data == before


@each_file
def test_engines_compute_a_call_in_them(path) -> None:
    """An engine that cannot open the file as it was is not asked about it with the names either."""
    before = path.read_bytes()
    after = added(path, before, [], True).data
    row, col = FREE
    asked = 0
    try:
        formulon.Workbook.load(before).close()
    except formulon.FormulonError:
        with pytest.raises(formulon.FormulonError):
            formulon.Workbook.load(after)
    else:
        with formulon.Workbook.load(after) as book:
            book.set_formula(0, row, col, CALL)
            book.recalc()
            assert book.get_value(0, row, col).to_python() == pytest.approx(TDN, abs=1e-9)
        asked += 1
    try:
        engine.load(before)
    except Exception:  # an engine's own kinds
        with pytest.raises(Exception, match=r"."):
            engine.load(after)
    else:
        running = engine.load(after)
        sheet = running.sheet_names[0]
        running.set_formula(sheet, row + 1, col + 1, CALL)
        assert running.evaluate_cell(sheet, row + 1, col + 1) == pytest.approx(TDN, abs=1e-9)
        asked += 1
    if not asked:
        pytest.skip("not run: no engine here opens this file as it was")


@pytest.mark.libreoffice
@pytest.mark.timeout(600)
def test_the_office_with_the_extension_computes_a_call_in_them(tmp_path) -> None:
    from hosts.routes import office

    officelib.demand_office()
    wrong: list[str] = []
    with office(with_extension=True) as running:
        for path in FILES[:FEW]:
            made = tmp_path / f"NEW{path.suffix}"
            made.write_bytes(added(path, path.read_bytes(), [], True).data)
            opened = running.open(str(made))
            sheet = running.sheets(opened)[0]
            running.unprotect(opened, sheet)
            running.put(opened, sheet, "AO5001:AO5001", [[CALL.replace(",", ";")]])
            running.calculate(opened)  # one of them is set to be calculated by hand alone
            if running.read(opened, sheet, "AO5001:AO5001")[0][0] != pytest.approx(TDN, abs=1e-9):
                wrong.append(path.name)
            running.close(opened)
    assert not wrong
