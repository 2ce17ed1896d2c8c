"""The sheet `HAY help`: one line a function, in a part of its own that needs neither styles nor shared texts."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from hayfuncs import __version__
from hayfuncs.contract.catalogue import Record
from hayfuncs.contract.errors import UNSPOKEN
from hayfuncs.contract.tables import citation
from hayfuncs.spreadsheet.a1 import a1

NAME = "HAY help"
HEADS = ("Call", "What it gives", "Unit", "Arguments: possible values", "Equation", "Source")
WIDTHS = (48, 60, 18, 80, 60, 60)
HEAD_ROW = 3


def lines(records: Iterable[Record]) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for record in records:
        ranges = "; ".join(f"{name}: {arg.allowed()}" for name, arg in record.args.items())
        sources = "; ".join(f"{citation(ref.key)}, {ref.where} [{ref.evidence}]" for ref in record.refs)
        unit = "" if record.result.unit in UNSPOKEN else record.result.unit
        call = f"{record.sheet_name}({', '.join(record.args)})"
        found.append((call, record.summary, unit, ranges, record.equation, sources))
    return found


def sheet_xml(records: list[Record], namespace: str) -> bytes:
    """The sheet's part."""
    table = lines(records)
    title = f"hayfuncs {__version__}: {len(table)} functions in this workbook.  Every argument is needed.  A blank, a text for a number and what cannot be give an error, never a number."
    rows = [(1, (title,)), (HEAD_ROW, HEADS), *enumerate(table, HEAD_ROW + 1)]
    columns = "".join(f'<col min="{i}" max="{i}" width="{w}" customWidth="1"/>' for i, w in enumerate(WIDTHS, 1))
    pane = f'<pane ySplit="{HEAD_ROW}" topLeftCell="A{HEAD_ROW + 1}" activePane="bottomLeft" state="frozen"/>'
    text = (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<worksheet xmlns="{namespace}">'
        '<sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>'
        f'<dimension ref="A1:{a1(HEAD_ROW + len(table) - 1, len(HEADS) - 1)}"/>'
        f'<sheetViews><sheetView workbookViewId="0">{pane}</sheetView></sheetViews>'
        f"<cols>{columns}</cols><sheetData>{''.join(_row(number, texts) for number, texts in rows)}</sheetData>"
        '<pageSetup orientation="landscape" fitToWidth="1" fitToHeight="0"/></worksheet>'
    )
    return text.encode()


def _row(number: int, texts: tuple[str, ...]) -> str:
    cells = "".join(
        f'<c r="{a1(number - 1, col)}" t="inlineStr"><is><t xml:space="preserve">{escape(text)}</t></is></c>'
        for col, text in enumerate(texts)
        if text
    )
    return f'<row r="{number}">{cells}</row>'
