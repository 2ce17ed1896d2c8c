"""Files that are no workbook, are damaged, or are made to do harm: each must be refused in one sentence."""

from __future__ import annotations

import io
import os
import struct
import zipfile
from collections.abc import Iterator
from pathlib import Path

from audit import rawlib
from audit.rawlib import SHEET, XML

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504)
LAUGHS = (
    '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha">'
    + "".join(f'<!ENTITY {n} "{f"&{p};" * 10}">' for p, n in zip("abcdefghi", "bcdefghij", strict=True))
    + "]>"
)


def bodies(port: int) -> Iterator[tuple[str, bytes, str]]:
    """Name, content, and words that the refusal must have."""
    good = rawlib.small()
    yield "empty.xlsx", b"", "is empty"
    yield "list.xlsx", b"lot,crude protein\nNorth,9.1\n", "is no .xlsx workbook"
    yield "page.xlsx", b"<html><table><tr><td>9.1</td></tr></table></html>", "is no .xlsx workbook"
    yield "paper.xlsx", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n" + bytes(2000), "is no .xlsx workbook"
    yield "picture.xlsx", b"\x89PNG\r\n\x1a\n" + bytes(2000), "is no .xlsx workbook"
    yield "old.xlsx", OLE + "Workbook".encode("utf-16-le") + bytes(4000), "old binary workbook"
    yield "locked.xlsx", OLE + "EncryptedPackage".encode("utf-16-le") + bytes(4000), "protected with a password"
    yield (
        "ods.xlsx",
        rawlib.packed({"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<x/>"}),
        "OpenDocument",
    )
    yield "any.zip", rawlib.packed({"readme.txt": "hay"}), "no workbook"
    yield "letter.xlsx", _of_kind("word/document.xml", f'{XML}<w:document xmlns:w="urn:w"/>'), "no workbook"
    yield "binary.xlsx", _of_kind("xl/workbook.bin", bytes(40)), "binary workbook (.xlsb)"
    # cut short, mis-zipped
    for share in (0.02, 0.3, 0.6, 0.9, 0.999):
        yield f"cut-{share}.xlsx", good[: int(len(good) * share)], "cut short or damaged"
    yield "head-only.xlsx", b"PK\x03\x04" + os.urandom(4000), "cut short or damaged"
    yield "crc.xlsx", _flipped(good, SHEET), "is damaged"
    yield "unpackable.xlsx", _method(good, 99), "packed in a way"
    yield "sealed.xlsx", _flag(good), "protected with a password"
    yield "twice.xlsx", rawlib.packed(rawlib.parts(), (SHEET, rawlib.sheet(""))), "twice"
    yield "twice-by-slash.xlsx", rawlib.packed(rawlib.parts(), ("/" + SHEET, rawlib.sheet(""))), "twice"
    for i, name in enumerate(("../climbed.txt", "/../climbed.txt", "..\\climbed.txt", "xl/../../climbed.txt")):
        yield f"climbs-{i}.xlsx", rawlib.packed(rawlib.parts() | {name: "x"}), "leads out of the file"
    yield "sly-name.xlsx", rawlib.packed(rawlib.parts(), ("\x1b]0;x\x07", ""), ("\x1b]0;x\x07", "")), "twice"
    yield "small-told.xlsx", _declared(good, SHEET, 60), "is damaged"
    # bombs
    yield "ratio.xlsx", rawlib.small(sheet=rawlib.sheet(" " * 60_000_000)), "as a zip bomb does"
    yield "huge-told.xlsx", _declared(good, SHEET, 4_000_000_000), "unpacks to 4,000,000,000 bytes"
    yield "many-parts.xlsx", rawlib.packed(rawlib.parts() | {f"x/{i}": "" for i in range(5_001)}), "at most 5,000"
    yield "overlap.xlsx", _overlapping(), "unpacks to"
    for where in ("sheet", "strings", "workbook", "relations"):
        body = {"sheet": rawlib.sheet(), "strings": rawlib.strings("Hay", "Twice"), "workbook": rawlib.workbook(),
                "relations": rawlib.relations(("worksheet", "worksheets/sheet1.xml"))}[where]  # fmt: skip
        inside = body.removeprefix(XML)
        yield f"laughs-{where}.xlsx", rawlib.small(**{where: LAUGHS + inside}), "document type"
        yield (
            f"dtd-{where}.xlsx",
            rawlib.small(**{where: f'<!DOCTYPE x SYSTEM "http://127.0.0.1:{port}/x.dtd">' + inside}),
            "document type",
        )
        entity = f'<!DOCTYPE x [<!ENTITY e SYSTEM "http://127.0.0.1:{port}/e"><!ENTITY % p SYSTEM "file:///etc/hostname"> %p;]>'
        yield f"entity-{where}.xlsx", rawlib.small(**{where: entity + inside}), "document type"
        yield f"no-xml-{where}.xlsx", rawlib.small(**{where: os.urandom(300)}), "is damaged"
        yield f"cut-xml-{where}.xlsx", rawlib.small(**{where: body[: len(body) // 2]}), "is damaged"
        yield f"odd-code-{where}.xlsx", rawlib.small(**{where: body.replace("UTF-8", "x-no-such")}), "is damaged"
        deep = body.replace("</", "<a>" * 300_000 + "</a>" * 300_000 + "</", 1)
        yield f"deep-{where}.xlsx", rawlib.small(**{where: deep}), "nested deeper"
    # parts that are missing or lead nowhere
    for name in rawlib.parts():
        left = {k: v for k, v in rawlib.parts().items() if k != name}
        words = {"[Content_Types].xml": "no workbook", "_rels/.rels": "names no workbook", "xl/workbook.xml": "names no workbook",
                 "xl/_rels/workbook.xml.rels": "has no part"}.get(name, "is missing")  # fmt: skip
        yield f"without-{name.replace('/', '-')}.xlsx", rawlib.packed(left), words
    for i, target in enumerate(
        ("../../../etc/passwd", "/etc/passwd", "C:\\Windows\\win.ini", "../../../../../../../dev/zero")
    ):
        made = rawlib.relations(("worksheet", target), ("sharedStrings", "sharedStrings.xml"))
        yield f"leads-out-{i}.xlsx", rawlib.small(relations=made), "is missing"
    web = rawlib.relations(("worksheet", f"http://127.0.0.1:{port}/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"))
    yield "leads-to-the-web.xlsx", rawlib.small(relations=web), "outside the file"
    yield "no-sheets.xlsx", rawlib.small(workbook=rawlib.workbook(sheets="")), "has no sheets"
    two = '<sheet name="Hay" sheetId="1" r:id="rId1"/><sheet name="HAY" sheetId="2" r:id="rId1"/>'
    yield "one-name.xlsx", rawlib.small(workbook=rawlib.workbook(sheets=two)), "two sheets of one name"
    many = "".join(f'<sheet name="S{i}" sheetId="{i}" r:id="rId1"/>' for i in range(1, 1002))
    yield "many-sheets.xlsx", rawlib.small(workbook=rawlib.workbook(sheets=many)), "at most 1,000"
    names = (
        "<definedNames>"
        + "".join(f'<definedName name="n{i}">1</definedName>' for i in range(50_001))
        + "</definedNames>"
    )
    yield "many-names.xlsx", rawlib.small(workbook=rawlib.workbook(names)), "at most"
    # cells that cannot be
    for name, cell, words in (
        ("no-such-text", '<c r="A3" t="s"><v>2</v></c>', "no text number 2"),
        ("minus-text", '<c r="A3" t="s"><v>-1</v></c>', "no text number -1"),
        ("huge-text-number", f'<c r="A3" t="s"><v>{"9" * 400}</v></c>', "no text number 999"),
        ("below-the-grid", '<c r="A1048577"><v>1</v></c>', "outside the grid"),
        ("right-of-the-grid", '<c r="XFE1"><v>1</v></c>', "is no column"),
        ("row-0", '<c r="A0"><v>1</v></c>', "outside the grid"),
        ("cell-twice", '<c r="B1"><v>41</v></c>', "twice"),
        ("giant-text", f'<c r="A3" t="inlineStr"><is><t>{"hay " * 100_000}</t></is></c>', "at most 32,767"),
        ("giant-pieces", f'<c r="A3" t="inlineStr"><is>{"<r><t>hay hay</t></r>" * 9_000}</is></c>', "at most 32,767"),
        ("giant-formula", f'<c r="A3"><f>{"1+" * 5_000}1</f><v>1</v></c>', "at most 8,192"),
    ):  # fmt: skip
        yield f"{name}.xlsx", rawlib.small(sheet=rawlib.sheet(f'{rawlib.ROWS}<row r="3">{cell}</row>')), words
    yield "giant-shared-text.xlsx", rawlib.small(strings=rawlib.strings("hay " * 100_000, "x")), "at most 32,767"


def _of_kind(part: str, content: str | bytes) -> bytes:
    given = rawlib.parts()
    del given["xl/workbook.xml"]
    given["_rels/.rels"] = rawlib.relations(("officeDocument", part))
    return rawlib.packed(given | {part: content})


def _offsets(data: bytes, part: str) -> tuple[int, int]:
    """Where a part's local and central headers begin."""
    name = part.encode()
    local = data.index(name) - 30
    return local, data.index(name, local + 31) - 46


def _flipped(data: bytes, part: str) -> bytes:
    """A part stored with a bit of its packed bytes turned."""
    made = bytearray(data)
    with zipfile.ZipFile(io.BytesIO(data)) as box:
        info = box.getinfo(part)
    made[info.header_offset + 30 + len(part) + info.compress_size // 2] ^= 0x10
    return bytes(made)


def _declared(data: bytes, part: str, size: int) -> bytes:
    """Another unpacked size told for a part than it has."""
    made = bytearray(data)
    local, central = _offsets(data, part)
    struct.pack_into("<I", made, local + 22, size)
    struct.pack_into("<I", made, central + 24, size)
    return bytes(made)


def _method(data: bytes, method: int) -> bytes:
    made = bytearray(data)
    local, central = _offsets(data, SHEET)
    struct.pack_into("<H", made, local + 8, method)
    struct.pack_into("<H", made, central + 10, method)
    return bytes(made)


def _flag(data: bytes) -> bytes:
    made = bytearray(data)
    local, central = _offsets(data, SHEET)
    made[local + 6] |= 1
    made[central + 8] |= 1
    return bytes(made)


def _overlapping() -> bytes:
    """Two thousand names for one packed piece of 9 MB: small in the file, 18 GB unpacked."""
    one = rawlib.packed(rawlib.parts() | {"x/0000": b" " * 9_000_000})
    end = one.rindex(b"PK\x05\x06")
    _, _, _, _, count, size, start, _ = struct.unpack("<4s4H2LH", one[end : end + 22])
    entry = one.rindex(b"PK\x01\x02", 0, end)
    again = b"".join(one[entry:end].replace(b"x/0000", b"x/%04d" % i) for i in range(1, 2000))
    tail = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, count + 1999, count + 1999, size + len(again), start, 0)
    return one[:end] + again + tail


def written(folder: Path, port: int) -> dict[str, str]:
    """All of them as files; name -> words that the refusal must have."""
    found = {}
    for name, content, words in bodies(port):
        (folder / name).write_bytes(content)
        found[name] = words
    (folder / "folder.xlsx").mkdir()
    os.mkfifo(folder / "pipe.xlsx")
    return found | {
        "folder.xlsx": "is a folder",
        "pipe.xlsx": "is no ordinary file",
        "/dev/zero": "is no ordinary file",
        "/proc/self/mem": "cannot use the file",
        "missing.xlsx": "does not exist",
    }
