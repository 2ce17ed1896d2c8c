"""The lint of records: one deliberately bad record for each fault it finds."""

from __future__ import annotations

import re
from typing import Annotated, Any

import pytest

from hayfuncs.contract import catalogue as records
from hayfuncs.contract import vba_words
from hayfuncs.contract.catalogue import (
    CATALOGUE,
    Arg,
    Block,
    Longhand,
    Record,
    RecordError,
    Ref,
    Result,
    Rule,
    Step,
    Words,
    worksheet,
)
from hayfuncs.contract.lint import cell_like
from hayfuncs.contract.vba_words import VBA_WORDS

# --- the lint: one deliberately bad record for each fault

GOOD: dict[str, Any] = {
    "name": "MADE_UP",
    "topic": "Dry matter",
    "summary": "Twice the number.",
    "equation": "2 x",
    "refs": (Ref("definition", "twice"),),
    "longhand": "2*{x}",
}
Percent = Annotated[float, Arg("A number", "%", lo=0, hi=100)]
Twice = Annotated[float, Result("Twice", "%", 0, 200)]


def twice(x: Percent) -> Twice:
    return 2 * x


@pytest.fixture(autouse=True)
def own_catalogue(monkeypatch: pytest.MonkeyPatch) -> dict[str, Record]:
    """Records made by a test are filed in a catalogue of the test's own."""
    own: dict[str, Record] = {}
    monkeypatch.setattr(records, "CATALOGUE", own)
    return own


def with_step(formula: str = "2*{x}", name: str = "double", unit: str = "%", label: str = "Twice") -> dict[str, Any]:
    return {"longhand": Longhand("{x}", (Step(name, formula, label, unit),))}


def with_rule(formula: str = "{x}>1", blame: str = "x") -> dict[str, Any]:
    return {"rules": (Rule(lambda x: x > 1, formula, blame, "above 1", "mend it"),)}


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"name": "Made_Up"}, "capitals and underscores"),
        ({"name": "MADE_UP2"}, "no digit at the end"),
        ({"name": "AB"}, "3 to 40 characters"),
        ({"name": "M" * 41}, "3 to 40 characters"),
        ({"name": "RESULT"}, "reserved word"),
        ({"topic": "Dairy"}, "unknown topic 'Dairy'"),
        ({"summary": ""}, "summary is empty"),
        ({"summary": "x" * 256}, "over 255 characters"),
        ({"equation": ""}, "no equation"),
        ({"refs": ()}, "no source"),
        ({"refs": (Ref("definition", "here", "hearsay"),)}, "evidence class 'hearsay'"),
        ({"refs": (Ref("", "here"),)}, "source without key or place"),
        ({"refs": (Ref("definition", ""),)}, "source without key or place"),
        ({"longhand": None}, "must say why"),
        ({"longhand": "2*{y}"}, "longhand uses {y}"),
        ({"longhand": "2*{y#}"}, "longhand uses {y}"),
        ({"longhand": "LET({x},2)"}, "formula uses LET"),
        ({"longhand": "STDEV.S({x})"}, "formula uses STDEV.S"),
        ({"longhand": "-{x}^2"}, "minus sign before a power"),
        ({"longhand": "1+EXP(-({x}/2)^2)"}, "minus sign before a power"),
        ({"longhand": f'"{"a" * 256}"'}, "over 255 characters: join"),
        (with_step("2*{later}"), "longhand uses {later}"),
        (with_step("IFERROR({x},0)"), "formula uses IFERROR"),
        (with_step(name="x"), "step x: cell-like, reserved or taken"),
        (with_step(name="tdn1"), "step tdn1: cell-like"),
        (with_step(name="value"), "step value: cell-like, reserved"),
        (with_step(unit="stone"), "unit 'stone' is not in the closed list"),
        (with_step(label=""), "no label"),
        (with_rule("{y}>1"), "rule uses {y}"),
        (with_rule("IFS({x}>1,TRUE)"), "formula uses IFS"),
        (with_rule(blame="y"), "a rule blames y"),
    ],
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_lint_finds(changed: dict[str, Any], fault: str, own_catalogue: dict[str, Record]) -> None:
    with pytest.raises(RecordError, match=re.escape(fault)):
        worksheet(**{**GOOD, **changed})(twice)
    assert own_catalogue == {}


