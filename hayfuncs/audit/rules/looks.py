"""What the eye sees, against what this version draws: formats, flags, rules of typing, charts, links, what is printed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

from hayfuncs.audit import validations
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.places import Places, places
from hayfuncs.spreadsheet.a1 import BadAddress, Node, a1, area, node, quoted
from hayfuncs.spreadsheet.contents import SheetInfo, Validation

READABLE, NARROW = 5.0, 2.0  # characters: a column drawn so wide, and one too narrow to read
TALL, LOW = 12.0, 6.0  # points, of a row
FREEZES = "LibreOffice"  # a title that is a cell's text becomes that text in its save
OPERATORS = {">": "greaterThan", "between": "between"}
KINDS = {"length": "textLength", "integer": "whole"}


def differences(case: AuditContext) -> Iterator[Finding]:
    """Compared with the layout that was laid out anew for the formulas; nothing where there is none."""
    ways = places(case.book)
    if case.expected is None or ways.moved:
        return
    for sheet in case.expected.sheets:
        number = ways.sheet(sheet.name)
        if number is None:
            continue  # the sheet is told as missing
        for finding in (*_cells(case, sheet, number), *_lines(case, sheet, number), *_charts(case, sheet, number)):
            finding.by_layout = True
            yield finding


def _told(case: AuditContext, at: Node, words: str) -> Finding:
    return Finding("look", case.address(at), f"{case.labels.label(at)}: {words}", at)


def _cells(case: AuditContext, sheet: Any, number: int) -> Iterator[Finding]:
    from hayfuncs.workbook.styles import STYLES

    info, ways = case.book.sheets[number], places(case.book)
    formats: dict[tuple[int, str, str], list[Node]] = {}
    rules: dict[tuple[int, str, str], list[Node]] = {}
    for (row, col), cell in sheet.cells.items():
        at = node(number, row, col)
        if isinstance(case.book.values.get(at), float):
            want, have = STYLES[cell.style].get("num_format", "General"), case.book.look(at).number_format
            if canonical(want) != canonical(have):
                formats.setdefault((col, want, have), []).append(at)
        leads = {_target(cell.link), _target(ways.today(cell.link, ""))} if cell.link else set()
        if leads and info.links.get((row, col)) is not None and _target(info.links[row, col]) not in leads:
            yield _told(
                case,
                at,
                f"the link leads to {info.links[row, col][:60] or 'nowhere'}; this version leads to {cell.link}",
            )
        if cell.entry is not None:
            given = next((r for r in info.validations if r.covers(row, col)), None)
            if given is not None and (words := _other_rule(cell.entry, given, ways)):
                rules.setdefault((col, words, validations.says(given)), []).append(at)
    for (_, want, have), cells in formats.items():
        yield _told(
            case, cells[0], f"{case.area(cells)} show their numbers as {have}; this version shows them as {want}"
        )
    for (_, words, says), cells in rules.items():
        yield _told(case, cells[0], f"the validation of {case.area(cells)} allows {says}; this version allows {words}")


def canonical(code: str) -> str:
    """A number format without the quotes and strokes that programs put round the same signs."""
    plain = re.sub(r'"([^"]*)"|\\(.)', lambda m: m.group(1) if m.group(2) is None else m.group(2), code)
    return re.sub(r"\[\$([^\]-]*)[^\]]*\]", r"\1", plain).replace(" ", "").casefold()


def _target(link: str) -> str:
    return link.removeprefix("#").replace("'", "").replace("$", "").casefold()


def _other_rule(entry: Any, given: Validation, ways: Places) -> str:
    """What this version lets in, where that is not what the file does; else nothing."""
    from hayfuncs.workbook.write import validation

    want = validation(entry)
    kind = KINDS.get(want["validate"], want["validate"])
    if kind == "list":
        source = want["source"]
        text = ways.today(source, "") if isinstance(source, str) else ",".join(source)
        same = _words_of(text) == _words_of(given.first)
        return "" if given.kind == "list" and same else f"one of {text[:120]}"
    ends = [want.get("minimum", want.get("value")), want.get("maximum")]
    numbers = [_serial(end) for end in ends if end is not None]
    try:
        have = [float(text) for text in (given.first, given.second)[: len(numbers)]]
    except ValueError:
        have = []
    alike = given.kind == kind and given.operator == OPERATORS[want["criteria"]] and have == numbers
    bounds = " to ".join(f"{n:g}" for n in numbers)
    return "" if alike else f"{kind} {want['criteria']} {bounds}"


def _words_of(text: str) -> list[str]:
    return [_target(word.strip()) for word in text.strip('"').removeprefix("=").split(",")]


def _serial(end: Any) -> float:
    from hayfuncs.spreadsheet.engine_values import DAY_ZERO

    return float(end) if isinstance(end, (int, float)) else float((end - DAY_ZERO).days)


def _lines(case: AuditContext, sheet: Any, number: int) -> Iterator[Finding]:
    info = case.book.sheets[number]
    for col, width in sheet.widths.items():
        have = next((w for first, last, w in info.widths if first <= col <= last), None)
        if have is not None and width >= READABLE and have < NARROW:
            yield _told(
                case,
                _top(case, number, col),
                f"the column is {have:g} characters wide, too narrow to read; this version has {width:g}",
            )
    for row, height in info.heights.items():
        if height < LOW and sheet.heights.get(row, TALL) >= TALL and (row, 0) in sheet.cells:
            yield _told(case, node(number, row, 0), f"the row is {height:g} points high, too low to read")
    gone = [flag for flag in sheet.flags if not _flagged(case, number, flag)]
    for flag in gone:
        row, col = flag.area[:2]
        words = f"cells with {flag.text!r} are no longer marked by color; this version marks them in {a1(row, col)} and below"
        yield _told(case, node(number, row, col), words)
    yield from _printed(case, sheet, number)


def _flagged(case: AuditContext, number: int, flag: Any) -> bool:
    row, col, last_row, last_col = flag.area
    for r, c in ((row, col), (last_row, last_col)):
        conditions = case.book.flag_at(number, r, c)
        if conditions is None or not any(
            (flag.text or flag.when)[:20].casefold() in text.casefold() for text in conditions
        ):
            return bool(flag.when) and conditions is not None
    return True


def _top(case: AuditContext, number: int, col: int) -> Node:
    """The first filled cell of a column."""
    last = case.book.sheets[number].last_row
    return next((at for row in range(last + 1) if case.book.filled(at := node(number, row, col))), node(number, 0, col))


def _printed(case: AuditContext, sheet: Any, number: int) -> Iterator[Finding]:
    from hayfuncs.workbook.page_setup import last_column, last_row

    text = next((n.text for n in case.book.names if n.name == "_xlnm.Print_Area" and n.sheet == number), "")
    where = quoted(sheet.name)
    if not text:
        yield Finding(
            "look",
            where,
            f"the sheet {sheet.name} has no print area; this version prints down to {a1(last_row(sheet), last_column(sheet))}",
            level="low",
        )
        return
    try:
        corners = [area(part.rpartition("!")[2].replace("$", "")) for part in text.split(",")]
    except BadAddress:
        return
    if max(c[2] for c in corners) < last_row(sheet) or max(c[3] for c in corners) < last_column(sheet):
        yield Finding(
            "look",
            where,
            f"the print area is {text[:80]}; this version prints down to {a1(last_row(sheet), last_column(sheet))}",
            level="low",
        )


def _charts(case: AuditContext, sheet: Any, number: int) -> Iterator[Finding]:
    info: SheetInfo = case.book.sheets[number]
    drawn = Counter(_target(text) for text in info.pictured)
    freezes = case.book.program.startswith(FREEZES)
    words = " ".join(" ".join(chart.words) for chart in info.charts)
    ends = [end for chart in info.charts for end in chart.ends]
    wanted = [end for p in sheet.pictures for pair in (p.x_range, p.y_range) for end in pair if end is not None]
    if len(info.charts) < len(sheet.pictures):
        yield Finding(
            "look",
            quoted(sheet.name),
            f"the sheet has {len(info.charts)} charts; this version draws {len(sheet.pictures)}",
            level="medium",
        )
        return
    for picture in sheet.pictures:
        at = node(number, picture.row, picture.col)
        series = [*picture.series, *([picture.line] if picture.line else [])]
        title, ways = picture.title, places(case.book)
        for ref in [title, *(text for s in series for text in (s.x, s.y))]:
            frozen = ref == title and freezes and len(words) > 0
            if not ref:
                continue
            target = _target(ways.today(ref, ""))
            missing = drawn[target] <= 0
            if not freezes and ref != title:  # the series of a chart may share their categories: each draws them
                drawn[target] -= 1
            if missing and not frozen:
                yield Finding(
                    "look", case.address(at), f"the chart no longer draws {ref}: {picture.alt[:80]}", at, level="medium"
                )
        for axis in (picture.x_title, picture.y_title):
            if axis and axis not in words:
                yield Finding(
                    "look", case.address(at), f"the chart's axis is no longer called {axis!r}", at, level="low"
                )
    for end in ends:
        if not any(abs(end - w) <= 1e-9 * max(1.0, abs(end)) for w in wanted) and sheet.pictures:
            at = node(number, sheet.pictures[0].row, sheet.pictures[0].col)
            yield Finding(
                "look",
                case.address(at),
                f"an axis of a chart of the sheet ends at {end:g}; this version lets it end elsewhere",
                at,
                level="medium",
            )


def covered(case: AuditContext) -> Iterator[Finding]:
    """Shapes over cells that hold something: what lies beneath is not seen."""
    for number, info in enumerate(case.book.sheets):
        for row, col, last_row, last_col in info.boxes:
            under = [
                at
                for r in range(row, min(last_row, row + 200) + 1)
                for c in range(col, min(last_col, col + 50) + 1)
                if case.book.filled(at := node(number, r, c))
            ]
            if under:
                numbers = any(isinstance(case.book.values.get(at), float) for at in under)
                words = f"a shape or picture lies over {case.area(under)}"
                yield Finding("covered", case.address(under[0]), words, under[0], level="" if numbers else "note")
