"""The files as Excel will read them: nothing to repair, no #NAME?, the faces that are named."""

from __future__ import annotations

import io
import re
import zipfile

import pytest
from workbook.excelfile import Stored, faults

EDITIONS = ("functions", "plain", "classic")


@pytest.mark.parametrize("edition", EDITIONS)
def test_nothing_for_excel_to_repair_or_not_to_know(editions, edition):
    _, _, path = editions[edition]
    assert faults(Stored(path), "HAY_" if edition == "classic" else "") == {}


# a fault planted in the function edition: the rule that must find it, the part, what is put in place of what
PLANTED = {
    "an empty text without its kind": ("empty texts", r"xl/worksheets/sheet\d+\.xml", r' t="str"(><f[^>]*>[^<]*</f><v></v>)', r"\1"),
    "a theme's scheme": ("faces", "xl/styles.xml", r'(<name val="Arial"/><family val="2"/>)', r'\1<scheme val="minor"/>'),
    "a face that Windows lacks": ("faces", "xl/styles.xml", r'<name val="Courier New"/>', '<name val="Liberation Mono"/>'),
    "objects shut": ("objects shut", r"xl/worksheets/sheet1\.xml", r"<sheetProtection ", '<sheetProtection objects="1" '),
    "LET without its prefix": ("functions", "xl/workbook.xml", r"_xlfn\.LET\(", "LET("),
    "LAMBDA without its prefix": ("functions", "xl/workbook.xml", r"_xlfn\.LAMBDA\(", "LAMBDA("),
    "a step of LET without its prefix": ("names", "xl/workbook.xml", r"_xlfn\.LET\(_xlpm\.", "_xlfn.LET("),
    "a parameter without its prefix": ("names", "xl/workbook.xml", r"_xlpm\.adf_pct,100\*|IF\(COUNT\(_xlpm\.", "IF(COUNT("),
    "a newer function": ("functions", r"xl/worksheets/sheet\d+\.xml", r"<f>SUM\(", "<f>CONCAT("),
    "a name that is not defined": ("names", r"xl/worksheets/sheet\d+\.xml", r"<f>confidence_pct</f>", "<f>confidence_pcts</f>"),
    "a picture that is not there": ("package", r"xl/worksheets/_rels/sheet\d+\.xml\.rels", r"drawing1\.xml", "drawing999.xml"),
}  # fmt: skip


@pytest.mark.parametrize("planted", PLANTED)
def test_a_planted_fault_is_found(editions, planted):
    rule, part, old, new = PLANTED[planted]
    _, _, path = editions["functions"]
    stream = io.BytesIO()
    hits = 0
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(stream, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if re.fullmatch(part, name) and not hits:
                text, hits = re.subn(old, new, content.decode(), count=1)
                content = text.encode()
            target.writestr(name, content)
    assert hits == 1
    assert rule in faults(Stored(zipfile.ZipFile(stream)))


@pytest.mark.parametrize("edition", EDITIONS)
def test_only_the_classic_edition_keeps_its_values_on_opening(editions, edition):
    """Its calls need Python; the others are worked out anew by the program that opens them."""
    _, _, path = editions[edition]
    with zipfile.ZipFile(path) as box:
        settings = re.search(r"<calcPr [^>]*>", box.read("xl/workbook.xml").decode())[0]
    assert ("fullCalcOnLoad" in settings) is (edition != "classic")
    if edition == "classic":
        assert int(re.search(r'calcId="(\d+)"', settings)[1]) >= 191029
