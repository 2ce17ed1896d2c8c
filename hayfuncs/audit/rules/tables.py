"""The shipped tables that the workbook carries, value by value against the library's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.recompute import same
from hayfuncs.audit.rules.functions import table_places
from hayfuncs.formulas.figures import figure
from hayfuncs.formulas.lookup_tables import shipped
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.tokens import Malformed, reference


def values(case: AuditContext) -> Iterator[Finding]:
    told: set[Node] = set()
    for name, column, cells in _places(case):
        want = shipped()[name][column]
        key = next(iter(shipped()[name].values()))
        if len(cells) != len(want):
            at = cells[0]
            yield Finding(
                "range-short",
                case.address(at),
                f"the table {name} has {len(want)} rows; {len(cells)} are read for {column}",
                at,
            )
        for i, (at, value) in enumerate(zip(cells, want, strict=False)):
            have = case.book.values.get(at)
            if not same(have, value) and at not in told:
                told.add(at)
                words = f"table {name}, {figure(key[i]).strip(chr(34))}, {column}: {figure(have)} here, {figure(value)} as shipped"
                yield Finding("table-value", case.address(at), words, at, repair=((at, None, value),))


def _places(case: AuditContext) -> Iterator[tuple[str, str, list[Node]]]:
    """Each column of each shipped table with its cells: by the definitions that read it, and by its heading row."""
    for (name, column), text in table_places(case).items():
        try:
            ref = reference(text)
        except Malformed:
            continue
        sheet = case.formulas.sheet_number(ref, 0)
        if sheet is not None and column in shipped().get(name, {}) and ref.last_row - ref.row < 10_000:
            yield name, column, [node(sheet, row, ref.col) for row in range(ref.row, ref.last_row + 1)]
    every = {name: [c.replace("_", " ") for c in columns] for name, columns in shipped().items()}
    begins = _begins(case, {heads[0] for heads in every.values()})
    for name, columns in shipped().items():
        for start in _headed(case, every[name], begins.get(every[name][0], {}).values()):
            sheet, row, col = place(start)
            count = len(next(iter(columns.values())))
            key = next(iter(columns.values()))
            alike = sum(same(case.book.values.get(node(sheet, row + 2 + i, col)), value) for i, value in enumerate(key))
            if 2 * alike < count:
                continue  # a table of other rows under the same headings
            for k, column in enumerate(columns):
                yield name, column, [node(sheet, row + 2 + i, col + k) for i in range(count)]


def _begins(case: AuditContext, wanted: set[str]) -> dict[str, dict[tuple[int, int], Node]]:
    """The first cell of each row that holds one of the words, by the word."""
    found: dict[str, dict[tuple[int, int], Node]] = {}
    for (sheet, row), columns in case.labels.texts.items():
        for col in columns:
            value = case.book.values.get(node(sheet, row, col))
            if isinstance(value, str) and value in wanted:
                found.setdefault(value, {}).setdefault((sheet, row), node(sheet, row, col))
    return found


def _headed(case: AuditContext, heads: list[str], begins: Iterable[Node]) -> Iterator[Node]:
    """Cells from which a row of headings runs to the right."""
    for at in begins:
        sheet, row, col = place(at)
        here = [case.book.values.get(node(sheet, row, col + k)) for k in range(len(heads))]
        if sum(a == b for a, b in zip(here, heads, strict=True)) >= max(2, 0.7 * len(heads)):
            yield at
