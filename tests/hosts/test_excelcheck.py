"""The check list for real Excel, held by two engines: every named check is TRUE, and can be FALSE."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import formulon
import openpyxl
import pytest
from hosts import make_cases
from hosts.xlwingslib import TREE
from typer.testing import CliRunner

from hayfuncs.cli import app
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.lambdas import all_with_lambda
from hayfuncs.hosts import engine, excelcheck, excelsteps
from hayfuncs.workbook.tabs import TABS


@pytest.fixture(scope="module")
def written() -> dict[str, bytes]:
    return {e: excelcheck.workbook(excelcheck.checks(e), e) for e in excelcheck.EDITIONS}


def places(content: bytes) -> dict[str, str]:
    """name of a check -> its cell."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    return {
        name: target.attr_text.split("!")[1].replace("$", "")
        for name, target in book.defined_names.items()
        if name.startswith("test_")
    }


def test_the_shipped_calls_are_the_check_rows() -> None:
    assert make_cases.CHECK_LIST.read_text(encoding="utf-8") == make_cases.check_list(), "run tests/hosts/make_cases.py"


def test_every_function_with_a_lambda_that_has_a_scalar_row_is_checked() -> None:
    shipped = {function for function, _, _ in excelcheck.calls()}
    listed = {check.record.name for check in excelcheck.checks("functions")}
    assert listed == shipped & {record.name for record in all_with_lambda()}
    assert len(listed) >= 0.8 * len(all_with_lambda())


@pytest.mark.parametrize("edition", excelcheck.EDITIONS)
def test_names_are_unique_and_no_cell_addresses(edition: str, written: dict[str, bytes]) -> None:
    names = [check.name for check in excelcheck.checks(edition)]
    assert len(set(names)) == len(names)
    assert set(places(written[edition])) == {*names, "test_all"}
    assert max(map(len, names)) < 255


def test_an_engine_that_follows_excel_finds_every_check_true(written: dict[str, bytes]) -> None:
    found = places(written["functions"])
    with formulon.Workbook.load(written["functions"]) as book:
        book.recalc()
        for name, cell in found.items():
            row = int(cell[1:]) - 1
            value = book.get_value(1, row, ord(cell[0]) - 65).to_python()
            assert value == ("all TRUE" if name == "test_all" else True), name


def test_the_embedded_engine_finds_every_check_of_the_python_edition_true(written: dict[str, bytes]) -> None:
    book = engine.load(written["classic"], "HAY_")
    book.evaluate_all()
    rows = engine.values(book, "Checks", len(excelcheck.checks("classic")) + 10, 4)
    for name, cell in places(written["classic"]).items():
        value = rows[int(cell[1:]) - 1][ord(cell[0]) - 65]
        assert value == ("all TRUE" if name == "test_all" else True), name


def test_a_changed_argument_turns_a_check_false(written: dict[str, bytes]) -> None:
    with formulon.Workbook.load(written["functions"]) as book:
        book.set_number(1, excelcheck.FIRST_ROW, excelcheck.ARGUMENTS_AT, 61.5)
        book.recalc()
        assert book.get_value(1, excelcheck.FIRST_ROW, 3).to_python() is False
        assert book.get_value(1, 1, 0).to_python() == "1 not TRUE"


@pytest.mark.parametrize("edition", excelcheck.EDITIONS)
def test_the_stored_values_are_those_that_python_gives(edition: str, written: dict[str, bytes]) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(written[edition]), data_only=True)["Checks"]
    for row, check in enumerate(excelcheck.checks(edition), excelcheck.FIRST_ROW + 1):
        assert sheet.cell(row, 2).value == (None if check.wanted == "" else check.wanted)
        assert sheet.cell(row, 4).value is True


def test_the_command_writes_it_and_refuses_to_replace_it(tmp_path: Path) -> None:
    def run(*arguments: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "hayfuncs.cli", "excel", "checklist", *arguments]
        return subprocess.run(command, capture_output=True, text=True, cwd=TREE)

    target = tmp_path / "check.xlsx"
    assert run(str(target)).returncode == 0
    assert len(places(target.read_bytes())) > len(CATALOGUE)
    again = run(str(target))
    assert again.returncode == 2
    assert "--force" in again.stderr
    assert run(str(target), "--python", "--force").returncode == 0
    assert run(str(tmp_path / "check.ods")).returncode == 2


def test_a_filled_list_becomes_a_file_to_send(tmp_path: Path, written: dict[str, bytes]) -> None:
    """Filled in as a person does, by another program; a check that Excel finds FALSE is named."""
    book = openpyxl.load_workbook(io.BytesIO(written["functions"]))
    sheet = book[excelsteps.SHEET]
    sheet.cell(excelsteps.ABOUT_ROW + 1, excelsteps.ANSWER_AT + 1, "16.0 build 1")
    for row, answer in enumerate(("yes", "no", "not tried"), excelsteps.FIRST_ROW + 1):
        sheet.cell(row, excelsteps.ANSWER_AT + 1, answer)
    sheet.cell(excelsteps.FIRST_ROW + 2, excelsteps.REMARK_AT + 1, "one line\nis red")
    checks = book["Checks"]
    for row in range(excelcheck.FIRST_ROW + 1, checks.max_row + 1):
        checks.cell(row, 4, row != excelcheck.FIRST_ROW + 3)
    filled, out = tmp_path / "filled.xlsx", tmp_path / "ANSWERS.txt"
    book.save(filled)
    done = CliRunner().invoke(app, ["excel", "answers", str(filled), "--out", str(out)])
    assert done.exit_code == 0, done.output
    lines = out.read_text(encoding="utf-8").splitlines()
    assert "edition\tfunctions" in lines
    assert "version\t16.0 build 1" in lines
    assert "recalculated\tno\tone line is red" in lines
    assert "no sign\tnot tried\t" in lines
    assert "mac\tno answer\t" in lines
    assert lines[-2:] == ["checks not TRUE\t1", f"check\t{excelcheck.checks('functions')[2].name}"]


def test_what_is_no_filled_list_is_refused(tmp_path: Path, written: dict[str, bytes]) -> None:
    empty, other = tmp_path / "empty.xlsx", tmp_path / "other.xlsx"
    empty.write_bytes(written["classic"])
    openpyxl.Workbook().save(other)
    with pytest.raises(
        UserError, match="holds no answer yet; fill column C of the sheet Start here with yes, no, not tried"
    ):
        excelsteps.answers(empty)
    with pytest.raises(UserError, match="is no check list of hayfuncs"):
        excelsteps.answers(other)


def test_the_list_covers_what_a_user_opens() -> None:
    told = " ".join(step.text for step in excelsteps.STEPS)
    for needed in (
        "--edition functions",
        "--edition plain",
        "--edition classic",
        "hayfuncs audit",
        "Precedents",
        "Print",
        "Mac",
        "hayfuncs into",
    ):
        assert needed in told
    tabs = {name for tab in TABS for name in (tab.name, *tab.sheets)}
    for named in ("What to feed", "Start", "Lots", "Which hay", "Which feed", "Cow year", "Hay pile", "Take home"):
        assert named in told
        assert named in tabs, "a step speaks of a tab that is not there"
    assert len({step.key for step in excelsteps.STEPS}) == len(excelsteps.STEPS)
