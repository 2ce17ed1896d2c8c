"""Type what cannot be, or is odd, into the plain edition in the office, with no recalculation asked for.

The sentence shows no number and names the fault; a check fails under its own name; undone, all is as before.
"""

from __future__ import annotations

import re
from dataclasses import fields, replace

import pytest
from building import SMALL
from hosts import officelib

from hayfuncs.importers.model import Group
from hayfuncs.workbook import build
from hayfuncs.workbook.model import a1, place_of
from hayfuncs.workbook.sheets import whichhay
from hayfuncs.workbook.sheets.common import FIRST

LOT, COWS = SMALL.choice[0] or SMALL.lots[0].name, SMALL.choice[1] or SMALL.groups[0].name
# what is typed: (table, column, value); then the words that the sentence and the check have
FAULTS = {
    "0.08 for 8 %": ([("lots", "lab_cp_pct", 0.08)], f"{LOT}: protein under 2 %", "Lots: protein under 2 %"),
    "590 for a weight in kg": ([("herd", "weight", 590)], f"{COWS}: weight under 800 lb, typed in kg", "Herd: weight under 800 lb"),
    "ADF and NDF swapped": ([("lots", "lab_adf_pct", 63.5), ("lots", "lab_ndf_pct", 40.1)], f"{LOT}: ADF above NDF", "Lots: ADF above NDF"),
    "moisture for dry matter": ([("lots", "lab_dm_pct", 11.1)], f"{LOT}: dry matter under 60 %", "Lots: dry matter under 60 %"),
    "a lot twice": ([("other lot", "name", LOT)], f"{LOT}: name used twice", "Lots: name used twice"),
    "a row under the table": ([("under", "name", "Typed below")], "Filled cells under a table", "Filled cells under a table"),
}  # fmt: skip


class Desk:
    """The workbook open in the office, typed into cell by cell."""

    def __init__(self, office, book, path):
        self.office, self.book = office, book
        self.document = office.open(str(path))

    def row(self, table):
        names = {"lots": LOT, "herd": COWS}
        rows = {"lots": SMALL.lots, "herd": SMALL.groups}
        if table in names:
            return next(i for i, one in enumerate(rows[table]) if one.name == names[table])
        other = next(i for i, lot in enumerate(SMALL.lots) if lot.name != LOT)
        return other if table == "other lot" else len(SMALL.lots) + 1

    def cell(self, table, mark):
        real = "herd" if table == "herd" else "lots"
        col = self.book.marks[f"{real}_at"][mark]
        sheet, row, col = self.book.at("Herd" if real == "herd" else "Lots", FIRST + self.row(table), col)
        return sheet, a1(row, col)

    def put(self, table, mark, value):
        sheet, cell = self.cell(table, mark)
        self.office.unprotect(self.document, sheet)
        self.office.put(self.document, sheet, f"{cell}:{cell}", [[value]])

    def get(self, ref):
        sheet, row, col, _, _ = place_of(self.book.where(ref))
        cell = a1(row, col)
        return self.office.read(self.document, sheet, f"{cell}:{cell}")[0][0]

    def sentence(self):
        sheet = self.book.by_name("Ration")
        return " ".join(str(self.get(sheet.ref(row, 0))) for row in (7, 8))

    def failing(self):
        return [row[0] for row in self.office.read(self.document, "Checks")[FIRST:] if "FAILS" in row]


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    officelib.demand_office()
    folder = tmp_path_factory.mktemp("typed")
    path = folder / "farm.xlsx"
    book, _ = build.save(SMALL, path, "plain")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PATH", "/usr/bin:/bin")  # the office must find its own Python
        office = officelib.Office(folder / "profile")
    try:
        yield Desk(office, book, path)
    finally:
        office.end()


