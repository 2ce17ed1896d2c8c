"""A sheet renamed and rows put in, done to the file's own XML as a spreadsheet program does it: references follow."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape, unescape

from audit.damagelib import File

from hayfuncs.spreadsheet.a1 import quoted
from hayfuncs.spreadsheet.tokens import CUT, CellRef, reference, written

FORMULAS = re.compile(
    r"(<f[^>]*>|<definedName[^>]*>|<formula1>|<formula2>|<formula>|<c:f>)([^<]+)(?=</f>|</definedName>|</formula|</c:f>)"
)
PLACES = re.compile(r'((?:sqref|ref|r)=")([A-Z]+[0-9]+(?::[A-Z]+[0-9]+)?(?: [A-Z]+[0-9]+(?::[A-Z]+[0-9]+)?)*)(?=")')


def _every(file: File, change: Callable[[str, str], str]) -> None:
    """Every formula of the file, with the sheet it stands on (empty in names and pictures), changed."""
    homes = {part: name for name, part in file.sheets.items()}
    for part, data in file.parts.items():
        if not part.endswith(".xml") or b"<" not in data[:200]:
            continue
        home = homes.get(part, "")
        text = data.decode("utf-8")
        made = FORMULAS.sub(
            lambda m, home=home: m.group(1) + escape(change(unescape(m.group(2)), home), quote=False), text
        )
        file.parts[part] = made.encode("utf-8")


def _referring(formula: str, change: Callable[[CellRef], CellRef]) -> str:
    parts = CUT.split(formula)
    for i in range(1, len(parts), 2):
        if parts[i][0] != '"':
            ref = change(reference(parts[i]))
            parts[i] = f"{quoted(ref.sheet)}!{written(ref)}" if ref.sheet is not None else written(ref)
    return "".join(parts)


def renamed(file: File, old: str, new: str) -> File:
    _every(file, lambda text, _: _referring(text, lambda r: r._replace(sheet=new) if r.sheet == old else r))
    file.sub("xl/workbook.xml", f'<sheet name="{old}"', f'<sheet name="{new}"')
    file.sheets[new] = file.sheets.pop(old)
    return file


def rows_put_in(file: File, sheet: str, row: int, count: int) -> File:
    """Empty rows above a row of a sheet, rows from 1."""

    def lower(ref: CellRef, home: str) -> CellRef:
        if (ref.sheet or home) != sheet:
            return ref
        return ref._replace(
            row=ref.row + count * (ref.row >= row - 1), last_row=ref.last_row + count * (ref.last_row >= row - 1)
        )

    _every(file, lambda text, home: _referring(text, lambda r: lower(r, home)))
    part = file.part_of(sheet)
    text = re.sub(
        r'<row r="(\d+)"', lambda m: f'<row r="{int(m.group(1)) + count * (int(m.group(1)) >= row)}"', file.text(part)
    )
    text = PLACES.sub(
        lambda m: m.group(1) + " ".join(_referring(area, lambda r: lower(r, sheet)) for area in m.group(2).split()),
        text,
    )
    file.parts[part] = text.encode("utf-8")
    return file
