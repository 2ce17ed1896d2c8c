"""Workbooks to put functions into: made here in many forms, and a comparison part by part."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable
from pathlib import Path

import xlsxwriter

PARTS = ("xl/workbook.xml", "[Content_Types].xml", "xl/_rels/workbook.xml.rels")
ADF, TDN = 30.5, 82.38 - 0.7515 * 30.5  # printed equation of Bath and Marble (tests/checks/tdn.tsv), western alfalfa
CALL = '=HAY.TDN_FROM_ADF(A1,"western alfalfa")'


def plain(names: dict[str, str] | None = None, sheets: Iterable[str] = ("My hay", "Herd"), call: str = CALL) -> bytes:
    """A workbook as another program's user has it: a call, a sum after it, a chart, a table, a name of its own."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    for name in sheets:
        sheet = book.add_worksheet(name)
        sheet.write_number(0, 0, ADF)
        sheet.write_string(0, 1, "=not a formula")
        sheet.write_formula(1, 0, call, None, 0)
        sheet.write_formula(2, 0, "=A2*2", None, 0)
        sheet.write_formula(3, 0, "=A1*2", None, 61)
    sheet.add_table(5, 0, 8, 1)
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": ["Herd", 0, 0, 2, 0]} if "Herd" in sheets else {"values": "=1"})
    sheet.insert_chart("D2", chart)
    for name, text in (names or {}).items():
        book.define_name(name, text)
    book.close()
    return stream.getvalue()


def repacked(
    data: bytes, changed: dict[str, bytes] | None = None, how: int = zipfile.ZIP_DEFLATED, level: int = 6
) -> bytes:
    """The same parts in another zip, some with other contents."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = (changed or {}).get(name, old.read(name))
            new.writestr(zipfile.ZipInfo(name, (2024, 5, 6, 7, 8, 10)), content, how, level)
        for name in set(changed or {}) - set(old.namelist()):
            new.writestr(name, (changed or {})[name])
    return out.getvalue()


class Unseekable(io.RawIOBase):
    """A stream that cannot go back, so that a zip's sizes follow its data."""

    def __init__(self) -> None:
        self.data = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, data: object) -> int:
        self.data += bytes(data)
        return len(bytes(data))


def streamed(data: bytes) -> bytes:
    out = Unseekable()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return bytes(out.data)


def part(data: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as box:
        return box.read(name)


def records(data: bytes) -> dict[str, bytes]:
    """Each part as it lies in the file: header, packed data and whatever follows them, up to the next part."""
    with zipfile.ZipFile(io.BytesIO(data)) as box:
        assert box.testzip() is None
        infos = sorted(box.infolist(), key=lambda i: i.header_offset)
        ends = [i.header_offset for i in infos[1:]] + [box.start_dir]
        return {i.filename: data[i.header_offset : end] for i, end in zip(infos, ends, strict=True)}


def differing(before: bytes, after: bytes) -> set[str]:
    """The parts that are new, gone, or not the same bytes of the zip."""
    old, new = records(before), records(after)
    return {name for name in old.keys() | new.keys() if old.get(name) != new.get(name)}


def save(folder: Path, data: bytes, name: str = "OWN.xlsx") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path
