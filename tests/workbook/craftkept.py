"""What is typed, named, checked and locked: points 28 to 46 of craft.tsv."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from workbook.craftlib import MIST, File, address, check, figure, filled

from hayfuncs import __version__
from hayfuncs.spreadsheet.a1 import place
from hayfuncs.spreadsheet.parser import ErrorLiteral, FunctionCall, NameRef, plain_name, walk

# names of answers, for a reader to jump to; no formula uses them
TO_JUMP_TO = {
    *("cost_per_cow_day", "supplement_by_pounds", "supplement_by_share", "groups_left_out"),
    *("hall_herd", "hall_low", "hall_high", "hall_margin"),
}
NO_RANGE = "A number on Lots counts before it"  # prompts that say this instead of a range
KINDS = {"balance", "range", "completeness", "basis", "reconciliation", "version", "published example"}
STRAW = "FFFFF6D8"  # the ground of what is typed
FIRST_ROW = 8  # of a table, below heads and units
LISTS = ("Lots", "Herd", "Feeds")  # whose first column is typed
# heads of what is in a hay, which is less as fed than dry; units that do not say of which they are
IN_HAY = re.compile(r"(?:TDN|protein|ADF|NDF|Ash|Fat|Lignin|Calcium|Phosphorus|Magnesium|Potassium|Sulfur|Sodium|Iron|Copper|Zinc"
                    r"|Manganese|Molybdenum|Selenium|Nitrate|Prussic|Ergovaline)", re.I)  # fmt: skip
SAYS_BASIS = re.compile(r"dry|as fed|DM|basis|wet", re.I)
NUMERAL = re.compile(r"\s*[-+$]?[\d,]*\.?\d+ ?%?\s*")
STRANGE_CODES = {-9, -99, -999, 99, 999, 9999}  # that stand for "missing" elsewhere


def rules(file: File) -> Iterator[tuple[Any, Any]]:
    for tab in file.tabs:
        yield from ((tab, rule) for rule in tab.data_validations.dataValidation)


@check(28)
def typed_cells_look_so(file: File) -> Iterator[str]:
    """What looks typed is open, what is open has a rule of what may be typed; but for the legend's example."""
    for number, (tab, info) in enumerate(zip(file.tabs, file.data.sheets, strict=True)):
        ruled = {
            (r, c)
            for rule in info.validations
            for a, b, e, f in rule.areas
            for r in range(a, e + 1)
            for c in range(b, f + 1)
        }
        for at in (at for at in file.data.styles if place(at)[0] == number):
            _, row, col = place(at)
            look = file.data.look(at)
            straw = look.fill == STRAW
            legend = tab.title == "Start" and file.data.values.get(at) == "example"
            if not look.locked and not (straw and (row, col) in ruled):
                yield f"{tab.title}!{address(at)} is open and does not look it, or takes anything"
            if look.locked and (straw or (row, col) in ruled) and not legend:
                yield f"{tab.title}!{address(at)} looks open and is not"


@check(29)
def messages(file: File) -> Iterator[str]:
    for tab, rule in rules(file):
        where = f"{tab.title}!{rule.sqref}"
        if not (rule.promptTitle and rule.prompt and rule.error and rule.showInputMessage and rule.showErrorMessage):
            yield f"{where} does not say what is possible"
        elif len(rule.promptTitle) > 32 or len(rule.errorTitle or "") > 32 or len(rule.prompt) > 255:
            yield f"{where} says too much"
        elif len(rule.error) > 225:
            yield f"{where} says too much when it refuses"
        elif rule.type in ("decimal", "whole") and not re.search(r"\d|any number", rule.error):
            if NO_RANGE not in rule.error:
                yield f"{where} names no range"


@check(30)
def refused(file: File) -> Iterable[str]:
    return [f"{tab.title}!{rule.sqref}" for tab, rule in rules(file) if (rule.errorStyle or "stop") != "stop"]


@check(31)
def lists_without_gaps(file: File) -> Iterator[str]:
    yield from (part for part in file.parts if part.startswith("xl/tables/"))
    open_cells = set(file.typed)
    for name in LISTS:
        row, gap = FIRST_ROW, 0
        while file.data.at(name, row - 1, 0) in open_cells:
            there = filled(file.book[name].cell(row, 1))
            if there and gap:
                yield f"{name} has nothing in row {gap}"
            gap = gap or (0 if there else row)
            row += 1
        if row == FIRST_ROW:
            yield f"{name} is not typed in from row {FIRST_ROW} on"


