"""Strange workbooks are read all the same: within limits, one audit each, no door opened but the engine's."""

from __future__ import annotations

import mmap
import os
import re
import signal
import socket
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest
from audit import handledlib, rawlib, watched
from audit.handledlib import Handled

from hayfuncs.audit import guard
from hayfuncs.audit.run import audit
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.parser import tree
from hayfuncs.spreadsheet.tokens import Malformed

CASES = {case.name: case for case in handledlib.bodies(0)}


@pytest.mark.parametrize("name", CASES)
def test_it_is_handled(name: str, listener: socket.socket, tmp_path: Path) -> None:
    port = listener.getsockname()[1]
    case: Handled = next(c for c in handledlib.bodies(port) if c.name == name)
    (tmp_path / name).write_bytes(case.content)
    run = watched.run("audit", name, "--notes", folder=tmp_path)
    assert run.err == ""
    assert run.code == case.code or (case.code < 0 and run.code in (0, 1))
    said = " ".join(run.out.split())
    for words in case.words:
        assert words in said
    assert all(line.isprintable() for line in run.out.splitlines())
    assert run.seconds < case.seconds
    assert run.megabytes < case.megabytes
    assert (
        1 <= len(run.doors) <= 2
    )  # the engine's process, the second engine's where the two are compared, and nothing else
    assert all(re.match(r"start \S*python\S* -c import sys; sys\.path", door) for door in run.doors)
    assert watched.state(tmp_path) == {name: case.content}
    with pytest.raises(BlockingIOError):
        listener.accept()


def test_text_stays_text_in_the_report(tmp_path: Path) -> None:
    """What looks like a formula, a command or a link in the file is plain text in the report."""
    for name in ("sly-text.xlsx", "sly-sheet.xlsx", "dde.xlsx", "outside.xlsx"):
        (tmp_path / name).write_bytes(CASES[name].content)
        run = watched.run("audit", name, "--out", "report.xlsx", "--force", folder=tmp_path)
        assert run.code in (0, 1), run.err
        book = openpyxl.load_workbook(tmp_path / "report.xlsx")
        cells = [cell for sheet in book for line in sheet.iter_rows() for cell in line if cell.value is not None]
        assert len(cells) > 50
        assert not [cell.coordinate for cell in cells if cell.data_type == "f"]
        links = [cell.hyperlink for cell in cells if cell.hyperlink is not None]
        assert not [link for link in links if link.target]  # links within the report only
        assert not book._external_links
        held = {path.name for path in tmp_path.iterdir()}
        assert held == {name, "report.xlsx"}
        (tmp_path / name).unlink()


@pytest.mark.parametrize("mark", ["~$open.xlsx", ".~lock.open.xlsx#"])
def test_a_workbook_that_is_open_elsewhere(mark: str, tmp_path: Path) -> None:
    path = tmp_path / "open.xlsx"
    path.write_bytes(rawlib.small())
    (tmp_path / mark).write_bytes(b"\x05Agent" + bytes(159))
    assert "open in a spreadsheet program" in " ".join(audit(path).book.notes)
    with pytest.raises(UserError, match=r"is no \.xlsx workbook"):
        audit(tmp_path / mark)


