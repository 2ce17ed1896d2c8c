"""hayfuncs audit, as a user starts it: exit codes, words, files left alone; a write that is killed."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from audit import rawlib
from audit.damagelib import File
from audit.hostilelib import OLE
from audit.spots import Spots

ROOT = Path(__file__).resolve().parents[2]


def run(*args: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    code = "import sys; sys.path.insert(0, sys.argv.pop(1)); sys.argv[0] = 'hayfuncs'; from hayfuncs.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, str(ROOT), "audit", *map(str, args)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        cwd=cwd,
    )


@pytest.fixture(scope="module")
def damaged(small_files: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    file = File(small_files["functions"].read_bytes())
    where = Spots(small_files["functions"].read_bytes()).line("Ration", "Supplement, as fed")
    file.stored(where, "5.5")
    path = tmp_path_factory.mktemp("command") / "damaged.xlsx"
    path.write_bytes(file.bytes())
    return path, where


def test_a_clean_workbook_gives_0_with_counts_and_coverage(small_files: dict[str, Path]) -> None:
    done = run(small_files["functions"])
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 differ by more than 1e-09" in done.stdout
    assert "formualizer" in done.stdout
    assert "hayfuncs 0." in done.stdout
    assert "Findings: 0 high, 0 medium, 0 low" in done.stdout


def test_findings_give_1_and_name_rule_cell_evidence_effect_and_what_to_do(
    damaged: tuple[Path, str], tmp_path: Path
) -> None:
    path, where = damaged
    done = run(path, "--out", tmp_path / "report.xlsx")
    assert done.returncode == 1
    assert f"HIGH    {where}   stored-value" in done.stdout
    for word in ("stored 5.5 lb as fed/day, its formula gives", "Effect: stored, then recomputed:", "Do: recalculate"):
        assert word in done.stdout
    assert (tmp_path / "report.xlsx").exists()
    assert [p.name for p in path.parent.iterdir()] == ["damaged.xlsx"]


def test_the_same_as_json(damaged: tuple[Path, str]) -> None:
    path, where = damaged
    done = run(path, "--json")
    assert done.returncode == 1
    told = json.loads(done.stdout)
    assert told["recomputed"] == told["formula cells"] > 1000
    assert told["findings"]["high"] >= 1
    first = told["list"][0]
    assert (first["rule"], first["cell"], first["severity"], first["decision"]) == ("stored-value", where, "high", "")


def test_one_cell_traced(small_files: dict[str, Path]) -> None:
    at = Spots(small_files["functions"].read_bytes()).line("Ration", "Hay gives")
    done = run(small_files["functions"], "--cell", at)
    assert done.returncode == 0
    assert done.stdout.startswith(f"{at}  Hay gives, Energy (TDN): 13.7264 lb/day = 24.0385 lb DM/day x 57.1019 % DM\n")
    assert "typed in" in done.stdout


def test_against_an_older_workbook(damaged: tuple[Path, str], small_files: dict[str, Path], tmp_path: Path) -> None:
    same = tmp_path / "same.xlsx"
    same.write_bytes(small_files["functions"].read_bytes())
    assert run(same, "--against", small_files["functions"]).returncode == 0
    file = File(small_files["functions"].read_bytes())
    file.edit(Spots(small_files["functions"].read_bytes()).line("Ration", "Cost a head"), "lb_per_ton", "1900")
    same.write_bytes(file.bytes())
    done = run(same, "--against", small_files["functions"])
    assert done.returncode == 1
    assert "Formulas: 1 changed" in done.stdout


def test_own_headline_numbers(small_files: dict[str, Path]) -> None:
    spots = Spots(small_files["functions"].read_bytes())
    need, tdn = spots.cell("Herd", "TDN need"), spots.cell("Lots", "TDN")
    done = run(small_files["functions"], "--headline", need, "--headline", tdn)
    assert need in done.stdout
    assert run(small_files["functions"], "--headline", "Herd!K0").returncode == 2
    empty = run(small_files["functions"], "--headline", "Checks!Z99")
    assert (empty.returncode, empty.stdout) == (2, "")
    assert empty.stderr == "hayfuncs: Checks!Z99 is empty; give a cell with a value\n"


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("not-there.xlsx", None, "does not exist"),
        ("secret.xlsx", OLE + bytes(500), "old binary"),
        ("lots.csv", b"a,b\n1,2\n", "no .xlsx workbook"),
    ],
)
def test_what_cannot_be_read_gives_2_and_one_sentence(
    name: str, data: bytes | None, words: str, tmp_path: Path
) -> None:
    path = tmp_path / name
    if data is not None:
        path.write_bytes(data)
    done = run(path)
    assert done.returncode == 2
    assert done.stdout == ""
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.count("\n") == 1


def test_the_report_is_refused_before_the_work_is_done(small_files: dict[str, Path], tmp_path: Path) -> None:
    taken = tmp_path / "report.xlsx"
    taken.write_text("mine", encoding="utf-8")
    done = run(small_files["functions"], "--out", taken)
    assert done.returncode == 2
    assert "--force" in done.stderr
    assert taken.read_text(encoding="utf-8") == "mine"
    done = run(small_files["functions"], "--out", small_files["functions"], "--force")
    assert done.returncode == 2
    assert "only read" in done.stderr


FULL = """
import resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (2_000, 2_000))
sys.path.insert(0, sys.argv.pop(1)); sys.argv[0] = "hayfuncs"
from hayfuncs.cli import main
main()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="not run: such a limit is a POSIX system's")
def test_a_full_disk_takes_the_report_and_not_the_result(tmp_path: Path) -> None:
    (tmp_path / "hay.xlsx").write_bytes(rawlib.small())
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(ROOT), "audit", "hay.xlsx", "--out", "report.xlsx"],
        capture_output=True, text=True, timeout=120, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 2
    assert "Findings: 0 high" in done.stdout
    assert "Written" not in done.stdout
    assert done.stderr.count("\n") == 1
    assert "report.xlsx cannot be written" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["hay.xlsx"]


