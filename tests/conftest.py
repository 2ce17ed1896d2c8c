"""For every test: one profile of hypothesis, and LibreOffice as a converter, in a profile of its own."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest
from hosts.officelib import demand_office, environment
from hypothesis import HealthCheck, settings

# Examples are not timed (pytest's own limit ends a test that hangs; another program on the machine must not fail one),
# and CI tries the same ones each time.
settings.register_profile(
    "hayfuncs", deadline=None, derandomize="CI" in os.environ, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("hayfuncs")

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


HEAD = ("damage", "edition", "where", "found by", "by general rules too")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The damages that the audit found, one a line, from all workers."""
    passed = terminalreporter.stats.get("passed", [])
    rows = [value for report in passed for name, value in report.user_properties if name == "damage"]
    if not rows:
        return
    widths = [max(len(row[k]) for row in [HEAD, *rows]) for k in range(len(HEAD))]
    terminalreporter.write_line("")
    for row in [HEAD, *rows]:
        terminalreporter.write_line("  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip())
    general = sum(row[-1] == "yes" for row in rows)
    terminalreporter.write_line(
        f"{len(rows)} damages found at their cell, {general} of them by rules that know no layout"
    )
