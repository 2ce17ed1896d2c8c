"""README and the pages beside it: short, linked to what is there, generated parts in their places."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hayfuncs.generate import pictures, readme

MOST_LINES = 250
LINK = re.compile(r"\]\((?!https?:)([^)#]+)\)")


@pytest.mark.parametrize(
    "name", [*readme.TEXTS, f"{readme.ABOUT}/speed.md", f"{readme.ABOUT}/commands.md", f"{readme.ABOUT}/sure.md"]
)
def test_every_link_leads_somewhere(name: str) -> None:
    path = readme.ROOT / name
    found = LINK.findall(path.read_text(encoding="utf-8"))
    assert found
    for link in found:
        assert (path.parent / link).resolve().is_file(), (name, link)


def test_readme_is_short_and_begins_with_the_job_and_two_commands() -> None:
    text = (readme.ROOT / "README.md").read_text(encoding="utf-8")
    assert text.count("\n") < MOST_LINES
    first = text.split("## One worked day")[0]
    assert first.count("\n") < 50
    for mark in ("<!-- demo command -->", "<!-- test command -->", "hall.png"):
        assert mark in first


@pytest.mark.parametrize(("name", "parts"), readme.TEXTS.items())
def test_each_text_holds_its_generated_parts(name: str, parts: tuple[str, ...]) -> None:
    text = (readme.ROOT / name).read_text(encoding="utf-8")
    assert tuple(re.findall(r"<!-- begin (\w+) -->", text)) == parts
    assert {part for parts in readme.TEXTS.values() for part in parts} == set(readme.PARTS)


def test_the_answers_of_a_real_excel_stand_in_the_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "no real Excel yet" in readme.agreement()
    head = "hayfuncs check list\tten minutes\nedition\tfunctions\nversion\t16.0 build 1\nsystem\tWindows 11\n"
    steps = "recalculated\tyes\t\nplain\tno\tone red cell\n"
    (tmp_path / "one.txt").write_text(head + steps + "checks not TRUE\t0\n", encoding="utf-8")
    (tmp_path / "two.txt").write_text(head + steps + "checks not TRUE\t2\ncheck\ttest_a\n", encoding="utf-8")
    monkeypatch.setattr(readme, "EXCEL_ANSWERS", tmp_path)
    lines = {line.split(" | ")[0]: line for line in readme.agreement().splitlines() if line.startswith("| ")}
    one = "Excel 16.0 build 1, Windows 11: "
    assert f"{one}all TRUE; {one}2 checks not TRUE |" in lines["| LAMBDA names (formulon)"]
    assert f"{one}no; {one}no |" in lines["| plain formulas (formulon)"]
    assert lines["| Excel for Windows, xlwings call path"].endswith("no real Excel yet |")


def test_the_pictures_are_there_and_small() -> None:
    found = sorted(Path(readme.ROOT / pictures.FOLDER).glob("*.png"))
    assert [path.stem for path in found] == sorted(pictures.PAGES)
    for path in found:
        assert path.read_bytes().startswith(b"\x89PNG")
        assert path.stat().st_size <= pictures.MOST_BYTES
