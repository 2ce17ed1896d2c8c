"""The demo workbook in its editions, built once for all tests of this folder."""

from __future__ import annotations

import shutil
from pathlib import Path

import building
import pytest

from hayfuncs.workbook import write
from hayfuncs.workbook.model import Book


@pytest.fixture(scope="session")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Book, write.Values, Path]]:
    return building.editions(tmp_path_factory.mktemp("editions"))


@pytest.fixture
def old(editions, tmp_path):
    """A function edition to change by hand, its model beside it."""
    book, _, path = editions["functions"]
    copy = tmp_path / "old.xlsx"
    shutil.copy(path, copy)
    return book, copy
