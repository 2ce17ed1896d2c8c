"""For every test: one profile of hypothesis, LibreOffice as a converter and as a running program, and the demo workbook's editions.

A machine without LibreOffice reports the tests that need it as not run.
"""

from __future__ import annotations

import gc
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hosts import officelib
from hosts.officelib import demand_office, environment
from hypothesis import HealthCheck, settings

# Examples are not timed (pytest's own limit ends a test that hangs; another program on the machine must not fail one),
# and CI tries the same ones each time.
settings.register_profile(
    "hayfuncs", deadline=None, derandomize="CI" in os.environ, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("hayfuncs")

# Every kept workbook is walked by each collection of cycles: with fewer of them an audit took an eighth less time
gc.set_threshold(100_000, 20, 100)

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


@pytest.fixture(scope="session")
def extension_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from hayfuncs.hosts.calc.build import extension

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


@pytest.fixture(scope="session")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Any, Any, Path]]:
    """The demo workbook in each edition: its model, every computed value, the file."""
    import building

    return building.editions(tmp_path_factory.mktemp("editions"))


@pytest.fixture(scope="session")
def whole_bales(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Any, Any, Path]]:
    """The same with its winter plan in whole bales, as it is committed; functions and plain."""
    import building

    return building.editions(tmp_path_factory.mktemp("whole-bales"), whole_bales=True)


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
