"""hayfuncs plan as a person uses it, and the way from two lab files and a herd list to a winter workbook."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from where import Parts, Where

import hayfuncs
from hayfuncs.hosts import engine
from hayfuncs.workbook.oldfile import read_old

HERE = {**os.environ, "PYTHONPATH": str(Path(hayfuncs.__file__).parents[1])}


def run(*args: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hayfuncs.cli", *args], cwd=cwd, env=HERE, capture_output=True, text=True, timeout=300
    )


@pytest.fixture
def farm(editions, tmp_path):
    """The function edition of the demo as FARM.xlsx, and a way to type into it."""
    return laid_in(tmp_path, *editions["functions"][::2])


def laid_in(tmp_path, book, path):
    (tmp_path / "FARM.xlsx").write_bytes(path.read_bytes())

    def typed(changes):
        file = Parts(tmp_path / "FARM.xlsx")
        for key, value in changes.items():
            sheet, row, col = book.inputs[key]
            file[sheet].cell(row + 1, col + 1).value = value
        file.save(tmp_path / "FARM.xlsx")

    return tmp_path, typed


def sheet_values(path, name, rows=120, cols=8):
    made = engine.load(path.read_bytes())
    made.evaluate_all()
    part = Where(path).parts[name]
    return engine.values(made, part.tab, rows, cols, part.down + 1)


def test_it_prints_the_plan_by_month_what_to_buy_and_the_plain_rule(farm, editions):
    folder, _ = farm
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 0, done.stderr
    plan = editions["functions"][0].marks["solved"].plan
    for words in (
        "Winter plan, 1 Dec 2026 to 20 Apr 2027: pounds as fed", "Mar 2027, 31 days", "First-calf mothers, 16 head", "To buy",
        f"{plan.purchases[0].name:<12}", f"${plan.budget.total:,.0f}", f"${plan.budget.per_head:,.2f} a head", "The plain rule", "at turnout",
        "Written: PLAN.xlsx",
    ):  # fmt: skip
        assert words in done.stdout, (words, done.stdout)
    first = plan.rows[0]
    assert f"{first.lb_head_day:.1f} lb {first.name}" in done.stdout
    assert "Traceback" not in done.stderr
    banner = sheet_values(folder / "PLAN.xlsx", "Winter budget")
    assert f"${plan.budget.total:,.0f}" in banner[4][0]
    assert str(banner[2][1]).startswith("✓")


def test_amounts_typed_on_the_plan_are_solved_anew_but_other_inputs_stay(farm, editions):
    folder, typed = farm
    typed({"Plan/1/lb": 3.0, "Plan/2/feed": "barley", "Assumptions/shrink_pct": 5, "Feeds/7/price": 111})
    assert run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder).returncode == 0
    old = read_old(folder / "PLAN.xlsx")
    assert old.get("Assumptions/shrink_pct") == 5
    assert old.get("Feeds/7/price") == 111
    rebuilt = run("rebuild", "FARM.xlsx", "KEPT.xlsx", cwd=folder)
    assert rebuilt.returncode == 0, rebuilt.stderr
    kept = read_old(folder / "KEPT.xlsx")
    assert (kept.get("Plan/1/lb"), kept.get("Plan/2/feed")) == (3.0, "barley")
    assert old.get("Plan/1/lb") != 3.0
    words = sheet_values(folder / "KEPT.xlsx", "Winter budget")[6][0]
    assert words == "The plan no longer fits your entries. Solve it again."


def test_dates_are_options(farm):
    folder, _ = farm
    done = run(
        "plan",
        "--hays",
        "cheapest",
        "FARM.xlsx",
        "--out",
        "PLAN.xlsx",
        "--start",
        "2026-11-20",
        "--turnout",
        "2027-03-05",
        cwd=folder,
    )
    assert done.returncode == 0, done.stderr
    assert "20 Nov 2026 to 5 Mar 2027" in done.stdout
    assert "Mar 2027, 4 days" in done.stdout
    again = run("plan", "--hays", "cheapest", "PLAN.xlsx", "--out", "AGAIN.xlsx", cwd=folder)
    assert "20 Nov 2026 to 5 Mar 2027" in again.stdout


def test_what_cannot_be_fed_is_named_and_nothing_is_written(farm, editions):
    folder, typed = farm
    book = editions["functions"][0]
    no = {key: 0 for key in book.inputs if re.fullmatch(r"Winter (supplements|offers)/\d+/allowed", key)}
    typed({**no, **{f"Lots/{i}/tons": 2 for i in range(1, 11)}, **{f"Register/{i}/bales": None for i in range(1, 11)}})
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 1
    assert re.search(r"Spring calvers in milk, Dec 2026: TDN short by [\d.]+ lb a head a day", done.stdout)
    assert "Nothing was written" in done.stdout
    assert not (folder / "PLAN.xlsx").exists()
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", "--anyway", cwd=folder)
    assert done.returncode == 1
    assert "Written: PLAN.xlsx" in done.stdout
    months = sheet_values(folder / "PLAN.xlsx", "Group months", 40, 9)
    assert any("energy short" in str(row[2]) for row in months)


def test_no_hay_no_plan(farm):
    folder, typed = farm
    typed({**{f"Lots/{i}/tons": None for i in range(1, 11)}, **{f"Register/{i}/bales": None for i in range(1, 11)}})
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 2
    assert "no lot has hay in store" in done.stderr


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("FARM.xlsx", "--out", "PLAN.ods"), ".xlsx"), (("FARM.xlsx", "--out", "FARM.xlsx"), "--force"),
        (("NONE.xlsx", "--out", "PLAN.xlsx"), "NONE.xlsx"), (("FARM.xlsx", "--out", "PLAN.xlsx", "--start", "soon"), "2026-11-15"),
        (("FARM.xlsx", "--out", "PLAN.xlsx", "--turnout", "2026-11-01"), "after the start"),
        (("FARM.xlsx", "--out", "PLAN.xlsx", "--turnout", "2028-11-01"), "1 to 366 days"),
    ],
)  # fmt: skip
def test_refusals_are_one_sentence(farm, args, says):
    folder, _ = farm
    done = run("plan", *args, cwd=folder)
    assert done.returncode == 2
    assert done.stderr.count("hayfuncs: ") == 1
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(p.name for p in folder.iterdir()) == ["FARM.xlsx"]


def test_from_two_lab_files_and_a_herd_list_to_the_winter_workbook(tmp_path):
    """The commands of README in a fresh folder; what the register and the herd list say arrives in the plan."""
    assert run("lots", "--example", ".", cwd=tmp_path).returncode == 0
    lots = run(
        "lots", "lab-sheet.csv", "instrument-scans.csv", "--register", "register.csv", "--out", "LOTS.csv", cwd=tmp_path
    )
    assert lots.returncode == 0, lots.stderr
    dates = ("--start", "2024-11-15", "--turnout", "2025-04-25")
    made = run("workbook", "FARM.xlsx", "--lots", "LOTS.csv", "--herd", "herd.csv", *dates, cwd=tmp_path)
    assert made.returncode == 0, made.stderr
    assert "checks hold" in made.stdout
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "WINTER.xlsx", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    old = read_old(tmp_path / "WINTER.xlsx")
    assert old.rows["Lots"] == 10
    assert old.rows["Herd"] == 4
    assert old.get("Register/1/bales") == 118
    assert old.get("Register/1/weighed") == 1120
    assert old.get("Register/1/storage") == "on ground, uncovered"
    assert old.get("Stock/1/price") == 80
    assert str(old.get("Winter herd/1/calving")) == "2024-09-20"
    budget = sheet_values(tmp_path / "WINTER.xlsx", "Winter budget")
    assert str(budget[2][1]).startswith("✓")
    assert "Every need is met" in budget[5][0]
    assert "Not taken from the workbook" not in done.stdout
    # hay of West flat 1: 118 bales of 1,120 lb, 37 % lost on the ground: 41.6 tons to put out
    stock = {row[0]: row for row in sheet_values(tmp_path / "WINTER.xlsx", "Stock months", 40, 8)}
    assert stock["West flat 1"][3] == pytest.approx(118 * 1120 / 2000 * 0.63)


OWN_FEED = {  # a row of Feeds that is free: a feed of the user's own, not in the feed book
    "Feeds/14/name": "wheat, own", "Feeds/14/book": "none", "Feeds/14/price": 50, "Feeds/14/dm_pct": 89, "Feeds/14/tdn_pct": 88,
    "Feeds/14/cp_pct": 14, "Feeds/14/ca_pct": 0.05, "Feeds/14/p_pct": 0.4, "Feeds/14/fat_pct": 2, "Feeds/14/s_pct": 0.16,
}  # fmt: skip


@pytest.mark.parametrize("booked", ["none", "wheat"])
def test_a_feed_of_ones_own_is_planned_and_its_limits_are_asked_for(farm, booked):
    """Neither "none" nor a name that is not in the feed book ends the command."""
    folder, typed = farm
    typed({**OWN_FEED, "Feeds/14/book": booked})
    done = run("plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "lb wheat, own" in done.stdout
    assert "wheat, own: not in the feed book: ask for its limits" in done.stdout


def test_nothing_is_written_where_the_words_cannot_be_made(farm, monkeypatch):
    from typer.testing import CliRunner

    from hayfuncs import cli
    from hayfuncs.workbook import planreport

    def broken(_):
        raise ValueError("no words")

    folder, _ = farm
    monkeypatch.setattr(planreport, "text", broken)
    monkeypatch.chdir(folder)
    assert CliRunner().invoke(cli.app, ["plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "1"]).exit_code != 0
    assert not (folder / "PLAN.xlsx").exists()


def test_a_plan_in_whole_bales_is_told_in_sentences_and_written_as_data(farm):
    folder, _ = farm
    done = run(
        "plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "4", "--json", "plan.json", "--from", "2027-02-01", cwd=folder
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    data = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert data["turns"][0]["first"] == "2027-02-01"
    for turn in data["turns"]:
        assert turn["sentence"] in done.stdout
    assert f"${data['cost']:,.0f}; no plan of any kind costs less than ${data['bound']:,.0f}." in done.stdout
    again = run("plan", "FARM.xlsx", "--out", "OTHER.xlsx", "--json", "plan.json", cwd=folder)
    assert again.returncode == 2
    assert "plan.json" in again.stderr
    wrong = run("plan", "FARM.xlsx", "--out", "OTHER.xlsx", "--hays", "three", cwd=folder)
    assert '--hays is "three"; allowed: 1, 2, cheapest' in wrong.stderr
