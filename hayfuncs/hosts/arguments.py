"""What a host hands over, as the checked functions take it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hayfuncs.contract.catalogue import Record


def given(record: Record, args: Sequence[Any]) -> list[Any]:
    """An omitted argument (None) becomes its default where the record has one.

    Where it has none it stays None, which the contract refuses as blank.
    """
    names = list(record.args)
    return [
        record.defaults[names[i]] if value is None and i < len(names) and names[i] in record.defaults else value
        for i, value in enumerate(args)
    ]
