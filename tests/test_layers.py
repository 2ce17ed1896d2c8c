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
from hayfuncs.contract.catalogue import CATALOGUE

PACKAGE = Path(hayfuncs.__file__).parent
ROOT = PACKAGE.parent
LINES = 350
# each room may import those before it and nothing else of the package; `hayfuncs` itself, the public functions,
# stands where it does because it is made of the rooms before it and used by those after it
ROOMS = (
    "contract", "forage", "cow", "ration", "hazards", "hay", "leastcost", "winter", "spreadsheet", "formulas", "",
    "hosts", "frames", "importers", "workbook", "audit", "commands", "cli", "generate",
)  # fmt: skip
# inside the contract too, bottom first
CORE = (
    "errors", "units", "vba_words", "fields", "lint", "tables", "scalars", "columns", "cells", "blocks", "remarks", "help", "function",
    "catalogue",
    "levels", "about", "files", "rounding",
)  # fmt: skip
TOPICS = sorted({r.plain.__module__.removeprefix("hayfuncs.") for r in CATALOGUE.values()} - {"contract.about"})
SHEET_LIBRARIES = {"xlsxwriter", "openpyxl", "formualizer", "formulon", "xlwings", "uno", "unohelper", "typer", "rich"}
HEAVY = (
    "scipy",
    "highspy",
    "openpyxl",
    "xlsxwriter",
    "formualizer",
    "xlwings",
    "typer",
    "rich",
    "charset_normalizer",
    "defusedxml",
)


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


def arrows(modules: dict[str, ast.Module]) -> dict[str, set[str]]:
    """Module -> the modules of the package that it imports, wherever in it: at the top, in a function, for types alone."""
    found: dict[str, set[str]] = {}
    for name, tree in modules.items():
        inside = {n.removeprefix("hayfuncs").removeprefix(".") for n in imported(tree) if n.split(".")[0] == "hayfuncs"}
        named = {n or "__init__" for n in inside} & set(modules)
        if any(n.rpartition(".")[0] == "" and n not in modules for n in inside):
            named.add("__init__")  # a public function or the version
        found[name] = named - {name} - packages_of(name)
    return found


def packages_of(name: str) -> set[str]:
    """The folders a module lies in: naming them on the way to a neighbor is no arrow."""
    parts = name.split(".")
    return {".".join(parts[:i]) for i in range(1, len(parts))}


def room(module: str) -> str:
    return "" if module == "__init__" else module.split(".")[0]


def upwards(modules: dict[str, ast.Module]) -> list[str]:
    """Every import of a later room."""
    return [
        f"{name} imports {other}"
        for name, others in sorted(arrows(modules).items())
        for other in sorted(others)
        if ROOMS.index(room(other)) > ROOMS.index(room(name))
    ]


def circle(modules: dict[str, ast.Module]) -> list[str]:
    """A way along the imports that comes back to its start, if there is one."""
    ways = arrows(modules)
    done: set[str] = set()

    def follow(name: str, path: tuple[str, ...]) -> list[str]:
        if name in path:
            return [*path[path.index(name) :], name]
        if name in done:
            return []
        for other in sorted(ways[name]):
            found = follow(other, (*path, name))
            if found:
                return found
        done.add(name)
        return []

    return next(filter(None, (follow(name, ()) for name in sorted(ways))), [])


def test_every_module_is_in_a_room() -> None:
    assert {room(name) for name in sources()} == set(ROOMS)


def test_no_room_imports_a_later_room() -> None:
    assert upwards(sources()) == []


def test_nothing_is_imported_from_the_tests() -> None:
    tests = {path.stem for path in Path(__file__).parent.iterdir() if path.is_dir() or path.suffix == ".py"}
    assert "checklib" in tests
    for name, tree in sources().items():
        assert not {n.split(".")[0] for n in imported(tree)} & tests, name


def test_no_circle_among_modules() -> None:
    assert circle(sources()) == []


PLANTED = {
    "a circle of two": ("forage.tdn", "from hayfuncs.forage.quality import relative_feed_value"),
    "in a function": ("hay.inventory", "def late():\n    from hayfuncs.hay import supply"),
    "by the folder": ("forage.tdn", "from hayfuncs.forage import quality"),
    "through the public functions": ("cow.intake", "import hayfuncs"),
    "a later room": ("forage.energy", "from hayfuncs.winter.solve import plan"),
    "a later room from the public functions": ("__init__", "from hayfuncs.workbook import build"),
}


@pytest.mark.parametrize("case", PLANTED)
def test_a_planted_arrow_is_found(case: str) -> None:
    name, line = PLANTED[case]
    tree = sources()[name]
    planted = {**sources(), name: ast.Module([*tree.body, *ast.parse(line).body], [])}
    assert upwards(planted) if "later" in case else circle(planted)


def test_the_contract_imports_downwards() -> None:
    inside = {
        n.removeprefix("contract."): {o.removeprefix("contract.") for o in others}
        for n, others in arrows(sources()).items()
        if n.startswith("contract.")
    }
    assert set(inside) == set(CORE)
    for name, others in inside.items():
        above = others - set(CORE[: CORE.index(name)])
        assert not above, f"{name} imports {sorted(above)}"


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_imports_no_spreadsheet_library(name: str) -> None:
    tree = sources()[name]
    assert not {n.split(".")[0] for n in imported(tree)} & SHEET_LIBRARIES
    at_top = {n.split(".")[0] for node in tree.body for n in imported(node)}
    assert not {"scipy", "highspy"} & at_top, "a solver is imported where it is used"


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
        assert function.__doc__.startswith(record.plain.__doc__.splitlines()[0])
    assert re.fullmatch(r"\d+\.\d+\.\d+", hayfuncs.__version__)
