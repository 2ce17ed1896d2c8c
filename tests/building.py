"""Workbooks that many tests read: a small farm beside the demo's, and each built once, kept on disk by its content.

What is kept is named by a sum over the whole library, the farm and the edition, so a change of either builds
anew; two workers that want the same workbook at the same time build it once.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from functools import cache
from importlib.metadata import version
from pathlib import Path

import hayfuncs
from hayfuncs.workbook import build, easyplanning, write
from hayfuncs.workbook.farm import DEMO, Farm
from hayfuncs.workbook.model import Book

PACKAGE = Path(hayfuncs.__file__).parent
KEPT = PACKAGE.parent / ".pytest_cache" / "workbooks"
STATES = 2  # of the library whose workbooks stay on disk
LONGEST = 240.0  # seconds to wait for another worker; then it is built here too

_LOTS, _GROUPS, _FEEDS = (
    DEMO.lots[:5],
    DEMO.groups[:3],
    ("soybean hulls", "corn gluten feed", "distillers grains, dried"),
)
# the demo's first five lots, three groups, three feeds and the last five weeks of winter: half the formulas
SMALL: Farm = replace(
    DEMO, lots=_LOTS, groups=_GROUPS, prices={name: DEMO.prices[name] for name in _FEEDS},
    barn=replace(
        DEMO.barn, yards={}, winter=replace(DEMO.barn.winter, start=date(2027, 2, 10), turnout=date(2027, 3, 20)),
        stored={lot.name: DEMO.barn.stored[lot.name] for lot in _LOTS if lot.name in DEMO.barn.stored},
    ),
)  # fmt: skip

ROOMY: Farm = replace(SMALL, free_lots=2, free_groups=1)  # with rows that are free, as a template has them


@cache
def library() -> str:
    """A sum over everything that a workbook is made by."""
    found = hashlib.sha256(sys.version.encode())
    for name in ("numpy", "XlsxWriter", "formualizer"):
        found.update(version(name).encode())
    for path in sorted(p for p in PACKAGE.rglob("*") if p.is_file() and "__pycache__" not in p.parts):
        found.update(f"{path.relative_to(PACKAGE)} {path.stat().st_size}\n".encode())
        found.update(path.read_bytes())
    return found.hexdigest()[:24]


def built(
    farm: Farm = DEMO, edition: str = "functions", kind: str = build.PLAN, whole_bales: bool = False
) -> tuple[Book, write.Values, Path]:
    """The model, its values and the file; the file is for reading only: copy it to change it."""
    folder = _folder() / library()
    folder.mkdir(parents=True, exist_ok=True)
    name = hashlib.sha256(f"{edition} {kind} {whole_bales} {farm!r}".encode()).hexdigest()[:24]
    file, model = folder / f"{name}.xlsx", folder / f"{name}.pickle"
    with _one_at_a_time(folder / f"{name}.lock"):
        if not model.exists():
            beside = folder / f"{name}-{os.getpid()}"
            asked = easyplanning.steady() if whole_bales else None
            made = build.save(farm, beside.with_suffix(".xlsx"), edition, force=True, kind=kind, asked=asked)
            beside.with_suffix(".pickle").write_bytes(pickle.dumps(made, pickle.HIGHEST_PROTOCOL))
            beside.with_suffix(".xlsx").replace(file)
            beside.with_suffix(".pickle").replace(model)
            _forget(folder)
    book, values = pickle.loads(model.read_bytes())
    return book, values, file


def editions(folder: Path, farm: Farm = DEMO, whole_bales: bool = False) -> dict[str, tuple[Book, write.Values, Path]]:
    """Every edition of a farm, its file in a folder of one's own; of a plan in whole bales not the classic one."""
    made = {}
    for edition in build.EDITIONS[:2] if whole_bales else build.EDITIONS:
        book, values, file = built(farm, edition, whole_bales=whole_bales)
        made[edition] = (book, values, Path(shutil.copy(file, folder / f"demo-{edition}.xlsx")))
    return made


@cache
def _folder() -> Path:
    try:
        KEPT.mkdir(parents=True, exist_ok=True)
        return KEPT if os.access(KEPT, os.W_OK) else Path(tempfile.mkdtemp())
    except OSError:
        return Path(tempfile.mkdtemp())


def _forget(current: Path) -> None:
    """Workbooks of older states of the library go."""
    others = sorted((p for p in current.parent.iterdir() if p != current), key=lambda p: p.stat().st_mtime)
    for old in others[: max(0, len(others) - STATES + 1)]:
        shutil.rmtree(old, ignore_errors=True)


def _age(path: Path) -> float:
    try:
        return time.time() - path.stat().st_mtime
    except FileNotFoundError:
        return 0.0


@contextmanager
def _one_at_a_time(lock: Path) -> Iterator[None]:
    end = time.monotonic() + LONGEST
    mine = False
    while not mine and time.monotonic() < end:
        try:
            os.close(os.open(lock, os.O_CREAT | os.O_EXCL))
            mine = True
        except FileExistsError:
            if _age(lock) > LONGEST:
                lock.unlink(missing_ok=True)  # whoever held it was killed
            time.sleep(0.1)
    try:
        yield
    finally:
        if mine:
            lock.unlink(missing_ok=True)
