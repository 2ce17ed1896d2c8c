"""What is told while something takes long: one moving line on a terminal, plain lines elsewhere, nothing in the answer."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import threading

WORK = """
import sys, time
from hayfuncs.commands import progress as p
p.AGAIN = float(sys.argv[1])
with p.progress("reading [farm].xlsx") as tell:
    for beat in range(5):
        time.sleep(0.1)
        tell(f"looking for the cheapest plan: {beat} s")
    tell("computing the workbook")
print("the answer")
"""


def run(again: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", WORK, again], capture_output=True, text=True, timeout=60, check=True)


def test_a_pipe_gets_a_line_for_each_step_and_none_for_each_second() -> None:
    done = run("99")
    assert done.stdout == "the answer\n"
    assert done.stderr.splitlines() == [
        "  ... reading [farm].xlsx",
        "  ... looking for the cheapest plan: 0 s",
        "  ... computing the workbook",
    ]


def test_a_long_step_is_told_again() -> None:
    lines = run("0.15").stderr.splitlines()
    assert 3 < len(lines) < 7
    assert lines[-1] == "  ... computing the workbook"


def test_a_terminal_gets_one_moving_line_that_goes() -> None:
    ours, theirs = pty.openpty()
    shown = bytearray()

    def watch() -> None:
        try:
            while data := os.read(ours, 65536):
                shown.extend(data)
        except OSError:  # the other end is closed
            return

    watching = threading.Thread(target=watch)
    watching.start()
    environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "FORCE_COLOR")} | {"TERM": "xterm"}
    command = [sys.executable, "-c", WORK, "99"]
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=theirs, env=environment, timeout=60, check=True)
    os.close(theirs)
    watching.join(30)
    os.close(ours)
    assert done.stdout == b"the answer\n"
    text = shown.decode()
    assert "reading [farm].xlsx" in text
    assert "looking for the cheapest plan" in text
    assert "0:00:0" in text  # how long it has taken
    assert text.rstrip().endswith("\x1b[2K")  # the line is wiped at the end
    assert "  ... " not in text
