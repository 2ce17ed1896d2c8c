"""Kitchen table: the pages as paper, in gray: one page a group, its caution on it, nothing smaller than 12 points."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from building import SMALL, built
from hosts import officelib

from hayfuncs.workbook import build, handout
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.sheets.takehome import CLOSE_SAYS
from hayfuncs.workbook.sheets.takehomewords import AFTER

SMALLEST = 12.0  # points
A_POINT = 1.149  # a word's box against its size, in the face that stands for Arial
FOOT = 740  # points from the top: below it stands the foot of the page
DOTS = 100  # an inch, of the picture
DARK, CONTRAST = 110, 90  # of 255: ink, and the paper against it at the least


@dataclass(frozen=True)
class Word:
    text: str
    left: float
    top: float
    right: float
    bottom: float


def tool(name: str) -> str:
    found = shutil.which(name)
    if found is None and os.environ.get(officelib.REQUIRE):
        pytest.fail(f"{name} (poppler) is missing, and {officelib.REQUIRE} is set", pytrace=False)
    if found is None:
        pytest.skip(f"not run: {name} (poppler) is missing")
    return found


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    officelib.demand_office()
    book, values, _ = built(SMALL)
    folder = tmp_path_factory.mktemp("pages")
    made = handout.make(book, values, folder, False, lambda _: None, handout.office())
    return {path.name: path for path in made}


def pages(path: Path) -> list[list[Word]]:
    """The words of each page with their boxes, in points."""
    text = subprocess.run([tool("pdftotext"), "-bbox", str(path), "-"], capture_output=True, text=True, check=True, timeout=60).stdout  # fmt: skip
    pattern = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
    found = []
    for page in text.split("<page ")[1:]:
        found.append([Word(m[4], *map(float, m[:4])) for m in pattern.findall(page)])
    return found


def body(words: list[Word]) -> list[Word]:
    return [word for word in words if word.bottom < FOOT]


def picture(path: Path, page: int) -> np.ndarray:
    """A page in gray, 0 black to 255 white."""
    done = subprocess.run(
        [tool("pdftoppm"), "-gray", "-r", str(DOTS), "-f", str(page), "-l", str(page), str(path)],
        capture_output=True, check=True, timeout=60,
    )  # fmt: skip
    head = re.match(rb"P5\s(\d+) (\d+)\s255\s", done.stdout)
    assert head is not None
    wide, high = int(head[1]), int(head[2])
    return np.frombuffer(done.stdout[head.end() :], np.uint8).reshape(high, wide)


def of_groups(printed: dict[str, Path]) -> list[Path]:
    return [path for name, path in sorted(printed.items()) if name.startswith("take-home")]


@pytest.mark.libreoffice
def test_each_group_has_one_page(printed: dict[str, Path]) -> None:
    found = of_groups(printed)
    assert len(found) == len(SMALL.groups)
    for path, group in zip(found, SMALL.groups, strict=True):
        (page,) = pages(path)
        text = " ".join(word.text for word in page)
        assert text.startswith(f"{group.name}, {group.head} head")


@pytest.mark.libreoffice
def test_the_meeting_has_four_pages_and_each_month_a_card(printed: dict[str, Path]) -> None:
    assert len(pages(printed["meeting-handout.pdf"])) == 4
    book, values, _ = built(SMALL)
    for number, group in enumerate(SMALL.groups, 1):
        (name,) = (x for x in printed if x.startswith(f"month-cards-{number}-"))
        text = " ".join(word.text for page in pages(printed[name]) for word in page)
        months = [card for card in handout.monthcards.cards_of(book, number) if handout.holds(values, card)]
        assert text.count(f"{group.name}, {group.head} head") == len(months) >= 1


@pytest.mark.libreoffice
def test_nothing_is_smaller_than_twelve_points(printed: dict[str, Path]) -> None:
    for path in of_groups(printed):
        for page in pages(path):
            small = [w for w in body(page) if (w.bottom - w.top) / A_POINT < SMALLEST * 0.99]
            assert not small, (path.name, small[:5])


@pytest.mark.libreoffice
def test_the_caution_is_on_the_page(printed: dict[str, Path]) -> None:
    for path in of_groups(printed):
        text = " ".join(word.text for word in pages(path)[0])
        assert AFTER in text
        assert "Your vet decides" in text
        assert "Veterinarian:" in text
        assert "Fire service:" in text
    first = " ".join(word.text for word in pages(of_groups(printed)[0])[0])
    assert "Grass tetany" in first  # of the demo's first lot


@pytest.mark.libreoffice
def test_every_word_can_be_read_in_gray(printed: dict[str, Path]) -> None:
    for path in of_groups(printed):
        words, gray = body(pages(path)[0]), picture(path, 1)
        for word in words:
            if set(word.text) <= set("_–."):
                continue
            top, bottom, left, right = (round(x * DOTS / 72) for x in (word.top, word.bottom, word.left, word.right))
            part = gray[top:bottom, left:right].astype(int)
            assert part.min() < DARK, (path.name, word)
            assert np.median(part) - part.min() > CONTRAST, (path.name, word)


@pytest.mark.libreoffice
def test_the_page_says_what_python_says(printed: dict[str, Path]) -> None:
    book, values, _ = built(SMALL)

    def of(mark: str, number: int) -> Any:
        sheet, row, col, _, _ = place_of(book.marks["take_home_numbers"][mark])
        return values[sheet, row + number - 1, col]

    for number, path in enumerate(of_groups(printed), 1):
        text = " ".join(word.text for word in pages(path)[0])
        assert f"{of('out', number):,.0f} lb" in text
        assert f"{of('out_herd', number):,.0f} lb" in text
        fed = of("fed", number)
        none = CLOSE_SAYS if of("close", number) else "No feed: the hay is enough"
        for said in (f"{fed:,.2f} lb", f"{of('fed_herd', number):,.0f} lb") if fed else (none, "none"):
            assert said in text
        assert f"Set out {of('bales', number):.0f} bale" in text
        assert f"${of('cow_day', number):,.2f}" in text


@pytest.mark.libreoffice
def test_the_whole_farm_is_at_most_25_pages(tmp_path: Path) -> None:
    """Beside the head alone of each tab that is looked up on the screen."""
    officelib.demand_office()
    path = built(DEMO, "plain", build.FARM)[2]
    copy = Path(shutil.copy(path, tmp_path / "farm.xlsx"))
    (pdf,) = handout.convert(handout.office(), [copy], tmp_path)
    heads = ("Assumptions", "Checks", "Workings", "Reference")
    feet = [{word.text for word in page if word.bottom > max(w.bottom for w in page) - 5} for page in pages(pdf)]
    assert [name for name in heads if sum(name in foot for foot in feet) != 1] == []
    assert len(DEMO.groups) + 10 <= len(feet) - len(heads) <= 25
