"""README's pictures, from the demo workbook as LibreOffice shows it on paper.

Needs LibreOffice and poppler's pdftoppm; the pictures are committed, and drawn again by
`python -m hayfuncs.generate --pictures` after a change of a sheet that they show.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

from hayfuncs.workbook import handout, write
from hayfuncs.workbook.build import build
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.handout import Paper
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets import takehome

FOLDER = "hayfuncs/pages/pictures"
WIDTH = 800  # pixels
WAIT = 120  # seconds
MOST_BYTES = 150_000
# picture -> sheets it may be of, the first that the workbook has
SHEETS = {"hall": ("Hall", "What to feed", "Ration"), "grid": ("Which hay", "Verdict"), "pile": ("Hay pile",)}


def papers(book: Book) -> Iterator[Paper]:
    """The pages that are shown, each the first page of what it is printed from."""
    named = {sheet.name for sheet in book.sheets}
    for picture, sheets in SHEETS.items():
        found = next((name for name in sheets if name in named), None)
        if found is None:
            raise SystemExit(f"no sheet for the picture {picture}: {', '.join(sheets)}")
        yield Paper(f"{picture}.pdf", found, ())
    yield Paper("take-home.pdf", takehome.NAME, (book.marks["take_home_pages"]["rows"][0],))


def draw(root: Path) -> list[Path]:
    """Draw them all into the project's folder."""
    drawer = shutil.which("pdftoppm")
    if drawer is None:
        raise SystemExit("pdftoppm (poppler) is not installed")
    book = build(DEMO)
    values = write.compute(book)
    folder = root / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        wanted = list(papers(book))
        sheets = handout.printed_from(book, values, wanted, work)
        for pdf in handout.convert(handout.office(), sheets, work):
            picture = folder / pdf.with_suffix(".png").name
            command = [drawer, "-png", "-f", "1", "-singlefile", "-scale-to-x", str(WIDTH), "-scale-to-y", "-1"]
            subprocess.run([*command, str(pdf), str(picture.with_suffix(""))], check=True, timeout=WAIT)
            if picture.stat().st_size > MOST_BYTES:
                raise SystemExit(f"{picture.name} is larger than {MOST_BYTES:,} bytes")
            made.append(picture)
    return made
