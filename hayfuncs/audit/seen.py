"""What the eye sees in two workbooks, compared: formats, rules of typing, marks by color, charts, what is printed."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import spans
from hayfuncs.audit.difference import Difference
from hayfuncs.audit.rules.looks import canonical
from hayfuncs.audit.validations import says
from hayfuncs.spreadsheet.a1 import Node, a1_area, node, place, quoted
from hayfuncs.spreadsheet.contents import SheetInfo, WorkbookData


def differences(old: WorkbookData, new: WorkbookData) -> Iterator[Difference]:
    yield from _formats(old, new)
    for info in old.sheets:
        number = new.index(info.name)
        if number is None:
            continue  # told as a sheet that is gone
        before, after = _traits(info, old), _traits(new.sheets[number], new)
        for what in dict.fromkeys([*before, *after]):
            if before.get(what) != after.get(what):
                gone, come = before.get(what, "nothing"), after.get(what, "nothing")
                yield Difference("look", quoted(info.name), what, gone[:200], come[:200])


def _formats(old: WorkbookData, new: WorkbookData) -> Iterator[Difference]:
    """Number formats, a column that changed alike as one change."""
    found: dict[tuple[int, int, str, str], list[Node]] = {}
    twins = {i: new.index(info.name) for i, info in enumerate(old.sheets)}
    for at, value in old.values.items():
        sheet, row, col = place(at)
        twin = twins[sheet]
        if twin is None or not isinstance(value, float) or not isinstance(new.values.get(node(twin, row, col)), float):
            continue
        was, now = old.look(at).number_format, new.look(node(twin, row, col)).number_format
        if canonical(was) != canonical(now):
            found.setdefault((sheet, col, was, now), []).append(at)
    for (_, _, was, now), cells in found.items():
        yield Difference("look", spans(old, cells), "number format", was, now, cells=cells)


def _traits(info: SheetInfo, book: WorkbookData) -> dict[str, str]:
    number = book.index(info.name)
    found: dict[str, str] = {}
    for rule in info.validations:
        for area in rule.areas:
            found[f"validation of {a1_area(*area)}"] = says(rule)
    for flag in info.flags:
        found["marks by color in " + " ".join(a1_area(*area) for area in flag.areas)] = "; ".join(
            text for text in flag.conditions if text
        )
    for i, chart in enumerate(info.charts, 1):
        found[f"chart {i}, what it draws"] = " ".join(chart.areas)
        found[f"chart {i}, its words"] = " ".join(chart.words)
        found[f"chart {i}, ends of its axes"] = " ".join(f"{end:g}" for end in chart.ends)
    printed = [n.text for n in book.names if n.name == "_xlnm.Print_Area" and n.sheet == number]
    if printed:
        found["print area"] = printed[0]
    return found
