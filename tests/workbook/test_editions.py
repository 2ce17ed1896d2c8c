"""The editions of the demo workbook: every value there, equal everywhere, and the file well made."""

from __future__ import annotations

import math
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import building
import formulon
import pytest
from where import Parts

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook import write
from hayfuncs.workbook.model import Call, Formula, place_of
from hayfuncs.workbook.stack import stacked

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
EDITIONS = ("functions", "plain", "classic")


def close(a: object, b: object) -> bool:
    if isinstance(a, (int, float)) and isinstance(b, (int, float)):
        return math.isclose(a, b, rel_tol=1e-9, abs_tol=1e-9)
    return a == b


def cells(path: Path):
    """(sheet file, address, formula or None, stored value) of every cell in the file."""
    with zipfile.ZipFile(path) as file:
        for name in sorted(n for n in file.namelist() if n.startswith("xl/worksheets/sheet")):
            for cell in ElementTree.fromstring(file.read(name)).iter(f"{MAIN}c"):
                formula, value = cell.find(f"{MAIN}f"), cell.find(f"{MAIN}v")
                yield name, cell.get("r"), formula, value, cell.get("t")


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_cell_is_an_error_or_empty(editions, edition):
    book, values, path = editions[edition]
    assert len(values) > 900
    assert write.faults(values) == []
    formulas = [(n, r, v, t) for n, r, f, v, t in cells(path) if f is not None]
    assert len(formulas) == len(values) + len(book.tabs)  # the word over all checks stands on every tab
    hollow = [x for x in formulas if x[2] is None or x[2].text is None]
    assert len(hollow) == sum(1 for v in values.values() if v == "")  # an empty text, not a missing value
    assert [x for x in formulas if x[3] == "e"] == []


def test_editions_agree_cell_by_cell(editions):
    _, functions, _ = editions["functions"]
    for other in ("plain", "classic"):
        _, values, _ = editions[other]
        assert set(functions) <= set(values)
        wrong = {
            k: (v, values[k])
            for k, v in functions.items()
            if not close(v, values[k]) and k[0] not in ("Start", "Contents")
        }
        assert wrong == {}


@pytest.mark.parametrize("plan", ["editions", "whole_bales"])
def test_plain_edition_has_no_function_of_ours_and_only_old_functions(request, plan):
    _, _, path = request.getfixturevalue(plan)["plain"]
    old = {
        "ABS",
        "AND",
        "AVERAGE",
        "CHAR",
        "CHOOSE",
        "COLUMNS",
        "COUNT",
        "COUNTA",
        "COUNTBLANK",
        "COUNTIF",
        "COUNTIFS",
        "LARGE",
        "LEFT",
        "NOT",
        "DATE",
        "DAY",
        "EXP",
        "FIND",
        "IF",
        "INDEX",
        "INT",
        "ISERROR",
        "ISLOGICAL",
        "ISNUMBER",
        "ISTEXT",
        "LEN",
        "LN",
        "MATCH",
        "MAX",
        "MID",
        "MIN",
        "MONTH",
        "N",
        "NA",
        "NORMSINV",
        "OR",
        "PI",
        "RANK",
        "ROUND",
        "ROUNDUP",
        "ROWS",
        "SEARCH",
        "SIGN",
        "SMALL",
        "SQRT",
        "SUBSTITUTE",
        "SUM",
        "SUMIF",
        "SUMIFS",
        "SUMPRODUCT",
        "TEXT",
        "TINV",
        "TRIM",
        "YEAR",
    }
    used: set[str] = set()
    for _, where, formula, _, _ in cells(path):
        if formula is not None:
            text = re.sub(r'"[^"]*"', "", formula.text or "")
            used |= set(re.findall(r"([A-Z][A-Z0-9_.]*)\(", text))
            assert "HAY" not in text, where
            assert len(formula.text or "") < 1500, where
    assert used <= old


@pytest.mark.parametrize("plan", ["amounts of any kind, the small farm", "whole_bales"])
@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_another_engine_gets_the_stored_values(request, plan, edition):
    """An engine that knows nothing of hayfuncs: LAMBDA names in one edition, ordinary formulas in the other."""
    small = plan != "whole_bales"
    book, values, path = building.built(building.SMALL, edition) if small else request.getfixturevalue(plan)[edition]
    running = formulon.Workbook.load(path.read_bytes())
    running.recalc()
    wrong = {}
    order = [tab.name for tab in book.tabs]
    for (sheet, row, col), stored in values.items():
        tab, at, _ = book.at(sheet, row, col)
        got = running.get_value(order.index(tab), at, col)
        found = {formulon.ValueKind.NUMBER: got.number, formulon.ValueKind.BOOL: got.boolean}.get(got.kind, got.text)
        if got.kind == formulon.ValueKind.ERROR or not close(found, stored):
            wrong[sheet, row, col] = (stored, got)
    assert wrong == {}


def test_every_call_is_one_call_in_its_cell(editions):
    book, _, _ = editions["functions"]
    calls = [(s.name, k, c.content) for s in book.sheets for k, c in s.cells.items() if isinstance(c.content, Call)]
    assert len(calls) > 200
    for _, _, content in calls:
        assert len(content.args) == len(CATALOGUE[content.name].args)
    for sheet in book.sheets:
        for cell in sheet.cells.values():
            if isinstance(cell.content, Formula):
                assert "HAY." not in cell.content.text


