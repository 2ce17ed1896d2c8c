"""Break in: names that look like formulas, links and paths; a full disk; an end in the middle; two writers at once.

Nothing runs, nothing is half written, nothing is left behind.
"""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from building import SMALL
from hosts import officelib

from hayfuncs.contract.files import BESIDE, UserError, replacing
from hayfuncs.spreadsheet.a1 import split_address
from hayfuncs.workbook import build

POSIX = pytest.mark.skipif(os.name != "posix", reason="signals and limits of a POSIX system")
WAIT = 120


@pytest.fixture(scope="module")
def server():
    """An address that hostile names point at; nothing must ever call."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        yield listening


def hostile(port: int) -> tuple[str, ...]:
    return (
        "=cmd|' /C calc'!A0",
        f'=WEBSERVICE("http://127.0.0.1:{port}/lot")',
        f'=HYPERLINK("http://127.0.0.1:{port}/lot","look")',
        "../../.." + "/tm" + "p/out",
        "C:\\windows\\system32\\x.exe",
        '"&1+1&"',
        "+1+1",
        "@SUM(A1)",
    )


def named(farm, names):
    lots = tuple(
        replace(lot, name=names[i], field=names[-1 - i], notes=names[i]) for i, lot in enumerate(farm.lots[:3])
    )
    groups = tuple(replace(group, name=names[3 + i]) for i, group in enumerate(farm.groups[:3]))
    return replace(farm, lots=lots, groups=groups, choice=(names[0], names[3], farm.choice[2]))


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_no_name_runs_in_the_office(tmp_path, monkeypatch, server, edition):
    officelib.demand_office()
    monkeypatch.setenv("PATH", "/usr/bin:/bin")  # the office must find its own Python
    port = server.getsockname()[1]
    names = hostile(port)
    path = tmp_path / "farm" / "odd.xlsx"
    path.parent.mkdir()
    farm = named(SMALL, names)
    book, _ = build.save(farm, path, edition)
    assert os.listdir(tmp_path / "farm") == ["odd.xlsx"], "a name that looks like a path is no file"
    office = officelib.Office(tmp_path / "profile")
    try:
        document = office.open(str(path))
        before = running()
        office.calculate(document)
        for sheet, held in (("Lots", [lot.name for lot in farm.lots]), ("Herd", [group.name for group in farm.groups])):
            tab, area = split_address(book.where(f"{sheet}!A8:A{7 + len(held)}"))
            assert [row[0] for row in office.read(document, tab, area)] == held  # a formula would show what it comes to
        for sheet in ("Plain rule", "Plan"):
            rows = office.read(document, sheet)
            shown = {str(cell) for row in rows[7:] for cell in row[:3] if cell}
            assert shown
            assert not any(text.startswith(("Err:", "#")) for text in shown)
        assert running() <= before, "no program was started"
        office.close(document)
    finally:
        office.end()
    with pytest.raises(BlockingIOError):
        server.accept()


def running() -> set[str]:
    """Names of the programs that hostile names would start."""
    listed = subprocess.run(["ps", "-eo", "comm="], capture_output=True, text=True).stdout.split()
    return {name for name in listed if name in ("calc", "cmd", "calc.exe", "wine")}


WRITER = """
import sys, time
from pathlib import Path
from hayfuncs.contract.files import UserError, replacing
path, force = Path(sys.argv[1]), sys.argv[2] == "force"
try:
    with replacing(path, force) as beside:
        beside.write_text("half")
        print("half", flush=True)
        sys.stdin.readline()
        beside.write_text("whole, by the other")
except UserError as why:
    print(why, flush=True)
    sys.exit(2)
