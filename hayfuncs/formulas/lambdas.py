"""LAMBDA names: each function with closed longhand as a workbook-level defined name.

Excel 365, 2024, on the web and on the Mac run these with nothing installed.  In the file
`_xlfn.` stands before newer functions and `_xlpm.` before every parameter at every use.
"""

from __future__ import annotations

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.formulas.template import TableRange, fill, guard, no_tables, tables_used

FORMULA_LIMIT = 8192  # characters of one formula as stored (Excel specification)
PARAMETER = "_xlpm."


def has_lambda(record: Record) -> bool:
    return record.longhand is not None and not record.variadic


def lambda_text(record: Record, tables: TableRange = no_tables) -> str:
    """The stored form of the defined name's content, without a leading equals sign."""
    assert record.longhand is not None
    refs = {name: PARAMETER + name for name in record.args}
    lets: list[str] = []
    known = dict(refs)
    for step in record.longhand.steps:
        known[step.name] = PARAMETER + step.name
        lets += [known[step.name], fill(record, step.formula, {**known}, tables)]
    body = fill(record, record.longhand.result, known, tables)
    if lets:
        body = f"_xlfn.LET({','.join([*lets, body])})"
    text = f"_xlfn.LAMBDA({','.join([*refs.values(), guard(record, refs, body)])})"
    if len(text) > FORMULA_LIMIT:
        raise ValueError(f"{record.name}: its LAMBDA has {len(text)} characters, Excel takes {FORMULA_LIMIT}")
    return text


def needs(record: Record) -> set[tuple[str, str]]:
    """The table columns that a workbook must carry for this LAMBDA."""
    return tables_used(record)


def all_with_lambda() -> list[Record]:
    return [record for record in CATALOGUE.values() if has_lambda(record)]
