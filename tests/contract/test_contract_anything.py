"""The contract under anything at all: every call ends in an answer, NaN or our own error, and the words about it agree."""

from __future__ import annotations

import math
import pickle
from decimal import Decimal
from typing import Any

import numpy as np
import points
from contractlib import (
    as_blocks,
    each_elementwise,
    each_record,
    slots,
    with_one,
)
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import hayfuncs
from hayfuncs import HayError
from hayfuncs.contract.catalogue import Arg, Flag, Name, Record, Words

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
        return st.lists(anything, min_size=1, max_size=5)
    mixed = st.tuples(*(st.one_of(s, s, s, anything) for s in some))
    return st.one_of(st.tuples(*some), mixed, st.tuples(*(anything for _ in some))).map(list)


fuzz = settings(max_examples=60, database=None, derandomize=True, suppress_health_check=list(HealthCheck))


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
