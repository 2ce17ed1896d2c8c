"""LibreOffice as a further engine, where it is installed and asked for: slow, and the best witness beside the first.

It never opens the user's file.  It is given one of ours, which holds the values, the names and only those formulas
that are asked about; none that fetches, links or changes by itself.
"""

from __future__ import annotations

import contextlib
import subprocess
import tempfile
from collections.abc import Iterable
from pathlib import Path

from hayfuncs.audit.graph import OUTWARD, VOLATILE, Formulas
from hayfuncs.audit.recompute import as_value
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.a1 import Node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData
from hayfuncs.spreadsheet.reader import read

WAIT = 120.0  # seconds for the office
MOST = 500  # cells that are asked about


def answers(book: WorkbookData, formulas: Formulas, cells: Iterable[Node]) -> dict[Node, Value]:
    """What LibreOffice makes of these cells over the stored values; nothing where it is missing or fails."""
    from hayfuncs.workbook.handout import office

    wanted = [at for at in cells if _harmless(formulas, at)][:MOST]
    if not wanted:
        return {}
    try:
        program = office()
    except UserError:
        return {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        asked = folder / "asked.xlsx"
        _write(book, wanted, asked)
        command = [
            program, "--headless", "--norestore", f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--convert-to", "xlsx", "--outdir", str(folder / "out"), str(asked),
        ]  # fmt: skip
        try:
            subprocess.run(command, capture_output=True, timeout=WAIT, check=False)
            made = read(folder / "out" / asked.name)
        except (OSError, subprocess.SubprocessError, UserError):
            return {}
    return {at: as_value(made.values.get(at)) for at in wanted}


def _harmless(formulas: Formulas, at: Node) -> bool:
    pattern = formulas.of[at]
    calls = {name.upper() for name in pattern.calls}
    return not (
        pattern.external or pattern.tables or pattern.hay or calls & (OUTWARD | VOLATILE) or at in formulas.book.arrays
    )


def _write(book: WorkbookData, wanted: list[Node], path: Path) -> None:
    """The sheets in the file's order; formulas without a value, so that the office must work them out."""
    from openpyxl import Workbook
    from openpyxl.cell import Cell
    from openpyxl.workbook.defined_name import DefinedName

    made = Workbook()
    made.remove(made.worksheets[0])
    sheets = [made.create_sheet(info.name) for info in book.sheets]
    asked = set(wanted)
    for at, value in book.values.items():
        if value is None or at in asked:
            continue
        sheet, row, col = place(at)
        cell = sheets[sheet].cell(row + 1, col + 1)
        assert isinstance(cell, Cell)
        with contextlib.suppress(ValueError):  # a sign that no file may hold
            cell.value = value
            cell.data_type = "e" if isinstance(value, ErrorValue) else "s" if isinstance(value, str) else cell.data_type
    for at in wanted:
        sheet, row, col = place(at)
        sheets[sheet].cell(row + 1, col + 1).value = f"={book.formulas[at]}"
    for name in book.names:
        if name.sheet is None and "[" not in name.text and "(" not in name.text:
            made.defined_names[name.name] = DefinedName(name.name, attr_text=name.text.removeprefix("="))
    made.save(path)
