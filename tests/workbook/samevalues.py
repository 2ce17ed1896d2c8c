"""Two workbooks value by value, wherever the parts stand on their tabs: nothing but places may differ.

    python tests/workbook/samevalues.py OLD.xlsx NEW.xlsx
    python tests/workbook/samevalues.py --since REVISION      every edition of the demo, built from both

Each cell of the old workbook's parts must be in the new one, at the same row and column of the same part, with the
same value.  The heads of sheets (rows 1 to 4), the first sheet, and the lists that say where cells stand are left out:
they are what changed.  Prints each difference, the number of cells compared, and ends with 1 where there is any.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from where import Parts
from workbook.samebooks import ROOT, built

HEAD_ROWS = 4
LEFT_OUT = {"About", "Start", "Input list", "Contents"}


def values(path: Path) -> dict[tuple[str, int, int], Any]:
    """Part, row and column, from 1, of each filled cell: its stored value."""
    book = Parts(path, data_only=True)
    parts = book.where.parts
    listed = {part.tab for name, part in parts.items() if name != part.tab}
    found = {}
    for name in parts:
        if name in LEFT_OUT or (name in listed and parts[name].tab == name and parts[name].down == 0):
            continue
        for row, cells in enumerate(book[name].iter_rows(values_only=True), 1):
            if row > HEAD_ROWS:
                found.update({(name, row, col): v for col, v in enumerate(cells, 1) if v is not None})
    return found


def differences(before: dict[tuple[str, int, int], Any], after: dict[tuple[str, int, int], Any]) -> Iterator[str]:
    for at, value in before.items():
        if after.get(at) != value:
            yield f"{at}: {value!r}  ->  {after.get(at)!r}"


def told(old: Path, new: Path) -> int:
    before, after = values(old), values(new)
    found = list(differences(before, after))
    print(*found[:60], sep="\n")
    print(f"{new.name}: {len(before):,} values compared, {len(found):,} differ")
    return len(found)


def since(revision: str) -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source = folder / "source"
        source.mkdir()
        archive = subprocess.run(["git", "archive", revision], cwd=ROOT, capture_output=True, check=True).stdout
        subprocess.run(["tar", "-x", "-C", str(source)], input=archive, check=True)
        built(source, folder / "old", [])
        built(ROOT, folder / "new", [])
        return sum(told(old, folder / "new" / old.name) for old in sorted((folder / "old").iterdir()))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--since", default="")
    options = parser.parse_args()
    return 1 if (since(options.since) if options.since else told(*options.files)) else 0


if __name__ == "__main__":
    sys.exit(main())
