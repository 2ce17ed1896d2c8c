"""Every formula recomputed by the embedded engine, in a process that may fail without harm."""

from __future__ import annotations

import contextlib
import subprocess
import sys
import threading
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.worker import receive, send
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData

TOLERANCE = 1e-9
ROUNDS = 12  # of setting aside what stops the engine
SPARSE = 30  # cells asked for at once for each one wanted
GRACE = 5.0  # seconds after which the engine ends itself, when nobody is left to end it
BLOCK = 400_000  # cells asked for at once
CANNOT = ("#NAME?", "#ERROR", "#NIMPL", "#UNKNOWN")  # the engine's words for "I do not know this"
Change = tuple[str, int, int, str | None, Any]


class EngineFailed(RuntimeError):
    """The engine's process ended or ran out of time; its message says which."""


class Engine:
    """The engine's process; use it in a `with` block."""

    def __init__(self, seconds: float = limits.WORKER_SECONDS) -> None:
        # the path is handed over whole, so that nothing in the current folder is imported by chance
        start = (
            f"import sys; sys.path[:] = {sys.path!r}; from hayfuncs.audit.worker import main; main({seconds + GRACE})"
        )
        self.process = subprocess.Popen(
            [sys.executable, "-c", start], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self.late = False
        self.timer = threading.Timer(seconds, self._stop)
        self.timer.daemon = True
        self.timer.start()

    def _stop(self) -> None:
        self.late = True
        self.process.kill()

    def __enter__(self) -> Engine:
        return self

    def __exit__(self, *_: object) -> None:
        self.timer.cancel()
        for stream in (self.process.stdin, self.process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        self.process.kill()
        self.process.wait()

    def ask(self, name: str, *args: Any) -> Any:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        try:
            send(self.process.stdin, (name, args))
            fault, answer = receive(self.process.stdout)
        except (EOFError, OSError):
            why = (
                "ran out of its time" if self.late else "ended by itself (too much memory, or a formula it cannot bear)"
            )
            raise EngineFailed(f"the engine {why}") from None
        if fault:
            raise EngineFailed(f"the engine refused: {fault[:200]}")
        return answer


@dataclass
class Recomputed:
    """What the engine made of each formula cell, and which it could not work out, and why."""

    values: dict[Node, Value] = field(default_factory=dict)
    skipped: dict[Node, str] = field(default_factory=dict)
    gaps: dict[Node, str] = field(default_factory=dict)  # of the skipped: those that the engine cannot, not the file
    failure: str = ""

    @property
    def done(self) -> int:
        return len(self.values)


def same(left: Value, right: Value) -> bool:
    """Equal within 1e-9, relative or absolute; an empty cell equals an empty text."""
    if isinstance(left, bool) or isinstance(right, bool):
        return left is right
    if isinstance(left, (int, float)) and isinstance(right, (int, float)):
        return abs(left - right) <= TOLERANCE * max(1.0, abs(left), abs(right))
    return (left if left is not None else "") == (right if right is not None else "")


def as_value(given: Any) -> Value:
    """An answer of the engine in the model's terms."""
    if given is None or isinstance(given, (bool, float)):
        return given
    if isinstance(given, int):
        return float(given)
    if isinstance(given, list):  # a block where one cell is asked for: its first value
        return as_value(given[0][0]) if given and given[0] else None
    text = str(given)
    return ErrorValue(text) if text.startswith("#") and text.isupper() else text


def recompute(engine: Engine, data: bytes, book: WorkbookData, formulas: Formulas) -> Recomputed:
    """Load, set aside what the engine cannot know, compute, and fetch every formula cell."""
    out = Recomputed(skipped=dict(formulas.unreadable))
    try:
        engine.ask("load", data)
        _pin(engine, book, list(out.skipped))
        for _ in range(ROUNDS):
            fault = engine.ask("evaluate")
            more = _stoppers(fault, formulas, out) if fault else _unknown(engine, book, formulas, out)
            if not more:
                break
            out.skipped |= more
            _pin(engine, book, list(more))
        if fault:
            raise EngineFailed(f"the engine refused: {fault[:200]}")
        _fetch(engine, book, out)
    except EngineFailed as error:
        out.failure = str(error)
        out.values.clear()
        out.skipped = dict.fromkeys(book.formulas, str(error))
    return out


def set_aside(engine: Engine, book: WorkbookData, out: Recomputed, cells: Iterable[Node], why: str) -> None:
    """Cells that the engine cannot work out right keep their stored value; the rest is computed anew."""
    for at in cells:
        out.skipped[at] = out.gaps[at] = why
    try:
        _pin(engine, book, list(cells))
        engine.ask("evaluate")
        _fetch(engine, book, out)
    except EngineFailed as error:
        out.failure = str(error)
        out.values.clear()
        out.skipped = dict.fromkeys(book.formulas, str(error))


def _pin(engine: Engine, book: WorkbookData, cells: list[Node]) -> None:
    """Cells that are not recomputed keep their stored value, so that others can be."""
    if cells:
        engine.ask("put", [change(book, at, None, book.values.get(at)) for at in cells])


def change(book: WorkbookData, at: Node, formula: str | None, value: Value) -> Change:
    sheet, row, col = place(at)
    return book.sheets[sheet].name, row, col, formula, str(value) if isinstance(value, ErrorValue) else value


def as_is(book: WorkbookData, at: Node, skipped: dict[Node, str]) -> Change:
    """What puts a cell back as the file has it (or as it was pinned)."""
    return change(book, at, None if at in skipped else book.formulas.get(at), book.values.get(at))


def _stoppers(fault: str, formulas: Formulas, out: Recomputed) -> dict[Node, str]:
    """The cells that name what the engine says it does not know."""
    unknown = fault.rpartition(": ")[2].strip()
    word = unknown.rpartition("!")[2] if "[" not in unknown else unknown
    found: dict[Node, str] = {}
    for pattern in formulas.patterns.values():
        if word and word.casefold() in pattern.text.casefold():
            found |= {at: f"the engine: {fault[:80]}" for at in pattern.cells if at not in out.skipped}
    return found


def _unknown(engine: Engine, book: WorkbookData, formulas: Formulas, out: Recomputed) -> dict[Node, str]:
    """Cells that call what the engine does not have: their stored value stands in, once."""
    _fetch(engine, book, out)
    found: dict[Node, str] = {}
    for at, value in out.values.items():
        if at in out.skipped or not isinstance(value, ErrorValue) or not value.startswith(CANNOT):
            continue
        if isinstance(book.values.get(at), ErrorValue):
            continue
        pattern = formulas.of[at]
        foreign = [name for name in pattern.calls if name not in formulas.known_calls]
        if foreign or not value.startswith("#NAME?"):
            what = ", ".join(foreign[:3]) or "a construction"
            found[at] = out.gaps[at] = f"the engine does not know {what}"
    return found


def _fetch(engine: Engine, book: WorkbookData, out: Recomputed) -> None:
    out.values.clear()
    wanted: dict[int, list[Node]] = {}
    for at in book.formulas:
        if at not in out.skipped:
            wanted.setdefault(place(at)[0], []).append(at)
    for number, cells in wanted.items():
        here = set(cells)
        for row, col, last_row, last_col in blocks([place(at)[1:] for at in cells]):
            block = engine.ask("block", book.sheets[number].name, row, col, last_row, last_col)
            for r, line in enumerate(block, row):
                for c, value in enumerate(line, col):
                    at = node(number, r, c)
                    if at in here:
                        out.values[at] = as_value(value)


def blocks(cells: list[tuple[int, int]]) -> Iterator[tuple[int, int, int, int]]:
    """Areas that hold all the cells and not many others: what lies far apart is asked for apart."""
    waiting = [cells]
    while waiting:
        part = waiting.pop()
        rows, cols = [row for row, _ in part], [col for _, col in part]
        area = (min(rows), min(cols), max(rows), max(cols))
        size = (area[2] - area[0] + 1) * (area[3] - area[1] + 1)
        if size <= min(SPARSE * len(part), BLOCK):
            yield area
            continue
        axis = 0 if area[2] - area[0] >= area[3] - area[1] else 1
        middle = (area[axis] + area[axis + 2]) // 2
        waiting.append([at for at in part if at[axis] > middle])
        waiting.append([at for at in part if at[axis] <= middle])


def engine_version() -> str:
    from importlib.metadata import version

    return f"formualizer {version('formualizer')}"
