"""Do the tests notice?  Changes one thing at a random line of the library, runs the tests that concern it, tells what survived.

    python tests/mutate.py --count 40 --rooms forage cow ration hazards
    python tests/mutate.py --seed 7 --only hayfuncs/hazards/levels.py

By hand, now and then; nothing in CI calls it.  The work is done in a copy of the project, which is
thrown away.  A mutant that survives is a line that no test holds: add the test, or say why none can.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOPICS = (
    "forage",
    "cow",
    "ration",
    "hazards",
    "hay",
)  # the rooms of the trade: at least 95 in 100 are wanted there, 85 elsewhere
COPIED = ("hayfuncs", "tests", "workbooks", "pyproject.toml", "README.md", "DEVELOPERS.md")
SLOW = ("workbook", "audit", "hosts", "played", "importers", "commands")  # folders of tests that run last
# tests over all functions, each with the function's name in its own: only those of the changed module's functions run
TABLES = (
    "test_checks.py", "contract/test_contract.py", "formulas/test_longhand.py", "contract/test_records.py",
    "contract/test_advice.py", "generate/test_pages.py",
)  # fmt: skip
LEFT_OUT = ("test_nudge.py", "test_layers.py")  # the one is a mutation test itself, the other reads no arithmetic
COMPARED = {
    ast.Lt: ("<", "<="), ast.LtE: ("<=", "<"), ast.Gt: (">", ">="), ast.GtE: (">=", ">"), ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="), ast.In: ("in", "not in"), ast.NotIn: ("not in", "in"), ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
}  # fmt: skip
JOINED = {ast.And: ("and", "or"), ast.Or: ("or", "and")}
REACHED = {ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*")}
SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
OF_RECORD = ("Arg", "Ref", "worksheet", "Result", "Words", "Block", "Name", "Flag", "TypeVar", "Longhand", "Step")


@dataclass(frozen=True)
class Mutant:
    path: Path  # within the project
    kind: str
    line: int
    start: int  # of the text that is replaced, in the file
    end: int
    new: str

    def told(self, source: str) -> str:
        old = " ".join(source[self.start : self.end].split())
        new = " ".join(self.new.split())
        return f"{self.path}:{self.line}  {self.kind}: {old[:90]}  ->  {new[:90]}"


class Finder(ast.NodeVisitor):
    """Every place of one file where something can be changed, and what would stand there."""

    def __init__(self, path: Path, source: str) -> None:
        self.path, self.source = path, source
        lines = source.encode().splitlines(keepends=True)
        self.starts = [0]
        for line in lines:
            self.starts.append(self.starts[-1] + len(line))
        self.found: list[Mutant] = []
        self.raw = source.encode()

    def place(self, line: int, col: int) -> int:
        return len(self.raw[: self.starts[line - 1] + col].decode())

    def span(self, node: ast.expr) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.place(node.lineno, node.col_offset), self.place(node.end_lineno, node.end_col_offset)

    def put(self, kind: str, node: ast.expr, new: str) -> None:
        start, end = self.span(node)
        self.found.append(Mutant(self.path, kind, node.lineno, start, end, new))

    def between(self, kind: str, left: ast.expr, right: ast.expr, old: str, new: str) -> None:
        """The sign between two operands."""
        start, end = self.span(left)[1], self.span(right)[0]
        at = re.search(rf"(?<![=<>!*/\w]){re.escape(old)}(?![=<>*/\w])", self.source[start:end])
        if at:
            self.found.append(Mutant(self.path, kind, left.end_lineno or 0, start + at.start(), start + at.end(), new))

    def visit_Compare(self, node: ast.Compare) -> None:
        for op, left, right in zip(node.ops, [node.left, *node.comparators], node.comparators, strict=False):
            self.between("comparison", left, right, *COMPARED[type(op)])
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        for left, right in zip(node.values, node.values[1:], strict=False):
            self.between("choice", left, right, *JOINED[type(node.op)])
        self.generic_visit(node)

    def visit_BinOp(self, node: ast.BinOp) -> None:
        if type(node.op) in REACHED and not any(
            isinstance(x, (ast.JoinedStr, ast.List)) for x in (node.left, node.right)
        ):
            text = any(isinstance(x, ast.Constant) and isinstance(x.value, str) for x in (node.left, node.right))
            if not text:
                self.between("arithmetic", node.left, node.right, *REACHED[type(node.op)])
        self.generic_visit(node)

    def _turned(self, node: ast.If | ast.IfExp) -> None:
        start, end = self.span(node.test)
        self.put("choice", node.test, f"not ({self.source[start:end]})")
        self.generic_visit(node)

    def visit_If(self, node: ast.If) -> None:
        if "TYPE_CHECKING" not in ast.dump(node.test):
            self._turned(node)

    visit_IfExp = _turned

    def visit_Call(self, node: ast.Call) -> None:
        if isinstance(node.func, ast.Name) and node.func.id in SWAPPED and len(node.args) > 1:
            self.put("choice", node.func, SWAPPED[node.func.id])
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name not in OF_RECORD:  # words and ranges of a record are held against the docstring and the tables
            self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.put("choice", node, str(not value))
        elif isinstance(value, (int, float)):
            written = ast.get_source_segment(self.source, node) or ""
            if re.fullmatch(r"[0-9._]+(e-?[0-9]+)?", written):
                number = Decimal(written.replace("_", ""))
                step = Decimal(1).scaleb(int(number.as_tuple().exponent))
                self.put("constant", node, str(number + step))
        elif isinstance(value, str) and " " in value.strip() and "\n" not in value:
            self._words(node)

    def _words(self, node: ast.Constant) -> None:
        written = ast.get_source_segment(self.source, node) or ""
        if written[:1] not in "\"'":
            return
        words = list(re.finditer(r"[A-Za-z]{3,}", written))
        if words:
            m = words[len(words) // 2]
            self.put("message", node, written[: m.start()] + m.group()[::-1].swapcase() + written[m.end() :])

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        for part in node.values:
            if isinstance(part, ast.FormattedValue):
                self.visit(part.value)

    def visit_Expr(self, node: ast.Expr) -> None:
        if not (
            isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)
        ):  # a docstring is held by other tests
            self.generic_visit(node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        for default in (*node.args.defaults, *(d for d in node.args.kw_defaults if d is not None)):
            self.visit(default)
        for line in node.body:
            self.visit(line)


def mutants(path: Path) -> list[Mutant]:
    source = (ROOT / path).read_text(encoding="utf-8")
    finder = Finder(path, source)
    finder.visit(ast.parse(source))
    kept = []
    for mutant in finder.found:
        try:
            ast.parse(source[: mutant.start] + mutant.new + source[mutant.end :])
        except SyntaxError:
            continue
        kept.append(mutant)
    return kept


# --- which tests concern a module


@cache
def text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


@cache
def imported(path: Path) -> frozenset[str]:
    """Full dotted names that a file imports, with what it takes out of each."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(text(path))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return frozenset(found)


