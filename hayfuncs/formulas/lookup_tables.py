"""Tables as a worksheet lays them out for the longhand's look-ups: one row a name, one column a value."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.tables import Table, load
from hayfuncs.formulas.template import tables_used
from hayfuncs.ration import feeds
from hayfuncs.spreadsheet.contents import Value

FEED_BOOK = "supplements"
# kept with one row a value in their files, so that each value has its own source
BY_VALUE: dict[str, Callable[[], Table]] = {"supplements": feeds.table, "feeding_limits": feeds.limits_table}


def table(name: str) -> Table:
    return BY_VALUE[name]() if name in BY_VALUE else load(name)


@cache
def shipped() -> dict[str, dict[str, list[Value]]]:
    """Table -> column -> values, for every table that a function looks up."""
    found: dict[str, dict[str, list[Value]]] = {}
    for name in sorted({table for record in CATALOGUE.values() for table, _ in tables_used(record)}):
        if name == FEED_BOOK:
            wide = feeds.wide()
            found[name] = {str(c): [_value(row.get(c)) for row in wide] for c in wide[0]}
        else:
            table = feeds.limits_table() if name == "feeding_limits" else load(name)
            found[name] = {c: [_value(v) for v in table.column(c)] for c in table.columns}
    return found


def _value(given: object) -> Value:
    return float(given) if isinstance(given, (int, float)) else None if given in (None, "") else str(given)
