"""What is asked beside a plan stands in PLAN.xlsx too: as solved, with what it was solved for, and whether that still stands."""

from __future__ import annotations

import json
import re

import pytest
from building import SMALL, built
from typer.testing import CliRunner
from where import Parts

from hayfuncs import cli
from hayfuncs.audit.run import audit
from hayfuncs.hosts import engine
from hayfuncs.workbook.oldfile import read_old
from hayfuncs.workbook.sheets.plananswers import FITS, NAME

AGAIN = (
    "Solve it again, 1 change since it was solved: soybean hulls: price counted (was 210, now 77 $/ton as fed). "
    "All on Workings: Solved from."
)
FIRST = 8  # the first row of the table, from 1
PIN = f"{SMALL.groups[0].name}, Feb, soybean hulls = 2"


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    folder = tmp_path_factory.mktemp("asked")
    farm = built(SMALL, kind="farm")[2]
    out, data = folder / "PLAN.xlsx", folder / "PLAN.json"
    words = ["plan", str(farm), "--out", str(out), "--json", str(data), "--seconds", "20", "--pin", PIN, "--what-if", "--worth", "--before-winter"]  # fmt: skip
    done = CliRunner().invoke(cli.app, words)
    assert done.exit_code == 0, (done.output, done.exception)
    return out, json.loads(data.read_text()), done.stdout


def lines(path):
    sheet = Parts(path)[NAME]
    rows = []
    for row in range(FIRST, FIRST + 200):
        cells = [sheet.cell(row, col).value for col in range(1, 7)]
        if not cells[0]:
            break
        rows.append(cells)
    return rows


def test_what_if_stands_there_as_it_was_said_and_as_the_data_has_it(asked):
    path, data, said = asked
    rows = [row for row in lines(path) if row[0] == "What if"]
    assert [row[1] for row in rows] == [case["case"] for case in data["what_if"]]
    for row, case in zip(rows, data["what_if"], strict=True):
        assert row[2] == pytest.approx(case["cost"])
        assert row[4] == pytest.approx(case["hay_to_buy_tons"])
        assert f"${row[2]:,.0f}" in said
    assert rows[0][3] is None
    assert rows[1][3] == pytest.approx(data["what_if"][1]["cost"] - data["what_if"][0]["cost"])
    (robust,) = [row for row in lines(path) if row[0] == "Robust choice"]
    assert robust[5] == data["robust"]["words"]


def test_worth_before_the_winter_and_the_pin_stand_there(asked):
    path, data, said = asked
    rows = lines(path)
    worth = {row[1]: row for row in rows if row[0] == "Worth of a ton"}
    for lot in data["worth_by_the_plan"]["lots"]:
        assert worth[lot["name"]][2] == pytest.approx(lot["dollars_a_ton"])
        assert worth[lot["name"]][3] == lot["market"]
    assert [row[5] for row in rows if row[0] == "Before the winter"] == data["before_winter"]
    (pin,) = [row for row in rows if row[0] == "Pin"]
    assert pin[5].startswith("Pin kept: 2 lb of soybean hulls for ")
    assert " ".join(pin[5].split()) in " ".join(said.split())
    assert pin[2] == pytest.approx(data["pins"][0]["dollars"])


def test_it_says_what_it_was_solved_for_and_when_that_no_longer_stands(asked, tmp_path):
    path, _, _ = asked
    sheet = Parts(path)[NAME]
    assert re.fullmatch(r"feeding from 2027-02-10 to 2027-03-20, solved on \d{4}-\d\d-\d\d", sheet.cell(3, 5).value)
    where = Parts(path).where
    part = where.parts[NAME]

    def says(file):
        made = engine.load(file.read_bytes(), "HAY.")
        made.evaluate_all()
        return engine.plain_value(made.get_value(part.tab, 4 + part.down, 4))

    assert says(path) == FITS
    old = read_old(path)
    changed = tmp_path / "changed.xlsx"
    file = Parts(path)
    at = old.values["Feeds/1/price"]
    file.book[at.sheet][at.cell].value = 77
    file.save(changed)
    assert says(changed) == AGAIN


def test_no_more_than_eighteen_and_ten_tabs_and_the_audit_knows_them(asked):
    path, _, _ = asked
    assert len(Parts(path).book.sheetnames) <= 28
    case = audit(path)
    assert [f"{f.level} {f.rule} {f.cell}: {f.evidence[:200]}" for f in case.findings if f.above_note] == []


def test_a_plan_without_questions_has_no_such_part():
    assert NAME not in Parts(built(SMALL)[2])
