"""The parts that a function's record is made of: arguments, result, sources, rules, longhand.

Named tuples, because they load eight times as fast as frozen data classes, and loading is paid
by every workbook that opens.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple, TypeAlias

from hayfuncs.contract.errors import UNSPOKEN, listing

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
    "Condition and growth",
    "Supplement",
    "The margin of an answer",
    "Cost and inventory",
    "Sampling and the lab sheet",
    "Minerals and water",
    "Cautions",
    "About the functions",
)
TEXT_LIMIT = 255  # characters that Excel's function wizard shows of one text
NAMES_LIMIT = 254  # characters of all argument names with commas (xlwings issue 1489)


class Ref(NamedTuple):
    """Where a value or equation comes from: a key of the bibliography, the place, how known."""

    key: str
    where: str
    evidence: str = "published"


def written(number: float) -> str:
    """A limit as a reader expects it: 1,000,000 and not 1e+06."""
    return f"{number:,.10g}"


class Arg(NamedTuple):
    """One number: its meaning, its unit, what is possible and what the equation was fitted to."""

    meaning: str
    unit: str
    lo: float = -math.inf
    hi: float = math.inf
    above: bool = False  # True: the lower bound itself is not possible (0 pounds of cow)
    fit: tuple[float, float] | None = None
    fix: str = ""  # what to do when the value is refused

    @property
    def kind(self) -> str:
        return "number"

    def allowed(self) -> str:
        unit = "" if self.unit in UNSPOKEN else f" {self.unit}"
        if self.lo == -math.inf and self.hi == math.inf:
            return f"a number{unit and f' in{unit}'}"
        if self.hi == math.inf:
            return f"{'above' if self.above else 'at least'} {written(self.lo)}{unit}"
        if self.lo == -math.inf:
            return f"at most {written(self.hi)}{unit}"
        first = f"above {written(self.lo)}" if self.above else written(self.lo)
        return f"{first} to {written(self.hi)}{unit}"

    def possible(self, x: float) -> bool:
        low = x > self.lo if self.above else x >= self.lo
        return low and x <= self.hi and math.isfinite(x)


class Words(NamedTuple):
    """A word from a closed list, matched without regard to case."""

    meaning: str
    words: tuple[str, ...]
    unit: str = "word"
    fix: str = "use one of the words listed"

    @property
    def kind(self) -> str:
        return "word"

    def allowed(self) -> str:
        return listing(self.words)


class Flag(NamedTuple):
    """Yes or no: TRUE or 1, FALSE or 0."""

    meaning: str
    unit: str = "yes/no"
    fix: str = "give 1 for yes, 0 for no"

    @property
    def kind(self) -> str:
        return "flag"

    def allowed(self) -> str:
        return "1 or TRUE for yes, 0 or FALSE for no"


class Name(NamedTuple):
    """A row's name in a table; an unknown one is NotInTable (#N/A)."""

    meaning: str
    table: str
    unit: str = "name"
    fix: str = "pick the name from the table"

    @property
    def kind(self) -> str:
        return "name"

    def allowed(self) -> str:
        return f"a name in the table {self.table}"


class Block(NamedTuple):
    """A block of cells (rows and columns) that the function takes whole.

    `columns` fixes the layout: each column's name and what is possible in it.  `by_row`
    says that each row is a case of its own: among several rows a bad one becomes NaN.
    The last `optional` columns may be left out together; they count as 0 then.
    """

    meaning: str
    unit: str
    fix: str = "give a block of cells of numbers"
    columns: tuple[tuple[str, Arg], ...] = ()
    by_row: bool = False
    optional: int = 0

    @property
    def kind(self) -> str:
        return "block"

    def allowed(self) -> str:
        if not self.columns:
            return "a block of cells"
        names = [name for name, _ in self.columns]
        needed = len(names) - self.optional
        more = f"; then, if wanted, {', '.join(names[needed:])}" if self.optional else ""
        return f"{needed} columns: {', '.join(names[:needed])}{more}"


AnyArg: TypeAlias = Arg | Words | Flag | Name | Block


class Result(NamedTuple):
    """What comes back: its meaning, its unit, and the range every finite answer lies in.

    `block` marks an answer of several cells even for a single call.
    """

    meaning: str
    unit: str
    lo: float = -math.inf
    hi: float = math.inf
    block: bool = False


class Rule(NamedTuple):
    """A condition that joins several arguments, e.g. NDF is never below ADF.

    `ok` is the condition in Python (it must work on arrays), `formula` the same in the
    longhand language, `blame` the argument named in the message.
    """

    ok: Callable[..., Any]
    formula: str
    blame: str
    allowed: str
    fix: str


class Step(NamedTuple):
    """One named line of a longhand calculation; later lines use it as {name}."""

    name: str
    formula: str
    label: str
    unit: str


class Longhand(NamedTuple):
    """The function's arithmetic as spreadsheet expressions.

    In a formula `{name}` is an argument or an earlier step, `{name#}` the place (1, 2, ...)
    of a word in its closed list, and `{@table.column}` a column of a shipped table.
    `can_leave` marks arithmetic that possible arguments can take out of the result's range:
    it is then filed with a last line that refuses such an answer, as the function does.
    """

    result: str
    steps: tuple[Step, ...] = ()
    can_leave: bool = False

    def filed(self, result: Result) -> Longhand:
        if not self.can_leave:
            return self
        tests = [
            f"{{answer}}{sign}{end:.12g}" for sign, end in ((">=", result.lo), ("<=", result.hi)) if math.isfinite(end)
        ]
        last = Step("answer", self.result, result.meaning, result.unit)
        return Longhand(f"IF(AND({','.join(tests)}),{{answer}},#NUM!)", (*self.steps, last), True)


class Record(NamedTuple):
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
    remark: Callable[..., str] | None = None  # what NOTES adds to an answer that is given

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
