"""The hall's sheet on a screen of 1,280 x 800 and of 1,920 x 1,080, in LibreOffice under a virtual display.

Heights of letters are measured in pixels on the picture of the screen, against the height of that screen; nothing is
cut, nothing needs scrolling, and another hay, a dial and the way back are followed as Python says.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hosts import officelib
from played.playlib import InPython, Opened
from played.screenlib import Pixels, Screen, brightness, first_letter, ink, png

from hayfuncs.workbook.model import Book, a1, place_of
from hayfuncs.workbook.sheets import hall

pytestmark = pytest.mark.libreoffice
SCREENS = {"1280 x 800": (1280, 800), "1920 x 1080": (1920, 1080)}
# the least height of capitals, as a part of the height of the screen
LEAST = {hall.ANSWER: 1 / 20, hall.SECOND: 1 / 45, hall.CAUTION: 1 / 45, hall.LABELS: 1 / 70}
HALL = hall.NAME
EDGE = 3  # pixels at the left and right of a cell, where frames and the ends of pages are drawn
FRAME = 1  # pixels at its top and bottom: a line of a frame or of a page's end; letters that are cut go on below it
LAST = f"{a1(hall.PERCENT, len(hall.WIDE) - 1)}"
CHANGES = (("chosen_lot", "Section Ten"), ("chosen_group", "Late-pregnant cows"), ("dial_protein", 9.5), ("dial_price", 400.0))  # fmt: skip


@dataclass
class Meeting:
    screen: Screen
    office: officelib.Office
    book: Book
    path: Path
    key: str
    name: str


@pytest.fixture(scope="module", params=["functions", "plain"])
def edition(request: pytest.FixtureRequest, editions: Any, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, ...]:
    """An edition, and a profile of the office as its owner has it: the extension where its functions need it."""
    officelib.demand_office()
    profile = tmp_path_factory.mktemp("hall")
    if request.param == "functions":
        officelib.add_extension(profile, request.getfixturevalue("extension_file"))
    book, _, path = editions[request.param]
    return book, path, profile


@pytest.fixture(scope="module", params=list(SCREENS))
def meeting(
    request: pytest.FixtureRequest, edition: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Meeting]:
    book, path, profile = edition
    width, height = SCREENS[request.param]
    folder = tmp_path_factory.mktemp("screen")
    own = folder / "farm.xlsx"
    shutil.copy(path, own)
    screen = Screen(folder / "display", width, height)
    try:
        office = officelib.Office(profile, screen.display)
        try:
            yield Meeting(screen, office, book, own, office.show(str(own), width, height), request.param)
        finally:
            office.end()
    finally:
        screen.end()


def cell(meeting: Meeting, pixels: Pixels, row: int, col: int = 0, last: int | None = None) -> Pixels:
    """The part of the screen in which a cell, or a row of cells, stands."""
    x, y, width, height = meeting.office.where(
        meeting.key, HALL, f"{a1(row, col)}:{a1(row, col if last is None else last)}"
    )
    return pixels[y + FRAME : y + height - FRAME, x + EDGE : x + width - EDGE]


def test_it_opens_on_the_halls_sheet_and_all_of_it_is_in_the_window(meeting: Meeting) -> None:
    pixels = meeting.screen.still()
    (meeting.path.parent / f"hall {meeting.name}.png").write_bytes(png(pixels))
    name, top, left, bottom, right = meeting.office.seen(meeting.key)
    assert name == HALL
    assert (top, left) == (0, 0)
    assert bottom > hall.PERCENT
    x, y, width, height = meeting.office.where(meeting.key, HALL, f"A1:{LAST}")
    room = meeting.office.window(meeting.key)
    assert x + width <= room[0] + room[2]
    assert y + height <= room[1] + room[3]
    assert right >= len(hall.WIDE) - 1


@pytest.mark.parametrize("row", list(LEAST))
def test_letters_are_as_high_as_the_back_of_the_hall_needs(meeting: Meeting, row: int) -> None:
    pixels = meeting.screen.still()
    part = cell(meeting, pixels, row, last=len(hall.WIDE) - 1)
    high = first_letter(part[:, 2:])
    assert high >= int(LEAST[row] * meeting.screen.height), f"{high} pixels"


@pytest.mark.parametrize("row", [hall.ANSWER, hall.SECOND, hall.THIRD, hall.CAUTION, hall.PERCENT, hall.LABELS])
def test_nothing_is_cut(meeting: Meeting, row: int) -> None:
    """Between the letters and each side of their row there is paper."""
    part = cell(meeting, meeting.screen.still(), row, last=len(hall.WIDE) - 1)
    written = ink(part)
    assert written.any()
    for side in (written[0], written[-1], written[:, -1]):
        assert not side.any()


def test_the_pictures_stand_in_their_place(meeting: Meeting) -> None:
    """Dark bars on paper in both halves, and the words above them."""
    pixels = meeting.screen.still()
    x, y, width, height = meeting.office.where(
        meeting.key, HALL, f"{a1(hall.PICTURES, 0)}:{a1(hall.PERCENT - 1, len(hall.WIDE) - 1)}"
    )
    part = brightness(pixels[y : y + height, x : x + width])
    for half in (part[:, : width // 2], part[:, width // 2 :]):
        assert (half < 100).mean() > 0.03


def test_another_hay_and_a_dial_say_what_python_says(meeting: Meeting) -> None:
    python = InPython(meeting.book, meeting.path)
    opened = object.__new__(Opened)
    opened.office, opened.book, opened.path, opened.key = meeting.office, meeting.book, meeting.path, meeting.key
    rows = (hall.ANSWER, hall.SECOND, hall.THIRD, hall.CAUTION, hall.PERCENT)

    def both() -> tuple[list[Any], list[Any]]:
        found = meeting.office.read(meeting.key, HALL)
        wanted = python.formula_cells()
        return [found[row][0] for row in rows], [wanted[HALL, row, 0] for row in rows]

    shown, wanted = both()
    assert shown == wanted
    seen = {tuple(shown)}
    first = shown
    for name, value in CHANGES:
        place = place_of(meeting.book.names[name])[:3]
        for program in (opened, python):
            program.type(place, value)
        shown, wanted = both()
        assert shown == wanted, name
        seen.add(tuple(shown))
    assert len(seen) > len(CHANGES) - 1
    for name in ("dial_protein", "dial_price"):
        for program in (opened, python):
            program.type(place_of(meeting.book.names[name])[:3], None if program is python else "")
    for name, value in (("chosen_lot", "Heron Flat 1"), ("chosen_group", "Spring calvers in milk")):
        for program in (opened, python):
            program.type(place_of(meeting.book.names[name])[:3], value)
    shown, wanted = both()
    assert shown == wanted == first
