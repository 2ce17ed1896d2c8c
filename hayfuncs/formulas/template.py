"""From a record's longhand to a spreadsheet expression over given references.

The same text serves the LAMBDA names (references are parameters), the plain edition and
the Longhand sheet (references are cells).  The guard gives the errors of the contract:
`#VALUE!` for a blank or text, `#NUM!` for an impossible number, `#N/A` for an unknown name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce

from hayfuncs.contract.catalogue import Arg, Flag, Longhand, Name, Record, Words

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


@dataclass(frozen=True)
class Guard:
    """The tests of a record over given references, apart, so that they may stand in cells of their own."""

    kinds: tuple[str, ...]  # is it a number at all? else `wrong`
    tests: tuple[tuple[str, ...], ...]  # per argument or rule: is it possible? else #NUM!
    wrong: str

    def around(self, body: str) -> str:
        """`body` where every test holds, else the error of the contract."""
        flat = [test for group in self.tests for test in group]
        inner = f"IF({both(flat)},{body},#NUM!)" if flat else body
        return f"IF({both(self.kinds)},{inner},{self.wrong})" if self.kinds else inner


def guard_parts(record: Record, refs: Mapping[str, str], settle: Callable[[str], str] = str) -> Guard:
    """`settle` may simplify a rule's formula (choose the branch of a fixed word) before it is filled."""
    numbers = {n: a for n, a in record.args.items() if isinstance(a, Arg)}
    flags = [n for n, a in record.args.items() if isinstance(a, Flag)]
    kinds: list[str] = []
    tests = [tuple(range_tests(refs[name], arg)) for name, arg in numbers.items()]
    if numbers:
        kinds.append(f"COUNT({','.join(refs[n] for n in numbers)})={len(numbers)}")
    for name in flags:
        # N(...) of a blank is 0, which would be taken for no: yes/no cells are asked for their kind first
        kinds.append(f"OR(ISNUMBER({refs[name]}),ISLOGICAL({refs[name]}))")
        kinds.append(f"OR(N({refs[name]})=0,N({refs[name]})=1)")
    kinds += label_tests(record, refs)
    tests += [(fill(record, settle(rule.formula), refs),) for rule in record.rules]
    # the sum lets an error in an argument through before #VALUE! speaks
    wrong = "+".join([*(refs[n] for n in (*numbers, *flags)), "#VALUE!"])
    return Guard(tuple(kinds), tuple(group for group in tests if group), wrong)


def guard(record: Record, refs: Mapping[str, str], body: str) -> str:
    """`body` behind the tests of the record's ranges and rules."""
    return guard_parts(record, refs).around(body)


def label_tests(record: Record, refs: Mapping[str, str]) -> list[str]:
    """Words outside their list, and names that are no text."""
    tests: list[str] = []
    for name, arg in record.args.items():
        if refs[name].startswith('"'):
            continue  # a fixed word, known to be right
        if isinstance(arg, Words):
            tests.append("OR(" + ",".join(f'{refs[name]}="{word}"' for word in arg.words) + ")")
        elif isinstance(arg, Name):
            tests += [f"ISTEXT({refs[name]})", f'{refs[name]}<>""']
    return tests


def range_tests(ref: str, arg: Arg) -> list[str]:
    tests: list[str] = []
    if arg.lo != float("-inf"):
        tests.append(f"{ref}{'>' if arg.above else '>='}{arg.lo:.12g}")
    if arg.hi != float("inf"):
        tests.append(f"{ref}<={arg.hi:.12g}")
    return tests


def both(tests: Sequence[str]) -> str:
    """Every test at once."""
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
