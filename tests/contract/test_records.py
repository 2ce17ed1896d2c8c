"""Records: the fixed list of names and arguments, and docstrings that say what the record says."""

from __future__ import annotations

import doctest
import inspect
import math
import re
from decimal import Decimal
from pathlib import Path

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
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "References", "Examples")
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


# --- help: by hand what only an author knows, the rest from the record


@each_record
def test_by_hand_are_purpose_and_example(record: Record) -> None:
    text = inspect.cleandoc(record.plain.__doc__ or "")
    assert text.splitlines()[0].endswith("."), "the first line is no sentence"
    assert "\n\n" in text.split(">>>")[0].rstrip(), (
        "no purpose, as a paragraph of its own, between the first line and the example"
    )
    assert ">>> " in text, "no example"
    assert not re.search(rf"^\s*({'|'.join(SECTIONS)}|Equation|Arguments|Source)\b:?$", text, flags=re.M)
    assert record.equation not in " ".join(text.split()), "the equation is said by the record"


@each_record
def test_help_says_what_the_record_says(record: Record) -> None:
    function = getattr(hayfuncs, record.python_name)
    text = inspect.getdoc(function) or ""
    found = re.findall(rf"^({'|'.join(SECTIONS)})\n-+$", text, flags=re.M)
    assert found == list(SECTIONS)
    whole = " ".join(text.split())
    assert record.equation in whole
    for name, arg in record.args.items():
        assert re.search(rf"^{name} : ", text, flags=re.M), f"argument {name} is not in the help"
        assert " ".join(arg.meaning.split()) in whole
        for word in arg.words if isinstance(arg, Words) else ():
            assert word in whole, f"word {word!r} of {name} is not in the help"
        if isinstance(arg, Arg) and arg.fit:
            assert f"fitted to {arg.fit[0]:g} to {arg.fit[1]:g}" in whole
    for ref in record.refs:
        assert f"{ref.where} [{ref.evidence}]" in whole
    for rule in record.rules:
        assert rule.allowed in whole
    assert all(len(line) <= 120 for line in text.splitlines() if not line.startswith(">>>"))


class ToThePrintedDigit(doctest.OutputChecker):
    """A number in an example holds to half its last printed digit, as a check row does."""

    def check_output(self, want: str, got: str, optionflags: int) -> bool:
        try:
            wanted, found = Decimal(want.strip()), float(got)
        except (ArithmeticError, ValueError):
            return super().check_output(want, got, optionflags)
        exponent = wanted.as_tuple().exponent
        assert isinstance(exponent, int)
        return abs(found - float(wanted)) <= 0.5 * 10.0**exponent * (1 + 1e-9)


@each_record
def test_example_runs_and_is_true(record: Record) -> None:
    names = {r.python_name: getattr(hayfuncs, r.python_name) for r in CATALOGUE.values()}
    test = doctest.DocTestParser().get_doctest(record.plain.__doc__ or "", names, record.name, None, 0)
    assert any(record.python_name + "(" in example.source for example in test.examples)
    assert any(example.want for example in test.examples)
    said: list[str] = []
    result = doctest.DocTestRunner(checker=ToThePrintedDigit(), verbose=False).run(test, out=said.append)
    assert not result.failed, "".join(said)


def test_a_wrong_example_is_noticed() -> None:
    checker = ToThePrintedDigit()
    assert checker.check_output("52.32\n", "52.3201\n", 0)
    assert not checker.check_output("52.32\n", "52.33\n", 0)
    assert not checker.check_output("'Caution'\n", "'Danger'\n", 0)


@each_record
def test_result_range_is_finite_or_says_why(record: Record) -> None:
    if record.numeric:
        no_end = record.result.unit in ("any", "as the column says")
        assert record.result.lo > -math.inf or no_end, "give Result the lowest answer possible (lo)"
        assert all(isinstance(a, (Arg, Words, Flag, Name, Block)) for a in record.args.values())
