"""A formula as a tree: operators, calls, references, names and literals.

Why not the engine's parser (formualizer 0.13), which is in the house already: it is 15 to 25
times as fast over every formula (0.12 s against 3.3 s for the 10,692 of the workbook), but each
formula is parsed once for all its copies, 1,147 of them, and there both cost little: 0.35 s here,
0.09 s there with the tree turned into this one.  For that quarter of a second, in an audit that
takes twenty times as long, it would give up what hostile and careless files need:

- It takes for references what is none: A0, XFE1, A1..B2, a lone point, a zero byte.  Of 78,000
  formulas spoilt at random that are refused here it reads 12,400.
- It keeps no number as written (1E-6 comes back as 0.000001), no sheet of a broken reference,
  and no #GETTING_DATA; it refuses S1:S3!1:3.
- Places and spaces are needed to copy a formula along a column, so `tokens` would stay.
- It is native code.  The audit lets it see a stranger's file only in a process apart, whose time
  and memory end (`audit/worker.py`); and its readings are held against these in the tests.

Nested brackets, time and memory decide nothing: both refuse what is deeper than 64 or 72 levels.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from hayfuncs.spreadsheet.limits import DEPTH, LEVELS
from hayfuncs.spreadsheet.tokens import CellRef, Malformed, Piece, pieces, reference


@dataclass(frozen=True)
class Number:
    value: float
    text: str


@dataclass(frozen=True)
class Text:
    value: str


@dataclass(frozen=True)
class Truth:
    value: bool


@dataclass(frozen=True)
class ErrorLiteral:
    """An error value written in a formula."""

    value: str


@dataclass(frozen=True)
class Area:
    ref: CellRef


@dataclass(frozen=True)
class NameRef:
    name: str


@dataclass(frozen=True)
class Missing:
    """An argument left out between commas."""


@dataclass(frozen=True)
class Other:
    """A piece that is kept as text: a table reference, an array constant, a union of areas."""

    text: str
    parts: tuple[Tree, ...] = ()


@dataclass(frozen=True)
class Unary:
    op: str
    inner: Tree


@dataclass(frozen=True)
class Binary:
    op: str
    left: Tree
    right: Tree


@dataclass(frozen=True)
class FunctionCall:
    name: str
    args: tuple[Tree, ...]


@dataclass(frozen=True)
class Apply:
    """A function value called where it stands: LAMBDA(x,x+1)(2)."""

    function: Tree
    args: tuple[Tree, ...]


Tree: TypeAlias = (
    Number | Text | Truth | ErrorLiteral | Area | NameRef | Missing | Other | Unary | Binary | FunctionCall | Apply
)

# binding power; every operator of a spreadsheet is read from the left, ^ too
POWER = {"=": 1, "<>": 1, "<": 1, ">": 1, "<=": 1, ">=": 1, "&": 2, "+": 3, "-": 3, "*": 4, "/": 4, "^": 5, ":": 8}
SIGN = 6  # a sign binds tighter than ^: -2^2 is 4


def tree(formula: str) -> Tree:
    """The formula's tree; Malformed says what is wrong with it."""
    reader = _Reader(pieces(formula.removeprefix("=")))
    whole = reader.expression(0)
    if reader.at < len(reader.pieces):
        raise Malformed(f"unexpected {reader.pieces[reader.at].text!r}")
    waiting = [(whole, 1)]
    while waiting:
        part, level = waiting.pop()
        if level > LEVELS:
            raise Malformed(f"more than {LEVELS} operators and calls upon one another")
        waiting.extend((child, level + 1) for child in children(part))
    return whole


