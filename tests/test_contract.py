"""The contract of every function: shapes, bad values, NaN, errors and their one grammar."""

from __future__ import annotations

import math
import pickle
from decimal import Decimal
from typing import Any

import numpy as np
import points
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import hayfuncs
from hayfuncs import BadInput, HayError, NotInTable, OutOfRange
from hayfuncs.record import CATALOGUE, Arg, Flag, Name, Record, Words

ELEMENTWISE = points.plain_records()
each_elementwise = pytest.mark.parametrize("record", ELEMENTWISE, ids=lambda r: r.name)
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)
BLANKS = (None, "", "   ")


def slots(kind: type) -> Any:
    """(record, argument) pairs of one kind of argument, as test parameters."""
    pairs = [(r, n) for r in CATALOGUE.values() if not r.variadic for n, a in r.args.items() if isinstance(a, kind)]
    return pytest.mark.parametrize(("record", "name"), pairs, ids=[f"{r.name}-{n}" for r, n in pairs])


def with_one(record: Record, name: str, value: Any, base: list[Any] | None = None) -> list[Any]:
    values = list(base or points.good(record)[0])
    values[list(record.args).index(name)] = value
    return values


def refused(record: Record, values: list[Any], kind: type[HayError], name: str) -> HayError:
    with pytest.raises(kind) as caught:
        points.public(record)(*values)
    error = caught.value
    assert type(error) is kind
    assert error.argument == name
    keeps_grammar(record, error)
    return error


def keeps_grammar(record: Record, error: HayError) -> None:
    assert str(error) == f"{error.function}: {error.argument} is {error.given}; allowed: {error.allowed}; {error.fix}."
    assert error.function == record.name
    assert error.argument in record.args or error.argument == "the call"
    for part in (error.given, error.allowed, error.fix):
        assert part.strip() == part != ""
        assert not part.endswith("."), "the grammar puts the full stop"
    assert "\n" not in str(error)


def column(record: Record, rows: list[list[Any]], name: str) -> list[Any]:
    at = list(record.args).index(name)
    return [row[at] for row in rows]


def as_blocks(record: Record, rows: list[list[Any]], shape: tuple[int, ...] | None = None) -> list[Any]:
    """Each argument as one block, of `shape` or a plain list."""
    columns = [column(record, rows, name) for name in record.args]
    if shape is None:
        return columns
    return [np.array(c, dtype=object).reshape(shape).tolist() for c in columns]


# --- values and shapes


@each_elementwise
def test_scalar_in_scalar_out(record: Record) -> None:
    for values in points.good(record):
        found = points.public(record)(*values)
        assert points.sound(record, found), f"{values} gives {found!r}"
        assert type(found) is (float if record.numeric and not isinstance(found, str) else str)
        assert points.public(record)(**dict(zip(record.args, values, strict=True))) == found


@each_elementwise
def test_whole_numbers_count_as_numbers(record: Record) -> None:
    """int, numpy's scalars and a 0-d array are read as the float of the same value."""
    function = points.public(record)
    for values in points.good(record):
        rounded = [float(round(v)) if isinstance(v, float) else v for v in values]
        want = outcome(record, rounded)
        for kind in (int, np.int64, np.float64, np.array):
            given = [kind(v) if isinstance(v, float) else v for v in rounded]
            assert outcome(record, given) == want or want != want
        if not isinstance(want, str) and want == want:
            block = [[int(v)] if isinstance(v, float) else v for v in rounded]
            if any(isinstance(v, list) for v in block):
                assert points.same(np.asarray(function(*block)).item(), want)


def outcome(record: Record, values: list[Any]) -> Any:
    try:
        return points.public(record)(*values)
    except HayError as error:
        return type(error).__name__


@each_elementwise
def test_block_equals_scalars(record: Record) -> None:
    rows = points.good(record, 120) + points.candidates(record, 120, salt=2)
    want = [points.answer(record, row) for row in rows]
    found = points.public(record)(*as_blocks(record, rows))
    assert isinstance(found, np.ndarray)
    assert found.shape == (len(rows),)
    for row, a, b in zip(rows, want, found.tolist(), strict=True):
        assert points.same(math.nan if a is None else a, b), f"{row}: scalar {a!r}, block {b!r}"


