"""Records: the lint finds every fault, docstrings say what the record says, sources are real and used."""

from __future__ import annotations

import ast
import math
import re
from pathlib import Path
from typing import Annotated, Any

import checklib
import numpy as np
import points
import pytest

import hayfuncs
from hayfuncs import record as records
from hayfuncs import tables
from hayfuncs.lint import cell_like
from hayfuncs.record import (
    CATALOGUE,
    Arg,
    Block,
    Flag,
    Longhand,
    Name,
    Record,
    RecordError,
    Ref,
    Result,
    Rule,
    Step,
    Words,
    worksheet,
)

HERE = Path(__file__).parent
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
        (vba, "argument end: a keyword of VBA"),
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
    assert worksheet(**GOOD)(twice) is twice
    assert list(own_catalogue) == ["MADE_UP"]
    with pytest.raises(RecordError, match="the name is taken"):
        worksheet(**GOOD)(twice)


def test_cell_addresses() -> None:
    for name in ("A1", "tdn1", "NDF30", "CP1", "XFD1048576", "R1C1", "r", "C", "RC", "R12", "c3"):
        assert cell_like(name), name
    for name in ("TDN", "XFE1", "A1048577", "HAY_A1", "ABCD1", "A0", "RATE", "dm_pct"):
        assert not cell_like(name), name


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


# --- sources


def used_sources() -> dict[str, set[str]]:
    """Source key -> where it is used: records, tables, check rows."""
    used: dict[str, set[str]] = {}

    def use(key: str, by: str) -> None:
        used.setdefault(key.strip(), set()).add(by)

    for r in CATALOGUE.values():
        for ref in r.refs:
            use(ref.key, r.name)
    for check in checklib.every():
        if check.kind != "hand":
            use(check.source, check.place)
    for path in sorted(Path(tables.__file__).parent.glob("*.tsv")):
        if path.stem == "sources":
            continue
        table = tables.load(path.stem)
        for column in table.columns:
            if column == "source" or column.endswith("_source"):
                for cell in table.column(column):
                    for key in str(cell or "").split(";"):
                        if key.strip():
                            use(key, f"tables/{path.name}")
        for key in table.head.get("source", "").split(";"):
            if key.strip():
                use(key.split(",")[0], f"tables/{path.name}")
    return used


def test_every_named_source_is_in_the_bibliography() -> None:
    unknown = {key: by for key, by in used_sources().items() if key not in tables.sources()}
    assert not unknown


def test_every_source_is_used() -> None:
    assert not set(tables.sources()) - set(used_sources())


def test_every_source_says_how_it_is_known() -> None:
    known = {"seen in the original", "second hand", "from memory", "common practice", "definition", "standard"}
    for key, row in tables.sources().items():
        assert all(str(row[c]).strip() for c in ("who", "title", "year", "status")), key
        assert row["status"] in known, f"{key}: {row['status']!r}"
        assert re.fullmatch(r"n\.d\.|\d{4}(-\d{4})?", str(row["year"])), f"{key}: year {row['year']!r}"


@each_record
def test_evidence_fits_the_status_of_its_source(record: Record) -> None:
    """What is only remembered, or quoted by another, is not shown as published."""
    for ref in record.refs:
        status = tables.sources()[ref.key]["status"]
        if status == "from memory":
            assert ref.evidence.startswith("from memory"), f"{ref} rests on a source from memory"
        if status == "second hand":
            assert ref.evidence != "published", f"{ref} rests on a source seen second hand"


def test_source_function_names_every_ref() -> None:
    for r in CATALOGUE.values():
        said = hayfuncs.source(r.name)
        for ref in r.refs:
            assert tables.citation(ref.key) in said
            assert ref.evidence in said


# --- tables


def table_names() -> list[str]:
    return sorted(p.stem for p in Path(tables.__file__).parent.glob("*.tsv") if p.stem != "sources")


def number_columns(name: str) -> list[tuple[str, int, float]]:
    table = tables.load(name)
    found = []
    for column in table.columns:
        numbers = [v for v in table.column(column) if isinstance(v, float)]
        if numbers:
            found.append((column, len(numbers), float(np.sum(np.abs(numbers)))))
    return found


def kept_sums() -> dict[tuple[str, str], tuple[int, float]]:
    lines = (HERE / "table_sums.tsv").read_text(encoding="utf-8").splitlines()[2:]
    rows = [line.split("\t") for line in lines if line.strip()]
    return {(table, column): (int(filled), float(total)) for table, column, filled, total in rows}


def test_sums_of_table_columns() -> None:
    """A trap for a slip of the hand in a table that was proofread: count and sum of each column."""
    found = {(name, column): (n, total) for name in table_names() for column, n, total in number_columns(name)}
    kept = kept_sums()
    assert set(found) == set(kept), "python tests/test_records.py writes table_sums.tsv anew"
    for key, (n, total) in found.items():
        assert n == kept[key][0], f"{key}: {n} numbers, not {kept[key][0]}"
        assert math.isclose(total, kept[key][1], rel_tol=1e-12, abs_tol=1e-9), f"{key}: sum {total:.12g}"


@pytest.mark.parametrize("name", table_names())
def test_table_is_well_formed(name: str) -> None:
    table = tables.load(name)
    assert table.head.get("title"), "no title"
    assert table.head.get("source") or "source" in table.columns, "no source"
    assert table.head.get("evidence") or "evidence" in table.columns, "no evidence class"
    keys = table.names() if "column" not in table.columns else None
    if keys is not None:
        assert len({k.casefold() for k in keys}) == len(keys), "a row's name comes twice"
    for row in table.rows:
        for column in ("evidence",):
            if column in table.columns:
                assert row[column] in records.EVIDENCE, f"evidence {row[column]!r}"
    if "evidence" in table.head:
        assert table.head["evidence"] in records.EVIDENCE


if __name__ == "__main__":
    lines = ["# count and sum (of absolute values) of each column of numbers", "table\tcolumn\tfilled\tsum"]
    lines += [f"{name}\t{c}\t{n}\t{total:.12g}" for name in table_names() for c, n, total in number_columns(name)]
    (HERE / "table_sums.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
