"""A function's longhand as one SQL expression: plain arithmetic that a database runs at its own speed.

The tests of the contract stand around it: a number outside its possible range or a word outside its list gives
NULL, as a missing argument does.  A longhand that can leave the result's range carries that test itself.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from hayfuncs.contract.catalogue import Arg, Flag, Record, Rule, Words
from hayfuncs.formulas.template import TOKEN, range_tests, tables_used
from hayfuncs.spreadsheet.parser import (
    Binary,
    ErrorLiteral,
    FunctionCall,
    NameRef,
    Number,
    Text,
    Tree,
    Truth,
    Unary,
    plain_name,
    tree,
)  # fmt: skip

LONGEST = 12_000  # characters of a macro; a longer one takes a database as long to read as the Python way takes to run
PLACE = "place_in_list_"  # before the name of a word argument whose place is asked for
PREFIX = "v_"  # before a name, so that none is taken for a cell
CALLS: dict[str, Callable[..., str]] = {
    "ABS": lambda x: f"abs({x})",
    "EXP": lambda x: f"exp({x})",
    "SQRT": lambda x: f"sqrt({x})",
    "SIGN": lambda x: f"sign({x})",
    "INT": lambda x: f"floor({x})",
    "PI": lambda: "pi()",
    "MAX": lambda *x: f"greatest({', '.join(x)})",
    "MIN": lambda *x: f"least({', '.join(x)})",
    "AND": lambda *x: f"({' AND '.join(x)})",
    "OR": lambda *x: f"({' OR '.join(x)})",
    "NOT": lambda x: f"(NOT {x})",
    "N": lambda x: f"CAST({x} AS DOUBLE)",
    "IF": lambda test, yes, no: f"CASE WHEN {test} THEN {yes} ELSE {no} END",
}
OPERATORS = {"+", "-", "*", "/", "=", "<>", "<", ">", "<=", ">="}


class NotPlain(ValueError):
    """A longhand that is no plain arithmetic: it looks a table up, gives text, or calls what SQL writes otherwise."""


def expression(record: Record) -> str:
    """The SQL expression in the argument names; NotPlain says what stands against it."""
    longhand = record.longhand
    if longhand is None or not record.numeric or tables_used(record):
        raise NotPlain("no arithmetic in lines, a text, or a table to look up")
    if any(not isinstance(a, (Arg, Words, Flag)) for a in record.args.values()):
        raise NotPlain("an argument that is neither number, word nor yes/no")
    known = {name: argument(name, arg) for name, arg in record.args.items()}
    for step in longhand.steps:
        known[step.name] = f"({translated(record, step.formula, known)})"
        if len(known[step.name]) > LONGEST:
            raise NotPlain("too long when its lines are put into one")
    body = translated(record, longhand.result, known)
    tests = [test for name, arg in record.args.items() for test in possible(record, name, arg)]
    tests += [translated(record, rule.formula, known) for rule in record.rules if isinstance(rule, Rule)]
    if not math.isfinite(record.result.lo + record.result.hi):
        body = f"CASE WHEN isfinite({body}) THEN {body} END"
    text = f"CASE WHEN {' AND '.join(tests)} THEN {body} END" if tests else body
    if len(text) > LONGEST:
        raise NotPlain("too long when its lines are put into one")
    return text


def argument(name: str, arg: object) -> str:
    if isinstance(arg, Words):
        return f"lower(trim({named(name)}))"
    return f"CAST({named(name)} AS DOUBLE)"


def possible(record: Record, name: str, arg: object) -> list[str]:
    if isinstance(arg, Words):
        return [f"lower(trim({named(name)})) IN ({', '.join(quoted(w.casefold()) for w in arg.words)})"]
    if isinstance(arg, Flag):
        return [f"CAST({named(name)} AS DOUBLE) IN (0, 1)"]
    assert isinstance(arg, Arg)
    given = f"CAST({named(name)} AS DOUBLE)"
    if math.isfinite(arg.lo + arg.hi):  # which no NaN passes either: for SQL it is larger than every number
        return [f"{given} {'>' if arg.above else '>='} {float(arg.lo)!r}", f"{given} <= {float(arg.hi)!r}"]
    return [*range_tests(given, arg), f"isfinite({given})"]


def named(name: str) -> str:
    """A name in quotes: one of ours may be a word of SQL."""
    return f'"{name}"'


def quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def translated(record: Record, formula: str, known: dict[str, str]) -> str:
    def put(match: re.Match[str]) -> str:
        token = match.group(1)
        if token.startswith("@"):
            raise NotPlain("a table to look up")
        return PLACE + token[:-1] if token.endswith("#") else PREFIX + token

    return _sql(record, tree(TOKEN.sub(put, formula)), known)


def _sql(record: Record, part: Tree, known: dict[str, str]) -> str:
    def of(inner: Tree) -> str:
        return _sql(record, inner, known)

    if isinstance(part, Number):
        return f"{float(part.value)!r}::DOUBLE"
    if isinstance(part, Text):
        return quoted(part.value.casefold())
    if isinstance(part, Truth):
        return str(part.value).lower()
    if isinstance(part, ErrorLiteral):
        return "NULL::DOUBLE"
    if isinstance(part, NameRef) and part.name.startswith(PREFIX):
        return known[part.name.removeprefix(PREFIX)]
    if isinstance(part, Unary):
        return f"({of(part.inner)} / 100.0)" if part.op == "%" else f"({part.op}{of(part.inner)})"
    if isinstance(part, Binary):
        if part.op == "^":
            return f"pow({of(part.left)}, {of(part.right)})"
        if part.op in OPERATORS:
            return f"({_number(of(part.left), part)} {part.op} {_number(of(part.right), part)})"
    if isinstance(part, FunctionCall):
        name = plain_name(part.name)
        if name == "CHOOSE" and isinstance(part.args[0], NameRef) and part.args[0].name.startswith(PLACE):
            return _chosen(record, part.args[0].name.removeprefix(PLACE), [of(a) for a in part.args[1:]])
        if name in CALLS:
            return CALLS[name](*map(of, part.args))
    raise NotPlain(f"no plain arithmetic in SQL: {part!r}"[:120])


def _number(text: str, part: Binary) -> str:
    """A comparison counts as 1 or 0 where it is added or multiplied."""
    counts = part.op in "+-*/" and re.match(r"\(.* (=|<>|<|>|<=|>=) [^()]*\)\Z", text) is not None
    return f"CAST({text} AS INTEGER)" if counts else text


def _chosen(record: Record, name: str, branches: list[str]) -> str:
    arg = record.args[name]
    assert isinstance(arg, Words)
    whens = " ".join(f"WHEN {quoted(w.casefold())} THEN {b}" for w, b in zip(arg.words, branches, strict=False))
    return f"CASE lower(trim({named(name)})) {whens} END"


def is_plain(record: Record) -> bool:
    try:
        expression(record)
    except NotPlain:
        return False
    return True
