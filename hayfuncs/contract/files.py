"""Writing a user's file: beside it first, then in its place; never over it unasked."""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform != "win32":
    import fcntl

LONGEST_TEXT = 1000  # characters of a remark: a lab's own runs longer than a person types
BESIDE = ".hayfuncs-"  # how a file that is not whole yet begins


class UserError(Exception):
    """A refusal in one sentence: what, where, what is allowed, what to do."""


class NotWritten(UserError):
    """The disk or the folder said no, not the user's words."""


def refuse_overwrite(path: Path, force: bool) -> None:
    if path.is_dir():
        raise UserError(f"{path} is a folder; give the name of a file")
    if path.exists() and not force:
        raise _there(path)
    if path.parent.exists() and not path.parent.is_dir():
        raise UserError(f"{path.parent} is a file, not a folder; give a name in a folder")
    if not path.parent.is_dir():
        raise UserError(f"the folder {path.parent} does not exist; make it first")
    try:  # asked of the folder itself: what its permissions say is not the whole truth
        handle, name = tempfile.mkstemp(prefix=BESIDE, dir=path.parent)
    except OSError as error:
        raise _unwritten(path, error) from None
    os.close(handle)
    Path(name).unlink(missing_ok=True)


def _there(path: Path) -> UserError:
    return UserError(f"{path} exists and is left as it is; add --force to replace it")


def _unwritten(path: Path, error: OSError) -> NotWritten:
    """Names the user's file, never the one written beside it."""
    why = (error.strerror or type(error).__name__).lower()
    return NotWritten(
        f"{path} cannot be written, the system says: {why}; nothing was changed; close the file where it is open, or give a name in a folder of your own"
    )


@contextmanager
def replacing(path: Path, force: bool = False) -> Iterator[Path]:
    """A path to write to; on success it takes the place of `path`, on any error nothing changes."""
    refuse_overwrite(path, force)
    _sweep(path.parent)
    try:
        handle, name, held = _beside(path)
    except OSError as error:
        raise _unwritten(path, error) from None
    beside = Path(name)
    try:
        yield beside
        umask = os.umask(0)
        os.umask(umask)
        beside.chmod(0o666 & ~umask)  # mkstemp makes private files; a user's file is an ordinary one
        with beside.open("rb+") as file:
            os.fsync(file.fileno())
        _put(beside, path, force)
    except OSError as error:
        if error.filename in (None, name):  # not of another file that was read meanwhile
            raise _unwritten(path, error) from None
        raise
    finally:
        beside.unlink(missing_ok=True)
        if held:
            os.close(handle)


def _put(beside: Path, path: Path, force: bool) -> None:
    """In its place at once; without `force` never over a file that another has written meanwhile."""
    if not force:
        try:
            os.link(beside, path)
            return
        except FileExistsError:
            raise _there(path) from None
        except OSError:  # a folder that knows no second names of a file
            if path.exists():
                raise _there(path) from None
    beside.replace(path)


def _beside(path: Path) -> tuple[int, str, bool]:
    """A new file of our own in the same folder: its handle, its name, and whether the handle is still open."""
    while True:
        handle, name = tempfile.mkstemp(prefix=BESIDE, suffix=path.suffix, dir=path.parent)
        held = _hold(handle)
        if not held or os.fstat(handle).st_nlink:
            return handle, name, held
        os.close(handle)  # another run took it for a dead program's before it was locked


def _hold(handle: int) -> bool:
    """Lock the file for as long as it is written, so that a later run can tell it from one left by a dead program."""
    if sys.platform == "win32":  # an open file cannot be put in its place there
        os.close(handle)
        return False
    with contextlib.suppress(OSError):  # a folder that knows no locks
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    return True


def _sweep(folder: Path) -> None:
    """Take away what a program that was ended while it wrote has left here; what is being written is left alone."""
    if sys.platform == "win32":
        return
    for left in folder.glob(f"{BESIDE}*"):
        with contextlib.suppress(OSError):
            handle = os.open(left, os.O_RDONLY | os.O_NOFOLLOW)
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                left.unlink()
            finally:
                os.close(handle)
