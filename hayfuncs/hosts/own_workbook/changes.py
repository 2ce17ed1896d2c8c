"""The few changes in the package: names into and out of the workbook part, and the help sheet's part with its two mentions."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from hayfuncs.contract.catalogue import Record
from hayfuncs.contract.files import UserError
from hayfuncs.hosts.own_workbook import help_sheet, kept
from hayfuncs.hosts.own_workbook.names import Defined, is_ours
from hayfuncs.hosts.own_workbook.xml_places import Part, element
from hayfuncs.hosts.own_workbook.zip_records import Zip
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.parts import MAIN, local

BEFORE_NAMES = ("externalReferences", "functionGroups", "sheets")  # the standard's order within a workbook part
TYPES = "[Content_Types].xml"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
RELATION_SPACE = {  # by the namespace of the workbook part: the usual form of the standard and its strict form
    MAIN[0]: "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    MAIN[1]: "http://purl.oclc.org/ooxml/officeDocument/relationships",
}
LAMBDA = "_xlfn.LAMBDA("
SHOWN = 6  # taken names that a refusal spells out


def sheet_names(main: Part) -> list[str]:
    return [sheet.attributes.get("name", "") for sheet in main.needed("sheets").children]


def help_sheets(zipped: Zip) -> int:
    """Whether the file has a sheet of the help's name, ours or not: 1 or 0."""
    names = sheet_names(Part(zipped.main, zipped.main_name))
    return sum(name.casefold() == help_sheet.NAME.casefold() for name in names)


def stripped(zipped: Zip) -> tuple[bytes, int]:
    """The file without names of ours that another program has kept while it saved, and how many there were."""
    main = Part(zipped.main, zipped.main_name)
    ours = [place for place in main.names() if is_ours(place.attributes)]
    if not ours:
        return zipped.data, 0
    whole = main.root.child("definedNames")
    assert whole is not None
    main.take([whole] if len(ours) == len(whole.children) else ours)
    main.edits += [(found.start(), found.end(), b"") for found in kept.COMMENT.finditer(main.data)]
    return zipped.rebuilt({zipped.main_name: main.written()}, {}), len(ours)


def with_names(zipped: Zip, names: Sequence[Defined], helped: Sequence[Record]) -> bytes:
    """The file with the names, and with a help sheet for the functions in `helped`."""
    main = Part(zipped.main, zipped.main_name)
    refuse_taken(zipped, main, names)
    prefix = main.root.prefix
    text = "".join(
        element(f"{prefix}definedName", {"name": n.name, "comment": n.comment}, escape(n.text)) for n in names
    )
    whole = main.root.child("definedNames")
    if whole is not None:
        main.put_inside(whole, text)
    else:
        before = next(place for tag in BEFORE_NAMES if (place := main.root.child(tag)) is not None)
        main.put(before.end, f"<{prefix}definedNames>{text}</{prefix}definedNames>")
    changed: dict[str, bytes] = {}
    new: dict[str, bytes] = {}
    if helped:
        changed, new = _help_sheet(zipped, main, list(helped))
    main.put(main.root.end, kept.comment(zipped, [zipped.main_name, *changed], new))
    return zipped.rebuilt({zipped.main_name: main.written(), **changed}, new)


def refuse_taken(zipped: Zip, main: Part, names: Sequence[Defined]) -> None:
    """Names of ours that the workbook uses for something of its own, in the whole file, on a sheet or for a table."""
    wanted = {n.name.casefold(): n.name for n in names}
    sheets = sheet_names(main)
    taken: list[str] = []
    for place in main.names():
        name, scope = place.attributes.get("name", ""), place.attributes.get("localSheetId", "")
        if name.casefold() in wanted:
            known = scope.isdecimal() and int(scope) < len(sheets)
            taken.append(f"{name} (on the sheet {sheets[int(scope)]})" if known else name)
    for part in zipped.box.parts:
        if "/tables/" in part and part.endswith(".xml"):
            table = zipped.box.tree(part)
            name = table.get("displayName", "")
            if local(table.tag) == "table" and name.casefold() in wanted:
                taken.append(f"{name} (a table)")
    if taken and len(taken) == sum(
        place.text.startswith(LAMBDA) and place.attributes.get("name", "") in taken for place in main.names()
    ):
        raise UserError(
            f"{zipped.path} carries functions of these names already, as a workbook that hayfuncs made does: {', '.join(taken[:SHOWN])}; "
            "there is nothing to put in; hayfuncs rebuild brings such a workbook to this version"
        )
    if taken:
        more = f" and {len(taken) - SHOWN} more" if len(taken) > SHOWN else ""
        raise UserError(
            f"{zipped.path} already has names of its own that these functions need: {', '.join(taken[:SHOWN])}{more}; "
            "rename them in Excel (Formulas, Name Manager), or leave the functions out with --only"
        )
    total = len(main.names()) + len(names)
    if total > limits.NAMES:
        raise UserError(f"{zipped.path} would have {total:,} names; at most {limits.NAMES:,} are read")


def _help_sheet(zipped: Zip, main: Part, records: list[Record]) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """The parts that a further sheet changes, beside the workbook's own, and the one that it adds."""
    if help_sheets(zipped):
        raise UserError(f"{zipped.path} has a sheet {help_sheet.NAME} of its own; rename it, or leave --help-sheet out")
    guard = main.root.child("workbookProtection")
    if guard is not None and guard.attributes.get("lockStructure") in ("1", "true"):
        raise UserError(
            f"{zipped.path} is protected against new sheets; in Excel choose Review, Protect Workbook, or leave --help-sheet out"
        )
    folder, _, file = zipped.main_name.rpartition("/")
    relations = f"{folder}/_rels/{file}.rels".lstrip("/")
    place = f"worksheets/hay_help_{len(zipped.records)}.xml"
    part = f"{folder}/{place}".lstrip("/")
    links = Part(zipped.box.read(relations), relations)
    key = _unused("rIdHayHelp", {link.attributes.get("Id", "") for link in links.root.children})
    namespace = zipped.box.tree(zipped.main_name).tag[1:].partition("}")[0]
    space = RELATION_SPACE.get(namespace, RELATION_SPACE[MAIN[0]])
    links.put_inside(
        links.root,
        element(f"{links.root.prefix}Relationship", {"Id": key, "Type": f"{space}/worksheet", "Target": place}),
    )
    types = Part(zipped.box.read(TYPES), TYPES)
    types.put_inside(
        types.root, element(f"{types.root.prefix}Override", {"PartName": f"/{part}", "ContentType": SHEET_TYPE})
    )
    sheets = main.needed("sheets")
    number = 1 + max((int(s.attributes.get("sheetId", "0")) for s in sheets.children), default=0)
    given = {"xmlns:r": space, "name": help_sheet.NAME, "sheetId": str(number), "r:id": key}
    main.put_inside(sheets, element(f"{main.root.prefix}sheet", given))
    return {relations: links.written(), TYPES: types.written()}, {part: help_sheet.sheet_xml(records, namespace)}


def _unused(name: str, taken: set[str]) -> str:
    while name in taken:
        name += "x"
    return name
