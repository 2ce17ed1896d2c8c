"""hayfuncs plan with its questions, pins and an older plan beside the new one, as a person uses it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import hayfuncs
from hayfuncs.workbook.oldfile import read_old

HERE = {**os.environ, "PYTHONPATH": str(Path(hayfuncs.__file__).parents[1])}


def run(*args: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hayfuncs.cli", *args], cwd=cwd, env=HERE, capture_output=True, text=True, timeout=300
    )


@pytest.fixture
def farm(editions, tmp_path):
    """The function edition of the demo as FARM.xlsx."""
    (tmp_path / "FARM.xlsx").write_bytes(editions["functions"][2].read_bytes())
    return tmp_path


def test_the_questions_need_no_workbook_to_write(farm):
    folder = farm
    done = run("plan", "FARM.xlsx", "--what-if", "--worth", "--before-winter", "--json", "asked.json", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert sorted(p.name for p in folder.iterdir()) == ["FARM.xlsx", "asked.json"]
    for words in (
        "What if (in amounts of any kind; whole bales cost a few percent more)", "as planned", "grass 15 days late", "grass 30 days late",
        "cold Dec to Feb, 17 % more energy", "hay to buy +25 %", "Section Ten lost", "10 more in Spring calvers in milk", "yes, May 20",
        "Robust choice: ", "What a ton is worth by the plan", "market $", "would be bought below $",
        "Before the winter", "Hay to buy", "Could be sold", "Written: asked.json",
    ):  # fmt: skip
        assert words in done.stdout, (words, done.stdout)
    data = json.loads((folder / "asked.json").read_text(encoding="utf-8"))
    assert len(data["what_if"]) == 7
    assert {case["amounts"] for case in data["what_if"]} == {"any kind"}
    for case in data["what_if"]:
        assert f"${case['cost']:,.0f}" in done.stdout
    assert {lot["name"] for lot in data["worth_by_the_plan"]["lots"]} >= {"Heron Flat 1", "Creek Strip"}
    assert all(lot["market"] for lot in data["worth_by_the_plan"]["lots"])


def test_one_option_each(farm):
    folder = farm
    done = run("plan", "FARM.xlsx", "--late", "7", "--cold", "0", "--hay-price", "0", "--lost", "Creek Strip", "--more-cows", "5", cwd=folder)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "grass 7 days late" in done.stdout
    assert "Creek Strip lost" in done.stdout
    assert "5 more in Spring calvers in milk" in done.stdout
    assert "cold" not in done.stdout
    assert "hay to buy +" not in done.stdout


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ((), "--out is missing"), (("--late", "soon"), '--late is "soon"; allowed: days like 15,30'), (("--cold", "140"), "--cold is 140; allowed: 0 to 100"),
        (("--lost", "straw"), 'the stack lost is "straw"'), (("--what-if", "--pin", "a, b, c = 1"), "--pin goes with a plan that is written"),
        (("--out", "P.xlsx", "--hays", "cheapest", "--pin", "a, b, c = 1"), "--pin goes with a plan in whole bales"),
        (("--out", "P.xlsx", "--pin", "corn"), "GROUP, MONTH, FEED OR LOT = POUNDS"),
        (("--out", "P.xlsx", "--pin", "First-calf mothers, Jan, rye = 2"), "the feed or lot of the pin"),
    ],
)  # fmt: skip
def test_refusals_are_one_sentence(farm, args, says):
    folder = farm
    done = run("plan", "FARM.xlsx", *args, cwd=folder)
    assert done.returncode == 2
    assert done.stderr.count("hayfuncs: ") == 1
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(p.name for p in folder.iterdir()) == ["FARM.xlsx"]


def test_pins_are_kept_in_the_workbook_and_the_old_plan_stands_beside_the_new_one(farm):
    folder = farm
    done = run(
        "plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "15", "--anyway", "--from", "2027-02-10", "--json", "plan.json",
        "--pin", "late-pregnant cows, Mar, corn grain = 2", "--pin", "Spring calvers in milk, Feb 2027, Heron Flat 1 = 90", cwd=folder,
    )  # fmt: skip
    assert done.returncode in (0, 1), done.stderr  # 1: with these pins a need stays short, which is said
    assert "Pin kept: 2 lb of corn grain for Late-pregnant cows in Mar 2027. It costs " in done.stdout
    assert "Pin not kept: 90 lb of Heron Flat 1 for Spring calvers in milk in Feb 2027. It takes " in done.stdout
    assert "(pinned)" in done.stdout
    old, before = read_old(folder / "PLAN.xlsx"), read_old(folder / "FARM.xlsx")
    rows = [tuple(old.get(f"Plan/{i}/{k}") for k in ("month", "group", "feed_1", "lb_1", "feed_2", "lb_2")) for i in range(1, old.rows["Plan"] + 1)]  # fmt: skip
    pinned = [row[2:] for row in rows if row[:2] == ("Mar 2027", "Late-pregnant cows")]
    assert pinned
    assert all(("corn grain", 2) in (row[:2], row[2:]) for row in pinned)
    data = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert [p["kept"] for p in data["pins"]] == [True, False]
    # what changes beside the plan that FARM.xlsx holds, against the two files
    assert "Beside the plan in FARM.xlsx, pounds put out a head and a day" in done.stdout
    was = {}
    for i in range(1, before.rows["Plan"] + 1):
        month, group, feed, lb = (before.get(f"Plan/{i}/{k}") for k in ("month", "group", "feed", "lb"))
        if lb:
            was.setdefault((month, group), {})[feed] = lb
    assert data["changes"]
    for change in data["changes"]:
        assert change["was"] == pytest.approx(was[change["period"], change["group"]])
        turns = [t for t in data["turns"] if (t["period"], t["group"]) == (change["period"], change["group"])]
        step = max(t["days_between_feedings"] for t in data["turns"] if t["group"] == change["group"])
        feedings = [-(-t["days"] // step) for t in turns]  # of which the winter's last may be for fewer days
        now: dict[str, float] = {}
        for turn, n in zip(turns, feedings, strict=True):
            for fed in (*turn["hays"], *turn["feeds"], *turn["minerals"]):
                now[fed["name"]] = now.get(fed["name"], 0) + fed["lb_put_out"] * n / sum(feedings)
        assert now == pytest.approx(change["now"])
    assert {c["period"] for c in data["changes"]} <= {"Feb 2027", "Mar 2027", "Apr 2027"}
    assert f"{data['changes'][0]['period']}, {data['changes'][0]['group']}: was " in " ".join(done.stdout.split())


def test_a_plan_that_no_time_is_left_for_is_one_sentence(farm, monkeypatch):
    from typer.testing import CliRunner

    from hayfuncs import cli
    from hayfuncs.winter import linear
    from hayfuncs.winter.clock import Clock

    def late(*_):
        raise linear.out_of_time(Clock(2.0))

    folder = farm
    monkeypatch.setattr(linear, "_solved", late)
    monkeypatch.chdir(folder)
    done = CliRunner().invoke(cli.app, ["plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "2"])
    assert str(done.exception) == (
        "FARM.xlsx: No plan: there was none yet when 2 seconds were up; give more time (--seconds), or plan fewer groups at a time."
    )
    assert not (folder / "PLAN.xlsx").exists()
