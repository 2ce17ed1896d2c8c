"""One record per worksheet function, read from the function's own signature.

`@worksheet(...)` reads the `Annotated` arguments once, lints the record, files it in
`CATALOGUE` and hands the plain function back unchanged.  Every face of the library
(Excel, LibreOffice, LAMBDA names, the workbook, help, audit) is made from the record.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Annotated, Any, TypeAlias, TypeVar, get_args, get_origin, get_type_hints

import numpy as np
import numpy.typing as npt

from hayfuncs.errors import UNSPOKEN
from hayfuncs.units import UNITS

Number: TypeAlias = float | npt.NDArray[np.float64]
F = TypeVar("F", bound=Callable[..., Any])

EVIDENCE = (
    "published",
    "published, second hand",
    "from memory, agrees with published",
    "from memory",
    "common practice, no source",
    "demo",
)
TOPICS = (
    "Dry matter",
    "Energy and quality",
    "Intake",
    "What the cow needs",
    "Supplement",
    "Cost and inventory",
    "Sampling and the lab sheet",
    "Cautions",
    "About the functions",
)
TEXT_LIMIT = 255  # characters that Excel's function wizard shows of one text
NAMES_LIMIT = 254  # characters of all argument names with commas (xlwings issue 1489)
RESERVED = frozenset(["R", "C", "RC", "RESULT", "VALUE", "ERROR", "GROUP", "CALL", "TRUE", "FALSE", "NULL"])


class RecordError(TypeError):
    """A record that its author must mend; raised when the module is imported."""


@dataclass(frozen=True)
class Ref:
    """Where a value or equation comes from: a key of the bibliography, the place, how known."""

    key: str
    where: str
    evidence: str = "published"


@dataclass(frozen=True)
class Arg:
    """One number: its meaning, its unit, what is possible and what the equation was fitted to."""

    meaning: str
    unit: str
    lo: float = -math.inf
    hi: float = math.inf
    above: bool = False  # True: the lower bound itself is not possible (0 pounds of cow)
    fit: tuple[float, float] | None = None
    fix: str = ""  # what to do when the value is refused
    kind: str = field(default="number", init=False)

    def allowed(self) -> str:
        unit = "" if self.unit in UNSPOKEN else f" {self.unit}"
        if self.lo == -math.inf and self.hi == math.inf:
            return f"a number{unit and f' in{unit}'}"
        if self.hi == math.inf:
            return f"{'above' if self.above else 'at least'} {self.lo:g}{unit}"
        if self.lo == -math.inf:
            return f"at most {self.hi:g}{unit}"
        first = f"above {self.lo:g}" if self.above else f"{self.lo:g}"
        return f"{first} to {self.hi:g}{unit}"

    def possible(self, x: float) -> bool:
        low = x > self.lo if self.above else x >= self.lo
        return low and x <= self.hi and math.isfinite(x)


@dataclass(frozen=True)
class Words:
    """A word from a closed list, matched without regard to case."""

    meaning: str
    words: tuple[str, ...]
    unit: str = "word"
    fix: str = "use one of the words listed"
    kind: str = field(default="word", init=False)

    def allowed(self) -> str:
        return ", ".join(self.words)


@dataclass(frozen=True)
class Flag:
    """Yes or no: TRUE or 1, FALSE or 0."""

    meaning: str
    unit: str = "yes/no"
    fix: str = "give 1 for yes, 0 for no"
    kind: str = field(default="flag", init=False)

    def allowed(self) -> str:
        return "1 or TRUE for yes, 0 or FALSE for no"


@dataclass(frozen=True)
class Name:
    """A row's name in a table; an unknown one is NotInTable (#N/A)."""

    meaning: str
    table: str
    unit: str = "name"
    fix: str = "pick the name from the table"
    kind: str = field(default="name", init=False)

    def allowed(self) -> str:
        return f"a name in the table {self.table}"


@dataclass(frozen=True)
class Block:
    """A block of cells (rows and columns) that the function takes whole.

    `columns` fixes the layout: each column's name and what is possible in it.  `by_row`
    says that each row is a case of its own: among several rows a bad one becomes NaN.
    """

    meaning: str
    unit: str
    fix: str = "give a block of cells of numbers"
    columns: tuple[tuple[str, Arg], ...] = ()
    by_row: bool = False
    kind: str = field(default="block", init=False)

    def allowed(self) -> str:
        if not self.columns:
            return "a block of cells"
        return f"{len(self.columns)} columns: {', '.join(name for name, _ in self.columns)}"


