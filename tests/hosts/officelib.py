"""A real headless LibreOffice for tests: private profile, the extension added to it or not."""

from __future__ import annotations

import functools
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hosts.jsonlines import Answers

from hayfuncs.hosts.calc import adding

SERVER = Path(__file__).with_name("office_server.py")
REQUIRE = "HAYFUNCS_REQUIRE_LIBREOFFICE"  # set where the tests must run: a missing office then fails


@functools.cache
def missing() -> str:
    """What this machine lacks to run the office tests, in words; empty when nothing."""
    if not shutil.which("soffice") or not shutil.which("unopkg"):
        return "LibreOffice is missing"
    python = office_python()
    if python is None:
        return "no Python with the office's bridge (python3-uno)"
    if subprocess.run([python, "-c", "import numpy"], capture_output=True).returncode:
        return f"{python} has no numpy (python3-numpy)"
    return ""


def demand_office() -> None:
    """A machine without the office reports a test as not run; where the office is required it fails."""
    lack = missing()
    if lack and os.environ.get(REQUIRE):
        pytest.fail(f"{lack}, and {REQUIRE} is set", pytrace=False)
    if lack:
        pytest.skip(f"not run: {lack}")


def demand_gnumeric() -> str:
    """Gnumeric's converter; a machine without it reports a test as not run, and where it is required it fails."""
    found = shutil.which("ssconvert")
    if found is None and os.environ.get(REQUIRE):
        pytest.fail(f"Gnumeric is missing, and {REQUIRE} is set", pytrace=False)
    if found is None:
        pytest.skip("not run: Gnumeric is missing")
    return found


@functools.cache
def office_python() -> str | None:
    for name in ("/usr/bin/python3", shutil.which("python3") or ""):
        if name and subprocess.run([name, "-c", "import uno"], capture_output=True).returncode == 0:
            return name
    return None


@functools.cache
def version() -> str:
    """The office's name and version: LibreOffice 7.4.7.2."""
    said = subprocess.run(["soffice", "--version"], capture_output=True, text=True, env=environment()).stdout
    return " ".join(said.split()[:2])


def environment() -> dict[str, str]:
    """The office must not see the Python environment that runs the tests."""
    return adding.clean_environment(os.environ)


def places(profile: Path) -> list[str]:
    """Options that keep the profile, and extensions added for all users, inside one private folder."""
    return [option for option in adding.places(profile) if option != "--shared"]


def add_extension(profile: Path, extension: Path) -> None:
    adding.add(extension, profile)


class Office(Answers):
    """`office.read(doc, 0, "A1:B2")` and so on: every method of office_server.Office by its name."""

    def __init__(self, profile: Path, display: str = "") -> None:
        """Unseen, or with its windows on a display."""
        python = office_python()
        soffice = shutil.which("soffice")
        assert python
        assert soffice
        shown = ["--shown"] if display else []
        seen = {"DISPLAY": display} if display else {}
        super().__init__([python, str(SERVER), soffice, *places(profile), *shown], environment() | seen)
        self.office_version = str(self.answer())


def column(index: int) -> str:
    """0 -> A, 26 -> AA."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(65 + rest) + text
    return text


def evaluate(office: Office, rows: list[list[Any]], blocks: dict[str, str] | None = None) -> list[list[Any]]:
    """A fresh sheet filled with rows (text starting with = is a formula), calculated and read back."""
    width = max(len(row) for row in rows)
    padded = [[*row, *[None] * (width - len(row))] for row in rows]
    document = office.open()
    try:
        area = f"A1:{column(width - 1)}{len(rows)}"
        office.put(document, 0, area, padded)
        for place, formula in (blocks or {}).items():
            office.put_block(document, 0, place, formula)
        office.calculate(document)
        return list(office.read(document, 0))
    finally:
        office.close(document)
