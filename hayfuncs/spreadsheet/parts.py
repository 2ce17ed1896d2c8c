"""Reading XML from a file that may mean harm: no entity, no document type, no unbounded depth."""

from __future__ import annotations

from collections.abc import Callable
from typing import IO, Any
from xml.etree.ElementTree import Element, ParseError, TreeBuilder
from xml.parsers import expat

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.limits import XML_DEPTH, XML_ELEMENTS

MAIN = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",  # the strict form of the same standard
)
CHUNK = 1 << 18


class _Bounded(TreeBuilder):
    """A tree that ends early when it grows too deep or too wide."""

    def __init__(self, part: str) -> None:
        super().__init__()
        self.part, self.depth, self.count = part, 0, 0

    def start(self, tag: Any, attrs: Any, /) -> Element:
        self.depth += 1
        self.count += 1
        if self.depth > XML_DEPTH:
            raise UserError(damaged(self.part, f"elements nested deeper than {XML_DEPTH}"))
        if self.count > XML_ELEMENTS:
            raise UserError(damaged(self.part, f"more than {XML_ELEMENTS:,} elements"))
        return super().start(tag, attrs)

    def end(self, tag: Any, /) -> Element:
        self.depth -= 1
        return super().end(tag)


def small(data: bytes, part: str) -> Element:
    """A small part as a tree."""
    try:
        parser = ElementTree.XMLParser(target=_Bounded(part), forbid_dtd=True)
        parser.feed(data)
        root: Element = parser.close()
    except DefusedXmlException:
        raise UserError(refused(part)) from None
    except (ParseError, LookupError, ValueError) as error:
        raise UserError(damaged(part, str(error))) from None
    return root


def refused(part: str) -> str:
    return f"the part {part} declares a document type or entities, which no spreadsheet program writes; it was not read"


def damaged(part: str, why: str) -> str:
    return f"the part {part} is damaged ({why}); open the file in a spreadsheet program and save it again"


def local(tag: str) -> str:
    """A tag without its namespace."""
    return tag.rpartition("}")[2]


def stream(
    source: IO[bytes],
    part: str,
    start: Callable[[str, dict[str, str]], Any],
    end: Callable[[str], Any],
    text: Callable[[str], Any],
) -> None:
    """Push a large part through the handlers; tags of other namespaces arrive with theirs in front."""
    parser = expat.ParserCreate(namespace_separator="}")
    parser.buffer_text = True
    parser.buffer_size = 1 << 16
    short: dict[str, str] = {}
    depth = 0

    def name(tag: str) -> str:
        known = short.get(tag)
        if known is None:
            space, _, tail = tag.rpartition("}")
            known = short[tag] = tail if space in MAIN or not space else f"{space}}}{tail}"
        return known

    def begin(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > XML_DEPTH:
            raise UserError(damaged(part, f"elements nested deeper than {XML_DEPTH}"))
        start(short.get(tag) or name(tag), attributes)

    def finish(tag: str) -> None:
        nonlocal depth
        depth -= 1
        end(short[tag])

    def forbid(*_: Any) -> Any:
        raise UserError(refused(part))

    parser.StartElementHandler = begin
    parser.EndElementHandler = finish
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = forbid
    parser.EntityDeclHandler = forbid
    parser.UnparsedEntityDeclHandler = forbid
    parser.ExternalEntityRefHandler = forbid
    try:
        while chunk := source.read(CHUNK):
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise UserError(
            damaged(part, expat.errors.messages.get(error.code, "XML") + f", line {error.lineno}")
        ) from None
    except (LookupError, UnicodeError, ValueError) as error:
        if isinstance(error, UserError):
            raise
        raise UserError(damaged(part, str(error)[:80])) from None
