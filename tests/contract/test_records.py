"""Records: the fixed list of names and arguments, and docstrings that say what the record says."""

from __future__ import annotations

import ast
import math
import re
from pathlib import Path

import checklib
import points
import pytest

import hayfuncs
from hayfuncs.contract import catalogue as records
from hayfuncs.contract.catalogue import (
    CATALOGUE,
    Arg,
    Block,
    Flag,
    Name,
    Record,
    Words,
)

HERE = Path(__file__).parents[1]
HEADINGS = ("Purpose", "Equation", "Arguments", "Result", "Errors", "Source", "Example")
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)


# --- the fixed list


def fixed_list() -> list[tuple[str, str, list[str]]]:
    lines = (HERE / "catalogue.tsv").read_text(encoding="utf-8").splitlines()[2:]
    cells = [line.split("\t") for line in lines]
    return [(topic, name, arguments.split(", ")) for topic, name, arguments in cells]


@pytest.mark.parametrize(("topic", "name", "arguments"), fixed_list(), ids=lambda v: v if isinstance(v, str) else "")
def test_name_and_order_of_arguments(topic: str, name: str, arguments: list[str]) -> None:
    assert name in CATALOGUE, f"{name} is missing"
    assert CATALOGUE[name].topic == topic
    assert list(CATALOGUE[name].args) == arguments
    assert callable(getattr(hayfuncs, name.lower()))
    assert name.lower() in hayfuncs.__all__


def test_every_topic_has_functions_in_the_fixed_list() -> None:
    assert {topic for topic, _, _ in fixed_list()} == set(records.TOPICS)
    assert len(fixed_list()) >= 60


def test_catalogue_goes_topic_by_topic() -> None:
    """The Functions list reads in the order of the catalogue: no topic is begun twice by one module."""
    for module in {r.plain.__module__ for r in CATALOGUE.values()}:
        topics = [r.topic for r in CATALOGUE.values() if r.plain.__module__ == module]
        starts = [t for i, t in enumerate(topics) if i == 0 or topics[i - 1] != t]
        assert len(starts) == len(set(starts)), f"{module} mixes {starts}"


# --- the docstring is held to the record


@each_record
def test_docstring_says_what_the_record_says(record: Record) -> None:
    text = record.plain.__doc__
    assert text, "no docstring"
    found = re.findall(rf"^\s*({'|'.join(HEADINGS)}): ", text, flags=re.M)
    assert tuple(found) == HEADINGS, f"headings are {found}"
    for name in record.args:
        assert re.search(rf"\b{name}\b", text), f"argument {name} is not in the docstring"
    for name, arg in record.args.items():
        if isinstance(arg, Words):
            for word in arg.words:
                assert word in " ".join(text.split()), f"word {word!r} of {name} is not in the docstring"
    assert text.splitlines()[0].endswith("."), "the first line is no sentence"


@each_record
def test_example_is_true(record: Record) -> None:
    """`name(arguments) = value` in the docstring's example gives that value, to its last printed digit."""
    text = " ".join((record.plain.__doc__ or "").split())
    example = text[text.index("Example: ") :]
    calls = list(re.finditer(rf"\b{record.python_name}\(", example))
    assert calls, f"{record.name}: the example calls something else"
    held = 0
    for call in calls:
        end = closing(example, call.end() - 1)
        # the working may stand between: name(1250, 4) = 1250 x 0.96 = 1200.0 lb
        line = re.match(r"\s*=(?:[^;,.]|[.,](?=\d))*", example[end + 1 :])
        printed = re.findall(r"=\s*(-?\d[\d,]*\.?\d*|-?\.\d+)", line.group() if line else "")
        direct = re.match(r"\s*=\s*(-?\d[\d,]*\.?\d*)(?![\d.]|\s*[x*/+^-])", example[end + 1 :])
        if direct:
            printed = [direct.group(1)]
        quoted = re.match(r'\s*=\s*"([^"]*)"', example[end + 1 :])
        if not printed and not quoted:
            continue
        arguments = ast.literal_eval(f"[{example[call.end() : end]}]")
        found = points.public(record)(*arguments)
        shown = quoted.group(1) if quoted else printed[-1].rstrip(",.")
        row = checklib.Check("docstring", 1, record.name, arguments, shown, "", "hand", "hand", "", "")
        assert not row.fault(found), f"{example[call.start() : end + 1]}: {row.fault(found)}"
        held += 1
    assert held or not record.numeric or record.result.block, (
        f"{record.name}: no example of the form name(args) = value"
    )


def closing(text: str, opening: int) -> int:
    depth = 0
    for at in range(opening, len(text)):
        depth += {"(": 1, "[": 1, ")": -1, "]": -1}.get(text[at], 0)
        if depth == 0:
            return at
    raise AssertionError(f"no closing bracket in {text[opening:]}")


@each_record
def test_result_range_is_finite_or_says_why(record: Record) -> None:
    if record.numeric:
        assert record.result.lo > -math.inf or record.result.unit in ("any", "as the column says")
        assert all(isinstance(a, (Arg, Words, Flag, Name, Block)) for a in record.args.values())
