"""A name is text, whatever it starts with: only what the layout makes a Formula or a Call is a formula."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace

import pytest
from where import Parts
from workbook.byhand import typed

from hayfuncs.workbook.build import EDITIONS, save
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import Formula
from hayfuncs.workbook.rebuild import rebuild

PROGRAM = "=cmd|' /C calc'!A0"
LINK = '=HYPERLINK("http://127.0.0.1/x","y")'
SIGNS = ("cmd|", "HYPERLINK", "127.0.0.1")
FORMULA = re.compile(r"<f[^>]*>([^<]*)</f>")


def renamed(farm):
    """The demo with names that a program would run, in every table that has names."""
    lots = (
        replace(farm.lots[0], name=PROGRAM, field=LINK, notes=LINK),
        replace(farm.lots[1], name="@SUM(1)"),
        *farm.lots[2:],
    )
    groups = (replace(farm.groups[0], name=LINK), replace(farm.groups[1], name="+1+1"), *farm.groups[2:])
    return replace(farm, lots=lots, groups=groups, choice=(PROGRAM, LINK, farm.choice[2]))


def formulas(path):
    with zipfile.ZipFile(path) as file:
        for part in file.namelist():
            if part.startswith("xl/worksheets/") and part.endswith(".xml"):
                for text in FORMULA.findall(file.read(part).decode()):
                    yield part, text


def alive(path):
    return [(part, text) for part, text in formulas(path) if any(sign in text for sign in SIGNS)]


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_name_is_a_formula_on_any_sheet(tmp_path, edition):
    path = tmp_path / "odd.xlsx"
    book, values = save(renamed(DEMO), path, edition)
    assert book.marks["solved"].plain_rows, "the plain rule's rows hold names as fixed values"
    assert sum(1 for _ in formulas(path)) > 5000
    assert alive(path) == []
    shown = [v for v in values.values() if isinstance(v, str) and PROGRAM in v]
    assert shown, "the name is shown where a formula looks it up"
    page = Parts(path)["Lots"]
    assert page["A8"].data_type == "s"
    assert page["A8"].quotePrefix, "a program that is made to read the cell anew still takes it for text"
    assert not page["A10"].quotePrefix


def test_a_name_typed_into_an_old_workbook_comes_over_as_text(old, tmp_path):
    book, path = old
    typed(
        book,
        path,
        {"Lots/1/name": PROGRAM, "Herd/1/name": LINK, "What to feed/lot": PROGRAM, "What to feed/group": LINK},
    )
    file = Parts(path)
    for sheet in ("Lots", "Herd"):
        file[sheet]["A8"].data_type = "s"  # as a program stores what was typed as text
    for cell in ("B5", "B6"):
        file["Ration"][cell].data_type = "s"
    file.save(path)
    rebuild(path, tmp_path / "new.xlsx")
    assert alive(tmp_path / "new.xlsx") == []
    assert Parts(tmp_path / "new.xlsx")["Lots"]["A8"].value == PROGRAM


def test_the_layout_puts_no_text_that_looks_like_a_formula(editions):
    """A formula that was not marked as one would be shown as text."""
    for book, _, _ in editions.values():
        bare = [
            (sheet.name, at, cell.content)
            for sheet in book.sheets
            for at, cell in sheet.cells.items()
            if isinstance(cell.content, str) and cell.content.startswith("=")
        ]
        assert bare == []


def test_a_formula_begins_with_its_sign():
    with pytest.raises(ValueError, match="not a formula"):
        Formula("A1+B1")


def test_a_formula_inside_a_text_is_refused():
    with pytest.raises(TypeError, match="not text"):
        f"{Formula('=A1')}&B1"