@each_elementwise
@pytest.mark.parametrize("shape", [(6,), (6, 1), (1, 6), (2, 3), (1, 1)], ids=str)
def test_block_shapes(record: Record, shape: tuple[int, ...]) -> None:
    rows = points.good(record, 6)
    rows = (rows * 6)[: math.prod(shape)]
    want = [points.public(record)(*row) for row in rows]
    lists = as_blocks(record, rows, shape)
    as_arrays = [np.array(c) for c in lists]
    for block in (lists, as_arrays):
        found = points.public(record)(*block)
        assert found.shape == shape
        assert found.dtype == (np.float64 if record.numeric else object)
        assert all(points.same(a, b) for a, b in zip(want, found.ravel().tolist(), strict=True))


@each_elementwise
def test_one_block_with_scalars(record: Record) -> None:
    base = points.good(record)[0]
    for name, value in zip(record.args, base, strict=True):
        want = points.public(record)(*base)
        found = points.public(record)(*with_one(record, name, [[value], [value], [value]], base))
        assert found.shape == (3, 1)
        assert all(points.same(x, want) for x in found.ravel().tolist())


@each_elementwise
def test_arguments_are_left_as_they_were(record: Record) -> None:
    rows = (points.good(record, 4) * 4)[:4]
    given = [np.array(column(record, rows, name)) for name in record.args]
    for name, arg in record.args.items():
        if isinstance(arg, Arg):
            given[list(record.args).index(name)][1] = math.inf  # a bad element among them
    before = [array.copy() for array in given]
    found = points.public(record)(*given)
    assert all(np.array_equal(a, b) for a, b in zip(given, before, strict=True))
    assert not any(np.shares_memory(found, array) for array in given)


@each_elementwise
def test_empty_block_gives_empty_block(record: Record) -> None:
    found = points.public(record)(*([] for _ in record.args))
    assert found.shape == (0,)


@pytest.mark.parametrize("record", [r for r in ELEMENTWISE if len(r.args) > 1], ids=lambda r: r.name)
def test_unequal_blocks_name_both_sizes(record: Record) -> None:
    first, second = list(record.args)[:2]
    base = points.good(record)[0]
    values = with_one(record, first, [[base[0]]] * 3, base)
    values = with_one(record, second, [[base[1]] * 2], values)
    error = refused(record, values, BadInput, second)
    assert "3 x 1" in str(error)
    assert "1 x 2" in str(error)


@each_elementwise
def test_ragged_block_is_refused(record: Record) -> None:
    name = next(iter(record.args))
    value = points.good(record)[0][0]
    refused(record, with_one(record, name, [[value, value], [value]]), BadInput, name)


# --- bad values


@slots(Arg)
def test_no_number_is_never_zero(record: Record, name: str) -> None:
    for blank in BLANKS:
        error = refused(record, with_one(record, name, blank), BadInput, name)
        assert "blank" in error.given
    for bad in ("abc", "12", True, False, b"12", {}, object(), 1 + 2j):
        refused(record, with_one(record, name, bad), BadInput, name)


@slots(Arg)
def test_impossible_number(record: Record, name: str) -> None:
    arg = record.args[name]
    assert isinstance(arg, Arg)
    assert math.isfinite(arg.hi), "a number without an upper end"
    for bad in points.outside(arg):
        error = refused(record, with_one(record, name, bad), OutOfRange, name)
        assert error.allowed == arg.allowed()


@slots(Words)
def test_unknown_word_lists_the_legal_ones(record: Record, name: str) -> None:
    arg = record.args[name]
    assert isinstance(arg, Words)
    for bad in (*BLANKS, "no such word", 7, 7.5, True):
        error = refused(record, with_one(record, name, bad), BadInput, name)
        assert all(word in str(error) for word in arg.words)


@slots(Words)
def test_words_without_regard_to_case(record: Record, name: str) -> None:
    for values in points.good(record):
        word = values[list(record.args).index(name)]
        want = points.public(record)(*values)
        for spelled in (word.upper(), word.lower(), f"  {word} ", np.str_(word)):
            assert points.public(record)(*with_one(record, name, spelled, values)) == want


