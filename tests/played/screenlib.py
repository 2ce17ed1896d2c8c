"""A screen to look at: a virtual display of a size, and what stands on it, read as rows of pixels.

Xvfb keeps its screen in a file in the X Window Dump form; it is read as it is, so that nothing else is needed.
"""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
import time
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hosts.officelib import REQUIRE
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]  # rows, columns, red green blue
HEADER = 25  # numbers of 4 bytes at the head of a dump
STILL = 0.6  # seconds without a change: then a picture is finished
LONGEST = 20.0
# No pointer: it is not ink, and it would stand on a row in the middle.  No reset when the last program leaves: an
# office that starts itself again on a new profile would find no display.
PLAIN = ("-nocursor", "-noreset", "-nolisten", "tcp")
INK_APART = 60  # levels of brightness between a letter and what it stands on


def demand_screen() -> str:
    """The program of virtual screens; a machine without it reports a test as not run."""
    found = shutil.which("Xvfb")
    if found is None and os.environ.get(REQUIRE):
        pytest.fail(f"Xvfb is missing, and {REQUIRE} is set", pytrace=False)
    if found is None:
        pytest.skip("not run: Xvfb is missing")
    return found


class Screen:
    """One virtual screen; `display` is its name for a program's environment."""

    def __init__(self, folder: Path, width: int, height: int) -> None:
        program = demand_screen()
        folder.mkdir(parents=True, exist_ok=True)
        self.width, self.height, self.folder = width, height, folder
        read, write = os.pipe()
        size = f"{width}x{height}x24"
        self.process = subprocess.Popen(
            [program, "-displayfd", str(write), "-screen", "0", size, *PLAIN, "-fbdir", str(folder)],
            pass_fds=(write,), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(write)
        with os.fdopen(read) as told:
            number = told.readline().strip()
        assert number, "the virtual screen did not start"
        self.display = f":{number}"

    def pixels(self) -> Pixels:
        data = (self.folder / "Xvfb_screen0").read_bytes()
        head = struct.unpack(f">{HEADER}I", data[: 4 * HEADER])
        size, width, height, step, colors = head[0], head[4], head[5], head[12], head[19]
        start = size + colors * 12
        rows = np.frombuffer(data, np.uint8, height * step, start).reshape(height, step)
        return rows[:, : width * 4].reshape(height, width, 4)[:, :, 2::-1]

    def still(self) -> Pixels:
        """The screen once it has stopped changing."""
        until, before, since = time.monotonic() + LONGEST, self.pixels(), time.monotonic()
        while time.monotonic() < until:
            time.sleep(0.1)
            now = self.pixels()
            if (now != before).any():
                before, since = now, time.monotonic()
            elif time.monotonic() - since > STILL:
                break
        return before.copy()

    def end(self) -> None:
        self.process.terminate()
        self.process.wait(20)


def brightness(pixels: Pixels) -> NDArray[Any]:
    return pixels @ np.array([0.2126, 0.7152, 0.0722])


def ink(pixels: Pixels) -> NDArray[Any]:
    """Where letters are: what differs from the most frequent brightness of the part."""
    level = brightness(pixels).astype(int)
    paper = np.bincount(level.ravel()).argmax()
    return np.asarray(abs(level - paper) > INK_APART)


def lines(pixels: Pixels) -> list[tuple[int, int]]:
    """Rows of pixels with ink in them, as runs: (first, last)."""
    rows = np.flatnonzero(ink(pixels).any(axis=1))
    cuts = np.flatnonzero(np.diff(rows) > 1)
    firsts = [rows[0], *rows[cuts + 1]] if rows.size else []
    lasts = [*rows[cuts], rows[-1]] if rows.size else []
    return [(int(a), int(b)) for a, b in zip(firsts, lasts, strict=True)]


def first_letter(pixels: Pixels) -> int:
    """How high the first letter at the left is, in pixels: of a capital or a figure the height of capitals."""
    columns = np.flatnonzero(ink(pixels).any(axis=0))
    assert columns.size, "nothing is written here"
    cuts = np.flatnonzero(np.diff(columns) > 1)
    last = columns[cuts[0]] if cuts.size else columns[-1]
    rows = np.flatnonzero(ink(pixels)[:, columns[0] : last + 1].any(axis=1))
    return int(rows[-1] - rows[0] + 1)


def png(pixels: Pixels) -> bytes:
    """The picture, to look at."""
    height, width = pixels.shape[:2]
    raw = b"".join(b"\0" + row.tobytes() for row in np.ascontiguousarray(pixels))

    def part(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) + part(b"IDAT", zlib.compress(raw)) + part(b"IEND", b"")
