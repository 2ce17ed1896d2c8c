"""A process that answers one JSON line with one JSON line: the office driver and the xlwings one."""

from __future__ import annotations

import json
import subprocess
from typing import Any


class Answers:
    """`answers.read(1, 2)` sends {"do": "read", "with": [1, 2]} and gives what comes back."""

    def __init__(self, command: list[str], environment: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
        )

    def answer(self) -> Any:
        assert self.process.stdout
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError(f"the process ended with code {self.process.wait()}")
        found = json.loads(line)
        if "error" in found:
            raise RuntimeError(found["error"])
        return found["answer"]

    def __getattr__(self, name: str) -> Any:
        def ask(*args: Any) -> Any:
            assert self.process.stdin
            self.process.stdin.write(json.dumps({"do": name, "with": args}) + "\n")
            self.process.stdin.flush()
            return self.answer()

        return ask

    def end(self) -> None:
        assert self.process.stdin
        assert self.process.stdout
        self.process.stdin.close()  # its input ends, and so does the process
        try:
            self.process.wait(40)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.process.stdout.close()
