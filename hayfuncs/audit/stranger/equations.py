"""What a formula is: held against the longhand of every function at random points, so that its spelling does not matter.

Exactly: the same number at each point.  Nearly: the same once one of its constants is the printed one; then the
constant is named, where what its cells mean agrees with what the function takes.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Record, Words
from hayfuncs.contract.tables import citation
from hayfuncs.formulas.template import TOKEN, fill
from hayfuncs.spreadsheet.parser import Area, Binary, FunctionCall, NameRef, Number, Tree, Unary, plain_name, tree, walk
from hayfuncs.spreadsheet.tokens import Malformed

POINTS = 3
MOST_LEAVES = 4
NEAR = 0.15  # how far a constant may be from the printed one and still be meant for it
EQUAL = 1e-9
TESTED = {"adf_pct", "ndf_pct", "cp_pct", "tdn_pct", "dm_pct"}
PLAIN = {0.0, 1.0, 2.0, 100.0, 9.0}  # 9: the digits that a longhand rounds its tests to
SEED = 20270211
Leaf = tuple[object, ...]  # a reference or a name, as a key
Spread = Mapping[Leaf, float]


@dataclass(frozen=True)
class Known:
    """One function's equation (one of its forms) with its arguments as leaves."""

    record: Record
    form: str
    root: Tree
    args: tuple[str, ...]
    numbers: tuple[float, ...]


@dataclass(frozen=True)
class Match:
    known: Known
    order: tuple[Leaf, ...]  # the formula's leaves in the order of the function's arguments
    wrong: tuple[tuple[str, float], ...] = ()  # each constant as written, and the printed one
    instead: tuple[tuple[Leaf, str], ...] = ()  # a cell that is something else than this argument

    @property
    def source(self) -> str:
        ref = self.known.record.refs[0]
        return f"{citation(ref.key)}, {ref.where}"


class Cannot(Exception):
    """A tree that is not plain arithmetic."""


def leaf_of(part: Tree) -> Leaf | None:
    if isinstance(part, Area):
        return ("cell", part.ref.sheet, part.ref.row, part.ref.col) if part.ref.single else None
    if isinstance(part, NameRef):
        return ("name", part.name.casefold())
    return None


def work(part: Tree, given: Spread, swap: tuple[Number, float] | None = None) -> float:
    """The tree's number where its leaves have these values; `swap` puts another value for one constant."""
    if isinstance(part, Number):
        return swap[1] if swap is not None and part is swap[0] else part.value
    leaf = leaf_of(part)
    if leaf is not None:
        if leaf not in given:
            raise Cannot
        return given[leaf]
    if isinstance(part, Unary):
        inner = work(part.inner, given, swap)
        return -inner if part.op == "-" else inner / 100 if part.op == "%" else inner
    if isinstance(part, Binary):
        return _binary(part.op, work(part.left, given, swap), work(part.right, given, swap))
    if isinstance(part, FunctionCall):
        return _call(part, given, swap)
    raise Cannot


def _binary(op: str, left: float, right: float) -> float:
    try:
        if op in "+-*/^":
            value = {"+": left + right, "-": left - right, "*": left * right}.get(op)
            value = value if value is not None else left / right if op == "/" else left**right
        else:
            value = float({"<": left < right, ">": left > right, "<=": left <= right, ">=": left >= right, "=": left == right, "<>": left != right}[op])  # fmt: skip
    except (ZeroDivisionError, OverflowError, KeyError, ValueError):
        raise Cannot from None
    if isinstance(value, complex):
        raise Cannot
    return value


SIMPLE: dict[str, Callable[[list[float]], float]] = {
    "MIN": min, "MAX": max, "SUM": sum, "ROUND": lambda v: round(v[0], int(v[1])), "CHOOSE": lambda v: v[int(v[0])],
    "ABS": lambda v: abs(v[0]), "SQRT": lambda v: math.sqrt(v[0]), "EXP": lambda v: math.exp(v[0]),
}  # fmt: skip


def _call(part: FunctionCall, given: Spread, swap: tuple[Number, float] | None) -> float:
    name = plain_name(part.name)
    if name == "IF" and len(part.args) == 3:
        return work(part.args[1 if work(part.args[0], given, swap) else 2], given, swap)
    if name not in SIMPLE or not part.args:
        raise Cannot
    try:
        return SIMPLE[name]([work(arg, given, swap) for arg in part.args])
    except (IndexError, ValueError, OverflowError):
        raise Cannot from None


# arguments that a sheet seldom has in a cell: intake from NDF as a percent of body weight is 120 over NDF
PINNED = {
    "INTAKE_FROM_NDF": (
        {"body_weight_lb": "100", "ndf_capacity_pct_bw": "1.2"},
        "percent of body weight, fiber filling 1.2 %",
    )
}


@cache
def library() -> tuple[Known, ...]:
    """Every equation in closed longhand of at most four numbers, each form of a closed list of words apart."""
    found = [known for record in CATALOGUE.values() for known in _forms(record)]
    for name, (values, form) in PINNED.items():
        record = CATALOGUE[name]
        args = tuple(arg for arg in record.args if arg not in values)
        text = (
            fill(record, record.longhand.result, {arg: values.get(arg, arg) for arg in record.args})
            if record.longhand
            else ""
        )
        constants = (float(values["body_weight_lb"]) * float(values["ndf_capacity_pct_bw"]),)
        found.append(Known(record, form, tree(text), args, constants))
    return tuple(found)