def public(path: Path) -> set[str]:
    """What a module offers by name, and its worksheet functions in the spelling of a sheet."""
    tree = ast.parse(text(ROOT / path))
    names = {n.name for n in tree.body if isinstance(n, (ast.FunctionDef, ast.ClassDef)) and not n.name.startswith("_")}
    return names | {n.upper() for n in worksheet_functions(tree)}


def worksheet_functions(tree: ast.Module) -> list[str]:
    def is_mark(d: ast.expr) -> bool:
        return isinstance(d, ast.Call) and getattr(d.func, "id", "") == "worksheet"

    return [n.name for n in tree.body if isinstance(n, ast.FunctionDef) and any(map(is_mark, n.decorator_list))]


def helpers(test: Path) -> Iterator[Path]:
    """The files beside the tests that a test builds on."""
    for name in imported(test):
        for made in (ROOT / "tests" / f"{name.replace('.', '/')}.py",):
            if made.exists():
                yield made


@dataclass(frozen=True)
class Tests:
    """What is run for a module, one stage after the other until one notices."""

    tables: list[str]  # arguments of pytest
    quick: list[str]
    slow: list[str]

    def stages(self, quick: bool) -> list[list[str]]:
        return [stage for stage in (self.tables, self.quick, [] if quick else self.slow) if stage]


@cache
def concerning(path: Path) -> Tests:
    """Test files for a module: by its functions, by import, by name, else by folder."""
    dotted = ".".join(path.with_suffix("").parts)
    functions = [name.upper() for name in worksheet_functions(ast.parse(text(ROOT / path)))]
    words = re.compile(r"\b(?:" + "|".join(map(re.escape, sorted(public(path)) or ["\0"])) + r")\b")
    ranked: list[tuple[int, Path]] = []
    tables = [ROOT / "tests" / name for name in TABLES if functions]
    for test in sorted((ROOT / "tests").rglob("test_*.py")):
        if test in tables or test.name in LEFT_OUT:
            continue
        files = [test, *helpers(test)]
        score = 0
        if any(dotted in imported(file) for file in files):
            score = 3
        elif words.search(text(test)) and any(n.startswith("hayfuncs") for n in imported(test)):
            score = 2
        elif test.parent.name == path.parent.name:
            score = 1
        if test.stem.removeprefix("test_") in (path.stem, path.parent.name):
            score += 3
        if score:
            ranked.append((score, test))
    ranked.sort(key=lambda pair: (-pair[0], len(text(pair[1]))))
    named = [(str(test.relative_to(ROOT)), test.relative_to(ROOT / "tests").parts[0] in SLOW) for _, test in ranked]
    return Tests(
        [
            *(str(test.relative_to(ROOT)) for test in tables if test.exists()),
            "-k",
            " or ".join(("list_of_advice", *functions)),
        ]
        if functions
        else [],
        [name for name, slow in named if not slow],
        [name for name, slow in named if slow],
    )


