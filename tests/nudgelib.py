"""Moves each numeric constant of the topic modules by one in its last written digit.

A constant that no check row notices is a constant nobody has verified.  The survivors are
kept in nudge_survivors.tsv, each with the reason why no row can notice it;
`python tests/nudgelib.py` writes that file anew and keeps the reasons.
"""

from __future__ import annotations

import ast
import importlib
import sys
import types
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

import checklib

import hayfuncs
from hayfuncs.contract import catalogue as record
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.function import Function

PACKAGE = Path(hayfuncs.__file__).parent
# the room of the contract is machinery, but for the two that hold numbers which topics calculate with
MACHINERY = {f"contract.{p.stem}" for p in (PACKAGE / "contract").glob("*.py")} - {
    "contract.levels",
    "contract.rounding",
    "contract.units",
}
SURVIVORS = Path(__file__).parent / "nudge_survivors.tsv"
HEAD = "module\tconstant\tdirection\treason"
PLAIN_NUMBERS = (0, 1, 2, 100)
RECORD_CALLS = {"Arg", "Result", "Ref", "Words", "Flag", "Name", "Block", "Rule", "Step", "Longhand", "worksheet"}
DIRECTIONS = {"up": 1, "down": -1}


@dataclass(frozen=True)
class Constant:
    """One number in a module's text: where it is, how it is called in the list, how it is written."""

    node: ast.Constant
    name: str
    written: str

    def moved(self, direction: int) -> int | float:
        number = Decimal(self.written.replace("_", ""))
        exponent = number.as_tuple().exponent
        assert isinstance(exponent, int)
        new = number + direction * Decimal(1).scaleb(exponent)
        return int(new) if isinstance(self.node.value, int) else float(new)


# --- which modules, and in which order they are executed


def path(module: str) -> Path:
    return PACKAGE.joinpath(*module.split(".")).with_suffix(".py")


@cache
def text(module: str) -> str:
    return path(module).read_text(encoding="utf-8")


@cache
def imports(module: str) -> frozenset[str]:
    """The sibling modules that a module imports, machinery left out."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(text(module))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("hayfuncs."):
            inside = node.module.removeprefix("hayfuncs.")
            found |= {inside, *(f"{inside}.{alias.name}" for alias in node.names)}
        elif isinstance(node, ast.Import):
            found |= {a.name.removeprefix("hayfuncs.") for a in node.names if a.name.startswith("hayfuncs.")}
    return frozenset(m for m in found - MACHINERY if path(m).exists())


@cache
def modules() -> tuple[str, ...]:
    """Every module with a function of the catalogue and what those import, each after its imports."""
    order: list[str] = []

    def visit(module: str) -> None:
        if module not in order:
            for other in sorted(imports(module)):
                visit(other)
            order.append(module)

    for r in list(CATALOGUE.values()):
        module = r.plain.__module__.removeprefix("hayfuncs.")
        if module not in MACHINERY:
            visit(module)
    return tuple(order)


@cache
def dependents(module: str) -> tuple[str, ...]:
    """The modules that must be executed anew after this one."""
    touched = {module}
    for other in modules():
        if imports(other) & touched:
            touched.add(other)
    return tuple(m for m in modules() if m in touched and m != module)


# --- which numbers


class Finder(ast.NodeVisitor):
    """Numbers outside the records; module-level names that serve records alone are left out too."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.owner = ""
        self.found: list[tuple[str, ast.Constant, str]] = []
        self.used: set[str] = set()

    def visit_Call(self, node: ast.Call) -> None:
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name not in RECORD_CALLS:
            self.generic_visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        outer, self.owner = self.owner, node.name
        for default in (*node.args.defaults, *filter(None, node.args.kw_defaults)):
            self.visit(default)
        for line in node.body:
            self.visit(line)
        self.owner = outer

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        outer, self.owner = self.owner, node.name
        for line in node.body:
            self.visit(line)
        self.owner = outer

    def visit_Assign(self, node: ast.Assign) -> None:
        self._assigned(node.value, node.targets[0])

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        self._assigned(node.value, node.target)

    def _assigned(self, value: ast.expr | None, target: ast.expr) -> None:
        if value is None:
            return
        pairs = [(value, target)]
        if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
            pairs = list(zip(value.elts, target.elts, strict=True))
        for part, name in pairs:
            outer = self.owner
            if not self.owner and isinstance(name, ast.Name):
                self.owner = name.id
            self.visit(part)
            self.owner = outer

    def visit_Name(self, node: ast.Name) -> None:
        if isinstance(node.ctx, ast.Load):
            self.used.add(node.id)

    def visit_Attribute(self, node: ast.Attribute) -> None:
        self.used.add(node.attr)
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        if isinstance(node.value, (int, float)) and not isinstance(node.value, bool):
            if node.value not in PLAIN_NUMBERS:
                written = ast.get_source_segment(self.source, node)
                assert written
                self.found.append((self.owner, node, written))


