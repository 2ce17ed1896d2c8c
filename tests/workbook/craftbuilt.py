"""How the workbook is laid out and computed: points 1 to 27 of craft.tsv."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from workbook.craftlib import (
    GRAY,
    MIST,
    PAPER,
    File,
    address,
    check,
    figure,
    filled,
    ifs,
    operators,
    seen,
    twice_rounded,
)

from hayfuncs.audit.graph import feeding
from hayfuncs.spreadsheet.a1 import Node, node, place, place_of
from hayfuncs.spreadsheet.parser import Area, FunctionCall, NameRef, Number, Text, plain_name
from hayfuncs.workbook.tabs import ANSWER, INPUTS, START

# what Start tells, by its headings and labels
TOLD = {
    "Where to go", "What to do", "What it looks like", "Cautions", "What this is", "For", "Data", "Edition", "Version", "Changes",
}  # fmt: skip
# tabs that are not of inputs and yet are typed in: choices and dials beside their answer, the plan's amounts, single figures
TYPED = {"What to feed", "Cow year", "Hay pile", "What could hurt", "Take home", "Lessons", "Plan", "Workings"}
# columns of counted rows, which need no unit
COUNTED = {"First row", "Last row", "Rows now"}
TOTALS = {"All feeds together"}  # it stands over the table whose heads and units are its own
# lines of Assumptions without a source of their own: twelve months under one sentence, five facts of the calendar and the cow
NO_SOURCE = {
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
    *("Days from calving to calving", "Months in a year", "Days from calving until she is in calf again"),
    *("First month after calving ends at month", "Day before calving: month"),
}
ALLOWED = {0, 1, 2, -1, 7, 10, 12, 24, 100, 365, 1000}  # numbers that say how many or how often, not how much


@check(1)
def start_tells(file: File) -> Iterator[str]:
    start = next((tab for tab in file.tabs[:2] if tab["A3"].value == START), None)
    if start is None:
        yield f"none of {[tab.title for tab in file.tabs[:2]]} is {START}"
        return
    said = {cell.value for row in start.iter_rows() for cell in row}
    yield from sorted(TOLD - said)
    leads = {cell.hyperlink.location.split("!")[0] for row in start.iter_rows() for cell in row if cell.hyperlink}
    yield from (f"no link to {name}" for name in ("Checks", "Reference") if name not in leads)


@check(2)
def typed_elsewhere(file: File) -> Iterable[str]:
    found = {file.tabs[place(at)[0]].title for at in file.typed if file.kinds[place(at)[0]] != INPUTS}
    return sorted(found ^ TYPED)


@figure(3)
def later_tabs(file: File) -> float:
    """Of the areas that formulas read, those on a later tab."""
    reads = [(place(at)[0], area[0]) for at in file.data.formulas for area in set(file.formulas.reads(at))]
    return 100 * sum(there > here for here, there in reads) / len(reads)


@figure(4)
def lines_in_order(file: File) -> float:
    """Of the units that stand in a line, those with a label in the first column and a value between."""
    units = [(tab, cell) for tab, cell, look in file.cells if look.italic and (look.ink, look.ground) == (GRAY, PAPER)]
    good = 0
    for tab, unit in units:
        label, *between = (tab.cell(unit.row, col) for col in range(1, max(unit.column, 2)))
        good += filled(label) and any(map(filled, between))
    return 100 * good / len(units)


@check(5)
def units_stand_there(file: File) -> Iterator[str]:
    for tab, cell, look in file.cells:
        if not (look.bold and look.ground == MIST and look.centered):
            continue
        if cell.value == "Unit":
            yield from _lines_without(file, tab, cell)
        unit, first = (tab.cell(cell.row + down, cell.column) for down in (1, 2))
        below = file.shown(tab, first.coordinate)
        if not filled(unit) and seen(unit).italic and isinstance(below, float) and cell.value not in COUNTED:
            yield f"{file.called(tab, cell)} {cell.value}"


def _lines_without(file: File, tab: Any, head: Any) -> Iterator[str]:
    """The lines of a list that have a number and no unit; yes and no by 1 and 0 are told in the label."""
    row = head.row + 1
    while filled(tab.cell(row, 1)) and seen(tab.cell(row, 1)).ground != MIST:
        label, *cells = (tab.cell(row, col) for col in range(1, head.column + 1))
        numbers = [c for c in cells[:-1] if isinstance(file.shown(tab, c.coordinate), float)]
        told = re.search(r"1 yes, 0 no|or their sum", str(file.shown(tab, label.coordinate))) or label.value in TOTALS
        if numbers and not told and not any(filled(c) and seen(c).italic for c in cells):
            yield file.called(tab, numbers[0])
        row += 1


@check(6)
def sources_stand_there(file: File) -> Iterable[str]:
    tab = file.book["Assumptions"]
    lines = [row for row in tab.iter_rows(max_col=4) if isinstance(row[1].value, (int, float)) and filled(row[2])]
    return [str(row[0].value) for row in lines if not filled(row[3]) and row[0].value not in NO_SOURCE]


@figure(7)
def feeds_an_answer(file: File) -> float:
    """Of all formulas, those that an answer, the word over all checks or a picture rests on."""
    data = file.data
    shown = {i for i, kind in enumerate(file.kinds) if kind in (ANSWER, START)}
    ends = [at for at in data.formulas if place(at)[0] in shown]
    areas = [n.text for n in data.names if n.name == "master_check"]
    areas += [area for info in data.sheets for chart in info.charts for area in chart.areas]
    for name, row, col, last_row, last_col in map(place_of, areas):
        tab = data.index(name)
        ends += [node(tab, r, c) for r in range(row, last_row + 1) for c in range(col, last_col + 1)]
    fed = feeding(file.formulas, ends)
    return 100 * sum(at in fed for at in data.formulas) / len(data.formulas)


@figure(8)
def done_twice(file: File) -> float:
    """Of all formulas, those that repeat a calculation of fixed cells which stands on the same tab already."""
    again = 0
    for one in file.patterns():
        alone = isinstance(one.tree, (Area, NameRef, Number, FunctionCall)) and not one.refs and not one.names
        if not alone and not isinstance(one.tree, (Area, NameRef)) and all(ref.fixed == 15 for ref in one.refs):
            again += len(one.cells) - 1
    return 100 * again / len(file.data.formulas)


@figure(9)
def copies_of_copies(file: File) -> float:
    """Cells that only show a cell which only shows a cell."""
    shows = {at for p in file.patterns() if isinstance(p.tree, Area) and p.tree.ref.single for at in p.cells}
    return sum(node(*area[:3]) in shows for at in shows for area in file.formulas.reads(at))


@check(10)
def tab_names(file: File) -> Iterator[str]:
    counted = Counter(tab.title.casefold() for tab in file.tabs)
    for tab in file.tabs:
        name = tab.title
        if re.fullmatch(r"(?i)sheet ?\d*", name) or len(name) > 31 or counted[name.casefold()] > 1:
            yield name
        elif tab.max_row < 6:
            yield f"{name} is empty"


@check(11)
def hidden(file: File) -> Iterator[str]:
    for info in file.data.sheets:
        if info.state != "visible" or info.hidden_rows or info.hidden_columns:
            yield f"{info.name}: {info.state}, rows {sorted(info.hidden_rows)}, columns {info.hidden_columns}"
    yield from (f"the name {name.name}" for name in file.data.names if name.hidden and "_xlnm" not in name.name)


@check(12)
def outside(file: File) -> Iterator[str]:
    yield from (part for part in file.parts if re.search(r"externalLink|connections|queryTable|customXml", part))
    yield from (address(p.head) for p in file.patterns() if p.external or re.search(r"\[\d+\]", p.formula))
    yield from (part for part, text in file.parts.items() if 'TargetMode="External"' in text)


@figure(15)
def numbers_inside(file: File) -> float:
    return file.share(lambda p: any(n.value not in ALLOWED for n in p.numbers))


@figure(16)
def short(file: File) -> float:
    return file.share(lambda p: len(p.formula) <= 100 and operators(p.tree) <= 5)


@figure(17)
def one_if(file: File) -> float:
    return file.share(lambda p: ifs(p.tree) <= 1)


@check(20)
def arrays(file: File) -> Iterator[str]:
    for at, area in file.data.arrays.items():
        if ":" in area and len(set(area.replace("$", "").split(":"))) > 1:
            yield f"{area} is one array"
        if file.edition == "plain":
            yield f"{address(at)} is an array"
    yield from (p.formula for p in file.patterns() if re.search(r"\w'?:'?\w[\w ]*'?!", p.formula))


@check(21)
def guards(file: File) -> Iterator[str]:
    """What is shown in place of an error is words."""
    for one in file.patterns():
        for part in one.parts:
            if not isinstance(part, FunctionCall):
                continue
            name = plain_name(part.name)
            asks = (
                name == "IF" and isinstance(part.args[0], FunctionCall) and plain_name(part.args[0].name) == "ISERROR"
            )
            if name in ("IFERROR", "IFNA") or (asks and not (isinstance(part.args[1], Text) and part.args[1].value)):
                yield f"{address(one.head)} {one.formula[:80]}"


@check(24)
def circles(file: File) -> Iterator[str]:
    if file.data.calculation.get("iterate") in ("1", "true"):
        yield "circles are worked round"
    yield from (f"{address(at)} rests on itself" for at, steps in chains(file).items() if not steps)


@check(25)
def rounded_twice(file: File) -> Iterable[str]:
    return [f"{address(p.head)} {p.formula[:80]}" for p in file.patterns() if twice_rounded(p.tree)]


@figure(26)
def longest_chain(file: File) -> float:
    return max(chains(file).values())


@check(27)
def published_examples(file: File) -> Iterator[str]:
    checks = file.book["Checks"]
    rows = [row[0].row for row in checks.iter_rows() if row[1].value == "published example"]
    if len(rows) < 5:
        yield f"{len(rows)} published examples"
    for row in rows:
        want, tolerance, source = (file.shown(checks, f"{col}{row}") for col in "EFI")
        value = file.shown(checks, f"C{row}")
        if not source or not tolerance or abs(value - want) > tolerance:
            yield f"Checks row {row}"


def chains(file: File) -> dict[Node, int]:
    """For each formula the formulas that stand one upon another down to what is typed; 0 within a circle."""
    rows: dict[tuple[int, int], list[int]] = defaultdict(list)
    for at in sorted(file.data.formulas):
        tab, row, col = place(at)
        rows[tab, col].append(row)
    columns = {tab: max(col for t, col in rows if t == tab) for tab in {t for t, _ in rows}}

    @cache
    def inside(area: tuple[int, ...]) -> list[Node]:
        tab, row, col, last_row, last_col = area
        found = []
        for c in range(col, min(last_col, columns.get(tab, -1)) + 1):
            here = rows.get((tab, c), [])
            found += [node(tab, r, c) for r in here[bisect_left(here, row) : bisect_left(here, last_row + 1)]]
        return found

    reads = {at: {to for area in file.formulas.reads(at) for to in inside(tuple(area))} for at in file.data.formulas}
    waits = {at: len(those) for at, those in reads.items()}
    readers = defaultdict(list)
    for at, those in reads.items():
        for to in those:
            readers[to].append(at)
    steps = dict.fromkeys(reads, 0)
    ready = [at for at, n in waits.items() if not n]
    while ready:
        at = ready.pop()
        steps[at] = 1 + max((steps[to] for to in reads[at]), default=0)
        for reader in readers[at]:
            waits[reader] -= 1
            if not waits[reader]:
                ready.append(reader)
    return steps
