"""The shipped editions in a real LibreOffice: plain without any extension, functions with ours.

Every formula cell is recalculated from nothing and compared with the value stored in the file.
"""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import building
import pytest

pytestmark = pytest.mark.libreoffice
NEAR = 1e-9


def differences(office, path: Path, book, values) -> dict[str, tuple[object, object]]:
    document = office.open(str(path))
    try:
        office.calculate(document)
        wrong = {}
        placed = {book.at(*cell): stored for cell, stored in values.items()}
        for sheet in {name for name, _, _ in placed}:
            rows = office.read(document, sheet)
            for (name, row, col), stored in placed.items():
                if name != sheet:
                    continue
                found = rows[row][col] if row < len(rows) and col < len(rows[row]) else ""
                same = found == stored
                if isinstance(found, (int, float)) and isinstance(stored, (int, float)):
                    same = math.isclose(found, stored, rel_tol=NEAR, abs_tol=NEAR)
                if not same:
                    wrong[f"{name} row {row + 1} column {col + 1}"] = (stored, found)
        return wrong
    finally:
        office.close(document)


def test_plain_edition_without_the_extension(bare_office, tmp_path):
    book, values, file = building.built(edition="plain")
    path = Path(shutil.copy(file, tmp_path / "plain.xlsx"))
    assert len(values) > 2500
    assert differences(bare_office, path, book, values) == {}


def test_function_edition_with_the_extension(office, tmp_path):
    book, values, file = building.built()
    path = Path(shutil.copy(file, tmp_path / "functions.xlsx"))
    assert len(values) > 1300
    assert differences(office, path, book, values) == {}
