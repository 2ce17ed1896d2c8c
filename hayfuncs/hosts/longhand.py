"""From a record's longhand to a spreadsheet expression over given references.

The same text serves the LAMBDA names (references are parameters), the plain edition and
the Longhand sheet (references are cells).  The guard gives the errors of the contract:
`#VALUE!` for a blank or text, `#NUM!` for an impossible number, `#N/A` for an unknown name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import reduce

from hayfuncs.record import Arg, Flag, Longhand, Record, Words

TableRange = Callable[[str, str], str]
TOKEN = re.compile(r"\{(@?[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)?#?)\}")


def no_tables(table: str, column: str) -> str:
    raise KeyError(f"no place given for table {table}, column {column}")


def fill(record: Record, formula: str, refs: Mapping[str, str], tables: TableRange = no_tables) -> str:
    """The formula with every `{...}` replaced."""

    def put(match: re.Match[str]) -> str:
        token = match.group(1)
        if token.startswith("@"):
            table, _, column = token[1:].partition(".")
            return tables(table, column)
        if token.endswith("#"):
            return place_in_list(record, token[:-1], refs[token[:-1]])
        return refs[token]

    return TOKEN.sub(put, formula)


def place_in_list(record: Record, name: str, ref: str) -> str:
    """1, 2, ... for the words of a closed list, 0 for any other word (so that CHOOSE refuses it)."""
    arg = record.args[name]
    assert isinstance(arg, Words)
    if ref.startswith('"') and ref.endswith('"'):  # a fixed word: its place is known now
        return str([w.casefold() for w in arg.words].index(ref[1:-1].casefold()) + 1)
    terms = [f'{i}*({ref}="{word}")' for i, word in enumerate(arg.words, 1)]
    return "(" + "+".join(terms) + ")"


def guard(record: Record, refs: Mapping[str, str], body: str) -> str:
    """`body` behind the tests of the record's ranges and rules."""
    numbers = {n: a for n, a in record.args.items() if isinstance(a, Arg)}
    flags = [n for n, a in record.args.items() if isinstance(a, Flag)]
    tests: list[str] = []
    for name, arg in numbers.items():
        tests += range_tests(refs[name], arg)
    tests += [fill(record, rule.formula, refs) for rule in record.rules]
    kinds: list[str] = []
    if numbers:
        kinds.append(f"COUNT({','.join(refs[n] for n in numbers)})={len(numbers)}")
    for name in flags:
        # OR(...) of a blank is FALSE, so yes/no cells are asked for their kind first
        kinds.append(f"OR(ISNUMBER({refs[name]}),ISLOGICAL({refs[name]}))")
        tests.append(f"OR(N({refs[name]})=0,N({refs[name]})=1)")
    inner = body
    if tests:
        inner = f"IF({_all(tests)},{body},#NUM!)"
    if kinds:
        wrong = "+".join([*(refs[n] for n in (*numbers, *flags)), "#VALUE!"])
        inner = f"IF({_all(kinds)},{inner},{wrong})"
    return inner


def range_tests(ref: str, arg: Arg) -> list[str]:
    tests: list[str] = []
    if arg.lo != float("-inf"):
        tests.append(f"{ref}{'>' if arg.above else '>='}{arg.lo:.12g}")
    if arg.hi != float("inf"):
        tests.append(f"{ref}<={arg.hi:.12g}")
    return tests


def _all(tests: list[str]) -> str:
    return tests[0] if len(tests) == 1 else f"AND({','.join(tests)})"


def lines(longhand: Longhand) -> list[str]:
    """Every formula of a longhand, steps first."""
    return [*(step.formula for step in longhand.steps), longhand.result]


def one_formula(record: Record, refs: Mapping[str, str], tables: TableRange = no_tables) -> str:
    """The longhand without a guard, each step put in place: for short ones and for tests."""
    assert record.longhand is not None
    known = dict(refs)
    for step in record.longhand.steps:
        known[step.name] = f"({fill(record, step.formula, known, tables)})"
    return fill(record, record.longhand.result, known, tables)


def tables_used(record: Record) -> set[tuple[str, str]]:
    """(table, column) pairs that the longhand looks up."""
    if record.longhand is None:
        return set()
    found = (re.findall(r"\{@([a-z0-9_]+)\.([a-z0-9_]+)\}", text) for text in lines(record.longhand))
    return reduce(lambda a, b: a | set(b), found, set())
