"""Each edition sent to each program that can be had here: the right number, or a sentence that says which to open.

Where a program does not know the functions, some cells may show a number made of what is missing;
then the head of every sheet must say so.
"""

from __future__ import annotations

import subprocess
import warnings
from pathlib import Path
from typing import Any

import building
import formulon
import pytest
from hosts.officelib import demand_gnumeric, environment
from played.playlib import Cells, Opened, differences
from where import Parts

from hayfuncs.spreadsheet.engine_values import plain_value
from hayfuncs.workbook.sheets.common import NOT_KNOWN

WAIT = 300  # seconds for a converter
HEAD = (2, 1)  # the cell of every tab that repeats the master check
SHOWN = 8  # differences named in a failure


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Any, Any, Path]]:
    """The small farm's: every sheet and every kind of formula is there."""
    return building.editions(tmp_path_factory.mktemp("small"), building.ROOMY)


def judge(editions: Any, edition: str, found: Cells, heads: dict[str, Any], knows: bool) -> None:
    """`heads` holds what the head of each tab says."""
    book, values, _ = editions[edition]
    if knows:
        wrong = differences(found, values)
        assert not wrong, f"{len(wrong)} of {len(values)}: {list(wrong.items())[:SHOWN]}"
    else:
        silent = [tab.name for tab in book.tabs if heads[tab.name] != NOT_KNOWN]
        assert not silent, f"no word on {silent}"


@pytest.mark.libreoffice
@pytest.mark.parametrize(
    ("program", "edition", "knows"),
    [
        ("office", "functions", True),
        ("office", "plain", True),
        ("office", "classic", False),
        ("bare_office", "functions", False),
        ("bare_office", "plain", True),
        ("bare_office", "classic", False),
    ],
)
def test_libreoffice(request: pytest.FixtureRequest, editions: Any, program: str, edition: str, knows: bool) -> None:
    book, _, path = editions[edition]
    opened = Opened(request.getfixturevalue(program), book, path)
    try:
        found = opened.calculated_whole()
        heads = {tab.name: opened.office.read(opened.key, tab.name)[HEAD[0]][HEAD[1]] for tab in book.tabs}
        judge(editions, edition, found, heads, knows)
    finally:
        opened.close()


@pytest.mark.libreoffice
def test_who_opens_the_functions_edition_without_the_functions_is_told_so_at_once(
    bare_office: Any, editions: Any
) -> None:
    """Calc works the calls out as it opens the file, and shows errors there: no head may say beside them that all holds."""
    book, _, path = editions["functions"]
    opened = Opened(bare_office, book, path)
    try:
        heads = [opened.office.read(opened.key, tab.name)[HEAD[0]][HEAD[1]] for tab in book.tabs]
        assert heads == [NOT_KNOWN] * len(book.tabs)
    finally:
        opened.close()


@pytest.mark.gnumeric
@pytest.mark.parametrize(("edition", "knows"), [("functions", False), ("plain", True), ("classic", False)])
def test_gnumeric(editions: Any, edition: str, knows: bool, tmp_path: Path) -> None:
    program = demand_gnumeric()
    book, _, path = editions[edition]
    made = tmp_path / "gnumeric.xlsx"
    command = [program, "--recalc", str(path), str(made)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=WAIT, env=environment())
    assert made.exists(), done.stderr
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # Gnumeric names no default style, which the reader remarks on
        file = Parts(made, data_only=True)
    found = {
        # dates as day numbers, as the sheet stores them
        (sheet.name, row, col): plain_value(file[sheet.name].cell(row + 1, col + 1).value)
        for sheet in book.sheets
        for row, col in sheet.cells
    }
    heads = {tab.name: file.book[tab.name].cell(HEAD[0] + 1, HEAD[1] + 1).value for tab in book.tabs}
    judge(editions, edition, found, heads, knows)


@pytest.mark.parametrize(("edition", "knows"), [("functions", True), ("plain", True), ("classic", False)])
def test_an_engine_by_pip(editions: Any, edition: str, knows: bool) -> None:
    book, _, path = editions[edition]
    running = formulon.Workbook.load(path.read_bytes())
    running.recalc()
    kinds = formulon.ValueKind
    found: Cells = {}
    tabs = [tab.name for tab in book.tabs]
    for sheet in book.sheets:
        for row, col in sheet.cells:
            tab, at, _ = book.at(sheet.name, row, col)
            got = running.get_value(tabs.index(tab), at, col)
            found[sheet.name, row, col] = {kinds.NUMBER: got.number, kinds.BOOL: got.boolean}.get(got.kind, got.text)
    heads = {tab: running.get_value(at, *HEAD).text for at, tab in enumerate(tabs)}
    judge(editions, edition, found, heads, knows)
