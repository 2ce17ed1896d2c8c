"""Fixtures for every test: LibreOffice as a converter, in a profile of its own."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from hosts.officelib import demand_office, environment

WAIT = 180  # seconds for one conversion
# LibreOffice shows the values a file stores; this setting makes it calculate every formula on loading
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


class Converter:
    """`soffice.convert(path, "pdf")` gives the path of the converted file in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.count = 0

    def _profile(self, recalculate: bool) -> Path:
        profile = self.folder / ("recalculating" if recalculate else "plain")
        if not profile.exists():
            (profile / "user").mkdir(parents=True)
            if recalculate:
                (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE, encoding="utf-8")
        return profile

    def convert(self, source: Path, to: str, recalculate: bool = False) -> Path:
        """The file as `to` ("pdf", "xlsx", "csv", or with a filter: "csv:Text - txt - csv (StarCalc):44,34,76")."""
        self.count += 1
        target = self.folder / f"out-{self.count}"
        target.mkdir()
        program = shutil.which("soffice")
        assert program
        command = [
            program, "--headless", "--norestore", f"-env:UserInstallation=file://{self._profile(recalculate)}",
            "--convert-to", to, "--outdir", str(target), str(source),
        ]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, timeout=WAIT, env=environment())
        made = target / f"{source.stem}.{to.partition(':')[0]}"
        assert made.exists(), f"no {made.name}: {done.stdout} {done.stderr}"
        return made


@pytest.fixture(scope="session")
def soffice(tmp_path_factory: pytest.TempPathFactory) -> Converter:
    """LibreOffice as a converter; mark the test `libreoffice`."""
    demand_office()
    return Converter(tmp_path_factory.mktemp("soffice"))
