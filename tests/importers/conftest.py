"""The invented files of this folder."""

from __future__ import annotations

from pathlib import Path

import pytest

FILES = Path(__file__).parent / "files"


@pytest.fixture
def files() -> Path:
    return FILES


@pytest.fixture
def put(tmp_path: Path):
    """Writes a small text file and gives its path."""

    def write(text: str | bytes, name: str = "LOTS.csv") -> Path:
        path = tmp_path / name
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return path

    return write