@pytest.mark.parametrize("fault", list(FAULTS))
def test_the_headline_shows_no_number_and_a_check_names_it(desk, fault):
    before, failing = desk.sentence(), desk.failing()
    assert re.search(r"\d lb", before)
    typed, named, check = FAULTS[fault]
    held = [(table, mark, desk.office.read(desk.document, *area(desk, table, mark))[0][0]) for table, mark, _ in typed]
    for table, mark, value in typed:
        desk.put(table, mark, value)
    said = desk.sentence()
    assert said.startswith("✗ No answer")
    assert named in said
    assert not re.search(r"\d lb of|Feed \d|\d lb TDN|\$", said)
    assert any(what.startswith(check) for what in desk.failing())
    assert str(desk.get(desk.book.names["master_check"])).startswith("✗")
    assert str(desk.get(desk.book.names["verdict_withheld"])).startswith("✗")
    for table, mark, value in held:
        desk.put(table, mark, value)
    assert desk.sentence() == before
    assert desk.failing() == failing


def area(desk, table, mark):
    sheet, cell = desk.cell(table, mark)
    return sheet, f"{cell}:{cell}"


def test_one_word_beside_it_accepts_what_is_odd(desk):
    before = desk.sentence()
    dm = SMALL.lots[desk.row("lots")].dm_pct
    desk.put("lots", "lab_dm_pct", 52)
    assert desk.sentence().startswith("✗")
    desk.put("lots", "accepted", "baleage")
    assert not desk.sentence().startswith("✗")
    desk.put("lots", "accepted", None)
    desk.put("lots", "lab_dm_pct", dm)
    assert desk.sentence() == before


NEW_LOT = {
    "name": "Late Field",
    "forage": "grass",
    "basis": "dry",
    "lab_dm_pct": 88.0,
    "lab_cp_pct": 7.1,
    "lab_adf_pct": 42.5,
    "lab_ndf_pct": 65.0,
}
NEW_GROUP = {"name": "Bought cows", "head": 12, "weight": 1200, "month": 10, "milk": 18, "calf": 80, "score": 5}


def test_what_is_typed_into_the_free_rows_counts_at_once_and_cleared_is_gone(tmp_path_factory, bare_office):
    """No sheet is unprotected; what the office then shows is what a workbook built with them says."""
    farm = replace(SMALL, free_lots=1, free_groups=1)
    book, _ = build.save(farm, path := tmp_path_factory.mktemp("free") / "farm.xlsx", "plain", kind=build.FARM)
    document = bare_office.open(str(path))
    lots, groups = len(SMALL.lots), len(SMALL.groups)

    def typed(sheet, table, number, values):
        for mark, value in values.items():
            cell = a1(FIRST + number, book.marks[table][mark])
            bare_office.put(document, sheet, f"{cell}:{cell}", [[value]])

    def grid():
        first, last = (a1(FIRST + row, whichhay.GROUPS + col) for row, col in ((0, 0), (lots, groups)))
        return bare_office.read(document, "Which hay", f"{first}:{last}")

    before = grid()
    assert [row[-1] for row in before] == [""] * (lots + 1)
    assert before[-1] == [""] * (groups + 1)
    typed("Lots", "lots_at", lots, NEW_LOT)
    typed("Herd", "herd_at", groups, NEW_GROUP)
    after = grid()
    like = replace(
        SMALL.lots[0],
        name=NEW_LOT["name"],
        forage="grass",
        basis="dry",
        dm_pct=88.0,
        cp_pct=7.1,
        adf_pct=42.5,
        ndf_pct=65.0,
    )
    bare = {
        f.name: None
        for f in fields(like)
        if f.name.endswith(("_pct", "_ppm", "_ppb")) and f.name not in ("dm_pct", "cp_pct", "adf_pct", "ndf_pct")
    }
    cows = Group("Bought cows", 12, 1200, 10, 18, 80, 5)
    wanted = build.save(
        replace(SMALL, lots=(*SMALL.lots, replace(like, **bare)), groups=(*SMALL.groups, cows)),
        path.with_name("built.xlsx"),
        "plain",
        kind=build.FARM,
    )[1]
    said = [
        [wanted["Which hay", FIRST + row, whichhay.GROUPS + col] for col in range(groups + 1)]
        for row in range(lots + 1)
    ]
    assert after == said
    assert "FAILS" not in [cell for row in bare_office.read(document, "Checks") for cell in row]
    typed("Lots", "lots_at", lots, dict.fromkeys(NEW_LOT))
    typed("Herd", "herd_at", groups, dict.fromkeys(NEW_GROUP))
    assert grid() == before
    bare_office.close(document)
