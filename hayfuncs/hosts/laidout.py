"""Tables as a worksheet lays them out for the longhand's look-ups: one row a name, one column a value."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs import feeds
from hayfuncs.tables import Table, load

# kept with one row a value in their files, so that each value has its own source
BY_VALUE: dict[str, Callable[[], Table]] = {"supplements": feeds.table, "feeding_limits": feeds.limits_table}


def table(name: str) -> Table:
    return BY_VALUE[name]() if name in BY_VALUE else load(name)
