"""Stored values of some cells, changed in a sheet's part; every other byte of it stays."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.parsers import expat
from xml.sax.saxutils import escape

from hayfuncs.contract.files import UserError
from hayfuncs.hosts.own_workbook.xml_places import UTF16, tag_end
from hayfuncs.spreadsheet.a1 import BadAddress, cell
from hayfuncs.spreadsheet.contents import ErrorValue, Value

KIND = re.compile(rb"""\st\s*=\s*("[^"]*"|'[^']*')""")
DYNAMIC = re.compile(rb"""\scm\s*=\s*("[^"]*"|'[^']*')""")  # says that the formula there is an array, and goes with it
At = tuple[int, int]


def stored(value: Value) -> tuple[bytes, bytes]:
    """The cell's kind as its tag says it, and what stands in its value."""
    if isinstance(value, bool):
        return b' t="b"', b"1" if value else b"0"
    if isinstance(value, ErrorValue):
        return b' t="e"', escape(value).encode()
    if isinstance(value, str):
        return b' t="str"', escape(value).encode("ascii", "xmlcharrefreplace")
    return b"", repr(float(value or 0)).removesuffix(".0").encode()


class Sheet:
    """The cells of one sheet's part that are to be changed, by the places of their pieces; None empties a cell."""

    def __init__(self, data: bytes, part: str, wanted: Mapping[At, Value], keep_formulas: bool) -> None:
        if data[:2] in UTF16:
            raise UserError(f"the part {part} is written in UTF-16; save the workbook in a spreadsheet program first")
        self.data, self.part, self.wanted, self.keep = data, part, wanted, keep_formulas
        self.edits: list[tuple[int, int, bytes]] = []
        self.row = self.col = -1
        self.here: tuple[int, Value] | None = None  # where the cell begins that is being read, and its new value
        self.formula = b""
        self.piece = 0
        self.done: set[At] = set()

    def changed(self) -> bytes:
        self.parser = parser = expat.ParserCreate()
        parser.StartElementHandler, parser.EndElementHandler = self._begin, self._finish
        try:
            parser.Parse(self.data, True)
        except expat.ExpatError as error:
            raise UserError(f"the part {self.part} is damaged, line {error.lineno}; save the workbook anew") from None
        pieces: list[bytes] = []
        at = 0
        for start, end, text in self.edits:
            pieces += [self.data[at:start], text]
            at = end
        return b"".join([*pieces, self.data[at:]])

    def _begin(self, tag: str, attributes: dict[str, str]) -> None:
        local = tag.rpartition(":")[2]
        if local == "row":
            given = attributes.get("r", "")
            self.row, self.col = int(given) - 1 if given.isdecimal() else self.row + 1, -1
        elif local == "c":
            try:
                self.row, self.col = cell(attributes["r"]) if "r" in attributes else (self.row, self.col + 1)
            except BadAddress as error:
                raise UserError(f"the part {self.part} has a cell that is none: {error}") from None
            at = (self.row, self.col)
            self.here = (self.parser.CurrentByteIndex, self.wanted[at]) if at in self.wanted else None
            self.formula = b""
        elif local == "f" and self.here:
            self.piece = self.parser.CurrentByteIndex

    def _finish(self, tag: str) -> None:
        local = tag.rpartition(":")[2]
        if self.here is None or local not in ("c", "f"):
            return
        if local == "f":
            self.formula = self.data[self.piece : self._end(self.piece)] if self.keep else b""
            return
        start, value = self.here
        end = self._end(start)
        prefix = tag[: -len(local)].encode()
        head = KIND.sub(b"", self.data[start : tag_end(self.data, start, self.part)]).rstrip(b"/> \r\n\t")
        kind, text = stored(value)
        inner = b"%b<%bv>%b</%bv>" % (self.formula, prefix, text, prefix)
        if not self.keep:
            head = DYNAMIC.sub(b"", head)
            if isinstance(value, str) and not isinstance(value, ErrorValue):
                kind = b' t="inlineStr"'
                inner = b'<%bis><%bt xml:space="preserve">%b</%bt></%bis>' % (prefix, prefix, text, prefix, prefix)
        new = head + b"/>" if value is None else b"%b%b>%b</%bc>" % (head, kind, inner, prefix)
        self.edits.append((start, end, new))
        self.done.add((self.row, self.col))
        self.here = None

    def _end(self, start: int) -> int:
        """Where the element that began at `start` and ends here ends, written as a pair of tags or as one."""
        first = tag_end(self.data, start, self.part)
        return (
            first if self.data[first - 2 : first] == b"/>" else self.data.index(b">", self.parser.CurrentByteIndex) + 1
        )
