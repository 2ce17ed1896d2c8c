"""A sign of life on the error stream while something takes long; what is printed stays clean."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

EVERY = 2.0  # seconds


@contextmanager
def patience(doing: str) -> Iterator[Callable[[str], None]]:
    """Every two seconds a line that says what is being done; the yielded function says what is next."""
    now = [doing]
    done = threading.Event()
    start = time.monotonic()

    def tell() -> None:
        while not done.wait(EVERY):
            typer.echo(f"  ... {now[0]} ({time.monotonic() - start:.0f} s)", err=True)

    def next_one(text: str) -> None:
        now[0] = text

    thread = threading.Thread(target=tell, daemon=True)
    thread.start()
    try:
        yield next_one
    finally:
        done.set()
        thread.join()


def register(app: typer.Typer) -> None:
    """No verb of its own."""
