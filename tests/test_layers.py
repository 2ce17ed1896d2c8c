"""The shape of the source: arrows run one way, files stay short, import stays light, nothing private leaks."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import hayfuncs
from hayfuncs.record import CATALOGUE

PACKAGE = Path(hayfuncs.__file__).parent
ROOT = PACKAGE.parent
LINES = 350
# the core, bottom first: each may import those before it and nothing else of the package
CORE = (
    "errors", "units", "parts", "lint", "record", "tables", "clean", "cells", "blocks", "about", "files",
)  # fmt: skip
TOPICS = sorted({r.plain.__module__.removeprefix("hayfuncs.") for r in CATALOGUE.values()} - {"about"})
SHEET_LIBRARIES = {"xlsxwriter", "openpyxl", "formualizer", "formulon", "xlwings", "uno", "unohelper", "typer", "rich"}
HEAVY = (
    "scipy",
    "openpyxl",
    "xlsxwriter",
    "formualizer",
    "xlwings",
    "typer",
    "rich",
    "charset_normalizer",
    "defusedxml",
)
FACES = ("hosts", "workbook", "audit", "farmfiles", "commands")


@cache
def sources() -> dict[str, ast.Module]:
    """Module name (`hosts.engine`) -> its syntax tree."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name or "__init__"] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def imported(tree: ast.AST) -> set[str]:
    """Full names of the modules that a tree imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, "relative import"
            names |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return names


def siblings(tree: ast.AST) -> set[str]:
    """First-level names inside the package: `tables`, `hosts`, ..."""
    return {n.split(".")[1] for n in imported(tree) if n.startswith("hayfuncs.")} & known()


@cache
def known() -> frozenset[str]:
    return frozenset(name.split(".")[0] for name in sources() if name != "__init__")


def test_the_core_imports_downwards() -> None:
    for at, name in enumerate(CORE):
        above = siblings(sources()[name]) - set(CORE[:at])
        assert not above, f"{name} imports {sorted(above)}"
        assert "hayfuncs" not in imported(sources()[name]) or name == "about" or above == set()


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_imports_the_core_and_topics_below(name: str) -> None:
    tree = sources()[name]
    assert not siblings(tree) & {*FACES, "cli", "files", "about"}, f"{name} imports {sorted(siblings(tree))}"
    libraries = {n.split(".")[0] for n in imported(tree)}
    assert not libraries & SHEET_LIBRARIES
    at_top = {n.split(".")[0] for node in tree.body for n in imported(node)}
    assert "scipy" not in at_top, "scipy is imported where it is used"


def test_no_circle_among_modules() -> None:
    """Following imports never comes back to the start."""
    arrows = {name: siblings(tree) for name, tree in sources().items() if "." not in name and name != "__init__"}
    done: set[str] = set()

    def follow(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, f"a circle: {' -> '.join((*path, name))}"
        if name not in done:
            for other in sorted(arrows.get(name, ())):
                if other != name:
                    follow(other, (*path, name))
            done.add(name)

    for name in sorted(arrows):
        if name not in (*FACES, "cli"):
            follow(name, ())


def test_hosts_import_no_face_above_them() -> None:
    for name, tree in sources().items():
        if name.startswith("hosts"):
            assert not siblings(tree) & {"workbook", "audit", "commands", "cli"}, name
        if name.startswith("workbook"):
            assert not siblings(tree) & {"audit", "commands", "cli"}, name
        if not name.startswith(("commands", "cli", "generate")):  # generate is a tool over everything
            assert not siblings(tree) & {"commands", "cli"}, name


def test_no_arithmetic_in_hosts() -> None:
    """No constant of the trade: any number with a fraction in a host would be one."""
    for name, tree in sources().items():
        if name.startswith("hosts"):
            floats = [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, float)]
            assert not floats, f"{name}: {floats}"


def tracked() -> list[Path]:
    """The files of the project: git's list, or all but the unkept ones where git is not there."""
    asked = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True)
    if asked.returncode == 0 and asked.stdout.strip():
        return [ROOT / line for line in asked.stdout.splitlines() if (ROOT / line).is_file()]
    parts = ("hayfuncs", "tests", ".ci", "workbooks")
    return [p for part in parts for p in (ROOT / part).rglob("*") if p.is_file() and "__pycache__" not in p.parts]


def test_no_module_is_long() -> None:
    long = {}
    for path in tracked():
        if path.suffix == ".py" and PACKAGE in path.parents:
            count = len(path.read_text(encoding="utf-8").splitlines())
            if count > LINES:
                long[str(path.relative_to(ROOT))] = count
    assert not long, f"over {LINES} lines: {long}"


# spelled in two halves, so that this file does not hold what it looks for
REGISTRY_HOSTS = ("py" + "pi.org", "files.python" + "hosted.org", "registry.np" + "mjs.org", "conda." + "anaconda.org")
MACHINE_PATHS = ("/wo" + "rk/", "/tm" + "p/", "/ro" + "ot/", "/ho" + "me/", "/Us" + "ers/", "C:" + "\\Users")
FORBIDDEN = (*REGISTRY_HOSTS, *MACHINE_PATHS)


def test_no_registry_host_or_machine_path() -> None:
    found = []
    for path in tracked():
        data = path.read_bytes()
        if path.suffix in (".xlsx", ".xlsm", ".oxt", ".zip"):
            data = unzipped(path)
        for word in FORBIDDEN:
            if word.encode() in data:
                found.append(f"{path.relative_to(ROOT)}: {word}")
    assert not found


def unzipped(path: Path) -> bytes:
    import zipfile

    with zipfile.ZipFile(path) as parts:
        return b"\n".join(parts.read(name) for name in parts.namelist())


def test_import_is_light() -> None:
    code = "import sys, hayfuncs; print(*sorted({name.split('.')[0] for name in sys.modules}))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    loaded = set(said.stdout.split())
    assert "numpy" in loaded
    assert not loaded & set(HEAVY)


def test_import_prints_nothing_and_changes_nothing() -> None:
    code = "import numpy, warnings; before = list(warnings.filters); import hayfuncs; assert warnings.filters == before"
    said = subprocess.run([sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, cwd=ROOT)
    assert (said.returncode, said.stdout, said.stderr) == (0, "", "")


def test_public_names_are_the_catalogue() -> None:
    for name in hayfuncs.__all__:
        assert hasattr(hayfuncs, name)
    for record in CATALOGUE.values():
        function = getattr(hayfuncs, record.python_name)
        assert function.__name__ == record.python_name
        assert function.__doc__ == record.plain.__doc__
    assert re.fullmatch(r"\d+\.\d+\.\d+", hayfuncs.__version__)
