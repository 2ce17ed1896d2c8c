"""The demo workbook in its editions, built once; the audit never sees anything but the files."""

from __future__ import annotations

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
