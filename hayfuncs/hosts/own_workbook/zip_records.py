"""A zip file as records of bytes: some are replaced or added, every other byte stays.

A record is one part of the package as it lies in the file: its header, its packed data, and whatever
stands between them and the next.  The list of parts at the end (`tail`) is renewed with the places.
"""

from __future__ import annotations

import struct
import zipfile
import zlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.package import Container

LOCAL, CENTRAL, END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"
HEADER = struct.Struct("<4s5H3I2H")  # of a part, before its name
ENTRY = struct.Struct("<4s6H3I5H2I")  # of the list of parts, before its name
CLOSING = struct.Struct("<4s4H2IH")
DESCRIBED_LATER, NAME_IN_UTF8 = 0x8, 0x800
DEFLATED_FROM = 20  # version of the format that packed parts need
LARGE = 0xFFFFFFFF  # stands where a number did not fit


@dataclass(frozen=True)
class Record:
    """One part as it lies in the file, and its line in the list at the end."""

    name: str
    start: int
    end: int
    entry: bytes


class Zip:
    """The file cut at its records; what cannot be cut so is refused in a sentence."""

    def __init__(self, path: Path, data: bytes) -> None:
        self.path, self.data = path, data
        self.box = Container(path, data)  # sizes, names and packing are judged there
        at = data.rfind(END)
        if at < 0 or len(data) < at + CLOSING.size:
            raise self._odd("its end is missing")
        _, disk, first_disk, here, count, size, self.tail_at, _ = CLOSING.unpack_from(data, at)
        if disk or first_disk or here != count or LARGE in (size, self.tail_at) or count != len(self.box.parts):
            raise self._odd("it is cut over several disks, or larger than the plain form takes")
        if self.tail_at + size != at:
            raise self._odd("something stands between its list of parts and its end")
        self.closing = data[at:]
        self.records = self._records(count)
        self.main_name = self.box.workbook_part()
        self.main = self.box.read(self.main_name)

    def _odd(self, why: str) -> UserError:
        return UserError(
            f"{self.path} is packed in a way that cannot be kept byte for byte ({why}); open it in a spreadsheet program "
            "and save it under another name, then try again"
        )

    def _records(self, count: int) -> list[Record]:
        found: list[tuple[int, int, str, bytes]] = []
        at = self.tail_at
        names = {info.header_offset: name for name, info in self.box.parts.items()}
        for _ in range(count):
            fields = ENTRY.unpack_from(self.data, at)
            size = ENTRY.size + sum(fields[10:13])
            start, packed = fields[16], fields[8]
            if fields[0] != CENTRAL or LARGE in (start, packed) or start not in names:
                raise self._odd("its list of parts is not the usual one")
            found.append((start, packed, names[start], self.data[at : at + size]))
            at += size
        if at != len(self.data) - len(self.closing):
            raise self._odd("its list of parts is not the usual one")
        order = sorted(found)
        ends = [start for start, *_ in order[1:]] + [self.tail_at]
        kept: dict[str, Record] = {}
        for (start, packed, name, entry), end in zip(order, ends, strict=True):
            if self.data[start : start + 4] != LOCAL or start + HEADER.size > end:
                raise self._odd(f"the part {name[:80]} does not begin where the list says")
            fields = HEADER.unpack_from(self.data, start)
            if start + HEADER.size + fields[9] + fields[10] + packed > end:
                raise self._odd(f"the part {name[:80]} runs into the next one")
            kept[name] = Record(name, start, end, entry)
        return [kept[name] for _, _, name, _ in found]  # in the order of the list

    @property
    def tail(self) -> bytes:
        return self.data[self.tail_at :]

    def raw(self, name: str) -> bytes:
        """A part's record, every byte of it."""
        record = next(r for r in self.records if r.name == name)
        return self.data[record.start : record.end]

    def rebuilt(self, changed: Mapping[str, bytes], added: Mapping[str, bytes], gone: Collection[str] = ()) -> bytes:
        """The file with some parts' contents changed, others added at the end or left out; all else keeps its bytes."""
        pieces: list[bytes] = []
        entries: dict[str, bytes] = {}
        at = 0
        in_place = sorted(self.records, key=lambda r: r.start)
        if in_place:
            pieces.append(self.data[: in_place[0].start])
            at = in_place[0].start
        for record in in_place:
            if record.name in gone:
                continue
            if record.name in changed:
                piece, entry = _packed(record.entry, changed[record.name], at)
            else:
                piece, entry = self.data[record.start : record.end], _moved(record.entry, at)
            pieces.append(piece)
            entries[record.name] = entry
            at += len(piece)
        like = next((r.entry for r in self.records if r.name == self.main_name), b"")  # not a folder's, which says so
        for name, content in added.items():
            piece, entries[name] = _packed(_fresh(name, like), content, at)
            pieces.append(piece)
            at += len(piece)
        order = [*(r.name for r in self.records if r.name not in gone), *added]
        listed = b"".join(entries[name] for name in order)
        closing = bytearray(self.closing)
        struct.pack_into("<2H2I", closing, 8, len(order), len(order), len(listed), at)
        return b"".join([*pieces, listed, bytes(closing)])

    def restored(self, originals: Mapping[str, bytes], added: set[str], tail: bytes) -> bytes:
        """The file with the original records of some parts, without the added ones, and with the original list."""
        pieces: list[bytes] = []
        in_place = sorted(self.records, key=lambda r: r.start)
        if in_place:
            pieces.append(self.data[: in_place[0].start])
        for record in in_place:
            if record.name not in added:
                pieces.append(originals.get(record.name, self.data[record.start : record.end]))
        return b"".join([*pieces, tail])


def _moved(entry: bytes, at: int) -> bytes:
    return entry[:42] + struct.pack("<I", at) + entry[46:]


def _packed(entry: bytes, content: bytes, at: int) -> tuple[bytes, bytes]:
    """A part's new record, and its line in the list: name, date and marks stay as they were."""
    squeeze = zlib.compressobj(zlib.Z_BEST_COMPRESSION, zlib.DEFLATED, -zlib.MAX_WBITS)
    packed = squeeze.compress(content) + squeeze.flush()
    fields = list(ENTRY.unpack_from(entry))
    fields[2] = max(fields[2], DEFLATED_FROM)
    fields[3] &= ~DESCRIBED_LATER
    fields[4] = zipfile.ZIP_DEFLATED
    fields[7:10] = zlib.crc32(content), len(packed), len(content)
    fields[16] = at
    name = entry[ENTRY.size : ENTRY.size + fields[10]]
    header = HEADER.pack(LOCAL, *fields[2:7], *fields[7:10], len(name), 0)
    return header + name + packed, ENTRY.pack(*fields) + entry[ENTRY.size :]


def _fresh(name: str, like: bytes) -> bytes:
    """A line of the list for a part that is new, dated as another part is."""
    fields = ENTRY.unpack_from(like)
    text = name.encode()
    flags = 0 if name.isascii() else NAME_IN_UTF8
    made = (CENTRAL, fields[1], DEFLATED_FROM, flags, zipfile.ZIP_DEFLATED, fields[5], fields[6], 0, 0, 0)
    return ENTRY.pack(*made, len(text), 0, 0, 0, 0, fields[15], 0) + text
