"""The audit as a whole within a time and a memory, whatever a file makes of single steps of it."""

from __future__ import annotations

import ctypes
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import limits


class OutOfTime(BaseException):
    """Raised in the middle of the work when its time is up; no `except Exception` on the way holds it."""


@contextmanager
def bounded(path: Path, seconds: float = limits.SECONDS, most: int = limits.ADDRESS_BYTES) -> Iterator[None]:
    """End the work on a file in a sentence when it takes too long or too much memory."""
    try:
        with _time(seconds), _memory(most):  # a thread begun under the limit may find no room, and never start
            yield
    except OutOfTime:
        raise UserError(f"{path} took longer than {seconds:,.10g} s and the audit was stopped") from None
    except MemoryError:
        raise UserError(f"{path} needs more memory than the audit's {most / 1e9:.0f} GB; it was stopped") from None


@contextmanager
def _time(seconds: float) -> Iterator[None]:
    """Raise OutOfTime in this thread when the seconds are over.

    No signal is used: in a job that a shell started in the background (`&`, nohup, cron) SIGINT is
    ignored, and Windows has no alarm.  The interpreter raises it before its next step of Python;
    no single step of the audit is long but the engine's, which is a process with a limit of its own.
    """
    working = ctypes.c_ulong(threading.get_ident())
    raise_in = ctypes.pythonapi.PyThreadState_SetAsyncExc
    deciding = threading.Lock()
    done = False

    def stop() -> None:
        with deciding:
            if not done:
                raise_in(working, ctypes.py_object(OutOfTime))

    timer = threading.Timer(seconds, stop)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        with deciding:
            done = True
        timer.cancel()
        raise_in(working, None)  # what was raised too late to arrive


@contextmanager
def _memory(most: int) -> Iterator[None]:
    """A limit of the address space for the while, where the system has one: so much more than is in use."""
    try:
        import resource
    except ImportError:  # Windows: the limits on the file's size still hold
        yield
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    most += _in_use(resource.getpagesize())
    if soft != resource.RLIM_INFINITY and soft <= most:
        yield
        return
    resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))


def _in_use(page_bytes: int) -> int:
    """Address space that this process holds already; 0 where the system does not say."""
    try:
        return int(Path("/proc/self/statm").read_text("ascii").split()[0]) * page_bytes
    except (OSError, ValueError, IndexError):
        return 0