@check(32)
def names(file: File) -> Iterator[str]:
    used = {name.casefold() for p in file.patterns() for name in (*p.names, *p.calls)}
    trees = [tree for tree in file.formulas.name_trees.values() if tree is not None]
    for part in (part for tree in trees for part in walk(tree)):
        if isinstance(part, (NameRef, FunctionCall)):
            used.add(plain_name(part.name).casefold())
    elsewhere = " ".join(
        [text for part, text in file.parts.items() if part.startswith("xl/charts/chart")]
        + [rule.first for info in file.data.sheets for rule in info.validations]
        + [text for info in file.data.sheets for flag in info.flags for text in flag.conditions]
    )
    unused = set()
    for name in file.data.names:
        tree = file.formulas.name_trees.get(name.name.casefold())
        if name.name.startswith("_xlnm."):
            continue
        if tree is None or any(isinstance(part, ErrorLiteral) and part.value == "#REF!" for part in walk(tree)):
            yield f"{name.name} leads nowhere"
        if name.name.casefold() not in used and not re.search(rf"\b{re.escape(name.name)}\b", elsewhere):
            if not name.name.startswith("HAY."):  # a function is there to be called by the reader
                unused.add(name.name)
        if not re.fullmatch(r"[a-z][a-z0-9_]*|HAY\.[A-Z0-9_]+", name.name):
            yield f"{name.name} is not spelled as the others"
    yield from (f"{name} is used by nothing" for name in sorted(unused - TO_JUMP_TO))


@check(33)
def merged(file: File) -> Iterable[str]:
    return [f"{info.name}!{area}" for info in file.data.sheets for area in info.merged]


@check(34)
def numbers_as_text(file: File) -> Iterator[str]:
    """Where a number is asked for; a word of a list may look like one."""
    for info in file.data.sheets:
        number = [rule for rule in info.validations if rule.kind != "list"]
        for r1, c1, r2, c2 in (area for rule in number for area in rule.areas):
            for row, col in ((r, c) for r in range(r1, r2 + 1) for c in range(c1, c2 + 1)):
                value = file.data.values.get(file.data.at(info.name, row, col))
                if isinstance(value, str) and NUMERAL.fullmatch(value):
                    yield f"{info.name} row {row + 1}: {value}"


@check(35)
def missing_is_blank(file: File) -> Iterator[str]:
    for info in file.data.sheets:
        numeric = [rule for rule in info.validations if rule.kind in ("decimal", "whole", "date")]
        for r1, c1, r2, c2 in (area for rule in numeric for area in rule.areas):
            for row, col in ((r, c) for r in range(r1, r2 + 1) for c in range(c1, c2 + 1)):
                value = file.data.values.get(file.data.at(info.name, row, col))
                if value in STRANGE_CODES or (isinstance(value, str) and value != ""):
                    yield f"{info.name} row {row + 1}: {value}"


@figure(36)
def heads_without_a_basis(file: File) -> float:
    """Heads of what is in a hay or a feed, in parts of a whole that neither head nor unit names."""
    found = 0
    for tab, cell, look in file.cells:
        if look.italic and look.ground == MIST and cell.value in ("%", "ppm", "ppb"):
            head = str(file.shown(tab, tab.cell(cell.row - 1, cell.column).coordinate))
            found += bool(IN_HAY.match(head)) and not SAYS_BASIS.search(head)
    return found


def checked(file: File) -> Iterator[tuple[int, list[Any]]]:
    """The rows of Checks, with the values of their first eight columns."""
    tab = file.book["Checks"]
    row = FIRST_ROW
    while filled(tab.cell(row, 1)):
        yield row, [file.shown(tab, f"{col}{row}") for col in "ABCDEFGH"]
        row += 1