@slots(Flag)
def test_yes_and_no(record: Record, name: str) -> None:
    for bad in (*BLANKS, "yes", 2, -1, 0.5, math.inf, 10**400):
        refused(record, with_one(record, name, bad), BadInput, name)
    for values in points.good(record):
        yes = bool(values[list(record.args).index(name)])
        want = points.public(record)(*values)
        for spelled in (yes, int(yes), float(yes), np.bool_(yes)):
            assert points.public(record)(*with_one(record, name, spelled, values)) == want


@slots(Name)
def test_names(record: Record, name: str) -> None:
    for bad in (*BLANKS, 7, True):
        refused(record, with_one(record, name, bad), BadInput, name)
    error = refused(record, with_one(record, name, "no such\nname\x0012345"), NotInTable, name)
    assert error.given == 'the text "no such name 12345"'
    for values in points.good(record):
        given = values[list(record.args).index(name)]
        want = points.public(record)(*values)
        for spelled in (given.upper(), f" {given.lower()}  "):
            assert points.public(record)(*with_one(record, name, spelled, values)) == want


@each_elementwise
def test_nan_in_nan_out(record: Record) -> None:
    for name in record.args:
        found = points.public(record)(*with_one(record, name, math.nan))
        assert isinstance(found, float)
        assert math.isnan(found)


@each_elementwise
def test_a_bad_element_leaves_its_neighbours(record: Record) -> None:
    rows = (points.good(record, 3) * 3)[:3]
    want = [points.public(record)(*row) for row in rows]
    for name, arg in record.args.items():
        bad: list[Any] = [None, "", "no such word 12345", math.nan, {}, [1][:0] or object()]
        if isinstance(arg, Arg):
            bad += [*points.outside(arg), True]
        for one in bad:
            middle = with_one(record, name, one, rows[1])
            found = points.public(record)(*as_blocks(record, [rows[0], middle, rows[2]]))
            assert points.same(found[0], want[0])
            assert points.same(found[2], want[2])
            assert isinstance(found[1], float), f"{name} = {one!r} gave {found[1]!r}"
            assert math.isnan(found[1]), f"{name} = {one!r} gave {found[1]!r}"


@pytest.mark.parametrize("record", [r for r in CATALOGUE.values() if not r.variadic], ids=lambda r: r.name)
def test_wrong_number_of_arguments(record: Record) -> None:
    base = points.good(record)[0]
    error = refused(record, [*base, 1], BadInput, "the call")
    assert str(len(record.args)) in error.allowed
    with pytest.raises(BadInput):
        points.public(record)(*base, no_such_argument=1)
    for name in record.args:
        if name not in record.defaults:
            given = {n: v for n, v in zip(record.args, base, strict=True) if n != name}
            with pytest.raises(BadInput) as caught:
                points.public(record)(**given)
            assert caught.value.argument == name
            assert caught.value.given == "missing"
            keeps_grammar(record, caught.value)


@each_elementwise
def test_rules_name_their_argument(record: Record) -> None:
    """A call of possible numbers that a rule refuses: the message says which one and why."""
    broken = 0
    for values in points.candidates(record, 300, salt=3):
        for rule in record.rules:
            assert rule.blame in record.args
        try:
            points.public(record)(*values)
        except HayError as error:
            keeps_grammar(record, error)
            broken += 1
    assert broken or not record.rules, "no random call breaks the rules"


@pytest.mark.parametrize("kind", [BadInput, OutOfRange, NotInTable])
def test_errors_survive_pickling(kind: type[HayError]) -> None:
    error = kind("DRY_WEIGHT", "dm_pct", "140 % as fed", "above 0 to 100 % as fed", "check the lab sheet")
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is kind
    assert str(again) == str(error)
    assert vars(again) == vars(error)
    assert isinstance(error, ValueError)
    assert error.excel in ("#VALUE!", "#NUM!", "#N/A")


# --- anything at all

huge = st.integers(min_value=-(10**400), max_value=10**400)
scalars = st.one_of(
    st.floats(), st.integers(-10, 200), huge, st.text(max_size=12), st.none(), st.booleans(), st.binary(max_size=4),
    st.sampled_from([math.nan, math.inf, -math.inf, -0.0, 5e-324, 1.7e308, 1j, Decimal("1.5"), np.float32(2.5)]),
    st.sampled_from([np.int8(3), np.str_("hay"), np.bool_(True), np.array(4.0), np.complex128(1), object(), {}, {"a": 1}, set()]),
)  # fmt: skip
anything = st.one_of(
    scalars,
    st.lists(scalars, max_size=4),
    st.lists(st.lists(scalars, max_size=3), max_size=3),
    st.lists(st.floats(), min_size=2, max_size=2).map(np.array),
    st.sampled_from([np.array([1, 2]), np.array([[1.5]]), np.array(["a", "b"]), np.array([True, False]), (1, 2.5)]),
)


