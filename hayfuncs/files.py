"""Writing a user's file: beside it first, then in its place; never over it unasked."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

LONGEST_TEXT = 1000  # characters of a remark: a lab's own runs longer than a person types


class UserError(Exception):
    """A refusal in one sentence: what, where, what is allowed, what to do."""


def refuse_overwrite(path: Path, force: bool) -> None:
    if path.is_dir():
        raise UserError(f"{path} is a folder; give the name of a file")
    if path.exists() and not force:
        raise UserError(f"{path} exists and is left as it is; add --force to replace it")
    if path.parent.exists() and not path.parent.is_dir():
        raise UserError(f"{path.parent} is a file, not a folder; give a name in a folder")
    if not path.parent.is_dir():
        raise UserError(f"the folder {path.parent} does not exist; make it first")


@contextmanager
def replacing(path: Path, force: bool = False) -> Iterator[Path]:
    """A path to write to; on success it takes the place of `path`, on any error nothing changes."""
    refuse_overwrite(path, force)
    handle, name = tempfile.mkstemp(prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent)
    os.close(handle)
    beside = Path(name)
    try:
        yield beside
        umask = os.umask(0)
        os.umask(umask)
        beside.chmod(0o666 & ~umask)  # mkstemp makes private files; a user's file is an ordinary one
        with beside.open("rb+") as file:
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
