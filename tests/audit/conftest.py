"""The demo workbook in its editions, built once; the audit never sees anything but the files."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import building
import pytest


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    return {edition: made[2] for edition, made in building.editions(tmp_path_factory.mktemp("audited")).items()}


@pytest.fixture(scope="session")
def small_files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A farm with half the formulas, for what does not need the whole."""
    folder = tmp_path_factory.mktemp("small")
    return {edition: made[2] for edition, made in building.editions(folder, building.SMALL).items()}


@pytest.fixture(scope="module")
def listener() -> Iterator[socket.socket]:
    """An address that files point to; nothing must ever call."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setblocking(False)
        yield server
