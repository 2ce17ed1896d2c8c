"""Fixtures that start a real LibreOffice; a machine without one reports these tests as not run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hosts import officelib
from hosts.officelib import demand_office

from hayfuncs.hosts.calc.build import extension


@pytest.fixture(scope="session")
def extension_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("extension") / "hayfuncs.oxt"
    path.write_bytes(extension())
    return path


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory, extension_file: Path) -> Iterator[officelib.Office]:
    """LibreOffice with the extension added."""
    demand_office()
    profile = tmp_path_factory.mktemp("profile")
    officelib.add_extension(profile, extension_file)
    started = officelib.Office(profile)
    yield started
    started.end()


@pytest.fixture(scope="session")
def bare_office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[officelib.Office]:
    """LibreOffice without any extension, as a producer has it."""
    demand_office()
    started = officelib.Office(tmp_path_factory.mktemp("bare-profile"))
    yield started
    started.end()
