"""A workbook changed as a person changes it."""

from __future__ import annotations

import openpyxl


def typed(book, path, changes):
    """The file as a person leaves it: keys -> what is typed there."""
    file = openpyxl.load_workbook(path)
    for key, value in changes.items():
        sheet, row, col = book.inputs[key]
        file[sheet].cell(row + 1, col + 1).value = value
    file.save(path)
