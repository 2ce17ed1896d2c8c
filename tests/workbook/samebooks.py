"""Two workbooks cell by cell: formula, value, style, validation, print set-up.

    python tests/workbook/samebooks.py OLD.xlsx NEW.xlsx     two files
    python tests/workbook/samebooks.py --since REVISION      every edition of the demo (or --edition NAME), built from both

Prints each difference and their number; ends with 1 where there is any.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

ROOT = Path(__file__).resolve().parents[2]
LOOKS = ("font", "fill", "border", "alignment", "protection", "number_format")
PRINT = ("print_area", "print_title_rows", "print_title_cols", "freeze_panes")
SET_UP = ("orientation", "paperSize", "scale", "fitToWidth", "fitToHeight")
BUILD = """
import sys
from pathlib import Path
from hayfuncs.workbook.build import EDITIONS, save
from hayfuncs.workbook.farm import DEMO
for edition in sys.argv[2:] or EDITIONS:
    save(DEMO, Path(sys.argv[1]) / f"{edition}.xlsx", edition, force=True)
"""


def cells(sheet: Worksheet, values: Worksheet) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for row in sheet.iter_rows():
        for cell in row:
            content = cell.value
            text = getattr(content, "text", None) or content
            looks = [repr(getattr(cell, k)) for k in LOOKS] if cell.has_style else []
            link = cell.hyperlink.location if cell.hyperlink else None
            if text is not None or looks or link:
                found[f"{sheet.title}!{cell.coordinate}"] = (text, values[cell.coordinate].value, looks, link)
    return found


def around(sheet: Worksheet) -> dict[str, Any]:
    """What is not in a cell: validations, flags, widths, heights, print set-up."""
    title = sheet.title
    found: dict[str, Any] = {f"{title} {k}": getattr(sheet, k) for k in PRINT}
    found |= {f"{title} {k}": getattr(sheet.page_setup, k) for k in SET_UP}
    found[f"{title} breaks"] = [b.id for b in sheet.row_breaks.brk] + [-b.id for b in sheet.col_breaks.brk]
    found[f"{title} zoom"] = sheet.sheet_view.zoomScale
    found |= {f"{title} width {k}": v.width for k, v in sheet.column_dimensions.items()}
    found |= {f"{title} height {k}": v.height for k, v in sheet.row_dimensions.items()}
    for check in sheet.data_validations.dataValidation:
        words = (
            check.type,
            check.operator,
            check.formula1,
            check.formula2,
            check.promptTitle,
            check.prompt,
            check.error,
        )
        for area in str(check.sqref).split():
            found[f"{title} validation {area}"] = words
    for area in sheet.conditional_formatting:
        found[f"{title} flags {area.sqref}"] = sorted(f"{r.type} {r.operator} {r.formula} {r.text}" for r in area.rules)
    return found


def pictures(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as parts:
        return {n: parts.read(n) for n in parts.namelist() if "/charts/" in n or "/drawings/" in n}


def contents(path: Path) -> dict[str, Any]:
    book, values = openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True)
    found: dict[str, Any] = {"sheets": book.sheetnames}
    found |= {f"name {k}": v.attr_text for k, v in book.defined_names.items()}
    for sheet in book.worksheets:
        found |= cells(sheet, values[sheet.title]) | around(sheet)
    return found | pictures(path)


def short(content: Any) -> str:
    """A cell's text, value and link, and a mark of its looks, in one line."""
    if isinstance(content, tuple) and len(content) == 4:
        text, value, looks, link = content
        content = (text, value, f"looks {zlib.crc32(repr(looks).encode()):x}", link)
    return str(content)[:300]


def differences(old: Path, new: Path) -> Iterator[str]:
    before, after = contents(old), contents(new)
    for key in [*before, *(k for k in after if k not in before)]:
        if before.get(key) != after.get(key):
            yield f"{key}: {short(before.get(key))}  ->  {short(after.get(key))}"


def built(source: Path, folder: Path, editions: list[str]) -> None:
    folder.mkdir()
    subprocess.run(
        [sys.executable, "-c", BUILD, str(folder), *editions], cwd=source, env={"PYTHONPATH": str(source)}, check=True
    )


def since(revision: str, editions: list[str]) -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source = folder / "source"
        source.mkdir()
        archive = subprocess.run(["git", "archive", revision], cwd=ROOT, capture_output=True, check=True).stdout
        subprocess.run(["tar", "-x", "-C", str(source)], input=archive, check=True)
        built(source, folder / "old", editions)
        built(ROOT, folder / "new", editions)
        return sum(told(old, folder / "new" / old.name) for old in sorted((folder / "old").iterdir()))


def told(old: Path, new: Path) -> int:
    found = list(differences(old, new))
    print(*found[:60], sep="\n")
    print(f"{new.name}: {len(found)} differ")
    return len(found)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--since", default="")
    parser.add_argument("--edition", action="append", default=[], help="only this edition (may be said again)")
    options = parser.parse_args()
    return 1 if (since(options.since, options.edition) if options.since else told(*options.files)) else 0


if __name__ == "__main__":
    sys.exit(main())
