"""The audit as a whole within a time and a memory, whatever a file makes of single steps of it."""

from __future__ import annotations

import _thread
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import limits


@contextmanager
def bounded(path: Path, seconds: float = limits.SECONDS, most: int = limits.ADDRESS_BYTES) -> Iterator[None]:
    """End the work on a file in a sentence when it takes too long or too much memory."""
    late = threading.Event()

    def stop() -> None:
        late.set()
        _thread.interrupt_main()

    timer = threading.Timer(seconds, stop)
    timer.daemon = True
    timer.start()
    try:
        with _memory(most):
            yield
    except KeyboardInterrupt:
        if not late.is_set():  # the user's own Ctrl-C
            raise
        raise UserError(f"{path} took longer than {seconds:,.0f} s and the audit was stopped") from None
    except MemoryError:
        raise UserError(f"{path} needs more memory than the audit's {most / 1e9:.0f} GB; it was stopped") from None
    finally:
        timer.cancel()


@contextmanager
def _memory(most: int) -> Iterator[None]:
    """A limit of the address space for the while, where the system has one."""
    try:
        import resource
    except ImportError:  # Windows: the limits on the file's size still hold
        yield
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    if soft != resource.RLIM_INFINITY and soft <= most:
        yield
        return
    resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
