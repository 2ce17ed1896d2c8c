"""The report workbook: whole, without a formula, and clean under the same audit."""

from __future__ import annotations

import openpyxl
import pytest
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit import sensitivity
from hayfuncs.audit.report import write
from hayfuncs.audit.run import audit
from hayfuncs.contract.files import UserError


@pytest.fixture(scope="module")
def made(small_files, tmp_path_factory):
    """A damaged workbook (the small farm's: the report tries every input of it), its audit and its report."""
    folder = tmp_path_factory.mktemp("report")
    file = File(small_files["functions"].read_bytes())
    spots = Spots(small_files["functions"].read_bytes())
    where = spots.cell("Lots", "TDN", 9)
    file.number(where, 61.5)
    path = folder / "damaged.xlsx"
    path.write_bytes(file.bytes())
    moved = []
    case = audit(path, after=lambda c, engine: moved.append(sensitivity.work(c, engine)))
    out = folder / "report.xlsx"
    write.report(case, out, moved[0])
    return case, out, where, openpyxl.load_workbook(out)


def test_it_passes_the_same_audit(made):
    _, out, _, _ = made
    case = audit(out)
    assert not case.book.formulas
    assert [f"{f.rule} {f.cell} {f.evidence}" for f in case.findings if f.above_note] == []


def test_it_has_its_sheets_and_each_says_what_it_is(made):
    case, _, _, book = made
    names = book.sheetnames
    assert names[:4] == ["Summary", "Findings", "Derivations", "Sensitivity"]
    assert names[-3:] == ["Blocks", "Cells", "Names"]
    assert sum(name.startswith("Map ") for name in names) == len(case.book.sheets)
    for sheet in book:
        assert sheet["A1"].value
        assert sheet["A2"].value
        assert sheet["A3"].value == "Report"


def rows(sheet):
    return [[c.value for c in row] for row in sheet.iter_rows()]


def test_findings_have_evidence_and_room_for_a_decision(made):
    case, _, where, book = made
    table = [r for r in rows(book["Findings"]) if r[0] in ("high", "medium", "low", "note")]
    assert len(table) == len(case.findings)
    assert [where, "typed-over"] in [r[1:3] for r in table]
    assert all(r[3] and r[5] for r in table)
    assert {r[6] for r in table} == {"open"}
    row = next(i for i, r in enumerate(rows(book["Findings"]), 1) if r[0] in ("high", "medium", "low", "note"))
    assert not book["Findings"].cell(row, 7).protection.locked
    rule = next(v for v in book["Findings"].data_validations.dataValidation if v.type == "list")
    assert rule.formula1 == '"open,confirmed,accepted,rejected"'


def test_the_ledgers_are_whole(made):
    case, _, where, book = made
    cells = rows(book["Cells"])
    filled = sum(case.book.filled(at) for at in {*case.book.values, *case.book.formulas})
    sheets = {info.name for info in case.book.sheets}
    listed = [r for r in cells if r[0] in sheets]
    assert len(listed) == filled
    blocks = [r for r in rows(book["Blocks"]) if r[0] in sheets]
    assert len(blocks) == len(case.formulas.patterns)
    assert sum(r[2] for r in blocks) == len(case.book.formulas)
    line = next(r for r in listed if f"{r[0]}!{r[1]}" == where)
    assert line[3] == "X"
    assert "typed-over" in line[14]


def test_who_reads_a_cell_is_counted_over_ranges_too(made):
    case, _, _, book = made
    sheets = {info.name for info in case.book.sheets}
    counts = {f"{r[0]}!{r[1]}": r[12] for r in rows(book["Cells"]) if r[0] in sheets}
    spots_of = dict.fromkeys(counts, 0)
    for at in case.book.formulas:  # the plain count: every reading of every area, cell by cell
        for area in set(case.formulas.reads(at)):
            sheet, row, col, last_row, last_col = area
            name = case.book.sheets[sheet].name
            if name != "Lots":
                continue
            for r in range(row, last_row + 1):
                for c in range(col, last_col + 1):
                    key = f"{name}!{openpyxl.utils.get_column_letter(c + 1)}{r + 1}"
                    if key in spots_of:
                        spots_of[key] += 1
    lots = [key for key in counts if key.startswith("Lots!")]
    assert len(lots) > 200
    assert {key: counts[key] for key in lots} == {key: spots_of[key] for key in lots}


def test_the_map_marks_inputs_formulas_and_the_break(made):
    _case, _, where, book = made
    sheet = book["Map Lots"]
    head = next(r for r in sheet.iter_rows() if r[0].value == "row")
    columns = {c.value: c.column for c in head if c.value}
    first = head[0].row

    def mark(address):
        letters = address.rstrip("0123456789")
        return sheet.cell(first + int(address[len(letters) :]), columns[letters]).value

    assert mark(where.partition("!")[2]) == "X"
    assert mark("A1") == "T"
    assert mark("A8") == "I"
    column = where.partition("!")[2].rstrip("0123456789")
    assert mark(f"{column}8") == "F"
    assert mark(f"{column}11") == "f"


def test_derivations_end_in_inputs_and_sources(made):
    case, _, _, book = made
    table = rows(book["Derivations"])
    assert any(r[6] and "typed in" in str(r[6]) for r in table)
    assert any(r[6] and "[published" in str(r[6]) for r in table)
    assert sum(r[0] == 0 for r in table) == min(len(case.heads), 12)


def test_it_is_never_written_over_the_audited_file_nor_unasked(made, tmp_path):
    case, out, _, _ = made
    with pytest.raises(UserError, match="only read"):
        write.report(case, case.book.path, force=True)
    with pytest.raises(UserError, match="--force"):
        write.report(case, out)
    with pytest.raises(UserError, match=r"\.xlsx"):
        write.report(case, tmp_path / "report.pdf")
    before = out.read_bytes()
    write.report(case, out, force=True)
    assert len(out.read_bytes()) > 0.5 * len(before)


def test_the_same_audit_writes_the_same_report(made, tmp_path):
    case, _, _, _ = made
    one, two = tmp_path / "one.xlsx", tmp_path / "two.xlsx"
    write.report(case, one)
    write.report(case, two)
    assert one.read_bytes() == two.read_bytes()
