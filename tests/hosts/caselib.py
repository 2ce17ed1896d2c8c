"""tests/hosts/cases.tsv: one table of calls that every route runs, and the reference answer of each.

Arguments are JSON: null is a blank cell, {"error": "#N/A"} an error cell, a list a column,
a list of lists a block.  `expected` is a number as its source prints it, a text, an error,
or a JSON block in which null is a refused element (#NUM!).  `comes_from` says where the expectation
comes from: a check row, the contract, or (for values no source prints) the Python function itself;
`mark` is "own answer" in the last case: it holds the routes to Python, and Python to nothing.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import checklib
import numpy as np

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.errors import HayError

FILE = Path(__file__).with_name("cases.tsv")
COLUMNS = ("case", "function", "sort", "arguments", "expected", "tolerance", "comes_from", "mark")
SORTS = ("ordinary", "edge", "blank", "text", "error cell", "block", "mixed")
OWN_ANSWER = "own answer"  # the mark of a case that expects what Python itself gives
ERRORS = ("#VALUE!", "#NUM!", "#N/A", "#DIV/0!")


@dataclass(frozen=True)
class Case:
    case: str
    function: str
    sort: str
    arguments: list[Any]
    expected: str
    tolerance: str
    comes_from: str
    mark: str = ""

    @property
    def record(self) -> Record:
        return CATALOGUE[self.function]

    @cached_property
    def has_error_cell(self) -> bool:
        return '"error"' in json.dumps(self.arguments)

    @cached_property
    def core(self) -> Any:
        """What the Python function gives: a number, a text, rows of them, or the error's text."""
        return core(self.record, [nan_for_error(a) for a in self.arguments])

    @property
    def reference(self) -> Any:
        """What every other route must give: the expected error, else the number or text of the Python function."""
        return self.expected if self.expected in ERRORS else self.core

    def core_fault(self) -> str:
        """What is wrong with the Python function's answer against the expectation; empty when nothing."""
        if self.expected in ERRORS:
            return "" if self.core == self.expected else f"{self.core!r} is not {self.expected}"
        if self.core in ERRORS:
            return f"{self.core} instead of {self.expected}"
        printed = checklib.Check(
            FILE.name, 0, self.function, self.arguments, self.expected, self.tolerance, "", "", "", ""
        )
        answer = self.core
        if isinstance(answer, list):
            answer = [[float("nan") if v == "#NUM!" else v for v in row] for row in answer]
            wanted = json.loads(self.expected)
            if not isinstance(wanted[0], list):  # a column may be written as a plain list
                answer = [row[0] for row in answer]
            answer = np.array(answer, dtype=object)
        return printed.fault(answer)


def nan_for_error(value: Any) -> Any:
    """Python has no error cells; inside a block their place is a NaN."""
    if isinstance(value, dict):
        return float("nan")
    return [nan_for_error(v) for v in value] if isinstance(value, list) else value


def core(record: Record, arguments: list[Any]) -> Any:
    try:
        return plain(getattr(hayfuncs, record.python_name)(*arguments))
    except HayError as error:
        return error.excel


def plain(answer: Any) -> Any:
    """An answer as cells: floats, texts, #NUM! for NaN, rows of them for a block."""
    if isinstance(answer, np.ndarray):
        block = answer if answer.ndim == 2 else answer.reshape(-1, 1)
        return [[plain(v) for v in row] for row in block.tolist()]
    if isinstance(answer, (float, int, np.floating)) and not isinstance(answer, bool):
        return float(answer) if answer == answer else "#NUM!"
    return answer


def read(path: Path = FILE) -> list[Case]:
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    assert tuple(lines[0].split("\t")) == COLUMNS
    cases: list[Case] = []
    for line in lines[1:]:
        cells = line.split("\t")
        assert len(cells) == len(COLUMNS), line
        case, function, sort, arguments, *rest = cells
        cases.append(Case(case, function, sort, json.loads(arguments), *rest))
    return cases


def write(cases: list[Case], path: Path = FILE) -> None:
    head = "# one call a line, run by every route; made by make_cases.py and read by people"
    lines = [head, "\t".join(COLUMNS)]
    for c in cases:
        arguments = json.dumps(c.arguments, ensure_ascii=False)
        lines.append("\t".join((c.case, c.function, c.sort, arguments, c.expected, c.tolerance, c.comes_from, c.mark)))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