def constants(module: str) -> tuple[ast.Module, list[Constant]]:
    tree = ast.parse(text(module))
    finder = Finder(text(module))
    finder.visit(tree)
    used = set(finder.used)
    for other in dependents(module):  # a name may serve another module's arithmetic
        reader = Finder(text(other))
        reader.visit(ast.parse(text(other)))
        used |= reader.used
    functions = {n.name for n in ast.walk(tree) if isinstance(n, (ast.FunctionDef, ast.ClassDef))}
    seen: Counter[str] = Counter()
    kept: list[Constant] = []
    for owner, node, written in finder.found:
        if owner and owner not in functions and owner not in used:
            continue
        label = f"{owner or 'module'} {written}"
        seen[label] += 1
        kept.append(Constant(node, label if seen[label] == 1 else f"{label} #{seen[label]}", written))
    return tree, kept


# --- executing a changed module, with everything that stands on it


@contextmanager
def executed(module: str, code: types.CodeType) -> Iterator[dict[str, Record]]:
    """The records of a changed module and its dependents, all in a catalogue of their own."""
    names = [module, *dependents(module)]
    kept = {name: importlib.import_module(f"hayfuncs.{name}") for name in names}  # some are imported only when used
    shared = record.CATALOGUE
    own: dict[str, Record] = {}
    record.CATALOGUE = own
    try:
        for name in names:
            fresh = types.ModuleType(f"hayfuncs.{name}")
            fresh.__file__ = str(path(name))
            sys.modules[fresh.__name__] = fresh
            put(name, fresh)
            exec(code if name == module else compiled(name), fresh.__dict__)
        yield own
    finally:
        record.CATALOGUE = shared
        for name, old in kept.items():
            sys.modules[f"hayfuncs.{name}"] = old
            put(name, old)


def put(module: str, loaded: types.ModuleType) -> None:
    """The module under its name in its room, where `from hayfuncs.room import name` finds it."""
    room, _, name = f"hayfuncs.{module}".rpartition(".")
    setattr(sys.modules[room], name, loaded)


@cache
def compiled(module: str) -> types.CodeType:
    return compile(text(module), str(path(module)), "exec")


@cache
def good_rows() -> dict[str, list[checklib.Check]]:
    """Rows that hold for the unchanged code; one that does not would 'notice' everything."""
    rows: dict[str, list[checklib.Check]] = {}
    for check in checklib.every():
        with suppress(Exception):
            if check.function in CATALOGUE and not check.fault(check.call()):
                rows.setdefault(check.function, []).append(check)
    return rows


def noticed(module: str, code: types.CodeType) -> bool:
    """Does some check row fail, or the module refuse to load, with this code?"""
    try:
        with executed(module, code) as own:
            return any(_fails(check, r) for name, r in own.items() for check in good_rows().get(name, ()))
    except (record.RecordError, AssertionError, ArithmeticError, LookupError, ValueError):
        return True


def _fails(check: checklib.Check, r: Record) -> bool:
    try:
        return bool(check.fault(check.call(Function(r))))
    except Exception:
        return True


def survivors(module: str) -> list[tuple[str, str]]:
    """(constant, direction) of every move that no check row notices."""
    tree, found = constants(module)
    left: list[tuple[str, str]] = []
    for constant in found:
        value = constant.node.value
        for direction, sign in DIRECTIONS.items():
            constant.node.value = constant.moved(sign)
            code = compile(tree, f"{module}.py", "exec")
            constant.node.value = value
            if not noticed(module, code):
                left.append((constant.name, direction))
    return left


# --- the list


def listed() -> dict[tuple[str, str, str], str]:
    lines = SURVIVORS.read_text(encoding="utf-8").splitlines() if SURVIVORS.exists() else []
    rows = [line.split("\t") for line in lines if line and not line.startswith("#") and line != HEAD]
    return {(module, constant, direction): reason for module, constant, direction, reason in rows}


def write() -> None:
    importlib.import_module("hayfuncs")
    reasons = listed()
    lines = ["# constants whose change by one in the last digit no check row notices, and why none can", HEAD]
    for module in modules():
        for constant, direction in survivors(module):
            lines.append(f"{module}\t{constant}\t{direction}\t{reasons.get((module, constant, direction), '')}")
    SURVIVORS.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{len(lines) - 2} survivors in {SURVIVORS.name}")


if __name__ == "__main__":
    write()
