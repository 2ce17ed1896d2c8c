"""The embedded engine in a process of its own, which `recompute.Engine` starts.

A formula that eats memory or time then ends this process, never the audit.  Requests and
answers are pickled through the standard streams, each behind its length; nothing else talks
to it, and it opens no file and no connection.
"""

from __future__ import annotations

import faulthandler
import os
import pickle
import struct
import sys
from typing import IO, Any

LENGTH = struct.Struct(">Q")
SPELLINGS = ("HAY.", "HAY_", "_xldudf_HAY_")


def send(stream: IO[bytes], message: Any) -> None:
    data = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    stream.write(LENGTH.pack(len(data)))
    stream.write(data)
    stream.flush()


def receive(stream: IO[bytes]) -> Any:
    """The next message, or EOFError when the other side has ended."""
    head = stream.read(LENGTH.size)
    if len(head) < LENGTH.size:
        raise EOFError
    (size,) = LENGTH.unpack(head)
    data = stream.read(size)
    if len(data) < size:
        raise EOFError
    return pickle.loads(data)


class Bench:
    """One workbook in the engine, and what can be asked of it."""

    def __init__(self) -> None:
        self.book: Any = None

    def load(self, data: bytes) -> str:
        from hayfuncs.hosts import engine

        self.book = engine.load(data, SPELLINGS[0])
        for spelling in SPELLINGS[1:]:
            engine.register(self.book, spelling)
        self.book.set_temporal_egress("serial")  # dates as the numbers that the file holds
        return ""

    def put(self, cells: list[tuple[str, int, int, str | None, Any]]) -> str:
        """Formula (without its equals sign) or, where that is None, a value, into each cell."""
        for sheet, row, col, formula, value in cells:
            if formula is None:
                self.book.set_value(sheet, row + 1, col + 1, value)
            else:
                self.book.set_formula(sheet, row + 1, col + 1, "=" + formula)
        return ""

    def evaluate(self) -> str:
        """Everything computed; or the engine's own words on what stopped it."""
        try:
            self.book.evaluate_all()
        except Exception as error:  # the engine raises its own kinds; all mean "not computed"
            return str(error) or type(error).__name__
        return ""

    def block(self, name: str, row: int, col: int, last_row: int, last_col: int) -> list[list[Any]]:
        import formualizer

        from hayfuncs.spreadsheet.engine_values import plain_value

        area = formualizer.RangeAddress(name, row + 1, col + 1, last_row + 1, last_col + 1)
        return [[plain_value(value) for value in row] for row in self.book.sheet(name).get_values(area)]

    def cells(self, wanted: list[tuple[str, int, int]]) -> list[Any]:
        from hayfuncs.spreadsheet.engine_values import plain_value

        return [plain_value(self.book.evaluate_cell(sheet, row + 1, col + 1)) for sheet, row, col in wanted]

    def other(self, data: bytes, wanted: list[tuple[int, int, int]]) -> list[Any]:
        """Cells by another engine, which follows Excel 365 and knows other functions."""
        import formulon

        with formulon.Workbook.load(data) as running:
            running.recalc()
            return [_of_other(running.get_value(*place)) for place in wanted]

    def trial(
        self,
        change: list[tuple[str, int, int, str | None, Any]],
        undo: list[tuple[str, int, int, str | None, Any]],
        watch: list[tuple[str, int, int]],
    ) -> list[Any]:
        """The watched cells under a change, which is taken back."""
        self.put(change)
        try:
            if self.evaluate():  # it cannot be computed as a whole: each watched cell for itself
                return self.cells(watch)
            return [self.block(sheet, row, col, row, col)[0][0] for sheet, row, col in watch]
        finally:
            self.put(undo)


def _of_other(value: Any) -> Any:
    import formulon

    if value.kind == formulon.ValueKind.ERROR:
        return formulon.error_display_name(value.error_code)
    return value.to_python()


def limit_memory() -> None:
    """An end to what a formula can ask for, where the system has one."""
    try:
        import resource
    except ImportError:  # Windows has no such limit; the time limit still holds
        return
    from hayfuncs.spreadsheet.limits import WORKER_BYTES

    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    most = WORKER_BYTES if hard == resource.RLIM_INFINITY else min(WORKER_BYTES, hard)
    resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def limit_time(seconds: float) -> None:
    """An end of its own, held by no signal and no lock: whoever started it may have been killed."""
    faulthandler.dump_traceback_later(seconds, exit=True, file=open(os.devnull, "w"))  # noqa: SIM115  # open until then


def main(seconds: float) -> None:
    limit_memory()
    limit_time(seconds)
    bench = Bench()
    source, sink = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr  # a stray print must not end in the answers
    while True:
        try:
            name, args = receive(source)
        except EOFError:
            return
        try:
            answer = ("", getattr(bench, name)(*args))
        except Exception as error:
            answer = (f"{type(error).__name__}: {error}", None)
        send(sink, answer)
