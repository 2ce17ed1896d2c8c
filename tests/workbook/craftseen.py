"""What is seen, read aloud, printed and shown in the hall: points 47 to 60 of craft.tsv."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from workbook.craftlib import PAPER, File, check, contrast, figure, filled, seen

from hayfuncs import __version__
from hayfuncs.spreadsheet.a1 import a1

TEXT, LARGE, MARK = 4.5, 3.0, 3.0  # least contrast of text, of large text, of what a picture draws
SMALLEST = 11  # points
TOLD = 60  # characters of a picture's words
HALL, LESSONS = "What to feed", "Lessons"
# in the hall: points at the zoom it opens with, of the answer and the caution, and of the lessons' questions and answers
FAR, NEAR = 25, 18
BAND = 265  # points that a frozen head takes at the most: a third of 800 lines


def flags(file: File) -> Iterator[tuple[Any, str, Any]]:
    """Each conditional format that colors something: its tab, the first cell it covers, the rule."""
    for tab in file.tabs:
        for area in tab.conditional_formatting:
            first = str(area.sqref).split(":")[0].split()[0]
            yield from ((tab, first, rule) for rule in area.rules if not empty_when(file, tab, area, first, rule))


def empty_when(file: File, tab: Any, area: Any, first: str, rule: Any) -> bool:
    """Whether it takes the color from cells that are empty: where the first is, as it asks, all of them are."""
    if rule.type != "expression" or (rule.formula or [""])[0].replace("$", "") != f'{first}=""':
        return False
    cells = [a1(row - 1, col - 1) for part in area.sqref.ranges for row, col in part.cells]
    return file.shown(tab, first) not in (None, "") or all(file.shown(tab, cell) in (None, "") for cell in cells)


@check(47)
def color_goes_with_a_word(file: File) -> Iterator[str]:
    for tab, first, rule in flags(file):
        if rule.type == "containsText" and rule.text:
            continue  # the word that it looks for stands in the cell
        condition = (rule.formula or [""])[0]
        if rule.type != "expression" or not re.search(r'<>""|ISERROR\(', condition):
            yield f"{tab.title}!{first} {rule.type} {condition}"


@check(48)
def contrasts(file: File) -> Iterator[str]:
    for tab, cell, look in file.cells:
        large = look.size >= 18 or (look.size >= 14 and look.bold)
        if contrast(look.ink, look.ground) < (LARGE if large else TEXT):
            yield f"{file.called(tab, cell)} {look.ink} on {look.ground}"
    for tab, first, rule in flags(file):
        if "ISERROR(" in (rule.formula or [""])[0] and rule.type == "expression":
            continue  # an error that is hidden, since the words above say why there is no number
        font, fill = rule.dxf.font, rule.dxf.fill
        ink = str(font.color.rgb) if font is not None and font.color is not None else seen(tab[first]).ink
        ground = str(fill.bgColor.rgb) if fill is not None else seen(tab[first]).ground
        if contrast(ink, ground) < TEXT:
            yield f"{tab.title}!{first} {ink} on {ground}"
    for part in (name for name in file.parts if name.startswith("xl/charts/chart")):
        for series in re.findall(r"<c:ser>.*?</c:ser>", file.parts[part], re.DOTALL):
            drawn = re.findall(r'srgbClr val="(\w+)"', re.split(r"<c:(?:dLbls|cat|val|xVal|yVal)>", series)[0])
            if drawn and max(contrast(color, PAPER) for color in drawn) < MARK:  # of the area or of its outline
                yield f"{part} {drawn}"


@check(49)
def pictures_in_words(file: File) -> Iterator[str]:
    """Each says what kind it is or what it shows, and something of it: more than a name."""
    for part in (name for name in file.parts if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name)):
        for picture in re.findall(r"<xdr:cNvPr [^>]*>", file.parts[part]):
            told = re.search(r'descr="([^"]*)"', picture)
            if told is None or len(told[1]) < TOLD:
                yield f"{part} {picture}"


@check(50)
def titles(file: File) -> Iterator[str]:
    for tab in file.tabs:
        title, sentence = tab["A1"].value, str(tab["A2"].value or "")
        if not title or seen(tab["A1"]).size <= seen(tab["A2"]).size or len(sentence) < 30 or "." not in sentence:
            if tab.title != HALL or not (title and len(sentence) >= 30):  # there the answer is the largest
                yield tab.title


@check(51)
def nothing_in_the_margin_alone(file: File) -> Iterator[str]:
    yield from (part for part in file.parts if re.search(r"comments|threadedComment|vmlDrawing", part))
    for part in (name for name in file.parts if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name)):
        if re.search(r"<xdr:(?:sp|pic|cxnSp)\b", file.parts[part]):
            yield f"{part} holds a box of text or a picture"
    for tab in file.tabs:
        for line in (tab.oddHeader, tab.oddFooter, tab.evenFooter, tab.firstFooter):
            words = " ".join(str(part.text or "") for part in (line.left, line.center, line.right))
            rest = re.sub(rf"&\w|hayfuncs {re.escape(__version__)}|printed|Page|of|[\s,]", "", words)
            if rest and not any(rest in str(row[0].value).replace(" ", "") for row in tab.iter_rows(max_row=4)):
                yield f"{tab.title}: {words}"


@check(52)
def minus_has_a_sign(file: File) -> Iterator[str]:
    for code in sorted({look.code for _, _, look in file.cells}):
        below = code.split(";")[1] if code.count(";") and not code.startswith("[>") else "-"
        if re.search(r"\[(?:red|color ?\d+)\]", code, re.IGNORECASE) or not re.search(r"[-(]", below):
            yield code


@check(53)
def read_with_ease(file: File) -> Iterator[str]:
    for tab, cell, look in file.cells:
        if look.size < SMALLEST:
            yield f"{file.called(tab, cell)} has {look.size} points"
        if cell.hyperlink is not None:
            words = str(file.shown(tab, cell.coordinate))
            if len(re.findall(r"[A-Za-z]", words)) < 3 or re.search(
                r"(?i)click|here$|^https?:|^\$?[A-Z]+\$?\d+$", words
            ):
                yield f"{file.called(tab, cell)} leads by the words {words!r}"
            if not cell.hyperlink.tooltip:
                yield f"{file.called(tab, cell)} does not say where it leads"
        if re.search("[¹²³⁴⁵*†‡]$", str(cell.value)) and not re.search(r"[\d\w)]\*$|\*$", str(cell.value)):
            yield f"{file.called(tab, cell)} ends with a sign of a note"


@check(55)
def seen_from_the_back(file: File) -> Iterator[str]:
    sizes = {tab.title: (tab.sheet_view.zoomScale or 100) / 100 for tab in file.tabs}
    far = sorted(
        {look.size * sizes[HALL] for tab, cell, look in file.cells if tab.title == HALL and 6 <= cell.row <= 10}
    )
    if len([size for size in far if size >= FAR]) < 2 or far[-1] < 2 * FAR:
        yield f"{HALL}: {far}"
    for tab, cell, look in file.cells:
        if tab.title == LESSONS and cell.row > 4 and cell.column < 3 and look.size * sizes[LESSONS] < NEAR:
            yield f"{file.called(tab, cell)} has {look.size * sizes[LESSONS]} points"


@figure(56)
def rows_in_the_hall(file: File) -> float:
    """Rows that the hall's sheet fills."""
    tab = file.book[HALL]
    return max(row for row in range(1, tab.max_row + 1) if any(map(filled, tab[row])))


