"""What is shipped: every file that is no module is named by a glob, every glob finds a file, and versions agree."""

from __future__ import annotations

import fnmatch
import re
from pathlib import Path

import pytest

import hayfuncs

PACKAGE = Path(hayfuncs.__file__).parent
ROOT = PACKAGE.parent


def written(pattern: str) -> str:
    found = re.search(pattern, (ROOT / "pyproject.toml").read_text(encoding="utf-8"), flags=re.M)
    assert found, pattern
    return found.group(1)


def test_globs_of_the_wheel() -> None:
    globs = re.findall(r'"([^"]+)"', written(r'^"\*" = \[(.*)\]'))
    files = [p.name for p in PACKAGE.rglob("*") if p.is_file() and p.suffix not in (".py", ".pyc")]
    assert all(any(fnmatch.fnmatch(name, glob) for name in files) for glob in globs), "a glob that finds nothing"
    left = {name for name in files if not any(fnmatch.fnmatch(name, glob) for glob in globs)}
    assert not left, f"not shipped: {left}"


def test_versions_agree_and_the_newest_is_described() -> None:
    assert written(r'^version = "(.*)"') == hayfuncs.__version__
    log = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (\S+)", log, flags=re.M)[0] == hayfuncs.__version__


@pytest.mark.parametrize("folder", ["tests", "workbooks", ".ci"])
def test_the_source_archive_has_its_tests(folder: str) -> None:
    assert (ROOT / folder).is_dir()
    assert f"graft {folder}\n" in (ROOT / "MANIFEST.in").read_text(encoding="utf-8")