class _Reader:
    def __init__(self, found: list[Piece]) -> None:
        self.pieces, self.at, self.depth = found, 0, 0

    def peek(self) -> str:
        return self.pieces[self.at].text if self.at < len(self.pieces) else ""

    def take(self, text: str) -> None:
        if self.peek() != text:
            raise Malformed(f"{text!r} is missing" + (f" before {self.peek()!r}" if self.peek() else " at the end"))
        self.at += 1

    def expression(self, floor: int) -> Tree:
        self.depth += 1
        if self.depth > 2 * DEPTH:
            raise Malformed(f"nested deeper than {DEPTH} levels")
        left = self.operand()
        while True:
            op = self.peek()
            if op == "%":
                self.at += 1
                left = Unary("%", left)
                continue
            if op == "#" and isinstance(left, Area):
                self.at += 1
                left = Other(left.ref.text() + "#", (left,))
                continue
            if op == "(" and isinstance(left, (FunctionCall, Apply)):
                self.at += 1
                left = Apply(left, self.arguments())
                continue
            power = POWER.get(op, 0)
            if not power or power <= floor or self.pieces[self.at].kind != "op":
                break
            self.at += 1
            right = self.expression(power)
            left = Other(":", (left, right)) if op == ":" else Binary(op, left, right)
        self.depth -= 1
        return left

    def operand(self) -> Tree:
        if self.at >= len(self.pieces):
            raise Malformed("ends too early")
        kind, text = self.pieces[self.at]
        self.at += 1
        if kind == "number":
            return Number(float(text), text)
        if kind == "text":
            return Text(text[1:-1].replace('""', '"'))
        if kind == "ref":
            return Area(reference(text))
        if kind == "call":
            name, args = text[:-1], self.arguments()
            if not args and name.upper() in ("TRUE", "FALSE"):  # as LibreOffice spells them
                return Truth(name.upper() == "TRUE")
            return FunctionCall(name, args)
        if kind == "error":
            return ErrorLiteral(text.rpartition("!#")[2] and "#" + text.rpartition("#")[2])
        if kind == "name":
            return Truth(text.upper() == "TRUE") if text.upper() in ("TRUE", "FALSE") else NameRef(text)
        if kind == "table":
            return Other(text)
        return self.marked(text)

    def marked(self, text: str) -> Tree:
        if text in ("-", "+"):
            return Unary(text, self.expression(SIGN))
        if text == "@":
            return self.expression(SIGN)
        if text == "(":
            parts = [self.expression(0)]
            while self.peek() == ",":  # a union of areas
                self.at += 1
                parts.append(self.expression(0))
            self.take(")")
            return parts[0] if len(parts) == 1 else Other("union", tuple(parts))
        if text == "{":
            return self.array()
        raise Malformed(f"unexpected {text!r}")

    def array(self) -> Tree:
        parts: list[Tree] = []
        while True:
            parts.append(self.expression(0))
            mark = self.peek()
            self.at += 1
            if mark == "}":
                return Other("array", tuple(parts))
            if mark not in (",", ";"):
                raise Malformed("an array constant is not closed")

    def arguments(self) -> tuple[Tree, ...]:
        if self.peek() == ")":
            self.at += 1
            return ()
        args: list[Tree] = []
        while True:
            args.append(Missing() if self.peek() in (",", ")") else self.expression(0))
            if self.peek() == ",":
                self.at += 1
                continue
            self.take(")")
            return tuple(args)


def children(branch: Tree) -> tuple[Tree, ...]:
    if isinstance(branch, Unary):
        return (branch.inner,)
    if isinstance(branch, Binary):
        return (branch.left, branch.right)
    if isinstance(branch, FunctionCall):
        return branch.args
    if isinstance(branch, Apply):
        return (branch.function, *branch.args)
    return branch.parts if isinstance(branch, Other) else ()


def walk(branch: Tree) -> Iterator[Tree]:
    """The tree's every part, from the top, left to right."""
    waiting = [branch]
    while waiting:
        part = waiting.pop()
        yield part
        waiting.extend(reversed(children(part)))


@lru_cache(maxsize=20_000)
def plain_name(name: str) -> str:
    """A function's name without the marks a file puts before newer ones."""
    upper = name.upper()
    for mark in ("_XLFN.", "_XLWS.", "_XLUDF.", "_XLPM."):
        upper = upper.removeprefix(mark)
    return upper.removeprefix("_XLWS.")