def test_inputs_are_unlocked_validated_and_styled_and_nothing_else_is(editions):
    book, _, path = editions["functions"]
    file = Parts(path)
    for sheet in stacked(book).sheets:
        page = file.book[sheet.name]
        assert page.protection.sheet
        assert not page.protection.password
        validated = {c for dv in page.data_validations.dataValidation for r in dv.sqref.ranges for c in r.cells}
        messages = {c: dv for dv in page.data_validations.dataValidation for r in dv.sqref.ranges for c in r.cells}
        for (row, col), cell in sheet.cells.items():
            where = (row + 1, col + 1)
            shown = page.cell(*where)
            if cell.entry is not None:
                assert where in validated, (sheet.name, where)
                assert messages[where].prompt, (sheet.name, where)
                assert messages[where].error, (sheet.name, where)
                assert not shown.protection.locked
                assert shown.fill.fgColor.rgb == "FFFFF6D8"
            else:
                assert where not in validated
                assert shown.protection.locked
                assert not shown.protection.hidden
        assert page.sheet_state == "visible"
        assert not any(d.hidden for d in page.row_dimensions.values())
        assert not any(d.hidden for d in page.column_dimensions.values())
        assert not page.merged_cells.ranges


def test_pictures_have_words_and_titles(editions):
    _, _, path = editions["functions"]
    with zipfile.ZipFile(path) as file:
        drawings = [file.read(n).decode() for n in file.namelist() if n.startswith("xl/drawings/drawing")]
        charts = [file.read(n).decode() for n in file.namelist() if n.startswith("xl/charts/chart")]
    described = re.findall(r'descr="([^"]+)"', "".join(drawings))
    assert len(described) == len(charts) >= 2
    assert all(len(text) > 60 for text in described)


def test_a_finding_stands_in_the_cell_above_its_picture_and_no_charts_own_title_can_grow_old(editions):
    """LibreOffice keeps the words that a chart's title had when it was saved, whatever its cell says now."""
    book, _, path = editions["functions"]
    file = Parts(path)
    with zipfile.ZipFile(path) as parts:
        charts = [parts.read(n).decode() for n in parts.namelist() if n.startswith("xl/charts/chart")]
    own = {ref for chart in charts for ref in re.findall(r"<c:title><c:tx><c:strRef><c:f>([^<]+)</c:f>", chart)}
    assert len(own) == 2  # the hall's
    for ref in own:
        name, row, col, _, _ = place_of(ref)
        assert not str(file.book[name].cell(row + 1, col + 1).value).startswith("=")
    above = 0
    for sheet in stacked(book).sheets:
        for picture in sheet.pictures:
            if not picture.bare:
                said = sheet.cells[picture.row - 1, picture.col]
                assert said.style == "picture_title", sheet.name
                assert isinstance(said.content, Formula), sheet.name
                above += 1
    assert above == len(charts) - 2


def test_one_formula_a_column(editions):
    """Down a table's column the formula is the same once row numbers are taken out."""
    for edition in ("functions", "plain"):
        book, _, _ = editions[edition]
        for name in (
            "Lots",
            "Herd",
            "Match",
            "Which hay",
            "Close calls",
            "Hay margins",
            "Feed margins",
            "Register",
            "Bench",
        ):
            sheet = book.by_name(name)
            for col in range(sheet.last_col + 1):
                shapes = set()
                for (row, c), cell in sheet.cells.items():
                    content = cell.content.formula() if isinstance(cell.content, (Call, Formula)) else cell.content
                    if (
                        c == col
                        and row >= 7
                        and isinstance(content, str)
                        and content.startswith("=")
                        and sheet.cells.get((row, 0))
                    ):
                        shapes.add(re.sub(rf"(?<=[A-Z]){row + 1}(?!\d)", "#", content))
                if name == "Herd":
                    shapes = {s for s in shapes if "ROWS(" not in s}
                assert len(shapes) <= 1, (edition, name, col, shapes)


def test_typed_text_is_never_a_formula(tmp_path):
    from dataclasses import replace

    from hayfuncs.workbook.build import save
    from hayfuncs.workbook.farm import DEMO

    lots = (
        replace(DEMO.lots[0], name='=HYPERLINK("http://x","y")', field="+1+1"),
        replace(DEMO.lots[1], name="@SUM(1)"),
        *DEMO.lots[2:],
    )
    path = tmp_path / "odd.xlsx"
    save(replace(DEMO, lots=lots, choice=("@SUM(1)", "", "")), path)
    page = Parts(path)["Lots"]
    assert page["A8"].data_type == "s"
    assert page["A8"].value.startswith("=HYPERLINK")
    assert page["B8"].data_type == "s"


def test_the_same_farm_makes_the_same_bytes(tmp_path):
    from hayfuncs.workbook.build import save
    from hayfuncs.workbook.farm import DEMO

    save(DEMO, tmp_path / "a.xlsx")
    save(DEMO, tmp_path / "b.xlsx")
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