AnyArg: TypeAlias = Arg | Words | Flag | Name | Block


@dataclass(frozen=True)
class Result:
    """What comes back: its meaning, its unit, and the range every finite answer lies in.

    `block` marks an answer of several cells even for a single call.
    """

    meaning: str
    unit: str
    lo: float = -math.inf
    hi: float = math.inf
    block: bool = False


@dataclass(frozen=True)
class Rule:
    """A condition that joins several arguments, e.g. NDF is never below ADF.

    `ok` is the condition in Python (it must work on arrays), `formula` the same in the
    longhand language, `blame` the argument named in the message.
    """

    ok: Callable[..., Any]
    formula: str
    blame: str
    allowed: str
    fix: str


@dataclass(frozen=True)
class Step:
    """One named line of a longhand calculation; later lines use it as {name}."""

    name: str
    formula: str
    label: str
    unit: str


@dataclass(frozen=True)
class Longhand:
    """The function's arithmetic as spreadsheet expressions.

    In a formula `{name}` is an argument or an earlier step, `{name#}` the place (1, 2, ...)
    of a word in its closed list, and `{@table.column}` a column of a shipped table.
    """

    result: str
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Record:
    name: str
    topic: str
    summary: str
    equation: str
    args: dict[str, AnyArg]
    result: Result
    refs: tuple[Ref, ...]
    longhand: Longhand | None
    no_longhand: str
    rules: tuple[Rule, ...]
    defaults: dict[str, Any]
    why_default: str
    elementwise: bool
    variadic: bool
    plain: Callable[..., Any]

    @property
    def python_name(self) -> str:
        return self.name.lower()

    @property
    def sheet_name(self) -> str:
        return f"HAY.{self.name}"

    @property
    def numeric(self) -> bool:
        return self.result.unit != "text"

    @property
    def evidence(self) -> str:
        """The weakest evidence class among the sources: no chain is stronger."""
        return max((r.evidence for r in self.refs), key=EVIDENCE.index)

    def numbers(self) -> dict[str, Arg]:
        return {k: a for k, a in self.args.items() if isinstance(a, Arg)}


CATALOGUE: dict[str, Record] = {}


def cell_like(name: str) -> bool:
    """True where a spreadsheet reads the name as a cell address (TDN1, R1C1, AB12)."""
    upper = name.upper()
    if re.fullmatch(r"R\d*(C\d*)?|C\d*", upper):
        return True
    m = re.fullmatch(r"([A-Z]{1,3})0*(\d{1,7})", upper)
    if not m:
        return False
    column = 0
    for letter in m.group(1):
        column = column * 26 + ord(letter) - 64
    return column <= 16384 and 1 <= int(m.group(2)) <= 1048576


