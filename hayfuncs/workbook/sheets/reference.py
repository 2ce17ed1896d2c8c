"""Tables, Functions and Sources: what the library knows, generated from its records."""

from __future__ import annotations

from textwrap import wrap

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.tables import load, sources
from hayfuncs.contract.units import UNITS
from hayfuncs.formulas import lambdas
from hayfuncs.formulas.template import tables_used
from hayfuncs.ration import feeds
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, table_heads
from hayfuncs.workbook.sheets.tablewords import HEADS, cited, in_words

LINE = 130  # characters of a note that stand in one line of a printed page


def fill_tables(book: Book) -> None:
    """Every shipped table that a function looks up, one under the other."""
    sheet = begin(
        book, "Tables", "Published tables that the functions look up",
        "One table under another; each names its source. The composition of supplements has a sheet of its own, Feed book.", "Table",
    )  # fmt: skip
    wanted = sorted({table for r in CATALOGUE.values() for table, _ in tables_used(r)} - {"supplements"})
    row = 4
    for name in wanted:
        table = feeds.limits_table() if name == "feeding_limits" else load(name)
        sheet.put(row, 0, table.head.get("title", name), "section")
        for key, says in table.head.items():
            if key not in ("title", "names"):
                for part in wrap(f"{key.capitalize()}: {in_words(says)}", LINE):
                    row += 1
                    sheet.put(row, 0, part, "sentence")
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


def fill_functions(book: Book) -> None:
    sheet = begin(
        book, "Functions", "Every function: what it takes, what it gives, where it comes from",
        "Names carry the prefix HAY. Argument names carry their unit. Where Excel has no Python, a function marked so works as it stands.", "Reference",
    )  # fmt: skip
    columns = [
        Column("Function", "name", width=30), Column("What it is for", "text", width=40), Column("Arguments, with unit and possible range", "text", width=60),
        Column("Result", "unit", width=19), Column("Equation", "text", width=38), Column("Source", "text", width=44),
        Column("Evidence, weakest link", "class", width=16), Column("In Excel without Python", "yes or why not", width=16),
    ]  # fmt: skip
    table_heads(sheet, columns)
    for i, record in enumerate(CATALOGUE.values()):
        row = FIRST + i
        args = "; ".join(f"{n} ({UNITS[a.unit]}; {a.allowed()})"[:300] for n, a in record.args.items())
        source = "; ".join(f"{cited(r.key)}, {r.where}" for r in record.refs)
        works = "yes" if lambdas.has_lambda(record) else "no: needs Python or the extension"
        texts = (
            record.sheet_name,
            record.summary,
            args,
            f"{record.result.meaning}, {record.result.unit}",
            record.equation,
            source,
            record.evidence,
            works,
        )
        for col, text in enumerate(texts):
            sheet.put(row, col, text, "code" if col == 0 else "small")
    book.marks["functions_rows"] = sheet.span(FIRST, 0, FIRST + len(CATALOGUE) - 1, 0)


def fill_sources(book: Book) -> None:
    sheet = begin(
        book, "Sources", "Where equations and figures come from",
        "Status: how the authors knew the source. A title in [square brackets] is our own description of a page; n.d.: it gives no date.", "Reference",
    )  # fmt: skip
    table_heads(sheet, [Column("Key", "name", width=22), Column("Who", "text", width=34), Column("Title", "text", width=66),
                        Column("Year", "", width=7), Column("Status", "text", width=20)])  # fmt: skip
    for i, (key, row) in enumerate(sources().items()):
        for col, text in enumerate((key, row["who"], row["title"], row["year"], row["status"])):
            sheet.put(FIRST + i, col, text, "small")
