"""Small workbooks made by hand, and the ways to make them hostile."""

from __future__ import annotations

import io
import struct
import zipfile
from html import escape

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
REL = 'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = (
    '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    '<Override PartName="/xl/workbook.xml" '
    'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
    '<Override PartName="/xl/worksheets/sheet1.xml" '
    'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>'
)


def relations(*links: tuple[str, str, str]) -> str:
    lines = "".join(f'<Relationship Id="{i}" Type="{OFFICE}/{kind}" Target="{target}"/>' for i, kind, target in links)
    return (
        f'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{lines}</Relationships>'
    )


def parts(
    rows: str = "", names: str = "", strings: str = "", more: dict[str, str | bytes] | None = None
) -> dict[str, str | bytes]:
    """A workbook of one sheet named S."""
    links = [("rId1", "worksheet", "worksheets/sheet1.xml")]
    made: dict[str, str | bytes] = {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": relations(("rId1", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": f'<workbook {MAIN} {REL}><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets>'
        f"<definedNames>{names}</definedNames></workbook>",
        "xl/worksheets/sheet1.xml": f"<worksheet {MAIN}><sheetData>{rows}</sheetData></worksheet>",
    }
    if strings:
        links.append(("rId2", "sharedStrings", "sharedStrings.xml"))
        made["xl/sharedStrings.xml"] = f"<sst {MAIN}>{strings}</sst>"
    made["xl/_rels/workbook.xml.rels"] = relations(*links)
    return made | (more or {})


def packed(made: dict[str, str | bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as box:
        for name, data in made.items():
            box.writestr(name, data)
    return stream.getvalue()


def cell(at: str, formula: str = "", value: str | float | None = None) -> str:
    inside = f"<f>{escape(formula, quote=False)}</f>" if formula else ""
    if isinstance(value, str):
        return f'<c r="{at}" t="str">{inside}<v>{escape(value, quote=False)}</v></c>'
    return f'<c r="{at}">{inside}{"" if value is None else f"<v>{value!r}</v>"}</c>'


def workbook(*cells: str, names: str = "") -> bytes:
    """Cells of the first row, packed."""
    return packed(parts(f'<row r="1">{"".join(cells)}</row>', names))


def lying_size(data: bytes, name: bytes, size: int) -> bytes:
    """The directory of the zip says another size for a part than it has."""
    at = data.rindex(b"PK\x01\x02", 0, data.rindex(name))
    return data[: at + 24] + struct.pack("<I", size) + data[at + 28 :]


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY a "ha">'
    + "".join(f'<!ENTITY {chr(98 + i)} "{f"&{chr(97 + i)};" * 10}">' for i in range(9))
    + "]>"
)
OUTWARD = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