def test_too_many_cells_and_formulas(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "many.xlsx"
    path.write_bytes(CASES["long-chain.xlsx"].content)
    monkeypatch.setattr(limits, "CELLS", 59_999)
    with pytest.raises(UserError, match="more than 59,999 filled cells"):
        audit(path)
    rows = "".join(f'<row r="{i}"><c r="A{i}"><f>1+{i}</f><v>{i + 1}</v></c></row>' for i in range(1, 50))
    path.write_bytes(rawlib.small(sheet=rawlib.sheet(rows)))
    monkeypatch.setattr("hayfuncs.audit.graph.PATTERNS", 48)
    with pytest.raises(UserError, match="more than 48 formulas that are not copies"):
        audit(path)


def _without_end() -> None:
    while True:
        sum(range(1000))


def test_time_and_memory_have_an_end(tmp_path: Path) -> None:
    path = tmp_path / "long.xlsx"
    with pytest.raises(UserError, match=r"took longer than 0\.05 s"), guard.bounded(path, seconds=0.05):
        _without_end()
    with pytest.raises(KeyboardInterrupt), guard.bounded(path):
        raise KeyboardInterrupt
    with pytest.raises(UserError, match="more memory"), guard.bounded(path):
        bytearray(limits.ADDRESS_BYTES + 200 * limits.MEGABYTE)
    held = mmap.mmap(
        -1, limits.ADDRESS_BYTES, mmap.MAP_PRIVATE
    )  # a program that has taken as much before still has its audit
    with guard.bounded(path):
        bytearray(limits.MEGABYTE)
    held.close()


IN_TIME = """
import time
from pathlib import Path
from hayfuncs.audit.guard import bounded
from hayfuncs.contract.files import UserError
path, end = Path("long.xlsx"), time.monotonic() + 120
try:
    with bounded(path, seconds=0.3):
        try:
            while time.monotonic() < end:
                pass
        except Exception:
            pass
except UserError as error:
    print(error)
for _ in range(300):  # work that ends just when its time does: in time or not, and nothing comes later
    try:
        with bounded(path, seconds=0.001):
            sum(range(20_000))
    except UserError:
        pass
with bounded(path, seconds=0.01):
    pass
time.sleep(0.1)
print(time.monotonic() < end)
"""


def _ignore_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@pytest.mark.skipif(os.name != "posix", reason="not run: jobs in the background are a shell's")
def test_time_has_an_end_in_a_background_job_too() -> None:
    """A shell lets the jobs that it starts with `&` ignore SIGINT; so do nohup and cron."""
    done = subprocess.run(
        [sys.executable, "-c", IN_TIME], cwd=watched.ROOT, capture_output=True, text=True, timeout=200, check=False,
        preexec_fn=_ignore_interrupts,
    )  # fmt: skip
    assert (done.stdout, done.stderr) == ("long.xlsx took longer than 0.3 s and the audit was stopped\nTrue\n", "")


def test_the_engine_ends_itself_when_nobody_ends_it() -> None:
    """Whoever started it was killed with the pipe still open elsewhere: its own clock ends it, though it waits or works."""
    code = "from hayfuncs.audit import worker; worker.receive = lambda _: sum(range(10**12)); worker.main(0.5)"
    for work in (code, "from hayfuncs.audit.worker import main; main(0.5)"):
        process = subprocess.Popen(
            [sys.executable, "-c", work], cwd=watched.ROOT, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL
        )
        assert process.wait(60) != 0
        assert process.stdin is not None
        process.stdin.close()


def test_a_tree_at_its_limit_goes_through_every_part_of_the_audit(tmp_path: Path) -> None:
    """The deepest formula that is still read is traced, reported, compared and moved without a fault."""
    text = "+".join(["B1"] * limits.LEVELS)
    assert tree(text)
    with pytest.raises(Malformed, match="upon one another"):
        tree(text + "+B1")
    deep = "(" * 62 + "B1+1" + ")*2" * 62
    assert tree(deep)
    rows = (
        rawlib.ROWS
        + handledlib.formula(text, str(40.0 * limits.LEVELS))
        + handledlib.formula(deep, str(41.0 * 2**62), "B4")
    )
    name = "deep.xlsx"
    (tmp_path / name).write_bytes(rawlib.small(sheet=rawlib.sheet(rows)))
    (tmp_path / "older.xlsx").write_bytes(rawlib.small())
    for args in (
        (name, "--cell", "Hay!B3"),
        (name, "--cell", "Hay!B4"),
        (name, "--out", "r.xlsx", "--sensitivity"),
        (name, "--against", "older.xlsx"),
    ):
        run = watched.run("audit", *args, folder=tmp_path)
        assert run.code in (0, 1)
        assert run.err == ""
