"""A small coverage-guided fuzzer of our own: inputs that reach a new line of the code are kept and bred.

It needs nothing but the interpreter, so it runs in the default tests for a bounded time; the one
in tests/fuzz does the same with Atheris, for as long as one likes.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from types import FrameType
from typing import Any

SCRAPS = (
    "A1", "$B$2", "A:A", "1:1", "XFD1048576", "'It''s'!", "[1]S!", "Lots!$A$8:$A$17", "SUM(", "_xlfn.LAMBDA(_xlpm.x,", "HAY.DRY_WEIGHT(", ")", "(",
    '"', '""', "'", "!", "#REF!", "#N/A", "{", "}", ";", ",", ":", "%", "^", "-", "--", "<>", ">=", "&", "@", "#", "1E", "1E-", ".", ".5", " ", "\t",
    "TRUE", "T[[#This Row],[x]]", "[", "]", "\\", "?", "é", "\x00", "$", "9" * 8,
)  # fmt: skip


@dataclass
class Guided:
    """Feeds `target` with texts; whatever it raises but `allowed` is a failure."""

    target: Callable[[str], Any]
    allowed: tuple[type[Exception], ...]
    files: tuple[str, ...]  # ends of the file names whose lines count
    seed: int = 1
    reached: set[tuple[str, int, int]] = field(default_factory=set)
    corpus: list[str] = field(default_factory=list)
    tried: int = 0

    def _run(self, text: str) -> set[tuple[str, int, int]]:
        found: set[tuple[str, int, int]] = set()
        last = [0]

        def line(frame: FrameType, event: str, _: Any) -> Any:
            if event == "line":
                found.add((frame.f_code.co_filename, last[0], frame.f_lineno))
                last[0] = frame.f_lineno
            return line

        def called(frame: FrameType, _: str, __: Any) -> Any:
            return line if frame.f_code.co_filename.endswith(self.files) else None

        before = sys.gettrace()
        sys.settrace(called)
        try:
            self.target(text)
        except self.allowed:
            pass
        finally:
            sys.settrace(before)
        return found

    def run(self, start: list[str], seconds: float) -> None:
        r = random.Random(self.seed)
        end = time.monotonic() + seconds
        for text in start:
            self._keep(text)
        while time.monotonic() < end:
            self._keep(self._bred(r))

    def _keep(self, text: str) -> None:
        self.tried += 1
        found = self._run(text)
        if not found <= self.reached or len(self.corpus) < 8:
            self.reached |= found
            self.corpus.append(text)

    def _bred(self, r: random.Random) -> str:
        text = r.choice(self.corpus)
        for _ in range(r.choice((1, 1, 2, 4))):
            at = r.randrange(len(text) + 1)
            way = r.randrange(5)
            if way == 0:
                text = text[:at] + r.choice(SCRAPS) + text[at:]
            elif way == 1:
                text = text[:at] + text[at + r.randrange(1, 6) :]
            elif way == 2:
                text = (
                    text[:at]
                    + chr(r.choice((r.randrange(32, 127), r.randrange(0x110000 - 2048) % 0xD800)))
                    + text[at + 1 :]
                )
            elif way == 3:
                other = r.choice(self.corpus)
                text = text[:at] + other[r.randrange(len(other) + 1) :]
            else:
                text = text[:at] + text[at : at + r.randrange(1, 12)] * r.choice((2, 3, 40)) + text[at:]
        return text[:9000]
