"""Opening the zip that a workbook is, within limits, reading only."""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from xml.etree.ElementTree import Element

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.parts import damaged, local, small

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
SAVE_AS = "open it in a spreadsheet program and save it as .xlsx"


def read_bytes(path: Path) -> bytes:
    """The file whole, when it is of a size and kind that can be a workbook."""
    if path.is_dir():
        raise UserError(f"{path} is a folder; give a workbook, a file ending in .xlsx")
    if not path.exists():
        raise UserError(f"{path} does not exist; give the name of a workbook")
    if not path.is_file():
        raise UserError(f"{path} is no ordinary file; give a workbook, a file ending in .xlsx")
    size = path.stat().st_size
    if size > limits.FILE_BYTES:
        raise UserError(f"{path} has {size:,} bytes; the audit reads workbooks of at most {limits.FILE_BYTES:,}")
    with path.open("rb") as file:
        data = file.read(limits.FILE_BYTES + 1)
    if not data:
        raise UserError(f"{path} is empty; nothing was saved in it")
    if data.startswith(OLE):
        if ENCRYPTED in data:
            raise UserError(
                f"{path} is protected with a password and cannot be read; save a copy without the password to open it"
            )
        raise UserError(f"{path} is an old binary workbook or another office file, not .xlsx; {SAVE_AS}")
    if not data.startswith(b"PK"):
        raise UserError(f"{path} is no .xlsx workbook, whatever its name says: it does not begin as one; {SAVE_AS}")
    return data


class Container:
    """The parts of a workbook file by name; every reading is counted against the limits."""

    def __init__(self, path: Path, data: bytes) -> None:
        self.path = path
        try:
            self.zip = zipfile.ZipFile(io.BytesIO(data))
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, OverflowError):
            raise UserError(
                f"{path} is cut short or damaged: it begins as a workbook but its list of parts cannot be read"
            ) from None
        entries = self.zip.infolist()
        if len(entries) > limits.PARTS:
            raise UserError(f"{path} holds {len(entries):,} parts; a workbook has at most {limits.PARTS:,}")
        total = 0
        self.parts: dict[str, zipfile.ZipInfo] = {}
        for entry in entries:
            total += self._checked(entry)
            name = entry.filename.lstrip("/")
            if ".." in name.replace("\\", "/").split("/"):
                raise UserError(f"{path} holds a part {name[:80]} that leads out of the file; it is made to deceive")
            if name in self.parts:
                raise UserError(f"{path} holds the part {name[:80]} twice; such a file is damaged or made to deceive")
            self.parts[name] = entry
        if total > limits.TOTAL_BYTES:
            raise UserError(f"{path} unpacks to {total:,} bytes; the audit unpacks at most {limits.TOTAL_BYTES:,}")

    def _checked(self, entry: zipfile.ZipInfo) -> int:
        name, size = entry.filename[:80], entry.file_size
        if entry.flag_bits & 0x1:
            raise UserError(f"{self.path}: the part {name} is protected with a password; save a copy without it")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise UserError(f"{self.path}: the part {name} is packed in a way that workbooks do not use")
        if size > limits.PART_BYTES:
            raise UserError(
                f"{self.path}: the part {name} unpacks to {size:,} bytes; at most {limits.PART_BYTES:,} are read"
            )
        if size > limits.RATIO_FROM and size > limits.RATIO * max(entry.compress_size, 1):
            raise UserError(
                f"{self.path}: the part {name} unpacks to {size // max(entry.compress_size, 1):,} times its size, "
                f"as a zip bomb does; at most {limits.RATIO} times is read"
            )
        return size

    @contextmanager
    def open(self, name: str) -> Iterator[IO[bytes]]:
        try:
            with self.zip.open(self.parts[name]) as stream:
                yield stream
        except KeyError:
            raise UserError(f"{self.path}: the part {name} is missing; the file is damaged") from None
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError) as error:
            raise UserError(f"{self.path}: {damaged(name, str(error)[:80])}") from None

    def read(self, name: str) -> bytes:
        """A small part whole."""
        entry = self.parts.get(name)
        if entry is not None and entry.file_size > limits.SMALL_PART:
            raise UserError(
                f"{self.path}: the part {name} has {entry.file_size:,} bytes; at most {limits.SMALL_PART:,} are read"
            )
        with self.open(name) as stream:
            return stream.read(limits.SMALL_PART + 1)

    def tree(self, name: str) -> Element:
        return small(self.read(name), name)

    def relations(self, part: str) -> dict[str, tuple[str, str, bool]]:
        """A part's relationships: id -> (kind, target part or address, outside the file?)."""
        folder, _, file = part.rpartition("/")
        name = f"{folder}/_rels/{file}.rels".lstrip("/")
        if name not in self.parts:
            return {}
        found: dict[str, tuple[str, str, bool]] = {}
        for element in self.tree(name):
            kind = element.get("Type", "").rpartition("/")[2]
            target = element.get("Target", "")
            outside = element.get("TargetMode") == "External"
            if not outside:
                target = target[1:] if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            found[element.get("Id", "")] = (kind, target, outside)
        return found

    def workbook_part(self) -> str:
        """The part that lists the sheets; or a sentence on what the file is instead."""
        if "[Content_Types].xml" not in self.parts:
            if "mimetype" in self.parts:
                raise UserError(f"{self.path} is an OpenDocument file under another name; {SAVE_AS}")
            raise UserError(
                f"{self.path} is a zip file but no workbook; give a file that a spreadsheet program saved as .xlsx"
            )
        for kind, target, outside in self.relations("").values():
            if kind == "officeDocument" and not outside and target in self.parts:
                if target.endswith(".bin"):
                    raise UserError(f"{self.path} is a binary workbook (.xlsb); {SAVE_AS}")
                if local(self.tree(target).tag) == "workbook":
                    return target
                raise UserError(f"{self.path} is an office file but no workbook; give a file saved as .xlsx")
        raise UserError(f"{self.path} names no workbook among its parts; the file is damaged")
