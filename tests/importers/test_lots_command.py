"""`hayfuncs lots` as a user runs it: what it prints, what it writes, how it refuses."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from hayfuncs.contract.files import LONGEST_TEXT, UserError
from hayfuncs.importers.examples import EMPTY, NAMES, write_examples
from hayfuncs.importers.herd import read_herd
from hayfuncs.importers.labmean import shortened
from hayfuncs.importers.labreport import aligned
from hayfuncs.importers.lots import read_lots
from hayfuncs.importers.model import DRY, GROUP_COLUMNS, LOT_COLUMNS


def run(*words: object, where: Path | None = None, verb: str = "lots") -> subprocess.CompletedProcess[str]:
    root = Path(__file__).parents[2]
    code = f"import sys; sys.path.insert(0, {str(root)!r}); from hayfuncs.cli import main; main()"
    command = [sys.executable, "-c", code, verb, *map(str, words)]
    return subprocess.run(
        command, cwd=where, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False
    )


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("farm") / "example"
    done = run("--example", folder)
    assert (done.returncode, done.stderr) == (0, "")
    return folder


def test_the_examples_go_from_two_laboratories_to_one_list(example: Path) -> None:
    done = run(
        "lab-sheet.csv", "instrument-scans.csv", "--register", "register.csv", "--out", "LOTS.csv", where=example
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.endswith("10 lots written to LOTS.csv; next: hayfuncs workbook OUT.xlsx --lots LOTS.csv\n")
    assert "\x1b" not in done.stdout
    lots = {x.name: x for x in read_lots(example / "LOTS.csv")}
    assert len(lots) == 10
    assert {x.basis for x in lots.values()} == {DRY}
    assert {x.forage for x in lots.values()} == {"grass", "legume", "mixed"}
    assert all(x.bales and x.bale_weight_lb and x.price_per_ton and x.storage and x.harvest_date for x in lots.values())
    # Roadside is Q-11: K -0.07 is refused; 0.18 / 0.8632 = 0.20853 and 0.10 / 0.8569 = 0.11670; mean 0.16261 -> 0.163
    assert lots["Roadside"].k_pct == 0.163
    assert "left blank (row 7)" in lots["Roadside"].notes
    # Knoll 2 is Q-12: 17.11 / 0.9035 = 18.9375 and 16.94 / 0.9014 = 18.7930; mean 18.8652 -> 18.865
    assert lots["Knoll 2"].cp_pct == 18.865
    again = run("lab-sheet.csv", "--register", "register.csv", "--out", "LOTS.csv", where=example)
    assert again.returncode == 2
    assert again.stderr == "hayfuncs: LOTS.csv exists and is left as it is; add --force to replace it\n"
    assert again.stdout == ""


def test_the_herd_example_is_sound(example: Path) -> None:
    groups = read_herd(example / "herd.csv")
    assert len(groups) == 4
    assert all(g.calving_date for g in groups)


def test_examples_are_written_all_or_none(example: Path, tmp_path: Path) -> None:
    assert sorted(p.name for p in example.iterdir() if p.name != "LOTS.csv") == sorted([*NAMES, *EMPTY])
    (tmp_path / "herd.csv").write_text("mine")
    with pytest.raises(UserError, match=r"herd\.csv exists"):
        write_examples(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["herd.csv"]
    with pytest.raises(UserError, match="is a file"):
        write_examples(tmp_path / "herd.csv")
    with pytest.raises(UserError, match="does not exist; make it first"):
        write_examples(tmp_path / "a" / "b")


def test_without_out_nothing_is_written(files: Path, tmp_path: Path) -> None:
    done = run(files / "scans.csv", "--skip-bad", where=tmp_path)
    assert done.returncode == 0
    assert "Nothing was written; add --out LOTS.csv" in done.stdout
    assert list(tmp_path.iterdir()) == []
    for line in (
        "nitrogen to protein, x 6.25; as fed to dry, / dry matter (row 2: 1.44 at DM 90 % gives 10)",
        "100 - moisture (row 2: 10 gives 90)",
        "Values left blank (they cannot be; each is in Notes): 1",
        "Rows left out, as --skip-bad says: 1",
        'Rows passed over (no values, or averages of the others): 7 ("Average")',
        'Not used: "Run no", "Date/time"',
    ):
        assert line in done.stdout, line
    assert "61.38" not in done.stdout  # 55.80 x 1.10: never the other way round


def test_a_refusal_is_plain_and_writes_nothing(files: Path, tmp_path: Path) -> None:
    done = run(files / "scans.csv", "--out", tmp_path / "LOTS.csv")
    assert done.returncode == 2
    assert done.stderr.startswith("hayfuncs: scans.csv: 2 things to put right; nothing was written\n")
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "give at least one file of the lab"),
        (("none.csv",), "none.csv cannot be read: No such file or directory"),
        (("x.csv", "--basis", "wet"), '--basis "wet" is not known; allowed: dry, as-fed'),
        (("x.csv", "--unit", "miles"), '--unit "miles" is not known; allowed: %, g/kg, ppm, kg/kg'),
        (("x.csv", "--out", "no/such/LOTS.csv"), "the folder no/such does not exist"),
    ],
)
def test_refusals_at_the_command_line(tmp_path: Path, words: tuple, said: str) -> None:
    done = run(*words, where=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_the_columns_are_listed(tmp_path: Path) -> None:
    done = run("--columns", where=tmp_path)
    assert done.returncode == 0
    for column in (*LOT_COLUMNS, *GROUP_COLUMNS):
        assert column.heading in done.stdout
        assert all(phrase in done.stdout for phrase in column.accepted)


def test_columns_of_text_line_up_by_what_a_terminal_shows() -> None:
    assert aligned([("Lot", "CP"), ("Ø", "9.1"), ("草", "12.25")], [1], "") == [
        "Lot     CP",
        "Ø      9.1",
        "草   12.25",
    ]


def test_a_long_note_of_the_importer_fits_its_cell() -> None:
    part = "left blank (row 4): Potassium AR % below zero"
    assert shortened("; ".join([part] * 5)) == "; ".join([part] * 5)
    cut = shortened("; ".join([part] * 50))
    assert LONGEST_TEXT // 2 < len(cut) <= LONGEST_TEXT
    assert set(cut.removesuffix(" ...").split("; ")) == {part}  # whole parts only
    assert len(shortened("x" * 5000)) == LONGEST_TEXT


def test_help_shows_no_type_of_the_program() -> None:
    for verb in ("lots", "plan", "workbook", "rebuild", "demo", "audit", "excel", "calc-addin", "functions"):
        done = run("--help", verb=verb)
        assert done.returncode == 0
        assert "<" not in done.stdout, verb


def test_demo_asks_for_a_folder(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine")
    done = run("--out", taken, verb="demo")
    assert done.returncode == 2
    assert "which is a file; give a folder" in done.stderr
    assert taken.read_text() == "mine"


@pytest.mark.parametrize(("option", "protein"), [("dry", 9.0), ("as-fed", 10.0)])
def test_the_basis_option_decides_what_the_numbers_are_of(tmp_path: Path, option: str, protein: float) -> None:
    """The file does not say it: without the option it is asked for, with it the values are those of that basis."""
    (tmp_path / "LAB.csv").write_text("Sample,Forage,DM %,CP %,ADF %,NDF %\nA,grass,90,9,36,54\n")
    asked = run("LAB.csv", "--out", "LOTS.csv", where=tmp_path)
    assert asked.returncode == 2
    assert "--basis dry or --basis as-fed" in asked.stderr
    done = run("LAB.csv", "--out", "LOTS.csv", "--basis", option, where=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    lot = read_lots(tmp_path / "LOTS.csv")[0]
    assert lot.basis == DRY
    assert lot.cp_pct == pytest.approx(protein)
