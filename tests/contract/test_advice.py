"""What a refusal says to do is held word by word, and reaches the user."""

from __future__ import annotations

import advicelib
import points
import pytest

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Arg


def test_the_list_of_advice_is_what_the_records_say() -> None:
    assert advicelib.FILE.read_text(encoding="utf-8") == advicelib.text(), (
        "run tests/advicelib.py and read what changed"
    )


@pytest.mark.parametrize("record", points.plain_records(), ids=lambda r: r.name)
def test_advice_reaches_the_user(record) -> None:
    """A number out of its range is answered with what is allowed and, where the argument has it, what to do."""
    base = points.good(record, 1)[0]
    for at, (name, arg) in enumerate(record.args.items()):
        if isinstance(arg, Arg):
            said = hayfuncs.reason(record.name, *base[:at], points.outside(arg)[0], *base[at + 1 :])
            assert name in said
            assert arg.allowed() in said
            assert arg.fix in said


def test_there_is_advice() -> None:
    assert len(list(advicelib.lines())) > len(CATALOGUE) / 2
