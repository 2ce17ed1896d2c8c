"""The play *lab day*: files as laboratories send them, by the real command, to lots, workbook and plan.

Each file of the zoo is right at the first go, or everything that is missing is asked in one pass and
the answers that the questions name settle it.  A poison that cannot be read stops the import.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from where import Parts

from hayfuncs.importers.lots import read_lots
from hayfuncs.importers.model import AT_LEAST, AT_MOST, Lot

ROOT = Path(__file__).parents[2]
ZOO = ROOT / "tests" / "importers" / "zoo"
FILES = ROOT / "tests" / "importers" / "files"
LIMIT = 300  # seconds for one command


def run(verb: str, *words: object, where: Path) -> subprocess.CompletedProcess[str]:
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from hayfuncs.cli import main; main()"
    command = [sys.executable, "-c", code, verb, *map(str, words)]
    return subprocess.run(
        command, cwd=where, capture_output=True, text=True, encoding="utf-8", timeout=LIMIT, check=False
    )


def lots_of(tmp_path: Path, *words: object) -> dict[str, Lot]:
    done = run("lots", *words, "--out", "LOTS.csv", where=tmp_path)
    assert done.returncode == 0, done.stderr
    return {x.name: x for x in read_lots(tmp_path / "LOTS.csv")}


def asked(tmp_path: Path, *words: object) -> str:
    done = run("lots", *words, "--out", "LOTS.csv", where=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []
    return done.stderr


def core(lot: Lot) -> tuple[float, ...]:
    return lot.dm_pct, lot.cp_pct, lot.adf_pct, lot.ndf_pct


# file, what the user adds, lots with dry matter, CP, ADF, NDF; worked by hand
FIRST_GO = [
    ("two-bases.csv", (), {"Creek 1": (89, 10, 38, 60)}),  # 100 - 11
    ("joined-words.csv", ("--column", "name=Field+Point"), {"North 1": (89, 9, 38, 60), "North 2": (88, 9.9, 37, 59)}),
    ("replicates.csv", ("--fill", "dm_pct=88"), {"Home": (88, 9, 38.2, 60.2), "Far": (88, 11, 35.1, 57.3)}),
]


@pytest.mark.parametrize(("name", "more", "wanted"), FIRST_GO, ids=[name for name, *_ in FIRST_GO])
def test_right_at_the_first_go(tmp_path, name, more, wanted):
    found = lots_of(tmp_path, ZOO / name, *more)
    assert {k: core(x) for k, x in found.items()} == wanted


def test_every_way_of_writing_a_poison_is_read(tmp_path):
    found = lots_of(tmp_path, ZOO / "limits.csv")
    assert {k: (x.nitrate_n_ppm, x.nitrate_limit) for k, x in found.items()} == {
        "Over": (5000, AT_LEAST),
        "Top of test": (2000, AT_LEAST),
        "Trace": (50, AT_MOST),
        "Spaced": (1250, None),
        "Swiss": (1250, None),
        "Clean": (0, None),
        "Untested": (None, None),
    }
    assert (found["Top of test"].hcn_ppm, found["Top of test"].hcn_limit) == (500, AT_LEAST)
    assert (found["Trace"].hcn_ppm, found["Untested"].hcn_ppm) == (0, None)


@pytest.mark.parametrize("more", [(), ("--skip-bad",)], ids=["as it is", "bad rows left out"])
def test_a_poison_that_cannot_be_read_stops_the_import(tmp_path, more):
    said = asked(tmp_path, ZOO / "poisons-unread.csv", *more)
    for row, sample, cell in ((2, "A", "positive"), (3, "B", "ND"), (4, "C", "45000"), (5, "D", "trace"), (6, "E", "-20"), (7, "F", "see page 2")):  # fmt: skip
        assert f'row {row}, sample "{sample}", column ' in said
        assert f'": "{cell}"; allowed: ' in said


def test_everything_that_is_missing_is_asked_in_one_pass_and_the_answers_settle_it(tmp_path):
    said = asked(tmp_path, ZOO / "asks-everything.csv")
    answers = ("--basis", "dry", "--fill", "forage=grass", "--dates", "mdy", "--column", "Nitrate ppm=nitrate_ppm", "--column", "Ca=ca_pct, g/kg",
               "--skip-bad", "--accept", "baleage", "--accept", "young", "--accept", "phosphorus", "--accept", "same")  # fmt: skip
    for hint in ("--basis dry", "--fill forage=grass", "--dates mdy", "nitrate_ppm (NO3)", "Ca=ca_pct, ", "--skip-bad",
                 "--accept baleage", "--accept young", "--accept phosphorus", "--accept same"):  # fmt: skip
        assert hint in said, hint
    found = lots_of(tmp_path, ZOO / "asks-everything.csv", *answers)
    assert {k: (*core(x), x.accepted) for k, x in found.items()} == {
        "Bale wrap": (52, 12, 33, 54, "baleage"),
        "Lush": (88, 31, 22, 33, "young"),
        "Odd": (88.5, 9, 38, 61, "phosphorus"),
        "Same 1": (89, 9.5, 39, 62, "same"),
        "Same 2": (89, 9.5, 39, 62, "same"),
    }
    assert found["Bale wrap"].nitrate_n_ppm == 90.293  # 400 ppm NO3 / 4.43
    assert found["Bale wrap"].ca_pct == 0.91  # 9.1 g/kg


def test_files_of_other_laboratories(tmp_path):
    assert len(lots_of(tmp_path, FILES / "dry-sheet.csv", "--column", "Nitrate (ppm)=nitrate_n_ppm, dry")) == 3
    (tmp_path / "LOTS.csv").unlink()
    assert len(lots_of(tmp_path, FILES / "scans.csv", "--skip-bad")) == 2


FARM = """Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%),NO3-N (ppm),HCN (ppm),Tons on hand,Price ($/ton),Storage,Feeder,Bale type,Bale weight (lb),Cutting,TDN (%),TDN equation
Good hay,grass,dry,88.9,12.6,34,57,300,,400,90,barn,ring,round,1100,1,58.1,house sum
Cheap but over,grass,dry,89.2,12.2,35,58,> 2000,,400,20,barn,ring,round,1100,1,,
Cheap and sour,grass,dry,89.3,12.3,35,58.5,100,>150,400,20,barn,ring,round,1100,1,,
Under test,grass,dry,89.1,12.1,36,58.2,<50,,100,80,barn,ring,round,1100,1,,
"""


def words_on(path: Path, sheet: str, name: str) -> list[str]:
    """The row of a lot on a sheet, as shown."""
    page = Parts(path, data_only=True)[sheet]
    row = next(r for r in page.iter_rows(values_only=True) if r[0] == name)
    return [str(value) for value in row if value is not None]


def test_a_limit_goes_through_the_workbook_to_the_plan_and_is_never_fed_as_untested(tmp_path):
    (tmp_path / "LOTS.csv").write_text(FARM, encoding="utf-8")
    made = run("workbook", "FARM.xlsx", "--lots", "LOTS.csv", "--edition", "plain", where=tmp_path)
    assert made.returncode == 0, made.stderr
    lot = words_on(tmp_path / "FARM.xlsx", "Lots", "Cheap but over")
    assert "at least" in lot
    assert {"58.1", "house sum"} <= set(words_on(tmp_path / "FARM.xlsx", "Lots", "Good hay"))
    over = words_on(tmp_path / "FARM.xlsx", "Hazards", "Cheap but over")
    assert "at least 2000 ppm NO3-N" in over
    assert sum(word.startswith("Danger: the test says only that it holds at least so much") for word in over) == 4
    sour = words_on(tmp_path / "FARM.xlsx", "Hazards", "Cheap and sour")
    assert sum(word.startswith("Danger: the test says only") for word in sour) == 3  # both scales and the stricter
    under = words_on(tmp_path / "FARM.xlsx", "Hazards", "Under test")
    assert "at most 50 ppm NO3-N" in under
    assert sum(word.startswith("Clear") for word in under) == 4
    plan = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", where=tmp_path)
    fed = plan.stdout.split("Cautions")[0]
    assert "lb Good hay" in fed
    assert "Cheap" not in fed
    said = " ".join(plan.stdout.split("Cautions")[1].split())
    assert "Cheap but over is left out for safety: nitrate. Nitrate nitrogen at least 2,000 ppm." in said
    assert "Cheap and sour is left out for safety: prussic acid" in said
    assert "not tested for nitrate" not in said
