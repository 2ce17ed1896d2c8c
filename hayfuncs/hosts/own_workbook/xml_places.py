"""Where the elements of a small XML part stand, by byte, so that a text can be put in and nothing else be written anew."""

from __future__ import annotations

import codecs
from collections.abc import Iterable
from dataclasses import dataclass, field
from xml.parsers import expat
from xml.sax.saxutils import quoteattr

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.parts import small

UTF16 = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}


@dataclass
class Place:
    """An element: its tag as written, its attributes, and the bytes from its first sign to its last."""

    tag: str
    attributes: dict[str, str]
    start: int
    inside: int = 0  # where its content ends; equal to `end` where it is written as one empty tag
    end: int = 0
    text: str = ""
    children: list[Place] = field(default_factory=list)

    @property
    def local(self) -> str:
        return self.tag.rpartition(":")[2]

    @property
    def prefix(self) -> str:
        return self.tag[: len(self.tag) - len(self.local)]

    def child(self, local: str) -> Place | None:
        return next((c for c in self.children if c.local == local), None)


class Part:
    """A part as bytes that can be cut, with its root's children and theirs."""

    def __init__(self, data: bytes, name: str) -> None:
        small(data, name)  # refuses what is broken or made to harm
        self.mark = data[:2] if data[:2] in UTF16 else b""
        self.data = data[2:].decode(UTF16[self.mark]).encode() if self.mark else data
        self.name = name
        self.edits: list[tuple[int, int, bytes]] = []
        self.root = self._places()

    def _places(self) -> Place:
        parser = expat.ParserCreate("utf-8") if self.mark else expat.ParserCreate()
        open_: list[Place] = []
        roots: list[Place] = []

        def begin(tag: str, attributes: dict[str, str]) -> None:
            place = Place(tag, attributes, parser.CurrentByteIndex)
            (open_[-1].children if open_ else roots).append(place)
            open_.append(place)

        def finish(tag: str) -> None:
            at, place = parser.CurrentByteIndex, open_.pop()
            first = tag_end(self.data, place.start, self.name)
            if self.data[first - 2 : first] == b"/>":  # one empty tag
                place.inside = place.end = first
            else:
                place.inside, place.end = at, self.data.index(b">", at) + 1

        def text(data: str) -> None:
            open_[-1].text += data

        parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = begin, finish, text
        try:
            parser.Parse(self.data, True)
        except expat.ExpatError:  # an encoding that the first look took and this one does not
            raise UserError(f"the part {self.name} is written in a way that cannot be changed in place") from None
        return roots[0]

    def needed(self, local: str) -> Place:
        """A child of the root that the standard asks for."""
        found = self.root.child(local)
        if found is None:
            raise UserError(
                f"the part {self.name} has no {local}; open the file in a spreadsheet program and save it again"
            )
        return found

    def names(self) -> list[Place]:
        """The defined names of a workbook part."""
        found = self.root.child("definedNames")
        return found.children if found else []

    def put(self, at: int, text: str, until: int | None = None) -> None:
        """`text` at a place, or instead of what stands from there to `until`."""
        self.edits.append((at, at if until is None else until, text.encode("ascii", "xmlcharrefreplace")))

    def put_inside(self, place: Place, text: str) -> None:
        """As the last content of an element, which may be written as one empty tag."""
        if place.inside < place.end:
            self.put(place.inside, text)
        else:
            self.put(self.data.rindex(b"/", place.start, place.end), f">{text}</{place.tag}>", place.end)

    def take(self, places: Iterable[Place]) -> None:
        for place in places:
            self.edits.append((place.start, place.end, b""))

    def written(self) -> bytes:
        pieces: list[bytes] = []
        at = 0
        for start, end, text in sorted(self.edits, key=lambda e: e[:2]):
            pieces += [self.data[at:start], text]
            at = end
        whole = b"".join([*pieces, self.data[at:]])
        return self.mark + whole.decode().encode(UTF16[self.mark]) if self.mark else whole


def element(tag: str, attributes: dict[str, str], text: str = "") -> str:
    """One element with escaped attributes; `text` is escaped already."""
    given = "".join(f" {name}={quoteattr(value)}" for name, value in attributes.items())
    return f"<{tag}{given}>{text}</{tag}>" if text else f"<{tag}{given}/>"


def tag_end(data: bytes, start: int, part: str) -> int:
    """Where the tag that begins at `start` ends; a sign > may stand in a quoted value."""
    quote = 0
    for i in range(start, len(data)):
        sign = data[i]
        if quote:
            quote = 0 if sign == quote else quote
        elif sign in b"\"'":
            quote = sign
        elif sign == ord(">"):
            return i + 1
    raise UserError(f"the part {part} is damaged; open the file in a spreadsheet program and save it again")
