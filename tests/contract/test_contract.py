"""The contract of every function: shapes, bad values, NaN, errors and their one grammar."""

from __future__ import annotations

import math
import pickle
from typing import Any

import numpy as np
import points
import pytest
from contractlib import (
    BLANKS,
    ELEMENTWISE,
    as_blocks,
    column,
    each_elementwise,
    keeps_grammar,
    refused,
    slots,
    with_one,
)

import hayfuncs
from hayfuncs import BadInput, HayError, NotInTable, OutOfRange
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Flag, Name, Record, Words

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


each_of_two = pytest.mark.parametrize("record", [r for r in ELEMENTWISE if len(r.args) > 1], ids=lambda r: r.name)


@each_of_two
def test_blocks_broadcast_as_arrays_do(record: Record) -> None:
    first, second = list(record.args)[:2]
    rows = (points.good(record, 3) * 3)[:3]
    down = [[row[0]] for row in rows]
    across = [row[1] for row in rows[:2]]
    values = with_one(record, second, across, with_one(record, first, down, rows[0]))
    found = points.public(record)(*values)
    assert found.shape == (3, 2)
    for i, j in np.ndindex(3, 2):
        want = points.answer(record, with_one(record, second, across[j], with_one(record, first, down[i][0], rows[0])))
        assert points.same(found[i, j], math.nan if want is None else want)


@each_of_two
def test_unequal_blocks_name_both_sizes(record: Record) -> None:
    first, second = list(record.args)[:2]
    base = points.good(record)[0]
    values = with_one(record, first, [[base[0]]] * 3, base)
    values = with_one(record, second, [[base[1]]] * 2, values)
    error = refused(record, values, BadInput, second)
    assert "3 x 1" in str(error)
    assert "2 x 1" in str(error)


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
def test_a_bad_element_leaves_its_neighbors(record: Record) -> None:
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
    function = points.public(record)
    with pytest.raises(TypeError, match=f"takes {len(base)} arguments but {len(base) + 1} were given"):
        function(*base, 1)
    with pytest.raises(TypeError, match="no argument 'no_such_argument'"):
        function(*base, no_such_argument=1)
    with pytest.raises(TypeError, match="twice"):
        function(*base, **{next(iter(record.args)): base[0]})
    for name in record.args:
        if name not in record.defaults:
            given = {n: v for n, v in zip(record.args, base, strict=True) if n != name}
            with pytest.raises(TypeError, match=rf"missing {name}\b"):
                function(**given)
    assert "arguments" in hayfuncs.reason(record.name, *base, 1)


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
