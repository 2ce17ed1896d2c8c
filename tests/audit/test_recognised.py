"""A workbook of ours is known again under other names, in other places and from another version; faults in it are found."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import building
import openpyxl
import pytest
from audit.damagelib import File
from audit.movedlib import renamed, rows_put_in
from audit.spots import Spots
from where import Where

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.run import audit
from hayfuncs.audit.text_report import coverage, recognised
from hayfuncs.spreadsheet.a1 import quoted
from hayfuncs.workbook import build, write
from hayfuncs.workbook.model import Book, Formula


def farm(edition: str = "functions") -> File:
    return File(building.built(building.SMALL, edition, build.FARM)[2].read_bytes())


def below_the_head_of(part: str) -> int:
    """The row of the file between the title of a part of workings and the headings of its table."""
    return building.built(building.SMALL, "functions", build.FARM)[0].places[part].down + 5


def audited(file: File, folder: Path) -> AuditContext:
    path = folder / "known.xlsx"
    path.write_bytes(file.bytes())
    return audit(path)


def above(case: AuditContext) -> list[str]:
    return [f"{f.cell} {f.rule}: {f.evidence[:200]}" for f in case.findings if f.above_note]


def said(case: AuditContext) -> str:
    return " ".join(f.evidence for f in case.findings if f.rule == "layout")


# what was done, the sheet on which a fault is then planted, and what the audit says of it
CHANGES: dict[str, tuple[Callable[[File], File], str, str]] = {
    "a sheet renamed": (lambda f: renamed(f, "Hay pile", "Pile of 2026"), "Pile of 2026", "is now called Pile of 2026"),
    "the first sheet renamed": (lambda f: renamed(f, "Start", "Read me"), "Herd", "is now called Read me"),
    "the sheet of checks renamed": (lambda f: renamed(f, "Checks", "Proofs"), "Proofs", "is now called Proofs"),
    "rows put in above a part": (lambda f: rows_put_in(f, "Hay pile", 57, 3), "Hay pile", "Winter need begins at"),
    "rows put in below a head": (
        lambda f: rows_put_in(f, "Workings", below_the_head_of("Match"), 2),
        "Workings",
        "2 rows were put into Match",
    ),
    "rows put in amid a part": (lambda f: rows_put_in(f, "Hay pile", 12, 1), "Hay pile", "a row was put into Hay pile"),
    "rows put in above all": (lambda f: rows_put_in(f, "Which hay", 1, 2), "Which hay", "Which hay begins at"),
}


def last_number(file: File, sheet: str) -> str:
    """The last cell of a sheet that holds an ordinary formula with a number behind it."""
    found = re.findall(
        r'<c r="([A-Z]+[0-9]+)"(?: s="[0-9]+")?><f>[^<]*</f><v>[0-9.]+</v>', file.text(file.part_of(sheet))
    )
    return f"{quoted(sheet)}!{found[-1]}"


@pytest.mark.parametrize("name", CHANGES)
def test_what_is_renamed_or_moved_is_compared_where_it_stands(name: str, tmp_path: Path) -> None:
    change, sheet, words = CHANGES[name]
    case = audited(change(farm()).recalculated(), tmp_path)
    assert above(case) == []
    assert case.expected is not None
    assert words in said(case)
    file = change(farm())
    where = last_number(file, sheet)
    file.set_formula(where, f"({file.formula(where)})*1.05")
    found = [f for f in audited(file.recalculated(), tmp_path).findings if f.above_note and f.rule != "failed-check"]
    assert {f.cell for f in found} == {where}


@pytest.fixture(scope="module")
def another_version(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of a version whose builder writes one column and one single line otherwise."""
    book, values, _ = building.built(building.SMALL, "functions", build.FARM)
    changed(book, values, "Match")
    start = book.by_name("Start")
    row = next(row for (row, col), cell in start.cells.items() if col == 0 and cell.content == "Version")
    start.cells[row, 1].content = str(start.cells[row, 1].content).replace("hayfuncs ", "hayfuncs 0.0.9+", 1)
    path = tmp_path_factory.mktemp("version") / "older.xlsx"
    write.save(book, path)
    return path


def changed(book: Book, values: write.Values, name: str) -> None:
    """The first column of numbers of a sheet, each of its formulas with a term more."""
    sheet = book.by_name(name)
    formulas = {at: cell for at, cell in sheet.cells.items() if isinstance(cell.content, Formula)}
    col = min(c for r, c in formulas if isinstance(values[name, r, c], float))
    for (_, c), cell in formulas.items():
        if c == col and isinstance(cell.content, Formula):
            cell.content = Formula(f"{cell.content.text}+0")


def test_another_versions_workbook_is_no_fault(another_version: Path) -> None:
    case = audit(another_version)
    assert above(case) == []
    assert "made by another version" in recognised(case)
    assert coverage(case)[0].startswith("Recognised: a workbook of hayfuncs 0.0.9")
    assert (case.by_marks or 0) > 4_000


@pytest.mark.parametrize("kind", ["a factor", "typed over", "a reference off", "saved by openpyxl"])
def test_a_fault_in_another_versions_workbook_is_found_at_its_cell(
    kind: str, another_version: Path, tmp_path: Path
) -> None:
    file = File(another_version.read_bytes())
    where = Spots(file.bytes()).line("Ration", "Cost a head")
    if kind == "typed over":
        file.number(where, 0.33)
    elif kind == "a reference off":
        formula = file.formula(where)
        digits = next(d for d in "123456789" if d in formula)
        file.set_formula(where, formula.replace(digits, str(int(digits) % 9 + 1), 1))
    else:
        file.set_formula(where, f"{file.formula(where)}*1.05")
    path = tmp_path / "fault.xlsx"
    path.write_bytes(file.recalculated().bytes())
    if kind == "saved by openpyxl":
        openpyxl.load_workbook(path).save(path)
    follows = {"failed-check", "error-value"}  # a cost that says "not entered" makes an error where it is multiplied
    found = {f.cell for f in audit(path).findings if f.above_note and f.rule not in follows}
    assert found == {where}


def test_a_workbook_of_nobody_says_so_first(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["plain", 1])
    book.save(tmp_path / "plain.xlsx")
    assert coverage(audit(tmp_path / "plain.xlsx"))[0].startswith("Recognised: nothing of hayfuncs")


@pytest.mark.libreoffice
def test_the_marks_stay_when_the_office_renames_moves_and_saves(office: Any, tmp_path: Path) -> None:
    path = tmp_path / "farm.xlsx"
    path.write_bytes(farm("plain").bytes())
    doc = office.open(str(path))
    for sheet in ("Hay pile", "Which hay"):
        office.unprotect(doc, sheet)
    office.rename(doc, "Hay pile", "Pile of 2026")
    office.insert_rows(doc, "Which hay", Where(path).row("Lot picture", 1) - 2, 2)  # in the gap above that part
    saved = tmp_path / "saved.xlsx"
    office.save(doc, str(saved), "Calc MS Excel 2007 XML")
    office.close(doc)
    case = audit(saved)
    assert case.expected is not None
    assert above(case) == [f for f in above(case) if " unprotected:" in f]
    assert "is now called Pile of 2026" in said(case)
    assert "Lot picture begins at" in said(case)
