"""What in an .xlsx makes Excel repair it, show #NAME? or show another face than the one named, in words.

Each rule reads the parts of the package as they are stored, since a library that reads them would
hide the fault.  No real Excel was at hand: the rules are those of ECMA-376 (the package, cell types,
elements) and of Excel's stored form of newer functions (`_xlfn.`, and `_xlpm.` for parameters).
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
FACES = {"Arial", "Courier New"}  # on every Windows and Mac
# functions that Excel has had since 2007; newer ones need their prefix in the file
OLD = frozenset(
    [
        "ABS",
        "AND",
        "AVERAGE",
        "CHAR",
        "CHOOSE",
        "COLUMNS",
        "COUNT",
        "COUNTA",
        "COUNTBLANK",
        "COUNTIF",
        "COUNTIFS",
        "DATE",
        "DAY",
        "EXACT",
        "EXP",
        "FIND",
        "IF",
        "IFERROR",
        "INDEX",
        "INT",
        "ISERROR",
        "ISLOGICAL",
        "ISNUMBER",
        "ISTEXT",
        "LARGE",
        "LEFT",
        "LEN",
        "LN",
        "MATCH",
        "MAX",
        "MID",
        "MIN",
        "MOD",
        "MONTH",
        "N",
        "NA",
        "NORMSINV",
        "NOT",
        "OR",
        "PI",
        "RANK",
        "RIGHT",
        "ROUND",
        "ROUNDDOWN",
        "ROUNDUP",
        "ROW",
        "ROWS",
        "SEARCH",
        "SIGN",
        "SMALL",
        "SQRT",
        "SUBSTITUTE",
        "SUM",
        "SUMIF",
        "SUMIFS",
        "SUMPRODUCT",
        "TEXT",
        "TINV",
        "TRIM",
        "YEAR",
    ]
)
NEW = frozenset(["_xlfn.LAMBDA", "_xlfn.LET"])
STRING = re.compile(r'"(?:[^"]|"")*"')
CALLED = re.compile(r"([A-Za-z_][\w.]*)\(")
WORD = re.compile(r"(?<![\w.!$'])([A-Za-z_][\w.]*)(?![\w.(!'])")
QUOTED_SHEET = re.compile(r"'(?:[^']|'')+'!")
ADDRESS = re.compile(r"[A-Za-z]{1,3}[0-9]{1,7}")


class Stored:
    """The parts of an .xlsx."""

    def __init__(self, path: Path | zipfile.ZipFile) -> None:
        self.zip = path if isinstance(path, zipfile.ZipFile) else zipfile.ZipFile(path)
        self.parts = {name: self.zip.read(name) for name in self.zip.namelist()}
        self.sheets = sorted(name for name in self.parts if re.fullmatch(r"xl/worksheets/sheet\d+\.xml", name))
        workbook = self.tree("xl/workbook.xml")
        self.names = {d.get("name", ""): d.text or "" for d in workbook.iter(f"{MAIN}definedName")}

    def tree(self, part: str) -> ElementTree.Element:
        return ElementTree.fromstring(self.parts[part])

    def formulas(self) -> Iterator[tuple[str, str]]:
        for part in self.sheets:
            for cell in self.tree(part).iter(f"{MAIN}c"):
                if (formula := cell.find(f"{MAIN}f")) is not None:
                    yield f"{part} {cell.get('r')}", formula.text or ""
        # names of the print area and titles are references alone
        yield from ((f"name {name}", text) for name, text in self.names.items() if not name.startswith("_xlnm."))


def empty_texts(file: Stored) -> list[str]:
    """An empty value in a cell of type number stands for a number that is not there."""
    return [
        f"{part} {cell.get('r')}"
        for part in file.sheets
        for cell in file.tree(part).iter(f"{MAIN}c")
        if (value := cell.find(f"{MAIN}v")) is not None and not value.text and cell.get("t") != "str"
    ]


def faces(file: Stored) -> list[str]:
    """A face that is not on every machine, or a theme's scheme, whose own face Excel shows instead."""
    found = []
    for font in file.tree("xl/styles.xml").iter(f"{MAIN}font"):
        name, scheme = font.find(f"{MAIN}name"), font.find(f"{MAIN}scheme")
        if name is not None and name.get("val") not in FACES:
            found.append(str(name.get("val")))
        if scheme is not None and scheme.get("val") != "none":
            found.append(f"scheme {scheme.get('val')}")
    return found


