"""A fault for each check of the points of craft.tsv, all planted in one copy of a workbook."""

from __future__ import annotations

import re
from collections.abc import Callable

from workbook.craftlib import File, Spoiled, filled


def at(file: File, tab: str, words: str, col: int = 1) -> str:
    """The first cell of a column that begins so."""
    cells = file.book[tab].iter_rows(min_col=col, max_col=col)
    return next(str(row[0].coordinate) for row in cells if str(row[0].value).startswith(words))


def beside(address: str, letters: str) -> str:
    return letters + re.sub(r"\D", "", address)


def worked(file: File, tab: str, number: int) -> str:
    """The so-manieth cell of a tab that computes a number, below its head."""
    cells = (c for row in file.book[tab].iter_rows(min_row=8) for c in row if filled(c) and c.data_type == "f")
    found = [c.coordinate for c in cells if isinstance(file.shown(file.book[tab], c.coordinate), float)]
    return str(found[number])


def unlocked(s: Spoiled) -> None:
    style = re.search(r'<c r="A8"( s="\d+")', s.parts["xl/worksheets/sheet3.xml"])
    assert style is not None
    s.cell("Reference", "A1", "<is><t>What it rests on</t></is>", ' t="inlineStr"', style[1])


def a_name(s: Spoiled) -> None:
    s.change("xl/workbook.xml", "<definedNames>", '<definedNames><definedName name="nobody">Lots!$A$8</definedName>')


def many(s: Spoiled) -> None:
    s.cell("Plain rule", worked(s.file, "Plain rule", 0), '<f t="array" ref="E8:F9">Lots!$G$8</f><v>1</v>')


PLANTED: dict[int, Callable[[Spoiled], None]] = {
    1: lambda s: s.text("Start", at(s.file, "Start", "Cautions"), "Words"),
    2: unlocked,
    5: lambda s: s.text("Lots", "H7", ""),
    6: lambda s: s.text("Assumptions", "D7", ""),
    10: lambda s: s.change("xl/workbook.xml", 'name="Month cards"', 'name="Sheet7"'),
    11: lambda s: s.change(s.sheet("Group months"), '<row r="9" ', '<row r="9" hidden="1" '),
    12: lambda s: s.parts.update({"xl/externalLinks/externalLink1.xml": "<externalLink/>"}),
    20: many,
    21: lambda s: s.formula("Plain rule", worked(s.file, "Plain rule", 1), "IFERROR(Lots!$G$8,0)"),
    24: lambda s: s.formula("Plain rule", (c := worked(s.file, "Plain rule", 2)), f"{c}+1"),
    25: lambda s: s.formula("Plain rule", worked(s.file, "Plain rule", 3), "ROUND(ROUND(Lots!$G$8,2),1)"),
    27: lambda s: s.text("Checks", beside(at(s.file, "Checks", "published", 2), "I"), ""),
    28: lambda s: s.change(s.sheet("Take home"), r' sqref="B9"', ' sqref="F90"'),
    29: lambda s: s.change(s.sheet("Lots"), 'promptTitle="', 'promptTitle="A title that has more words than a program will show: '),
    30: lambda s: s.change(s.sheet("Herd"), "<dataValidation ", '<dataValidation errorStyle="warning" '),
    31: lambda s: s.text("Lots", "A9", ""),
    32: a_name,
    33: lambda s: s.change(s.sheet("Herd"), "</sheetData>", '</sheetData><mergeCells count="1"><mergeCell ref="A48:B48"/></mergeCells>'),
    34: lambda s: s.text("Herd", "C8", "1300"),
    35: lambda s: s.cell("Feeds", "C8", "<v>999</v>"),
    37: lambda s: s.text("Checks", "F9", "small"),
    38: lambda s: s.formula("Hay pile", "B3", "1"),
    40: lambda s: s.text("Checks", beside(at(s.file, "Checks", "version", 2), "B"), "other"),
    41: lambda s: s.change(s.sheet("Cow year"), "<sheetProtection ", '<sheetProtection selectLockedCells="1" '),
    42: lambda s: s.text("Start", beside(at(s.file, "Start", "0.1.0"), "B"), "The first"),
    43: lambda s: s.change("docProps/core.xml", "<dc:subject>.*?</dc:subject>", ""),
    44: lambda s: s.change(s.sheet("Stacks"), "<sheetView ", '<sheetView topLeftCell="A40" '),
    46: lambda s: s.parts.update({"xl/vbaProject.bin": "a program"}),
    47: lambda s: s.change(s.sheet("Checks"), 'type="containsText"', 'type="cellIs"'),
    48: lambda s: s.change("xl/styles.xml", "FF595959", "FFBBBBBB"),
    49: lambda s: s.change(r"xl/drawings/drawing\d+\.xml", ' descr="[^"]*"', ' descr="A chart"'),
    50: lambda s: s.text("Herd", "A2", ""),
    51: lambda s: s.parts.update({"xl/comments1.xml": "<comments/>"}),
    52: lambda s: s.change("xl/styles.xml", "#,##0.00;-#,##0.00;", "#,##0.00;[Red]#,##0.00;"),
    53: lambda s: s.change("xl/styles.xml", '<sz val="11"/>', '<sz val="9"/>'),
    55: lambda s: s.change(s.sheet("Lessons"), 'zoomScale="125"', 'zoomScale="80"'),
    57: lambda s: s.change(s.sheet("Feeds"), 'ySplit="4"', 'ySplit="1"'),
    58: lambda s: s.change(s.sheet("Herd"), "Page &amp;P", "&amp;P"),
    59: lambda s: s.change("xl/styles.xml", '<sz val="58"/>', '<sz val="20"/>'),
}  # fmt: skip


def spoiled(file: File) -> File:
    made = Spoiled(file)
    for plant in PLANTED.values():
        plant(made)
    return made.file_of()
