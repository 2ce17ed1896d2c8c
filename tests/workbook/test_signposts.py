"""Texts that send a reader somewhere: what they name is a tab, or is given with its tab."""

from __future__ import annotations

import re

import building
import openpyxl
import pytest
from where import Where

from hayfuncs.spreadsheet.tokens import CUT
from hayfuncs.workbook.build import FARM, PLAN
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import Place
from hayfuncs.workbook.signposts import Signposts

LONGEST = 255  # characters of a text within a formula, and of a prompt
# what is no part though it is named like one: fields, a farm press, a table's name, rows, a lot of the demo
OTHERS = (
    "North Bench", "The Stock Exchange", "Nutrient Requirement Tables", "Beef Ration Rules", "Cautions of the", "Feed book:", "Best: ",
    "Winter feeding", "Major Minerals", "Functions edition", "Functions listed", "Functions list", "Part ",
)  # fmt: skip


@pytest.fixture(scope="module", params=[(FARM, "functions"), (FARM, "plain"), (PLAN, "functions"), (PLAN, "plain")])
def file(request):
    kind, edition = request.param
    _, _, path = building.built(DEMO, edition, kind)
    return openpyxl.load_workbook(path)


def texts(file):
    """(tab, cell, words): cells, texts within formulas, prompts."""
    for sheet in file.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    found = getattr(cell.value, "text", cell.value)
                    for part in CUT.split(str(found))[1::2]:
                        if part[0] == '"':
                            yield sheet.title, cell.coordinate, part[1:-1]
                elif isinstance(cell.value, str):
                    yield sheet.title, cell.coordinate, cell.value
        for rule in sheet.data_validations.dataValidation:
            for words in (rule.prompt, rule.error):
                if words:
                    yield sheet.title, str(rule.sqref), words


def sends(file):
    """(tab, cell, the words before, the part named, the words behind) of each text that names a part in its middle."""
    where = Where(file)
    tabs = set(file.sheetnames)
    everything = sorted({*where.parts, *tabs}, key=len, reverse=True)
    named = re.compile(rf"(?<![\w/])({'|'.join(map(re.escape, everything))})(?![\w/!])")
    for tab, cell, words in texts(file):
        if "/#/" in words or re.match(r"[\w ]+/\w", words):
            continue  # the key of an input
        if words.startswith("▼ "):
            continue  # the head's link to the further parts of its own tab
        for found in named.finditer(words):
            before, behind = words[: found.start()], words[found.end() :]
            if found[1] in tabs or not re.search(r"[a-z,;(] ?$", before) or re.search(r"[Rr]ow of $", before):
                continue
            if any(other in words[max(0, found.start() - 25) : found.end() + 10] for other in OTHERS):
                continue
            yield tab, cell, before, where.parts[found[1]].tab, behind


def test_a_part_that_is_no_tab_is_named_with_its_tab(file):
    count, bad = 0, []
    for tab, cell, before, on, behind in sends(file):
        count += 1
        told = ("this tab",) if on == tab else (f"tab {on}",)
        if not behind.startswith(tuple(f"{opened}{one}" for one in told for opened in (" (", ", "))):
            bad.append((tab, cell, before[-50:], behind[:40]))
    assert bad == []
    assert count > 60


def test_no_text_sends_to_a_tab_that_is_not_there(file):
    missing = {"Plan", "Group months", "Stock months", "Winter budget", "Plain rule", "Month cards"} - set(
        file.sheetnames
    )
    sent = re.compile(rf"\b(?:see|read|on|the sheet|tab) ({'|'.join(missing or ('no such',))})\b")
    assert [(tab, cell, words) for tab, cell, words in texts(file) if sent.search(words)] == []


def test_no_text_is_longer_than_a_program_takes(file):
    assert [(tab, cell) for tab, cell, words in texts(file) if len(words) > LONGEST and file[tab][cell.split()[0].split(":")[0]].data_type == "f"] == []  # fmt: skip
    for sheet in file.worksheets:
        for rule in sheet.data_validations.dataValidation:
            assert len(rule.prompt or "") <= LONGEST


PLACES = {"One": Place("One", 0, None), "Up": Place("Both", 10, 25), "Down here": Place("Both", 40, None)}


@pytest.mark.parametrize(
    ("home", "text", "there"),
    [
        ("One", "see Up.", "see Up (tab Both)."),
        ("Down here", "see Up.", "see Up (this tab)."),
        ("One", "two tests (Up) and more", "two tests (Up, tab Both) and more"),
        ("One", "by the sheet Down here, and by Up", "by the part Down here (tab Both), and by Up (tab Both)"),
        ("Up", "as on One", "as on One"),
        ("One", "Up to nine; Up/#/name; row of Up; Upper; North Up", "Up to nine; Up/#/name; row of Up; Upper; North Up"),
        ("One", "see Up (tab Both).", "see Up (tab Both)."),
    ],
)  # fmt: skip
def test_the_tab_is_written_behind_the_part(home, text, there):
    assert Signposts(PLACES).said(text, home) == there