def _forms(record: Record) -> Iterator[Known]:
    formula = record.longhand.result if record.longhand else ""
    if not formula or "{@" in formula or '"' in formula or "INDEX(" in formula:
        return
    steps = {step.name: step.formula for step in record.longhand.steps} if record.longhand else {}
    for _ in range(len(steps) + 1):  # steps written out, the later ones first
        formula = TOKEN.sub(lambda m: f"({steps[m.group(1)]})" if m.group(1) in steps else m.group(0), formula)
        if len(formula) > 20_000:  # steps that read steps grow without end
            return
    numbers = [name for name, arg in record.args.items() if isinstance(arg, Arg)]
    words = {name: arg.words for name, arg in record.args.items() if isinstance(arg, Words)}
    others = set(record.args) - set(numbers) - set(words)
    if (
        not 1 <= len(numbers) <= MOST_LEAVES
        or others
        or len(words) > 2
        or len(formula) > 900
        or "{@" in formula
        or '"' in formula
    ):
        return
    for chosen in itertools.product(*words.values()):
        refs = {name: name for name in numbers} | {name: f'"{word}"' for name, word in zip(words, chosen, strict=True)}
        try:
            root = tree(fill(record, formula, refs))
        except (Malformed, KeyError, RecursionError, ValueError):
            return
        leaves = {leaf_of(p) for p in walk(root)} - {None}
        constants = tuple(p.value for p in walk(root) if isinstance(p, Number))
        used = tuple(n for n in numbers if ("name", n) in leaves)
        if used:
            yield Known(record, " ".join(chosen), root, used, constants)


@cache
def _at_points(number: int) -> tuple[tuple[dict[Leaf, float], float], ...] | None:
    """A known equation at its random points: the arguments' values and the result."""
    known = library()[number]
    draw = random.Random(f"{SEED} {known.record.name} {known.form}")
    found = []
    for _ in range(POINTS):
        given: dict[Leaf, float] = {}
        for name in known.args:
            arg = known.record.args[name]
            assert isinstance(arg, Arg)
            low, high = arg.fit or (arg.lo, arg.hi)
            low, high = (
                (low if low not in (None, float("-inf")) else 1.0),
                (high if high not in (None, float("inf")) else 97.0),
            )
            given["name", name] = draw.uniform(low + (high - low) * 0.2, low + (high - low) * 0.8)
        try:
            found.append((given, work(known.root, given)))
        except Cannot:
            return None
    return tuple(found)


def match(root: Tree, means: Mapping[Leaf, str]) -> Match | None:
    """The equation that a formula is, exactly or but for its constants; `means` names the argument that a leaf is."""
    parts = list(walk(root))
    if leaf_of(root) is not None:
        return None  # a link
    leaves = list(dict.fromkeys(leaf for p in parts if (leaf := leaf_of(p)) is not None))
    constants = [p for p in parts if isinstance(p, Number)]
    if (
        not 1 <= len(leaves) <= MOST_LEAVES
        or len(parts) > 80
        or any(isinstance(p, Area) and not p.ref.single for p in parts)
    ):
        return None
    for number, known in enumerate(library()):
        if len(known.args) == len(leaves) and (found := _exact(root, leaves, number, means)):
            return found
    if not constants:
        return None
    if found := _misfed(root, leaves, means):
        return found
    for number, known in enumerate(library()):
        if len(known.args) == len(leaves) and (near := _near(root, leaves, constants, number, means)):
            return near
    return None


def _misfed(root: Tree, leaves: list[Leaf], means: Mapping[Leaf, str]) -> Match | None:
    """An equation by all its constants, given a cell that is something else than it takes."""
    for number, known in enumerate(library()):
        if len(known.args) != len(leaves) or set(known.numbers) <= PLAIN:
            continue
        for order in itertools.permutations(leaves):
            other = [
                (leaf, name) for leaf, name in zip(order, known.args, strict=True) if means.get(leaf, name) != name
            ]
            if other and all(name in TESTED for _, name in other) and _same(root, number, order):
                return Match(known, order, instead=((other[0][0], other[0][1]),))
    return None


def _orders(known: Known, leaves: Sequence[Leaf], means: Mapping[Leaf, str]) -> Iterator[tuple[Leaf, ...]]:
    for order in itertools.permutations(leaves):
        if all(means.get(leaf, name) == name for leaf, name in zip(order, known.args, strict=True)):
            yield order


def _same(root: Tree, number: int, order: Sequence[Leaf], swap: tuple[Number, float] | None = None) -> bool:
    points = _at_points(number)
    if points is None:
        return False
    args = library()[number].args
    for given, want in points:
        try:
            have = work(root, {leaf: given["name", name] for leaf, name in zip(order, args, strict=True)}, swap)
        except Cannot:
            return False
        if abs(have - want) > EQUAL * max(1.0, abs(want)):
            return False
    return True


def _exact(root: Tree, leaves: list[Leaf], number: int, means: Mapping[Leaf, str]) -> Match | None:
    known = library()[number]
    bare = set(known.numbers) <= PLAIN  # a difference, a share: known for what it is only by its cells
    for order in _orders(known, leaves, means):
        told = any(means.get(leaf) == name for leaf, name in zip(order, known.args, strict=True))
        if (told or not bare) and _same(root, number, order):
            return Match(known, order)
    return None


def _near(
    root: Tree, leaves: list[Leaf], constants: list[Number], number: int, means: Mapping[Leaf, str]
) -> Match | None:
    """One constant put right makes it the equation, and every leaf is known to be the argument."""
    known = library()[number]
    for order in _orders(known, leaves, means):
        if not all(means.get(leaf) == name for leaf, name in zip(order, known.args, strict=True)):
            continue
        for constant in constants:
            for printed in set(known.numbers):
                close = printed and printed != constant.value and abs(constant.value - printed) <= NEAR * abs(printed)
                if close and _same(root, number, order, (constant, printed)):
                    return Match(known, order, ((constant.text, printed),))
    return None
