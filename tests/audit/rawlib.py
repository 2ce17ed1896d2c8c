"""A small workbook written part by part as XML text, so that any part of it can be made wrong."""

from __future__ import annotations

import io
import warnings
import zipfile
from html import escape

XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET = "xl/worksheets/sheet1.xml"
STRINGS = "xl/sharedStrings.xml"
ROWS = (
    '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1"><v>40</v></c></row>'
    '<row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2"><f>B1*2</f><v>80</v></c></row>'
)


def sheet(rows: str = ROWS, before: str = "", after: str = "") -> str:
    return f'{XML}<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def strings(*texts: str) -> str:
    inside = "".join(f'<si><t xml:space="preserve">{escape(text)}</t></si>' for text in texts)
    return f'{XML}<sst xmlns="{MAIN}">{inside}</sst>'


def workbook(names: str = "", sheets: str = '<sheet name="Hay" sheetId="1" r:id="rId1"/>') -> str:
    return f'{XML}<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets>{sheets}</sheets>{names}</workbook>'


def relations(*targets: tuple[str, str]) -> str:
    """Kind and target of each; a target with `://` lies outside the file."""
    inside = "".join(
        f'<Relationship Id="rId{i}" Type="{OFFICE}/{kind}" Target="{target}"'
        + (' TargetMode="External"/>' if "://" in target else "/>")
        for i, (kind, target) in enumerate(targets, 1)
    )
    return f'{XML}<Relationships xmlns="{PACKAGE}/relationships">{inside}</Relationships>'


def parts() -> dict[str, str | bytes]:
    """A whole workbook: a label and a number, a label and a formula."""
    kinds = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    return {
        "[Content_Types].xml": (
            f'{XML}<Types xmlns="{PACKAGE}/content-types">'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            '<Default Extension="xml" ContentType="application/xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{kinds}.sheet.main+xml"/>'
            f'<Override PartName="/{SHEET}" ContentType="{kinds}.worksheet+xml"/>'
            f'<Override PartName="/{STRINGS}" ContentType="{kinds}.sharedStrings+xml"/></Types>'
        ),
        "_rels/.rels": relations(("officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": workbook(),
        "xl/_rels/workbook.xml.rels": relations(("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml")),
        SHEET: sheet(),
        STRINGS: strings("Hay", "Twice the hay"),
    }  # fmt: skip


def packed(given: dict[str, str | bytes], *again: tuple[str, str | bytes]) -> bytes:
    """The parts as a zip file; `again` adds parts whose names may already be there."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as box, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a name given twice is meant
        for name, data in (*given.items(), *again):
            box.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def small(**changes: str | bytes) -> bytes:
    """The small workbook with parts replaced: `sheet`, `strings`, `workbook` or `relations`."""
    where = {
        "sheet": SHEET,
        "strings": STRINGS,
        "workbook": "xl/workbook.xml",
        "relations": "xl/_rels/workbook.xml.rels",
    }
    return packed(parts() | {where[name]: data for name, data in changes.items()})