def lint(r: Record) -> list[str]:
    """Every fault of a record, in words; an empty list files it."""
    faults: list[str] = []
    if not re.fullmatch(r"[A-Z][A-Z0-9_]*[A-Z]|[A-Z]{3,}", r.name) or not 3 <= len(r.name) <= 40:
        faults.append("the name needs capitals and underscores, 3 to 40 characters, no digit at the end")
    if cell_like(r.name) or r.name in RESERVED:
        faults.append("the name is a cell address or a reserved word")
    if r.name in CATALOGUE:
        faults.append("the name is taken")
    if r.topic not in TOPICS:
        faults.append(f"unknown topic {r.topic!r}")
    if not r.refs:
        faults.append("no source")
    for ref in r.refs:
        if ref.evidence not in EVIDENCE:
            faults.append(f"evidence class {ref.evidence!r} is not in the closed list")
        if not ref.key or not ref.where:
            faults.append("a source without key or place")
    if len(r.summary) > TEXT_LIMIT or not r.summary:
        faults.append("the summary is empty or over 255 characters")
    if len(",".join(r.args)) > NAMES_LIMIT:
        faults.append("argument names over 254 characters together")
    for arg_name, arg in r.args.items():
        if cell_like(arg_name) or arg_name.upper() in RESERVED or not re.fullmatch(r"[a-z][a-z0-9_]*", arg_name):
            faults.append(f"argument {arg_name}: cell-like, reserved or not lower case")
        if not arg.unit:
            faults.append(f"argument {arg_name}: no unit")
        elif arg.unit not in UNITS:
            faults.append(f"argument {arg_name}: unit {arg.unit!r} is not in the closed list")
        if len(arg.meaning) > TEXT_LIMIT or not arg.meaning:
            faults.append(f"argument {arg_name}: meaning empty or over 255 characters")
        if isinstance(arg, Arg) and arg.fit and not (arg.lo <= arg.fit[0] <= arg.fit[1] <= arg.hi):
            faults.append(f"argument {arg_name}: fitted range outside the possible range")
        for column, inner in arg.columns if isinstance(arg, Block) else ():
            if inner.unit not in UNITS or not re.fullmatch(r"[a-z][a-z0-9_]*", column):
                faults.append(f"argument {arg_name}: column {column} is not lower case or has no unit of the list")
    if r.result.unit not in UNITS:
        faults.append(f"result unit {r.result.unit!r} is not in the closed list")
    if r.numeric and r.longhand is None and not r.no_longhand:
        faults.append("a numeric function without longhand must say why")
    if r.longhand is not None:
        faults += _lint_longhand(r)
    if r.defaults and not r.why_default:
        faults.append("a default without its reason")
    return faults


def _lint_longhand(r: Record) -> list[str]:
    assert r.longhand is not None
    faults: list[str] = []
    known = set(r.args)
    for step in (*r.longhand.steps, Step("", r.longhand.result, "result", r.result.unit)):
        for used in re.findall(r"\{([a-z][a-z0-9_]*)#?\}", step.formula):
            if used not in known:
                faults.append(f"longhand uses {{{used}}}, which is no argument or earlier step")
        if step.name:
            if cell_like(step.name) or step.name in known or step.name.upper() in RESERVED:
                faults.append(f"longhand step {step.name}: cell-like, reserved or taken")
            if step.unit not in UNITS:
                faults.append(f"longhand step {step.name}: unit {step.unit!r} is not in the closed list")
            known.add(step.name)
    for rule in r.rules:
        for used in re.findall(r"\{([a-z][a-z0-9_]*)#?\}", rule.formula):
            if used not in r.args:
                faults.append(f"rule uses {{{used}}}, which is no argument")
    return faults


def worksheet(
    name: str,
    topic: str,
    summary: str,
    *,
    equation: str,
    refs: tuple[Ref, ...],
    longhand: str | Longhand | None = None,
    no_longhand: str = "",
    rules: tuple[Rule, ...] = (),
    why_default: str = "",
    elementwise: bool = False,
    variadic: bool = False,
) -> Callable[[F], F]:
    """File a function in the catalogue; `elementwise` marks one written for single values only."""

    def file(function: F) -> F:
        hints = get_type_hints(function, include_extras=True)
        args: dict[str, AnyArg] = {}
        code = function.__code__
        defaults: dict[str, Any] = {}
        names = code.co_varnames[: code.co_argcount]
        given = function.__defaults__ or ()
        for arg_name, default in zip(names[len(names) - len(given) :], given, strict=True):
            defaults[arg_name] = default
        for arg_name in names:
            note = _annotation(hints.get(arg_name))
            if not isinstance(note, (Arg, Words, Flag, Name, Block)):
                raise RecordError(f"{name}: argument {arg_name} has no record")
            args[arg_name] = note
        result = _annotation(hints.get("return"))
        if not isinstance(result, Result):
            raise RecordError(f"{name}: the result has no record")
        lh = Longhand(longhand) if isinstance(longhand, str) else longhand
        record = Record(
            name, topic, summary, equation, args, result, refs, lh, no_longhand, rules,
            defaults, why_default, elementwise, variadic, function,
        )  # fmt: skip
        faults = lint(record)
        if faults:
            raise RecordError(f"{name}: " + "; ".join(faults))
        CATALOGUE[name] = record
        return function

    return file


def _annotation(hint: Any) -> Any:
    if get_origin(hint) is Annotated:
        return get_args(hint)[1]
    return None
