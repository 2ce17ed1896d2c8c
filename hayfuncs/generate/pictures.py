"""README's pictures, from the farm's workbook of this repository as LibreOffice prints it.

Needs LibreOffice and poppler; the pictures are committed, and drawn again by
`python -m hayfuncs.generate --pictures` after a change of a sheet that they show.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

from hayfuncs.workbook import handout

FOLDER = "hayfuncs/pages/pictures"
WORKBOOK = "workbooks/hayfuncs-template-plain.xlsx"
WIDTH = 780  # pixels
GRAY = ("take-home",)  # as it is printed; smaller too
WAIT = 120  # seconds
MOST_BYTES = 150_000
# picture -> words of its page: the first page that has them is shown
PAGES = {
    "hall": "What do we feed?", "grid": "Which hay for which cattle?", "pile": "Does the pile last to grass?", "take-home": "Feed this now:",
}  # fmt: skip


def draw(root: Path) -> list[Path]:
    """Draw them all into the project's folder."""
    for tool in ("pdftoppm", "pdftotext"):
        if shutil.which(tool) is None:
            raise SystemExit(f"{tool} (poppler) is not installed")
    folder = root / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        (pdf,) = handout.convert(handout.office(), [Path(shutil.copy(root / WORKBOOK, work))], work)
        said = subprocess.run(["pdftotext", str(pdf), "-"], check=True, capture_output=True, text=True, timeout=WAIT)
        pages = said.stdout.split("\f")
        for picture, words in PAGES.items():
            found = [number for number, text in enumerate(pages, 1) if words in text]
            first = [number for number in found if pages[number - 1].lstrip().startswith(words)]
            if not found:
                raise SystemExit(f"no page of {WORKBOOK} says {words!r}")
            page = (first or found)[0]
            path = folder / f"{picture}.png"
            size = ["-scale-to-x", str(WIDTH), "-scale-to-y", "-1", *(["-gray"] if picture in GRAY else [])]
            command = ["pdftoppm", "-png", "-f", str(page), "-l", str(page), "-singlefile", *size]
            subprocess.run([*command, str(pdf), str(path.with_suffix(""))], check=True, timeout=WAIT)
            if path.stat().st_size > MOST_BYTES:
                raise SystemExit(f"{path.name} is larger than {MOST_BYTES:,} bytes")
            made.append(path)
    return made
