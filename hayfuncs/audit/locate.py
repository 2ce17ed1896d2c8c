"""A cell as the user names it: `Lots!C8`, and nothing that would have to be guessed."""

from __future__ import annotations

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.a1 import BadAddress, Node, cell, node, split_address
from hayfuncs.spreadsheet.contents import WorkbookData

SHEETS_NAMED = 30
EXAMPLE = 'give sheet and cell, such as "Lots!C8"'


def locate(book: WorkbookData, text: str) -> Node:
    """The cell that the user names; a sentence when there is none."""
    sheet, address = split_address(text)
    given = f'"{text.strip()[:60]}"'
    if not sheet:
        raise UserError(f"{given} does not say which sheet; {EXAMPLE}")
    number = book.index(sheet)
    if number is None:
        names = ", ".join(i.name for i in book.sheets[:SHEETS_NAMED])
        raise UserError(f"the workbook has no sheet {sheet}; its sheets are: {names}")
    if not address.strip():
        raise UserError(f"{given} names no cell of the sheet {sheet}; {EXAMPLE}")
    try:
        row, col = cell(address)
    except BadAddress as error:
        raise UserError(f"{error}; {EXAMPLE}") from None
    at = node(number, row, col)
    if not book.filled(at) and at not in book.styles:
        raise UserError(f"{book.address(at)} is empty; give a cell with a value")
    return at