def shut_objects(file: Stored) -> list[str]:
    """Protection that takes drawing objects in: Excel then draws no arrows to precedents."""
    guards = ((part, guard) for part in file.sheets for guard in file.tree(part).iter(f"{MAIN}sheetProtection"))
    return [part for part, guard in guards if guard.get("objects") in ("1", "true")]


def bare(text: str) -> str:
    """A formula without its texts and the names of its sheets."""
    return QUOTED_SHEET.sub("", STRING.sub('""', text))


def unknown_functions(file: Stored, ours: str = "") -> list[str]:
    """Functions that Excel does not have, or has under a prefix that is missing: #NAME?."""
    found = []
    for where, text in file.formulas():
        for name in CALLED.findall(bare(text)):
            known = name in OLD or name in NEW or name in file.names or (ours and name.startswith(ours))
            if not known:
                found.append(f"{where}: {name}")
    return found


def unknown_names(file: Stored) -> list[str]:
    """Words that are no address, no defined name and no parameter with its prefix: #NAME?."""
    defined = {name.upper() for name in file.names}
    found = []
    for where, text in file.formulas():
        body = re.sub(r"[A-Za-z_]\w*!", "", bare(text))
        body = re.sub(r"#(?:NUM|N/A|VALUE|REF|DIV/0|NAME)[!?]?", "0", body.replace("$", ""))
        bound = set(re.findall(r"_xlpm\.(\w+)", body))
        for word in WORD.findall(body):
            if word.startswith("_xlpm."):
                continue
            if word in bound:
                found.append(f"{where}: {word} without _xlpm.")
            elif not ADDRESS.fullmatch(word) and word.upper() not in defined and word not in ("TRUE", "FALSE", "E"):
                found.append(f"{where}: {word}")
    return found


def package(file: Stored) -> list[str]:
    """Parts without a content type, relationships to nothing, XML that cannot be read."""
    types = file.tree("[Content_Types].xml")
    endings = {e.get("Extension", "").lower() for e in types if e.tag.endswith("Default")}
    named = {e.get("PartName", "") for e in types if e.tag.endswith("Override")}
    found = [f"type of nothing: {name}" for name in named if name.lstrip("/") not in file.parts]
    for part, content in file.parts.items():
        if part != "[Content_Types].xml" and f"/{part}" not in named and part.rsplit(".", 1)[-1] not in endings:
            found.append(f"no content type: {part}")
        if not part.endswith((".xml", ".rels")):
            continue
        try:
            tree = ElementTree.fromstring(content)
        except ElementTree.ParseError as error:
            found.append(f"{part}: {error}")
            continue
        if part.endswith(".rels"):
            home = posixpath.dirname(posixpath.dirname(part))
            for relation in tree:
                target = relation.get("Target", "")
                whole = (
                    target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(home, target))
                )
                if relation.get("TargetMode") != "External" and whole not in file.parts and not target.startswith("#"):
                    found.append(f"{part}: {target} is not there")
    return found


def faults(file: Stored, ours: str = "") -> dict[str, list[str]]:
    """Every rule's faults, the rules without any left out."""
    every = {
        "empty texts": empty_texts(file),
        "faces": faces(file),
        "objects shut": shut_objects(file),
        "functions": unknown_functions(file, ours),
        "names": unknown_names(file),
        "package": package(file),
    }
    return {rule: found for rule, found in every.items() if found}
