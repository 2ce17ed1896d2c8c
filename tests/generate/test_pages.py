"""One page a function: whole, linked, the same each time, and the curve it shows is the function's."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

import hayfuncs
from hayfuncs.commands.functions import page as printed
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Record
from hayfuncs.generate import pages

FOLDER = Path(hayfuncs.__file__).parent / "pages"
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)


@each_record
def test_page_says_what_the_record_says(record: Record) -> None:
    path = FOLDER / f"{record.name}.md"
    assert path.exists(), "no page yet: python -m hayfuncs.generate --texts"
    text = path.read_text(encoding="utf-8")
    shown, caption = pages.curve(record)
    assert text == pages.page(record, caption), "python -m hayfuncs.generate --texts"
    for words in (record.equation, record.sheet_name, *(ref.evidence for ref in record.refs)):
        assert words in text
    assert (FOLDER / f"{record.name}.svg").exists() == bool(shown), (
        f"a picture is missing or left over: python -m hayfuncs.generate --texts, with matplotlib {pages.DRAWN_WITH}"
    )
    for link in re.findall(r"\]\(([^)]+)\)", text):
        assert (FOLDER / link).is_file(), f"{link} leads nowhere"


def test_the_index_lists_every_function_and_nothing_is_left_over() -> None:
    text = (FOLDER / pages.INDEX).read_text(encoding="utf-8")
    assert text == pages.index(), "python -m hayfuncs.generate --texts"
    assert re.findall(r"^\| \[(\w+)\]", text, flags=re.M) == sorted(
        CATALOGUE, key=[n for t in pages.TOPICS for n, r in CATALOGUE.items() if r.topic == t].index
    )
    assert {p.stem for p in FOLDER.glob("*.md")} == {*CATALOGUE, "index"}
    assert {p.stem for p in FOLDER.glob("*.svg")} <= set(CATALOGUE)


def test_a_picture_is_small_and_well_formed_and_names_its_axes() -> None:
    drawn = list(FOLDER.glob("*.svg"))
    assert len(drawn) > 50
    for path in drawn:
        text = path.read_text(encoding="utf-8")
        ElementTree.fromstring(text)
        assert len(text) < 40_000
        assert path.stem in text
        assert not re.search(r"20\d\d-\d\d-\d\d", text), "a date would differ with every drawing"


@pytest.mark.skipif(not pages.can_draw(), reason=f"not run: drawn with matplotlib {pages.DRAWN_WITH}")
def test_drawing_again_gives_the_same_picture() -> None:
    record = CATALOGUE["TDN_FROM_ADF"]
    shown, _ = pages.curve(record)
    assert shown
    assert pages.drawn(record, *shown) == pages.drawn(record, *shown)
    assert pages.drawn(record, *shown) == (FOLDER / "TDN_FROM_ADF.svg").read_text(encoding="utf-8")


def test_the_curve_is_the_functions_and_spans_its_fitted_range() -> None:
    shown, caption = pages.curve(CATALOGUE["TDN_FROM_ADF"])
    assert shown
    name, x, lines = shown
    arg = CATALOGUE["TDN_FROM_ADF"].args[name]
    assert isinstance(arg, Arg)
    assert arg.fit
    assert x[0] < arg.fit[0] < arg.fit[1] < x[-1]
    assert "shaded" in caption
    assert set(lines) == {
        "digestible dry matter",
        "western alfalfa",
        "legume net energy",
        "grass net energy",
        "corn silage",
    }
    assert lines["corn silage"][0] == pytest.approx(87.84 - 0.70 * x[0])


def test_a_page_in_the_terminal_has_no_picture() -> None:
    text = printed(CATALOGUE["TDN_FROM_ADF"])
    assert text.startswith("# TDN_FROM_ADF\n\nTDN of forage")
    assert ".svg" not in text
    assert "<!--" not in text
    assert "## Sources" in text