def bad_arguments() -> list[tuple[Any, str]]:
    def no_record(x: float) -> Twice:
        return x

    def no_result(x: Percent) -> float:
        return x

    def capital(X: Percent) -> Twice:
        return X

    def cell(x: Percent, tdn1: Percent) -> Twice:
        return x

    def reserved(x: Percent, value: Percent) -> Twice:
        return x

    def vba(x: Percent, end: Percent) -> Twice:
        return x

    def no_unit(x: Annotated[float, Arg("A number", "")]) -> Twice:
        return x

    def odd_unit(x: Annotated[float, Arg("A number", "stone")]) -> Twice:
        return x

    def no_meaning(x: Annotated[float, Arg("", "%")]) -> Twice:
        return x

    def long_meaning(x: Annotated[float, Arg("m" * 256, "%")]) -> Twice:
        return x

    def loose_fit(x: Annotated[float, Arg("A number", "%", lo=0, hi=100, fit=(20, 101))]) -> Twice:
        return x

    def empty_range(x: Annotated[float, Arg("A number", "%", lo=5, hi=5)]) -> Twice:
        return x

    def no_words(x: Percent, word: Annotated[str, Words("A word", ())]) -> Twice:
        return x

    def same_words(x: Percent, word: Annotated[str, Words("A word", ("hay", "Hay"))]) -> Twice:
        return x

    def odd_result(x: Percent) -> Annotated[float, Result("Twice", "stone")]:
        return x

    def empty_result(x: Percent) -> Annotated[float, Result("Twice", "%", 5, 5)]:
        return x

    def keyword_only(x: Percent, *, y: Percent) -> Twice:
        return x

    def open_end(x: Percent, *more: Percent) -> Twice:
        return x

    def hidden_default(x: Percent = 5.0) -> Twice:
        return x

    def odd_column(x: Annotated[Any, Block("Rows", "any", columns=(("Price", Arg("A price", "$/lb")),))]) -> Twice:
        return 1.0

    return [
        (no_record, "argument x has no record"),
        (no_result, "the result has no record"),
        (capital, "not lower case"),
        (cell, "argument tdn1: cell-like"),
        (reserved, "argument value: cell-like, reserved"),
        (vba, "argument end: a word that VBA keeps for itself"),
        (no_unit, "argument x: no unit"),
        (odd_unit, "unit 'stone' is not in the closed list"),
        (no_meaning, "meaning empty"),
        (long_meaning, "meaning empty or over 255"),
        (loose_fit, "fitted range outside the possible range"),
        (empty_range, "no number is possible"),
        (no_words, "no words, or one word twice"),
        (same_words, "no words, or one word twice"),
        (odd_result, "result unit 'stone'"),
        (empty_result, "no meaning or no range"),
        (keyword_only, "by place"),
        (open_end, "by place"),
        (hidden_default, "a default without its reason"),
        (odd_column, "column Price"),
    ]


@pytest.mark.parametrize(("function", "fault"), bad_arguments(), ids=lambda v: getattr(v, "__name__", ""))
def test_lint_finds_in_the_signature(function: Any, fault: str, own_catalogue: dict[str, Record]) -> None:
    # annotations of a nested function are texts; they are read here, where their names are known
    names = {**globals(), "Percent": Percent, "Twice": Twice}
    function.__annotations__ = {k: eval(v, names) for k, v in function.__annotations__.items()}
    longhand = "2*{x}" if "x" in function.__annotations__ else "2"
    with pytest.raises(RecordError, match=re.escape(fault)):
        worksheet(**{**GOOD, "longhand": longhand})(function)
    assert own_catalogue == {}


def test_lint_counts_the_names_together(own_catalogue: dict[str, Record]) -> None:
    arguments = ", ".join(f"a_long_argument_name_{letter * 20}: Percent" for letter in "abcdefg")
    space: dict[str, Any] = {"Percent": Percent, "Twice": Twice}
    exec(f"def many({arguments}) -> Twice: return 1.0", space)
    with pytest.raises(RecordError, match="over 254 characters together"):
        worksheet(**{**GOOD, "longhand": "2"})(space["many"])


def test_lint_passes_a_good_record_once(own_catalogue: dict[str, Record]) -> None:
    assert worksheet(**GOOD)(twice).plain is twice
    assert list(own_catalogue) == ["MADE_UP"]
    with pytest.raises(RecordError, match="the name is taken"):
        worksheet(**GOOD)(twice)


def test_cell_addresses() -> None:
    for name in ("A1", "tdn1", "NDF30", "CP1", "XFD1048576", "R1C1", "r", "C", "RC", "R12", "c3"):
        assert cell_like(name), name
    for name in ("TDN", "XFE1", "A1048577", "HAY_A1", "ABCD1", "A0", "RATE", "dm_pct"):
        assert not cell_like(name), name


@pytest.mark.parametrize(
    "word",
    [
        "scale",
        "circle",
        "pset",
        "array",
        "inputb",
        "abs",
        "int",
        "fix",
        "sgn",
        "lenb",
        "cverr",
        "cdbl",
        "any",
        "tab",
        "seek",
        "empty",
    ],
)
def test_every_kind_of_word_that_vba_keeps_is_refused(word):
    """xlwings writes argument names into VBA as they are: one such word, and none of the functions compiles."""
    assert word.upper() in VBA_WORDS


def test_the_words_that_vba_keeps_are_those_of_its_specification():
    """[MS-VBAL] 3.3.5.2 counts 67 + 20 + 12 + 7 + 27 + 12 + 5 words, REM, 26 of its own use and 3 kept for later."""
    counted = {group: len(getattr(vba_words, group).split()) for group in (
        "STATEMENT", "MARKER", "OPERATOR", "SPECIAL_FORM", "NAME", "TYPE", "LITERAL", "REMARK", "IMPLEMENTATION", "FUTURE",
    )}  # fmt: skip
    assert counted == {
        "STATEMENT": 67, "MARKER": 20, "OPERATOR": 12, "SPECIAL_FORM": 7, "NAME": 27, "TYPE": 12, "LITERAL": 5, "REMARK": 1,
        "IMPLEMENTATION": 26, "FUTURE": 3,
    }  # fmt: skip


def test_no_argument_of_the_catalogue_is_a_word_of_vba():
    taken = {f"{r.name} {name}" for r in CATALOGUE.values() for name in r.args if name.upper() in VBA_WORDS}
    assert taken == set()
