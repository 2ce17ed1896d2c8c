"""A workbook file into the model: everything is read, nothing is run, fetched or written."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar
from xml.etree.ElementTree import Element

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import drawings, limits
from hayfuncs.spreadsheet.contents import DefinedName, Look, SheetInfo, WorkbookData
from hayfuncs.spreadsheet.package import Container, read_bytes
from hayfuncs.spreadsheet.parts import local, stream
from hayfuncs.spreadsheet.sheet_xml import on, read_sheet

T = TypeVar("T")
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
STRICT_RELATION = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"
BUILT_IN_FORMATS = {
    0: "General",
    1: "0",
    2: "0.00",
    3: "#,##0",
    4: "#,##0.00",
    9: "0%",
    10: "0.00%",
    14: "d/m/yy",
    49: "@",
}
APPLICATION = "docProps/app.xml"
OUTSIDE = {
    "externalLink": "a link to another workbook",
    "connections": "a data connection",
    "queryTable": "a query of outside data",
}


def read(path: Path, data: bytes | None = None) -> WorkbookData:
    """The workbook in a file; a UserError says in a sentence why it cannot be read."""
    box = Container(path, read_bytes(path) if data is None else data)
    main = box.workbook_part()
    book = WorkbookData(path)
    _lock_file(book)
    relations = box.relations(main)
    sheets, worksheets = _workbook(book, box.tree(main), relations)
    strings: list[str] = []
    for kind, target, outside in relations.values():
        if kind == "sharedStrings" and not outside:
            strings = _strings(box, target)
        elif kind == "styles" and not outside:
            book.looks = _looks(box.tree(target))
        elif kind == "vbaProject":
            book.macros.append(target)
        elif kind in OUTSIDE:
            starts = _starts(box, target) if kind == "externalLink" and not outside else ""
            if starts:
                book.programs.append(starts)
            else:
                book.links.append(f"{OUTSIDE[kind]}{_target(box, target)}")
    for number, part in enumerate(sheets):
        if worksheets[number]:
            with box.open(part) as source:
                read_sheet(source, book, number, strings)
        for kind, target, outside in box.relations(part).values():
            if kind in OUTSIDE:
                book.links.append(f"{OUTSIDE[kind]} on the sheet {book.sheets[number].name}{_target(box, target)}")
            elif kind == "hyperlink" and outside:
                book.clicked.append((book.sheets[number].name, target))
            elif kind == "drawing" and not outside:
                drawings.read(box, target, book.sheets[number])
    book.program = _program(box)
    for name in box.parts:
        if "/macrosheets/" in name or "/activeX/" in name or "/embeddings/" in name:
            book.macros.append(name)
    return book


def _program(box: Container) -> str:
    """The program that saved the file last, as it names itself."""
    if APPLICATION not in box.parts:
        return ""
    try:
        root = box.tree(APPLICATION)
    except UserError:
        return ""  # the program's name is no reason to refuse a workbook
    for element in root:
        if local(element.tag) == "Application":
            name, _, version = (element.text or "").partition("$")[0].partition("/")
            return f"{name.strip()} {version.strip()}".strip()[:60]
    return ""


def _lock_file(book: WorkbookData) -> None:
    path = book.path
    if any((path.parent / f"{mark}{path.name}{end}").exists() for mark, end in (("~$", ""), (".~lock.", "#"))):
        book.notes.append("the workbook is open in a spreadsheet program: what is not saved yet is not in this audit")


def _workbook(
    book: WorkbookData, root: Element, relations: dict[str, tuple[str, str, bool]]
) -> tuple[list[str], list[bool]]:
    parts: list[str] = []
    worksheets: list[bool] = []
    for element in root.iter():
        tag = local(element.tag)
        if tag == "sheet":
            key = element.get(RELATION) or element.get(STRICT_RELATION) or ""
            kind, part, outside = relations.get(key, ("", "", False))
            name = element.get("name", "")
            if len(name) > limits.SHEET_NAME:
                raise UserError(f"{book.path}: a sheet's name has {len(name):,} characters; the file is damaged")
            if not part:
                raise UserError(f"{book.path}: the sheet {name} has no part; the file is damaged")
            if outside:
                raise UserError(
                    f"{book.path}: the sheet {name} lies outside the file, at {part[:80]}; it was not fetched"
                )
            parts.append(part)
            worksheets.append(kind == "worksheet")
            book.sheets.append(SheetInfo(name, part, element.get("state", "visible")))
        elif tag == "definedName":
            scope = element.get("localSheetId")
            defined = DefinedName(
                element.get("name", ""), (element.text or "").strip().removeprefix("="), on(element.get("hidden")),
                int(scope) if scope and scope.isdecimal() else None,
            )  # fmt: skip
            book.names.append(defined)
        elif tag == "calcPr":
            book.calculation |= element.attrib
        elif tag == "workbookPr" and "date1904" in element.attrib:
            book.calculation["date1904"] = element.attrib["date1904"]
    if not book.sheets:
        raise UserError(f"{book.path} has no sheets; the file is damaged")
    if len(book.sheets) > limits.SHEETS or len(book.names) > limits.NAMES:
        raise UserError(
            f"{book.path} has {len(book.sheets):,} sheets and {len(book.names):,} names; "
            f"at most {limits.SHEETS:,} and {limits.NAMES:,} are read"
        )
    folded = [info.name.casefold() for info in book.sheets]
    if len(set(folded)) < len(folded):
        raise UserError(f"{book.path} has two sheets of one name; the file is damaged or made to deceive")
    return parts, worksheets


def _strings(box: Container, part: str) -> list[str]:
    """The texts that cells share."""
    found: list[str] = []
    pieces: list[str] = []
    gather = phonetic = False
    total = length = 0

    def start(tag: str, _: dict[str, str]) -> None:
        nonlocal gather, phonetic
        if tag == "t":
            gather = not phonetic
        elif tag == "rPh":
            phonetic = True

    def end(tag: str) -> None:
        nonlocal gather, phonetic, length
        if tag == "t":
            gather = False
        elif tag == "rPh":
            phonetic = False
        elif tag == "si":
            found.append("".join(pieces))
            pieces.clear()
            length = 0

    def text(data: str) -> None:
        nonlocal total, length
        if gather:
            length += len(data)
            total += len(data)
            if length > limits.TEXT or total > limits.STRINGS_BYTES:
                raise UserError(
                    f"{box.path} holds a text of {length:,} characters or more ({total:,} up to there); "
                    f"a cell holds at most {limits.TEXT:,} and the audit reads {limits.STRINGS_BYTES:,}"
                )
            pieces.append(data)

    with box.open(part) as source:
        stream(source, part, start, end, text)
    return found


def _looks(root: Element) -> list[Look]:
    formats = dict(BUILT_IN_FORMATS)
    fonts: list[tuple[bool, str]] = []
    fills: list[str] = []
    looks: list[Look] = []
    for group in root:
        tag = local(group.tag)
        if tag == "numFmts":
            for one in group:
                formats[_id(one.get("numFmtId"))] = one.get("formatCode", "")
        elif tag == "fonts":
            fonts = [
                (any(local(e.tag) == "b" and e.get("val", "1") != "0" for e in one), _color(one, "color"))
                for one in group
            ]
        elif tag == "fills":
            fills = [_fill(one) for one in group]
        elif tag == "cellXfs":
            for one in group:
                protection = next((e for e in one if local(e.tag) == "protection"), None)
                locked = protection is None or protection.get("locked", "1") in ("1", "true")
                hidden = protection is not None and on(protection.get("hidden"))
                bold, ink = _nth(fonts, one.get("fontId"), (False, ""))
                code = formats.get(_id(one.get("numFmtId")), "General")
                looks.append(Look(locked, hidden, code, bold, ink, _nth(fills, one.get("fillId"), "")))
    return looks or [Look()]


def _id(text: str | None) -> int:
    return int(text) if text and text.isdecimal() and len(text) < 9 else 0


def _nth(items: list[T], number: str | None, otherwise: T) -> T:
    place = _id(number)
    return items[place] if place < len(items) else otherwise


def _color(element: Element, tag: str) -> str:
    for child in element:
        if local(child.tag) == tag:
            if child.get("theme") == "0" and not child.get("tint"):
                return "FFFFFFFF"  # theme color 0 is the paper: white in every stock theme
            return child.get("rgb", "").upper()
    return ""


def _fill(element: Element) -> str:
    for fill in element:
        if local(fill.tag) == "patternFill" and fill.get("patternType") == "solid":
            return _color(fill, "fgColor") or "of the theme"  # some color, not the paper's
    return ""


def _target(box: Container, part: str) -> str:
    """Where an external link points, for the finding's evidence."""
    outside = [target for _, target, is_outside in box.relations(part).values() if is_outside]
    return f" to {outside[0][:120]!r}" if outside else ""


def _starts(box: Container, part: str) -> str:
    """What a link that is no workbook starts when it is refreshed, in words."""
    if part not in box.parts:
        return ""
    for element in box.tree(part).iter():
        tag = local(element.tag)
        if tag == "ddeLink":
            service, topic = (element.get(name, "")[:80] for name in ("ddeService", "ddeTopic"))
            return f"a link that starts the program {service!r} with {topic!r} (DDE); it was not started"
        if tag == "oleLink":
            return f"a link to an object of another program{_target(box, part)}; it was not opened"
    return ""
