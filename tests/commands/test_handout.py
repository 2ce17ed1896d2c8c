"""hayfuncs handout refuses in one sentence, and writes nothing then."""

from __future__ import annotations

from pathlib import Path

import pytest

from hayfuncs import cli
from hayfuncs.workbook import handout


def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    monkeypatch.setattr("sys.argv", ["hayfuncs", "handout", *words])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    code = ended.value.code
    return (code if isinstance(code, int) else 1), capsys.readouterr().err


def test_the_folder_may_not_be_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    there = tmp_path / "pages"
    there.write_text("mine")
    code, said = run(monkeypatch, capsys, "FARM.xlsx", "--out", str(there))
    assert code == 2
    assert "which is a file; give a folder for the pages" in said
    assert there.read_text() == "mine"


def test_without_libreoffice_no_folder_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(handout.shutil, "which", lambda _: None)
    monkeypatch.setattr(handout, "PLACES", ())
    code, said = run(monkeypatch, capsys, str(tmp_path / "FARM.xlsx"), "--out", str(tmp_path / "pages"))
    assert code == 2
    assert "LibreOffice makes the PDF files" in said
    assert "Traceback" not in said
    assert not (tmp_path / "pages").exists()


def test_a_workbook_that_is_not_there_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(handout, "office", lambda: "no such program")
    code, said = run(monkeypatch, capsys, str(tmp_path / "FARM.xlsx"), "--out", str(tmp_path / "pages"))
    assert code == 2
    assert "FARM.xlsx" in said
    assert "Traceback" not in said
    assert not (tmp_path / "pages").exists()
