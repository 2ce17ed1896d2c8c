"""What runs a program, fetches or opens something outside is grave, wherever it stands; nothing is ever run."""

from __future__ import annotations

from pathlib import Path

import pytest
from audit import rawlib

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.rules.outward import reaches
from hayfuncs.audit.run import audit
from hayfuncs.spreadsheet.parser import tree, walk
from hayfuncs.spreadsheet.tokens import Malformed

GRAVE = (
    "cmd|' /C calc'!A0",
    "1+cmd|'/c calc.exe'!'A0'",
    "'C:\\x.exe'|'topic'!item",
    'DDE("soffice","x.ods","A1")',
    '_xlfn.WEBSERVICE("http://127.0.0.1/")',
    'IF(A1>0,_xlfn.WEBSERVICE("http://127.0.0.1/"&A1),"")',
    'RTD("prog.id","","x")',
    'CALL("kernel32","WinExec","JCJ","calc",0)',
    'REGISTER.ID("kernel32","WinExec")',
    '_xlfn.IMAGE("http://127.0.0.1/x.png")',
    'HYPERLINK("http://127.0.0.1/?"&A1,"look here")',
    'HYPERLINK("file:///C:/x.exe","y")',
    'HYPERLINK("\\\\host\\share","y")',
    "HYPERLINK(A1)",
)  # fmt: skip
INSIDE = (
    'HYPERLINK("#Lots!A1","to Lots")',
    'HYPERLINK("#"&"Lots!A1")',
    'IF(A1="cmd|x!A0",1,0)',
    "SUM(A1:B2)",
    'TEXT(A1,"0|0!")',
)


def parsed(formula: str):
    try:
        return list(walk(tree(formula)))
    except Malformed:
        return []


@pytest.mark.parametrize("formula", GRAVE)
def test_a_formula_that_leaves_the_workbook_is_high(formula: str, tmp_path: Path) -> None:
    assert reaches(formula, parsed(formula))
    case = made(tmp_path, formula)
    found = [f for f in case.findings if f.rule == "outward"]
    assert [(f.level, f.cell) for f in found] == [("high", "Hay!C1")], formula
    if not formula.startswith("HYPERLINK"):  # whose value is its own words
        assert case.recomputed.values.get(found[0].at) is None, "it was not worked out"


@pytest.mark.parametrize("formula", INSIDE)
def test_a_formula_that_stays_inside_is_not(formula: str) -> None:
    assert reaches(formula, parsed(formula)) == ""


def made(tmp_path: Path, formula: str, **more: str | bytes) -> AuditContext:
    quoted = formula.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    row = f'<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1"><v>40</v></c><c r="C1" t="str"><f>{quoted}</f><v>x</v></c></row>'
    path = tmp_path / "made.xlsx"
    path.write_bytes(rawlib.small(sheet=rawlib.sheet(row), **more))
    return audit(path)


def test_a_name_that_leaves_the_workbook_is_high(tmp_path: Path) -> None:
    names = "<definedNames><definedName name=\"price\">cmd|' /C calc'!A0</definedName></definedNames>"
    case = made(tmp_path, "B1*price", workbook=rawlib.workbook(names))
    assert [(f.level, f.cell) for f in case.findings if f.rule == "outward"] == [("high", "price")]


@pytest.mark.parametrize(
    ("link", "says"), [('<ddeLink ddeService="cmd" ddeTopic="/C calc"/>', "'cmd'"), ("<oleLink/>", "another program")]
)
def test_a_link_that_starts_a_program_is_high(tmp_path: Path, link: str, says: str) -> None:
    parts = rawlib.parts() | {
        "xl/_rels/workbook.xml.rels": rawlib.relations(
            ("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("externalLink", "externalLinks/externalLink1.xml")
        ),
        "xl/externalLinks/externalLink1.xml": f'<externalLink xmlns="{rawlib.MAIN}">{link}</externalLink>',
    }  # fmt: skip
    path = tmp_path / "linked.xlsx"
    path.write_bytes(rawlib.packed(parts))
    found = [f for f in audit(path).findings if f.rule == "outward"]
    assert [f.level for f in found] == ["high"]
    assert says in found[0].evidence


@pytest.mark.parametrize(
    ("target", "rule", "level"),
    [
        ("https://127.0.0.1/page", "external", "note"),
        ("file:///C:/x.exe", "outward", "high"),
        ("ms-word:x://y", "outward", "high"),
    ],
)
def test_links_of_cells(tmp_path: Path, target: str, rule: str, level: str) -> None:
    parts = rawlib.parts() | {"xl/worksheets/_rels/sheet1.xml.rels": rawlib.relations(("hyperlink", target))}
    path = tmp_path / "linked.xlsx"
    path.write_bytes(rawlib.packed(parts))
    found = [f for f in audit(path).findings if f.rule in ("external", "outward")]
    assert [(f.rule, f.level) for f in found] == [(rule, level)]
