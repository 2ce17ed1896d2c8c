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
    try:  # asked of the folder itself: what its permissions say is not the whole truth
        handle, name = tempfile.mkstemp(prefix=".hayfuncs-", dir=path.parent)
    except OSError as error:
        raise _unwritten(path, error) from None
    os.close(handle)
    Path(name).unlink(missing_ok=True)


def _unwritten(path: Path, error: OSError) -> UserError:
    """Names the user's file, never the one written beside it."""
    why = (error.strerror or type(error).__name__).lower()
    return UserError(
        f"{path} cannot be written, the system says: {why}; nothing was changed; close the file where it is open, or give a name in a folder of your own"
    )


@contextmanager
def replacing(path: Path, force: bool = False) -> Iterator[Path]:
    """A path to write to; on success it takes the place of `path`, on any error nothing changes."""
    refuse_overwrite(path, force)
    try:
        handle, name = tempfile.mkstemp(prefix=".hayfuncs-", suffix=path.suffix, dir=path.parent)
    except OSError as error:
        raise _unwritten(path, error) from None
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
    except OSError as error:
        if error.filename in (None, name):  # not of another file that was read meanwhile
            raise _unwritten(path, error) from None
        raise
    finally:
        beside.unlink(missing_ok=True)
