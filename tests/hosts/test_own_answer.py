"""The calls of a workbook worked out and stored: those cells, what follows from them, and no other byte."""

from __future__ import annotations

import io
import re
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hosts import ownlib
from hosts.ownlib import TDN, differing, part, plain, repacked
from typer.testing import CliRunner

from hayfuncs.cli import app
from hayfuncs.contract.files import UserError
from hayfuncs.hosts.own_workbook.answer import answered
from hayfuncs.hosts.own_workbook.into import added

HERE = Path("OWN.xlsx")
SHEET = "xl/worksheets/sheet1.xml"
CHAIN = "xl/calcChain.xml"


def built(cells: dict[str, object], arrays: dict[str, str] | None = None, names: dict[str, str] | None = None) -> bytes:
    """A workbook of one sheet, Book; formulas carry a stored 0, as other writers leave them."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    sheet = book.add_worksheet("Book")
    for where, text in (arrays or {}).items():
        sheet.write_array_formula(where, text)
    for at, content in cells.items():
        sheet.write(at, content)
    for name, text in (names or {}).items():
        book.define_name(name, text)
    book.close()
    return stream.getvalue()


def shown(data: bytes, formulas: bool = False) -> dict[str, object]:
    sheet = openpyxl.load_workbook(io.BytesIO(data), data_only=not formulas).worksheets[0]
    return {cell.coordinate: cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None}


def cells(data: bytes) -> dict[bytes, bytes]:
    """Each cell of the first sheet as it is written."""
    return {m[1]: m[0] for m in re.finditer(rb'<c r="([A-Z]+\d+)".*?(?:</c>|/>)', part(data, SHEET))}


def test_calls_and_what_follows_are_stored() -> None:
    before = plain()
    done = answered(HERE, before)
    assert (done.calls, done.followers, done.errors, done.left) == (2, 2, [], [])
    assert differing(before, done.data) == {SHEET, SHEET.replace("1", "2")}
    found = shown(done.data)
    assert found["A2"] == pytest.approx(TDN, abs=1e-9)
    assert found["A3"] == pytest.approx(2 * TDN, abs=1e-9)
    assert shown(done.data, formulas=True) == shown(before, formulas=True)
    old, new = cells(before), cells(done.data)
    assert {at for at in old if old[at] != new[at]} == {b"A2", b"A3"}


def test_a_stored_value_of_another_cell_is_taken_as_it_stands() -> None:
    """A4 says 61, whatever its formula would give today; a call that reads it works with 61."""
    done = answered(HERE, built({"A1": 30.5, "A4": "=A1*2", "B1": '=HAY.TDN_FROM_ADF(A4,"western alfalfa")'}))
    data = repacked(done.data, {SHEET: part(done.data, SHEET).replace(b"<f>A1*2</f><v>0</v>", b"<f>A1*2</f><v>40</v>")})
    assert shown(answered(HERE, data).data)["B1"] == pytest.approx(82.38 - 0.7515 * 40, abs=1e-9)


def test_names_texts_and_arrays() -> None:
    done = answered(
        HERE,
        built(
            {"A1": 30.5, "A2": 40, "B1": '=HAY.NITRATE_CAUTION(2500,1,"clemson")', "C1": '=IF(B1="","no","yes")',
             "D1": '=HAY.TDN_FROM_ADF(fiber,"western alfalfa")'},
            {"E1:E2": '{=HAY.TDN_FROM_ADF(A1:A2,"western alfalfa")}'},
            {"fiber": "=Book!$A$2"},
        ),
    )  # fmt: skip
    found = shown(done.data)
    assert "veterinarian" in str(found["B1"])
    assert found["C1"] == "yes"
    assert found["D1"] == found["E2"] == pytest.approx(82.38 - 0.7515 * 40, abs=1e-9)
    assert found["E1"] == pytest.approx(TDN, abs=1e-9)
    assert done.calls == 3


@pytest.mark.parametrize("with_names", [False, True])
def test_values_take_the_place_of_the_calls(with_names: bool) -> None:
    before = plain(call='=HAY.STACK_HEAT_CAUTION(150)&" <now>"')
    before = added(HERE, before, [], False).data if with_names else before
    chain = b'<?xml version="1.0"?><calcChain xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><c r="A2" i="1"/></calcChain>'
    types = part(before, "[Content_Types].xml").replace(
        b"</Types>",
        b'<Override PartName="/xl/calcChain.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml"/></Types>',
    )
    rels = "xl/_rels/workbook.xml.rels"
    links = part(before, rels).replace(
        b"</Relationships>",
        b'<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/calcChain" Target="calcChain.xml"/></Relationships>',
    )
    chained = repacked(before, {CHAIN: chain, "[Content_Types].xml": types, rels: links})
    kept = answered(HERE, chained)
    assert differing(chained, kept.data) == {SHEET, SHEET.replace("1", "2")}
    bare = answered(HERE, chained, as_values=True)
    assert CHAIN in differing(chained, bare.data)
    assert part(bare.data, rels) == part(before, rels)
    assert part(bare.data, "[Content_Types].xml") == part(before, "[Content_Types].xml")
    formulas = shown(bare.data, formulas=True)
    assert str(formulas["A2"]).endswith("local code decides how hay is stored. <now>")
    assert formulas["A3"] == "=A2*2"


def test_what_the_engine_does_not_know_is_left_and_said() -> None:
    data = built(
        {"A1": 30.5, "B1": '=HAY.TDN_FROM_ADF(WEBSERVICE("x"),"western alfalfa")', "B2": "=B1+1", "B3": "=HAY.DRY_WEIGHT(2000,87)",
         "B4": "=HAY.DRY_WEIGHT(SUM(Lots[Tons]),87)", "B5": "=HAY.DRY_WEIGHT([1]Other!A1,87)"}
    )  # fmt: skip
    done = answered(HERE, data)
    assert done.calls == 1
    assert [text.partition(":")[0] for text in done.left] == ["Book!B1", "Book!B2", "Book!B4", "Book!B5"]
    old, new = cells(data), cells(done.data)
    assert {at for at in old if old[at] != new[at]} == {b"B3"}
    assert shown(done.data)["B3"] == 1740  # 2,000 lb as fed at 87 % dry matter
    with pytest.raises(UserError, match=r"the call in Book!B\d cannot be worked out here"):
        answered(HERE, data, as_values=True)


def test_an_error_is_stored_as_an_error() -> None:
    done = answered(HERE, built({"B1": "=HAY.DRY_WEIGHT(2000,140)", "B2": "=HAY.DRY_WEIGHT(A9,87)"}))
    assert done.errors == ["Book!B1: #NUM!", "Book!B2: #VALUE!"]
    assert shown(done.data)["B1"] == "#NUM!"


def test_a_workbook_without_calls_is_refused() -> None:
    with pytest.raises(UserError, match="calls none of the functions"):
        answered(HERE, built({"A1": 1, "A2": "=A1*2"}))


def test_as_it_is_typed(tmp_path: Path) -> None:
    own, new = ownlib.save(tmp_path, plain()), tmp_path / "NEW.xlsx"
    done = CliRunner().invoke(app, ["answer", str(own), "--out", str(new)])
    assert done.exit_code == 0
    assert done.output == f"{new}: 2 calls worked out and 2 formulas that follow from them.\n"
    bad = ownlib.save(tmp_path, built({"B1": "=HAY.DRY_WEIGHT(2000,140)"}), "BAD.xlsx")
    done = CliRunner().invoke(app, ["answer", str(bad), "--out", str(new), "--force"])
    assert done.exit_code == 1
    assert "These calls give an error:\n  Book!B1: #NUM!" in done.output
    again = CliRunner().invoke(app, ["answer", str(own), "--out", str(new)])
    assert isinstance(again.exception, UserError)


def test_an_array_over_the_whole_grid_is_left() -> None:
    data = built({"A1": 30.5, "B1": "=HAY.DRY_WEIGHT(2000,87)"}, {"D1:D2": "{=HAY.DRY_WEIGHT(A1:A2,87)}"})
    wide = repacked(data, {SHEET: part(data, SHEET).replace(b'ref="D1:D2"', b'ref="D1:XFD1048576"')})
    done = answered(HERE, wide)
    assert done.calls == 1
    assert done.left[0].startswith("Book!D1: its array of D1:XFD1048576 is larger")
