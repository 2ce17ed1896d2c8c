"""The command line as a person uses it: what it prints, what it writes, what it refuses."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import hayfuncs
from hayfuncs.generate import readme as generate
from hayfuncs.workbook import rebuild
from hayfuncs.workbook.oldfile import read_old
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots

HERE = {**os.environ, "PYTHONPATH": str(Path(hayfuncs.__file__).parents[1])}  # the package under test, wherever cwd is


def run(*args: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hayfuncs.cli", *args], cwd=cwd, env=HERE, capture_output=True, text=True, timeout=120
    )


def test_demo_keeps_what_is_there(tmp_path):
    (tmp_path / "hayfuncs-demo-plain.xlsx").write_text("mine")
    done = run("demo", "--edition", "plain", cwd=tmp_path)
    assert done.returncode == 2
    assert "--force" in done.stderr
    assert (tmp_path / "hayfuncs-demo-plain.xlsx").read_text() == "mine"


def test_demo_writes_its_workbooks_and_prints_what_readme_shows(tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "hayfuncs-demo-functions.xlsx").write_text("of an earlier run")
    done = run("demo", "--out", "demo", "--force", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert f"```text\n{done.stdout.rstrip()}\n```" == generate.demo_text()
    for words in (
        "Each lot fed alone",
        "lb of dry matter a day",
        "checks hold",
        "Winter plan: $",
        "The winter plan rations each group by its need",
    ):
        assert words in done.stdout
    assert done.stdout.rstrip().endswith("With the winter plan: demo/hayfuncs-demo-functions-plan.xlsx")
    for name in ("hayfuncs-demo-functions.xlsx", "hayfuncs-demo-functions-plan.xlsx"):
        assert (tmp_path / "demo" / name).stat().st_size > 50_000


def test_workbook_for_own_lots(tmp_path):
    (tmp_path / "lots.csv").write_text(
        "Lot,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %\nTop field,grass,dry,89,9.5,38,61\nLow field,legume,as fed,88,15,30,38\n"
    )
    (tmp_path / "herd.csv").write_text(
        "Group,Head,Body weight lb,Month since calving,Peak milk lb,Calf weight lb,Condition score\nMine,20,1200,3,20,85,5\n"
    )
    many = ("--free-lots", "12", "--free-groups", "5")
    done = run("workbook", "mine.xlsx", "--lots", "lots.csv", "--herd", "herd.csv", *many, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Top field" in done.stdout
    assert read_old(tmp_path / "mine.xlsx").free == {"Lots": 12, "Herd": 5}
    book, _ = rebuild.remake(tmp_path / "mine.xlsx", room=True)
    assert (book.find(Lots).n, book.find(Herd).n) == (2 + 12, 1 + 5)


@pytest.mark.parametrize(
    ("lots", "says"),
    [
        (
            "Lot,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %\nA,grass,dry,189,9.5,38,61\n",
            ["lots.csv", "row 2", "189", "100"],
        ),
        ("Lot,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %\nA,grass,dry,89,nine,38,61\n", ["row 2", "nine"]),
        ("Lot,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %\nA,grass,dry,89,9.5,,61\n", ["row 2", "ADF"]),
        ("Lot,Forage,Basis,Dry matter %\nA,grass,dry,89\n", ["protein"]),
        ("", ["lots.csv"]),
    ],
)
def test_bad_lots_are_refused_in_words_and_nothing_is_written(tmp_path, lots, says):
    (tmp_path / "lots.csv").write_text(lots)
    done = run("workbook", "mine.xlsx", "--lots", "lots.csv", cwd=tmp_path)
    assert done.returncode == 2
    for word in says:
        assert word.casefold() in done.stderr.casefold(), done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "mine.xlsx").exists()


@pytest.mark.parametrize(
    "args",
    [
        ("workbook", "x.ods"),
        ("workbook", "no/such/folder/x.xlsx"),
        ("demo", "--edition", "fancy"),
        ("functions", "NO_SUCH"),
        ("workbook", "x.xlsx", "--lots", "none.csv"),
    ],
)
def test_refusals_are_one_sentence(tmp_path, args):
    done = run(*args, cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("hayfuncs: ")
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_functions_list_and_card(tmp_path):
    listing = run("functions", cwd=tmp_path)
    assert "HAY.TDN_FROM_ADF" in listing.stdout
    card = run("functions", "hay.tdn_from_adf", cwd=tmp_path)
    for word in (
        "adf_pct",
        "digestible dry matter",
        "National Forage Testing Association",
        "published",
        "88.9-0.779*{adf_pct}",
    ):
        assert word in card.stdout


def test_own_numbers_without_an_answer_are_written_and_said(tmp_path):
    """No amount of a feed with 24 % protein lifts a diet to more: the cells say #NUM!, the command in words."""
    (tmp_path / "lots.csv").write_text(
        "Lot,Forage,Basis,Dry matter %,Crude protein %,ADF %,NDF %\nStalks,grass,dry,89,2.5,74,76\n", encoding="utf-8"
    )
    (tmp_path / "herd.csv").write_text(
        "Group,Head,Body weight lb,Month since calving,Peak milk lb,Calf weight lb,Condition score\nMine,20,1200,2,60,85,5\n",
        encoding="utf-8",
    )
    done = run("workbook", "mine.xlsx", "--lots", "lots.csv", "--herd", "herd.csv", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "mine.xlsx").exists()
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("option", ["--free-lots", "--free-groups"])
def test_too_many_free_rows_are_refused(tmp_path, option):
    done = run("workbook", "mine.xlsx", option, "99", cwd=tmp_path)
    assert done.returncode == 2
    assert f"{option} is 99 rows; allowed: 0 to " in done.stderr
    assert not (tmp_path / "mine.xlsx").exists()
