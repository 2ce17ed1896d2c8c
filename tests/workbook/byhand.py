"""A workbook changed as a person changes it."""

from __future__ import annotations

from where import Parts


def typed(book, path, changes):
    """The file as a person leaves it: keys -> what is typed there."""
    file = Parts(path)
    for key, value in changes.items():
        sheet, row, col = book.inputs[key]
        file[sheet].cell(row + 1, col + 1).value = value
    file.save(path)