def possible(arg: Any) -> st.SearchStrategy[Any]:
    if isinstance(arg, Arg):
        low, high = (arg.fit or (arg.lo, arg.hi)) if arg.fit else (max(arg.lo, -1e9), min(arg.hi, 1e9))
        return st.floats(low, high, exclude_min=arg.above and low == arg.lo)
    if isinstance(arg, Words):
        return st.sampled_from(arg.words)
    if isinstance(arg, Flag):
        return st.booleans()
    if isinstance(arg, Name):
        return st.sampled_from(points.names_for(arg))
    return st.lists(st.floats(0, 1e6), min_size=2, max_size=2)


def calls(record: Record) -> st.SearchStrategy[list[Any]]:
    """Mostly possible arguments, with anything at all among them."""
    some = [possible(arg) for arg in record.args.values()]
    if record.variadic:
        return st.lists(anything, max_size=5)
    mixed = st.tuples(*(st.one_of(s, s, s, anything) for s in some))
    return st.one_of(st.tuples(*some), mixed, st.tuples(*(anything for _ in some))).map(list)


fuzz = settings(
    max_examples=60, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck)
)


@each_record
def test_anything_gives_an_answer_nan_or_our_error(record: Record) -> None:
    @fuzz
    @given(calls(record))
    def holds(values: list[Any]) -> None:
        try:
            found = points.public(record)(*values)
        except HayError as error:
            pickle.loads(pickle.dumps(error))
            return
        if not record.variadic:
            assert points.sound(record, found), f"{values} gives {found!r}"

    holds()


@each_record
def test_words_about_a_call_never_fail_otherwise(record: Record) -> None:
    @fuzz
    @given(calls(record), st.one_of(st.just(record.name), st.just(record.sheet_name.lower()), anything))
    def holds(values: list[Any], name: Any) -> None:
        for speak in (hayfuncs.reason, hayfuncs.notes):
            try:
                found = speak(name, *values)
            except HayError:
                continue
            flat = found.ravel().tolist() if isinstance(found, np.ndarray) else [found]
            assert all(isinstance(text, str) or text != text for text in flat)
        try:
            hayfuncs.source(name)
        except HayError:
            return

    holds()


@each_elementwise
def test_reason_says_what_the_error_says(record: Record) -> None:
    good = points.good(record)[0]
    assert hayfuncs.reason(record.name, *good) == ""
    rows = [*points.candidates(record, 40, salt=4), with_one(record, next(iter(record.args)), None, good)]
    for values in rows:
        try:
            points.public(record)(*values)
            said = ""
        except HayError as error:
            said = str(error)
        assert hayfuncs.reason(record.name, *values) == said
        assert hayfuncs.notes(record.name, *values) if said else True
    found = hayfuncs.reason(record.name, *as_blocks(record, rows))
    assert found.tolist() == [hayfuncs.reason(record.name, *values) for values in rows]


@slots(Arg)
def test_notes_name_the_argument_outside_its_fit(record: Record, name: str) -> None:
    arg = record.args[name]
    assert isinstance(arg, Arg)
    if arg.fit is None:
        found = [hayfuncs.notes(record.name, *values) for values in points.good(record)]
        assert not any(f"{name}: outside" in text for text in found)
        return
    base = points.good(record)[0]
    for beyond in (math.nextafter(arg.fit[0], -math.inf), math.nextafter(arg.fit[1], math.inf)):
        if arg.possible(beyond):
            text = hayfuncs.notes(record.name, *with_one(record, name, beyond, base))
            assert text
            if not hayfuncs.reason(record.name, *with_one(record, name, beyond, base)):
                assert f"{name}: outside" in text
                assert arg.unit in text
    for edge in arg.fit:
        assert f"{name}: outside" not in hayfuncs.notes(record.name, *with_one(record, name, edge, base))
