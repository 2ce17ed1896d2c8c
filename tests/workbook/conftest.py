"""An older workbook to change by hand."""

from __future__ import annotations

import shutil

import pytest


@pytest.fixture
def old(editions, tmp_path):
    """A function edition to change by hand, its model beside it."""
    book, _, path = editions["functions"]
    copy = tmp_path / "old.xlsx"
    shutil.copy(path, copy)
    return book, copy
