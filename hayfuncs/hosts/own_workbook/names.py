"""The names that a workbook needs for its calls: LAMBDA functions, what they call, and the tables they look up.

A table's column becomes a name too, its values written out (`={"bunk";"open ring"}`), so that no sheet
need be added.  Excel shows a name's comment while its call is typed: it holds our help, and marks the name as ours.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from hayfuncs import __version__
from hayfuncs.contract import about
from hayfuncs.contract.catalogue import CATALOGUE, TEXT_LIMIT, Record
from hayfuncs.contract.errors import UNSPOKEN
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.lambdas import all_with_lambda, has_lambda, lambda_text, needs
from hayfuncs.formulas.lookup_tables import shipped
from hayfuncs.spreadsheet.contents import Value

OURS = re.compile(r"hayfuncs \d")
CALL = re.compile(r"HAY\.([A-Z][A-Z_]*)\(")
TABLE = "HAY_TABLE"


@dataclass(frozen=True)
class Defined:
    """A name of a workbook as it is stored."""

    name: str
    text: str
    comment: str


def chosen(wanted: Iterable[str]) -> list[Record]:
    """The functions asked for, every one where none is named, and those they call."""
    asked = [about.find(name, "--only") for name in wanted] or all_with_lambda()
    for record in asked:
        if not has_lambda(record):
            raise UserError(
                f"--only names {record.name}, which has no LAMBDA: {record.no_longhand or 'it needs Python'}; "
                "leave it out, or use the LibreOffice extension or Excel with Python for it"
            )
    found: dict[str, Record] = {}
    waiting = list(asked)
    while waiting:
        record = waiting.pop()
        if record.name not in found:
            found[record.name] = record
            waiting += [CATALOGUE[name] for name in CALL.findall(lambda_text(record, table_name))]
    return [record for record in CATALOGUE.values() if record.name in found]


def table_name(table: str, column: str) -> str:
    return f"{TABLE}.{table}.{column}".upper()


def defined(records: Iterable[Record]) -> Iterator[Defined]:
    """Every name that these functions need, functions first."""
    records = list(records)
    for record in records:
        yield Defined(record.sheet_name, lambda_text(record, table_name), comment(record))
    for table, column in sorted({pair for record in records for pair in needs(record)}):
        about_it = f"hayfuncs {__version__}: a column of the table {table}, which functions look up."
        yield Defined(table_name(table, column), constant(shipped()[table][column]), about_it)


def constant(values: list[Value]) -> str:
    """A column written out.  No blank can stand there: where numbers stand it is #N/A, among texts an empty text."""
    blank = "#N/A" if any(isinstance(v, float) for v in values) else '""'
    return "{" + ";".join(blank if v is None else _written(v) for v in values) + "}"


def _written(value: Value) -> str:
    if isinstance(value, str):
        return '"' + value.replace('"', '""') + '"'
    return f"{value:.15g}"


def comment(record: Record) -> str:
    """The help that Excel shows: what it gives, then the arguments with their units, as many as fit."""
    units = [
        name if arg.unit in UNSPOKEN or arg.unit in ("word", "name", "block") else f"{name} ({arg.unit})"
        for name, arg in record.args.items()
    ]
    whole = f"hayfuncs {__version__}: {record.summary} Arguments: {', '.join(units)}."
    return whole if len(whole) <= TEXT_LIMIT else f"hayfuncs {__version__}: {record.summary}"[:TEXT_LIMIT]


def is_ours(attributes: dict[str, str]) -> bool:
    """Whether a stored name carries our mark."""
    return bool(OURS.match(attributes.get("comment", "")))
