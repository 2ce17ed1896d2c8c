"""Tables, Functions and Sources: what the library knows, generated from its records."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import wrap
from typing import Any

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.tables import load, sources
from hayfuncs.contract.units import UNITS
from hayfuncs.formulas import lambdas
from hayfuncs.formulas.template import tables_used
from hayfuncs.ration import feeds
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.tablewords import HEADS, cited, in_words
from hayfuncs.workbook.table import Table, computed

TITLES = 0  # column of what stands above each table
LINE = 130  # characters of a note that stand in one line of a printed page


def fill_tables(book: Book) -> None:
    """Every shipped table that a function looks up, one under the other."""
    sheet = begin(book, "Tables", "Published tables that the functions look up",
        "One table under another; each names its source. The composition of supplements has a sheet of its own, Feed book.", "Table")  # fmt: skip
    wanted = sorted({table for r in CATALOGUE.values() for table, _ in tables_used(r)} - {"supplements"})
    row = 4
    for name in wanted:
        table = feeds.limits_table() if name == "feeding_limits" else load(name)
        sheet.put(row, TITLES, table.head.get("title", name), "section")
        for key, says in table.head.items():
            if key not in ("title", "names"):
                for part in wrap(f"{key.capitalize()}: {in_words(says)}", LINE):
                    row += 1
                    sheet.put(row, TITLES, part, "sentence")
        for col, column in enumerate(table.columns):
            sheet.put(row + 1, col, HEADS[column], "head")
            sheet.put(row + 2, col, table.units[column], "unit")
            for i, line in enumerate(table.rows):
                value = line[column]
                if column == "source" and value:
                    value = "; ".join(cited(key.strip()) for key in str(value).split(";"))
                if value not in (None, ""):
                    sheet.put(row + 3 + i, col, value, "small" if isinstance(value, str) else "general")
            book.tables[name, column] = sheet.span(row + 3, col, row + 2 + len(table.rows), col)
        row += 5 + len(table.rows)
    sheet.width(32, *[18] * 11)
    sheet.freeze = (3, 0)


def _arguments(row: Functions) -> str:
    return "; ".join(f"{n} ({UNITS[a.unit]}; {a.allowed()})"[:300] for n, a in row.item.args.items())


class Functions(Table[Record]):
    """One row a function, from its record."""

    name = computed("Function", "name", lambda row: row.item.sheet_name, "code", 30)
    purpose = computed("What it is for", "text", lambda row: row.item.summary, "small", 40)
    arguments = computed("Arguments, with unit and possible range", "text", _arguments, "small", 60)
    result = computed("Result", "unit", lambda row: f"{row.item.result.meaning}, {row.item.result.unit}", "small", 19)
    equation = computed("Equation", "text", lambda row: row.item.equation, "small", 38)
    source = computed("Source", "text", lambda row: "; ".join(f"{cited(r.key)}, {r.where}" for r in row.item.refs), "small", 44)  # fmt: skip
    evidence = computed("Evidence, weakest link", "class", lambda row: row.item.evidence, "small", 16)
    without = computed("In Excel without Python", "yes or why not",
        lambda row: "yes" if lambdas.has_lambda(row.item) else "no: needs Python or the extension", "small", 16)  # fmt: skip


class Sources(Table[tuple[str, Mapping[str, Any]]]):
    """One row a source of the bibliography."""

    source = computed("Key", "name", lambda row: row.item[0], "small", 22)
    who = computed("Who", "text", lambda row: row.item[1]["who"], "small", 34)
    title = computed("Title", "text", lambda row: row.item[1]["title"], "small", 66)
    year = computed("Year", "", lambda row: row.item[1]["year"], "small", 7)
    status = computed("Status", "text", lambda row: row.item[1]["status"], "small", 20)


def fill_functions(book: Book) -> None:
    sheet = begin(book, "Functions", "Every function: what it takes, what it gives, where it comes from",
        "Names carry the prefix HAY. Argument names carry their unit. Where Excel has no Python, a function marked so works as it stands.", "Reference")  # fmt: skip
    Functions(sheet, list(CATALOGUE.values())).place()


def fill_sources(book: Book) -> None:
    sheet = begin(book, "Sources", "Where equations and figures come from",
        "Status: how the authors knew the source. A title in [square brackets] is our own description of a page; n.d.: it gives no date.", "Reference")  # fmt: skip
    Sources(sheet, list(sources().items())).place()
