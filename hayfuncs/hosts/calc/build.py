"""The extension as one file: type library, descriptions, component and the package inside."""

from __future__ import annotations

import ast
import io
import zipfile
from collections.abc import Iterator
from importlib.resources import files

from hayfuncs.hosts.calc.descriptions import COMPONENT, JOBS, TEXTS, TYPES, description, jobs, manifest, wizard_texts
from hayfuncs.hosts.calc.typelib import idl, type_library

PACKAGE = "hayfuncs"
COMPONENT_MODULE = "hayfuncs.hosts.calc.component"
LEFT_OUT = (
    "formulas",
    "spreadsheet",
    "workbook",
    "audit",
    "commands",
)  # reached from the package, but no function on a sheet needs them
DATA = ("contract/tables",)  # folders whose files are read, not imported
MADE = (1980, 1, 1, 0, 0, 0)  # one date for every member: the same records give the same bytes


def package() -> dict[str, bytes]:
    """What the functions need and no more: every module the component reaches by import, and the tables."""
    found: dict[str, bytes] = {}
    waiting = [PACKAGE, COMPONENT_MODULE]
    seen: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        path, source = _module(name)
        if source is not None:
            found[path] = source
            waiting += [name.rpartition(".")[0] or PACKAGE, *_imported(source)]
    for folder in DATA:
        for entry in files(PACKAGE).joinpath(folder).iterdir():
            if entry.is_file() and not entry.name.endswith(".py"):
                found[f"{PACKAGE}/{folder}/{entry.name}"] = entry.read_bytes()
    return dict(sorted(found.items()))


def _module(name: str) -> tuple[str, bytes | None]:
    """A module's path and source; None where the name is something inside a module."""
    parts = name.split(".")
    for path in ("/".join([*parts[1:], "__init__.py"]), "/".join(parts[1:]) + ".py"):
        entry = files(PACKAGE).joinpath(*path.split("/"))
        if entry.is_file():
            return f"{PACKAGE}/{path}", entry.read_bytes()
    return "", None


def _imported(source: bytes) -> Iterator[str]:
    """The names inside this package that a module imports, wherever in it the import stands."""
    for node in ast.walk(ast.parse(source)):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
        parts = [name.split(".") for name in names]
        yield from (".".join(p) for p in parts if p[0] == PACKAGE and (len(p) == 1 or p[1] not in LEFT_OUT))


def members() -> dict[str, bytes]:
    """Every member of the extension, by its path."""
    found: dict[str, bytes] = {
        "META-INF/manifest.xml": manifest().encode(),
        "description.xml": description().encode(),
        TYPES: type_library(),
        TEXTS: wizard_texts().encode(),
        JOBS: jobs().encode(),
        COMPONENT: files("hayfuncs.hosts.calc").joinpath("loader.py").read_bytes(),
        "XHayFunctions.idl": idl().encode(),  # not read by the office; for whoever looks inside
    }
    found |= {f"pythonpath/{path}": content for path, content in package().items()}
    return found


def extension() -> bytes:
    """The `.oxt` file."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, content in members().items():
            archive.writestr(zipfile.ZipInfo(path, MADE), content, zipfile.ZIP_DEFLATED)
    return buffer.getvalue()