# --- trying one


def copied() -> Path:
    """The project in a folder that may be changed."""
    made = Path(tempfile.mkdtemp(prefix="mutants-"))
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, made / name, ignore=shutil.ignore_patterns("__pycache__", "*.pyc"))
        elif source.exists():
            shutil.copy(source, made / name)
    return made


def survives(copy: Path, tests: list[str], seconds: float) -> str:
    """How the tests take it: `noticed`, `survived`, or `too long` (a loop without end is noticed by the clock)."""
    command = [
        sys.executable, "-m", "pytest", "-x", "-q", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist",
        "-m", "not libreoffice", *tests,
    ]  # fmt: skip
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "CI": "mutants"}
    process = subprocess.Popen(
        command, cwd=copy, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, start_new_session=True
    )
    try:
        said, _ = process.communicate(timeout=seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, 9)
        process.wait()
        return "too long"
    if process.returncode in (0, 5):
        return "survived"
    if process.returncode == 4 and b"ImportError while loading conftest" in said:
        return "noticed"  # the library does not even begin
    if process.returncode not in (1, 2):
        raise SystemExit(said.decode("utf-8", "replace")[-3000:])
    return "noticed"


def tried(copy: Path, mutant: Mutant, seconds: float, quick: bool) -> str:
    source = text(ROOT / mutant.path)
    changed = copy / mutant.path
    changed.write_text(source[: mutant.start] + mutant.new + source[mutant.end :], encoding="utf-8")
    try:
        for tests in concerning(mutant.path).stages(quick):
            answer = survives(copy, tests, seconds)
            if answer != "survived":
                return answer
        return "survived"
    finally:
        changed.write_text(source, encoding="utf-8")


def chosen(files: list[Path], count: int, r: random.Random) -> list[Mutant]:
    """Mutants at random lines: a line first, then one of what it offers, so that long tables do not take all."""
    lines: dict[tuple[Path, int], list[Mutant]] = {}
    for path in files:
        for mutant in mutants(path):
            lines.setdefault((path, mutant.line), []).append(mutant)
    places = r.sample(sorted(lines), min(count, len(lines)))
    return [r.choice(lines[place]) for place in places]


def files_of(rooms: list[str], only: list[str]) -> list[Path]:
    if only:
        return [Path(name) for name in only]
    return [p.relative_to(ROOT) for room in rooms for p in sorted((ROOT / "hayfuncs" / room).rglob("*.py"))]


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--count", type=int, default=40, help="mutants to try")
    asked.add_argument("--seed", type=int, default=None, help="the same seed tries the same mutants")
    asked.add_argument("--rooms", nargs="+", default=list(TOPICS), help="folders of hayfuncs/")
    asked.add_argument("--only", nargs="+", default=[], metavar="FILE", help="these files and no others")
    asked.add_argument("--seconds", type=float, default=600, help="for the tests of one mutant")
    asked.add_argument("--quick", action="store_true", help="without the tests that build workbooks or start hosts")
    asked.add_argument("--list", action="store_true", help="name the mutants and their tests, run nothing")
    given = asked.parse_args()
    seed = given.seed if given.seed is not None else random.SystemRandom().randrange(10**6)
    picked = chosen(files_of(given.rooms, given.only), given.count, random.Random(seed))
    print(f"seed {seed}: {len(picked)} mutants", flush=True)
    if given.list:
        for mutant in picked:
            print(mutant.told(text(ROOT / mutant.path)))
            for stage in concerning(mutant.path).stages(given.quick):
                print("       ", *stage)
        return
    copy = copied()
    told: Counter[str] = Counter()
    try:
        for number, mutant in enumerate(picked, 1):
            began = time.monotonic()
            answer = tried(copy, mutant, given.seconds, given.quick)
            told[answer] += 1
            print(
                f"{number:4} {answer:9} {time.monotonic() - began:5.0f} s  {mutant.told(text(ROOT / mutant.path))}",
                flush=True,
            )
    finally:
        shutil.rmtree(copy, ignore_errors=True)
    if told:
        noticed = sum(told.values()) - told["survived"]
        print(
            f"{noticed} of {sum(told.values())} noticed ({100 * noticed / sum(told.values()):.0f} %), seed {seed}; by kind: {dict(told)}"
        )


if __name__ == "__main__":
    main()
