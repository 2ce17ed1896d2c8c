"""What another program's save changes is said once and is no finding; what it hides is still found."""

from __future__ import annotations

import io
import re
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from audit import rawlib
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit import text_report
from hayfuncs.audit.run import audit


def above_note(path: Path) -> list[str]:
    return [f"{f.level} {f.rule} {f.cell}: {f.evidence[:160]}" for f in audit(path).findings if f.above_note]


def by_openpyxl(data: bytes, path: Path) -> Path:
    openpyxl.load_workbook(io.BytesIO(data)).save(path)
    return path


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_a_save_by_openpyxl_is_said_once(edition: str, small_files: dict[str, Path], tmp_path: Path) -> None:
    case = audit(by_openpyxl(small_files[edition].read_bytes(), tmp_path / "saved.xlsx"))
    assert [f.cell for f in case.findings if f.above_note] == []
    assert len(case.saved) == 1
    assert text_report.text(case).count("stored no value behind") == 1


def test_a_fault_under_missing_values_is_found_at_its_cell(small_files: dict[str, Path], tmp_path: Path) -> None:
    file = File(small_files["functions"].read_bytes())
    where = Spots(file.bytes()).cell("Lots", "TDN", 9)
    file.number(where, 71.5)
    path = by_openpyxl(file.bytes(), tmp_path / "saved.xlsx")
    assert [f.cell for f in audit(path).findings if f.above_note] == [where]


@pytest.mark.parametrize("kind", ["yes and no as 1 and 0", "errors behind our functions"])
def test_habits_of_an_office(kind: str, small_files: dict[str, Path], tmp_path: Path) -> None:
    file = File(small_files["plain" if kind.startswith("yes") else "functions"].read_bytes())
    for part in file.sheets.values():
        text = file.text(part)
        if kind.startswith("yes"):
            text = re.sub(r'(<c [^>]*?) t="b"([^>]*>)', r"\1\2", text)
            text = re.sub(r"\bTRUE\b(?=[,)]|</f>)", "TRUE()", text)
        else:
            text = re.sub(
                r'<c (r="\w+")((?: s="\d+")?)[^>]*>(<f[^>]*>(?:(?!</f>).)*HAY\.(?:(?!</f>).)*</f>)<v>[^<]*</v></c>',
                r'<c \1\2 t="e">\3<v>#NAME?</v></c>', text,
            )  # fmt: skip
        file.parts[part] = text.encode()
    path = tmp_path / "saved.xlsx"
    path.write_bytes(file.bytes())
    assert path.read_bytes() != small_files["functions"].read_bytes()
    assert above_note(path) == []
    assert len(audit(path).saved) == (0 if kind.startswith("yes") else 1)


def test_zeros_behind_all_formulas_are_a_program_that_does_not_calculate(tmp_path: Path) -> None:
    path = tmp_path / "zeros.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        for row in range(5):
            sheet.write(row, 0, row + 1)
            sheet.write_formula(row, 1, f"=A{row + 1}*2")
    assert above_note(path) == []
    assert "0 behind every formula" in audit(path).saved[0]


def test_one_zero_among_values_is_found(tmp_path: Path) -> None:
    rows = "".join(
        f'<row r="{i}"><c r="A{i}"><v>{i}</v></c><c r="B{i}"><f>A{i}*2</f><v>{0 if i == 3 else 2 * i}</v></c></row>'
        for i in range(1, 6)
    )
    path = tmp_path / "zero.xlsx"
    path.write_bytes(rawlib.small(sheet=rawlib.sheet(rows)))
    assert [(f.rule, f.cell) for f in audit(path).findings if f.above_note] == [("stored-value", "Hay!B3")]


def test_a_gap_of_the_engine_is_no_finding(tmp_path: Path) -> None:
    """Stored values of functions that the first engine lacks or reads otherwise; none is called wrong."""
    formulas = (("BAHTTEXT(1)", "x"), ('ENCODEURL("a b")', "a%20b"), ("INFO(1)", "3"), ('CUBEVALUE("a","b")', "2"), ('PHONETIC("a")', "a"))  # fmt: skip
    rows = "".join(
        f'<row r="{i}"><c r="B{i}" t="str"><f>{text.replace(chr(34), "&quot;")}</f><v>{value}</v></c></row>'
        for i, (text, value) in enumerate(formulas, 3)
    )
    path = tmp_path / "gaps.xlsx"
    path.write_bytes(rawlib.small(sheet=rawlib.sheet(rawlib.ROWS + rows)))
    case = audit(path)
    assert not [f for f in case.findings if f.rule in ("stored-value", "error-value", "function-value")]
