"""Words are spelled as an American producer spells them: on every sheet, in prompts, in README and in what functions say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook.model import is_formula

ROOT = Path(hayfuncs.__file__).parents[1]
BRITISH = re.compile(
    r"fibre|colour|mould|\bgrey|neighbour|\w*litres?\b|\bcentre|favour|labour|analys(?:e|ed|ing|er)\b|judgement|sulph"
    r"|behaviour|\w*metres?\b|\btonnes?\b|programme\b|plough|(?:recogn|organ|minim|maxim|summar|emphas|util)is(?:e|ed|es|ing)\b",
    re.I,
)


def british(texts: list[str]) -> list[str]:
    return [
        f"{m.group()}: {text[max(0, m.start() - 30) : m.end() + 30]}" for text in texts for m in BRITISH.finditer(text)
    ]


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_no_sheet_spells_otherwise(editions, edition: str) -> None:
    book = editions[edition][0]
    texts = []
    for sheet in book.sheets:
        if sheet.name == "Sources":
            continue  # titles as their publishers spell them
        texts += [sheet.title, sheet.sentence, *(picture.alt for picture in sheet.pictures)]
        for cell in sheet.cells.values():
            if cell.entry is not None:
                texts += [cell.entry.title, cell.entry.message]
            if is_formula(cell):
                texts += re.findall(r'"([^"]*)"', str(cell.content.formula()))
            elif isinstance(cell.content, str):
                texts.append(cell.content)
    assert len(texts) > 3000
    assert british(texts) == []


def test_no_page_of_the_project_and_no_function_spells_otherwise() -> None:
    texts = [(ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")]
    texts += [f"{record.summary} {getattr(hayfuncs, name.lower()).__doc__}" for name, record in CATALOGUE.items()]
    assert british(texts) == []


def test_the_judge_finds_a_word() -> None:
    assert british(["acid detergent fibre"]) == ["fibre: acid detergent fibre"]
    assert british(["fiber, analyses of hay, gray, mold"]) == []
