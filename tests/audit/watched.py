"""The command run in a process of its own under watch: time, memory, and every door it opened.

A hook in the interpreter (`watch/sitecustomize.py`, on the path of the command and of the engine's
process alike) notes each file opened for writing, each connection, each program started.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import hayfuncs

HERE = Path(__file__).parent
ROOT = Path(hayfuncs.__file__).parents[1]
KILLED_AFTER = 300.0  # seconds; a run that long is a failure of its own


# A small process between the tests and the command: what a process inherits at its start counts as its
# own largest size, and the tests have grown to hundreds of megabytes by then.
BETWEEN = """
import json, resource, subprocess, sys
code = subprocess.call(sys.argv[2:])
used = resource.getrusage(resource.RUSAGE_CHILDREN)
with open(sys.argv[1], "w") as spent:
    json.dump([code, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024], spent)
"""


@dataclass
class Run:
    code: int
    out: str
    err: str
    seconds: float  # processor time, of the engine's process too: other work on the machine does not count
    megabytes: float  # the largest of its processes at its largest
    doors: list[str]

    @property
    def sentence(self) -> str:
        return self.err.removeprefix("hayfuncs: ").strip()


def run(*args: str | Path, folder: Path) -> Run:
    """`hayfuncs ARGS` in a folder."""
    with tempfile.TemporaryDirectory() as kept:
        log, out, err, spent = (Path(kept) / name for name in ("doors", "out", "err", "spent"))
        with out.open("wb") as to, err.open("wb") as complaints:
            process = subprocess.Popen(
                [sys.executable, "-I", "-S", "-c", BETWEEN, spent, sys.executable, "-m", "hayfuncs.cli", *map(str, args)],
                cwd=folder, env=_watching(log), stdout=to, stderr=complaints, stdin=subprocess.DEVNULL, start_new_session=True,
            )  # fmt: skip
            try:
                process.wait(KILLED_AFTER)
            except subprocess.TimeoutExpired:
                os.killpg(process.pid, signal.SIGKILL)
                raise
        code, seconds, megabytes = json.loads(spent.read_text("utf-8"))
        return Run(code, out.read_text("utf-8"), err.read_text("utf-8"), seconds, megabytes, _doors(log))


def _watching(log: Path) -> dict[str, str]:
    path = f"{HERE / 'watch'}{os.pathsep}{ROOT}"
    return {**os.environ, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1", "WATCH_LOG": str(log), "COLUMNS": "200"}


def _doors(log: Path) -> list[str]:
    return [json.loads(line) for line in log.read_text("utf-8").splitlines()] if log.exists() else []


def state(folder: Path, but: Sequence[str] = ()) -> dict[str, bytes]:
    """Every file of a folder with what is in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name not in but and os.access(path, os.R_OK)
    }


BATCH = """
import contextlib, io, json, sys, time
from hayfuncs import cli
for name in json.loads(sys.stdin.read()):
    out, err, began = io.StringIO(), io.StringIO(), time.process_time()
    sys.argv = ["hayfuncs", "audit", name]
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            cli.main()
            code = 0
        except SystemExit as end:
            code = end.code or 0
    peak = int(next(line for line in open("/proc/self/status") if line.startswith("VmHWM")).split()[1]) / 1024
    print(json.dumps([code, out.getvalue(), err.getvalue(), time.process_time() - began, peak]))
"""


def batch(names: Sequence[str], folder: Path) -> tuple[dict[str, Run], list[str]]:
    """`hayfuncs audit` over several files in one process under watch, and the doors that it opened in all."""
    with tempfile.TemporaryDirectory() as kept:
        log = Path(kept) / "doors"
        done = subprocess.run(
            [sys.executable, "-c", BATCH], input=json.dumps(list(names)), cwd=folder, env=_watching(log), capture_output=True,
            text=True, timeout=KILLED_AFTER, check=True,
        )  # fmt: skip
        doors = _doors(log)
    rows = [json.loads(line) for line in done.stdout.splitlines()]
    return {name: Run(*row, []) for name, row in zip(names, rows, strict=True)}, doors