@check(37)
def every_check_is_whole(file: File) -> Iterator[str]:
    last = FIRST_ROW
    for row, (what, kind, value, relation, want, tolerance, unit, result) in checked(file):
        last = row
        numbers = all(isinstance(x, float) for x in (value, want, tolerance))
        if not (numbers and what and kind and unit and relation in ("equals", "at least", "at most")):
            yield f"Checks row {row} is not whole"
        if result != "holds":
            yield f"Checks row {row}: {result}"
    master = file.data.formulas[file.data.at("Checks", 4, 0)]
    if f"$H${FIRST_ROW}:$H${last}" not in master:
        yield f"the word over all checks leaves some out: {master[:80]}"


@check(38)
def the_word_is_on_every_tab(file: File) -> Iterator[str]:
    for tab in file.tabs:
        formula = file.data.formulas.get(file.data.at(tab.title, 2, 1), "")
        pane = tab.sheet_view.pane
        frozen = int(pane.ySplit or 0) if pane is not None else 0
        if "master_check" not in formula or not str(file.shown(tab, "B3")).startswith(("✓", "✗")):
            yield f"{tab.title} does not show it"
        if frozen < 3 and tab is not file.tabs[0]:
            yield f"{tab.title} loses it when it is scrolled"


@check(40)
def kinds_of_checks(file: File) -> Iterable[str]:
    return sorted(KINDS ^ {cells[1] for _, cells in checked(file)})


@check(41)
def locked_and_open_to_read(file: File) -> Iterator[str]:
    for tab in file.tabs:
        lock = tab.protection
        if not lock.sheet or lock.selectLockedCells or lock.password or lock.hashValue:
            yield tab.title
    if "<workbookProtection" in file.parts["xl/workbook.xml"]:
        yield "the workbook's own lock"
    hidden = {at for at in file.data.formulas if file.data.look(at).formula_hidden}
    yield from (f"{address(at)} hides its formula" for at in hidden)


@check(42)
def changes_are_told(file: File) -> Iterator[str]:
    start = file.book["Start"]
    lines = [(str(row[0].value), str(row[1].value)) for row in start.iter_rows(max_col=2)]
    told = lines[lines.index(("Changes", "None")) + 1 :] if ("Changes", "None") in lines else []
    if not told or told[0][0] != __version__:
        yield f"the newest change is not of {__version__}"
    for version, text in told:
        if not re.fullmatch(r"\d{1,2} [A-Z][a-z]{2} \d{4}: .+ Why: .+ Who: .+", text):
            yield f"{version}: {text[:60]}"
    yield from (tab.title for tab in file.tabs if __version__ not in str(tab.oddFooter.left.text))


@check(43)
def properties(file: File) -> Iterator[str]:
    core, own = file.book.properties, {one.name: str(one.value) for one in file.book.custom_doc_props.props}
    for name in ("title", "subject", "creator", "keywords", "description", "created"):
        if not getattr(core, name):
            yield f"no {name}"
    wanted = {"Language": "en-US", "Version": __version__, "Edition": file.edition}
    yield from (f"{name} is {own.get(name)}" for name, value in wanted.items() if own.get(name) != value)


@check(44)
def opens_at_home(file: File) -> Iterator[str]:
    if file.book.active.title != file.tabs[0].title:
        yield f"it opens on {file.book.active.title}"
    for tab in file.tabs:
        view = tab.sheet_view
        # each part of a frozen tab has its own cursor: at its first cell, or at the first of the tab
        for one in view.selection:
            corner = view.pane.topLeftCell if view.pane is not None else "A1"
            letters, digits = re.fullmatch(r"([A-Z]+)(\d+)", corner or "A1").groups()  # type: ignore[union-attr]
            if one.activeCell not in ("A1", corner, f"{letters}1", f"A{digits}"):
                yield f"{tab.title}: the cursor is at {one.activeCell}"
        if view.topLeftCell not in (None, "A1"):
            yield f"{tab.title} is scrolled to {view.topLeftCell}"
        if not 60 <= (view.zoomScale or 100) <= 150:
            yield f"{tab.title} opens at {view.zoomScale} %"


@check(46)
def no_programs(file: File) -> Iterator[str]:
    programs = r"(?i)vbaProject|activeX|embeddings|ctrlProp|macrosheets|oleObject"
    yield from (part for part in file.parts if re.search(programs, part))
    if "sheet.main+xml" not in file.parts["[Content_Types].xml"]:
        yield "it is not kept as a workbook without macros"
