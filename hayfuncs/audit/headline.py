"""The headline numbers: what the workbook is asked for, and by which a finding is weighed."""

from __future__ import annotations

from collections.abc import Iterable

from hayfuncs.audit.graph import Formulas, read_cells
from hayfuncs.audit.grid import BadAddress, Node, cell, node, place, split_address
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.model import Workbook
from hayfuncs.files import UserError

SHEET = "Ration"
LABELS = ("Short", "Supplement, as fed", "For the whole group", "Cost per cow", "Cost for the group", "Driven by")
MOST = 40
ROLE = (2, 0)  # the role word's row and column on every sheet of the workbook


def named(book: Workbook, texts: Iterable[str]) -> list[Node]:
    """The cells that the user calls headline numbers."""
    found = []
    for text in texts:
        sheet, address = split_address(text)
        number = book.index(sheet) if sheet else 0
        if number is None:
            raise UserError(
                f"the workbook has no sheet {sheet}; its sheets are: {', '.join(i.name for i in book.sheets[:20])}"
            )
        try:
            row, col = cell(address)
        except BadAddress as error:
            raise UserError(f'{error}; give a cell such as "Ration!B26"') from None
        found.append(node(number, row, col))
    return found


def find(book: Workbook, formulas: Formulas, labels: Labels) -> list[Node]:
    """Our own workbook's by their labels; else the numbers of result sheets; else the ends of all chains."""
    return _by_label(book, labels) or _results(book, formulas) or _ends(book, formulas)


def _by_label(book: Workbook, labels: Labels) -> list[Node]:
    number = book.index(SHEET)
    if number is None:
        return []
    found = []
    for at in book.formulas:
        sheet, _, col = place(at)
        if sheet == number and 1 <= col <= 2 and labels.row_name(at) in LABELS:
            found.append(at)
    return sorted(found)


def roles(book: Workbook) -> list[str]:
    """Each sheet's role word in small letters; empty where it has none."""
    out = []
    for number in range(len(book.sheets)):
        value = book.values.get(node(number, *ROLE))
        out.append(value.strip().casefold() if isinstance(value, str) else "")
    return out


def _results(book: Workbook, formulas: Formulas) -> list[Node]:
    wanted = {i for i, role in enumerate(roles(book)) if role.startswith("result")}
    found = [at for at in book.formulas if place(at)[0] in wanted and isinstance(book.values.get(at), float)]
    return sorted(found)[:MOST]


def _ends(book: Workbook, formulas: Formulas) -> list[Node]:
    read = read_cells(formulas)
    found = [at for at in book.formulas if at not in read and isinstance(book.values.get(at), float)]
    return sorted(found)[:MOST]