WRITER = """
import sys, time
sys.path.insert(0, {root!r})
from pathlib import Path
from hayfuncs.contract.files import replacing
with replacing(Path({path!r}), True) as beside, beside.open("wb") as file:
    for i in range(1000):
        file.write(b"new " * 1000)
        file.flush()
        if i == {at}:
            print("half", flush=True)
            time.sleep(60)
print("whole", flush=True)
"""


@pytest.mark.parametrize("at", [0, 500, 999])
def test_killed_half_way_through_a_write_the_file_is_whole(at: int, tmp_path: Path) -> None:
    """The process is killed while it writes: the user's file is the old one, byte for byte."""
    path = tmp_path / "farm.xlsx"
    path.write_bytes(b"old " * 5000)
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER.format(root=str(ROOT), path=str(path), at=at)], stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout is not None
    assert writer.stdout.readline() == "half\n"
    writer.send_signal(signal.SIGKILL)
    writer.wait()
    writer.stdout.close()
    assert path.read_bytes() == b"old " * 5000


def test_not_killed_the_file_is_the_new_one_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "farm.xlsx"
    path.write_bytes(b"old " * 5000)
    done = subprocess.run(
        [sys.executable, "-c", WRITER.format(root=str(ROOT), path=str(path), at=-1)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert done.stdout == "whole\n"
    assert path.read_bytes() == b"new " * 1_000_000
    assert [p.name for p in tmp_path.iterdir()] == ["farm.xlsx"]


def test_a_report_killed_while_it_is_written_leaves_the_old_one(small_files: dict[str, Path], tmp_path: Path) -> None:
    """The whole command is killed at moments all over its run: the old report is whole each time, or the new one is."""
    out = tmp_path / "report.xlsx"
    code = "import sys; sys.path.insert(0, sys.argv.pop(1)); sys.argv[0] = 'hayfuncs'; from hayfuncs.cli import main; main()"
    command = [
        sys.executable,
        "-c",
        code,
        str(ROOT),
        "audit",
        str(small_files["classic"]),
        "--out",
        str(out),
        "--force",
    ]
    for wait in (0.5, 1.5, 3.0, 4.0):
        out.write_bytes(b"old " * 1000)
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(wait)
        process.kill()
        process.wait()
        data = out.read_bytes()
        assert data == b"old " * 1000 or (data[:2] == b"PK" and b"xl/workbook.xml" in data)
