"""A sign of life on the error stream while something takes long; what is printed stays clean."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

AGAIN = 10.0  # seconds until a plain line repeats what is still being done


@contextmanager
def progress(doing: str) -> Iterator[Callable[[str], None]]:
    """What is being done and for how long; the yielded function says what is next.

    A terminal shows one moving line that goes when the work is done; a file or a pipe gets a line for each step.
    """
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    if not console.is_terminal:
        yield _plain(doing)
        return
    words = TextColumn("{task.description}", markup=False)  # a file's name may hold brackets
    with Progress(SpinnerColumn(), words, TimeElapsedColumn(), console=console, transient=True) as bar:
        task = bar.add_task(doing, total=None)
        yield lambda text: bar.update(task, description=text)


def _plain(doing: str) -> Callable[[str], None]:
    """Says each step once, and again from time to time; `step: 3 s` is the same step as `step: 4 s`."""
    step, said = "", time.monotonic()

    def tell(text: str) -> None:
        nonlocal step, said
        now = time.monotonic()
        if text.partition(":")[0] != step or now - said >= AGAIN:
            typer.echo(f"  ... {text}", err=True)
            step, said = text.partition(":")[0], now

    tell(doing)
    return tell


def register(app: typer.Typer) -> None:
    """No verb of its own."""