print("done", flush=True)
"""


@contextlib.contextmanager
def writer(path: Path, force: str = "no"):
    """Another run that has written half of a file and waits."""
    command = [sys.executable, "-c", WRITER, str(path), force]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "half\n"
        try:
            yield other
        finally:
            if other.poll() is None:
                other.kill()


@POSIX
def test_what_a_killed_run_left_is_taken_away_by_the_next(tmp_path):
    path = tmp_path / "farm.csv"
    path.write_text("mine")
    with writer(path, "force") as other:
        other.send_signal(signal.SIGKILL)
        other.wait(WAIT)
    assert path.read_text() == "mine"
    with replacing(tmp_path / "another.csv") as beside:
        beside.write_text("next")
    assert sorted(os.listdir(tmp_path)) == ["another.csv", "farm.csv"]


@POSIX
def test_what_another_run_is_writing_is_left_alone(tmp_path):
    with writer(tmp_path / "other.csv") as other:
        with replacing(tmp_path / "mine.csv") as beside:
            beside.write_text("mine")
        assert len([name for name in os.listdir(tmp_path) if name.startswith(BESIDE)]) == 1
        said, _ = other.communicate("go\n", WAIT)
    assert said == "done\n"
    assert (tmp_path / "other.csv").read_text() == "whole, by the other"
    assert sorted(os.listdir(tmp_path)) == ["mine.csv", "other.csv"]


@pytest.mark.parametrize("force", ["no", "force"])
def test_two_writers_of_one_file(tmp_path, force):
    """Without --force the later one is refused, although nothing was there when it began; with it the file is whole."""
    path = tmp_path / "farm.csv"
    with writer(path, force) as other:
        with replacing(path) as beside:
            beside.write_text("mine")
        said, _ = other.communicate("go\n", WAIT)
    if force == "no":
        assert "exists and is left as it is" in said
        assert path.read_text() == "mine"
    else:
        assert path.read_text() == "whole, by the other"
    assert os.listdir(tmp_path) == ["farm.csv"]


def test_a_file_that_appears_while_this_one_is_written_is_not_lost(tmp_path):
    path = tmp_path / "farm.csv"

    def late() -> None:
        with replacing(path) as beside:
            beside.write_text("mine")
            path.write_text("another's")

    with pytest.raises(UserError, match="exists and is left as it is"):
        late()
    assert path.read_text() == "another's"
    assert os.listdir(tmp_path) == ["farm.csv"]


FULL = """
import resource, sys
from hayfuncs.cli import main
from hayfuncs.workbook import write
when, room = sys.argv.pop(1), int(sys.argv.pop(1))
def fill():
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, -1))
def filling(*given, replacing=write.replacing):
    fill()
    return replacing(*given)
if when == "from the start":
    fill()
else:
    write.replacing = filling
sys.argv = ["hayfuncs", *sys.argv[1:]]
main()
"""


@POSIX
@pytest.mark.parametrize(
    ("when", "room", "words"),
    [
        ("from the start", 30_000, "no room for its working files: free some space"),
        # the engine's own working file needs more room than the workbook, so the disk fills once all is computed
        ("at the write", 600_000, "cannot be written, the system says: file too large"),
    ],
)
def test_a_full_disk_leaves_the_old_workbook_and_nothing_else(tmp_path, when, room, words):
    """A limit on a file's size stands for the full disk: the engine's own file, or the write, fails in the middle."""
    made = tmp_path / "demo"
    made.mkdir()
    path = made / "hayfuncs-demo-plain.xlsx"
    path.write_text("mine")
    command = [sys.executable, "-c", FULL, when, str(room), "demo", "--out", str(made), "--edition", "plain", "--force"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=WAIT, cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert words in done.stderr
    assert path.read_text() == "mine"
    assert os.listdir(made) == ["hayfuncs-demo-plain.xlsx"]


@POSIX
def test_a_run_that_is_killed_while_it_writes_a_workbook(tmp_path):
    made = tmp_path / "demo"
    made.mkdir()
    path = made / "hayfuncs-demo-plain.xlsx"
    path.write_text("mine")
    command = [sys.executable, "-m", "hayfuncs.cli", "demo", "--out", str(made), "--edition", "plain", "--force"]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
        until = time.monotonic() + WAIT
        while time.monotonic() < until and run.poll() is None:
            half = [p for p in made.glob(f"{BESIDE}*") if p.suffix == ".xlsx"]
            if half:
                break
            time.sleep(0.001)
        run.kill()
    assert half, "it was killed while it wrote"
    left = path.read_bytes()  # the old one, or the whole new one where the kill came after the replacing
    assert left == b"mine" or left[:2] == b"PK"
    with replacing(made / "next.csv") as beside:
        beside.write_text("next")
    assert sorted(os.listdir(made)) == ["hayfuncs-demo-plain.xlsx", "next.csv"]