@check(57)
def heads_stay(file: File) -> Iterator[str]:
    for tab in file.tabs[1:]:
        pane = tab.sheet_view.pane
        rows = int(pane.ySplit or 0) if pane is not None and pane.state == "frozen" else 0
        high = sum(tab.row_dimensions[row].height or 15 for row in range(1, rows + 1))
        if not 3 <= rows <= 7 or high > BAND:
            yield f"{tab.title}: {rows} rows, {high} points"
        repeated = tab.print_title_rows
        if rows > 4 and repeated != f"$6:${rows}":  # a table's head: frozen on the screen, repeated on paper
            yield f"{tab.title} repeats {repeated}"


@check(58)
def on_paper(file: File) -> Iterator[str]:
    for tab in file.tabs:
        foot = tab.oddFooter
        words = " ".join(str(part.text or "") for part in (foot.left, foot.center, foot.right))
        # the marks of a page's number, of all pages, of the file and of the day
        wanted = ("Page &P of &N", "&F", "&D", __version__) if "&P" in words else ("Page &[Page] of &N", "&F", "&D")
        missing = [mark for mark in wanted if mark not in words]
        if missing or len(words) > 255:
            yield f"{tab.title}: {words} lacks {missing}"
        if not tab.print_area or str(tab.page_setup.paperSize) != "1" or not tab.page_setup.orientation:
            yield f"{tab.title} has no paper"


@check(59)
def the_answer_is_largest(file: File) -> Iterable[str]:
    found = sorted(((look.size, cell) for tab, cell, look in file.cells if tab.title == HALL), key=lambda x: -x[0])
    (first, answer), (second, _) = found[:2]
    said = str(file.shown(file.book[HALL], answer.coordinate))
    if first < 2 * second or answer.data_type != "f" or not re.search(r"\d lb\b", said):
        return [f"{answer.coordinate} {first} {said}"]
    return []
