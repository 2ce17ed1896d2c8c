"""The demo workbook in its editions, built once for all tests of this folder."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from hayfuncs.workbook import build, write
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import Book


@pytest.fixture(scope="session")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Book, write.Values, Path]]:
    folder = tmp_path_factory.mktemp("editions")
    made = {}
    for edition in build.EDITIONS:
        path = folder / f"demo-{edition}.xlsx"
        book, values = build.save(DEMO, path, edition)
        made[edition] = (book, values, path)
    return made


@pytest.fixture
def old(editions, tmp_path):
    """A function edition to change by hand, its model beside it."""
    book, _, path = editions["functions"]
    copy = tmp_path / "old.xlsx"
    shutil.copy(path, copy)
    return book, copy
