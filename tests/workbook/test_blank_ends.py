"""No text that a formula builds begins or ends with a blank.

An office drops such blanks when it loads a file and puts them back when it calculates: the same
cell would then read two ways, and a text compared with another be equal in one of them only.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from hayfuncs.spreadsheet.parser import Binary, FunctionCall, Text, Tree, tree
from hayfuncs.workbook.model import Call, a1, is_formula

BRANCHES = ("IF", "CHOOSE", "IFERROR")
EDITIONS = ("functions", "plain", "classic")


def outcomes(branch: Tree) -> Iterator[Tree]:
    """What a formula may come to, whichever way its conditions fall."""
    if isinstance(branch, FunctionCall) and branch.name in BRANCHES:
        for argument in branch.args[0 if branch.name == "IFERROR" else 1 :]:
            yield from outcomes(argument)
    else:
        yield branch


def joined(branch: Tree) -> list[Tree]:
    """The operands of `a&b&c`, in order."""
    if isinstance(branch, Binary) and branch.op == "&":
        return [*joined(branch.left), *joined(branch.right)]
    return [branch]


def at_end(branch: Tree, first: bool) -> tuple[bool, bool]:
    """Whether the text may begin (or end) with a blank, and whether it may be empty."""
    blank = empty = False
    for outcome in outcomes(branch):
        operands = joined(outcome)
        if len(operands) == 1:
            if isinstance(outcome, Text):
                empty |= not outcome.value
                blank |= outcome.value[:1].isspace() if first else outcome.value[-1:].isspace()
            continue
        for operand in operands if first else reversed(operands):
            inner_blank, inner_empty = at_end(operand, first)
            blank |= inner_blank
            if not inner_empty:  # what lies further in is never at the end
                break
        else:
            empty = True
    return blank, empty


def at_either_end(formula: str) -> bool:
    branch = tree(formula)
    return any(at_end(branch, first)[0] for first in (True, False))


@pytest.mark.parametrize(
    ("formula", "wanted"),
    [
        ('="Caution. "', True),
        ('=" now"', True),
        ('=A1&". "', True),
        ('=IF(A1=1,"one. ","")&IF(A2=1,"two","")', True),  # two may be missing
        ('=IF(A1=1," one","")', True),
        ('=CHOOSE(A1,"a","b ","c")', True),
        ('=TRIM(IF(A1=1,"one. ","")&IF(A2=1,"two","")) ', False),
        ('="Lot: "&A1', False),
        ('=IF(A1=" ","x","y")', False),
        ('="a "&A1&" b"', False),
    ],
)
def test_the_judge_itself(formula: str, wanted: bool) -> None:
    assert at_either_end(formula) is wanted


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_formula_can_build_a_text_with_a_blank_at_an_end(editions, edition):
    book, values, _ = editions[edition]
    faults = {}
    for sheet in book.sheets:
        for (row, col), cell in sheet.cells.items():
            if is_formula(cell):
                text = cell.content.formula() if isinstance(cell.content, Call) else cell.content.text
                if at_either_end(text):
                    faults[f"{sheet.name}!{a1(row, col)}"] = text
    assert faults == {}
    shown = {key: value for key, value in values.items() if isinstance(value, str) and value != value.strip()}
    assert shown == {}
