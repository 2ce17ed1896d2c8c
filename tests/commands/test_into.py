"""hayfuncs into, as it is typed: what it says, what it writes, what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import ownlib
from typer.testing import CliRunner

from hayfuncs.cli import app
from hayfuncs.contract.errors import HayError
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.lambdas import all_with_lambda


def said(folder: Path, *words: str) -> str:
    done = CliRunner().invoke(app, ["into", *(str(folder / w) if w.endswith(".xlsx") else w for w in words)])
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    assert done.exit_code == 0, done.output
    return done.output.replace(f"{folder}/", "")


def test_in_and_out_again(tmp_path: Path) -> None:
    own = ownlib.save(tmp_path, ownlib.plain())
    told = said(tmp_path, "OWN.xlsx", "--out", "NEW.xlsx", "--help-sheet")
    assert told.startswith(f"NEW.xlsx: {len(all_with_lambda())} functions, with ")
    assert "put in as names." in told
    assert "there already (2): press Ctrl+Alt+F9" in told
    told = said(tmp_path, "NEW.xlsx", "--out", "BACK.xlsx", "--remove")
    assert told.startswith("BACK.xlsx: the workbook as it was before, byte for byte.\n")
    assert "(2) will show #NAME?" in told
    assert (tmp_path / "BACK.xlsx").read_bytes() == own.read_bytes()


def test_one_function(tmp_path: Path) -> None:
    ownlib.save(tmp_path, ownlib.plain())
    told = said(tmp_path, "OWN.xlsx", "--out", "NEW.xlsx", "--only", "dry weight".replace(" ", "_"))
    assert told.startswith("NEW.xlsx: 1 function put in as names.\n")
    assert "type =HAY.DRY_WEIGHT in a cell" in told


@pytest.mark.parametrize(
    ("words", "refusal"),
    [
        (["--remove", "--only", "DRY_WEIGHT"], "--remove takes everything out again"),
        (["--only", " , "], "names no function; give names such as"),
        (["--remove"], "there is nothing to remove"),
    ],
)
def test_refusals(words: list[str], refusal: str, tmp_path: Path) -> None:
    ownlib.save(tmp_path, ownlib.plain())
    with pytest.raises((UserError, HayError), match=refusal):
        said(tmp_path, "OWN.xlsx", "--out", "NEW.xlsx", *words)
    assert [p.name for p in tmp_path.iterdir()] == ["OWN.xlsx"]
