"""Broken and hostile files are refused: exit code 2, one clear sentence, quickly, in little memory, no door opened."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from audit import rawlib, refusedlib, watched
from audit.watched import Run

SECONDS = 5.0  # processor time for one file
MEGABYTES = 400.0  # for all of them, the interpreter's own 40 among it
LONGEST = 400  # characters of a refusal

Runs = tuple[dict[str, str], dict[str, Run], list[str], bool]


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory, listener: socket.socket) -> Runs:
    if not os.path.exists("/proc/self/mem"):
        pytest.skip("not run: the system has no /proc and no /dev/zero")
    folder = tmp_path_factory.mktemp("refused")
    words = refusedlib.written(folder, listener.getsockname()[1])
    before = watched.state(folder)
    found, doors = watched.batch(list(words), folder)
    return words, found, doors, watched.state(folder) == before


def test_each_is_refused_in_one_sentence(runs: Runs) -> None:
    words, found, _, _ = runs
    assert len(words) > 80
    wrong = []
    for name, run in found.items():
        said = run.err
        if (
            run.code != 2 or run.out or words[name] not in said or not said.startswith("hayfuncs: ") or said.count("\n") != 1
            or len(said) > LONGEST or not said.strip().isprintable() or "Traceback" in said
        ):  # fmt: skip
            wrong.append(f"{name}: {run.code} {said[:500]!r} without {words[name]!r} {run.out[:80]!r}")
    assert not wrong


def test_within_time_and_memory(runs: Runs) -> None:
    _, found, _, _ = runs
    assert {name: run.seconds for name, run in found.items() if run.seconds > SECONDS} == {}
    assert max(run.megabytes for run in found.values()) < MEGABYTES


def test_nothing_is_run_fetched_or_written(runs: Runs, listener: socket.socket) -> None:
    _, _, doors, untouched = runs
    assert doors == []
    assert untouched
    with pytest.raises(BlockingIOError):  # nobody has called
        listener.accept()


def test_the_watch_sees(tmp_path: Path) -> None:
    """The watch itself: a process that writes, starts and connects is caught at each."""
    script = (
        "import os,socket,subprocess,sys\nopen('x','w').close()\nos.rename('x','y')\nsubprocess.run([sys.executable,'-c','1'])\n"
        "try: socket.create_connection(('127.0.0.1',9),0.1)\nexcept OSError: pass\n"
    )
    kept, watched.BATCH = watched.BATCH, script
    try:
        _, doors = watched.batch([], tmp_path)
    finally:
        watched.BATCH = kept
    seen = " ".join(doors)
    for words in ("write x", "os.rename", "start ", "socket.connect"):
        assert words in seen


def test_an_unreadable_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "closed.xlsx"
    path.write_bytes(rawlib.small())
    path.chmod(0)
    if os.access(path, os.R_OK):
        pytest.skip("not run: this user may read every file")
    found, _ = watched.batch([path.name], tmp_path)
    assert found[path.name].code == 2
    assert "cannot use the file" in found[path.name].err
