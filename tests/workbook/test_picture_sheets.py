"""Cow year and Feed cost as files: titles that are findings, one formula a column, stored values."""

from __future__ import annotations

import re
import zipfile

import pytest
from where import Parts

from hayfuncs.workbook.model import Call, Formula, place_of


def test_titles_are_the_findings_and_every_bar_has_its_name(editions):
    book, _, path = editions["functions"]
    with zipfile.ZipFile(path) as file:
        charts = [file.read(n).decode() for n in file.namelist() if n.startswith("xl/charts/chart")]
    marks = book.marks
    for name, wanted in (
        ("Cow year", [marks["cowyear"][k] for k in ("TDN", "CP")]),
        ("Feed cost", [marks["feedcost"][k] for k in ("banner", "TDN", "CP")]),
    ):
        sheet = book.by_name(name)
        said = [sheet.cells[p.row - 1, p.col].content.text for p in sheet.pictures]
        assert said == [f"={title}" for title in wanted]
    drawn = [c for c in charts if "Cow year" in c or "Which feed" in c]
    assert len(drawn) == 5
    assert all('<c:tickLblSkip val="1"/>' in c for c in drawn)
    assert all("pattFill" in c or "A pound of TDN" in c for c in drawn)  # the hatch that tells two bars apart


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_one_formula_a_column(editions, edition):
    book, _, _ = editions[edition]
    tables = [("Cow year", book.marks["cowyear"]["says"])]
    tables += [("Feed cost", book.marks["feedcost"][k]) for k in ("sorted", "can", "place")]
    for name, ref in tables:
        _, first, _, last, _ = place_of(ref)
        cells = book.by_name(name).cells
        for col in {c for r, c in cells if first <= r <= last}:
            shapes = set()
            for row in range(first, last + 1):
                content = cells[row, col].content
                text = content.formula() if isinstance(content, (Call, Formula)) else str(content)
                if text.startswith("="):
                    shapes.add(re.sub(r"(?<=[A-Z])(\d+)(?!\d)", lambda m, at=row: f"[{int(m.group(1)) - at}]", text))
            assert len(shapes) <= 1, (name, col, shapes)


def test_stored_values_are_in_the_file(editions):
    _, _, path = editions["plain"]
    file = Parts(path, data_only=True)
    assert file["Cow year"]["A5"].value.startswith("Heron Flat 1 is enough for")
    assert file["Feed cost"]["A5"].value.startswith("Cheapest within its limit")
