"""A chosen lot, group and feed in an open workbook, and what its columns then show."""

from __future__ import annotations

from workbook.places import place

from hayfuncs.hosts import engine
from hayfuncs.workbook.model import place_of


def column(running, ref):
    """The values of a range that is one column."""
    sheet, row, col, last, _ = place_of(ref)
    return [engine.plain_value(running.made.get_value(sheet, r + 1, col + 1)) for r in range(row, last + 1)]


def marked(running, table, mark):
    return column(running, running.book.marks[table][mark])


def choose(running, lot, group=None, displaced=None):
    for name, value in (("chosen_lot", lot), ("chosen_group", group), ("hay_displaced", displaced)):
        if value is not None:
            running.made.set_value(*place(running.book.names[name]), value)
    running.made.evaluate_all()


def no_errors(running):
    for name in ("Cow year", "Feed cost"):
        sheet = running.book.by_name(name)
        shown = {k: engine.plain_value(running.made.get_value(name, k[0] + 1, k[1] + 1)) for k in sheet.cells}
        assert not {k: v for k, v in shown.items() if isinstance(v, str) and v.startswith("#")}
