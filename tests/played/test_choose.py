"""Choosing and typing in the real program: every cell follows, after the first change as after the last.

Nothing asks the office to calculate before its cells are read.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import building
import pytest
from played.playlib import Change, InPython, Opened, another, choosers, differences, some_inputs

from hayfuncs.workbook.model import place_of

pytestmark = pytest.mark.libreoffice
SEED = 41
INPUTS = 20
SHOWN = 8  # differences named in a failure


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Any, Any, Path]]:
    """The small farm's: every sheet is there, and each is calculated again after each change."""
    return building.editions(tmp_path_factory.mktemp("small"), building.ROOMY)


@pytest.fixture(params=["functions", "plain"])
def edition(request: pytest.FixtureRequest, editions: Any) -> tuple[Any, Any, Any]:
    """An edition's office (with the extension where its functions need it), model and file."""
    office = request.getfixturevalue("office" if request.param == "functions" else "bare_office")
    book, _, path = editions[request.param]
    return office, book, path


def told(where: str, changes: list[Change], wrong: dict[str, Any]) -> str:
    shown = "; ".join(f"{cell}: shows {a!r}, right is {b!r}" for cell, (a, b) in list(wrong.items())[:SHOWN])
    return f"{where} after {changes[-1] if changes else 'opening'}: {len(wrong)} cells: {shown}"


def play(edition: tuple[Any, Any, Any], changes: list[Change], read_each: bool = True) -> list[str]:
    """Open, make the changes one after another, read every cell; at the end a hard recalculation.  The faults in words.

    Python is asked after each change.  The recalculation comes last, since it would mend what it is to find.
    """
    office, book, path = edition
    played, python = Opened(office, book, path), InPython(book, path)
    faults: list[str] = []
    shown = {}
    try:
        for number, (place, value) in enumerate(changes, 1):
            for program in (played, python):
                program.type(place, value)
            if read_each or number == len(changes):
                shown = played.every_cell()
                if wrong := differences(shown, python.formula_cells()):
                    faults.append(told("against Python", changes[:number], wrong))
        if wrong := differences(shown, played.calculated_whole()):
            faults.append(told("against a hard recalculation", changes, wrong))
    finally:
        played.close()
    return faults


def chosen(edition: tuple[Any, Any, Any], wanted: tuple[str, ...] = ()) -> list[Change]:
    """One change of each chooser, or of those named."""
    _, book, path = edition
    rng, python = random.Random(SEED), InPython(book, path)
    places = [place_of(book.names[name])[:3] for name in wanted] or choosers(book)
    found = [(place, another(rng, python, place)) for place in places]
    return [(place, value) for place, value in found if value is not None]


@pytest.mark.parametrize("chooser", ["chosen_lot", "chosen_group", "chosen_feed"])
def test_the_first_change_after_opening_is_followed(edition: Any, chooser: str) -> None:
    changes = chosen(edition, (chooser,))
    assert len(changes) == 1
    faults = play(edition, changes)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("read_each", [True, False], ids=["each looked at", "looked at in the end"])
def test_changes_one_after_another_are_followed(edition: Any, read_each: bool) -> None:
    """Every chooser, then inputs of every kind; half of them unread, as in a window that shows another sheet."""
    _, book, path = edition
    first = chosen(edition)
    more = some_inputs(random.Random(SEED), InPython(book, path), INPUTS, [place for place, _ in first])
    assert len(first) >= 3
    assert len(more) == INPUTS
    half = INPUTS // 2
    faults = play(edition, [*first, *more[:half]] if read_each else more[half:], read_each)
    assert not faults, "\n".join(faults)


def test_opening_alone_changes_no_cell(edition: Any, editions: Any) -> None:
    """What was stored is what is shown, to the last blank of a text; and the office need not save it."""
    office, book, path = edition
    _, values, _ = editions[book.edition]
    played = Opened(office, book, path)
    try:
        assert not (wrong := differences(played.every_cell(), values)), told("against the file", [], wrong)
        assert not office.changed(played.key)
    finally:
        played.close()
