"""The demo workbook in its editions, built once; the audit never sees anything but the files."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("audited")
    made = {}
    for edition in build.EDITIONS:
        made[edition] = folder / f"demo-{edition}.xlsx"
        build.save(DEMO, made[edition], edition)
    return made


@pytest.fixture(scope="module")
def listener() -> Iterator[socket.socket]:
    """An address that files point to; nothing must ever call."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setblocking(False)
        yield server
