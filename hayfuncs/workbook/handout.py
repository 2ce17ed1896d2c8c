"""Pages for paper: a group's page, its month cards and the meeting handout as PDF files, by LibreOffice.

The workbook is computed here and its values are frozen, so that what is printed is what Python says.
"""

from __future__ import annotations

import copy
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from hayfuncs.contract.files import UserError, refuse_overwrite, replacing
from hayfuncs.workbook import write
from hayfuncs.workbook.model import Book, Flagging, Sheet, is_formula
from hayfuncs.workbook.sheets import meeting, monthcards, takehome

PROGRAMS = ("soffice", "libreoffice")
PLACES = (
    "/usr/lib/libreoffice/program/soffice", "/opt/libreoffice/program/soffice",
    "/Applications/LibreOffice.app/Contents/MacOS/soffice", "C:/Program Files/LibreOffice/program/soffice.exe",
)  # fmt: skip
WAIT = 300  # seconds for the office to make all files
LONGEST_NAME = 40  # letters of a file's name
Rows = Sequence[tuple[int, int]]


@dataclass(frozen=True)
class Paper:
    """One file: its name, the sheet it is printed from, and the rows of its blocks (empty: the whole sheet)."""

    name: str
    sheet: str
    blocks: Rows
    a_page_each: bool = True


def office() -> str:
    """LibreOffice on this machine; where it is missing, what to print by hand instead."""
    for program in (*map(shutil.which, PROGRAMS), *PLACES):
        if program and Path(program).is_file():
            return program
    raise UserError(
        "LibreOffice makes the PDF files, and it is not found on this computer; install it, or open the workbook and print "
        f"the sheets {takehome.NAME}, {monthcards.NAME} and {meeting.NAME}: they are laid out for paper"
    )


def papers(book: Book, values: write.Values) -> list[Paper]:
    """What is printed: a page for each named group, its month cards where there is a plan, and the meeting handout."""
    found: list[Paper] = []
    for i, block in enumerate(book.marks["take_home_pages"]["rows"]):
        title = str(values[takehome.NAME, block[0], 0])
        if not title:
            continue  # a free row
        name = f"{i + 1}-{slug(title.rpartition(',')[0])}"
        found.append(Paper(f"take-home-{name}.pdf", takehome.NAME, (block,)))
        planned = monthcards.cards_of(book, i + 1) if "month_cards" in book.marks else ()
        cards = [card for card in planned if holds(values, card)]
        if cards:
            found.append(Paper(f"month-cards-{name}.pdf", monthcards.NAME, cards, a_page_each=False))
    return [*found, Paper("meeting-handout.pdf", meeting.NAME, ())]


def holds(values: write.Values, card: tuple[int, int]) -> bool:
    """Whether a card has a line to feed, or says why there is none."""
    first, last = card
    lines = [values.get((monthcards.NAME, row, 0), "") for row in range(first + 2, last)]
    return any(lines) or str(values.get((monthcards.NAME, last, 0), "")).startswith("✗")


def slug(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_NAME] or "group"


def frozen(book: Book, values: write.Values, paper: Paper) -> Book:
    """A workbook of this one page, with values in place of formulas."""
    source = book.by_name(paper.sheet)
    made = Book("plain", book.title)
    sheet = made.sheet(source.name, source.title, source.sentence, source.role)
    kept = {row for first, last in paper.blocks for row in range(first, last + 1)}
    for (row, col), cell in source.cells.items():
        if kept and row not in kept:
            continue
        content = values[source.name, row, col] if is_formula(cell) else cell.content
        sheet.put(row, col, content, cell.style, unit=cell.unit)
    sheet.widths, sheet.heights = (
        dict(source.widths),
        {r: h for r, h in source.heights.items() if not kept or r in kept},
    )
    sheet.pictures = [] if kept else copy.deepcopy(source.pictures)
    sheet.flags = [flag for flag in source.flags if isinstance(flag, Flagging) and not flag.when]
    sheet.portrait, sheet.printed_cols = source.portrait, source.printed_cols
    _rows(sheet, source, paper)
    return made


def _rows(sheet: Sheet, source: Sheet, paper: Paper) -> None:
    """Which rows are printed, and where a new page begins."""
    if not paper.blocks:
        sheet.printed_from, sheet.printed_rows, sheet.page_breaks = (
            source.printed_from,
            source.printed_rows,
            source.page_breaks,
        )
        return
    first, last = paper.blocks[0][0], paper.blocks[-1][1]
    sheet.printed_from, sheet.printed_rows = first, last + 1
    on_page = 1 if paper.a_page_each else monthcards.CARDS_ON_PAGE
    sheet.page_breaks = [block[0] for i, block in enumerate(paper.blocks) if i and i % on_page == 0]
    for before, after in zip(paper.blocks, paper.blocks[1:], strict=False):
        for row in range(before[1] + 1 + monthcards.GAP, after[0]):
            sheet.heights[row] = 0.0  # a month without a card leaves no gap


def make(
    book: Book, values: write.Values, folder: Path, force: bool, tell: Callable[[str], None], program: str
) -> list[Path]:
    """All files; nothing is written where one of them may not be."""
    wanted = papers(book, values)
    for paper in wanted:
        refuse_overwrite(folder / paper.name, force)
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        sheets = printed_from(book, values, wanted, work)
        tell("printing with LibreOffice")
        printed = convert(program, sheets, work)
        for paper, pdf in zip(wanted, printed, strict=True):
            with replacing(folder / paper.name, force) as beside:
                beside.write_bytes(pdf.read_bytes())
    return [folder / paper.name for paper in wanted]


def printed_from(book: Book, values: write.Values, wanted: Sequence[Paper], work: Path) -> list[Path]:
    """A workbook of values for each paper, in a folder."""
    made = []
    for paper in wanted:
        path = work / paper.name.replace(".pdf", ".xlsx")
        with path.open("wb") as file:
            write.values_alone(frozen(book, values, paper), file)
        made.append(path)
    return made


def convert(program: str, sheets: Iterable[Path], work: Path) -> list[Path]:
    """PDF files beside the workbooks; the office gets a profile of its own, so that one that is open is left alone."""
    sheets = list(sheets)
    command = [
        program, f"-env:UserInstallation={(work / 'profile').as_uri()}", "--headless", "--convert-to", "pdf",
        "--outdir", str(work), *map(str, sheets),
    ]  # fmt: skip
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=WAIT, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise UserError(
            f"{program} did not make the PDF files ({type(error).__name__}); nothing was written; try again"
        ) from None
    made = [path.with_suffix(".pdf") for path in sheets]
    if missing := [path.name for path in made if not path.is_file()]:
        why = (done.stderr or done.stdout).strip().splitlines()
        raise UserError(
            f"{program} made no {missing[0]}{': ' + why[-1] if why else ''}; nothing was written; open LibreOffice once, then try again"
        )
    return made
