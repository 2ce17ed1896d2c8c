"""`hayfuncs calc-addin --add` and `--remove`, from a shell in which another Python stands first."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from hosts import officelib

import hayfuncs
from hayfuncs.hosts.calc import adding

TREE = str(Path(hayfuncs.__file__).parents[1])
posix = pytest.mark.skipif(sys.platform == "win32", reason="a shell script stands for the tool")


def run(*arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hayfuncs.cli", "calc-addin", *arguments],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": TREE, **more},
        timeout=300,
    )


def tool(folder: Path, body: str) -> str:
    """A folder whose `unopkg` is a script; gives a PATH that finds it."""
    folder.mkdir()
    script = folder / "unopkg"
    script.write_text(f"#!/bin/sh\n{body}\n")
    script.chmod(script.stat().st_mode | stat.S_IXUSR)
    return f"{folder}{os.pathsep}{os.environ['PATH']}"


def test_the_tool_sees_no_environment_of_python() -> None:
    given = {
        "PATH": "/srv/x/.venv/bin:/usr/bin", "VIRTUAL_ENV": "/srv/x/.venv", "PYTHONHOME": "/opt/p", "PYTHONPATH": "/q",
        "CONDA_PREFIX": "/opt/conda", "PYENV_VERSION": "3.11.7", "HOME": "/srv/x", "LANG": "C.UTF-8",
    }  # fmt: skip
    clean = adding.clean_environment(given)
    assert set(clean) == {"PATH", "HOME", "LANG"}
    assert ".venv" not in clean["PATH"]


@posix
def test_what_was_run_is_said_and_the_path_was_clean(tmp_path: Path) -> None:
    seen = tmp_path / "seen"
    path = tool(tmp_path / "tool", f'echo "$PATH|$VIRTUAL_ENV|$@" > {seen}')
    done = run("--add", "--profile", str(tmp_path / "profile"), PATH=path, VIRTUAL_ENV="/somewhere")
    assert done.returncode == 0, done.stderr
    assert "unopkg add -f" in done.stdout
    assert "Start LibreOffice anew" in done.stdout
    searched, environment, arguments = seen.read_text().split("|")
    assert searched == os.pathsep.join(adding.SYSTEM_FOLDERS)
    assert environment == ""
    assert arguments.strip().endswith("hayfuncs.oxt")


@posix
@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("ImportError: hayfuncs needs numpy inside the office's own Python (3.8).", "hayfuncs needs numpy"),
        ("ERROR: unopkg cannot be started. The lock file indicates it as already running.", "already running"),
    ],
)
def test_a_tool_that_fails_is_one_sentence(tmp_path: Path, said: str, told: str) -> None:
    path = tool(tmp_path / "tool", f'echo "{said}" >&2; echo "ERROR: unopkg failed." >&2; exit 1')
    done = run("--add", "--profile", str(tmp_path / "profile"), PATH=path)
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.parametrize("arguments", [[], ["--remove", "--add"], ["x.oxt", "--remove"]])
def test_a_wish_that_makes_no_sense_is_refused(arguments: list[str], tmp_path: Path) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert not Path("x.oxt").exists()


@pytest.mark.libreoffice
def test_added_and_removed_in_a_real_office(tmp_path: Path) -> None:
    officelib.demand_office()
    profile = tmp_path / "profile"
    added = run("--add", "--profile", str(profile))  # sys.executable's environment stands on PATH, as for a user
    assert added.returncode == 0, added.stderr
    office = officelib.Office(profile)
    try:
        assert officelib.evaluate(office, [["=HAY.DRY_WEIGHT(2000;87)"]]) == [[1740.0]]
    finally:
        office.end()
    removed = run("--remove", "--profile", str(profile))
    assert removed.returncode == 0, removed.stderr
    again = run("--remove", "--profile", str(profile))
    assert again.returncode == 2
    assert "nothing to remove" in again.stderr
